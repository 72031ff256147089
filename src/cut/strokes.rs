//! Set-ups without a saw fence: plane strokes, a guide line, a sanding block.

use super::job::{CutJob, End, EndGrain, Kit};
use super::tools::Measured;
use super::words::Refusal;
use crate::fit::length::{Inches, Length, Unit};
use serde::Serialize;

/// A stroke that does not run the whole edge: it starts at a mark and runs out at the thick end.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct StoppedStroke {
    /// Where it starts, from the thin end.
    pub start: Inches,
    /// The nearest mark of the ruler.
    pub mark: Length,
}

/// How to meet the end grain of a planed edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum PlaneRule {
    /// Long grain: plane with the grain, from the thin end to the thick end.
    WithTheGrain,
    /// End grain: full strokes from both corners inward; stopped strokes run out against a backing
    /// scrap clamped flush at the thick end.
    BackUpAndInward,
}

/// Planing a taper: full strokes, then stopped strokes, each one shaving thick.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Planing {
    /// The plane it is for.
    pub plane: String,
    /// One shaving.
    pub shaving: Length,
    /// Strokes over the whole edge.
    pub full: u32,
    /// Stopped strokes, the longest first.
    pub stopped: Vec<StoppedStroke>,
    /// The end that loses less.
    pub thin: End,
    /// End grain.
    pub rule: PlaneRule,
    /// Most that the profile left by whole shavings differs from the line, anywhere.
    pub worst_error: Inches,
    /// Removed less wanted at the lower or left corner.
    pub error_start: Inches,
    /// Removed less wanted at the upper or right corner.
    pub error_end: Inches,
    /// Standard uncertainty of the removal at the thick end, from the shaving's.
    pub shaving_sd: Inches,
    /// Length of the edge.
    pub length: Inches,
}

/// Strokes for a straight removal from `thin` to `thick` (inches) along `length`, by shavings of
/// `shaving`: how many run the whole edge, and where each of the others starts, from the thin end.
///
/// A stroke more is taken from where the line asks for half a shaving more: at `s` with
/// `r(s) = (j − ½)c`. So the removal is `c·round(r(s)/c)`, never more than `c/2` off anywhere, and no
/// schedule with fewer strokes stays within `c/2` at the thick end. Where `thin` and `thick` are whole
/// shavings, `m` apart, the starts are `L(k − ½)/m`. `None` if a number makes no sense or more than
/// `most` strokes are needed.
pub fn schedule(thin: f64, thick: f64, length: f64, shaving: f64, most: u32) -> Option<(u32, Vec<f64>)> {
    let sense = shaving > 1e-6 && thin >= 0.0 && thick >= thin && length > 0.0;
    if !sense || thick / shaving > f64::from(most) {
        return None;
    }
    // Half a shaving exactly needs no stroke: ceil(x − ½), with a hair for rounding of the ratio.
    let strokes = |removal: f64| (removal / shaving - 0.5 - 1e-9).ceil().max(0.0) as u32;
    let (full, all) = (strokes(thin), strokes(thick));
    let starts = (full + 1..=all)
        .map(|j| (length * ((f64::from(j) - 0.5) * shaving - thin) / (thick - thin)).clamp(0.0, length))
        .collect();
    Some((full, starts))
}

