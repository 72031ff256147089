//! The blank of an opening's leaves: how each is made, its parts with a tick for what is sawn.

use super::asking::MADE;
use super::drafts::{DraftOf, Keeping, Page};
use super::form::{Field, Filled, Form};
use super::height_form;
use super::measuring::typed;
use super::message::{Action, Effect, Said};
use super::prepare::{Missing, sizes, ticks};
use super::seen::OpeningSeen;
use super::session::{Step, World};
use super::shop_list::moved;
use crate::before::blank::{Frame, Joint};
use crate::before::wood::{self, Sawn};
use crate::cut::job::Construction;
use crate::fit::length::{Length, Show, Unit};
use crate::fit::opening::{Edge, EdgeSet, Motion};
use crate::shop::OpeningState;
use crate::shop::event::{Event, LeafDescribed};
use crate::shop::making::{BuildDescribed, Grain};

const JOINTS: [&str; 3] = ["stub tenon in the groove", "mortise and tenon", "butt: splines or dowels"];
const CUTS: [&str; 2] = ["flat-sawn", "quarter-sawn"];

/// The blank screen.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BlankScreen {
    /// Which leaf.
    pub leaf: usize,
    /// Which of its parts.
    pub at: usize,
    /// How it is made, or how high the fronts are, being entered.
    pub typing: Option<Form>,
    /// Is it the heights?
    pub heights: bool,
    /// How far that has come to being kept.
    pub keeping: Keeping,
}

impl BlankScreen {
    /// Opens on the first leaf that has no size yet; asks how it is made where nobody has said, once its height is right.
    pub fn new(opened: &OpeningSeen, world: World<'_>) -> Self {
        let first = opened.state.without_size().first().copied();
        let leaf = first.and_then(|first| leaves(&opened.state).iter().position(|id| *id == first)).unwrap_or(0);
        let mut screen = Self { leaf, ..Self::default() };
        let misfits = |id: &str| matches!(sizes::blank(&opened.name, &opened.state, id), Err(Missing::Heights(_)));
        let unsaid = |id: String| opened.state.making.build(&id).is_none() && !misfits(&id);
        if screen.id(opened).is_some_and(unsaid) && opened.read_only.is_none() {
            screen.ask(opened, world);
        }
        screen
    }

    /// Short name of the leaf.
    pub fn id(&self, opened: &OpeningSeen) -> Option<String> {
        leaves(&opened.state).get(self.leaf).map(|id| (*id).to_owned())
    }

    /// Asks how the leaf is made.
    fn ask(&mut self, opened: &OpeningSeen, world: World<'_>) {
        let mut form = form(opened, self.leaf, world.shop.show());
        let of = of(opened, &self.id(opened).unwrap_or_default());
        self.keeping = Keeping::resumed(&mut form, &of, world.drafts);
        form.left_out = left_out(&form);
        (self.typing, self.heights) = (Some(form), false);
    }

    /// Asks how high the fronts are that stand in a column with leaf `id`.
    fn ask_heights(&mut self, opened: &OpeningSeen, id: &str, world: World<'_>) -> Vec<Step> {
        let Some(mut form) = height_form::form(&opened.state, id, world.shop.show()) else {
            return vec![Step::Say(Said::hint(height_form::NO_STACK))];
        };
        self.keeping = Keeping::resumed(&mut form, &height_form::of(opened, id), world.drafts);
        (self.typing, self.heights) = (Some(form), true);
        Vec::new()
    }

    /// Only once it is kept how the leaf is made, the form is closed.
    pub(super) fn kept(&mut self, world: World<'_>) -> Vec<Step> {
        if !self.keeping.was_asked() {
            return Vec::new();
        }
        self.typing = None;
        let of = if self.heights { height_form::of } else { of };
        let id = world.opened.and_then(|opened| Some(of(opened, &self.id(opened)?)));
        id.map(Step::Forget).into_iter().collect()
    }

    /// It was not kept: the form stays.
    pub(super) fn failed(&mut self) {
        if let Some(form) = &self.typing {
            self.keeping.failed(form);
        }
    }

