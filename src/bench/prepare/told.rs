//! What was worked out before hanging, told in lines: the same on the screen and from the commands.

use super::assigning::SizeGroup;
use super::swinging::{LeafSwing, PinCase};
use super::year::OpeningYear;
use crate::before::season::Build;
use crate::fit::length::{Inches, Length, Show, Unit};

mod making;

pub use super::flush_words::flush;
pub use making::{blank, part, survey};

/// How a line is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weight {
    /// Plain.
    Text,
    /// What it comes to.
    Next,
    /// To be looked at before going on.
    Caution,
    /// May be overlooked.
    Quiet,
}

/// One line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Told {
    /// How it is meant.
    pub weight: Weight,
    /// The words.
    pub text: String,
}

pub(super) fn say(weight: Weight, text: impl Into<String>) -> Told {
    Told { weight, text: text.into() }
}

/// `A.left`: a gap line by its leaf's edge, as tables name it.
pub fn line_name(between: &[String; 2]) -> String {
    match between {
        [frame, side] | [side, frame] if frame == crate::shop::facing::FRAME => side.clone(),
        [one, other] => format!("{one} to {other}"),
    }
}

/// A gap line in words: `A left`, or `between lower and upper`.
pub fn gap_name(between: &[String; 2]) -> String {
    let leaf = |side: &str| side.split_once('.').map_or(side, |(leaf, _)| leaf).to_owned();
    match between {
        [frame, side] | [side, frame] if frame == crate::shop::facing::FRAME => side.replacen('.', " ", 1),
        [one, other] => format!("between {} and {}", leaf(one), leaf(other)),
    }
}

/// An opening through the year, without its gaps: leaves, air, what is not known.
pub fn year_notes(year: &OpeningYear, show: Show) -> Vec<Told> {
    let mut lines = Vec::new();
    for gap in &year.gaps {
        let name = gap_name(&gap.between);
        if let Err(why) = &gap.raw {
            lines.push(say(Weight::Caution, format!("! {name}: {why}")));
        }
        let at = |gap: Inches| gap.shown(show);
        if let (true, Some(through)) = (gap.binds(), gap.year) {
            lines.push(say(
                Weight::Caution,
                format!("! {name} binds in August: {} left at the damp end", at(through.damp)),
            ));
        }
        if let (true, Some(through)) = (gap.gapes(), gap.year) {
            lines.push(say(Weight::Caution, format!("! {name} gapes in winter: {} at the dry end", at(through.dry))));
        }
    }
    for leaf in &year.leaves {
        let (across, up) = leaf.grows;
        let how = match leaf.build {
            Build::Framed { .. } => "framed: its stiles move, its panel floats",
            Build::SolidLevel => "solid, grain level: moves over its whole height",
            Build::SolidUpright => "solid, grain upright: moves over its whole width",
        };
        let much = if across.get() > 0.0 {
            format!("{} across", fine(across, show))
        } else {
            format!("{} up and down", fine(up, show))
        };
        lines.push(say(
            Weight::Text,
            format!("{} {how}; {much} between the year's ends ({})", leaf.leaf, leaf.wood.species),
        ));
    }
    let wet = year.moisture;
    let whose = match year.starting_spells {
        [true, true, true] => "a starting value; set your house on the tools page, t",
        [false, false, false] => "your house",
        _ => "some of it a starting value; set your house on the tools page, t",
    };
    lines.push(say(
        Weight::Quiet,
        format!(
            "wood at {:.1} % damp, {:.1} % when fitted, {:.1} % dry ({whose})",
            wet.damp(),
            wet.fitting(),
            wet.dry()
        ),
    ));
    if wet.beyond_coefficients() {
        lines.push(say(Weight::Quiet, "moisture beyond 6 to 14 %: the movement is an estimate only"));
    }
    lines.extend(year.finishes.iter().map(|text| say(Weight::Text, text.clone())));
    lines.extend(year.unknown.iter().map(|text| say(Weight::Caution, format!("! {text}"))));
    lines
}

