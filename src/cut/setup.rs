//! The set-up sheet: one method, its set-up, why, what was refused, and the cautions.

use super::job::{Construction, CutJob, EndGrain, JobError, Kit, Method};
use super::rip::{Rip, rip, starting_values};
use super::setting::Setting;
use super::sled::{OnSled, sled};
use super::strokes::{GuideLine, Planing, Sanding, guide_line, plane, sanding};
use super::words::{Assumption, Caution, Reason, Refusal};
use crate::fit::length::Inches;
use crate::fit::opening::Edge;
use serde::Serialize;

/// A set-up, by its method.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "method", rename_all = "kebab-case")]
pub enum Setup {
    /// Against the rip fence.
    Rip(Rip),
    /// On the sled.
    Sled(OnSled),
    /// To a line.
    GuideLine(GuideLine),
    /// With a plane.
    Plane(Planing),
    /// With a sanding block.
    SandingBlock(Sanding),
}

impl Setup {
    /// Its method.
    pub fn method(&self) -> Method {
        match self {
            Self::Rip(_) => Method::Rip,
            Self::Sled(_) => Method::Sled,
            Self::GuideLine(_) => Method::GuideLine,
            Self::Plane(_) => Method::Plane,
            Self::SandingBlock(_) => Method::SandingBlock,
        }
    }

    /// Fence or stop to blade by the rule, with what it leaves at both ends; none where neither is set, or where
    /// no step comes near enough.
    pub fn absolute(&self) -> Option<Setting> {
        match self {
            Self::Rip(rip) => rip.fence_absolute,
            Self::Sled(sled) => sled.stop_absolute,
            Self::GuideLine(_) | Self::Plane(_) | Self::SandingBlock(_) => None,
        }
    }

    /// Removed less wanted at the lower or left corner and at the upper or right one, after all
    /// rounding, if everything measures as the shop says.
    pub fn errors(&self) -> (Inches, Inches) {
        match self {
            Self::Rip(rip) => (rip.fence_move.error_start, rip.fence_move.error_end),
            Self::Sled(sled) => (sled.stop_move.error_start, sled.stop_move.error_end),
            Self::GuideLine(line) => (line.error_start, line.error_end),
            Self::Plane(planing) => (planing.error_start, planing.error_end),
            Self::SandingBlock(_) => (Inches(0.0), Inches(0.0)),
        }
    }
}

/// A method that was refused, and why. No number of its set-up is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Refused {
    /// Which method.
    pub method: Method,
    /// Why.
    pub why: Refusal,
    /// The safe way instead: the method of this sheet.
    pub instead: Method,
}

/// Everything the cabinetmaker needs at the machine for one edge.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SetupSheet {
    /// The edge.
    pub edge: Edge,
    /// Removal wanted at the lower or left corner.
    pub start: Inches,
    /// Removal wanted at the upper or right corner.
    pub end: Inches,
    /// The set-up.
    pub setup: Setup,
    /// Why this method.
    pub reason: Reason,
    /// Other methods that are safe here, best ranked first.
    pub others: Vec<Method>,
    /// Methods that are not, and why.
    pub refused: Vec<Refused>,
    /// What was taken for granted.
    pub assumptions: Vec<Assumption>,
    /// Cautions, always shown.
    pub cautions: Vec<Caution>,
}

/// The set-up for `job` by the best method: the first of the shop's ranking that suits the amount
/// of wood and is not refused; failing that the first that is not refused.
pub fn propose(job: &CutJob, kit: &Kit) -> Result<SetupSheet, JobError> {
    sheet(job, kit, None)
}

/// The set-up by the method asked for; if it is refused, the safe way instead, and why.
pub fn propose_with(job: &CutJob, kit: &Kit, method: Method) -> Result<SetupSheet, JobError> {
    sheet(job, kit, Some(method))
}

type Tried = (Method, Result<(Setup, bool), Refusal>);

fn try_method(job: &CutJob, kit: &Kit, method: Method) -> Result<(Setup, bool), Refusal> {
    Ok(match method {
        Method::Rip => {
            let rip = rip(job, kit)?;
            let starting = starting_values(&rip.pads, kit.stock);
            (Setup::Rip(rip), starting)
        }
        Method::Sled => {
            let sled = sled(job, kit)?;
            let starting = starting_values(&sled.pads, kit.stock);
            (Setup::Sled(sled), starting)
        }
        Method::GuideLine => (Setup::GuideLine(guide_line(job, kit)), false),
        Method::Plane => {
            let (planing, starting) = plane(job, kit)?;
            (Setup::Plane(planing), starting)
        }
        Method::SandingBlock => (Setup::SandingBlock(sanding(job, kit)?), false),
    })
}

/// Is the leaf so small that hands at a saw would come near the blade however it is held?
fn is_small(job: &CutJob, kit: &Kit) -> bool {
    let [start, end] = job.adjoining;
    [job.length, start.length, end.length].into_iter().all(|side| side < kit.limits.shortest_fed)
}

/// Are the amount and the leaf what this tool is for?
fn suits(job: &CutJob, kit: &Kit, method: Method) -> bool {
    let most = job.most();
    match method {
        Method::SandingBlock => most <= kit.limits.sanding.get(),
        Method::Plane => most <= kit.limits.planing.get() || is_small(job, kit),
        Method::Sled => most > kit.limits.sanding.get() && !is_small(job, kit),
        Method::Rip | Method::GuideLine => most > kit.limits.sanding.get(),
    }
}