    pub(super) fn act(&mut self, action: Action, world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened else { return vec![Step::Leave] };
        let Some(id) = self.id(opened) else { return vec![Step::Leave] };
        let show = world.shop.show();
        if let Some(typing) = &mut self.typing {
            let filled = typing.act(action);
            if self.heights {
                height_form::tell(typing, &opened.state, &id, show);
            } else {
                typing.left_out = left_out(typing);
            }
            return match filled {
                Filled::Open => Vec::new(),
                Filled::Left => {
                    let of = if self.heights { height_form::of } else { of };
                    let steps = self.keeping.set_aside(typing, of(opened, &id));
                    self.typing = None;
                    steps
                }
                Filled::Whole => {
                    let event = if self.heights {
                        height_form::event(typing, &opened.state, &id, show.unit()).map_err(|why| (0, why))
                    } else {
                        build(typing, &id, show.unit()).map(Event::Build)
                    };
                    match event {
                        Ok(event) => self.keeping.ask(&opened.name, vec![event]),
                        Err((field, why)) => self.keeping.complain(typing, field, &why),
                    }
                }
            };
        }
        let blank = sizes::blank(&opened.name, &opened.state, &id);
        let parts = blank.as_ref().ok().and_then(|leaf| leaf.blank.as_ref().ok()).map_or(&[][..], |b| &b.parts);
        if let Some(at) = moved(self.at, parts.len(), action) {
            self.at = at;
            return Vec::new();
        }
        let writes = matches!(
            action,
            Action::Build | Action::Heights | Action::Likewise | Action::Tick | Action::Enter | Action::Accept
        );
        if let Some(why) = opened.read_only.as_ref().filter(|_| writes) {
            return vec![Step::Say(Said::trouble(super::words::read_only(why)))];
        }
        match action {
            Action::Back => return vec![Step::Leave],
            Action::Left => self.leaf = self.leaf.saturating_sub(1),
            Action::Right => self.leaf = (self.leaf + 1).min(leaves(&opened.state).len().saturating_sub(1)),
            Action::Build => self.ask(opened, world),
            Action::Heights => return self.ask_heights(opened, &id, world),
            Action::Likewise => return likewise(opened, &id),
            Action::Tick | Action::Enter => {
                let Some(part) = parts.get(self.at) else { return Vec::new() };
                let tick = ticks::tick(&opened.state, &id, part, show);
                return match super::before_pages::ticked(&id, part, tick) {
                    Ok(event) => keep(opened, event),
                    Err(why) => vec![Step::Say(why)],
                };
            }
            Action::Accept => match blank {
                Err(why @ (Missing::Doubted(_) | Missing::Heights(_))) => {
                    return vec![Step::Say(Said::hint(why.told(show)))];
                }
                blank => return as_leaf(opened, &id, blank.ok().as_ref()),
            },
            _ => {}
        }
        Vec::new()
    }
}

/// Short names of the leaves, as the opening names them: the order stays when one of them gets its size.
fn leaves(state: &OpeningState) -> Vec<&str> {
    let mut ids: Vec<&str> = state.making.to_come.iter().map(|leaf| leaf.leaf.as_str()).collect();
    let others: Vec<&str> = state.leaf_ids().into_iter().filter(|id| !ids.contains(id)).collect();
    ids.extend(others);
    ids
}

fn of(opened: &OpeningSeen, leaf: &str) -> DraftOf {
    DraftOf::new(&opened.name, Page::Build, leaf)
}

fn keep(opened: &OpeningSeen, event: Event) -> Vec<Step> {
    vec![Step::Run(Effect::Keep { opening: opened.name.clone(), events: vec![event] })]
}

/// Leaves of which nobody said how they are made.
pub fn unsaid(opened: &OpeningSeen) -> Vec<&str> {
    let ids = opened.state.leaf_ids().into_iter();
    ids.filter(|id| opened.state.making.build(id).is_none()).collect()
}

/// The others are made like leaf `id`, where nobody said otherwise.
fn likewise(opened: &OpeningSeen, id: &str) -> Vec<Step> {
    let Some(build) = opened.state.making.build(id) else {
        return vec![Step::Say(Said::hint("say how this one is made first (m)"))];
    };
    let like = |other: &str| Event::Build(BuildDescribed { leaf: other.to_owned(), ..build.clone() });
    let events: Vec<Event> = unsaid(opened).into_iter().map(like).collect();
    if events.is_empty() {
        return vec![Step::Say(Said::hint("it was said of every leaf here how it is made"))];
    }
    vec![Step::Run(Effect::Keep { opening: opened.name.clone(), events })]
}

