//! The field on the blank in which the heights of stacked fronts that are still to be made are said anew.

use super::drafts::{DraftOf, Page};
use super::form::{Field, Form, LengthAsked, Lengths};
use super::front_heights::{self, HINT_TO_COME, Height, HeightsError};
use super::prepare::sizes::{self, row_of};
use super::prepare::stacked;
use super::seen::OpeningSeen;
use crate::fit::length::{Length, Show, Unit};
use crate::fit::opening::Edge;
use crate::shop::OpeningState;
use crate::shop::event::Event;
use crate::shop::heights::{HeightWanted, HeightsTold};

/// Said where there is nothing to share out.
pub(super) const NO_STACK: &str = "heights are asked of fronts one above another that are still to be made";

/// Short names of the fronts in a column with `id`, from the top; none unless all of them are still to be made.
fn stack<'a>(state: &'a OpeningState, id: &'a str) -> Option<Vec<&'a str>> {
    let mut row = row_of(state, id, Edge::Bottom)?.leaves;
    let to_come = row.iter().all(|id| state.making.wanted_height(id).is_some());
    row.reverse();
    Some(row).filter(|row| row.len() > 1 && to_come)
}

/// The field, filled with the heights as they are.
pub(super) fn form(state: &OpeningState, id: &str, show: Show) -> Option<Form> {
    let wanted = |id: &&str| match state.making.wanted_height(id) {
        Some(Ok(height)) => Height::Given(height),
        Some(Err(share)) => Height::Rest(share),
        None => Height::Rest(1),
    };
    let heights: Vec<Height> = stack(state, id)?.iter().map(wanted).collect();
    let hint = HINT_TO_COME[usize::from(show.unit() == Unit::Millimetre)];
    let mut field = Field::figures("front heights", front_heights::text(&heights, show), hint);
    field.length = Some(LengthAsked { unit: show.unit(), what: Lengths::Heights { each: false } });
    let mut form = Form::new(vec![field]);
    tell(&mut form, state, id, show);
    Some(form)
}

/// Says what was understood of what is typed.
pub(super) fn tell(form: &mut Form, state: &OpeningState, id: &str, show: Show) {
    let read = front_heights::read(form.value(0), show.unit()).ok();
    let ids = stack(state, id).unwrap_or_default();
    let told = match read {
        Some(read) if read.len() == ids.len() => against_opening(&read, &ids, state, id, show),
        Some(read) => miscounted(&read, &ids),
        None => String::new(),
    };
    if let Some(field) = form.fields.first_mut() {
        field.told = told;
    }
}

/// What the heights `read` come to in the opening, where it is measured.
fn against_opening(read: &[Height], ids: &[&str], state: &OpeningState, id: &str, show: Show) -> String {
    let told = |heights: &[Height]| front_heights::told_of(heights, ids, None, show);
    let (Some(row), Ok(survey)) = (row_of(state, id, Edge::Bottom), sizes::sound(state)) else { return told(read) };
    let wanted: Vec<_> = read.iter().rev().map(|height| height.said()).collect();
    let [_, opening] = survey.smallest();
    match stacked::share_out(&row, &wanted, opening) {
        Some(Ok(heights)) => {
            let heights: Vec<_> = heights.into_iter().rev().map(Height::Given).collect();
            format!("{}; with the gaps just the opening", told(&heights))
        }
        Some(Err(misfit)) => format!("{}: with the gaps {}", told(read), misfit.by(show)),
        None => told(read),
    }
}

/// The opening and its gaps, which the heights share: what is known before they are typed.
pub fn room(state: &OpeningState, id: &str, show: Show) -> Option<String> {
    let (row, survey) = (row_of(state, id, Edge::Bottom)?, sizes::sound(state).ok()?);
    let [_, opening] = survey.smallest();
    let left = opening.checked_sub(row.gaps)?;
    Some(format!(
        "the opening is {} high, {} gaps take {}: {} for {} fronts",
        opening.sized(show),
        row.leaves.len() + 1,
        row.gaps.sized(show),
        left.sized(show),
        row.leaves.len()
    ))
}

fn miscounted(read: &[Height], ids: &[&str]) -> String {
    let (count, each) = (ids.len(), ids.join(", "));
    format!("there are {count} fronts here, {each} from the top: give {count} heights, not {}", read.len())
}

/// The heights as typed, or why they are none. Those of other columns stay as they are.
pub(super) fn event(form: &Form, state: &OpeningState, id: &str, unit: Unit) -> Result<Event, String> {
    let read = front_heights::read(form.value(0), unit).map_err(|error: HeightsError| error.to_string())?;
    let ids = stack(state, id).unwrap_or_default();
    if read.len() != ids.len() {
        return Err(miscounted(&read, &ids));
    }
    let leaf = |id: &str| {
        let typed = ids.iter().zip(&read).find(|(known, _)| **known == id).map(|(_, height)| height.said());
        let (height, share): (Option<Length>, Option<u32>) = match typed.or_else(|| state.making.wanted_height(id)) {
            Some(Ok(height)) => (Some(height), None),
            Some(Err(share)) => (None, Some(share).filter(|share| *share != 1)),
            None => (None, None),
        };
        HeightWanted { leaf: id.to_owned(), height, share }
    };
    let leaves = state.making.to_come.iter().map(|to_come| leaf(&to_come.leaf)).collect();
    Ok(Event::Heights(HeightsTold { leaves }))
}

/// Where it is set aside.
pub(super) fn of(opened: &OpeningSeen, leaf: &str) -> DraftOf {
    DraftOf::new(&opened.name, Page::Heights, leaf)
}
