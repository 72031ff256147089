//! How deep to go: short of the line by the stated risk.

use super::Policy;
use crate::fit::estimate::{CutMade, Estimate, EstimateError, Method};
use crate::fit::length::{Inches, Length};
use crate::fit::opening::{Edge, EdgeSet};
use crate::fit::plan::{Plan, Trim};

/// A cut to make now: the line it must not pass, and where to aim.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CutAdvice {
    /// Which leaf (place in the list).
    pub leaf: usize,
    /// Which edge.
    pub edge: Edge,
    /// By what means.
    pub method: Method,
    /// Wood to the line at the lower or left corner, and at the other.
    pub line: [Inches; 2],
    /// Wood to take now, at the same corners: never more than the line.
    pub aim: [Inches; 2],
    /// Spread of what the cut takes, at the same corners.
    pub cut_sd: [Inches; 2],
    /// Spread of where the line is, at the same corners.
    pub line_sd: [Inches; 2],
}

impl CutAdvice {
    /// As the estimate takes it in once it is done as shown.
    pub fn as_made(&self) -> CutMade {
        CutMade { leaf: self.leaf, edge: self.edge, start: self.aim[0], end: self.aim[1], method: self.method }
    }
}

/// Where to aim for a wanted trim.
pub(super) fn advise(
    estimate: &Estimate,
    policy: &Policy,
    leaf: usize,
    trim: Trim,
) -> Result<CutAdvice, EstimateError> {
    let line = [trim.start.0.max(0.0), trim.end.0.max(0.0)];
    let line_sd = line_sd(estimate, leaf, trim.edge)?;
    let short = |method: Method| {
        let sd = |here: f64, there: f64| {
            estimate.spreads().cut_sd(method, here, there, estimate.tape().1, estimate.plane().1)
        };
        let (near, far) = (sd(line[0], line[1]), sd(line[1], line[0]));
        let spare = if method == Method::Plane { policy.plane_spare * policy.tolerance.inches() } else { 0.0 };
        let aim = |line: f64, cut: f64, place: f64| {
            let short = (policy.risk.k * cut.hypot(place) - spare).max(0.0);
            (line - short).clamp(0.0, line)
        };
        ([aim(line[0], near, line_sd[0]), aim(line[1], far, line_sd[1])], [near, far])
    };
    let (saw, saw_sd) = short(Method::Saw);
    let (method, aim, cut_sd) = if saw[0].max(saw[1]) >= policy.saw_from.0 {
        // The rise is set by pads: allow for what the tape is known to be under pressure.
        let (shallow, tape) = (saw[0].min(saw[1]), estimate.tape().0.clamp(0.5, 1.5));
        let padded = |aim: f64, line: f64| (shallow + (aim - shallow) / tape).min(line);
        (Method::Saw, [padded(saw[0], line[0]), padded(saw[1], line[1])], saw_sd)
    } else {
        let (plane, plane_sd) = short(Method::Plane);
        // Strokes are counted: allow for what the plane is known to take beyond the shop's figure.
        let factor = estimate.plane().0.max(0.25);
        (Method::Plane, plane.map(|aim| (aim / factor).min(policy.most_planed.0)), plane_sd)
    };
    Ok(CutAdvice {
        leaf,
        edge: trim.edge,
        method,
        line: line.map(Inches),
        aim: aim.map(Inches),
        cut_sd: cut_sd.map(Inches),
        line_sd: line_sd.map(Inches),
    })
}

/// Spread of the line at both corners of an edge: of the gap there that no motion takes away.
fn line_sd(estimate: &Estimate, leaf: usize, edge: Edge) -> Result<[f64; 2], EstimateError> {
    let stations = super::all_stations(estimate);
    let spread = estimate.shape_sd(&stations)?;
    let lines = estimate.lines_of(leaf, edge);
    let on = |(&(gap, at), &sd): (&(usize, Length), &f64)| lines.contains(&gap).then_some((at, sd));
    let mut along: Vec<(Length, f64)> = stations.iter().zip(&spread).filter_map(on).collect();
    along.sort_by_key(|&(at, _)| at);
    let ends = [along.first(), along.last()].map(|end| end.map_or(0.0, |&(_, sd)| sd));
    Ok(ends)
}

/// Edges that a plan cuts on each leaf.
pub(super) fn edges_cut(plan: &Plan) -> Vec<EdgeSet> {
    let cut = |trims: &Vec<Trim>| trims.iter().fold(EdgeSet::NONE, |set, trim| set.with(trim.edge));
    plan.leaves.iter().map(|leaf| cut(&leaf.trims)).collect()
}
