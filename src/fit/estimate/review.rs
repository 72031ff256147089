//! Which readings contradict the rest, which could not be told from a wrong one, and the spread of
//! the gaps that no motion of the leaf takes away.

use super::rounds::Standing;
use super::{Affine, Belief, Estimate, EstimateError, Inches, Length};
use crate::fit::linear;
use crate::fit::opening::near_corner;

/// A reading judged by all the others of all rounds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Review {
    /// Place among all readings, in the order they were observed.
    pub index: usize,
    /// The round, from 1.
    pub round: usize,
    /// Place in the list of gap lines.
    pub gap: usize,
    /// The station.
    pub at: Length,
    /// What was read.
    pub read: Inches,
    /// What all other readings say should have been read there (huge spread: they say nothing).
    pub expected: Belief,
    /// Difference over its standard deviation, signed.
    pub ratio: f64,
    /// How likely it is plain wrong: a share [`super::Spreads::gross_share`] of readings is, by about
    /// [`super::Spreads::gross`] either way.
    pub wrong: f64,
    /// How the user left it.
    pub standing: Standing,
    /// Would a plain wrong reading here be seen? [`super::Spreads::gross`] in standard deviations of
    /// this test (below about 3 it could pass unseen).
    pub visible: f64,
}

/// A reading to ask about: the likeliest wrong one.
pub type Doubtful = Review;

impl Estimate {
    /// Every reading that is not struck, and not of a leaf before it was altered, judged by all the others (leave one out, from the residuals:
    /// with residual r, reading variance v and fitted variance c, the others miss it by r·v/(v−c)
    /// with variance v²/(v−c)).
    pub fn review(&self) -> Vec<Review> {
        let mut reviews = Vec::with_capacity(self.kept.len());
        for (index, kept) in self.kept.iter().enumerate() {
            let gone = self.lines.get(kept.gap).is_some_and(|line| index < line.read_from);
            if kept.standing == Standing::Struck || gone {
                continue;
            }
            let (mean, fitted) = self.belief.project(&kept.row);
            let free = (kept.variance - fitted).max(kept.variance * 1e-6);
            let missed = (kept.read - mean) * kept.variance / free;
            let variance = kept.variance * kept.variance / free;
            let gross = self.spreads.gross.0;
            // Two lobes, each a little wide, since a slip is of about that size, not of just that size.
            let lobe = variance + (0.25 * gross).powi(2);
            let wrong = self.spreads.gross_share
                * 0.5
                * (density(missed - gross, lobe)
                    + density(missed + gross, lobe)
                    // ... and a thin flat floor for slips of any size.
                    + 0.1 * density(missed, variance + (8.0 * gross).powi(2)));
            let right = (1.0 - self.spreads.gross_share) * density(missed, variance);
            let expected_sd = (variance - kept.variance).max(0.0).sqrt();
            reviews.push(Review {
                index,
                round: kept.round,
                gap: kept.gap,
                at: kept.at,
                read: Inches(kept.read),
                expected: Belief { mean: Inches(kept.read - missed), sd: Inches(expected_sd) },
                ratio: missed / variance.sqrt(),
                wrong: if right + wrong > 0.0 { wrong / (right + wrong) } else { 1.0 },
                standing: kept.standing,
                visible: gross / variance.sqrt(),
            });
        }
        reviews
    }

    /// Where a gap line is read near its lower or left end and near the other: see [`near_corner`].
    pub fn ends(&self, gap: usize) -> Option<[Length; 2]> {
        let length = self.gaps.get(gap)?.length(&self.leaves)?;
        let near = near_corner(length)?;
        Some([near, length.checked_sub(near)?])
    }

    /// Was a gap line read in the third of it at its lower or left end (`end` 0) or at the other (1): in any
    /// round, and in the present one? Struck readings do not count.
    pub fn read_near(&self, gap: usize, end: usize) -> (bool, bool) {
        let Some(line) = self.lines.get(gap) else { return (false, false) };
        let near = |kept: &&super::Kept| {
            let share = kept.at.inches() / line.length;
            kept.gap == gap
                && kept.standing != Standing::Struck
                && if end == 0 { share < 1.0 / 3.0 } else { share > 2.0 / 3.0 }
        };
        let round = self.round();
        let mut there = self.kept.iter().skip(line.read_from).filter(near);
        (there.clone().next().is_some(), there.any(|kept| kept.round == round))
    }

