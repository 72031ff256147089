//! Readings to ask about at once, in place, while the feeler is still in the hand.

use super::stations::{Spot, StationPlace};
use crate::fit::length::Inches;
use crate::fit::reading::Reading;
use crate::shop::replay::Round;

/// A reading that does not go with the others.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surprise {
    /// What the others lead one to expect.
    pub expected: Inches,
    /// What was read.
    pub read: Inches,
    /// How far apart, in standard deviations.
    pub sigmas: f64,
}

/// Standard deviations from which a reading is asked about.
pub const ASK_FROM: f64 = 3.0;
/// Spread of the hollow or round of an edge at its middle, in inches: our starting guess, no source.
const BOW_SD: f64 = 0.012;
/// Spread of the hand that holds the feeler, in inches: our starting guess, no source.
const HAND_SD: f64 = 0.004;

/// Does `reading` go with the other two readings of its gap line in this round? Edges are nearly
/// straight, so the middle lies near the mean of the ends. `None` where there is nothing to hold it
/// against, or nothing to ask.
pub fn against_straightness(
    round: &Round,
    stations: &[StationPlace],
    at: &StationPlace,
    reading: &Reading,
) -> Option<Surprise> {
    let line = round.readings.get(at.gap)?;
    let read = |spot: Spot| {
        let place = stations.iter().find(|station| station.gap == at.gap && station.spot == spot)?;
        line.iter().find(|station| station.reading.at == place.at).map(|station| station.reading)
    };
    let variance = |reading: &Reading| reading.interval_sd_inches().powi(2) + HAND_SD.powi(2);
    let bow = BOW_SD.powi(2);
    let (expected, spread) = if at.spot == Spot::Middle {
        let (low, high) = (read(Spot::Low)?, read(Spot::High)?);
        (f64::midpoint(low.mean_inches(), high.mean_inches()), bow + (variance(&low) + variance(&high)) / 4.0)
    } else {
        let (middle, other) = (read(Spot::Middle)?, read(if at.spot == Spot::Low { Spot::High } else { Spot::Low })?);
        (2.0 * middle.mean_inches() - other.mean_inches(), 4.0 * (bow + variance(&middle)) + variance(&other))
    };
    let sigmas = (reading.mean_inches() - expected).abs() / (spread + variance(reading)).sqrt();
    (sigmas > ASK_FROM).then_some(Surprise { expected: Inches(expected), read: Inches(reading.mean_inches()), sigmas })
}
