//! Hanging a leaf: which hinges, at what heights, how far each may be packed, let in or screwed. A leaf is
//! first fitted loose, then hung; the gaps are read again as it hangs, and its hinges are moved before any cut.

use super::drafts::{DraftOf, Keeping, Page};
use super::form::{Entry, Field, Filled, Form};
use super::measuring::typed;
use super::message::{Action, Said};
use super::seen::OpeningSeen;
use super::session::{Step, World};
use super::words;
use crate::fit::length::{Length, Show, Unit};
use crate::fit::opening::{Adjust, Hanging, Leaf, Motion, Travel};
use crate::fit::plan::LeafPlan;
use crate::shop::OpeningState;
use crate::shop::event::{Event, HingePacked, LeafHung};
use crate::shop::settings::Settings;

/// The ways a leaf may hang, as the first field offers them.
const WAYS: [&str; 3] = ["loose, on props", "hung on butts, packed or let in", "hung on adjustable hinges"];

const HANGS: &str = "fit it loose first; once it hangs, read the gaps again";
const HEIGHTS: &str = "middles of the hinges above the leaf's lower end, like 3, 23";
const PACK: &str = "most card behind a hinge; a starting value, not measured";
const LET_IN: &str = "most that a leaf of a hinge may be let in deeper";
const STOCK: &str = "thicknesses to pack with; one or two are best";
const SIDE: &str = "in to out, from where they stand, like -1/16, 1/16; empty: none";
const HEIGHT: &str = "down to up, from where they stand, like -1/8, 1/8; empty: none";
const DEPTH: &str = "back to forward, like -1/8, 1/8; empty: none";

/// Thickest stock that is offered to pack a hinge with.
const THICKEST_PACK: (i64, i64) = (1, 16);

/// How one leaf hangs, being entered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HingeEntry {
    /// Place of the leaf among those that can hang.
    pub leaf: usize,
    /// Its fields.
    pub form: Form,
    /// How far it has come to being kept.
    pub keeping: Keeping,
    left: bool,
}

/// Short names of the leaves that can hang: those with a hinge side.
pub fn hangable(state: &OpeningState) -> Vec<&str> {
    state.leaves.iter().filter(|leaf| leaf.what.hinge.is_some()).map(|leaf| leaf.what.leaf.as_str()).collect()
}

impl HingeEntry {
    /// For the leaf at `leaf` of [`hangable`], as it was hung last or was typed and set aside.
    pub fn new(opened: &OpeningSeen, leaf: usize, world: World<'_>) -> Self {
        let id = hangable(&opened.state).get(leaf).copied().unwrap_or("");
        let motion = opened.state.leaf(id).map(|leaf| leaf.motion.clone()).unwrap_or_default();
        let mut form = fields(&motion, way_of(&motion), &opened.state, id, &world.shop.settings);
        let of = of(opened, id);
        let drafted = world.drafts.find(&of).and_then(|fields| fields.first());
        if let Some(way) = drafted.and_then(|(_, hangs)| WAYS.iter().position(|way| way == hangs)) {
            form = fields_again(&form, &motion, way, opened, id, world);
        }
        let keeping = Keeping::resumed(&mut form, &of, world.drafts);
        Self { leaf, form, keeping, left: false }
    }

