//! Gaps and misses in words, in one place: a reading as it was felt, a miss to its nearest step. List, opening, plan,
//! pages, practice and commands say them from here, so that one thing has one figure wherever it stands.

use super::seen::{OpeningSeen, worst_of};
use crate::fit::length::{Inches, Length, Show};
use crate::fit::plan::Plan;
use crate::fit::reading::{Reading, Value};
use crate::shop::OpeningState;

/// Stations of one gap line as near as this are one (a cut edge moves its corner).
const SAME_STATION: (i64, i64) = (1, 4);
/// What a solver's last digits may lack of a half step, in steps.
const HAIR: f64 = 1e-6;

/// A reading in short: `3/64+` where 3/64 goes and the next feeler stops. The middle of the two would round to one of
/// its ends; the end that goes is what the hand knows.
pub fn felt(reading: &Reading, show: Show) -> String {
    match reading.value {
        Value::Gap(gap) => gap.shown(show),
        Value::Lap(lap) => format!("lap {}", lap.shown(show)),
        Value::GoNoGo { goes, .. } => format!("{}+", goes.shown(show)),
    }
}

/// A reading in full: `3/64 goes, 1/16 stops`.
pub fn in_full(reading: &Reading, show: Show) -> String {
    match reading.value {
        Value::GoNoGo { goes, stops } => format!("{} goes, {} stops", goes.shown(show), stops.shown(show)),
        Value::Gap(_) | Value::Lap(_) => felt(reading, show),
    }
}

/// The reading of round `round` at or near `at` of gap line `gap`; none where nothing was read there.
pub fn read_near(state: &OpeningState, round: u32, gap: usize, at: Length) -> Option<Reading> {
    let near = Length::ratio(SAME_STATION.0, SAME_STATION.1);
    let line = state.round(round)?.readings.get(gap)?;
    let apart = |read: &Reading| read.at.checked_sub(at).map(Length::abs).filter(|apart| *apart <= near);
    let readings = line.iter().map(|read| read.reading);
    readings.filter_map(|read| Some((apart(&read)?, read))).min_by_key(|(apart, _)| *apart).map(|(_, read)| read)
}

/// An amount without its sign to the nearest step; half a step, where a feeler's interval always ends, goes to the
/// larger one, so that nothing is said to be less off than it may be.
pub fn size(amount: Inches, show: Show) -> String {
    nearest(amount, show).shown(show)
}

/// Is that less than half a step?
pub fn is_nothing(amount: Inches, show: Show) -> bool {
    nearest(amount, show).is_zero()
}

fn nearest(amount: Inches, show: Show) -> Length {
    let step = match show {
        Show::Fraction(parts) => Length::ratio(1, i64::from(parts.max(1))),
        Show::DecimalInch(places) => Length::ratio(1, 10_i64.pow(u32::from(places.min(9)))),
        Show::Millimetre(places) => Length::ratio(10, 254 * 10_i64.pow(u32::from(places.min(9)))),
    };
    let steps = (amount.0.abs() / step.inches() + 0.5 + HAIR).floor();
    step.checked_scale(steps as i64, 1).unwrap_or_else(|| amount.length().abs())
}

/// A miss beyond `tolerance` in steps of the shop; where those would hide that it is beyond, as fine as it takes: 0.020
/// of an inch beside a tolerance of 1/64, which is what 0.020 is nearest to.
pub fn beyond(miss: Inches, tolerance: Length, show: Show) -> String {
    let finer = |more: u8| match show {
        Show::Fraction(_) => Show::DecimalInch(2 + more),
        Show::DecimalInch(places) => Show::DecimalInch(places.saturating_add(more)),
        Show::Millimetre(places) => Show::Millimetre(places.saturating_add(more)),
    };
    let mut styles = std::iter::once(show).chain((1..=4).map(finer));
    let style = styles.find(|style| nearest(miss, *style) > tolerance).unwrap_or(show);
    size(miss, style)
}

fn is_right(miss: Inches, tolerance: Length) -> bool {
    miss.0.abs() <= tolerance.inches() + 1e-9
}

fn right(miss: Inches, show: Show) -> String {
    if nearest(miss, show).is_zero() { "right".to_owned() } else { format!("right, within {}", size(miss, show)) }
}

