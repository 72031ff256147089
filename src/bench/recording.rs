//! Recording what was done: as shown, or otherwise and typed.

use super::form::{Field, Filled, Form};
use super::message::{Action, Effect, Said};
use super::seen::OpeningSeen;
use super::session::{Step, World};
use super::words;
use crate::fit::length::{Length, Show};
use crate::fit::plan::HingePack;
use crate::shop::check::METHODS;
use crate::shop::event::{CutDone, Event, HingePacked, TrimMeant};
use serde_json::{Map, Value};

/// Removal up to which the plane is the first choice: common practice, no published source.
const PLANE_UP_TO: (i64, i64) = (1, 32);

/// One thing to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Job {
    /// Take wood off an edge.
    Trim(TrimMeant),
    /// Pack a hinge, or let it in.
    Pack(HingePacked),
}

impl Job {
    pub(super) fn pack(leaf: &str, pack: HingePack) -> Self {
        Self::Pack(HingePacked { leaf: leaf.to_owned(), hinge: pack.hinge, out: pack.out.length() })
    }

    pub(super) fn is_nothing(&self) -> bool {
        match self {
            Self::Trim(trim) => trim.start.is_zero() && trim.end.is_zero(),
            Self::Pack(pack) => pack.out.is_zero(),
        }
    }
}

/// The things to do in one round, and which of them is being recorded.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RecordCut {
    /// Which round.
    pub round: u32,
    /// What is still to do.
    pub jobs: Vec<Job>,
    /// Which of them the keys act on.
    pub at: usize,
    /// Place in [`METHODS`] of the way it is done.
    pub method: usize,
    /// What was done instead, while it is typed.
    pub otherwise: Option<Form>,
}

/// Edges of the accepted plan that no cut of the round has touched.
fn trims_left(opened: &OpeningSeen) -> Vec<Job> {
    let Some(round) = opened.state.latest() else { return Vec::new() };
    let Some(plan) = &round.plan else { return Vec::new() };
    let done = |trim: &TrimMeant| {
        let mut cuts = round.cuts.iter().map(|cut| &cut.what.intended);
        cuts.any(|cut| cut.leaf == trim.leaf && cut.edge == trim.edge)
    };
    plan.what.trims.iter().filter(|trim| !done(trim)).cloned().map(Job::Trim).collect()
}

impl RecordCut {
    /// What the accepted plan of the latest round leaves to do, after `packs`.
    pub fn new(opened: &OpeningSeen, packs: Vec<Job>) -> Self {
        let mut jobs = packs;
        jobs.extend(trims_left(opened));
        let mut record = Self { round: opened.state.current_round(), jobs, at: 0, method: 0, otherwise: None };
        record.choose(0);
        record
    }

    /// The one that the keys act on.
    pub fn job(&self) -> Option<&Job> {
        self.jobs.get(self.at)
    }

    /// The word for the way it is done.
    pub fn method_word(&self) -> &'static str {
        METHODS.get(self.method).copied().unwrap_or("by-hand")
    }

    fn choose(&mut self, at: usize) {
        self.at = at.min(self.jobs.len().saturating_sub(1));
        let word = match self.job() {
            Some(Job::Trim(trim)) if trim.start.max(trim.end) > Length::ratio(PLANE_UP_TO.0, PLANE_UP_TO.1) => "rip",
            _ => "plane",
        };
        self.method = METHODS.iter().position(|method| *method == word).unwrap_or(0);
    }

    pub(super) fn act(&mut self, action: Action, world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened else { return vec![Step::Leave] };
        if let Some(form) = &mut self.otherwise {
            return match form.act(action) {
                Filled::Open => Vec::new(),
                Filled::Left => {
                    self.otherwise = None;
                    Vec::new()
                }
                Filled::Whole => self.done_otherwise(world, opened),
            };
        }
        match action {
            Action::Up => self.choose(self.at.saturating_sub(1)),
            Action::Down => self.choose(self.at + 1),
            Action::Method => self.method = (self.method + 1) % METHODS.len(),
            Action::AsShown | Action::Enter => return self.done_as_shown(opened),
            Action::Otherwise => self.otherwise = self.job().map(|job| otherwise_form(job, world.shop.show())),
            Action::Back | Action::Left => return vec![Step::Leave],
            _ => {}
        }
        Vec::new()
    }

    fn done_as_shown(&self, opened: &OpeningSeen) -> Vec<Step> {
        match self.job() {
            Some(Job::Trim(trim)) => keep(opened, Event::Cut(self.cut(trim.clone(), Map::new()))),
            Some(Job::Pack(pack)) => keep(opened, Event::Pack(pack.clone())),
            None => vec![Step::Leave],
        }
    }

    fn done_otherwise(&self, world: World<'_>, opened: &OpeningSeen) -> Vec<Step> {
        let Some(form) = &self.otherwise else { return Vec::new() };
        let unit = world.shop.show().unit();
        match self.job() {
            Some(Job::Trim(trim)) => {
                let typed = Length::parse(form.value(0), unit)
                    .and_then(|start| Ok((start, Length::parse(form.value(1), unit)?)));
                let (start, end) = match typed {
                    Ok(typed) => typed,
                    Err(error) => return vec![Step::Say(Said::trouble(error.to_string()))],
                };
                let mut settings = Map::new();
                settings.insert("as_shown".to_owned(), Value::Bool(false));
                settings.insert("planned_start".to_owned(), Value::from(trim.start.canonical()));
                settings.insert("planned_end".to_owned(), Value::from(trim.end.canonical()));
                keep(opened, Event::Cut(self.cut(TrimMeant { start, end, ..trim.clone() }, settings)))
            }
            Some(Job::Pack(pack)) => match Length::parse_signed(form.value(0), unit) {
                Ok(out) => keep(opened, Event::Pack(HingePacked { out, ..pack.clone() })),
                Err(error) => vec![Step::Say(Said::trouble(error.to_string()))],
            },
            None => Vec::new(),
        }
    }

    fn cut(&self, intended: TrimMeant, settings: Map<String, Value>) -> CutDone {
        CutDone { round: self.round, intended, method: self.method_word().to_owned(), settings }
    }

    pub(super) fn kept(&mut self, numbers: &[u64], world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened else { return vec![Step::Leave] };
        self.otherwise = None;
        let packs =
            self.jobs.iter().enumerate().filter(|(place, job)| *place != self.at && matches!(job, Job::Pack(_)));
        let packs: Vec<_> = packs.map(|(_, job)| job.clone()).collect();
        let mut jobs = packs;
        jobs.extend(trims_left(opened));
        self.jobs = jobs;
        self.choose(0);
        if self.jobs.is_empty() {
            vec![Step::Leave, Step::Say(Said::done(words::all_done(numbers)))]
        } else {
            vec![Step::Say(Said::done(words::kept(numbers)))]
        }
    }
}

fn keep(opened: &OpeningSeen, event: Event) -> Vec<Step> {
    vec![Step::Run(Effect::Keep { opening: opened.name.clone(), events: vec![event] })]
}

fn otherwise_form(job: &Job, show: Show) -> Form {
    match job {
        Job::Trim(trim) => {
            let (low, high) = words::corner_labels(trim.edge);
            Form::new(vec![
                Field::text(low, trim.start.shown(show), words::HINT_REALLY_CAME_OFF),
                Field::text(high, trim.end.shown(show), words::HINT_REALLY_CAME_OFF),
            ])
        }
        Job::Pack(pack) => Form::new(vec![Field::text(words::PACKED_BY, pack.out.shown(show), words::HINT_PACKED)]),
    }
}
