//! May an event from before hanging follow? Part of [`super::check`].

use super::check::{CheckError, LONGEST_NOTE, above_zero, check_id, clipped, refuse, within};
use super::making::{BuildDescribed, LeafToCome, PartChecked, RevealDecided, SurveyTaken};
use super::pin::PinTold;
use super::replay::OpeningState;
use crate::before::blank::{BlankError, LeafToMake};
use crate::before::wood;
use crate::fit::length::Length;

type Checked = Result<(), CheckError>;

/// A survey of which at least one length is given, each a length that an opening has.
pub(super) fn survey(path: &str, survey: &SurveyTaken) -> Checked {
    let tape = survey.tape();
    let tapes: [(&str, &[Option<Length>]); 3] =
        [("widths", &tape.widths), ("heights", &tape.heights), ("diagonals", &tape.diagonals)];
    for (field, lengths) in tapes {
        for (place, length) in lengths.iter().enumerate() {
            if let Some(length) = length {
                above_zero(&format!("{path}{field}[{place}]"), *length)?;
            }
        }
    }
    let limit = Length::ratio(2, 1);
    for (place, bow) in tape.bows.iter().enumerate() {
        if let Some(bow) = bow {
            within(&format!("{path}bows[{place}]"), *bow, limit.negated(), limit)?;
        }
    }
    Ok(())
}

/// A survey of its own must say something.
pub(super) fn survey_event(taken: &SurveyTaken) -> Checked {
    if taken.tape() == crate::before::survey::Tape::default() {
        return refuse("widths", "nothing was measured; give at least one width, height, diagonal or bow");
    }
    survey("", taken)
}

pub(super) fn to_come(leaves: &[LeafToCome]) -> Checked {
    for (place, leaf) in leaves.iter().enumerate() {
        check_id(&format!("leaves[{place}].leaf"), &leaf.leaf)?;
        if let Some(first) = leaves.iter().take(place).position(|other| other.leaf == leaf.leaf) {
            return refuse(format!("leaves[{place}].leaf"), format!("leaves[{first}] has the same short name"));
        }
        if leaf.name.chars().count() > LONGEST_NOTE {
            return refuse(format!("leaves[{place}].name"), format!("at most {LONGEST_NOTE} characters"));
        }
    }
    super::heights::to_come(leaves)
}

fn known_leaf(state: &OpeningState, id: &str) -> Checked {
    let known = state.leaf_ids();
    if known.contains(&id) {
        return Ok(());
    }
    let known = if known.is_empty() { "none yet".to_owned() } else { known.join(", ") };
    refuse("leaf", format!("there is no leaf '{}' here; there is: {known}", clipped(id)))
}

/// A pin of a leaf that there is.
pub(super) fn pin(state: &OpeningState, told: &PinTold) -> Checked {
    known_leaf(state, &told.leaf)?;
    super::pin::check(told)
}

/// A build whose parts come to something, in a leaf large enough for any of them.
pub(super) fn build(state: &OpeningState, build: &BuildDescribed) -> Checked {
    known_leaf(state, &build.leaf)?;
    within("thickness", build.thickness, Length::ratio(1, 64), Length::ratio(6, 1))?;
    within("allowance", build.allowance, Length::ZERO, Length::ratio(2, 1))?;
    if !build.species.is_empty() && wood::wood(&build.species).is_none() {
        let near: Vec<_> = wood::like(&build.species).map(|wood| wood.species).take(6).collect();
        let near = if near.is_empty() {
            "name one of the table in assets/wood_movement.csv, or leave it out".to_owned()
        } else {
            format!("near it: {}", near.join("; "))
        };
        return refuse("species", format!("'{}' is not in the table of movement; {near}", clipped(&build.species)));
    }
    for (field, name) in [("finish", &build.finish), ("frame_finish", &build.frame_finish)] {
        if name.chars().count() > LONGEST_NOTE {
            return refuse(field, format!("at most {LONGEST_NOTE} characters"));
        }
    }
    if let Some(pin) = build.pin {
        let limit = Length::ratio(6, 1);
        within("pin.off_edge", pin.off_edge, limit.negated(), limit)?;
        within("pin.in_front", pin.in_front, limit.negated(), limit)?;
    }
    let Some(frame) = &build.frame else { return Ok(()) };
    // In a leaf far larger than any, only the frame's own measures can be at fault.
    let roomy = LeafToMake {
        name: build.leaf.clone(),
        width: Length::ratio(1000, 1),
        height: Length::ratio(1000, 1),
        thickness: build.thickness,
        construction: build.construction(),
        allowance: build.allowance,
        trimmed: build.trimmed,
    };
    let widths = [
        ("frame.stiles[0]", frame.stiles[0]),
        ("frame.stiles[1]", frame.stiles[1]),
        ("frame.rails[0]", frame.rails[0]),
        ("frame.rails[1]", frame.rails[1]),
        ("frame.mid_rails[1]", frame.mid_rails.1),
        ("frame.mid_stiles[1]", frame.mid_stiles.1),
        ("frame.groove", frame.groove),
        ("frame.float", frame.float),
        ("frame.panel_thickness", frame.panel_thickness),
    ];
    for (field, length) in widths {
        within(field, length, Length::ZERO, Length::ratio(24, 1))?;
    }
    match roomy.blank() {
        Ok(_) => Ok(()),
        Err(BlankError::NotInside { field, what, found, room, into, .. }) => {
            refuse(field, format!("{what} ({found}) does not go into {into} ({room}); make it less"))
        }
        Err(BlankError::TooMany { .. }) => refuse("frame.mid_rails", "at most 50 mid rails and 50 mid stiles"),
        Err(error) => refuse("frame", error.to_string()),
    }
}

pub(super) fn part(state: &OpeningState, part: &PartChecked) -> Checked {
    known_leaf(state, &part.leaf)?;
    if state.making.build(&part.leaf).is_none() {
        return refuse(
            "leaf",
            format!("it was never said how '{}' is made; a 'build' event does", clipped(&part.leaf)),
        );
    }
    let Some(size) = &part.size else { return Ok(()) };
    if !part.done {
        return refuse("size", "goes with \"done\": true only");
    }
    if size.count == 0 {
        return refuse("size.count", "is 0; say how many were sawn");
    }
    above_zero("size.length", size.length)?;
    above_zero("size.width", size.width)?;
    above_zero("size.thickness", size.thickness)
}

pub(super) fn reveal(state: &OpeningState, reveal: &RevealDecided) -> Checked {
    if reveal.gaps.is_empty() {
        return refuse("gaps", "no gap line is decided");
    }
    for (place, gap) in reveal.gaps.iter().enumerate() {
        if state.gap_between(&gap.between).is_none() {
            let known: Vec<_> =
                state.gaps.iter().map(|gap| format!("{} and {}", gap.between[0], gap.between[1])).collect();
            return refuse(
                format!("gaps[{place}].between"),
                format!(
                    "there is no gap line between {} and {}; there is: {}",
                    clipped(&gap.between[0]),
                    clipped(&gap.between[1]),
                    known.join("; ")
                ),
            );
        }
        within(&format!("gaps[{place}].target"), gap.target, Length::ZERO, Length::ratio(2, 1))?;
        within(&format!("gaps[{place}].finished"), gap.finished, Length::ZERO, Length::ratio(2, 1))?;
    }
    Ok(())
}
