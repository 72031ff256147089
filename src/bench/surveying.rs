//! Measuring the opening: every length may be left out; what is typed is kept when the screen is left.

use super::form::{Field, Filled, Form};
use super::message::{Action, Effect, Said};
use super::seen::OpeningSeen;
use super::session::{Step, World};
use crate::before::survey::Tape;
use crate::fit::length::{Length, Show, Unit};
use crate::shop::event::{Event, SurveyTaken};

const LABELS: [&str; 12] = [
    "width, bottom",
    "width, middle",
    "width, top",
    "height, left",
    "height, middle",
    "height, right",
    "diagonal /",
    "diagonal \\",
    "bow, left side",
    "bow, right side",
    "bow, bottom",
    "bow, top",
];
const TAPE: &str = "by tape; leave empty what you did not measure";
const BOW: &str = "straightedge at mid: hollow plain, round with - before it; empty: not looked at";

/// The survey being entered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SurveyEntry {
    /// Its twelve fields.
    pub form: Form,
}

impl SurveyEntry {
    /// With what was measured before.
    pub fn new(opened: &OpeningSeen, show: Show) -> Self {
        let tape = opened.state.survey.as_ref().map(SurveyTaken::tape).unwrap_or_default();
        let lengths = tape.widths.into_iter().chain(tape.heights).chain(tape.diagonals).chain(tape.bows);
        let field = |(place, (label, length)): (usize, (&'static str, Option<Length>))| {
            Field::text(label, length.map_or(String::new(), |l| typed(l, show)), if place < 8 { TAPE } else { BOW })
        };
        Self { form: Form::new(LABELS.into_iter().zip(lengths).enumerate().map(field).collect()) }
    }

    /// What is typed, or the field that is no length and why.
    pub fn tape(&self, unit: Unit) -> Result<Tape, (usize, String)> {
        let read = |place: usize| {
            let text = self.form.value(place).trim();
            let parse = if place < 8 { Length::parse } else { Length::parse_signed };
            match text {
                "" => Ok(None),
                text => parse(text, unit).map(Some).map_err(|error| (place, error.to_string())),
            }
        };
        Ok(Tape {
            widths: [read(0)?, read(1)?, read(2)?],
            heights: [read(3)?, read(4)?, read(5)?],
            diagonals: [read(6)?, read(7)?],
            bows: [read(8)?, read(9)?, read(10)?, read(11)?],
        })
    }

    pub(super) fn act(&mut self, action: Action, world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened else { return vec![Step::Leave] };
        match self.form.act(action) {
            Filled::Open => Vec::new(),
            Filled::Left | Filled::Whole => self.leave(opened, world.shop.show().unit()),
        }
    }

    fn leave(&mut self, opened: &OpeningSeen, unit: Unit) -> Vec<Step> {
        let tape = match self.tape(unit) {
            Ok(tape) => tape,
            Err((field, why)) => {
                self.form.at = field;
                return vec![Step::Say(Said::trouble(why))];
            }
        };
        let before = opened.state.survey.as_ref().map(SurveyTaken::tape).unwrap_or_default();
        if tape == before || tape == Tape::default() {
            return vec![Step::Leave];
        }
        let events = vec![Event::Survey(SurveyTaken::of(&tape))];
        vec![Step::Leave, Step::Run(Effect::Keep { opening: opened.name.clone(), events })]
    }
}

/// A length as it can be typed again, exact.
pub fn typed(length: Length, show: Show) -> String {
    let (_, error) = length.rounded(show);
    if error.is_zero() { length.shown(show) } else { length.canonical().trim_end_matches('"').to_owned() }
}
