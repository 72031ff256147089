//! Proud and shy at the four corners.

use super::drafts::{DraftOf, Drafts, Keeping, Page};
use super::form::{Field, Filled, Form};
use super::measuring::typed;
use super::message::Action;
use super::prepare::flushness::{self, LeafFlush};
use super::seen::OpeningSeen;
use super::session::{Step, World};
use crate::fit::length::{Length, Unit};
use crate::shop::depth::{DepthTurned, ScrewTurned};
use crate::shop::event::{Event, FlushRead};

const CORNER: &str = "proud of the frame plain, shy with - before it; all four, 0 where flush";
const HINGES: &str = "heights of the hinges above the leaf's lower end, like 3, 23";
const SCREWS: &str = "a: turned as advised; or each hinge's turn, lowest first, like -1/16, 0";
/// Place of the field for the depth screws.
const SCREWS_AT: usize = 5;

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
        let known = known(opened, id, world);
        // Screws turned since: what was read before stands no more, and what is expected was not read.
        let stands = known.as_ref().filter(|known| known.expected.is_none());
        let corner = |place: usize| stands.map_or(String::new(), |known| typed(known.read.corners[place], show));
        let hinges: Vec<_> = flushness::hinges(&opened.state, id).into_iter().map(|l| typed(l, show)).collect();
        let names = ["upper left", "upper right", "lower left", "lower right"];
        let places = [2, 3, 0, 1];
        let mut fields: Vec<_> =
            names.into_iter().zip(places).map(|(name, place)| Field::figures(name, corner(place), CORNER)).collect();
        fields.push(Field::figures("hinges at", hinges.join(", "), HINGES));
        if known.is_some_and(|known| !known.depth.is_empty()) {
            fields.push(Field::figures("depth screws", "", SCREWS));
        }
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

    /// What the fields say that is not kept yet: corners, or depth screws turned; or the field that is wrong, and why.
    fn said(&self, opened: &OpeningSeen, id: &str, world: World<'_>) -> Result<Option<Event>, (usize, String)> {
        let unit = world.shop.show().unit();
        let known = known(opened, id, world);
        let turned = self.form.value(SCREWS_AT).trim();
        let none_read = (0..4).all(|place| self.form.value(place).trim().is_empty());
        let (Some(known), true) = (&known, none_read || !turned.is_empty()) else {
            let read = self.read(id, unit)?;
            let same = known.is_some_and(|known| known.expected.is_none() && known.read == read);
            return Ok((!same).then_some(Event::Flush(read)));
        };
        if turned.is_empty() {
            // Screws were turned and nothing is read since: that may wait.
            return if known.expected.is_some() { Ok(None) } else { self.read(id, unit).map(|_| None) };
        }
        if !none_read && self.read(id, unit)?.corners != known.read.corners {
            return Err((SCREWS_AT, "the corners are not kept yet: empty this, keep them, then the turns".to_owned()));
        }
        let screws = turns(turned, known, unit).map_err(|why| (SCREWS_AT, why))?;
        Ok(Some(Event::Depth(DepthTurned { leaf: id.to_owned(), screws })))
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
        match self.said(opened, id, world) {
            Ok(None) => self.next(opened, left, world),
            Ok(Some(event)) => {
                self.left = left;
                self.keeping.ask(&opened.name, vec![event])
            }
            Err((field, why)) => self.keeping.complain(&mut self.form, field, &why),
        }
    }

    /// Once the corners are kept, the next leaf, or out.
    pub(super) fn kept(&mut self, world: World<'_>) -> Vec<Step> {
        match world.opened {
            Some(opened) if self.keeping.was_asked() => {
                let id = opened.state.leaves.get(self.leaf).map_or("", |leaf| leaf.what.leaf.as_str());
                let screws = opened.records.last().is_some_and(|record| matches!(record.event, Event::Depth(_)));
                let turns = known(opened, id, world).is_some_and(|known| !known.turns().is_empty());
                // Its screws come next, or its corners once more.
                if self.left || !(screws || turns) {
                    return self.next(opened, self.left, world);
                }
                let drafts = Drafts::default();
                *self = Self::new(opened, self.leaf, World { drafts: &drafts, ..world });
                self.form.at = if screws { 0 } else { SCREWS_AT.min(self.form.fields.len().saturating_sub(1)) };
                vec![Step::Forget(of(opened, id))]
            }
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

/// What is known of a leaf's corners.
fn known(opened: &OpeningSeen, id: &str, world: World<'_>) -> Option<LeafFlush> {
    let flushes = flushness::flushes(&opened.state, &world.shop.settings);
    flushes.into_iter().find(|leaf| leaf.leaf == id)
}

/// The turns as typed: `a` for all as advised, or one for each hinge with a depth screw, lowest first.
fn turns(typed: &str, known: &LeafFlush, unit: Unit) -> Result<Vec<ScrewTurned>, String> {
    if typed.eq_ignore_ascii_case("a") {
        let advised = known.turns();
        return if advised.is_empty() {
            Err("no turn is advised: type what was turned".to_owned())
        } else {
            Ok(advised)
        };
    }
    let parts = typed.split([',', ';']).map(str::trim).filter(|part| !part.is_empty());
    let by: Vec<Length> = parts
        .map(|part| Length::parse_signed(part, unit).map_err(|error| error.to_string()))
        .collect::<Result<_, _>>()?;
    let mut hinges: Vec<Length> = known.depth.iter().map(|(hinge, _)| *hinge).collect();
    hinges.sort_unstable();
    if by.len() != hinges.len() {
        return Err(format!("{} turns are typed, and there are {} depth screws", by.len(), hinges.len()));
    }
    Ok(hinges.into_iter().zip(by).map(|(hinge, forward)| ScrewTurned { hinge, forward }).collect())
}

fn of(opened: &OpeningSeen, leaf: &str) -> DraftOf {
    DraftOf::new(&opened.name, Page::Flush, leaf)
}
