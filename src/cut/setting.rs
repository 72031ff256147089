//! A fence or stop setting to the finest move trusted, and what it leaves at both ends of the cut.

use super::geometry::CutLine;
use super::job::End;
use super::tools::finest_step;
use crate::fit::length::{Inches, Length, Unit};
use serde::Serialize;

/// A setting that is a hair (inches) off a step counts as on it: the last digits of a sum.
const HAIR: f64 = 1e-9;

/// A fence or stop setting, to the finest move trusted, and what it leaves at both ends.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Setting {
    /// The setting.
    pub value: Length,
    /// Removed less wanted at the lower or left corner.
    pub error_start: Inches,
    /// Removed less wanted at the upper or right corner.
    pub error_end: Inches,
}

impl Setting {
    /// The larger of the two errors, without its sign.
    pub fn worst(&self) -> Inches {
        Inches(self.error_start.get().abs().max(self.error_end.get().abs()))
    }

    /// `value` with the errors at the pivot's end and at the other one.
    pub(crate) fn of((value, errors): (Length, (f64, f64)), pivot: End) -> Self {
        let (error_start, error_end) = by_end(pivot, errors);
        Self { value, error_start, error_end }
    }
}

/// A saw whose smallest move is unknown is set to the step that any is trusted with.
fn trusted(step: Length) -> Length {
    if step > Length::ZERO { step } else { finest_step(Unit::Inch) }
}

/// The move from kissing, in whole `step`s, whose worse error is least; the one that takes less wins a tie.
pub(crate) fn moved(line: &CutLine, wanted: (f64, f64), step: Length) -> Option<(Length, (f64, f64))> {
    let (step, kiss) = (trusted(step), line.kiss().0);
    let steps = ((kiss - line.best_distance(wanted)) / step.inches()).max(0.0);
    if !steps.is_finite() || steps > 1e9 {
        return None;
    }
    [steps.floor(), steps.ceil()]
        .into_iter()
        .filter_map(|count| {
            let value = step.checked_scale(count as i64, 1)?;
            Some((value, line.errors(kiss - value.inches(), wanted)))
        })
        .min_by(|a, b| worst(a.1).total_cmp(&worst(b.1)).then((a.1.0 + a.1.1).total_cmp(&(b.1.0 + b.1.1))))
}

/// The distance from fence (or stop) to blade in whole `step`s that takes no more than `wanted` at either
/// end; `None` where the step is so coarse that it leaves more than `limit` inches standing at one of them.
/// Wood cannot be put back, so this setting, which no kiss checks, errs toward less of it.
pub(crate) fn on_the_rule(
    line: &CutLine,
    wanted: (f64, f64),
    step: Length,
    limit: Inches,
) -> Option<(Length, (f64, f64))> {
    let step = trusted(step);
    let steps = ((line.none_over(wanted) - HAIR) / step.inches()).ceil().max(0.0);
    if !steps.is_finite() || steps > 1e9 {
        return None;
    }
    let value = step.checked_scale(steps as i64, 1)?;
    let errors = line.errors(value.inches(), wanted);
    (worst(errors) <= limit.get()).then_some((value, errors))
}

/// The worse error of a fence that could be set to anything: what the pads alone leave.
pub(crate) fn without_steps(line: &CutLine, wanted: (f64, f64)) -> f64 {
    worst(line.errors(line.best_distance(wanted), wanted))
}

pub(crate) fn worst(errors: (f64, f64)) -> f64 {
    errors.0.abs().max(errors.1.abs())
}

/// By order of the edge: the value at the pivot goes to the pivot's end.
pub(crate) fn by_end(pivot: End, (near, far): (f64, f64)) -> (Inches, Inches) {
    if pivot == End::Start { (Inches(near), Inches(far)) } else { (Inches(far), Inches(near)) }
}
