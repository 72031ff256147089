//! Recording what was done: each trim with its set-up sheet; done as shown, or otherwise and typed.

use super::drafts::{DraftOf, Keeping, Page, SheetOf};
use super::form::{Entry, Field, Filled, Form};
use super::leaf_facts::{About, Fact};
use super::message::{Action, Effect, Said};
use super::seen::OpeningSeen;
use super::session::{Overlay, Step, World};
use super::sheets::{self, Asked, Sheet, Sizes};
use super::words;
use crate::fit::length::{Length, LengthError, Show};
use crate::fit::opening::Edge;
use crate::shop::check::METHODS;
use crate::shop::event::{CutDone, Event, HingePacked, TrimMeant};
use crate::shop::settings::Settings;
use serde_json::{Map, Value, json};

/// One thing to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Job {
    /// Take wood off an edge: what is left of its trim after the passes made so far.
    Trim(TrimMeant),
    /// Pack a hinge, or let it in.
    Pack(HingePacked),
}

impl Job {
    fn trim(&self) -> Option<&TrimMeant> {
        if let Self::Trim(trim) = self { Some(trim) } else { None }
    }
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

    fn form_mut(&mut self) -> &mut Form {
        match self {
            Self::Otherwise(form) | Self::Fact(_, form) => form,
        }
    }

