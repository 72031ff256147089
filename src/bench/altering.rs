//! A strip glued on, wood taken off outside the rounds, or a leaf made anew: asked for, kept, and said.
//!
//! What was read of the leaf before does not count for it any more: the next round reads all of it.

use super::drafts::{DraftOf, Keeping, Page};
use super::form::{Field, Filled, Form};
use super::message::{Action, Said};
use super::rounds::Look;
use super::seen::OpeningSeen;
use super::session::{Screen, Step, World};
use super::words;
use crate::fit::length::{Length, Show};
use crate::fit::opening::Edge;
use crate::shop::OpeningState;
use crate::shop::altered::{Alteration, LeafAltered, LeafRemade};
use crate::shop::event::Event;

/// The heading over the fields.
pub const TITLE: &str = "a strip glued on, or a leaf made anew";
/// What it does, over the fields.
pub const DOES: &str = "What was read of that leaf holds no more: the next round reads all of it.";
/// The way here, where wood is missing.
pub const TELL: &str = "once a strip is on, or the leaf made anew: tell it (m)";
/// After it was kept.
const READ_ANEW: &str = "kept: what was read of that leaf counts no more; read the gaps again (r)";

const WAYS: [&str; 3] = ["strip glued on", "wood taken off", "leaf made anew"];
const STRIP: usize = 0;
const ANEW: usize = 2;

const HINT_DONE: &str = "left and right choose; cuts by a set-up sheet are told under c";
const HINT_CHOOSE: &str = "left and right choose";
const HINT_STRIP: &str = "as it stands now, glued and cleaned up";
const HINT_OFF: &str = "all along that edge, outside the rounds";
const HINT_SIZE: &str = "of the new leaf, to the nearest 1/16 or so";
const DONE: &str = "done";
const LEAF: &str = "leaf";
const EDGE: &str = "edge";
const NOTHING: &str = "must be more than 0";

/// What was done to a leaf, being entered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AlteringEntry {
    /// What, to which leaf and edge, how much.
    pub form: Form,
    /// How far it has come to being kept.
    pub keeping: Keeping,
    /// Does it lie over a plan, which ends with it?
    over_plan: bool,
}

/// Opens it, or says why nothing can be kept.
pub(super) fn open(world: World<'_>, over_plan: bool) -> Vec<Step> {
    let Some(opened) = world.opened else { return Vec::new() };
    if let Some(why) = &opened.read_only {
        return vec![Step::Say(Said::trouble(words::read_only(why)))];
    }
    if opened.state.leaves.is_empty() {
        return vec![Step::Say(Said::hint(words::NO_LEAF_YET))];
    }
    vec![Step::Open(Screen::Altering(AlteringEntry::new(opened, over_plan, world)))]
}

impl AlteringEntry {
    /// Filled with the strip that is advised, where one is; or with what was typed and set aside.
    pub fn new(opened: &OpeningSeen, over_plan: bool, world: World<'_>) -> Self {
        let advised = world.look().and_then(|look| look.advice.plan.strips.first());
        let (leaf, edge) = advised.map_or((0, Edge::Left), |strip| (strip.leaf, strip.edge));
        let mut form = fields(Picked { way: STRIP, leaf, edge }, opened, world);
        let of = of(opened);
        if let Some(drafted) = world.drafts.find(&of) {
            let value = |label: &str| drafted.iter().find(|(known, _)| known == label).map_or("", |(_, value)| value);
            form = fields(Picked::by(&value, &opened.state), opened, world);
        }
        let keeping = Keeping::resumed(&mut form, &of, world.drafts);
        Self { form, keeping, over_plan }
    }

    pub(super) fn act(&mut self, action: Action, world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened else { return vec![Step::Leave] };
        let before = Picked::of(&self.form, &opened.state);
        let filled = self.form.act(action);
        let now = Picked::of(&self.form, &opened.state);
        if now != before {
            let at = self.form.at;
            let typed = std::mem::replace(&mut self.form, fields(now, opened, world));
            self.form.at = at;
            // What somebody typed stays; what stood there by itself gives way to what goes with the choice.
            let own = typed
                .fields
                .iter()
                .filter(|field| field.length.is_some() && !field.filled && !field.value().is_empty());
            for field in own {
                if let Some(again) = self.form.fields.iter_mut().find(|again| again.label == field.label) {
                    *again = field.clone();
                }
            }
        }
        match filled {
            Filled::Open => Vec::new(),
            Filled::Left => {
                let mut steps = self.keeping.set_aside(&self.form, of(opened));
                steps.push(Step::Leave);
                steps
            }
            Filled::Whole => match read(&self.form, now, &opened.state) {
                Ok(event) => self.keeping.ask(&opened.name, vec![event]),
                Err((field, why)) => self.keeping.complain(&mut self.form, field, &why),
            },
        }
    }

