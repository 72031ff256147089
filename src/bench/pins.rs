//! How the leaves swing, for each place that a hinge pin may stand, and where this shop's own pin stands, typed.

use super::drafts::{DraftOf, Keeping, Page};
use super::form::{Field, Filled, Form};
use super::measuring::typed;
use super::message::{Action, Said};
use super::prepare::swinging;
use super::seen::OpeningSeen;
use super::session::{Step, World};
use super::shop_list::moved;
use crate::fit::length::{Length, Unit};
use crate::shop::OpeningState;
use crate::shop::event::Event;
use crate::shop::making::PinAt;
use crate::shop::pin::PinTold;

const OFF_EDGE: &str = "off the hinge edge toward the frame; with - before it, within the leaf";
const IN_FRONT: &str = "in front of the leaf's face; with - before it, behind the face";
const THICKNESS: &str = "empty: 3/4 (19 mm), a starting value until it is measured";
const NOTHING_SWINGS: &str = "nothing swings here: no leaf has a hinge side";

/// How the leaves swing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SwingScreen {
    /// Place among the leaves that have a hinge side.
    pub leaf: usize,
    /// Which place of its pin is drawn.
    pub at: usize,
    /// Where the pin stands, being typed.
    pub typing: Option<Form>,
    /// How far it has come to being kept.
    pub keeping: Keeping,
}

impl SwingScreen {
    /// Short name of the leaf that is shown.
    pub fn shown<'a>(&self, state: &'a OpeningState) -> Option<&'a str> {
        let hinged = swinging::hinged(state);
        hinged.get(self.leaf.min(hinged.len().saturating_sub(1))).copied()
    }

    pub(super) fn act(&mut self, action: Action, world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened else { return vec![Step::Leave] };
        let Some(leaf) = self.shown(&opened.state) else {
            return match action {
                Action::Back | Action::Left => vec![Step::Leave],
                Action::Build => vec![Step::Say(Said::hint(NOTHING_SWINGS))],
                _ => Vec::new(),
            };
        };
        if let Some(form) = &mut self.typing {
            return match form.act(action) {
                Filled::Open => Vec::new(),
                Filled::Left => {
                    let steps = self.keeping.set_aside(form, of(opened, leaf));
                    self.typing = None;
                    steps
                }
                Filled::Whole => match told(form, leaf, world.shop.show().unit()) {
                    Ok(told) => self.keeping.ask(&opened.name, vec![Event::Pin(told)]),
                    Err((field, why)) => self.keeping.complain(form, field, &why),
                },
            };
        }
        let (swings, _) = swinging::swings(&opened.state);
        let cases = swings.iter().find(|swing| swing.leaf == leaf).map_or(0, |swing| swing.cases.len());
        if let Some(at) = moved(self.at, cases, action) {
            self.at = at;
            return Vec::new();
        }
        match action {
            Action::Back => return vec![Step::Leave],
            Action::Left if self.leaf == 0 => return vec![Step::Leave],
            Action::Left => (self.leaf, self.at) = (self.leaf - 1, 0),
            Action::Right if self.leaf + 1 < swinging::hinged(&opened.state).len() => {
                (self.leaf, self.at) = (self.leaf + 1, 0);
            }
            Action::Build => return self.ask(opened, leaf, world),
            _ => {}
        }
        Vec::new()
    }

    fn ask(&mut self, opened: &OpeningSeen, leaf: &str, world: World<'_>) -> Vec<Step> {
        if let Some(why) = &opened.read_only {
            return vec![Step::Say(Said::trouble(super::words::read_only(why)))];
        }
        let (state, show) = (&opened.state, world.shop.show());
        let pin = state.making.pin(leaf);
        let at = |pick: fn(PinAt) -> Length| pin.map_or(String::new(), |pin| typed(pick(pin), show));
        let mut fields = vec![
            Field::figures("pin off the hinge edge", at(|pin| pin.off_edge), OFF_EDGE),
            Field::figures("pin in front of the face", at(|pin| pin.in_front), IN_FRONT),
        ];
        if !state.thickness_stands_elsewhere(leaf) {
            let thickness = state.thickness_of(leaf).map_or(String::new(), |known| typed(known, show));
            fields.push(Field::length("thickness of the leaf", thickness, show.unit(), THICKNESS));
        }
        let mut form = Form::new(fields);
        self.keeping = Keeping::resumed(&mut form, &of(opened, leaf), world.drafts);
        self.typing = Some(form);
        Vec::new()
    }

    /// Once it is kept, the leaf's own pin is the one that is drawn.
    pub(super) fn kept(&mut self, world: World<'_>) -> Vec<Step> {
        if !self.keeping.was_asked() {
            return Vec::new();
        }
        (self.typing, self.at) = (None, 0);
        let opened = world.opened;
        let of = opened.and_then(|opened| Some(of(opened, self.shown(&opened.state)?)));
        of.map(Step::Forget).into_iter().collect()
    }

    /// It was not kept: the form stays.
    pub(super) fn failed(&mut self) {
        if let Some(form) = &self.typing {
            self.keeping.failed(form);
        }
    }
}

/// Where the pin stands, as typed; or the field that says nothing, and why.
fn told(form: &Form, leaf: &str, unit: Unit) -> Result<PinTold, (usize, String)> {
    let read =
        |place: usize| Length::parse_signed(form.value(place).trim(), unit).map_err(|error| (place, error.to_string()));
    let thickness = match form.value(2).trim() {
        "" => None,
        text => Some(Length::parse(text, unit).map_err(|error| (2, error.to_string()))?),
    };
    Ok(PinTold { leaf: leaf.to_owned(), off_edge: read(0)?, in_front: read(1)?, thickness })
}

fn of(opened: &OpeningSeen, leaf: &str) -> DraftOf {
    DraftOf::new(&opened.name, Page::Swing, leaf)
}
