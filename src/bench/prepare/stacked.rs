//! Fronts one above another that are still to be made: the height wanted of each, and what the opening leaves for those
//! of which none was said. Made ones: what they and their gaps come to, against the opening.

use super::sizes::Surveyed;
use super::told::{Told, Weight};
use crate::fit::length::{Length, Show};
use crate::fit::opening::Edge;
use crate::shop::OpeningState;

/// Heights and gaps that come to less than this beside the opening's height still add up: a tape is read no finer.
const FINEST: (i64, i64) = (1, 64);

/// Leaves in a row, from the left or from below, and the reveals wanted between them and beyond the ends.
#[derive(Clone, Debug, PartialEq)]
pub struct Row<'a> {
    /// Short names.
    pub leaves: Vec<&'a str>,
    /// All reveals together.
    pub gaps: Length,
}

/// Heights that do not add up with their gaps to the opening's height.
#[derive(Clone, Debug, PartialEq)]
pub struct Misfit {
    /// Short names and the heights said, from the top; none: what is left.
    pub heights: Vec<(String, Option<Length>)>,
    /// All reveals together.
    pub gaps: Length,
    /// The opening's height, the smallest that was measured.
    pub opening: Length,
    /// Heights said and reveals, less the opening's height: above zero too much.
    pub over: Length,
}

impl Misfit {
    /// What does not add up, by how much, and what to do.
    pub fn told(&self, show: Show) -> String {
        let said = self.heights.iter().filter_map(|(id, height)| {
            let height = (*height)?;
            Some(format!("{id} {}", height.sized(show)))
        });
        let said = said.collect::<Vec<_>>().join(", ");
        let come = self.opening.checked_add(self.over).unwrap_or(self.opening);
        format!(
            "heights {said} and {} gaps, {} in all, come to {}; the opening is {} high: {}. Change a height, or say \
             rest for one (b, then h; or a 'heights' event)",
            self.heights.len() + 1,
            self.gaps.sized(show),
            come.sized(show),
            self.opening.sized(show),
            self.by(show)
        )
    }

    /// By how much it does not add up: `1/16 too much`.
    pub fn by(&self, show: Show) -> String {
        let open = self.heights.iter().filter(|(_, height)| height.is_none());
        let open: Vec<&str> = open.map(|(id, _)| id.as_str()).collect();
        let by = self.over.abs().sized(show);
        match (open.as_slice(), self.over.is_negative()) {
            ([], true) => format!("{by} too little"),
            ([], false) => format!("{by} too much"),
            (open, _) => format!("{by} too much, and nothing for {}", open.join(", ")),
        }
    }
}

/// Did anybody say a height or a share of one of the leaves of `row`?
pub fn are_said(state: &OpeningState, row: &Row<'_>) -> bool {
    let said = |id: &&str| matches!(state.making.wanted_height(id), Some(Ok(_) | Err(2..)));
    row.leaves.iter().any(said)
}

/// The finished height of each leaf of `row`, of which some were said, in an opening `opening` high; none where the
/// sums cannot be held.
pub fn heights(state: &OpeningState, row: &Row<'_>, opening: Length) -> Option<Result<Vec<Length>, Misfit>> {
    let wanted: Vec<Result<Length, u32>> = row.leaves.iter().map(|id| wanted(state, id)).collect();
    share_out(row, &wanted, opening)
}

