//! Which stations to read before deciding, and why.

use super::{Ask, Policy, Why, all_stations, chance};
use crate::fit::estimate::{Estimate, EstimateError, Review, Standing};
use crate::fit::length::Length;

/// Ends of gap lines that nobody knows: not read near that end in this round, and either read there in no
/// round or not told by the rest to within the tolerance.
pub(super) fn lacking(estimate: &Estimate, policy: &Policy) -> Result<Vec<Ask>, EstimateError> {
    let mut asks = Vec::new();
    for gap in 0..estimate.gap_lines().len() {
        for (end, at) in estimate.ends(gap).into_iter().flatten().enumerate() {
            let (ever, now) = estimate.read_near(gap, end);
            let expected = estimate.gap_at(gap, at)?;
            if !now && (!ever || expected.sd.0 > policy.tolerance.inches()) {
                let why = Why::NotRead;
                asks.push(Ask { gap, at, why, read: None, expected, index: None, earlier_round: false });
            }
        }
    }
    Ok(asks)
}

/// The reading likeliest wrong, if any is likely enough. One of the present round goes before any of an earlier
/// one, however likely: it can be taken again while the leaf is in the opening, and what it says then also tells
/// which of the two is wrong; the earlier one can only be judged.
pub(super) fn looks_wrong(estimate: &Estimate, policy: &Policy, reviews: &[Review]) -> Option<Ask> {
    let plain = reviews.iter().filter(|one| one.standing == Standing::Plain && one.wrong >= policy.ask_from);
    let round = estimate.round();
    let here = plain.clone().filter(|one| one.round == round).max_by(|a, b| a.wrong.total_cmp(&b.wrong));
    let worst = here.or_else(|| plain.max_by(|a, b| a.wrong.total_cmp(&b.wrong)))?;
    Some(Ask {
        gap: worst.gap,
        at: worst.at,
        why: Why::LooksWrong,
        read: Some(worst.read),
        expected: worst.expected,
        index: Some(worst.index),
        earlier_round: worst.round != round,
    })
}

/// Stations of the present round where a slip would move the fit by more than half the tolerance and a reading
/// is likelier wrong than `from`: those read once, and those whose two readings do not say which is right.
pub(super) fn unconfirmed(
    estimate: &Estimate,
    policy: &Policy,
    reviews: &[Review],
    from: f64,
) -> Result<Vec<Ask>, EstimateError> {
    let stations = all_stations(estimate);
    let round = estimate.round();
    let mut asks = Vec::new();
    for one in reviews.iter().filter(|one| one.round == round && one.standing == Standing::Plain) {
        let seen_twice = asks.iter().any(|ask: &Ask| ask.gap == one.gap && ask.at == one.at);
        let enough = match times_read(reviews, round, one.gap, one.at) {
            1 => one.wrong < from,
            2 => one.wrong < policy.look_from,
            _ => true,
        };
        if enough || seen_twice {
            continue;
        }
        let moves = estimate.influence(one.index, &stations)? * estimate.spreads().gross.0;
        if moves > 0.5 * policy.tolerance.inches() {
            asks.push(Ask {
                gap: one.gap,
                at: one.at,
                why: Why::Unconfirmed,
                read: Some(one.read),
                expected: one.expected,
                index: None,
                earlier_round: false,
            });
        }
    }
    Ok(asks)
}

/// Could the readings that are left to a station settle whether it is within tolerance? `margin`: how far from the
/// tolerance the estimate stands there; `sd`: its spread with `read` readings of this round. All that are left
/// narrow it to `sd·√(read/most)` (readings of one spread that do not depend on each other), and may move it away
/// from the tolerance by about as much as it is uncertain by now. Where even that would leave more doubt than
/// [`Policy::doubt`], reading on is labour lost.
pub(super) fn could_settle(policy: &Policy, read: usize, margin: f64, sd: f64) -> bool {
    if read >= policy.most_readings {
        return false;
    }
    let narrowed = sd * (read.max(1) as f64 / policy.most_readings as f64).sqrt();
    chance::above((margin + sd) / narrowed.max(1e-9)) <= policy.doubt
}

fn at_station(reviews: &[Review], round: usize, gap: usize, at: Length) -> impl Iterator<Item = &Review> {
    reviews.iter().filter(move |one| one.round == round && one.gap == gap && one.at == at)
}

pub(super) fn times_read(reviews: &[Review], round: usize, gap: usize, at: Length) -> usize {
    at_station(reviews, round, gap, at).count()
}
