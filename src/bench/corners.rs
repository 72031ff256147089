//! Proud and shy at the four corners.

use super::drafts::{DraftOf, Drafts, Keeping, Page};
use super::form::{Field, Filled, Form};
use super::measuring::typed;
use super::message::Action;
use super::prepare::flushness;
use super::seen::OpeningSeen;
use super::session::{Step, World};
use crate::fit::length::{Length, Unit};
use crate::shop::event::{Event, FlushRead};

const CORNER: &str = "proud of the frame plain, shy with - before it; all four, 0 where flush";
const HINGES: &str = "heights of the hinges above the leaf's lower end, like 3, 23";

/// Corners being entered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FlushEntry {
    /// Place of the leaf among those described.
    pub leaf: usize,
    /// Four corners and the hinges.
    pub form: Form,
    /// How far they have come to being kept.
    pub keeping: Keeping,
    /// Is the screen to be left once they are?
    left: bool,
}

impl FlushEntry {
    /// For the leaf at `leaf`, with what was read last, or was typed and set aside.
    pub fn new(opened: &OpeningSeen, leaf: usize, world: World<'_>) -> Self {
        let show = world.shop.show();
        let id = opened.state.leaves.get(leaf).map_or("", |leaf| leaf.what.leaf.as_str());
        let read = opened.state.flush.iter().rev().find(|said| said.what.leaf == id);
        let corner = |place: usize| read.map_or(String::new(), |said| typed(said.what.corners[place], show));
        let hinges: Vec<_> = flushness::hinges(&opened.state, id).into_iter().map(|l| typed(l, show)).collect();
        let names = ["upper left", "upper right", "lower left", "lower right"];
        let places = [2, 3, 0, 1];
        let mut fields: Vec<_> =
            names.into_iter().zip(places).map(|(name, place)| Field::text(name, corner(place), CORNER)).collect();
        fields.push(Field::text("hinges at", hinges.join(", "), HINGES));
        let mut form = Form::new(fields);
        let keeping = Keeping::resumed(&mut form, &of(opened, id), world.drafts);
        Self { leaf, form, keeping, left: false }
    }

    fn read(&self, id: &str, unit: Unit) -> Result<FlushRead, (usize, String)> {
        let corner = |place: usize| {
            if self.form.value(place).trim().is_empty() {
                return Err((place, "this corner is not read".to_owned()));
            }
            Length::parse_signed(self.form.value(place), unit).map_err(|error| (place, error.to_string()))
        };
        let corners = [corner(2)?, corner(3)?, corner(0)?, corner(1)?];
        let hinges = self.form.value(4).split([',', ';']).map(str::trim).filter(|part| !part.is_empty());
        let hinges = hinges.map(|part| Length::parse(part, unit).map_err(|error| (4, error.to_string())));
        Ok(FlushRead { leaf: id.to_owned(), corners, hinges: hinges.collect::<Result<_, _>>()? })
    }

    pub(super) fn act(&mut self, action: Action, world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened else { return vec![Step::Leave] };
        let filled = self.form.act(action);
        if filled == Filled::Open {
            return Vec::new();
        }
        let Some(leaf) = opened.state.leaves.get(self.leaf) else { return vec![Step::Leave] };
        let id = leaf.what.leaf.as_str();
        let left = filled == Filled::Left;
        if left && (self.keeping.is_fresh(&self.form) || self.keeping.was_refused(&self.form)) {
            let mut steps = self.keeping.set_aside(&self.form, of(opened, id));
            steps.push(Step::Leave);
            return steps;
        }
        match self.read(id, world.shop.show().unit()) {
            Ok(read) => {
                let same = opened.state.flush.iter().rev().find(|said| said.what.leaf == read.leaf);
                if same.is_some_and(|said| said.what == read) {
                    return self.next(opened, left, world);
                }
                self.left = left;
                self.keeping.ask(&opened.name, vec![Event::Flush(read)])
            }
            Err((field, why)) => self.keeping.complain(&mut self.form, field, &why),
        }
    }

    /// Once the corners are kept, the next leaf, or out.
    pub(super) fn kept(&mut self, world: World<'_>) -> Vec<Step> {
        match world.opened {
            Some(opened) if self.keeping.was_asked() => self.next(opened, self.left, world),
            _ => Vec::new(),
        }
    }

    /// After the last field the next leaf; after the last leaf the screen stays on what it comes to.
    fn next(&mut self, opened: &OpeningSeen, left: bool, world: World<'_>) -> Vec<Step> {
        let id = opened.state.leaves.get(self.leaf).map_or("", |leaf| leaf.what.leaf.as_str());
        let mut steps = vec![Step::Forget(of(opened, id))];
        if left {
            steps.push(Step::Leave);
        } else {
            let next = if self.leaf + 1 < opened.state.leaves.len() { self.leaf + 1 } else { self.leaf };
            // Not what was just kept: only what was set aside for another leaf.
            let none = Drafts::default();
            let drafts = if next == self.leaf { &none } else { world.drafts };
            *self = Self::new(opened, next, World { drafts, ..world });
        }
        steps
    }
}

fn of(opened: &OpeningSeen, leaf: &str) -> DraftOf {
    DraftOf::new(&opened.name, Page::Flush, leaf)
}
