//! How a practice door ended, measured on the truth; and how the tool's own advice would have ended it.

use super::door::{Door, LEAF};
use crate::bench::recording;
use crate::bench::rounds::{self, Choice, Look};
use crate::bench::sheets::{self, Asked};
use crate::fit::estimate::Method;
use crate::fit::length::{Inches, Length};
use crate::fit::opening::{Edge, EdgeSet, Facing, FitProblem, GapLine, Leaf, Motion};
use crate::fit::plan::{Options, Plan, plan};
use crate::fit::policy::Next;
use crate::fit::reading::{Reading, Value};
use crate::practice::world::{TARGET, World};
use crate::shop::event::{Event, PlanAccepted};
use crate::shop::settings::Settings;

/// Most trips that are tried.
const MOST_TRIPS: usize = 12;
/// Most questions answered in one trip.
const MOST_ANSWERS: usize = 60;
/// Most passes made in one trip.
const MOST_PASSES: usize = 60;
/// Less than this is no difference, in.
const NOTHING: f64 = 1e-6;

/// How it ended.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Outcome {
    /// Rounds in which anything was read.
    pub rounds: usize,
    /// Cuts at the saw.
    pub saw: usize,
    /// Edges planed.
    pub plane: usize,
    /// Readings taken, second looks counted.
    pub readings: usize,
    /// Worst miss of the true gaps with the leaf where it sits best.
    pub worst: Inches,
    /// Is every true gap within tolerance there?
    pub fits: bool,
    /// The round after whose cuts every true gap was first within tolerance, whether anybody knew it or not.
    pub right_after: Option<usize>,
    /// Where wood is gone that was needed: the edges, and how far off the gaps stay at best.
    pub too_deep: Option<(Vec<Edge>, Inches)>,
    /// The true gaps, with the leaf where it sits best.
    pub held: Option<Plan>,
}

/// The true gaps as a problem, with the leaf where it sits best.
fn truth(world: &World, tolerance: Length, may_cut: EdgeSet) -> FitProblem {
    let (sits, _) = world.best();
    let (width, height) = (Inches(world.length(Edge::Bottom)).length(), Inches(world.length(Edge::Left)).length());
    let leaf = Leaf { id: LEAF.to_owned(), width, height, hinge: None, may_cut, motion: Motion::Free };
    let line = |edge: Edge| {
        let facing = Facing::Leaf { leaf: 0, edge };
        let between = match edge {
            Edge::Left | Edge::Bottom => [Facing::Frame, facing],
            Edge::Right | Edge::Top => [facing, Facing::Frame],
        };
        let read = |s: f64| {
            let gap = Inches(world.gap(sits, edge, s)).length();
            let value = if gap.is_negative() { Value::Lap(gap.abs()) } else { Value::Gap(gap) };
            Reading { at: Inches(s).length(), value }
        };
        let readings = world.stations(edge).map(read).to_vec();
        GapLine { between, target: Inches(TARGET).length(), offset: Length::ZERO, readings }
    };
    FitProblem {
        leaves: vec![leaf],
        gaps: Edge::ALL.map(line).to_vec(),
        tolerance,
        prefer: crate::fit::opening::Prefer::default(),
    }
}

impl Outcome {
    /// Of a door as it stands.
    pub fn of(door: &Door, settings: &Settings) -> Self {
        let tolerance = settings.tolerance;
        let state = door.state();
        let cuts = |method: Method| door.took.iter().filter(|one| one.method == method).count();
        let held = plan(&truth(&door.world, tolerance, EdgeSet::NONE), Options::default()).ok();
        let worst = held.as_ref().map_or(Inches(door.world.best().1), |held| held.worst_after);
        let rounds = state.rounds.iter().filter(|round| !round.taken.is_empty());
        Self {
            rounds: rounds.clone().count(),
            saw: cuts(Method::Saw),
            plane: cuts(Method::Plane),
            readings: rounds.map(|round| round.taken.len()).sum(),
            worst,
            fits: worst.0 <= tolerance.inches() + NOTHING,
            right_after: right_after(door, tolerance),
            too_deep: too_deep(door, tolerance),
            held,
        }
    }
}

