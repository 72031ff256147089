//! How likely each station is to be out of tolerance, and how much of the whole doubt hangs on one of them.

use super::{Policy, all_stations, chance};
use crate::fit::estimate::{Estimate, EstimateError};
use crate::fit::length::Length;
use crate::fit::plan::{Plan, Station};

/// One station's own chance of being out of tolerance after the motion of a plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Chance {
    /// Place in the list of gap lines, and the station.
    pub place: (usize, Length),
    /// The chance.
    pub out: f64,
    /// How far from the tolerance the estimate stands there, in.
    pub margin: f64,
    /// Its spread, pose left out, in.
    pub sd: f64,
}

/// Of every station; pose uncertainty is left out since the leaf can always be moved again.
pub(super) fn chances(estimate: &Estimate, moved: &Plan, policy: &Policy) -> Result<Vec<Chance>, EstimateError> {
    let tolerance = policy.tolerance.inches();
    let stations = all_stations(estimate);
    let spread = estimate.shape_sd(&stations)?;
    let one = |gap: usize, target: f64, station: &Station| {
        let miss = station.after.0 - target;
        let place = (gap, station.at);
        let sd = stations.iter().zip(&spread).find(|(at, _)| **at == place).map_or(0.0, |(_, sd)| *sd).max(1e-9);
        let out = chance::above((tolerance - miss) / sd) + chance::above((tolerance + miss) / sd);
        Chance { place, out, margin: (tolerance - miss.abs()).abs(), sd }
    };
    let lines = moved.gaps.iter().enumerate();
    Ok(lines
        .flat_map(|(gap, line)| line.stations.iter().map(move |station| (gap, line.target.inches(), station)))
        .map(|(gap, target, station)| one(gap, target, station))
        .collect())
}

/// Which part of the summed chances (0 to 1) is that of the station `place`; 0 where there is no such station or no
/// doubt at all.
pub fn share(estimate: &Estimate, moved: &Plan, policy: &Policy, place: (usize, Length)) -> f64 {
    let Ok(chances) = chances(estimate, moved, policy) else { return 0.0 };
    let sum = |own: &dyn Fn(&Chance) -> bool| -> f64 { chances.iter().filter(|one| own(one)).map(|one| one.out).sum() };
    let all = sum(&|_| true);
    if all > 0.0 { sum(&|one| one.place == place) / all } else { 0.0 }
}
