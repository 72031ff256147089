//! Proud and shy at the four corners.

use super::form::{Field, Filled, Form};
use super::message::{Action, Effect, Said};
use super::prepare::flushness;
use super::seen::OpeningSeen;
use super::session::{Step, World};
use super::surveying::typed;
use crate::fit::length::{Length, Show, Unit};
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
}

impl FlushEntry {
    /// For the leaf at `leaf`, with what was read last.
    pub fn new(opened: &OpeningSeen, leaf: usize, show: Show) -> Self {
        let id = opened.state.leaves.get(leaf).map_or("", |leaf| leaf.what.leaf.as_str());
        let read = opened.state.flush.iter().rev().find(|said| said.what.leaf == id);
        let corner = |place: usize| read.map_or(String::new(), |said| typed(said.what.corners[place], show));
        let hinges: Vec<_> = flushness::hinges(&opened.state, id).into_iter().map(|l| typed(l, show)).collect();
        let names = ["upper left", "upper right", "lower left", "lower right"];
        let places = [2, 3, 0, 1];
        let mut fields: Vec<_> =
            names.into_iter().zip(places).map(|(name, place)| Field::text(name, corner(place), CORNER)).collect();
        fields.push(Field::text("hinges at", hinges.join(", "), HINGES));
        Self { leaf, form: Form::new(fields) }
    }

    fn read(&self, id: &str, unit: Unit) -> Result<FlushRead, (usize, String)> {
        let corner = |place: usize| {
            Length::parse_signed(self.form.value(place), unit).map_err(|error| (place, error.to_string()))
        };
        let corners = [corner(2)?, corner(3)?, corner(0)?, corner(1)?];
        let hinges = self.form.value(4).split([',', ';']).map(str::trim).filter(|part| !part.is_empty());
        let hinges = hinges.map(|part| Length::parse(part, unit).map_err(|error| (4, error.to_string())));
        Ok(FlushRead { leaf: id.to_owned(), corners, hinges: hinges.collect::<Result<_, _>>()? })
    }

    pub(super) fn act(&mut self, action: Action, world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened else { return vec![Step::Leave] };
        let show = world.shop.show();
        let filled = self.form.act(action);
        if filled == Filled::Open {
            return Vec::new();
        }
        let Some(leaf) = opened.state.leaves.get(self.leaf) else { return vec![Step::Leave] };
        if filled == Filled::Left && (0..4).all(|place| self.form.value(place).trim().is_empty()) {
            return vec![Step::Leave];
        }
        match self.read(&leaf.what.leaf, show.unit()) {
            Ok(read) => {
                let same = opened.state.flush.iter().rev().find(|said| said.what.leaf == read.leaf);
                if same.is_some_and(|said| said.what == read) {
                    return self.next(opened, filled, show);
                }
                let events = vec![Event::Flush(read)];
                let keep = Step::Run(Effect::Keep { opening: opened.name.clone(), events });
                let mut steps = self.next(opened, filled, show);
                steps.push(keep);
                steps
            }
            Err((field, why)) => {
                self.form.at = field;
                vec![Step::Say(Said::trouble(why))]
            }
        }
    }

    /// After the last field the next leaf; after the last leaf the screen stays on what it comes to.
    fn next(&mut self, opened: &OpeningSeen, filled: Filled, show: Show) -> Vec<Step> {
        if filled == Filled::Left {
            return vec![Step::Leave];
        }
        if self.leaf + 1 < opened.state.leaves.len() {
            *self = Self::new(opened, self.leaf + 1, show);
        } else {
            self.form.at = 0;
        }
        Vec::new()
    }
}