/// Goes through the cuts as they came out, round by round, until every true gap is within tolerance.
fn right_after(door: &Door, tolerance: Length) -> Option<usize> {
    let mut world = door.start.clone();
    let worst = |world: &World| {
        let held = plan(&truth(world, tolerance, EdgeSet::NONE), Options::default()).ok();
        held.map_or(world.best().1, |held| held.worst_after.0)
    };
    let right = |world: &World| worst(world) <= tolerance.inches() + NOTHING;
    if right(&world) {
        return Some(0);
    }
    let last = door.took.iter().map(|one| one.round).max()?;
    (1..=last).find_map(|round| {
        for one in door.took.iter().filter(|one| one.round == round) {
            world.cut(one.edge, one.took.map(|end| end.0));
        }
        right(&world).then_some(round as usize)
    })
}

/// Wood is gone that was needed where no more cutting brings within tolerance what cutting could have brought
/// there at the start.
fn too_deep(door: &Door, tolerance: Length) -> Option<(Vec<Edge>, Inches)> {
    let solve = |world: &World| plan(&truth(world, tolerance, world.may_cut), Options::default()).ok();
    let (then, now) = (solve(&door.start)?, solve(&door.world)?);
    let allowed = then.reach.0.max(tolerance.inches()) + NOTHING;
    if now.reach.0 <= allowed {
        return None;
    }
    // A gap that was never cut may be wide only because the leaf is moved to share what is missing.
    let was_cut = |edge: &Edge| door.took.iter().any(|one| one.edge == *edge);
    let wide = |edge: &Edge| {
        let line = Edge::ALL.iter().position(|other| other == edge).and_then(|place| now.gaps.get(place));
        line.is_some_and(|line| line.stations.iter().any(|one| one.after.0 - TARGET > tolerance.inches()))
    };
    Some((Edge::ALL.into_iter().filter(was_cut).filter(wide).collect(), now.reach))
}

/// Can cutting alone bring it within half the usual tolerance (1/64 in), leaving the other half to the cuts? A door
/// that nobody could fit teaches nothing.
pub fn can_be_fitted(world: &World) -> bool {
    let problem = truth(world, Length::ratio(1, 64), world.may_cut);
    plan(&problem, Options::default()).is_ok_and(|plan| plan.reach.0 <= 0.5 / 64.0)
}

fn look(door: &Door, settings: &Settings) -> Option<Look> {
    rounds::look(door.state(), settings, rounds::spreads(None), Choice::default()).ok()
}

/// The door of `seed` fitted by the tool's own advice and its set-up sheets to the letter, pass by pass, from the same
/// start with the same luck.
pub fn by_advice(seed: u64, settings: &Settings) -> Outcome {
    let mut door = Door::new(seed);
    for _ in 0..MOST_TRIPS {
        if door.read_all(&settings.feelers).is_none_or(|event| door.keep(vec![event]).is_err()) {
            break;
        }
        let Some(advised) = settled(&mut door, settings) else { break };
        if !matches!(advised.advice.next, Next::Cut(_)) || cut_by_sheets(&mut door, &advised, settings).is_none() {
            break;
        }
    }
    Outcome::of(&door, settings)
}

/// Accepts the plan and makes every cut of it as its sheet shows; `None` where one cannot be made.
fn cut_by_sheets(door: &mut Door, advised: &Look, settings: &Settings) -> Option<()> {
    let plan = PlanAccepted {
        round: advised.round,
        verdict: "cut".to_owned(),
        prefer: settings.prefer,
        every_edge: false,
        trims: sheets::aims(advised),
        lines: Vec::new(),
        means: Vec::new(),
        packs: Vec::new(),
    };
    door.keep(vec![Event::Plan(plan)]).ok()?;
    for _ in 0..MOST_PASSES {
        let left = door.state().to_cut();
        let Some((next, _)) = sheets::in_order(door.state(), &left).into_iter().next() else { return Some(()) };
        let sheet = sheets::of_cut(door.state(), settings, &left, (LEAF, next.edge), &|_| Asked::default())?.ok()?;
        door.keep(vec![Event::Cut(recording::as_shown(advised.round, &sheet))]).ok()?;
    }
    None
}

/// The advice once everything it asks for in this round is answered.
fn settled(door: &mut Door, settings: &Settings) -> Option<Look> {
    for _ in 0..MOST_ANSWERS {
        let advised = look(door, settings)?;
        let events = door.answer(&advised, &settings.feelers);
        if events.is_empty() {
            return Some(advised);
        }
        door.keep(events).ok()?;
    }
    None
}