fn sheet(job: &CutJob, kit: &Kit, asked: Option<Method>) -> Result<SetupSheet, JobError> {
    job.check()?;
    let ranked = kit.ranked();
    let tried: Vec<Tried> = ranked.iter().map(|&method| (method, try_method(job, kit, method))).collect();
    let safe = |method: Method| tried.iter().any(|(tried, outcome)| *tried == method && outcome.is_ok());
    let refusal_of = |method: Method| {
        tried.iter().find(|(tried, _)| *tried == method).and_then(|(_, outcome)| outcome.as_ref().err().copied())
    };
    let instead = |why: Refusal| why.instead().iter().copied().find(|&method| safe(method));
    let (chosen, reason) = match asked {
        Some(method) if safe(method) => (method, Reason::Asked),
        Some(method) => {
            let way = refusal_of(method).and_then(instead).unwrap_or(Method::GuideLine);
            (way, Reason::SafeInstead)
        }
        None => {
            let of = |suiting: bool| {
                ranked.iter().copied().find(|&method| safe(method) && (!suiting || suits(job, kit, method)))
            };
            let way = of(true).or_else(|| of(false)).unwrap_or(Method::GuideLine);
            (way, reason_for(way, job, kit))
        }
    };
    let refused = tried
        .iter()
        .filter_map(|(method, outcome)| {
            outcome.as_ref().err().map(|&why| Refused { method: *method, why, instead: chosen })
        })
        .collect();
    let others = ranked.iter().copied().filter(|&method| method != chosen && safe(method)).collect();
    // The guide line is never refused, so this falls back on it and never on nothing.
    let (setup, starting) = tried
        .into_iter()
        .find(|(method, _)| *method == chosen)
        .and_then(|(_, outcome)| outcome.ok())
        .unwrap_or_else(|| (Setup::GuideLine(guide_line(job, kit)), false));
    let assumptions = assumptions(job, &setup, starting);
    let cautions = cautions(job, kit, &setup);
    Ok(SetupSheet {
        edge: job.edge,
        start: job.start,
        end: job.end,
        setup,
        reason,
        others,
        refused,
        assumptions,
        cautions,
    })
}

fn reason_for(method: Method, job: &CutJob, kit: &Kit) -> Reason {
    if kit.ranking.first() == Some(&method) {
        return Reason::RankedFirst;
    }
    match method {
        Method::Rip => Reason::FenceHolds,
        Method::Sled => Reason::SledHolds,
        Method::GuideLine => Reason::LineCanBeFollowed,
        Method::Plane if job.most() > kit.limits.planing.get() && is_small(job, kit) => Reason::SmallLeaf,
        Method::Plane => Reason::FewShavings,
        Method::SandingBlock => Reason::LastThousandths,
    }
}

fn assumptions(job: &CutJob, setup: &Setup, starting: bool) -> Vec<Assumption> {
    let mut all = Vec::new();
    match setup {
        Setup::Rip(rip) => {
            if !job.widths_known {
                all.push(Assumption::WidthsNominal);
            }
            if job.bow(rip.reference).is_none() {
                all.push(Assumption::EdgeStraight);
            }
        }
        Setup::Sled(sled) => {
            let adjoining = job.adjoining[usize::from(sled.at == super::job::End::End)];
            if adjoining.out_of_square.is_none() {
                all.push(Assumption::CornersSquare);
            }
            if job.bow(sled.reference).is_none() {
                all.push(Assumption::EdgeStraight);
            }
        }
        _ => {}
    }
    if starting {
        all.push(Assumption::StartingValue);
    }
    all
}

/// The cautions for a set-up, most pressing first.
fn cautions(job: &CutJob, kit: &Kit, setup: &Setup) -> Vec<Caution> {
    use Caution as C;
    let end_grain = job.construction.end_grain(job.edge) != EndGrain::None;
    let mut all = match setup {
        Setup::Rip(rip) => {
            let mut all = vec![C::ManualComesFirst, C::PowerOff, C::GuardAndKnife, C::BladeAtRest, C::PushStick];
            all.extend([C::NeverShorter, C::KeepOnFence, C::StandAside]);
            if !rip.pads.is_empty() {
                all.push(C::PadsFirm);
            }
            all.push(C::TryScrap);
            if job.length.get() > 36.0 {
                all.push(C::Support);
            }
            all
        }
        Setup::Sled(sled) => {
            let mut all = vec![C::ManualComesFirst, C::PowerOff, C::GuardAndKnife, C::BladeAtRest, C::PushStick];
            all.extend([C::NeverShorter, C::ClampToSled]);
            if sled.reference_length < kit.limits.shortest_fed {
                all.push(C::ClampSmallLeaf);
            }
            all.push(C::StandAside);
            if !sled.pads.is_empty() {
                all.push(C::PadsFirm);
            }
            all.push(C::TryScrap);
            all
        }
        Setup::GuideLine(_) => {
            let all = vec![C::ManualComesFirst, C::PowerOff, C::GuardOfSaw, C::BladeAtRest, C::HandsOnSaw];
            all.into_iter().chain([C::NeverShorter, C::ClampGuide]).collect()
        }
        Setup::Plane(_) => vec![C::ToolManualComesFirst, C::HoldForPlane],
        Setup::SandingBlock(_) => vec![C::ManualComesFirst, C::HoldForBlock],
    };
    if job.construction == Construction::Unsaid {
        all.insert(0, C::LookForEndGrain);
    }
    if end_grain {
        all.push(C::BackUpEndGrain);
    }
    all.extend([C::EyesEarsDust, C::LookAgain]);
    all
}