/// A miss in words: `tight by 1/32`, `wide by 3/64`, `right, within 1/64`.
pub fn miss(miss: Inches, tolerance: Length, show: Show) -> String {
    if is_right(miss, tolerance) {
        return right(miss, show);
    }
    format!("{} by {}", if miss.0 < 0.0 { "tight" } else { "wide" }, beyond(miss, tolerance, show))
}

/// A miss whose side is not told: `off by 1/32`, `right, within 1/64`.
pub fn off(worst: Inches, tolerance: Length, show: Show) -> String {
    if is_right(worst, tolerance) { right(worst, show) } else { format!("off by {}", beyond(worst, tolerance, show)) }
}

/// The worst gap of round `round` as it was read; what `plan` found where nothing of it counts.
pub fn now(state: &OpeningState, round: u32, plan: &Plan, tolerance: Length, show: Show) -> String {
    worst_of(state, round).map_or_else(|| off(plan.now, tolerance, show), |worst| miss(worst.miss, tolerance, show))
}

/// The worst gap of round `round` of an opening as it was read: `round 2: worst tight by 1/32`.
pub fn worst(opened: &OpeningSeen, round: u32, tolerance: Length, show: Show) -> Option<String> {
    opened.worst(round).map(|worst| format!("round {round}: worst {}", miss(worst.miss, tolerance, show)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fit::length::Unit;

    const STEPS: Show = Show::Fraction(64);

    fn sixty_fourths(count: f64) -> Inches {
        Inches(count / 64.0)
    }

    #[test]
    fn half_steps_go_one_way_wherever_they_stand() {
        // To the nearest even step, 3.5 and 4.5 were both 1/16.
        let said: Vec<String> = (0..6).map(|n| size(sixty_fourths(f64::from(n) + 0.5), STEPS)).collect();
        assert_eq!(said, ["1/64", "1/32", "3/64", "1/16", "5/64", "3/32"]);
        assert_eq!(size(sixty_fourths(-4.5), STEPS), "5/64", "the sign does not matter");
        assert_eq!(size(sixty_fourths(4.4), STEPS), "1/16");
        // A solver's last digits do not turn it round.
        assert_eq!(size(Inches(4.5 / 64.0 - 1e-12), STEPS), "5/64");
        assert_eq!(size(Inches(0.25 / 25.4), Show::Millimetre(1)), "0.3mm");
        assert_eq!(size(Inches(0.0115), Show::DecimalInch(3)), "0.012");
    }

    #[test]
    fn a_miss_within_tolerance_is_right_and_never_off_by_nothing() {
        let tolerance = Length::ratio(1, 64);
        assert_eq!(miss(sixty_fourths(-0.5), tolerance, STEPS), "right, within 1/64");
        assert_eq!(miss(sixty_fourths(0.2), tolerance, STEPS), "right");
        assert_eq!(miss(Inches(0.01 / 25.4), tolerance, Show::Millimetre(1)), "right");
        assert_eq!(miss(sixty_fourths(-4.5), tolerance, STEPS), "tight by 5/64");
        assert_eq!(miss(sixty_fourths(1.5), tolerance, STEPS), "wide by 1/32");
        assert_eq!(off(sixty_fourths(1.5), tolerance, STEPS), "off by 1/32");
        // 1.3 of 1/64 is nearest to 1/64, and is not within it; 0.404 of a millimetre not within 0.4.
        assert_eq!(off(sixty_fourths(1.3), tolerance, STEPS), "off by 0.020");
        assert_eq!(miss(Inches(-1.001 / 64.0), tolerance, STEPS), "tight by 0.016");
        let (tenths, metric) = (Length::parse("0.4mm", Unit::Inch).unwrap(), Show::Millimetre(1));
        assert_eq!(off(Inches(0.43 / 25.4), tenths, metric), "off by 0.43mm");
        assert_eq!(off(Inches(0.404 / 25.4), tenths, metric), "off by 0.404mm");
        assert_eq!(
            off(Inches(0.0104), Length::parse("0.010", Unit::Inch).unwrap(), Show::DecimalInch(3)),
            "off by 0.0104"
        );
    }

    #[test]
    fn a_go_no_go_reading_is_what_was_felt() {
        let at = Length::ratio(1, 1);
        let reading = Reading::go_no_go(at, Length::ratio(3, 64), Length::ratio(4, 64)).unwrap();
        assert_eq!(felt(&reading, STEPS), "3/64+");
        assert_eq!(in_full(&reading, STEPS), "3/64 goes, 1/16 stops");
    }
}