    /// Gap less target at each station, as the leaves sit.
    pub fn misses(&self, stations: &[(usize, Length)]) -> Result<Vec<f64>, EstimateError> {
        stations
            .iter()
            .map(|&(gap, at)| {
                let target = self.lines.get(gap).ok_or(EstimateError::NoSuchGap { gap })?.target;
                Ok(self.gap_at(gap, at)?.mean.0 - target)
            })
            .collect()
    }

    /// Misses after moving every leaf by least squares.
    pub fn settled(&self, stations: &[(usize, Length)], misses: &[f64]) -> Result<Vec<f64>, EstimateError> {
        let poses = self.pose_columns(stations)?;
        Ok(linear::without(&poses, misses))
    }

    /// Standard deviation, at each station, of the part of the gap that no motion takes away (pose
    /// projected out by least squares; of a hung leaf only where screws move it without steps).
    pub fn shape_sd(&self, stations: &[(usize, Length)]) -> Result<Vec<f64>, EstimateError> {
        let rows = self.shape_rows(stations)?;
        Ok(rows.iter().map(|row| self.belief.project(row).1.max(0.0).sqrt()).collect())
    }

    /// How far a wrong reading `index` moves the shape at its worst station, per inch of error.
    pub fn influence(&self, index: usize, stations: &[(usize, Length)]) -> Result<f64, EstimateError> {
        let rows = self.shape_rows(stations)?;
        let Some(kept) = self.kept.get(index) else { return Ok(0.0) };
        let moved = |row: &Affine| (self.belief.covariance(row, &kept.row) / kept.variance).abs();
        Ok(rows.iter().map(moved).fold(0.0, f64::max))
    }

    /// Each station's gap with the leaf's motion projected out.
    fn shape_rows(&self, stations: &[(usize, Length)]) -> Result<Vec<Affine>, EstimateError> {
        let rows: Vec<Affine> =
            stations.iter().map(|&(gap, at)| self.row(gap, at.inches())).collect::<Result<_, _>>()?;
        let mut dense = vec![vec![0.0; self.belief.len()]; rows.len()];
        for (line, row) in dense.iter_mut().zip(&rows) {
            for &(index, weight) in &row.terms {
                if let Some(cell) = line.get_mut(index) {
                    *cell += weight;
                }
            }
        }
        let poses = self.pose_columns(stations)?;
        let keep = linear::complement(&poses, stations.len());
        let project = |weights: &Vec<f64>| {
            let mut row = Affine::default();
            for index in 0..self.belief.len() {
                let weight: f64 =
                    weights.iter().zip(&dense).map(|(w, line)| w * line.get(index).copied().unwrap_or(0.0)).sum();
                if weight.abs() > 1e-14 {
                    row.add(index, weight);
                }
            }
            row
        };
        Ok(keep.iter().map(project).collect())
    }

    /// One column per way in which a leaf can be moved to anywhere: how each station answers to it.
    fn pose_columns(&self, stations: &[(usize, Length)]) -> Result<Vec<Vec<f64>>, EstimateError> {
        let mut columns = vec![vec![0.0; stations.len()]; 3 * self.bodies.len()];
        for (place, &(gap, at)) in stations.iter().enumerate() {
            let line = self.lines.get(gap).ok_or(EstimateError::NoSuchGap { gap })?;
            for (leaf, edge, along) in super::layout::sides(line, at.inches()) {
                let Some(body) = self.bodies.get(leaf) else { continue };
                let answer = body.answer(edge, along);
                for (which, way) in body.ways.iter().enumerate() {
                    let Some(way) = way else { continue };
                    let weight: f64 = way.iter().zip(answer).map(|(part, weight)| part * weight).sum();
                    if let Some(cell) = columns.get_mut(3 * leaf + which).and_then(|column| column.get_mut(place)) {
                        *cell += weight;
                    }
                }
            }
        }
        Ok(columns)
    }
}

fn density(difference: f64, variance: f64) -> f64 {
    (-0.5 * difference * difference / variance).exp() / (std::f64::consts::TAU * variance).sqrt()
}