    /// Short name of the leaf.
    pub fn id<'a>(&self, state: &'a OpeningState) -> Option<&'a str> {
        hangable(state).get(self.leaf).copied()
    }

    pub(super) fn act(&mut self, action: Action, world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened else { return vec![Step::Leave] };
        let Some(id) = self.id(&opened.state) else { return vec![Step::Leave] };
        let before = picked(&self.form);
        let filled = self.form.act(action);
        if picked(&self.form) != before {
            let motion = opened.state.leaf(id).map(|leaf| leaf.motion.clone()).unwrap_or_default();
            self.form = fields_again(&self.form, &motion, picked(&self.form), opened, id, world);
        }
        if filled == Filled::Open {
            return Vec::new();
        }
        let left = filled == Filled::Left;
        if left && (self.keeping.is_fresh(&self.form) || self.keeping.was_refused(&self.form)) {
            let mut steps = self.keeping.set_aside(&self.form, of(opened, id));
            steps.push(Step::Leave);
            return steps;
        }
        let height = opened.state.size_at(id, u32::MAX).map(|(_, height)| height);
        match read(&self.form, height, world.shop.show()) {
            Ok(motion) if opened.state.leaf(id).is_some_and(|leaf| leaf.motion == motion) => {
                self.next(opened, left, world)
            }
            Ok(motion) => {
                self.left = left;
                let told = LeafHung { leaf: id.to_owned(), hinge: None, motion };
                self.keeping.ask(&opened.name, vec![Event::Hung(told)])
            }
            Err((field, why)) => self.keeping.complain(&mut self.form, field, &why),
        }
    }

    /// Once it is kept, the next leaf that can hang, or out.
    pub(super) fn kept(&mut self, world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened.filter(|_| self.keeping.was_asked()) else { return Vec::new() };
        let read_again = opened.state.latest().is_some_and(|round| opened.state.hung_after(round));
        let mut steps = self.next(opened, self.left, world);
        if read_again {
            steps.push(Step::Say(Said::done(words::HUNG_READ_AGAIN)));
        }
        steps
    }

    fn next(&mut self, opened: &OpeningSeen, left: bool, world: World<'_>) -> Vec<Step> {
        let mut steps = vec![Step::Forget(of(opened, self.id(&opened.state).unwrap_or("")))];
        if left || self.leaf + 1 >= hangable(&opened.state).len() {
            steps.push(Step::Leave);
        } else {
            *self = Self::new(opened, self.leaf + 1, world);
        }
        steps
    }
}

fn of(opened: &OpeningSeen, leaf: &str) -> DraftOf {
    DraftOf::new(&opened.name, Page::Hinges, leaf)
}

fn way_of(motion: &Motion) -> usize {
    match motion {
        Motion::Free | Motion::Fixed => 0,
        Motion::Hung(hanging) if hanging.adjust.is_some() => 2,
        Motion::Hung(_) => 1,
    }
}

fn picked(form: &Form) -> usize {
    match form.fields.first().map(|field| &field.entry) {
        Some(Entry::Choice { picked, .. }) => *picked,
        _ => 0,
    }
}

/// The fields of another way to hang, with what was typed already under the same names.
fn fields_again(form: &Form, motion: &Motion, way: usize, opened: &OpeningSeen, id: &str, world: World<'_>) -> Form {
    let mut again = fields(motion, way, &opened.state, id, &world.shop.settings);
    for field in again.fields.iter_mut().skip(1) {
        if let Some(typed) = form.fields.iter().find(|typed| typed.label == field.label) {
            field.entry = typed.entry.clone();
        }
    }
    again
}

fn fields(motion: &Motion, way: usize, state: &OpeningState, id: &str, settings: &Settings) -> Form {
    let show = settings.show;
    let mut hangs = Field::choice("hangs", &WAYS, HANGS);
    if let Entry::Choice { picked, .. } = &mut hangs.entry {
        *picked = way;
    }
    let mut all = vec![hangs];
    if way == 0 {
        return Form::new(all);
    }
    let listed = |lengths: &[Length]| lengths.iter().map(|&length| typed(length, show)).collect::<Vec<_>>().join(", ");
    all.push(Field::figures("hinges at", listed(&super::prepare::flushness::hinges(state, id)), HEIGHTS));
    let hung = match motion {
        Motion::Hung(hanging) => Some(hanging),
        _ => None,
    };
    if way == 1 {
        let hung = hung.filter(|hung| hung.adjust.is_none());
        let own = || {
            let thin = settings.stock.iter().map(|stock| stock.thickness);
            let thin = thin.filter(|thickness| *thickness <= Length::ratio(THICKEST_PACK.0, THICKEST_PACK.1));
            // The thickest of them: with many thicknesses there are more ways to pack than can be tried.
            thin.max().into_iter().collect::<Vec<_>>()
        };
        let pack = hung.map_or(Length::ratio(1, 16), |hung| hung.pack);
        let let_in = hung.map_or(Length::ratio(1, 32), |hung| hung.let_in);
        let stock = hung.map_or_else(own, |hung| hung.stock.clone());
        all.push(Field::figures("pack at most", typed(pack, show), PACK));
        all.push(Field::figures("let in at most", typed(let_in, show), LET_IN));
        all.push(Field::figures("packs of", thicknesses(&stock, show), STOCK));
    } else {
        let adjust = hung.and_then(|hung| hung.adjust.as_deref().copied()).unwrap_or_default();
        let range = |travel: Option<Travel>| travel.map_or(String::new(), |travel| listed(&[travel.from, travel.to]));
        all.push(Field::figures("side screws", range(adjust.side), SIDE));
        all.push(Field::figures("height screws", range(adjust.height), HEIGHT));
        all.push(Field::figures("depth screws", range(adjust.depth), DEPTH));
    }
    Form::new(all)
}