/// Finer than a feeler tells, with its unit: thousandths of an inch, or hundredths of a millimetre.
fn fine(by: Inches, show: Show) -> String {
    match show.unit() {
        Unit::Inch => format!("{} in", by.shown(Show::DecimalInch(3))),
        Unit::Millimetre => by.shown(Show::Millimetre(2)),
    }
}

/// Said where no pin of the leaf's own hinge was measured.
pub const PINS_ARE_STARTING: &str = "usual pin places are starting values: measure your own hinge";

/// How a leaf swings.
pub fn swing(leaf: &LeafSwing, show: Show) -> Vec<Told> {
    let mut lines = vec![say(
        Weight::Text,
        format!(
            "{}: {} wide, {} thick{}, hinged {}; gaps {} at the latch, {} at the hinge",
            leaf.leaf,
            leaf.width.shown(show),
            leaf.thickness.shown(show),
            if leaf.thickness_assumed { " (a starting value: measure it)" } else { "" },
            leaf.hinge.edge(),
            leaf.latch_gap.shown(show),
            leaf.hinge_gap.shown(show)
        ),
    )];
    for case in &leaf.cases {
        let swing = match &case.swing {
            Ok(swing) => swing,
            Err(why) => {
                lines.push(say(Weight::Caution, format!("! {}: {why}", pin(case, show))));
                continue;
            }
        };
        let least = fine(swing.least_reveal, show);
        let latch = match &swing.bevel {
            None => "clears with a square edge".to_owned(),
            Some(bevel) => {
                format!("back-bevel {}, {:.1} degrees", fine(bevel.depth, show), bevel.angle.0.to_degrees())
            }
        };
        let weight = if swing.bevel.is_some() { Weight::Next } else { Weight::Text };
        lines.push(say(weight, format!("{}: {latch}; without a bevel the gap must be {least}", pin(case, show))));
        if swing.hinge_spare.get() < 0.0 {
            lines.push(say(
                Weight::Caution,
                format!(
                    "! {}: the hinge edge binds; it needs a gap of {} there",
                    pin(case, show),
                    fine(swing.least_hinge_reveal, show)
                ),
            ));
        }
    }
    lines
}

/// Where a pin stands, in the shop's unit.
fn pin(case: &PinCase, show: Show) -> String {
    let (off, front) = (case.pin.off_edge, case.pin.in_front);
    if case.own {
        case.name.to_owned()
    } else if front > Length::ZERO {
        format!("butt, pin {} in front", front.shown(show))
    } else if off.is_negative() {
        format!("pivot, {} in from the edge", off.abs().shown(show))
    } else {
        case.name.to_owned()
    }
}

/// A suggestion which leaf goes where.
pub fn assignment(group: &SizeGroup, show: Show) -> Vec<Told> {
    let name = |place: usize| group.openings.get(place).map_or("", String::as_str);
    let wood = |sum: f64| match show.unit() {
        Unit::Inch => format!("{sum:.2} sq in of face"),
        Unit::Millimetre => format!("{:.1} cm\u{b2} of face", sum * 2.54 * 2.54),
    };
    let as_is: f64 = group.as_is.iter().map(|pairing| pairing.wood.0).sum();
    let mut lines = vec![say(
        Weight::Next,
        if group.stays() {
            format!("{} leaves of one size: leave each where it is ({})", group.leaves.len(), wood(as_is))
        } else {
            format!(
                "{} leaves of one size: swapped they lose {} instead of {}",
                group.leaves.len(),
                wood(group.best.wood.0),
                wood(as_is)
            )
        },
    )];
    for ((from, to), pairing) in group.leaves.iter().zip(&group.best.opening).zip(&group.best.pairings) {
        let shown = |by: Inches| Some(by.length()).filter(|by| !by.rounded(show).0.is_zero()).map(|by| by.shown(show));
        let mut lacks = shown(pairing.short).map_or_else(String::new, |short| format!(", short by {short}"));
        if let Some(stuck) = shown(pairing.stuck) {
            lacks = format!("{lacks}, too large by {stuck} where it may not be cut");
        }
        lines.push(say(
            if lacks.is_empty() { Weight::Text } else { Weight::Caution },
            format!("leaf of {} -> {}: {}{lacks}", name(*from), name(*to), wood(pairing.wood.0)),
        ));
    }
    lines
}
