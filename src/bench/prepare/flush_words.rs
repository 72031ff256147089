//! Flush and wind told in lines.

use super::flushness::LeafFlush;
use super::told::{Told, Weight, say};
use crate::before::flush::{DepthMove, Flush, FlushAdvice};
use crate::bench::gap_words;
use crate::bench::sheet_words;
use crate::fit::length::{Inches, Length, Show};

/// What the corners of a leaf say.
pub fn flush(leaf: &LeafFlush, show: Show) -> Vec<Told> {
    let flush = match &leaf.flush {
        Ok(flush) => flush,
        Err(why) => return vec![say(Weight::Caution, format!("! {}: {why}", leaf.leaf))],
    };
    let mut lines = corners_told(leaf, show);
    lines.push(say(Weight::Next, format!("{}: {}", leaf.leaf, advice(leaf, flush, show))));
    if flush.advice == FlushAdvice::Leave {
        return lines;
    }
    for step in &flush.hinges {
        let (told, beyond) = hinge(leaf, *step, show);
        let (weight, mark) = if beyond { (Weight::Caution, "! ") } else { (Weight::Text, "") };
        lines.push(say(weight, format!("{mark}hinge {} up: {told}", step.hinge.shown(show))));
    }
    let [low, high] = flush.catch.map(|by| way(by, show));
    lines.push(say(Weight::Text, format!("catch or stop: {low} at the lower corner, {high} at the upper")));
    if !flush.off_three.is_zero() {
        let off = exact(flush.off_three, show);
        lines.push(say(Weight::Text, format!("one corner stands off the other three by {off}, four times the wind")));
    }
    lines
}

fn advice(leaf: &LeafFlush, flush: &Flush, show: Show) -> String {
    let (tolerance, wind) = (leaf.tolerance.shown(show), exact(flush.wind.abs(), show));
    let mut moves = flush.hinges.iter().map(|step| step.forward).chain(flush.catch);
    match flush.advice {
        FlushAdvice::Leave if leaf.expected.is_some() => {
            format!("should be flush within {tolerance} now: read its corners again")
        }
        FlushAdvice::Leave => format!("flush within {tolerance} as it hangs: leave it"),
        FlushAdvice::MoveAndShare if flush.wind.is_zero() => "move the hinges; it has no wind".to_owned(),
        FlushAdvice::MoveAndShare if moves.all(|by| gap_words::is_nothing(by, show)) => {
            format!("what is off is wind, {wind} at each corner, shared as it hangs: leave it")
        }
        FlushAdvice::MoveAndShare => {
            format!("move the hinges; the wind left, {wind} at each corner, does not show: share it")
        }
        FlushAdvice::Correct => {
            format!(
                "{wind} of wind at each corner is more than hinges can share: correct the leaf or the stop, then move"
            )
        }
    }
}

/// An amount without its sign: in the shop's steps where that says it, else in thousandths of an inch or hundredths of a
/// millimetre. A quarter of what four corners share is seldom a step.
fn exact(by: Length, show: Show) -> String {
    let by = by.abs();
    if by.rounded(show).1.is_zero() {
        return by.shown(show);
    }
    sheet_words::small(Inches(by.inches()), show).trim_start_matches('+').to_owned()
}

/// A move: `1/32 forward`, `leave it` where it is less than half a step.
fn way(by: Inches, show: Show) -> String {
    if gap_words::is_nothing(by, show) {
        return "leave it".to_owned();
    }
    format!("{} {}", gap_words::size(by, show), if by.get() > 0.0 { "forward" } else { "back" })
}

/// What to do at one hinge, and whether its depth screw lacks more than the tolerance of it.
fn hinge(leaf: &LeafFlush, DepthMove { hinge, forward }: DepthMove, show: Show) -> (String, bool) {
    let told = way(forward, show);
    let Some(travel) = leaf.depth_at(hinge).filter(|_| !gap_words::is_nothing(forward, show)) else {
        return (told, false);
    };
    let (set, missing) = travel.nearest(forward.length());
    let nothing = |by: Length| gap_words::is_nothing(Inches(by.inches()), show);
    if missing.abs() <= leaf.tolerance {
        // Less than half a step of the screw.
        let told = if nothing(set) { "leave it".to_owned() } else { format!("{told}, by its depth screw") };
        return (told, false);
    }
    let missing = gap_words::size(Inches(missing.inches()), show);
    if nothing(set) {
        let reach = if forward.get() > 0.0 { travel.to } else { travel.from };
        let why = if nothing(reach) { "is at its end" } else { "turns by more at once" };
        return (format!("{told}; its depth screw {why}, shim or let in {missing}"), true);
    }
    let set = gap_words::size(Inches(set.inches()), show);
    (format!("{told}; its depth screw reaches {set} only, shim or let in {missing} more"), true)
}

/// Proud or shy in words: `1/16 proud`, `1/32 shy`, `flush`.
fn proud(by: Length, show: Show) -> String {
    let inches = Inches(by.inches());
    if gap_words::is_nothing(inches, show) {
        return "flush".to_owned();
    }
    format!("{} {}", gap_words::size(inches, show), if by.is_negative() { "shy" } else { "proud" })
}

/// What the corners should be since depth screws were turned, or which one is not what they should have made of it.
fn corners_told(leaf: &LeafFlush, show: Show) -> Vec<Told> {
    let mut lines = Vec::new();
    if let Some(Ok(corners)) = &leaf.expected {
        let [lower_left, lower_right, upper_left, upper_right] = corners.each().map(|corner| proud(corner, show));
        lines.push(say(
            Weight::Text,
            format!(
                "expected now (catch halfway up): upper left {upper_left}, upper right {upper_right}, lower left \
                 {lower_left}, lower right {lower_right}"
            ),
        ));
    }
    if let Some(missed) = leaf.missed {
        let (expected, read) = (proud(missed.expected, show), proud(missed.read, show));
        lines.push(say(
            Weight::Caution,
            format!("! {}: expected {expected} after the screws, read {read}: check it, and the catch", missed.corner),
        ));
    }
    lines
}
