//! A practice leaf: a made-up door in this program only. The same screens, set-up sheets and cautions as for a
//! real one; what the cuts take is drawn by lot ([`chance`]) on a true leaf that no advice sees ([`door`]).
//!
//! Nothing of it leaves the program: while it is on the screen, `hold` lets no effect out that could write.
//!
//! - [`page`]: its own screen. [`outcome`]: how it ended, against what the tool's own advice would have done.
//! - [`words`]: what is said.

pub mod chance;
pub mod door;
pub mod outcome;
pub mod page;
pub mod words;

use super::counting;
use super::knowing::LookAsked;
use super::message::{Effect, Said, Tone};
use super::session::{Screen, Session};
use crate::shop::event::Event;
use crate::shop::settings::Settings;
use door::Door;
use outcome::Outcome;
use std::collections::VecDeque;

/// What practice asks for: the first four of the session itself, the rest of the shell.
#[derive(Clone, Debug, PartialEq)]
pub enum Ask {
    /// Take up the door that was left, or a new one.
    Open,
    /// Let every station be read that the round, or the advice, still wants.
    ReadAll,
    /// The same door from the start.
    Again,
    /// Measure how it ended.
    End,
    /// A number to make a door from; answered by [`Answer::Seed`].
    Seed,
    /// What to do next, by the starting guesses instead of what this shop learned; answered by
    /// [`super::Message::Looked`].
    Look(Box<LookAsked>),
    /// Measure how it ended and do the same door by the tool's own advice; answered by [`Answer::Ended`].
    Ended(Box<(Door, Settings)>),
}

/// What the shell answers.
#[derive(Clone, Debug, PartialEq)]
pub enum Answer {
    /// A number to make a door from.
    Seed(u64),
    /// How the door ended.
    Ended(Box<Ended>),
}

/// How a door ended, and how it would have ended by the tool's own advice.
#[derive(Clone, Debug, PartialEq)]
pub struct Ended {
    /// Which door, after which event.
    pub of: (u64, u64),
    /// As it was done.
    pub yours: Outcome,
    /// By the tool's own advice.
    pub tools: Outcome,
}

/// Works out how `door` ended.
pub fn ended(door: &Door, settings: &Settings) -> Answer {
    let (yours, tools) = (Outcome::of(door, settings), outcome::by_advice(door.seed, settings));
    Answer::Ended(Box::new(Ended { of: door.now(), yours, tools }))
}

/// A door at work, and how it ended once it did.
#[derive(Clone, Debug, PartialEq)]
pub struct Practice {
    /// The door.
    pub door: Door,
    /// How it ended.
    pub ended: Option<Ended>,
}

/// Is practice on the screen?
pub fn is_on(session: &Session) -> bool {
    session.screens.iter().any(|screen| matches!(screen, Screen::Practice(_)))
}

fn open(session: &mut Session, practice: Practice) {
    let from = session.screens.iter().position(|screen| matches!(screen, Screen::Practice(_)));
    session.screens.truncate(from.unwrap_or(session.screens.len()));
    session.opened = Some(practice.door.seen());
    session.practice = Some(Box::new(practice));
    session.advised.forget();
    session.screens.push(Screen::Practice(Box::default()));
}

fn start(session: &mut Session, seed: u64) {
    open(session, Practice { door: Door::new(seed), ended: None });
    session.said = Some(Said::hint(words::NOTHING_IS_KEPT));
}

/// Takes an answer of the shell.
pub(super) fn answered(session: &mut Session, answer: Answer) {
    match answer {
        Answer::Seed(seed) => start(session, seed % words::DOORS),
        Answer::Ended(ended) => {
            // A late answer to another question is none.
            if let Some(practice) = session.practice.as_mut().filter(|practice| practice.door.now() == ended.of) {
                practice.ended = Some(*ended);
            }
        }
    }
}

/// What of `effects` goes out to the shell. While practice is on the screen, what would be kept is kept by the
/// made-up door, and nothing goes out that could write.
pub(super) fn hold(session: &mut Session, effects: Vec<Effect>) -> Vec<Effect> {
    let mut out = Vec::new();
    let mut todo: VecDeque<Effect> = effects.into();
    while let Some(effect) = todo.pop_front() {
        match effect {
            Effect::Practice(Ask::Open) => match session.practice.take() {
                Some(left) if left.ended.is_none() => {
                    open(session, *left);
                    todo.extend(counting::ask(session));
                }
                _ => out.push(Effect::Practice(Ask::Seed)),
            },
            other if !is_on(session) => out.push(other),
            Effect::Keep { events, .. } => todo.extend(keep(session, events)),
            Effect::Practice(Ask::ReadAll) => todo.extend(read_all(session)),
            Effect::Practice(Ask::Again) => {
                if let Some(seed) = session.practice.as_ref().map(|practice| practice.door.seed) {
                    start(session, seed);
                }
            }
            Effect::Practice(Ask::End) => {
                if let Some(practice) = &mut session.practice {
                    practice.ended = None;
                    let asked = (practice.door.clone(), session.shop.settings.clone());
                    out.push(Effect::Practice(Ask::Ended(Box::new(asked))));
                }
            }
            Effect::Look(asked) => out.push(Effect::Practice(Ask::Look(asked))),
            Effect::Practice(_) | Effect::Quit => out.push(effect),
            _ => session.said = Some(Said::hint(words::NOT_IN_PRACTICE)),
        }
    }
    out
}

/// The made-up door takes `events` in; the session goes on as if they had been kept.
fn keep(session: &mut Session, events: Vec<Event>) -> Vec<Effect> {
    let cut = events.iter().any(|event| matches!(event, Event::Cut(_)));
    let Some(practice) = &mut session.practice else { return Vec::new() };
    match practice.door.keep(events) {
        Ok(numbers) => {
            practice.ended = None;
            let seen = practice.door.seen();
            let said = session.said.clone();
            let mut effects = session.kept(seen, &numbers);
            let plain = session.said.as_ref().is_some_and(|now| now.tone == Tone::Done && Some(now) != said.as_ref());
            if cut {
                session.said = Some(Said::done(words::CUT));
            } else if plain {
                session.said = Some(Said::done(words::TAKEN_IN));
            }
            effects.extend(counting::ask(session));
            effects
        }
        Err(why) => {
            session.said = Some(Said::trouble(why));
            Vec::new()
        }
    }
}

/// Everything the round, or the advice, still wants read is read.
fn read_all(session: &mut Session) -> Vec<Effect> {
    let Some(practice) = &session.practice else { return Vec::new() };
    let (door, feelers) = (&practice.door, &session.shop.settings.feelers);
    let looked = session.opened.as_ref().and_then(|opened| session.advised.look(opened));
    let events = match door.read_all(feelers) {
        Some(event) => vec![event],
        None => looked.map_or_else(Vec::new, |look| door.answer(look, feelers)),
    };
    if events.is_empty() {
        session.said = Some(Said::hint(words::ALL_READ));
        return Vec::new();
    }
    keep(session, events)
}
