//! Recording what was done: each trim with its set-up sheet; done as shown, or otherwise and typed.

use super::form::{Entry, Field, Filled, Form};
use super::leaf_facts::Fact;
use super::message::{Action, Effect, Said};
use super::seen::OpeningSeen;
use super::session::{Overlay, Step, World};
use super::sheets::{self, Asked, Sheet, Sizes};
use super::words;
use crate::cut::job::Method;
use crate::cut::setup::Setup;
use crate::fit::length::{Inches, Length, LengthError, Show, Unit};
use crate::shop::check::METHODS;
use crate::shop::event::{CutDone, Event, HingePacked, TrimMeant};
use crate::shop::settings::Settings;
use serde_json::{Map, Value};

/// One thing to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Job {
    /// Take wood off an edge.
    Trim(TrimMeant),
    /// Pack a hinge, or let it in.
    Pack(HingePacked),
}

/// What is being typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Typing {
    /// What was done instead.
    Otherwise(Form),
    /// Something measured of the leaf.
    Fact(Fact, Form),
}

impl Typing {
    /// The fields.
    pub fn form(&self) -> &Form {
        match self {
            Self::Otherwise(form) | Self::Fact(_, form) => form,
        }
    }
}

/// The things to do in one round, and which of them is being recorded.
#[derive(Clone, Debug, PartialEq)]
pub struct RecordCut {
    /// Which round.
    pub round: u32,
    /// What is still to do, in the order it is done.
    pub jobs: Vec<Job>,
    /// Which of them the keys act on.
    pub at: usize,
    /// Its set-up, if it is a trim and there is one.
    pub sheet: Option<Box<Sheet>>,
    /// Why there is none.
    pub no_sheet: Option<String>,
    /// What the user asked of the set-up.
    pub asked: Asked,
    /// What is being typed.
    pub typing: Option<Typing>,
}

/// Edges of the accepted plan that no cut of the round has touched, in the order they are cut.
fn trims_left(opened: &OpeningSeen) -> Vec<Job> {
    let Some(round) = opened.state.latest() else { return Vec::new() };
    let Some(plan) = &round.plan else { return Vec::new() };
    let done = |trim: &TrimMeant| {
        let mut cuts = round.cuts.iter().map(|cut| &cut.what.intended);
        cuts.any(|cut| cut.leaf == trim.leaf && cut.edge == trim.edge)
    };
    let all = sheets::in_order(&opened.state, &plan.what.trims).into_iter().map(|(trim, _)| trim);
    all.filter(|trim| !done(trim)).map(Job::Trim).collect()
}

/// Hinges to pack or let in, then edges to cut.
fn jobs_left(opened: &OpeningSeen) -> Vec<Job> {
    let packs = opened.state.latest().map_or_else(Vec::new, |round| round.packs_left());
    let mut jobs: Vec<Job> = packs.into_iter().cloned().map(Job::Pack).collect();
    jobs.extend(trims_left(opened));
    jobs
}

impl RecordCut {
    /// What the accepted plan of the latest round leaves to do: hinges first, then cuts.
    pub fn new(opened: &OpeningSeen, settings: &Settings) -> Self {
        let jobs = jobs_left(opened);
        let mut record = Self {
            round: opened.state.current_round(),
            jobs,
            at: 0,
            sheet: None,
            no_sheet: None,
            asked: Asked::default(),
            typing: None,
        };
        record.choose(0, opened, settings);
        record
    }

    /// The one that the keys act on.
    pub fn job(&self) -> Option<&Job> {
        self.jobs.get(self.at)
    }

