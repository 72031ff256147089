//! What the user should know about a plan besides its figures.

use super::length::{Inches, Length};
use super::network::Network;
use super::opening::{Edge, FitProblem};
use super::plan::Plan;
use super::reading::{Reading, Value};

/// More removal than this on one edge is warned of (a shop's habit, no published source).
pub const DEEP_CUT: f64 = 0.25;

/// Something the user should know about a plan.
#[derive(Clone, Debug, PartialEq)]
pub enum Warning {
    /// An edge with no reading: nothing is known of its gap.
    EdgeNeverRead {
        /// Which leaf (place in the list).
        leaf: usize,
        /// Which edge.
        edge: Edge,
    },
    /// An edge read at one station only: its taper is not known.
    OneStationOnly {
        /// Place in the list of gap lines.
        gap: usize,
    },
    /// Two readings at one station that cannot both be right.
    ReadingsDisagree {
        /// Place in the list of gap lines.
        gap: usize,
        /// The station.
        at: Length,
        /// How far apart they are.
        by: Inches,
    },
    /// More than this plan should ever take from one edge.
    DeepCut {
        /// Which leaf (place in the list).
        leaf: usize,
        /// Which edge.
        edge: Edge,
        /// Most removal along it.
        removal: Inches,
    },
    /// So many edges may be cut that they were dropped one after the other: few cuts, not proved to be
    /// the fewest.
    NotProvedFewest {
        /// How many edges may be cut.
        edges: usize,
    },
    /// Not every setting of the hinges was tried, only likely ones: another may take fewer packs or less wood.
    NotAllSettings,
}

/// The caveats of a plan.
pub fn warnings(problem: &FitProblem, network: &Network, plan: &Plan) -> Vec<Warning> {
    let mut found = Vec::new();
    for leaf in 0..problem.leaves.len() {
        let unread = Edge::ALL.into_iter().filter(|&edge| !network.is_read(leaf, edge));
        found.extend(unread.map(|edge| Warning::EdgeNeverRead { leaf, edge }));
    }
    for (gap, line) in problem.gaps.iter().enumerate() {
        let mut places: Vec<Length> = line.readings.iter().map(|reading| reading.at).collect();
        places.sort();
        places.dedup();
        if places.len() == 1 {
            found.push(Warning::OneStationOnly { gap });
        }
        for (place, reading) in line.readings.iter().enumerate() {
            for earlier in line.readings.iter().take(place).filter(|earlier| earlier.at == reading.at) {
                let by = apart(earlier, reading);
                if by > problem.tolerance.inches() / 2.0 {
                    found.push(Warning::ReadingsDisagree { gap, at: reading.at, by: Inches(by) });
                }
            }
        }
    }
    for (leaf, described) in plan.leaves.iter().enumerate() {
        for trim in &described.trims {
            let removal = trim.start.get().max(trim.end.get());
            if removal > DEEP_CUT {
                found.push(Warning::DeepCut { leaf, edge: trim.edge, removal: Inches(removal) });
            }
        }
    }
    found
}

/// How far apart two readings are at least (0 if their intervals touch), in.
fn apart(one: &Reading, other: &Reading) -> f64 {
    let interval = |reading: &Reading| match reading.value {
        Value::GoNoGo { goes, stops } => (goes.inches(), stops.inches()),
        Value::Gap(_) | Value::Lap(_) => (reading.mean_inches(), reading.mean_inches()),
    };
    let ((low, high), (other_low, other_high)) = (interval(one), interval(other));
    (other_low - high).max(low - other_high).max(0.0)
}
