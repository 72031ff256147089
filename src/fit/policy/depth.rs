//! How deep to go: short of the line by the stated risk, in real wood.
//!
//! What the tape and the plane are known to take beyond the shop's figures changes how many layers and strokes
//! are counted for a depth ([`CutAdvice::as_made`]), never the depth itself.

use super::{LEAST_AIM, Policy, chance};
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
    /// Real wood to take now, at the same corners: never more than the line.
    pub aim: [Inches; 2],
    /// Where to aim instead if it is done by the other means.
    pub aim_otherwise: [Inches; 2],
    /// Spread of what the cut takes, at the same corners.
    pub cut_sd: [Inches; 2],
    /// Spread of where the line is, at the same corners.
    pub line_sd: [Inches; 2],
    /// What a stroke takes over the shop's figure, as far as it is known.
    pub plane: f64,
    /// A layer under pressure over the shop's figure, as far as it is known.
    pub tape: f64,
}

impl CutAdvice {
    /// As the estimate takes it in once it is done as shown.
    pub fn as_made(&self) -> CutMade {
        let allowed = match self.method {
            Method::Saw => self.tape,
            Method::Plane => self.plane,
        };
        let [start, end] = self.aim;
        CutMade { leaf: self.leaf, edge: self.edge, start, end, method: self.method, allowed }
    }

    /// The larger of the chances that it goes over its line at one end and at the other.
    pub fn over(&self) -> f64 {
        self.over_by(Inches(0.0))
    }

    /// The same, by more than `spare`. A plane that is not put to an end takes nothing there.
    pub fn over_by(&self, spare: Inches) -> f64 {
        [0, 1].into_iter().filter_map(|end| self.over_at(end, spare)).fold(0.0, f64::max)
    }

    /// The chance that it goes over its line by more than `spare` at one end: 0 the lower or left, 1 the other.
    pub fn over_at(&self, end: usize, spare: Inches) -> Option<f64> {
        let (aim, line) = (self.aim.get(end)?.0, self.line.get(end)?.0);
        let sd = self.cut_sd.get(end)?.0.hypot(self.line_sd.get(end)?.0).max(1e-9);
        let untouched = self.method == Method::Plane && aim <= 0.0;
        Some(if untouched { 0.0 } else { chance::above((line + spare.0 - aim) / sd) })
    }

    /// Is nothing aimed at here? Then a saw cannot stay short of its line: less than nothing does not come off.
    pub fn is_bare(&self, end: usize) -> bool {
        self.aim.get(end).is_some_and(|aim| aim.0 <= 0.0)
    }

    fn is_worth_it(&self) -> bool {
        self.aim[0].0.max(self.aim[1].0) >= LEAST_AIM
    }
}

/// The most of a kerf that one of several passes takes: what is kept back is more than a set-up may be off
/// by. A judgement, no source.
const SHARE_OF_KERF: f64 = 0.9;
/// More passes than this are no way to cut an edge.
const MOST_PASSES: u32 = 12;

/// How many passes take `most` inches off an edge where none takes a whole `kerf`; `None` where one does
/// it, where the numbers make no sense, or where there would be too many.
pub fn saw_passes(most: f64, kerf: f64) -> Option<u32> {
    if !(most > kerf && kerf > 0.0) {
        return None;
    }
    let passes = (most / (SHARE_OF_KERF * kerf)).ceil();
    (passes <= f64::from(MOST_PASSES)).then_some(passes as u32)
}

/// By what means the shop can do a cut, the one it would use first. Empty: by none.
pub type Means<'a> = dyn Fn(&CutAdvice) -> Vec<Method> + 'a;

/// What a cut at `left` (wood to the line at both corners) would be aimed at, and its spread, by one means.
pub(super) struct Rule<'a> {
    pub estimate: &'a Estimate,
    pub policy: &'a Policy,
    /// Relative spread of the plane factor.
    pub plane_sd: f64,
    /// Spread of the line at both corners.
    pub line_sd: [f64; 2],
}