/// Thicknesses of cards, which no fraction says.
fn thicknesses(stock: &[Length], show: Show) -> String {
    let fine = |length: &Length| match show.unit() {
        Unit::Inch => typed(*length, Show::DecimalInch(4)),
        Unit::Millimetre => typed(*length, show),
    };
    stock.iter().map(fine).collect::<Vec<_>>().join(", ")
}

/// What the fields say, or the field that does not and why.
fn read(form: &Form, height: Option<Length>, show: Show) -> Result<Motion, (usize, String)> {
    let (way, unit) = (picked(form), show.unit());
    if way == 0 {
        return Ok(Motion::Free);
    }
    let list = |field: usize| -> Result<Vec<Length>, (usize, String)> {
        let parts = form.value(field).split([',', ';']).map(str::trim).filter(|part| !part.is_empty());
        parts.map(|part| Length::parse_signed(part, unit).map_err(|error| (field, error.to_string()))).collect()
    };
    let hinges = list(1)?;
    if hinges.len() < 2 {
        return Err((1, "a hung leaf has two hinges or more: give the height of each".to_owned()));
    }
    if let (Some(height), Some(off)) =
        (height, hinges.iter().find(|&&hinge| height.is_some_and(|top| hinge > top || hinge.is_negative())))
    {
        return Err((
            1,
            format!("a hinge at {} is off the leaf, which is {} high", off.shown(show), height.shown(show)),
        ));
    }
    let nothing = Hanging {
        hinges,
        pack: Length::ZERO,
        let_in: Length::ZERO,
        stock: Vec::new(),
        adjust: None,
        there: Vec::new(),
        up: Length::ZERO,
    };
    if way == 1 {
        let one = |field: usize| match form.value(field).trim() {
            "" => Ok(Length::ZERO),
            text => Length::parse(text, unit).map_err(|error| (field, error.to_string())),
        };
        return Ok(Motion::Hung(Hanging { pack: one(2)?, let_in: one(3)?, stock: list(4)?, ..nothing }));
    }
    let range = |field: usize| match list(field)?.as_slice() {
        [] => Ok(None),
        [by] => Ok(Some(Travel { from: by.abs().negated(), to: by.abs(), step: None })),
        [from, to] => Ok(Some(Travel { from: *from, to: *to, step: None })),
        _ => Err((field, "two ends of a range are wanted, like -1/16, 1/16".to_owned())),
    };
    let adjust = Adjust { side: range(2)?, height: range(3)?, depth: range(4)? };
    if !adjust.is_any() {
        return Err((2, "no screw has a range: give one, or choose butts".to_owned()));
    }
    Ok(Motion::Hung(Hanging { adjust: Some(Box::new(adjust)), ..nothing }))
}

/// What a plan means to do to the hinges of one leaf, as the log keeps it.
pub(super) fn meant(leaf: &Leaf, plan: &LeafPlan) -> Vec<HingePacked> {
    let packed = plan.packs.iter().map(|pack| (pack.hinge, pack.out.length(), Length::ZERO));
    let lowest = match &leaf.motion {
        Motion::Hung(hanging) => hanging.hinges.iter().min().copied(),
        _ => None,
    };
    let raised = lowest.map(|hinge| (hinge, Length::ZERO, plan.raise.length()));
    let all = packed.chain(raised).filter(|(_, out, up)| !out.is_zero() || !up.is_zero());
    all.map(|(hinge, out, up)| HingePacked { leaf: leaf.id.clone(), hinge, out, up }).collect()
}

/// The hinge was moved, or the screws turned, by `by` instead.
pub(super) fn done_otherwise(wanted: &HingePacked, by: Length) -> HingePacked {
    if wanted.up.is_zero() {
        return HingePacked { out: by, ..wanted.clone() };
    }
    HingePacked { up: by, ..wanted.clone() }
}

/// Asks by how much it was done instead.
pub(super) fn otherwise_form(wanted: &HingePacked, show: Show) -> Form {
    let field = if wanted.up.is_zero() {
        Field::figures(words::PACKED_BY, typed(wanted.out, show), words::HINT_PACKED)
    } else {
        Field::figures("leaf raised by", typed(wanted.up, show), "height screws, all alike; with - before it, lowered")
    };
    Form::new(vec![field])
}
