//! What the user may ask of a set-up at its sheet: another method, which end leads, more marks along a line.

use super::drafts::SheetOf;
use super::message::Said;
use super::recording::{Job, RecordCut};
use super::seen::OpeningSeen;
use super::session::Step;
use super::sheets::{Asked, Sheet};
use super::words;
use crate::cut::job::{End, Method};
use crate::cut::setup::Setup;
use crate::fit::length::{Inches, Unit};
use crate::shop::settings::Settings;

/// Marks along a guide line this often, widest first: in inches, or in millimetres for a metric shop.
const MARKS: [(f64, f64); 3] = [(12.0, 300.0), (6.0, 150.0), (3.0, 75.0)];

/// Which end of a rip goes first.
fn lead(sheet: &Sheet) -> Option<End> {
    match &sheet.sheet.setup {
        Setup::Rip(rip) => Some(rip.lead),
        _ => None,
    }
}

impl RecordCut {
    /// The sheet that the keys act on; none for a hinge.
    pub fn sheet_of(&self, opened: &OpeningSeen) -> Option<SheetOf> {
        self.sheet_of_job(self.job()?, opened)
    }

    pub(super) fn sheet_of_job(&self, job: &Job, opened: &OpeningSeen) -> Option<SheetOf> {
        match job {
            Job::Trim(trim) => Some(SheetOf {
                opening: opened.name.clone(),
                round: self.round,
                leaf: trim.leaf.clone(),
                edge: trim.edge,
            }),
            Job::Pack(_) => None,
        }
    }

    /// Remembers for the session what was asked, so that it holds when the sheet is come back to.
    fn chosen(&self, opened: &OpeningSeen) -> Vec<Step> {
        self.sheet_of(opened).map(|of| Step::Choose(of, self.asked)).into_iter().collect()
    }

    /// The next method of the shop's ranking, refused or not.
    pub(super) fn another_method(&mut self, opened: &OpeningSeen, settings: &Settings) -> Vec<Step> {
        let ranked = settings.kit().ranked();
        let now = self.asked.method.or(self.sheet.as_ref().map(|sheet| sheet.sheet.setup.method()));
        let place = now.and_then(|now| ranked.iter().position(|&method| method == now));
        let Some(place) = place else { return vec![Step::Say(Said::hint(words::NO_SET_UP))] };
        self.asked.method = ranked.get((place + 1) % ranked.len()).copied();
        self.work_out(opened, settings);
        self.chosen(opened)
    }

    /// The other end first past the blade, where the fence holds the leaf that way too.
    pub(super) fn other_end_first(&mut self, opened: &OpeningSeen, settings: &Settings) -> Vec<Step> {
        let Some(leads) = self.sheet.as_deref().and_then(lead) else {
            return vec![Step::Say(Said::hint(words::LEAD_OF_A_RIP))];
        };
        let before = self.asked;
        self.asked = Asked { method: Some(Method::Rip), lead: Some(leads.other()), ..before };
        self.work_out(opened, settings);
        if self.sheet.as_deref().and_then(lead) == Some(leads.other()) {
            return self.chosen(opened);
        }
        self.asked = before;
        self.work_out(opened, settings);
        vec![Step::Say(Said::trouble(words::LEAD_REFUSED))]
    }

    /// More marks along a guide line, then the two ends again.
    pub(super) fn more_marks(&mut self, opened: &OpeningSeen, settings: &Settings) -> Vec<Step> {
        if !self.sheet.as_ref().is_some_and(|sheet| matches!(sheet.sheet.setup, Setup::GuideLine(_))) {
            return vec![Step::Say(Said::hint(words::MARKS_OF_A_LINE))];
        }
        let steps = MARKS.map(|(inches, millimetres)| match settings.show.unit() {
            Unit::Inch => inches,
            Unit::Millimetre => millimetres / 25.4,
        });
        let now = self.asked.marks_every.and_then(|every| steps.iter().position(|step| *step == every.get()));
        self.asked.marks_every = steps.get(now.map_or(0, |now| now + 1)).map(|&step| Inches(step));
        self.asked.method = Some(Method::GuideLine);
        self.work_out(opened, settings);
        self.chosen(opened)
    }
}