impl Rule<'_> {
    /// Spread of what is really taken at both corners when `meant` is aimed at. Each pass of the saw errs anew.
    pub(super) fn cut_sd(&self, method: Method, meant: [f64; 2]) -> [f64; 2] {
        let (tape, spread) = self.estimate.tape();
        let tape_sd = spread / allowed_tape(tape);
        let spreads = self.estimate.spreads();
        let passes = f64::from(self.passes(method, meant));
        let sd = |here: f64, there: f64| match method {
            Method::Plane => spreads.cut_sd(method, here, there, tape_sd, self.plane_sd),
            Method::Saw => {
                let one_pass = spreads.cut_sd(method, 0.0, 0.0, tape_sd, self.plane_sd);
                let rise = (here - there).max(0.0) * tape_sd;
                (passes.sqrt() * one_pass.hypot(self.policy.saw_rounding.0)).hypot(rise)
            }
        };
        [sd(meant[0], meant[1]), sd(meant[1], meant[0])]
    }

    /// How many times the blade goes along the edge for this much.
    pub(super) fn passes(&self, method: Method, meant: [f64; 2]) -> u32 {
        match method {
            Method::Saw => saw_passes(meant[0].max(meant[1]), self.policy.kerf.0).unwrap_or(1),
            Method::Plane => 1,
        }
    }

    /// Real wood to aim at: the line, less the stated risk; for the plane, with its spare and no more than it
    /// takes in one go.
    pub(super) fn aim(&self, method: Method, line: [f64; 2]) -> [f64; 2] {
        let cut_sd = self.cut_sd(method, line);
        let (spare, most) = match method {
            Method::Saw => (0.0, f64::INFINITY),
            Method::Plane => (self.policy.spare().0, self.policy.most_planed.0),
        };
        let aim = |end: usize| {
            let short = (self.policy.risk.k * cut_sd[end].hypot(self.line_sd[end]) - spare).max(0.0);
            (line[end] - short).clamp(0.0, line[end].max(0.0)).min(most)
        };
        [aim(0), aim(1)]
    }

    /// The means that the depth alone decides, with its aim.
    pub(super) fn by_depth(&self, line: [f64; 2]) -> (Method, [f64; 2]) {
        let saw = self.aim(Method::Saw, line);
        if saw[0].max(saw[1]) >= self.policy.saw_from.0 {
            (Method::Saw, saw)
        } else {
            (Method::Plane, self.aim(Method::Plane, line))
        }
    }
}

/// The plane factor that is allowed for: strokes are never counted for less than a quarter of the figure.
pub(super) fn allowed_plane(factor: f64) -> f64 {
    factor.max(0.25)
}

/// The tape factor that is allowed for.
pub(super) fn allowed_tape(factor: f64) -> f64 {
    factor.clamp(0.5, 1.5)
}

/// Where to aim for a wanted trim; by which means, if not left to its depth alone.
pub(super) fn advise(
    estimate: &Estimate,
    policy: &Policy,
    leaf: usize,
    trim: Trim,
    means: Option<&Means<'_>>,
) -> Result<CutAdvice, EstimateError> {
    let line = [trim.start.0.max(0.0), trim.end.0.max(0.0)];
    let line_sd = line_sd(estimate, leaf, trim.edge)?;
    let plane = allowed_plane(estimate.plane().0);
    let rule = Rule { estimate, policy, plane_sd: estimate.plane().1 / plane, line_sd };
    let by = |method: Method| {
        let other = if method == Method::Saw { Method::Plane } else { Method::Saw };
        let aim = rule.aim(method, line);
        CutAdvice {
            leaf,
            edge: trim.edge,
            method,
            line: line.map(Inches),
            aim: aim.map(Inches),
            aim_otherwise: rule.aim(other, line).map(Inches),
            cut_sd: rule.cut_sd(method, aim).map(Inches),
            line_sd: line_sd.map(Inches),
            plane,
            tape: allowed_tape(estimate.tape().0),
        }
    };
    let (saw, planed) = (by(Method::Saw), by(Method::Plane));
    let Some(means) = means else { return Ok(by(rule.by_depth(line).0)) };
    let first_choice = saw.is_worth_it() && means(&saw).first() == Some(&Method::Saw);
    // What is left too shallow for the saw at this risk is the plane's, wherever there is one.
    Ok(if !first_choice && means(&planed).contains(&Method::Plane) { planed } else { saw })
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
