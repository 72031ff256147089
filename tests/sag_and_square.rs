//! A hung leaf that sags in an opening that is out of square besides: what the plan's packs make of it, worked out on
//! the true geometry. The leaf is a rigid rectangle, turned and moved by exact rotation, its frame four straight lines;
//! a pack moves the leaf's hinge edge at its hinge, and the pins stay at their heights. All figures are invented.

use evenreveal::contract::hinges;
use evenreveal::fit::hung::MOST_STOCK;
use evenreveal::fit::length::{Inches, Length, Show};
use evenreveal::fit::opening::{
    Adjust, Edge, EdgeSet, Facing, FitProblem, GapLine, Hanging, Leaf, Motion, Prefer, Side, Travel,
};
use evenreveal::fit::plan::{HingePack, Options, Plan, Verdict, plan};
use evenreveal::fit::reading::{Reading, Value};
use evenreveal::fit::sag::{Cause, stances};
use evenreveal::fit::sparing::plan_sparing;
use evenreveal::shop::OpeningState;
use evenreveal::shop::event::{Event, Record};

const WIDTH: f64 = 14.0;
const HEIGHT: f64 = 26.0;
const HINGES: [f64; 2] = [3.0, 23.0];
const TARGET: f64 = 3.0 / 32.0;
const RIGHT: f64 = 1.0 / 64.0;
const HAIR: f64 = 1e-6;

/// A leaf in its opening as it truly is.
#[derive(Clone, Copy, Debug)]
struct Truth {
    hinge: Side,
    /// Where the leaf's lower left corner is, and how it is turned (anticlockwise, radians).
    at: (f64, f64),
    turn: f64,
    /// Sill and head rise to the right by so much per inch; the sides lean right by so much going up.
    rise: [f64; 2],
    lean: [f64; 2],
    /// What is cut off each edge at its lower or left and its upper or right corner.
    cut: [[f64; 2]; 4],
}

impl Truth {
    fn point(&self, x: f64, y: f64) -> (f64, f64) {
        let (sin, cos) = self.turn.sin_cos();
        (self.at.0 + x * cos - y * sin, self.at.1 + x * sin + y * cos)
    }

    /// The gap at `s` along the leaf's own edge, at right angles to the frame's side (which leans so little that the
    /// cosine is one).
    fn gap(&self, edge: Edge, s: f64) -> f64 {
        let place = Edge::ALL.iter().position(|one| *one == edge).unwrap();
        let [start, end] = self.cut[place];
        let length = if edge.is_upright() { HEIGHT } else { WIDTH };
        let off = start + (end - start) * s / length;
        let (sill, head) = (-TARGET, HEIGHT + TARGET);
        match edge {
            Edge::Left => {
                let (x, y) = self.point(off, s);
                x + TARGET - self.lean[0] * (y - HEIGHT / 2.0)
            }
            Edge::Right => {
                let (x, y) = self.point(WIDTH - off, s);
                WIDTH + TARGET + self.lean[1] * (y - HEIGHT / 2.0) - x
            }
            Edge::Bottom => {
                let (x, y) = self.point(s, off);
                y - (sill + self.rise[0] * (x - WIDTH / 2.0))
            }
            Edge::Top => {
                let (x, y) = self.point(s, HEIGHT - off);
                head + self.rise[1] * (x - WIDTH / 2.0) - y
            }
        }
    }

    fn stations(edge: Edge) -> [f64; 3] {
        let length = if edge.is_upright() { HEIGHT } else { WIDTH };
        [1.0, length / 2.0, length - 1.0]
    }

    fn misses(&self) -> Vec<f64> {
        let each = Edge::ALL.into_iter().flat_map(|edge| Self::stations(edge).map(|s| (edge, s)));
        each.map(|(edge, s)| self.gap(edge, s) - TARGET).collect()
    }

    fn worst(&self) -> f64 {
        self.misses().into_iter().fold(0.0, |worst, miss| worst.max(miss.abs()))
    }

