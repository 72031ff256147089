//! A pack of the log, said as the plan says it.

use super::seen::{OpeningSeen, ShopSeen};
use crate::contract::hinges;
use crate::fit::hung::{Hung, MOST_STOCK, Way};
use crate::fit::length::{Inches, Length, Show};
use crate::fit::opening::{Hanging, Leaf, Motion};
use crate::fit::plan::HingePack;
use crate::shop::depth::ScrewTurned;
use crate::shop::event::{DepthTurned, HingePacked, LeafHung};

/// Where a leaf will hang that has no size yet.
pub const SIZE_FIRST: &str = "a leaf that will hang here has no size yet: size it first (b), then its hinges (h)";

/// How near a recorded pack is to a sum of stock that it is made of, in.
const SAME: f64 = 1e-5;

/// `one plastic ID card (0.030) behind the bottom hinge`; of a leaf that does not hang (any more) its bare figures.
pub fn pack(opened: Option<&OpeningSeen>, shop: &ShopSeen, pack: &HingePacked) -> String {
    let show = shop.show();
    if !pack.up.is_zero() {
        let several = opened.is_some_and(|opened| opened.state.leaves.len() > 1);
        let said = screws(pack, show);
        return if several { format!("{}: {said}", pack.leaf) } else { said };
    }
    // As its hinges stood when the round was read.
    let shape = opened.and_then(|opened| opened.state.shape(opened.state.current_round(), &shop.settings).ok());
    let leaves = shape.map_or_else(Vec::new, |shape| shape.leaves);
    let several = leaves.len() > 1;
    let named = |thickness: Length| {
        let stock = shop.settings.stock.iter();
        stock.clone().find(|one| one.thickness == thickness).map(|one| one.name.clone())
    };
    let leaf = leaves.iter().find(|leaf| leaf.id == pack.leaf);
    if let Some((leaf, Motion::Hung(hanging))) = leaf.map(|leaf| (leaf, &leaf.motion)) {
        let said = hinges::pack(hanging, &pieces(leaf, pack), &named, show);
        // Neither its screws nor its stock make this: say how far it was moved.
        let screwed = hanging.adjust.as_ref().is_some_and(|adjust| adjust.side.is_some());
        if screwed || hanging.stock.is_empty() || pieces(leaf, pack).counts.iter().any(|&count| count > 0) {
            return if several { format!("{}: {said}", pack.leaf) } else { said };
        }
        return format!("{}: {} moved out by {}", pack.leaf, hinge(hanging, pack, show), hinges::small(pack.out, show));
    }
    format!("{}: hinge at {}, moved out by {}", pack.leaf, pack.hinge.shown(show), hinges::small(pack.out, show))
}

/// `turn the height screws 1/32 up, all hinges alike`.
fn screws(pack: &HingePacked, show: Show) -> String {
    let way = if pack.up.is_negative() { "down" } else { "up" };
    format!("turn the height screws {} {way}, all hinges alike", pack.up.abs().shown_with_error(show))
}

/// A pack of the log without its leaf's stock: `hinge at 3 of A moved out by 0.030`.
pub fn bare(pack: &HingePacked, show: Show) -> String {
    if !pack.up.is_zero() {
        let way = if pack.up.is_negative() { "down" } else { "up" };
        return format!("height screws of {} turned {} {way}", pack.leaf, pack.up.abs().shown_with_error(show));
    }
    format!("hinge at {} of {} moved out by {}", pack.hinge.shown(show), pack.leaf, hinges::small(pack.out, show))
}

/// `depth screws of A turned: 3 by 1/16 back, 23 by 1/32 forward`.
pub fn turned(turned: &DepthTurned, show: Show) -> String {
    let one = |screw: &ScrewTurned| {
        let way = if screw.forward.is_negative() { "back" } else { "forward" };
        format!("{} by {} {way}", screw.hinge.shown(show), screw.forward.abs().shown_with_error(show))
    };
    let each: Vec<_> = turned.screws.iter().map(one).collect();
    format!("depth screws of {} turned: {}", turned.leaf, each.join(", "))
}

/// How a leaf was hung: `A hung at 3, 23: pack to 1/16, let in to 1/32`.
pub fn hung(hung: &LeafHung, show: Show) -> String {
    let hanging = match &hung.motion {
        Motion::Hung(hanging) => hanging,
        Motion::Free => return format!("{} taken off its hinges", hung.leaf),
        Motion::Fixed => return format!("{} stays where it is", hung.leaf),
    };
    let heights: Vec<_> = hanging.hinges.iter().map(|hinge| hinge.shown(show)).collect();
    let mut ways = Vec::new();
    if !hanging.pack.is_zero() || !hanging.let_in.is_zero() {
        ways.push(format!("pack to {}, let in to {}", hanging.pack.shown(show), hanging.let_in.shown(show)));
    }
    let adjust = hanging.adjust.as_deref().copied().unwrap_or_default();
    for (name, travel) in [("side", adjust.side), ("height", adjust.height), ("depth", adjust.depth)] {
        if let Some(travel) = travel {
            ways.push(format!("{name} screws {} to {}", travel.from.shown(show), travel.to.shown(show)));
        }
    }
    let ways = if ways.is_empty() { "nothing to adjust".to_owned() } else { ways.join(", ") };
    format!("{} hung at {}: {ways}", hung.leaf, heights.join(", "))
}

fn hinge(hanging: &Hanging, pack: &HingePacked, show: Show) -> String {
    hinges::hinge_word(hanging, pack.hinge, show)
}

/// What it is made of: the fewest pieces of the leaf's stock that make it.
fn pieces(leaf: &Leaf, pack: &HingePacked) -> HingePack {
    let out = Inches(pack.out.inches());
    let made = |hung: Hung| {
        let place = hung.hinges.iter().position(|&hinge| hinge == pack.hinge)?;
        match hung.sides.get(place)? {
            Way::Steps(steps) if !hung.screwed => {
                steps.iter().find(|step| (step.out.inches() - out.0).abs() < SAME).map(|step| step.counts)
            }
            _ => None,
        }
    };
    let counts = Hung::of(leaf).ok().flatten().and_then(made);
    HingePack { hinge: pack.hinge, out, counts: counts.unwrap_or([0; MOST_STOCK]) }
}