    /// Once it is kept the screen is left, and a plan that ends with it.
    pub(super) fn kept(&mut self, world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened.filter(|_| self.keeping.was_asked()) else { return Vec::new() };
        let mut steps = vec![Step::Forget(of(opened)), Step::Leave];
        steps.extend(self.over_plan.then_some(Step::Leave));
        let read = opened.state.latest().is_some_and(|round| opened.state.altered_after(round));
        steps.extend(read.then(|| Step::Say(Said::done(READ_ANEW))));
        steps
    }
}

fn of(opened: &OpeningSeen) -> DraftOf {
    DraftOf::new(&opened.name, Page::Altered, "")
}

/// What the choices of a form have picked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Picked {
    way: usize,
    /// Place in the list of leaves.
    leaf: usize,
    edge: Edge,
}

impl Picked {
    fn of(form: &Form, state: &OpeningState) -> Self {
        Self::by(&|label| form.fields.iter().find(|field| field.label == label).map_or("", Field::value), state)
    }

    /// By what stands under each label.
    fn by<'a>(value: &dyn Fn(&str) -> &'a str, state: &OpeningState) -> Self {
        let leaf = state.leaves.iter().position(|leaf| leaf.what.leaf == value(LEAF)).unwrap_or(0);
        let way = WAYS.iter().position(|way| *way == value(DONE)).unwrap_or(STRIP);
        Self { way, leaf, edge: value(EDGE).parse().unwrap_or(Edge::Left) }
    }
}

fn fields(picked: Picked, opened: &OpeningSeen, world: World<'_>) -> Form {
    let (state, show) = (&opened.state, world.shop.show());
    let mut all = vec![Field::choice(DONE, &WAYS, HINT_DONE).picked(picked.way)];
    if state.leaves.len() > 1 {
        let ids = state.leaves.iter().map(|leaf| leaf.what.leaf.clone()).collect();
        all.push(Field::choice_of(LEAF, ids, HINT_CHOOSE).picked(picked.leaf));
    }
    let length = |label, known: Option<Length>, hint| Field::exact_length(label, known, show, hint);
    if picked.way == ANEW {
        let id = state.leaves.get(picked.leaf).map_or("", |leaf| leaf.what.leaf.as_str());
        let (width, height) = state.size_at(id, u32::MAX).unzip();
        all.extend([length("width", width, HINT_SIZE), length("height", height, HINT_SIZE)]);
    } else {
        let now = Edge::ALL.iter().position(|edge| *edge == picked.edge).unwrap_or(0);
        all.push(Field::choice(EDGE, &Edge::ALL.map(Edge::word), HINT_CHOOSE).picked(now));
        all.push(if picked.way == STRIP {
            length("thickness", world.look().and_then(|look| advised(look, picked, show)), HINT_STRIP)
        } else {
            length("taken off", None, HINT_OFF)
        });
    }
    Form::new(all)
}

/// The strip that is advised for that edge, as it is said.
fn advised(look: &Look, picked: Picked, show: Show) -> Option<Length> {
    let strips = &look.advice.plan.strips;
    let own = strips.iter().find(|strip| strip.leaf == picked.leaf && strip.edge == picked.edge)?;
    Some(own.thickness.length().rounded(show).0).filter(|thickness| !thickness.is_zero())
}

/// The event that the fields say, or the field that does not and why.
fn read(form: &Form, picked: Picked, state: &OpeningState) -> Result<Event, (usize, String)> {
    let leaf = state.leaves.get(picked.leaf).map_or_else(String::new, |leaf| leaf.what.leaf.clone());
    let length = |place: usize| match form.fields.get(place).map(Field::read) {
        Some(Ok(length)) if length > Length::ZERO => Ok(length),
        Some(Err(error)) => Err((place, error.to_string())),
        _ => Err((place, NOTHING.to_owned())),
    };
    let last = form.fields.len().saturating_sub(1);
    Ok(match picked.way {
        ANEW => Event::Remade(LeafRemade { leaf, width: length(last.saturating_sub(1))?, height: length(last)? }),
        way => {
            let by = length(last)?;
            let added = if way == STRIP { by } else { by.negated() };
            Event::Altered(LeafAltered { leaf, edge: picked.edge, added })
        }
    })
}

/// What was done, in words: `strip of 1/16 glued on A left`.
pub fn words(alteration: &Alteration, show: Show) -> String {
    match alteration {
        Alteration::Altered(LeafAltered { leaf, edge, added }) => {
            let by = added.abs().shown_with_error(show);
            if added.is_negative() {
                format!("{by} taken off {leaf} {edge}, outside the rounds")
            } else {
                format!("strip of {by} glued on {leaf} {edge}")
            }
        }
        Alteration::Remade(LeafRemade { leaf, width, height }) => {
            format!("{leaf} made anew: {} x {}", width.shown(show), height.shown(show))
        }
    }
}

/// The same of an event; empty of any other.
pub fn event(event: &Event, show: Show) -> String {
    match event {
        Event::Altered(altered) => words(&Alteration::Altered(altered.clone()), show),
        Event::Remade(remade) => words(&Alteration::Remade(remade.clone()), show),
        _ => String::new(),
    }
}
