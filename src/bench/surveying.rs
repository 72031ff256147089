//! Measuring the opening: every length may be left out; what is typed is kept when the screen is left.

use super::drafts::{DraftOf, Keeping, Page};
use super::form::{Field, Filled, Form};
use super::measuring::typed;
use super::message::Action;
use super::seen::OpeningSeen;
use super::session::{Step, World};
use crate::before::survey::Tape;
use crate::fit::length::{Length, Unit};
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
    /// How far it has come to being kept.
    pub keeping: Keeping,
}

impl SurveyEntry {
    /// With what was measured before, or was typed and set aside.
    pub fn new(opened: &OpeningSeen, world: World<'_>) -> Self {
        let show = world.shop.show();
        let tape = opened.state.survey.as_ref().map(SurveyTaken::tape).unwrap_or_default();
        let lengths = tape.widths.into_iter().chain(tape.heights).chain(tape.diagonals).chain(tape.bows);
        let field = |(place, (label, length)): (usize, (&'static str, Option<Length>))| {
            let value = length.map_or(String::new(), |l| typed(l, show));
            if place < 8 {
                Field::length(label, value, show.unit(), TAPE)
            } else {
                Field::signed_length(label, value, show.unit(), BOW)
            }
        };
        let mut form = Form::new(LABELS.into_iter().zip(lengths).enumerate().map(field).collect());
        let keeping = Keeping::resumed(&mut form, &of(opened), world.drafts);
        Self { form, keeping }
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
        let filled = self.form.act(action);
        if filled == Filled::Open {
            return Vec::new();
        }
        if filled == Filled::Left && self.keeping.was_refused(&self.form) {
            return self.set_aside(opened);
        }
        let tape = match self.tape(world.shop.show().unit()) {
            Ok(tape) => tape,
            Err((field, why)) => return self.keeping.complain(&mut self.form, field, &why),
        };
        let before = opened.state.survey.as_ref().map(SurveyTaken::tape).unwrap_or_default();
        if tape == before || tape == Tape::default() {
            return vec![Step::Forget(of(opened)), Step::Leave];
        }
        self.keeping.ask(&opened.name, vec![Event::Survey(SurveyTaken::of(&tape))])
    }

    fn set_aside(&self, opened: &OpeningSeen) -> Vec<Step> {
        let mut steps = self.keeping.set_aside(&self.form, of(opened));
        steps.push(Step::Leave);
        steps
    }

    /// Only once the survey is kept the screen is left.
    pub(super) fn kept(&mut self, world: World<'_>) -> Vec<Step> {
        match world.opened {
            Some(opened) if self.keeping.was_asked() => vec![Step::Forget(of(opened)), Step::Leave],
            _ => Vec::new(),
        }
    }
}

fn of(opened: &OpeningSeen) -> DraftOf {
    DraftOf::new(&opened.name, Page::Survey, "")
}