    fn problem(&self, hanging: Hanging) -> FitProblem {
        let exact = |inches: f64| Length::from_inches_near(inches).unwrap();
        let line = |edge: Edge| {
            let read = |s: f64| {
                let gap = exact(self.gap(edge, s));
                let value = if gap.is_negative() { Value::Lap(gap.abs()) } else { Value::Gap(gap) };
                Reading { at: exact(s), value }
            };
            GapLine {
                between: [Facing::Leaf { leaf: 0, edge }, Facing::Frame],
                target: Length::ratio(3, 32),
                offset: Length::ZERO,
                readings: Self::stations(edge).map(read).to_vec(),
            }
        };
        let leaf = Leaf {
            id: "A".to_owned(),
            width: exact(WIDTH),
            height: exact(HEIGHT),
            hinge: Some(self.hinge),
            may_cut: EdgeSet::ALL,
            motion: Motion::Hung(hanging),
        };
        FitProblem {
            leaves: vec![leaf],
            gaps: Edge::ALL.into_iter().map(line).collect(),
            tolerance: Length::ratio(1, 64),
            prefer: Prefer::LeastWood,
        }
    }

    /// The same leaf with the plan's packs behind its hinges, its screws turned and its cuts made: the hinge edge moves
    /// at each hinge as the pack says, the lower hinge keeps its height (but for the height screws).
    fn done(&self, plan: &Plan) -> Self {
        let part = &plan.leaves[0];
        let sign = if self.hinge == Side::Left { 1.0 } else { -1.0 };
        let edge = if self.hinge == Side::Left { 0.0 } else { WIDTH };
        let out = |at: f64| {
            part.packs.iter().find(|pack| (pack.hinge.inches() - at).abs() < HAIR).map_or(0.0, |pack| pack.out.get())
        };
        let [low, high] = HINGES.map(|at| self.point(edge, at));
        // Both pins of the hinge edge moved across the frame.
        let low = (low.0 + sign * out(HINGES[0]), low.1 + part.raise.get());
        let high = (high.0 + sign * out(HINGES[1]), high.1 + part.raise.get());
        let turn = (-(high.0 - low.0)).atan2(high.1 - low.1);
        let mut done = Self { turn, at: (0.0, 0.0), ..*self };
        // The hinge line keeps its height: halfway between the pins.
        let middle = done.point(edge, f64::midpoint(HINGES[0], HINGES[1]));
        done.at = (f64::midpoint(low.0, high.0) - middle.0, f64::midpoint(low.1, high.1) - middle.1);
        for trim in &part.trims {
            let place = Edge::ALL.iter().position(|one| *one == trim.edge).unwrap();
            done.cut[place] = [trim.start.get(), trim.end.get()];
        }
        done
    }
}

fn packs() -> Hanging {
    Hanging {
        hinges: HINGES.map(|at| Length::from_inches_near(at).unwrap()).to_vec(),
        pack: Length::ratio(1, 16),
        let_in: Length::ratio(1, 32),
        stock: vec![Length::ratio(11, 1000)],
        adjust: None,
        there: Vec::new(),
        up: Length::ZERO,
    }
}

fn screws() -> Hanging {
    let side = Travel { from: Length::ratio(-1, 16), to: Length::ratio(1, 16), step: None };
    let adjust = Adjust { side: Some(side), height: None, depth: None };
    Hanging { pack: Length::ZERO, let_in: Length::ZERO, stock: Vec::new(), adjust: Some(Box::new(adjust)), ..packs() }
}

/// Planted leaves: each leans on its hinges by the first figure (over its height, wider at the top), in an opening whose
/// sill and head rise toward the latch by the second (over its width).
fn planted() -> Vec<Truth> {
    let mut all = Vec::new();
    for hinge in [Side::Left, Side::Right] {
        for sag in [-0.06, -0.02, 0.01, 0.03, 0.06, 0.1] {
            for rise in [-0.06, -0.02, 0.0, 0.015, 0.03, 0.06, 0.1] {
                let toward = if hinge == Side::Left { 1.0 } else { -1.0 };
                let turn = -toward * sag / HEIGHT;
                let rise = toward * rise / WIDTH;
                let mut truth =
                    Truth { hinge, at: (0.0, 0.0), turn, rise: [rise; 2], lean: [0.0; 2], cut: [[0.0; 2]; 4] };
                // Turned about its middle.
                let middle = truth.point(WIDTH / 2.0, HEIGHT / 2.0);
                truth.at = (WIDTH / 2.0 - middle.0, HEIGHT / 2.0 - middle.1);
                all.push(truth);
            }
        }
    }
    all
}

