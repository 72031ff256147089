//! One opening: its picture, the next thing to do, and the way to everything else.

use super::altering;
use super::before_pages::YearScreen;
use super::blanks::BlankScreen;
use super::corners::FlushEntry;
use super::hinging::{HingeEntry, hangable};
use super::history::LogScreen;
use super::message::{Action, Said};
use super::next;
use super::noting::NoteEntry;
use super::pins::SwingScreen;
use super::planning;
use super::printing::PrintEntry;
use super::readings::ReadingsEntry;
use super::recording::RecordCut;
use super::seen::OpeningSeen;
use super::session::{Screen, Step, World};
use super::surveying::SurveyEntry;
use super::words;
use crate::fit::policy::{Ask, Next};
use crate::shop::replay::Stage;

/// The opening's own screen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Home;

impl Home {
    pub(super) fn act(action: Action, world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened else { return vec![Step::Leave] };
        if let Some(trouble) = opened.state.trouble.as_ref().filter(|_| builds_on_the_log(action)) {
            return vec![Step::Say(Said::trouble(words::unsound(trouble.kind())))];
        }
        match action {
            Action::Enter => match opened.state.stage() {
                Stage::Unsound(_) => Vec::new(),
                Stage::Describe => vec![Step::Say(Said::hint(words::DESCRIBE_FIRST))],
                Stage::Survey | Stage::Resurvey => survey(world, opened),
                Stage::Blank => vec![Step::Open(Screen::Blank(BlankScreen::new(opened, world)))],
                Stage::Read { .. } => readings(world, opened),
                Stage::Decide { .. } if !asks(world, opened).is_empty() => readings(world, opened),
                Stage::Cut { .. } => record(world, opened),
                // Doubt came up after it was accepted: a reading was struck, say.
                Stage::Fitted { .. } | Stage::Settled { .. } | Stage::Short { .. } if wants_reading(world) => {
                    readings(world, opened)
                }
                Stage::Decide { .. } | Stage::Short { .. } => planning::open(world),
                Stage::Fitted { .. } | Stage::Settled { .. } => vec![Step::Open(Screen::Log(LogScreen::new(opened)))],
            },
            Action::Readings => readings(world, opened),
            Action::AllReadings => may_read(opened, || ReadingsEntry::new(opened)),
            Action::Plan => planning::open(world),
            Action::Cut => record(world, opened),
            Action::Altered => altering::open(world, false),
            Action::Survey => survey(world, opened),
            Action::Blank => vec![Step::Open(Screen::Blank(BlankScreen::new(opened, world)))],
            Action::Year => vec![Step::Open(Screen::Year(YearScreen::default()))],
            Action::Swing => vec![Step::Open(Screen::Swing(SwingScreen::default()))],
            Action::Flush if opened.state.leaves.is_empty() => vec![Step::Say(Said::hint(words::NO_LEAF_YET))],
            Action::Flush => may_keep(opened, || Screen::Flush(FlushEntry::new(opened, 0, world))),
            Action::Hinges if hangable(&opened.state).is_empty() => vec![Step::Say(Said::hint(nothing_hangs(opened)))],
            Action::Hinges => may_keep(opened, || Screen::Hinges(HingeEntry::new(opened, 0, world))),
            Action::Log => vec![Step::Open(Screen::Log(LogScreen::new(opened)))],
            Action::Note => may_keep(opened, || Screen::Note(NoteEntry::new(opened, world))),
            Action::Print => vec![Step::Open(Screen::Print(PrintEntry::card(&opened.name)))],
            Action::Back | Action::Left => vec![Step::Leave],
            _ => Vec::new(),
        }
    }
}

/// Why no hinges can be told.
fn nothing_hangs(opened: &OpeningSeen) -> &'static str {
    let state = &opened.state;
    let will = state.leaf_ids().into_iter().any(|id| state.leaf(id).is_none() && state.hinge_of(id).is_some());
    if will { super::hinge_words::SIZE_FIRST } else { words::NOTHING_HANGS }
}

/// Does it show, or take, what only the whole of the log can tell? The log itself, and the card, say what is wrong.
fn builds_on_the_log(action: Action) -> bool {
    matches!(
        action,
        Action::Enter
            | Action::Readings
            | Action::AllReadings
            | Action::Plan
            | Action::Cut
            | Action::Survey
            | Action::Blank
            | Action::Year
            | Action::Swing
            | Action::Flush
            | Action::Hinges
            | Action::Note
    )
}

/// Opens `screen`, or says why nothing can be kept.
fn may_keep(opened: &OpeningSeen, screen: impl FnOnce() -> Screen) -> Vec<Step> {
    match &opened.read_only {
        Some(why) => vec![Step::Say(Said::trouble(words::read_only(why)))],
        None => vec![Step::Open(screen())],
    }
}

fn survey(world: World<'_>, opened: &OpeningSeen) -> Vec<Step> {
    may_keep(opened, || Screen::Survey(SurveyEntry::new(opened, world)))
}

pub(super) fn asks<'a>(world: World<'a>, opened: &OpeningSeen) -> &'a [Ask] {
    world.look().map_or(&[], |look| next::asks(look, opened))
}

fn wants_reading(world: World<'_>) -> bool {
    world.look().is_some_and(|look| matches!(look.unbound(), Next::Read(_)))
}

/// The stations that the advice asks for; all of them where it asks for none.
pub(super) fn readings(world: World<'_>, opened: &OpeningSeen) -> Vec<Step> {
    let again = world.look().and_then(|look| ReadingsEntry::again(opened, look));
    may_read(opened, || again.unwrap_or_else(|| ReadingsEntry::new(opened)))
}

fn may_read(opened: &OpeningSeen, entry: impl FnOnce() -> ReadingsEntry) -> Vec<Step> {
    if matches!(opened.state.stage(), Stage::Survey | Stage::Resurvey | Stage::Blank) {
        return vec![Step::Say(Said::hint(super::making_words::no_size_yet(&opened.state)))];
    }
    if opened.state.stage() == Stage::Describe {
        return vec![Step::Say(Said::hint(words::DESCRIBE_FIRST))];
    }
    may_keep(opened, || Screen::Readings(Box::new(entry())))
}

pub(super) fn record(world: World<'_>, opened: &OpeningSeen) -> Vec<Step> {
    let record = RecordCut::new(opened, world);
    if record.jobs.is_empty() {
        return vec![Step::Say(Said::hint(words::NOTHING_TO_RECORD))];
    }
    let mut steps = may_keep(opened, || Screen::Record(record));
    if world.look().and_then(|look| look.accepted.as_ref()).is_some_and(|accepted| accepted.differs) {
        steps.push(Step::Say(Said::hint(words::DIFFERS_NOW)));
    }
    steps
}