/// The glued-up blank is described as the leaf, at its rough size.
fn as_leaf(opened: &OpeningSeen, id: &str, blank: Option<&sizes::LeafBlank>) -> Vec<Step> {
    let made = opened.state.making.build(id);
    let rough = blank.and_then(|leaf| leaf.blank.as_ref().ok()).map(|blank| blank.rough);
    let (Some(build), Some([width, height])) = (made, rough) else {
        return vec![Step::Say(Said::hint("measure the opening (s) and say how the leaf is made (m) first"))];
    };
    if opened.state.leaf(id).is_some() {
        return vec![Step::Say(Said::hint("this leaf has its size already"))];
    }
    let name = opened.state.making.to_come.iter().find(|leaf| leaf.leaf == id);
    keep(
        opened,
        Event::Leaf(LeafDescribed {
            leaf: id.to_owned(),
            name: name.map_or(String::new(), |leaf| leaf.name.clone()),
            width,
            height,
            hinge: opened.state.hinge_of(id),
            may_cut: build.trimmed,
            motion: Motion::Free,
            thickness: Some(build.thickness),
            solid: build.frame.is_none(),
            made: Some(build.made()),
        }),
    )
}

fn picked(label: &'static str, options: &[&'static str], picked_at: usize) -> Field {
    Field::choice(label, options, "left and right choose").picked(picked_at)
}

/// How the leaf is made, as last said for it or for another leaf here; else usual figures (common practice,
/// no published source).
fn form(opened: &OpeningSeen, leaf: usize, show: Show) -> Form {
    let making = &opened.state.making;
    let ids = leaves(&opened.state);
    let id = ids.get(leaf).copied().unwrap_or("");
    let last = making.build(id).or_else(|| making.builds.first().map(|said| &said.what));
    // Whole steps of the shop's own unit: sixteenths, or halves of a millimetre given in tenths.
    let usual = |(n, d), tenths| match show.unit() {
        Unit::Inch => Length::ratio(n, d),
        Unit::Millimetre => Length::ratio(tenths, 254),
    };
    let how_many = match show.unit() {
        Unit::Inch => "how many x their width, like 1 x 2; 0 for none",
        Unit::Millimetre => "how many x their width, like 1 x 50; 0 for none",
    };
    let frame = last.and_then(|build| build.frame).unwrap_or(Frame {
        stiles: [usual((2, 1), 500); 2],
        rails: [usual((2, 1), 500); 2],
        mid_rails: (0, Length::ZERO),
        mid_stiles: (0, Length::ZERO),
        joint: Joint::StubTenon,
        groove: usual((3, 8), 100),
        float: usual((1, 8), 30),
        panel_thickness: usual((1, 4), 60),
    });
    let tenon = if let Joint::MortiseTenon { tenon } = frame.joint { tenon } else { usual((1, 1), 250) };
    let one = |label, length: Length, hint| Field::figures(label, typed(length, show), hint).replaced();
    let two = |label, [a, b]: [Length; 2], hint| {
        let text = if a == b { typed(a, show) } else { format!("{}, {}", typed(a, show), typed(b, show)) };
        Field::figures(label, text, hint)
    };
    let times = |label, (count, width): (u32, Length), hint| {
        Field::figures(
            label,
            if count == 0 { "0".to_owned() } else { format!("{count} x {}", typed(width, show)) },
            hint,
        )
    };
    let kind = match opened.state.made(id) {
        // Nobody said it of this one: as another leaf here is made.
        Construction::Unsaid => last.map_or(Construction::SolidAcross, BuildDescribed::made),
        made => made,
    };
    let kind = MADE.iter().position(|(_, made)| *made == kind).unwrap_or(0);
    let joint = match frame.joint {
        Joint::StubTenon => 0,
        Joint::MortiseTenon { .. } => 1,
        Joint::Butt => 2,
    };
    let described = opened.state.leaf(id);
    let trimmed = last.map(|build| build.trimmed).or(described.map(|leaf| leaf.may_cut)).unwrap_or(EdgeSet::ALL);
    let edges: Vec<_> = trimmed.edges().map(Edge::word).collect();
    let thickness = last.map(|build| build.thickness).or_else(|| opened.state.thickness_of(id));
    Form::new(vec![
        picked("made as", &MADE.map(|(word, _)| word), kind),
        one("thickness", thickness.unwrap_or(usual((3, 4), 190)), "of frame or slab"),
        two("stiles", frame.stiles, "finished width; left, right if they differ"),
        two("rails", frame.rails, "finished width; bottom, top if they differ"),
        times("mid rails", frame.mid_rails, how_many),
        times("mid stiles", frame.mid_stiles, how_many),
        picked("joint", &JOINTS, joint),
        one("tenon", tenon, "length of one tenon; for mortise and tenon only"),
        one("panel groove", frame.groove, "its depth"),
        one("panel float", frame.float, "what the panel is smaller than its grooves allow"),
        one("panel thick", frame.panel_thickness, "thickness of the panel"),
        Field::text("wood", last.map_or("", |build| build.species.as_str()), "like cherry black; empty: not said"),
        picked("sawn", &CUTS, usize::from(last.is_some_and(|build| build.sawn == Sawn::Quarter))),
        one("allowance", last.map_or(usual((1, 16), 15), |build| build.allowance), "to spare on each trimmed edge"),
        Field::figures("edges trimmed", edges.join(" "), "left right bottom top; the others get no allowance"),
        Field::text(
            "leaf's finish",
            last.map_or("", |b| b.finish.as_str()),
            "by its name: lacquer, paint, oil; or empty",
        ),
        Field::text(
            "frame's finish",
            last.map_or("", |b| b.frame_finish.as_str()),
            "still to come on the frame's edges; empty: none",
        ),
    ])
}

