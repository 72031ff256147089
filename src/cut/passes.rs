//! More wood than one saw kerf: several passes, each under a kerf, each leaving the edge straight.

use super::job::{CutJob, JobError, Kit, Method};
use super::setup::{SetupSheet, propose, propose_with};
use super::words::Refusal;
use crate::fit::length::Inches;
pub use crate::fit::policy::depth::saw_passes as needed;

/// The set-up for a job, or for the first of the passes it takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Staged {
    /// The cut that the set-up is for: the whole job, or an even share of it at both ends.
    pub job: CutJob,
    /// Its set-up.
    pub sheet: SetupSheet,
    /// How many passes are left to make, this one included.
    pub passes: u32,
}

/// The set-up for `job` by `asked`, or by the shop's ranking: as [`propose`] and [`propose_with`] have it,
/// but where the rip or the sled is refused only because one pass would take more than a kerf, and
/// nothing ranked before them does it in one, the set-up of the first of several passes.
///
/// Each pass takes an even share of what is left at both ends, so that after any of them the edge is
/// straight and the leaf can be held in its opening.
///
/// # Errors
/// As [`propose`].
pub fn staged(job: &CutJob, kit: &Kit, asked: Option<Method>) -> Result<Staged, JobError> {
    let proposed = |job: &CutJob| match asked {
        Some(method) => propose_with(job, kit, method),
        None => propose(job, kit),
    };
    let whole = proposed(job)?;
    let too_much =
        |method| whole.refused.iter().any(|refused| refused.method == method && refused.why == Refusal::MoreThanAKerf);
    let wanted = asked.map_or_else(|| too_much(Method::Rip) || too_much(Method::Sled), too_much);
    if let Some(passes) = passes(job, kit).filter(|_| wanted) {
        let share = |removal: Inches| Inches(removal.get() / f64::from(passes));
        let part = CutJob { start: share(job.start), end: share(job.end), ..job.clone() };
        let first = proposed(&part)?;
        let sawn = matches!(first.setup.method(), Method::Rip | Method::Sled);
        let ranked = kit.ranked();
        let place = |method| ranked.iter().position(|&known| known == method);
        let before = asked.is_some() || place(first.setup.method()) < place(whole.setup.method());
        if sawn && before {
            return Ok(Staged { job: part, sheet: first, passes });
        }
    }
    Ok(Staged { job: job.clone(), sheet: whole, passes: 1 })
}

/// Passes under the thinnest kerf of the shop's saws.
fn passes(job: &CutJob, kit: &Kit) -> Option<u32> {
    needed(job.most(), kit.thinnest_kerf()?.inches())
}