    /// The word for the way it is done.
    pub fn method_word(&self) -> &'static str {
        self.sheet.as_ref().map_or("by-hand", |sheet| sheet.sheet.setup.method().word())
    }

    pub(super) fn choose(&mut self, at: usize, opened: &OpeningSeen, settings: &Settings) {
        self.at = at.min(self.jobs.len().saturating_sub(1));
        self.asked = Asked::default();
        self.work_out(opened, settings);
    }

    fn work_out(&mut self, opened: &OpeningSeen, settings: &Settings) {
        (self.sheet, self.no_sheet) = (None, None);
        let Some(Job::Trim(trim)) = self.jobs.get(self.at) else { return };
        let state = &opened.state;
        let Some(sizes) = Sizes::of(state, &trim.leaf) else { return };
        let plan = state.latest().and_then(|round| round.plan.as_ref());
        let all = plan.map_or_else(Vec::new, |plan| sheets::in_order(state, &plan.what.trims));
        let reasons = all.into_iter().find(|(planned, _)| planned == trim).map_or_else(Vec::new, |(_, why)| why);
        match sheets::sheet(state, settings, &sizes, (trim.clone(), reasons), self.asked) {
            Some(Ok(sheet)) => self.sheet = Some(Box::new(sheet)),
            Some(Err(why)) => self.no_sheet = Some(why.to_string()),
            None => {}
        }
    }

    /// The next method of the shop's ranking, refused or not.
    fn next_method(&self, settings: &Settings) -> Option<Method> {
        let ranked = settings.kit().ranked();
        let now = self.asked.method.or(self.sheet.as_ref().map(|sheet| sheet.sheet.setup.method()))?;
        let place = ranked.iter().position(|&method| method == now)?;
        ranked.get((place + 1) % ranked.len()).copied()
    }

    pub(super) fn act(&mut self, action: Action, world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened else { return vec![Step::Leave] };
        let settings = &world.shop.settings;
        if let Some(typing) = &mut self.typing {
            let (Typing::Otherwise(form) | Typing::Fact(_, form)) = typing;
            return match form.act(action) {
                Filled::Open => Vec::new(),
                Filled::Left => {
                    self.typing = None;
                    Vec::new()
                }
                Filled::Whole => self.typed(world, opened),
            };
        }
        match action {
            Action::Up => self.choose(self.at.saturating_sub(1), opened, settings),
            Action::Down => self.choose(self.at + 1, opened, settings),
            Action::Method => {
                self.asked.method = self.next_method(settings);
                self.work_out(opened, settings);
            }
            Action::Widths => return self.ask(Fact::Widths, world),
            Action::Square => return self.ask(Fact::Square, world),
            Action::BareEdge => return self.ask(Fact::Bare, world),
            Action::Straightedge => return self.ask(Fact::Straight, world),
            Action::OtherEndFirst => return self.flip(opened, settings),
            Action::GuideMarks => return self.marks(opened, settings),
            Action::Why => return vec![Step::Overlay(Overlay::Why)],
            Action::Enter => return vec![Step::Say(Said::hint(words::DONE_BY_D))],
            Action::AsShown => return self.done_as_shown(opened),
            Action::Otherwise => {
                let form = self.job().map(|job| otherwise_form(job, self.method_word(), world.shop.show()));
                self.typing = form.map(Typing::Otherwise);
            }
            Action::Back | Action::Left => return vec![Step::Leave],
            _ => {}
        }
        Vec::new()
    }

    fn ask(&mut self, fact: Fact, world: World<'_>) -> Vec<Step> {
        match &self.sheet {
            Some(sheet) => {
                self.typing = Some(Typing::Fact(fact, fact.form(sheet, world.shop.show())));
                Vec::new()
            }
            None => vec![Step::Say(Said::hint(words::WIDTHS_OF_A_TRIM))],
        }
    }

    /// The other end first past the blade, where the fence holds the leaf that way too.
    fn flip(&mut self, opened: &OpeningSeen, settings: &Settings) -> Vec<Step> {
        let rip = |sheet: &Sheet| match &sheet.sheet.setup {
            Setup::Rip(rip) => Some(rip.lead),
            _ => None,
        };
        let Some(lead) = self.sheet.as_deref().and_then(rip) else {
            return vec![Step::Say(Said::hint(words::LEAD_OF_A_RIP))];
        };
        let before = self.asked;
        self.asked = Asked { method: Some(Method::Rip), lead: Some(lead.other()), ..before };
        self.work_out(opened, settings);
        if self.sheet.as_deref().and_then(rip) == Some(lead.other()) {
            return Vec::new();
        }
        self.asked = before;
        self.work_out(opened, settings);
        vec![Step::Say(Said::trouble(words::LEAD_REFUSED))]
    }

    /// More marks along a guide line: every 12, 6, 3 in (or 300, 150, 75 mm), then the two ends again.
    fn marks(&mut self, opened: &OpeningSeen, settings: &Settings) -> Vec<Step> {
        if !self.sheet.as_ref().is_some_and(|sheet| matches!(sheet.sheet.setup, Setup::GuideLine(_))) {
            return vec![Step::Say(Said::hint(words::MARKS_OF_A_LINE))];
        }
        let whole = if settings.show.unit() == Unit::Inch { 12.0 } else { 300.0 / 25.4 };
        let steps = [whole, whole / 2.0, whole / 4.0];
        let now = self.asked.marks_every.and_then(|every| steps.iter().position(|step| *step == every.get()));
        self.asked.marks_every = steps.get(now.map_or(0, |now| now + 1)).map(|&step| Inches(step));
        self.asked.method = Some(Method::GuideLine);
        self.work_out(opened, settings);
        Vec::new()
    }

    fn typed(&mut self, world: World<'_>, opened: &OpeningSeen) -> Vec<Step> {
        match &self.typing {
            Some(Typing::Fact(fact, form)) => {
                let Some(sheet) = &self.sheet else { return Vec::new() };
                match fact.read(form, sheet, world.shop.show().unit()) {
                    Ok(measured) => keep(opened, Event::Measured(measured)),
                    Err(why) => vec![Step::Say(Said::trouble(why))],
                }
            }
            Some(Typing::Otherwise(form)) => self.done_otherwise(form, world, opened),
            None => Vec::new(),
        }
    }

    fn done_as_shown(&self, opened: &OpeningSeen) -> Vec<Step> {
        match (self.job(), &self.sheet) {
            (Some(Job::Trim(trim)), Some(sheet)) => {
                let mut settings = Self::settings(true);
                if let Ok(Value::Object(shown)) = serde_json::to_value(&sheet.sheet) {
                    settings.extend(shown);
                }
                keep(opened, Event::Cut(self.cut(trim.clone(), self.method_word(), settings)))
            }
            (Some(Job::Trim(_)), None) => vec![Step::Say(Said::hint(words::NO_SET_UP))],
            (Some(Job::Pack(pack)), _) => keep(opened, Event::Pack(pack.clone())),
            (None, _) => vec![Step::Leave],
        }
    }

    fn done_otherwise(&self, form: &Form, world: World<'_>, opened: &OpeningSeen) -> Vec<Step> {
        let unit = world.shop.show().unit();
        match self.job() {
            Some(Job::Trim(trim)) => {
                let [start, end] = match two_lengths(form, unit) {
                    Ok(typed) => typed,
                    Err(error) => return vec![Step::Say(Said::trouble(error.to_string()))],
                };
                let mut settings = Self::settings(false);
                settings.insert("planned_start".to_owned(), Value::from(trim.start.canonical()));
                settings.insert("planned_end".to_owned(), Value::from(trim.end.canonical()));
                keep(opened, Event::Cut(self.cut(TrimMeant { start, end, ..trim.clone() }, form.value(2), settings)))
            }
            Some(Job::Pack(pack)) => match Length::parse_signed(form.value(0), unit) {
                Ok(by) => keep(opened, Event::Pack(super::hinging::done_otherwise(pack, by))),
                Err(error) => vec![Step::Say(Said::trouble(error.to_string()))],
            },
            None => Vec::new(),
        }
    }

    fn settings(as_shown: bool) -> Map<String, Value> {
        let mut settings = Map::new();
        settings.insert("as_shown".to_owned(), Value::Bool(as_shown));
        settings
    }

    fn cut(&self, intended: TrimMeant, method: &str, settings: Map<String, Value>) -> CutDone {
        CutDone { round: self.round, intended, method: method.to_owned(), more: false, settings }
    }

    pub(super) fn kept(&mut self, numbers: &[u64], world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened else { return vec![Step::Leave] };
        let last = opened.records.last().map(|record| &record.event);
        let done = matches!(last, Some(Event::Cut(_) | Event::Pack(_)));
        let measured = matches!(last, Some(Event::Measured(_)));
        if done || measured {
            self.typing = None;
        }
        if measured {
            self.work_out(opened, &world.shop.settings);
            return Vec::new();
        }
        self.jobs = jobs_left(opened);
        self.choose(0, opened, &world.shop.settings);
        match (done, self.jobs.is_empty()) {
            (true, true) => vec![Step::Leave, Step::Say(Said::done(words::all_done(numbers)))],
            (true, false) => vec![Step::Say(Said::done(words::kept(numbers)))],
            // Something was taken back or put back, and that is said already; without its plan nothing is to do.
            (false, true) => vec![Step::Leave],
            (false, false) => Vec::new(),
        }
    }
}

fn keep(opened: &OpeningSeen, event: Event) -> Vec<Step> {
    vec![Step::Run(Effect::Keep { opening: opened.name.clone(), events: vec![event] })]
}

fn two_lengths(form: &Form, unit: Unit) -> Result<[Length; 2], LengthError> {
    Ok([Length::parse(form.value(0), unit)?, Length::parse(form.value(1), unit)?])
}

fn otherwise_form(job: &Job, method: &str, show: Show) -> Form {
    match job {
        Job::Trim(trim) => {
            let (low, high) = words::corner_labels(trim.edge);
            let mut means = Field::choice(words::ASK_MEANS, &METHODS, words::HINT_MEANS);
            if let Entry::Choice { picked, .. } = &mut means.entry {
                *picked = METHODS.iter().position(|known| *known == method).unwrap_or(0);
            }
            Form::new(vec![
                Field::length(low, trim.start.shown(show), show.unit(), words::HINT_REALLY_CAME_OFF),
                Field::length(high, trim.end.shown(show), show.unit(), words::HINT_REALLY_CAME_OFF),
                means,
            ])
        }
        Job::Pack(pack) => super::hinging::otherwise_form(pack, show),
    }
}