/// The same for these heights, or shares of what they leave, one for each leaf of `row`.
pub fn share_out(
    row: &Row<'_>,
    wanted: &[Result<Length, u32>],
    opening: Length,
) -> Option<Result<Vec<Length>, Misfit>> {
    let sum = wanted.iter().filter_map(|height| height.ok()).try_fold(row.gaps, Length::checked_add)?;
    let over = sum.checked_sub(opening)?;
    let shares: i64 = wanted.iter().filter_map(|height| height.err()).map(i64::from).sum();
    let adds_up = if shares == 0 { over.abs() < Length::ratio(FINEST.0, FINEST.1) } else { over.is_negative() };
    if !adds_up {
        let named = row.leaves.iter().zip(wanted).rev().map(|(id, height)| ((*id).to_owned(), height.ok()));
        return Some(Err(Misfit { heights: named.collect(), gaps: row.gaps, opening, over }));
    }
    let alike = wanted.iter().all(|height| matches!(height, Ok(_) | Err(1)));
    let last = wanted.iter().rposition(Result::is_err);
    let mut left = over.negated();
    let mut heights = Vec::new();
    for (place, height) in wanted.iter().enumerate() {
        heights.push(match height {
            Ok(height) => *height,
            Err(share) if alike => over.negated().checked_scale(i64::from(*share), shares)?,
            // Parts are to the nearest 1/64, and the highest takes what that leaves.
            Err(_) if last == Some(place) => left,
            Err(share) => {
                let part = over.negated().checked_scale(i64::from(*share), shares)?.rounded(Show::Fraction(64)).0;
                left = left.checked_sub(part)?;
                part
            }
        });
    }
    Some(Ok(heights))
}

/// The height wanted of a leaf, or its share; of one that is made and was never to come, its own.
fn wanted(state: &OpeningState, id: &str) -> Result<Length, u32> {
    let made = || state.making.sizes.get(id).map_or(Err(1), |&[_, height]| Ok(height));
    state.making.wanted_height(id).unwrap_or_else(made)
}

/// The first heights that do not add up, where there are any; none where the survey contradicts itself.
pub fn misfit(state: &OpeningState, survey: &Surveyed) -> Option<Misfit> {
    if !survey.shape.suspects.is_empty() {
        return None;
    }
    let [_, opening] = survey.smallest();
    let rows = state.leaf_ids().into_iter().filter_map(|id| super::sizes::row_of(state, id, Edge::Bottom));
    let mut said = rows.filter(|row| are_said(state, row));
    said.find_map(|row| heights(state, &row, opening)?.err())
}

/// Do the fronts of `state` fit the surveyed opening with their gaps? In lines, for each column of two or more.
pub fn told(state: &OpeningState, survey: &Surveyed, show: Show) -> Vec<Told> {
    if !survey.shape.suspects.is_empty() {
        return Vec::new();
    }
    let [_, opening] = survey.smallest();
    let mut lines = Vec::new();
    let mut met: Vec<&str> = Vec::new();
    for id in state.leaf_ids() {
        let Some(row) = super::sizes::row_of(state, id, Edge::Bottom).filter(|row| row.leaves.len() > 1) else {
            continue;
        };
        if met.contains(&id) {
            continue;
        }
        met.extend(&row.leaves);
        if !are_said(state, &row) {
            lines.extend(made(state, &row, opening, show));
            continue;
        }
        match heights(state, &row, opening) {
            Some(Err(misfit)) => {
                lines.push(Told { weight: Weight::Caution, text: format!("! {}", misfit.told(show)) });
            }
            Some(Ok(heights)) => {
                let named = row.leaves.iter().zip(&heights).rev();
                let named: Vec<_> = named.map(|(id, height)| format!("{id} {}", height.sized(show))).collect();
                lines
                    .push(Told { weight: Weight::Text, text: format!("heights, top to bottom: {}", named.join(", ")) });
            }
            None => {}
        }
    }
    lines
}

/// What made fronts and their gaps come to, against the opening.
fn made(state: &OpeningState, row: &Row<'_>, opening: Length, show: Show) -> Option<Told> {
    let now = |id: &&str| state.size_at(id, u32::MAX).map(|(_, height)| height);
    let heights: Option<Vec<Length>> = row.leaves.iter().map(now).collect();
    let come = heights?.into_iter().try_fold(row.gaps, Length::checked_add)?;
    let over = come.checked_sub(opening)?;
    let by = over.abs().shown(show);
    let what = match (over.rounded(show).0.is_zero(), over.is_negative()) {
        (true, _) => "just the opening's height".to_owned(),
        (false, true) => format!("{by} less than the opening: the gaps will be that much wider in all"),
        (false, false) => format!("{by} more than the opening: to come off"),
    };
    let text = format!("the {} fronts and their gaps come to {}, {what}", row.leaves.len(), come.shown(show));
    Some(Told { weight: Weight::Text, text })
}