/// Nobody is asked for stiles, joint and panel of a solid leaf.
fn left_out(form: &Form) -> std::ops::Range<usize> {
    if made(form) == Construction::Framed { 0..0 } else { 2..11 }
}

fn made(form: &Form) -> Construction {
    MADE.iter().find(|(word, _)| *word == form.value(0)).map_or(Construction::Framed, |(_, made)| *made)
}

fn build(form: &Form, id: &str, unit: Unit) -> Result<BuildDescribed, (usize, String)> {
    let bad = |place: usize, why: &dyn std::fmt::Display| (place, why.to_string());
    let parse = |place: usize, text: &str| Length::parse(text.trim(), unit).map_err(|error| bad(place, &error));
    let one = |place: usize| parse(place, form.value(place));
    let two = |place: usize| match form.value(place).split_once(',') {
        Some((a, b)) => Ok([parse(place, a)?, parse(place, b)?]),
        None => one(place).map(|both| [both; 2]),
    };
    let times = |place: usize| match form.value(place).split_once('x') {
        Some((count, width)) => {
            let count: u32 = count.trim().parse().map_err(|_| bad(place, &"give it like 1 x 2"))?;
            Ok((count, parse(place, width)?))
        }
        None if matches!(form.value(place).trim(), "" | "0") => Ok((0, Length::ZERO)),
        None => Err(bad(place, &"give it like 1 x 2, or 0 for none")),
    };
    let made = made(form);
    let framed = made == Construction::Framed;
    let frame = if framed {
        let joint = match form.value(6) {
            word if word == JOINTS[1] => Joint::MortiseTenon { tenon: one(7)? },
            word if word == JOINTS[2] => Joint::Butt,
            _ => Joint::StubTenon,
        };
        Some(Frame {
            stiles: two(2)?,
            rails: two(3)?,
            mid_rails: times(4)?,
            mid_stiles: times(5)?,
            joint,
            groove: one(8)?,
            float: one(9)?,
            panel_thickness: one(10)?,
        })
    } else {
        None
    };
    let mut trimmed = EdgeSet::NONE;
    for word in form.value(14).split([' ', ',']).filter(|word| !word.is_empty()) {
        let edge: Edge = word.parse().map_err(|()| bad(14, &format!("'{word}' is no edge: left right bottom top")))?;
        trimmed = trimmed.with(edge);
    }
    Ok(BuildDescribed {
        leaf: id.to_owned(),
        thickness: one(1)?,
        frame,
        grain: if made == Construction::SolidUpright { Grain::Upright } else { Grain::Level },
        species: species(form.value(11)).map_err(|why| bad(11, &why))?,
        sawn: if form.value(12) == CUTS[1] { Sawn::Quarter } else { Sawn::Flat },
        allowance: one(13)?,
        trimmed,
        finish: form.value(15).trim().to_owned(),
        frame_finish: form.value(16).trim().to_owned(),
        pin: None,
    })
}

/// The table's name for a wood: as it stands there, or the only one that has all the words in it.
fn species(text: &str) -> Result<String, String> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(String::new());
    }
    if let Some(wood) = wood::wood(text) {
        return Ok(wood.species.to_owned());
    }
    let near: Vec<_> = wood::like(text).map(|wood| wood.species).collect();
    match near.as_slice() {
        [one] => Ok((*one).to_owned()),
        [] => Err(format!("'{text}' is not in the table of woods; leave it empty if yours is not")),
        several => Err(format!("which: {}?", several.iter().take(5).copied().collect::<Vec<_>>().join("; "))),
    }
}