fn without_hinges(problem: &FitProblem) -> FitProblem {
    let mut held = problem.clone();
    if let Motion::Hung(hanging) = &mut held.leaves[0].motion {
        *hanging = Hanging { pack: Length::ZERO, let_in: Length::ZERO, stock: Vec::new(), adjust: None, ..packs() };
    }
    held
}

/// Every planted leaf on every kind of hinge, with cuts and without.
fn problems() -> Vec<(Truth, FitProblem)> {
    let mut all = Vec::new();
    for hanging in [packs(), screws()] {
        for truth in planted() {
            let problem = truth.problem(hanging.clone());
            let mut locked = problem.clone();
            locked.leaves[0].may_cut = EdgeSet::NONE;
            all.extend([(truth, problem), (truth, locked)]);
        }
    }
    all
}

fn packed(plan: &Plan) -> bool {
    !plan.leaves[0].packs.is_empty()
}

#[test]
fn sag_and_square_are_told_apart_as_they_were_planted() {
    for truth in planted() {
        let stance = stances(&truth.problem(packs())).unwrap()[0];
        let toward = if truth.hinge == Side::Left { 1.0 } else { -1.0 };
        let (low, out) = (-toward * truth.turn * WIDTH, toward * truth.rise[0] * WIDTH);
        assert!((stance.low.get() - low).abs() < 5e-4, "{truth:?} {stance:?}");
        assert!((stance.out_of_square.get() - out).abs() < 5e-4, "{truth:?} {stance:?}");
        let half = RIGHT / 2.0;
        let cause = match (low.abs() > half, out.abs() > half) {
            (true, true) => Cause::Both,
            (true, false) => Cause::Hinges,
            (false, true) => Cause::Square,
            (false, false) => Cause::Neither,
        };
        assert_eq!(stance.cause, cause, "{truth:?}");
    }
}

/// Done as the plan says, the true gaps are what it foretells, the worst of them is no further off than before, and a
/// right gap is spoiled only for one that comes nearer by half the tolerance at least.
#[test]
fn what_a_plan_does_to_the_hinges_makes_no_leaf_worse() {
    let (mut righted, mut left, mut traded) = (0, 0, 0);
    for (truth, problem) in problems() {
        let plan = plan_sparing(&problem, Options::default(), problem.tolerance).unwrap();
        let done = truth.done(&plan);
        let told = plan.gaps.iter().flat_map(|line| line.stations.iter().map(|one| one.after.get() - TARGET));
        for (told, is) in told.zip(done.misses()) {
            assert!((told - is).abs() < 5e-4, "{told} is {is}: {truth:?} {plan:?}");
        }
        assert!(done.worst() <= truth.worst() + 5e-4, "{} -> {}: {truth:?} {plan:?}", truth.worst(), done.worst());
        if plan.verdict != Verdict::Short {
            continue;
        }
        let both = truth.misses().into_iter().zip(done.misses());
        let spoiled = both.filter(|(now, after)| now.abs() <= RIGHT && after.abs() > RIGHT + 5e-4).count();
        let alone = plan_of(&without_hinges(&problem));
        if packed(&plan) && spoiled > 0 {
            let gain = truth.done(&alone).worst() - done.worst();
            assert!(gain >= RIGHT / 2.0 - 5e-4, "{gain} for {spoiled} right gaps: {truth:?} {plan:?}");
            traded += 1;
        }
        righted += usize::from(packed(&plan));
        left += usize::from(!packed(&plan) && packed(&plan_of(&problem)));
    }
    assert!(righted > 10 && left > 10 && traded > 0, "righted {righted}, left alone {left}, traded {traded}");
}

