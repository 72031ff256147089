//! A leaf that was altered by more than cuts: what was read of it does not hold for it any more. Its gap lines begin
//! anew; what cuts before it were found to take is still known, and so are the other leaves.

use super::layout;
use super::rounds::Standing;
use super::{Affine, Belief, Estimate, EstimateError, KeptCut};
use crate::fit::length::Inches;
use crate::fit::opening::{Facing, Leaf};

/// A strip was glued on a leaf, wood came off that no cut tells of, or another leaf was made in its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Altered {
    /// Which leaf (place in the list).
    pub leaf: usize,
    /// How many of the round's cuts were made before.
    pub after: usize,
    /// The leaf from now on.
    pub now: Leaf,
    /// What tape and survey tell of every gap line with the leaf as it is now, as
    /// [`Estimate::begin_with`] takes it; empty where they tell nothing.
    pub known: Vec<Option<[Belief; 2]>>,
}

impl Estimate {
    /// Takes in that a leaf was altered: of its gap lines no more is known than before their first reading.
    ///
    /// # Errors
    /// Where there is no such leaf, or where it has no size now.
    pub fn alter(&mut self, altered: &Altered) -> Result<(), EstimateError> {
        let leaf = altered.leaf;
        let missing = EstimateError::NoSuchLeaf { leaf };
        let body = layout::bodies(std::slice::from_ref(&altered.now)).map_err(|_| EstimateError::NoSize { leaf })?;
        *self.leaves.get_mut(leaf).ok_or(missing)? = altered.now.clone();
        *self.bodies.get_mut(leaf).ok_or(missing)? = *body.first().ok_or(missing)?;
        let touches = |between: &[Facing; 2]| {
            between.iter().any(|side| matches!(side, Facing::Leaf { leaf: own, .. } if *own == leaf))
        };
        self.lose_unread(leaf);
        let fresh = layout::lines(&self.bodies, &self.gaps)?;
        for (gap, line) in fresh.into_iter().enumerate().filter(|(_, line)| touches(&line.between)) {
            let wide = Belief { mean: Inches(line.target), sd: self.spreads.gap };
            let [low, high] = altered.known.get(gap).copied().flatten().unwrap_or([wide, wide]);
            let first = self.belief.join(low.mean.0, low.sd.0.powi(2));
            self.belief.join(high.mean.0, high.sd.0.powi(2));
            self.belief.join(0.0, self.spreads.bow.0.powi(2));
            let (read_from, cut_from) = (self.kept.len(), self.cuts.len());
            if let Some(known) = self.lines.get_mut(gap) {
                *known = layout::Line { first, read_from, cut_from, ..line };
            }
        }
        Ok(())
    }

    /// What a cut took is never known where every line that would tell begins anew before it was read.
    fn lose_unread(&mut self, leaf: usize) {
        let is_own = |side: &Facing| matches!(side, Facing::Leaf { leaf: own, .. } if *own == leaf);
        let is_lost = |(place, cut): (usize, &KeptCut)| {
            let begins_anew = |gap: usize| {
                self.lines.get(gap).is_some_and(|line| line.cut_from > place || line.between.iter().any(is_own))
            };
            let tells = |row: &Affine| row.terms.iter().any(|(index, _)| (cut.first..cut.first + 2).contains(index));
            let is_read = self.kept.iter().any(|kept| kept.standing != Standing::Struck && tells(&kept.row));
            cut.lost || (!is_read && self.lines_of(cut.made.leaf, cut.made.edge).into_iter().all(begins_anew))
        };
        let lost: Vec<bool> = self.cuts.iter().enumerate().map(is_lost).collect();
        for (cut, lost) in self.cuts.iter_mut().zip(lost) {
            cut.lost = lost;
        }
    }
}
