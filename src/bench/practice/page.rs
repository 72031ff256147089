//! The practice page: at the door, a cut of one's own, and how it ended.

use super::door::LEAF;
use super::{Ask, words};
use crate::bench::form::{Field, Filled, Form};
use crate::bench::message::{Action, Effect, Said};
use crate::bench::recording::RecordCut;
use crate::bench::seen::OpeningSeen;
use crate::bench::session::{Screen, Step, World};
use crate::bench::{home, planning};
use crate::fit::length::Length;
use crate::fit::opening::Edge;
use crate::shop::event::{Event, PlanAccepted, TrimMeant};
use crate::shop::replay::Stage;

/// What of practice is shown.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Part {
    /// The door and the next thing to do.
    #[default]
    Bench,
    /// A cut of one's own.
    Own(Form),
    /// How it ended.
    End,
}

/// The page.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PracticePage {
    /// What is shown.
    pub part: Part,
}

fn run(ask: Ask) -> Vec<Step> {
    vec![Step::Run(Effect::Practice(ask))]
}

fn hint(text: &str) -> Vec<Step> {
    vec![Step::Say(Said::hint(text))]
}

fn own_cut() -> Form {
    let [low, high] = words::OFF_ENDS;
    Form::new(vec![
        Field::choice(words::ASK_EDGE, &Edge::ALL.map(Edge::word), words::HINT_CHOOSE),
        Field::figures(low, "", words::HINT_OFF),
        Field::figures(high, "", words::HINT_OFF),
        Field::choice(words::ASK_TOOL, &["saw", "plane"], words::HINT_CHOOSE),
    ])
}

impl PracticePage {
    pub(in crate::bench) fn act(&mut self, action: Action, world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened else { return vec![Step::Leave] };
        match &mut self.part {
            Part::Bench => self.at_the_door(action, world, opened),
            Part::Own(form) => match form.act(action) {
                Filled::Open => Vec::new(),
                Filled::Left => {
                    self.part = Part::Bench;
                    Vec::new()
                }
                Filled::Whole => own_plan(form, world, opened),
            },
            Part::End => match action {
                Action::NewOpening => run(Ask::Seed),
                Action::Retake => run(Ask::Again),
                Action::Back | Action::Left => {
                    self.part = Part::Bench;
                    Vec::new()
                }
                _ => Vec::new(),
            },
        }
    }

    fn at_the_door(&mut self, action: Action, world: World<'_>, opened: &OpeningSeen) -> Vec<Step> {
        match action {
            Action::Enter => match opened.state.stage() {
                Stage::Decide { .. } if home::asks(world, opened).is_empty() => planning::open(world),
                Stage::Cut { .. } => home::record(world, opened),
                Stage::Fitted { .. } | Stage::Settled { .. } | Stage::Short { .. } => self.end(),
                _ => home::readings(world, opened),
            },
            Action::Readings => home::readings(world, opened),
            Action::AllReadings => run(Ask::ReadAll),
            Action::Plan => planning::open(world),
            Action::Cut => home::record(world, opened),
            Action::Otherwise if opened.last_read_round().is_none() => hint(words::READ_FIRST),
            Action::Otherwise => {
                self.part = Part::Own(own_cut());
                Vec::new()
            }
            Action::HowItEnded => self.end(),
            Action::Back | Action::Left => vec![Step::Leave],
            _ => Vec::new(),
        }
    }

    fn end(&mut self) -> Vec<Step> {
        self.part = Part::End;
        run(Ask::End)
    }

    /// The cut of one's own is a plan now: its set-up sheet is next.
    pub(in crate::bench) fn kept(&mut self, world: World<'_>) -> Vec<Step> {
        let (Part::Own(_), Some(opened)) = (&self.part, world.opened) else { return Vec::new() };
        self.part = Part::Bench;
        let record = RecordCut::new(opened, world);
        if record.jobs.is_empty() { Vec::new() } else { vec![Step::Open(Screen::Record(record))] }
    }
}

/// What was typed as a plan of one trim, so that the set-up sheet and its cautions come before the cut.
fn own_plan(form: &Form, world: World<'_>, opened: &OpeningSeen) -> Vec<Step> {
    let unit = world.shop.show().unit();
    let length = |place: usize| match form.value(place).trim() {
        "" => Ok(Length::ZERO),
        text => Length::parse(text, unit),
    };
    let (start, end) = match (length(1), length(2)) {
        (Ok(start), Ok(end)) => (start, end),
        (Err(why), _) | (_, Err(why)) => return vec![Step::Say(Said::trouble(why.to_string()))],
    };
    let Ok(edge) = form.value(0).parse::<Edge>() else { return Vec::new() };
    if opened.state.leaf(LEAF).is_some_and(|leaf| !leaf.may_cut.has(edge)) {
        return vec![Step::Say(Said::trouble(words::BOTTOM_STAYS))];
    }
    let round = opened.state.current_round();
    let cuts = opened.state.latest().map_or(&[][..], |round| &round.cuts);
    if cuts.iter().any(|cut| cut.what.intended.edge == edge) {
        return vec![Step::Say(Said::trouble(words::CUT_ALREADY))];
    }
    let plan = PlanAccepted {
        round,
        verdict: "cut".to_owned(),
        prefer: world.shop.settings.prefer,
        every_edge: false,
        trims: vec![TrimMeant { leaf: LEAF.to_owned(), edge, start, end, reckoned: None }],
        lines: Vec::new(),
        means: vec![form.value(3).to_owned()],
        packs: Vec::new(),
    };
    vec![Step::Run(Effect::Keep { opening: opened.name.clone(), events: vec![Event::Plan(plan)] })]
}