fn plan_of(problem: &FitProblem) -> Plan {
    plan(problem, Options::default()).unwrap()
}

/// The solver's own rule, which `solve` answers by: a plan that is short changes a hinge only where that makes the worst
/// miss smaller, or brings it as low with fewer cuts.
#[test]
fn a_short_plan_names_packs_only_where_they_help() {
    let mut seen = 0;
    for (truth, problem) in problems() {
        let plan = plan_of(&problem);
        if plan.verdict != Verdict::Short || !packed(&plan) {
            continue;
        }
        seen += 1;
        let alone = plan_of(&without_hinges(&problem));
        let nearer = alone.worst_after.get() > plan.worst_after.get() + HAIR;
        let fewer = plan.leaves[0].trims.len() < alone.leaves[0].trims.len();
        assert!(nearer || fewer, "{truth:?} {plan:?} {alone:?}");
        // On the true gaps as well.
        let (with, without) = (truth.done(&plan).worst(), truth.done(&alone).worst());
        assert!(with <= without + 5e-4, "{with} and {without}: {truth:?} {plan:?}");
    }
    assert!(seen > 10, "{seen}");
}

/// A leaf whose upper hinge stands 0.03 out and whose lower one 0.0003: nobody turns a screw by three ten-thousandths,
/// and no plan says so (it was "turn the bottom hinge's side screw 0 out").
#[test]
fn no_screw_is_turned_by_nothing() {
    let straight =
        Truth { hinge: Side::Left, at: (0.0, 0.0), turn: 0.0, rise: [0.0; 2], lean: [0.0; 2], cut: [[0.0; 2]; 4] };
    let pack = |at: f64, out: f64| HingePack {
        hinge: Length::from_inches_near(at).unwrap(),
        out: Inches(out),
        counts: [0; MOST_STOCK],
    };
    let mut moved = plan_of(&straight.problem(screws()));
    moved.leaves[0].packs = vec![pack(HINGES[0], 0.0003), pack(HINGES[1], 0.03)];
    let out = straight.done(&moved);
    let mut problem = out.problem(screws());
    problem.leaves[0].may_cut = EdgeSet::NONE;
    let plan = plan_of(&problem);
    let turned: Vec<Length> = plan.leaves[0].packs.iter().map(|pack| pack.hinge).collect();
    assert_eq!(turned, [Length::from_inches_near(HINGES[1]).unwrap()], "{plan:?}");
    assert!(plan.worst_after.get() < 0.001, "{plan:?}");
    let said = hinges::leaf(&problem.leaves[0], &plan.leaves[0], &hinges::unnamed, Show::Fraction(64));
    assert_eq!(said.len(), 1, "{said:?}");
}

/// Plans of old logs have such turns: they are no jobs.
#[test]
fn a_turn_of_nothing_in_an_old_plan_waits_for_nobody() {
    let events = r#"{"event":"opening","gaps":[{"between":["frame","A.left"],"target":"3/32"}]}
        {"event":"leaf","leaf":"A","width":"14","height":"26","hinge":"left",
          "motion":{"hung":{"hinges":["3","23"],"pack":"0","let_in":"0","stock":[],"adjust":{"side":{"from":"-1/16","to":"1/16"}}}}}
        {"event":"readings","round":1,"gaps":[{"between":["frame","A.left"],"readings":[{"at":"1","gap":"1/16"}]}]}
        {"event":"plan","round":1,"verdict":"pack","trims":[],
          "packs":[{"leaf":"A","hinge":"3","out":"0.0003"},{"leaf":"A","hinge":"23","out":"-0.03"}]}"#;
    let events = serde_json::Deserializer::from_str(events).into_iter::<Event>().map(Result::unwrap);
    let records: Vec<Record> = (1..).zip(events).map(|(n, event)| Record { n, at: String::new(), event }).collect();
    let state = OpeningState::replay(&records);
    let left: Vec<Length> = state.packs_left().iter().map(|pack| pack.hinge).collect();
    assert_eq!(left, [Length::ratio(23, 1)]);
}
