//! How the leaves swing, for each place that a hinge pin may stand, and where this shop's own pin stands, typed.

use super::drafts::{DraftOf, Keeping, Page};
use super::form::{Field, Filled, Form};
use super::measuring::typed;
use super::message::{Action, Said};
use super::prepare::swinging::{self, LeafSwing};
use super::seen::OpeningSeen;
use super::session::{Step, World};
use super::shop_list::moved;
use crate::fit::length::{Length, Unit};
use crate::shop::event::Event;
use crate::shop::making::PinAt;

const OFF_EDGE: &str = "off the hinge edge toward the frame; with - before it, within the leaf";
const IN_FRONT: &str = "in front of the leaf's face; with - before it, behind the face";

/// How the leaves swing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SwingScreen {
    /// Place among the leaves whose swing is known.
    pub leaf: usize,
    /// Which place of its pin is drawn.
    pub at: usize,
    /// Where the pin stands, being typed.
    pub typing: Option<Form>,
    keeping: Keeping,
}

impl SwingScreen {
    /// The leaf that is shown, of `swings`.
    pub fn shown<'a>(&self, swings: &'a [LeafSwing]) -> Option<&'a LeafSwing> {
        swings.get(self.leaf.min(swings.len().saturating_sub(1)))
    }

    pub(super) fn act(&mut self, action: Action, world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened else { return vec![Step::Leave] };
        let (swings, _) = swinging::swings(&opened.state);
        let Some(leaf) = self.shown(&swings) else {
            return match action {
                Action::Back | Action::Left => vec![Step::Leave],
                Action::Build => {
                    vec![Step::Say(Said::hint("no leaf here swings yet: its size and thickness first (b)"))]
                }
                _ => Vec::new(),
            };
        };
        if let Some(form) = &mut self.typing {
            return match form.act(action) {
                Filled::Open => Vec::new(),
                Filled::Left => {
                    let steps = self.keeping.set_aside(form, of(opened, &leaf.leaf));
                    self.typing = None;
                    steps
                }
                Filled::Whole => self.typed(opened, leaf, world.shop.show().unit()),
            };
        }
        if let Some(at) = moved(self.at, leaf.cases.len(), action) {
            self.at = at;
            return Vec::new();
        }
        match action {
            Action::Back => return vec![Step::Leave],
            Action::Left if self.leaf == 0 => return vec![Step::Leave],
            Action::Left => (self.leaf, self.at) = (self.leaf - 1, 0),
            Action::Right if self.leaf + 1 < swings.len() => (self.leaf, self.at) = (self.leaf + 1, 0),
            Action::Build => return self.ask(opened, leaf, world),
            _ => {}
        }
        Vec::new()
    }

    fn ask(&mut self, opened: &OpeningSeen, leaf: &LeafSwing, world: World<'_>) -> Vec<Step> {
        if let Some(why) = &opened.read_only {
            return vec![Step::Say(Said::trouble(super::words::read_only(why)))];
        }
        let Some(build) = opened.state.making.build(&leaf.leaf) else {
            return vec![Step::Say(Said::hint("say how the leaf is made first (b, then m): the pin is kept with it"))];
        };
        let show = world.shop.show();
        let at = |pick: fn(PinAt) -> Length| build.pin.map_or(String::new(), |pin| typed(pick(pin), show));
        let mut form = Form::new(vec![
            Field::text("pin off the hinge edge", at(|pin| pin.off_edge), OFF_EDGE),
            Field::text("pin in front of the face", at(|pin| pin.in_front), IN_FRONT),
        ]);
        self.keeping = Keeping::resumed(&mut form, &of(opened, &leaf.leaf), world.drafts);
        self.typing = Some(form);
        Vec::new()
    }

    fn typed(&mut self, opened: &OpeningSeen, leaf: &LeafSwing, unit: Unit) -> Vec<Step> {
        let (Some(form), Some(build)) = (&mut self.typing, opened.state.making.build(&leaf.leaf)) else {
            return Vec::new();
        };
        let read = |place: usize| {
            Length::parse_signed(form.value(place).trim(), unit).map_err(|error| (place, error.to_string()))
        };
        match read(0).and_then(|off_edge| Ok(PinAt { off_edge, in_front: read(1)? })) {
            Ok(pin) => {
                let mut build = build.clone();
                build.pin = Some(pin);
                self.keeping.ask(&opened.name, vec![Event::Build(build)])
            }
            Err((field, why)) => self.keeping.complain(form, field, &why),
        }
    }

    /// Once it is kept, the leaf's own pin is the one that is drawn.
    pub(super) fn kept(&mut self, world: World<'_>) -> Vec<Step> {
        if !self.keeping.was_asked() {
            return Vec::new();
        }
        (self.typing, self.at) = (None, 0);
        let opened = world.opened;
        let swings = opened.map(|opened| swinging::swings(&opened.state).0).unwrap_or_default();
        let of = opened.and_then(|opened| Some(of(opened, &self.shown(&swings)?.leaf)));
        of.map(Step::Forget).into_iter().collect()
    }

    /// It was not kept: the form stays.
    pub(super) fn failed(&mut self) {
        if let Some(form) = &self.typing {
            self.keeping.failed(form);
        }
    }
}

fn of(opened: &OpeningSeen, leaf: &str) -> DraftOf {
    DraftOf::new(&opened.name, Page::Swing, leaf)
}