    fn page(&self) -> Page {
        match self {
            Self::Otherwise(_) => Page::Otherwise,
            Self::Fact(fact, _) => Page::Measured(*fact),
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
    /// What the user asked of the set-ups of the leaf's other cuts.
    pub(super) others: Vec<(Edge, Asked)>,
    /// What is being typed.
    pub typing: Option<Typing>,
    /// How far that has come to being kept.
    pub keeping: Keeping,
}

/// Trims of the accepted plan that no cut of the round has finished, in the order they are cut.
fn trims_left(opened: &OpeningSeen) -> Vec<Job> {
    sheets::in_order(&opened.state, &opened.state.to_cut()).into_iter().map(|(trim, _)| Job::Trim(trim)).collect()
}

/// Hinges to pack or let in, then edges to cut.
fn jobs_left(opened: &OpeningSeen) -> Vec<Job> {
    let mut jobs: Vec<Job> = opened.state.packs_left().into_iter().cloned().map(Job::Pack).collect();
    jobs.extend(trims_left(opened));
    jobs
}

impl RecordCut {
    /// What the accepted plan of the latest round leaves to do: hinges first, then cuts.
    pub fn new(opened: &OpeningSeen, world: World<'_>) -> Self {
        let mut record = Self {
            round: opened.state.current_round(),
            jobs: jobs_left(opened),
            at: 0,
            sheet: None,
            no_sheet: None,
            asked: Asked::default(),
            others: Vec::new(),
            typing: None,
            keeping: Keeping::default(),
        };
        record.choose(0, opened, world);
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

    pub(super) fn choose(&mut self, at: usize, opened: &OpeningSeen, world: World<'_>) {
        self.at = at.min(self.jobs.len().saturating_sub(1));
        self.asked = self.sheet_of(opened).map_or_else(Asked::default, |of| world.drafts.chosen(&of));
        let others = self.jobs.iter().filter_map(|job| self.sheet_of_job(job, opened));
        let of_leaf = |of: &SheetOf| self.trim().is_some_and(|trim| trim.leaf == of.leaf);
        self.others = others.filter(of_leaf).map(|of| (of.edge, world.drafts.chosen(&of))).collect();
        self.work_out(opened, &world.shop.settings);
    }

    /// The set-up of the cut that the keys act on, for the leaf as the cuts before it leave it.
    pub(super) fn work_out(&mut self, opened: &OpeningSeen, settings: &Settings) {
        (self.sheet, self.no_sheet) = (None, None);
        let Some(Job::Trim(trim)) = self.jobs.get(self.at) else { return };
        let left: Vec<TrimMeant> = self.jobs.iter().filter_map(Job::trim).cloned().collect();
        let other = |edge: Edge| self.others.iter().find(|(other, _)| *other == edge).map(|(_, asked)| *asked);
        let asked = |edge: Edge| if edge == trim.edge { self.asked } else { other(edge).unwrap_or_default() };
        match sheets::of_cut(&opened.state, settings, &left, (&trim.leaf, trim.edge), &asked) {
            Some(Ok(sheet)) => self.sheet = Some(Box::new(sheet)),
            Some(Err(why)) => self.no_sheet = Some(why.to_string()),
            None => {}
        }
    }

    pub(super) fn act(&mut self, action: Action, world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened else { return vec![Step::Leave] };
        let settings = &world.shop.settings;
        if let Some(filled) = self.fill_in(action, opened, world) {
            return match filled {
                Filled::Open => Vec::new(),
                Filled::Left => self.set_aside(opened),
                Filled::Whole => self.typed(world, opened),
            };
        }
        match action {
            Action::Up => self.choose(self.at.saturating_sub(1), opened, world),
            Action::Down => self.choose(self.at + 1, opened, world),
            Action::Method => return self.another_method(opened, settings),
            Action::Widths => return self.ask(Fact::Widths, opened, world),
            Action::Square => return self.ask(Fact::Square, opened, world),
            Action::BareEdge => return self.ask(Fact::Bare, opened, world),
            Action::Straightedge => return self.ask(Fact::Straight, opened, world),
            Action::OtherEndFirst => return self.other_end_first(opened, settings),
            Action::GuideMarks => return self.more_marks(opened, settings),
            Action::Why => return vec![Step::Overlay(Overlay::Why(0))],
            Action::Enter => return vec![Step::Say(Said::hint(words::DONE_BY_D))],
            Action::AsShown => return self.done_as_shown(opened),
            Action::Otherwise => {
                let form = self.job().map(|job| self.otherwise_form(job, world.shop.show()));
                if let Some(form) = form {
                    self.type_in(Typing::Otherwise(form), opened, world);
                }
            }
            Action::Back | Action::Left => return vec![Step::Leave],
            _ => {}
        }
        Vec::new()
    }

    /// The action on the form that is open, if one is.
    fn fill_in(&mut self, action: Action, opened: &OpeningSeen, world: World<'_>) -> Option<Filled> {
        let sizes = self.sizes(opened);
        let (edge, show) = (self.trim().map(|trim| trim.edge), world.shop.show());
        match (self.typing.as_mut()?, edge, &sizes) {
            (Typing::Fact(fact, form), Some(edge), Some(sizes)) => {
                let about = About { edge, sizes, sheet: self.sheet.as_deref() };
                Some(fact.act(form, action, &about, show))
            }
            (typing, ..) => Some(typing.form_mut().act(action)),
        }
    }

    /// Opens a form, with what was typed into it and set aside before.
    fn type_in(&mut self, mut typing: Typing, opened: &OpeningSeen, world: World<'_>) {
        let of = self.draft_of(&typing, opened);
        self.keeping = Keeping::resumed(typing.form_mut(), &of, world.drafts);
        self.typing = Some(typing);
    }

    fn draft_of(&self, typing: &Typing, opened: &OpeningSeen) -> DraftOf {
        let job = match self.job() {
            Some(Job::Trim(trim)) => format!("{} {}, round {}", trim.leaf, trim.edge, self.round),
            Some(Job::Pack(pack)) => format!("{} hinge {}, round {}", pack.leaf, pack.hinge, self.round),
            None => String::new(),
        };
        DraftOf::new(&opened.name, typing.page(), &job)
    }

    fn set_aside(&mut self, opened: &OpeningSeen) -> Vec<Step> {
        let Some(typing) = self.typing.take() else { return Vec::new() };
        self.keeping.set_aside(typing.form(), self.draft_of(&typing, opened))
    }

    /// Something could not be kept: what was typed stays.
    pub(super) fn failed(&mut self) {
        if let Some(typing) = &self.typing {
            self.keeping.failed(typing.form());
        }
    }

    fn ask(&mut self, fact: Fact, opened: &OpeningSeen, world: World<'_>) -> Vec<Step> {
        let (Some(trim), Some(sizes)) = (self.trim(), self.sizes(opened)) else {
            return vec![Step::Say(Said::hint(words::WIDTHS_OF_A_TRIM))];
        };
        let about = About { edge: trim.edge, sizes: &sizes, sheet: self.sheet.as_deref() };
        self.type_in(Typing::Fact(fact, fact.form(&about, world.shop.show())), opened, world);
        Vec::new()
    }

    fn trim(&self) -> Option<&TrimMeant> {
        self.job().and_then(Job::trim)
    }

    /// What is known of the leaf that is cut.
    fn sizes(&self, opened: &OpeningSeen) -> Option<Sizes> {
        Sizes::of(&opened.state, &self.trim()?.leaf)
    }

    fn typed(&mut self, world: World<'_>, opened: &OpeningSeen) -> Vec<Step> {
        let show = world.shop.show();
        let sizes = self.sizes(opened);
        let event = match (&self.typing, self.job(), &sizes) {
            (Some(Typing::Fact(fact, form)), Some(Job::Trim(trim)), Some(sizes)) => {
                let about = About { edge: trim.edge, sizes, sheet: self.sheet.as_deref() };
                if fact.is_known(form, &about, show) {
                    return self.nothing_new(opened);
                }
                fact.read(form, trim, sizes, show).map(Event::Measured)
            }
            (Some(Typing::Otherwise(form)), Some(job), _) => self.done_otherwise(job, form, show),
            _ => return Vec::new(),
        };
        let Some(form) = self.typing.as_mut().map(Typing::form_mut) else { return Vec::new() };
        match event {
            Ok(event) => self.keeping.ask(&opened.name, vec![event]),
            Err(why) => {
                let at = form.at;
                self.keeping.complain(form, at, &why)
            }
        }
    }

    /// The form is left as it was found: nothing is kept.
    fn nothing_new(&mut self, opened: &OpeningSeen) -> Vec<Step> {
        let forget = self.typing.take().map(|typing| Step::Forget(self.draft_of(&typing, opened)));
        forget.into_iter().chain([Step::Say(Said::hint(super::leaf_facts::NOTHING_NEW))]).collect()
    }

    fn done_as_shown(&self, opened: &OpeningSeen) -> Vec<Step> {
        match (self.job(), &self.sheet) {
            (Some(Job::Trim(_)), Some(sheet)) => keep(opened, Event::Cut(as_shown(self.round, sheet))),
            (Some(Job::Trim(_)), None) => vec![Step::Say(Said::hint(words::NO_SET_UP))],
            (Some(Job::Pack(pack)), _) => keep(opened, Event::Pack(pack.clone())),
            (None, _) => vec![Step::Leave],
        }
    }

    /// What is taken now: a pass, or what is left of the trim.
    fn now<'a>(&'a self, trim: &'a TrimMeant) -> &'a TrimMeant {
        self.sheet.as_ref().map_or(trim, |sheet| &sheet.trim)
    }

    fn done_otherwise(&self, job: &Job, form: &Form, show: Show) -> Result<Event, String> {
        match job {
            Job::Trim(trim) => {
                let planned = self.now(trim);
                let [start, end] = taken(planned, form, show).map_err(|error| error.to_string())?;
                let pass = self.sheet.as_ref().and_then(|sheet| sheet.pass.as_ref());
                let mut settings = settings(false, pass);
                settings.insert("planned_start".to_owned(), Value::from(planned.start.canonical()));
                settings.insert("planned_end".to_owned(), Value::from(planned.end.canonical()));
                let done = TrimMeant { start, end, ..trim.clone() };
                // Nothing can be left to do of an edge that has all its wood off.
                let more = form.value(3) == words::MORE_TO_COME && !trim.less(&done).is_nothing();
                Ok(Event::Cut(self.cut(done, form.value(2), more, settings)))
            }
            Job::Pack(pack) => {
                let by = Length::parse_signed(form.value(0), show.unit()).map_err(|error| error.to_string())?;
                Ok(Event::Pack(super::hinging::done_otherwise(pack, by)))
            }
        }
    }

    fn otherwise_form(&self, job: &Job, show: Show) -> Form {
        let trim = match job {
            Job::Trim(trim) => trim,
            Job::Pack(pack) => return super::hinging::otherwise_form(pack, show),
        };
        let (low, high) = words::corner_labels(trim.edge);
        let now = self.now(trim);
        let mut means = Field::choice(words::ASK_MEANS, &METHODS, words::HINT_MEANS);
        if let Entry::Choice { picked, .. } = &mut means.entry {
            *picked = METHODS.iter().position(|known| *known == self.method_word()).unwrap_or(0);
        }
        let mut fields = vec![
            Field::length(low, now.start.shown_down(show), show.unit(), words::HINT_REALLY_CAME_OFF),
            Field::length(high, now.end.shown_down(show), show.unit(), words::HINT_REALLY_CAME_OFF),
            means,
        ];
        if self.sheet.as_ref().and_then(|sheet| sheet.pass.as_ref()).is_some_and(|pass| !pass.is_last()) {
            fields.push(Field::choice(words::ASK_MORE, &[words::MORE_TO_COME, words::NO_MORE], words::HINT_MORE));
        }
        Form::new(fields)
    }

    fn cut(&self, intended: TrimMeant, method: &str, more: bool, settings: Map<String, Value>) -> CutDone {
        CutDone { round: self.round, intended, method: method.to_owned(), more, settings }
    }

    pub(super) fn kept(&mut self, numbers: &[u64], world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened else { return vec![Step::Leave] };
        let last = opened.records.last().map(|record| &record.event);
        let done = matches!(last, Some(Event::Cut(_) | Event::Pack(_)));
        let measured = matches!(last, Some(Event::Measured(_)));
        let mut steps = Vec::new();
        if self.keeping.was_asked() {
            steps.extend(self.typing.take().map(|typing| Step::Forget(self.draft_of(&typing, opened))));
        }
        if measured {
            self.work_out(opened, &world.shop.settings);
            return steps;
        }
        self.jobs = jobs_left(opened);
        self.choose(0, opened, world);
        match (done, self.jobs.is_empty()) {
            (true, true) => steps.extend([Step::Leave, Step::Say(Said::done(words::all_done(numbers)))]),
            (true, false) => steps.push(Step::Say(Said::done(words::kept(numbers)))),
            // Something was taken back or put back, and that is said already; without its plan nothing is to do.
            (false, true) => steps.push(Step::Leave),
            (false, false) => {}
        }
        steps
    }
}

/// The cut of round `round` that followed `sheet` to the letter, as the log keeps it.
pub fn as_shown(round: u32, sheet: &Sheet) -> CutDone {
    let mut settings = settings(true, sheet.pass.as_ref());
    if let Ok(Value::Object(shown)) = serde_json::to_value(&sheet.sheet) {
        settings.extend(shown);
    }
    let more = sheet.pass.as_ref().is_some_and(|pass| !pass.is_last());
    let method = sheet.sheet.setup.method().word().to_owned();
    CutDone { round, intended: sheet.trim.clone(), method, more, settings }
}

fn settings(as_shown: bool, pass: Option<&sheets::Pass>) -> Map<String, Value> {
    let mut settings = Map::new();
    settings.insert("as_shown".to_owned(), Value::Bool(as_shown));
    settings.extend(pass.map(|pass| ("pass".to_owned(), json!([pass.number, pass.of]))));
    settings
}

fn keep(opened: &OpeningSeen, event: Event) -> Vec<Step> {
    vec![Step::Run(Effect::Keep { opening: opened.name.clone(), events: vec![event] })]
}

/// What came off at both ends; what was left as the sheet says it is all that was planned, unrounded.
fn taken(planned: &TrimMeant, form: &Form, show: Show) -> Result<[Length; 2], LengthError> {
    let one = |at: usize, planned: Length| match form.value(at).trim() {
        same if same == planned.shown_down(show) => Ok(planned),
        typed => Length::parse(typed, show.unit()),
    };
    Ok([one(0, planned.start)?, one(1, planned.end)?])
}
