//! From the solver's columns to a plan.

use super::choose::{Candidate, Chosen};
use super::hung::{AXES, Hung, LEAST_TURN, MOST_STOCK, Step, Way};
use super::length::{Inches, Length, Radians, SquareInches};
use super::network::{Layout, Network, Unknown, edge_inches};
use super::opening::{Edge, FitProblem};
use super::packing::Setting;
use super::plan::{GapForecast, HingePack, LeafPlan, Plan, Pose, Station, Trim, Verdict};

/// A removal below this is no cut: far below what any tool can take.
pub const NO_CUT: f64 = 1e-9;

/// From the solver's columns to a plan (verdict and the reach still to be filled in).
pub(super) fn assemble(problem: &FitProblem, network: &Network, chosen: &Chosen, setting: Option<&Setting>) -> Plan {
    let layout = network.layout();
    let value = |column: usize| chosen.x.get(column).copied().unwrap_or(0.0);
    let pose = |leaf, axis| {
        let (plus, minus) = Layout::pose(leaf, axis);
        let stepped = setting.and_then(|setting| setting.axes.get(leaf)).and_then(|axes| axes.get(axis));
        value(plus) - value(minus) + stepped.copied().unwrap_or(0.0)
    };
    let mut wood = 0.0;
    let mut leaves = Vec::with_capacity(problem.leaves.len());
    for (leaf, (described, frame)) in problem.leaves.iter().zip(&network.leaves).enumerate() {
        let axes = [pose(leaf, 0), pose(leaf, 1), pose(leaf, 2)];
        let [right, up, turn] = match &frame.hung {
            Some(hung) => hung.frame.pose(axes),
            None => [axes[0], axes[1], axes[2] / frame.arm],
        };
        let motion = Pose { right: Inches(right), up: Inches(up), turn: Radians(turn) };
        let (packs, raise) = frame.hung.as_ref().map_or((Vec::new(), 0.0), |hung| {
            (packs(hung, axes, setting.and_then(|setting| setting.hinges.get(leaf))), axes[1])
        });
        let mut trims = Vec::new();
        for &(_, edge) in chosen.set.iter().filter(|(of, _)| *of == leaf) {
            let (start, end) = (value(layout.trim(leaf, edge, 0)), value(layout.trim(leaf, edge, 1)));
            if start.max(end) > NO_CUT {
                wood += edge_inches(described, edge) * f64::midpoint(start, end);
                trims.push(Trim { edge, start: Inches(start), end: Inches(end) });
            }
        }
        leaves.push(LeafPlan {
            motion,
            packs,
            raise: Inches(if raise.abs() >= LEAST_TURN { raise } else { 0.0 }),
            trims,
        });
    }
    let mut gaps: Vec<GapForecast> = problem
        .gaps
        .iter()
        .map(|line| GapForecast { between: line.between, target: line.target, stations: Vec::new() })
        .collect();
    let (mut worst, mut sum) = (0.0_f64, 0.0);
    for row in &network.stations {
        let change: f64 = row
            .terms
            .iter()
            .map(|&(unknown, coefficient)| {
                coefficient
                    * match unknown {
                        Unknown::Pose { leaf, axis } => pose(leaf, axis),
                        Unknown::Trim { leaf, edge, end } => value(layout.trim(leaf, edge, end)),
                    }
            })
            .sum();
        let after = row.now + change;
        let miss = (after - row.target).abs();
        worst = worst.max(miss);
        sum += miss;
        if let Some(gap) = gaps.get_mut(row.gap) {
            gap.stations.push(Station { at: row.at, now: Inches(row.now), after: Inches(after) });
        }
    }
    Plan {
        verdict: Verdict::Fitted,
        now: Inches(0.0),
        reach: Inches(0.0),
        even_reveal: None,
        worst_after: Inches(worst),
        sum_after: Inches(sum),
        wood: SquareInches(wood),
        leaves,
        gaps,
        strips: Vec::new(),
        unlock: Vec::new(),
        warnings: Vec::new(),
    }
}

/// The edges with a reading.
pub(super) fn read_edges(problem: &FitProblem, network: &Network) -> Vec<Candidate> {
    (0..problem.leaves.len())
        .flat_map(|leaf| Edge::ALL.into_iter().map(move |edge| (leaf, edge)))
        .filter(|&(leaf, edge)| network.is_read(leaf, edge))
        .collect()
}

/// What each hinge gets: the steps of the setting, or what screws do along the line of the pins.
fn packs(hung: &Hung, axes: [f64; AXES], steps: Option<&Vec<(Length, Step)>>) -> Vec<HingePack> {
    if let (Way::Steps(_), Some(steps)) = (&hung.ways[0], steps) {
        let done = steps.iter().filter(|(_, step)| !step.out.is_zero());
        // Clicks of a screw are no pieces of stock.
        let pieces = |step: &Step| if hung.screwed { [0; MOST_STOCK] } else { step.counts };
        return done
            .map(|(hinge, step)| HingePack { hinge: *hinge, out: Inches(step.out.inches()), counts: pieces(step) })
            .collect();
    }
    let along = |hinge: Length| {
        let share = (hinge.inches() - hung.frame.low) / (hung.frame.high - hung.frame.low);
        axes[0] + share * (axes[2] - axes[0])
    };
    let moved = hung.hinges.iter().map(|&hinge| (hinge, along(hinge))).filter(|(_, out)| out.abs() >= LEAST_TURN);
    moved.map(|(hinge, out)| HingePack { hinge, out: Inches(out), counts: [0; MOST_STOCK] }).collect()
}

/// The stepped axes of a plan's hung leaves, in (zeros elsewhere): what its packs do to the pose.
pub(super) fn stepped(network: &Network, plan: &Plan) -> Vec<[f64; AXES]> {
    let of = |(place, frame): (usize, &super::network::LeafFrame)| {
        let (Some(hung), Some(leaf)) = (&frame.hung, plan.leaves.get(place)) else { return [0.0; AXES] };
        let at = |hinge: Option<&Length>| {
            let pack = leaf.packs.iter().find(|pack| Some(&pack.hinge) == hinge);
            pack.map_or(0.0, |pack| pack.out.get())
        };
        let all = [at(hung.hinges.first()), leaf.raise.get(), at(hung.hinges.last())];
        let mut axes = [0.0; AXES];
        for ((axis, way), amount) in axes.iter_mut().zip(&hung.ways).zip(all) {
            if matches!(way, Way::Steps(_)) {
                *axis = amount;
            }
        }
        axes
    };
    network.leaves.iter().enumerate().map(of).collect()
}