/// The plane set-up for `job`, or why it is refused.
pub(crate) fn plane(job: &CutJob, kit: &Kit) -> Result<(Planing, bool), Refusal> {
    let plane = kit.planes.iter().find(|plane| plane.shaving > Length::ZERO).ok_or(Refusal::NoTool)?;
    let shaving = plane.shaving.inches();
    let thin = if job.start.get() <= job.end.get() { End::Start } else { End::End };
    let (least, most) = (job.removal(thin), job.removal(thin.other()));
    let length = job.length.get();
    let (full, starts) = schedule(least, most, length, shaving, kit.limits.strokes).ok_or(Refusal::TooMuchWood)?;
    let ruler = if kit.ruler > Length::ZERO { kit.ruler } else { Length::ratio(1, 16) };
    let stopped: Vec<StoppedStroke> = starts
        .iter()
        .map(|&start| {
            let steps = (start / ruler.inches()).round() as i64;
            StoppedStroke { start: Inches(start), mark: ruler.checked_scale(steps, 1).unwrap_or(Length::ZERO) }
        })
        // By the ruler the last of them may start where the edge ends: that is no stroke.
        .filter(|stroke| stroke.mark.inches() < length - 1e-9)
        .collect();
    if full == 0 && stopped.is_empty() {
        return Err(Refusal::TooLittleWood);
    }
    let all = f64::from(full) + stopped.len() as f64;
    let at_ends = (f64::from(full) * shaving - least, all * shaving - most);
    let (error_start, error_end) = super::setting::by_end(thin, at_ends);
    let steps = if starts.is_empty() { 0.0 } else { shaving / 2.0 };
    let rule = match job.construction.end_grain(job.edge) {
        EndGrain::None => PlaneRule::WithTheGrain,
        EndGrain::AtTheEnds | EndGrain::Throughout => PlaneRule::BackUpAndInward,
    };
    let planing = Planing {
        plane: plane.name.clone(),
        shaving: plane.shaving,
        full,
        stopped,
        thin,
        rule,
        worst_error: Inches(super::setting::worst(at_ends).max(steps)),
        error_start,
        error_end,
        shaving_sd: Inches(plane.standard_uncertainty().get() * all),
        length: job.length,
    };
    Ok((planing, plane.measured == Measured::StartingValue))
}

/// A mark of a guide line.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct GuideMark {
    /// Along the edge from its lower or left corner.
    pub at: Inches,
    /// In from the edge: the wood to remove there.
    pub offset: Inches,
    /// The offset to the nearest step of a mark ([`Kit::mark`]).
    pub shown: Length,
}

/// A line to cut or plane to.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GuideLine {
    /// Marks, from the lower or left corner to the upper or right one.
    pub marks: Vec<GuideMark>,
    /// Removed less wanted at the lower or left corner, with the marks as shown.
    pub error_start: Inches,
    /// Removed less wanted at the upper or right corner, with the marks as shown.
    pub error_end: Inches,
}

/// The guide line for `job`; it is never refused.
pub(crate) fn guide_line(job: &CutJob, kit: &Kit) -> GuideLine {
    let length = job.length.get();
    let offset = |at: f64| job.start.get() + (job.end.get() - job.start.get()) * at / length;
    let step = if kit.mark > Length::ZERO { kit.mark } else { super::tools::finest_step(Unit::Inch) };
    let mark = |at: f64| {
        let count = (offset(at) / step.inches()).round() as i64;
        let shown = step.checked_scale(count, 1).unwrap_or(Length::ZERO);
        GuideMark { at: Inches(at), offset: Inches(offset(at)), shown }
    };
    let every = job.marks_every.map_or(length, Inches::get);
    let between = if every >= 0.5 { ((length / every).ceil() as i64 - 1).max(0) } else { 0 };
    let marks: Vec<GuideMark> =
        std::iter::once(0.0).chain((1..=between).map(|k| every * k as f64)).chain([length]).map(mark).collect();
    let error = |mark: Option<&GuideMark>| Inches(mark.map_or(0.0, |mark| mark.shown.inches() - mark.offset.get()));
    GuideLine { error_start: error(marks.first()), error_end: error(marks.last()), marks }
}

/// Rubbing away the last thousandths.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Sanding {
    /// The end that loses more: start there, look often.
    pub more_at: End,
    /// Removal at the lower or left corner.
    pub start: Inches,
    /// Removal at the upper or right corner.
    pub end: Inches,
}

/// The sanding set-up for `job`, or why it is refused.
pub(crate) fn sanding(job: &CutJob, kit: &Kit) -> Result<Sanding, Refusal> {
    if job.most() > 2.0 * kit.limits.sanding.get() {
        return Err(Refusal::TooMuchWood);
    }
    let more_at = if job.start.get() >= job.end.get() { End::Start } else { End::End };
    Ok(Sanding { more_at, start: job.start, end: job.end })
}
