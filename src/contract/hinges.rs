//! Packing, letting in and screwing of hinges, said as a cabinetmaker would: "one card behind the
//! bottom hinge".

use crate::fit::hung::LEAST_TURN;
use crate::fit::length::{Inches, Length, Show, Unit};
use crate::fit::opening::{Hanging, Leaf, Motion};
use crate::fit::plan::{HingePack, LeafPlan};
use crate::fit::sag::{Cause, Stance};

/// The shop's own name for a thickness of pack stock, where it has one.
pub type Named<'a> = dyn Fn(Length) -> Option<String> + 'a;

/// No thickness has a name.
pub fn unnamed(_: Length) -> Option<String> {
    None
}

/// What is done to one hinge: `one card (0.030) behind the bottom hinge`.
pub fn pack(hanging: &Hanging, pack: &HingePack, named: &Named<'_>, show: Show) -> String {
    let hinge = hinge_word(hanging, pack.hinge, show);
    let out = pack.out.get();
    let pieces = pieces(hanging, &pack.counts, named, show);
    match (pieces.is_empty(), out < 0.0) {
        (true, false) => format!("turn the {hinge}'s side screw {} out", thickness(pack.out, show)),
        (true, true) => format!("turn the {hinge}'s side screw {} in", thickness(Inches(-out), show)),
        (false, false) => format!("{} behind the {hinge}", pieces.join(" and ")),
        (false, true) => inward(&hinge, hanging.there_at(pack.hinge).inches(), -out, &pieces.join(" and "), show),
    }
}

/// A hinge that goes in by `by` (in) where `there` stands behind it: what is behind it comes out first.
fn inward(hinge: &str, there: f64, by: f64, pieces: &str, show: Show) -> String {
    const SAME: f64 = 1e-6;
    let size = |inches: f64| thickness(Inches(inches), show);
    if there < SAME {
        return format!("let the {hinge} in by {}, as deep as {pieces}", size(by));
    }
    if by <= there + SAME {
        return format!("take {pieces} out from behind the {hinge}");
    }
    format!("take the packing of {} out from behind the {hinge} and let it in by {}", size(there), size(by - there))
}

/// Everything that is done to the hinges of a leaf, the lowest first, then the height screws.
pub fn leaf(leaf: &Leaf, plan: &LeafPlan, named: &Named<'_>, show: Show) -> Vec<String> {
    let Motion::Hung(hanging) = &leaf.motion else { return Vec::new() };
    // A turn below half a thousandth is none: it would be told as 0.
    let told = plan.packs.iter().filter(|one| one.out.get().abs() >= LEAST_TURN);
    let mut lines: Vec<String> = told.map(|one| pack(hanging, one, named, show)).collect();
    let raise = plan.raise.get();
    if raise.abs() >= LEAST_TURN {
        let (way, by) = if raise > 0.0 { ("up", raise) } else { ("down", -raise) };
        lines.push(format!("turn the height screws {} {way}, all hinges alike", thickness(Inches(by), show)));
    }
    lines
}

/// How a hung leaf stands: a sag that its hinges right, told from leaf or opening out of square, which no hinge
/// rights. Nothing where it hangs straight and square.
pub fn stance(stance: &Stance, show: Show) -> Option<String> {
    // All figures of a sentence to one number of places.
    let fine = match show.unit() {
        Unit::Inch => Show::DecimalInch(3),
        Unit::Millimetre => Show::Millimetre(2),
    };
    let size = |by: Inches| Inches(by.get().abs()).shown(fine);
    let (wider, low) = (size(stance.taper), size(stance.low));
    let leans = if stance.low.get() > 0.0 {
        format!("it sags: hinge-side gap {wider} wider at the top, latch side {low} low; its hinges right that")
    } else {
        format!("it leans up: hinge-side gap {wider} wider at the bottom, latch side {low} high; its hinges right that")
    };
    let out = size(stance.out_of_square);
    let way = if stance.out_of_square.get() > 0.0 { "low" } else { "high" };
    match stance.cause {
        Cause::Neither => None,
        Cause::Hinges => Some(leans),
        Cause::Square => Some(format!(
            "no sag: the hinge side is even. Leaf or opening is out of square, latch side {out} {way}: no hinge rights that"
        )),
        Cause::Both => Some(format!(
            "{leans}. Leaf or opening is out of square besides, latch side {out} {way}: no hinge rights that"
        )),
    }
}

/// `bottom hinge`, `top hinge`, `middle hinge`, or the hinge by its height.
pub fn hinge_word(hanging: &Hanging, hinge: Length, show: Show) -> String {
    let mut heights = hanging.hinges.clone();
    heights.sort_unstable();
    match heights.iter().position(|&height| height == hinge) {
        Some(0) => "bottom hinge".to_owned(),
        Some(place) if place + 1 == heights.len() => "top hinge".to_owned(),
        Some(_) if heights.len() == 3 => "middle hinge".to_owned(),
        _ => format!("hinge at {}", hinge.shown(show)),
    }
}

fn pieces(hanging: &Hanging, counts: &[u8], named: &Named<'_>, show: Show) -> Vec<String> {
    let used = hanging.stock.iter().zip(counts).filter(|(_, count)| **count > 0);
    used.map(|(&stock, &count)| {
        let size = small(stock, show);
        match named(stock) {
            Some(name) if count == 1 => format!("one {name} ({size})"),
            Some(name) => format!("{} {name}s ({size} each)", number(count)),
            None if count == 1 => format!("one {size} shim"),
            None => format!("{} {size} shims", number(count)),
        }
    })
    .collect()
}

fn number(count: u8) -> String {
    const WORDS: [&str; 10] = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"];
    WORDS.get(usize::from(count)).map_or_else(|| count.to_string(), |word| (*word).to_owned())
}

fn thickness(inches: Inches, show: Show) -> String {
    inches.length().shown_with_error(show)
}

/// A thickness in thousandths of an inch or hundredths of a millimetre: no fraction says what a card is. One place
/// more where that says it exactly: a tape is 0.0055.
pub fn small(length: Length, show: Show) -> String {
    let [usual, finer] = match show {
        Show::Millimetre(_) => [Show::Millimetre(2), Show::Millimetre(3)],
        Show::Fraction(_) | Show::DecimalInch(_) => [Show::DecimalInch(3), Show::DecimalInch(4)],
    };
    let exact = |style| length.rounded(style).1.is_zero();
    length.shown(if !exact(usual) && exact(finer) { finer } else { usual })
}
