//! What trimming can do at all: the smallest even reveal, and for a short leaf the thinnest strips.

use super::choose::{Candidate, SERVES_SLACK};
use super::lp::{Certified, LexSolver, LpError};
use super::network::{Network, Unknown};
use super::opening::{Edge, FitProblem};

/// The columns open when `set` may be trimmed, with the extra unknown open too.
fn open(problem: &FitProblem, network: &Network, set: &[Candidate]) -> Vec<bool> {
    let layout = network.layout();
    let mut open = network.always_open(problem);
    for &(leaf, edge) in set {
        open[layout.trim(leaf, edge, 0)] = true;
        open[layout.trim(leaf, edge, 1)] = true;
    }
    open[layout.extra()] = true;
    open
}

/// Smallest value of an extra unknown that changes the stations by `effect` and brings every miss
/// within `within`; none if nothing does.
fn least_extra(
    problem: &FitProblem,
    network: &Network,
    set: &[Candidate],
    misses: &[f64],
    within: f64,
    effect: &[f64],
) -> Result<Option<f64>, LpError> {
    let layout = network.layout();
    let programme = network.programme(misses, within, effect, false);
    let solver = Certified::new(programme, &network.always_open(problem), &layout.least_worst());
    let objectives = [layout.least_worst(), vec![(layout.extra(), 1.0)]];
    let answer = solver.solve(&open(problem, network, set), &objectives, SERVES_SLACK)?;
    Ok(if answer.stopped { None } else { answer.values.get(1).copied() })
}

/// The smallest single reveal (in) to which all `gaps` (in, station by station) can be brought within
/// `half` by trimming `set`.
pub fn even_reveal(
    problem: &FitProblem,
    network: &Network,
    set: &[Candidate],
    gaps: &[f64],
    half: f64,
) -> Result<Option<f64>, LpError> {
    least_extra(problem, network, set, gaps, half, &vec![-1.0; gaps.len()])
}

/// For each edge, the thinnest uniform strip (in) on it that brings the worst miss within `half`,
/// thinnest first; edges where none helps are left out.
pub fn strips(
    problem: &FitProblem,
    network: &Network,
    set: &[Candidate],
    misses: &[f64],
    half: f64,
) -> Result<Vec<(usize, Edge, f64)>, LpError> {
    let mut found = Vec::new();
    for leaf in 0..problem.leaves.len() {
        for edge in Edge::ALL {
            if !network.is_read(leaf, edge) {
                continue;
            }
            let on_edge =
                |unknown: Unknown| matches!(unknown, Unknown::Trim { leaf: l, edge: e, .. } if l == leaf && e == edge);
            let effect: Vec<f64> = network
                .stations
                .iter()
                .map(|station| if station.terms.iter().any(|&(unknown, _)| on_edge(unknown)) { -1.0 } else { 0.0 })
                .collect();
            if let Some(thickness) = least_extra(problem, network, set, misses, half, &effect)? {
                found.push((leaf, edge, thickness));
            }
        }
    }
    found.sort_by(|a, b| a.2.total_cmp(&b.2));
    Ok(found)
}
