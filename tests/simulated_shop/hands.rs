//! The comparisons: hands alone, and perfect knowledge.

use super::desk::Desk;
use super::truth::{TARGET, TOLERANCE, Truth};
use evenreveal::fit::length::Length;
use evenreveal::fit::opening::{Edge, FitProblem, Prefer};
use evenreveal::fit::plan::{Options, plan};
use evenreveal::fit::reading::{Reading, Value};
use rand_chacha::ChaCha8Rng;

/// What a comparison did.
#[derive(Clone, Debug)]
pub struct Plain {
    pub rounds: usize,
    pub saw_cuts: usize,
    pub plane_cuts: usize,
    pub worst: f64,
    pub wide: f64,
}

/// One edge at a time, hinge side first; 70 % of what that edge's own corner gaps show to be
/// missing, saw above 1/32, plane below; stops when every corner gap looks within 1/64 or no edge
/// shows wood to take. Hands are given more than the tool: they set the leaf about even each time
/// (otherwise an edge's own gaps say nothing).
pub fn hands(truth: &mut Truth, rng: &mut ChaCha8Rng) -> Plain {
    let (mut saw_cuts, mut plane_cuts, mut rounds) = (0, 0, 0);
    let order = [Edge::Left, Edge::Bottom, Edge::Top, Edge::Right];
    let mut next = 0;
    for _ in 0..25 {
        rounds += 1;
        let sits = truth.sit_by_eye(rng);
        let mut missing = [[0.0; 2]; 4];
        for edge in Edge::ALL {
            for (end, station) in [0, 2].into_iter().enumerate() {
                let (value, _) = truth.read(sits, edge, station, rng);
                missing[edge as usize][end] = TARGET - Reading { at: Length::ZERO, value }.mean_inches();
            }
        }
        if missing.iter().flatten().all(|m| m.abs() <= TOLERANCE) {
            break;
        }
        let cuttable = |edge: &Edge| truth.may_cut.has(*edge);
        let needs = |edge: &Edge| missing[*edge as usize].iter().any(|m| *m > TOLERANCE);
        let turn = (0..4).map(|k| order[(next + k) % 4]).find(|edge| cuttable(edge) && needs(edge));
        let Some(edge) = turn else { break };
        next = order.iter().position(|e| *e == edge).unwrap() + 1;
        let take = missing[edge as usize].map(|m| 0.7 * m.max(0.0));
        if take[0].max(take[1]) > 1.0 / 32.0 {
            truth.saw(edge, take, rng);
            saw_cuts += 1;
        } else {
            truth.plane(edge, take, rng);
            plane_cuts += 1;
        }
    }
    finish(truth, rounds, saw_cuts, plane_cuts)
}

/// One round with the truth known, every edge the plan names at once, to the line: cutting errors only.
pub fn perfect(truth: &mut Truth, rng: &mut ChaCha8Rng) -> Plain {
    let trims = plan(&true_problem(truth), Options::default()).expect("a sound problem").leaves.remove(0).trims;
    let mut saw_cuts = 0;
    for trim in trims {
        truth.saw(trim.edge, [trim.start.0, trim.end.0], rng);
        saw_cuts += 1;
    }
    finish(truth, 1, saw_cuts, 0)
}

/// The least worst miss that trimming alone could leave, had everything been known.
pub fn reach(truth: &Truth) -> f64 {
    plan(&true_problem(truth), Options::default()).expect("a sound problem").reach.0
}

fn true_problem(truth: &Truth) -> FitProblem {
    let desk = Desk::new(truth);
    let (best, _) = truth.best();
    let mut gaps = desk.gaps.clone();
    for (gap, edge) in Edge::ALL.into_iter().enumerate() {
        for station in 0..3 {
            let value = Length::from_inches_near(truth.gap(best, edge, station)).unwrap();
            gaps[gap].readings.push(Reading { at: desk.stations[gap][station], value: Value::Gap(value) });
        }
    }
    FitProblem { leaves: vec![desk.leaf], gaps, tolerance: Length::ratio(1, 64), prefer: Prefer::LeastWood }
}

fn finish(truth: &Truth, rounds: usize, saw_cuts: usize, plane_cuts: usize) -> Plain {
    let (best, worst) = truth.best();
    let wide = truth.misses(best).into_iter().fold(f64::MIN, f64::max);
    Plain { rounds, saw_cuts, plane_cuts, worst, wide }
}
