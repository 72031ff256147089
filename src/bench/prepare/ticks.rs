//! What of a cut list is sawn, by the log.

use super::sizes;
use crate::before::blank::Part;
use crate::before::blank::tick::{SawnTo, Tick};
use crate::fit::length::Show;
use crate::shop::OpeningState;
use crate::shop::making::PartTicked;

/// How far `part` of leaf `id` is. `show` is how the shop shows lengths: a tick holds while no size changed by more
/// than half a step of it.
pub fn tick(state: &OpeningState, id: &str, part: &Part, show: Show) -> Tick {
    if state.is_glued_up(id) {
        return Tick::GluedUp;
    }
    let told = state.making.parts.get(&(id.to_owned(), part.kind));
    let Some(told) = told.filter(|told| told.done) else { return Tick::Open };
    match sawn_to(told, id, part) {
        Some(was) if !was.does(part, show) => Tick::Unlike(was),
        _ => Tick::Sawn,
    }
}

/// What it was sawn to: as the tick says, else as the blank was when it was ticked; `None` where no size could be
/// known then.
fn sawn_to(told: &PartTicked, id: &str, part: &Part) -> Option<SawnTo> {
    told.size.or_else(|| {
        let blank = sizes::blank("", told.then.as_deref()?, id).ok()?.blank.ok()?;
        blank.parts.iter().find(|then| then.kind == part.kind).map(SawnTo::from)
    })
}
