//! May an event follow these events? Asked before anything is kept, so that a log holds only what
//! its replay can use.

use super::check_making as making;
use super::event::{
    CutDone, Event, FinishApplied, FlushRead, GapRead, HingePacked, LeafDescribed, Note, OpeningMeasured, PlanAccepted,
    ReadingJudged, ReadingsTaken, Record, Strike, TrimMeant,
};
use super::facing::{self, FRAME, Named};
use super::reckoned::{FACTORS, Reckoned};
use super::replay::{OpeningState, Round, reading};
use crate::fit::length::{Length, Show};
use std::collections::BTreeSet;

/// The means by which a cut can be done.
pub const METHODS: [&str; 6] = ["rip", "sled", "guide-line", "plane", "sanding-block", "by-hand"];
/// Most characters of a note.
pub const LONGEST_NOTE: usize = 4000;
/// Most characters of the name of a photo's file.
pub const LONGEST_PHOTO: usize = 400;
/// Most characters of a leaf's short name.
pub const LONGEST_ID: usize = 40;

/// Why an event may not follow.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{field}: {why}")]
pub struct CheckError {
    /// Path of the field: `gaps[0].readings[2].at`.
    pub field: String,
    /// What was found and what is allowed.
    pub why: String,
}

type Checked = Result<(), CheckError>;

pub(super) fn refuse(field: impl Into<String>, why: impl Into<String>) -> Checked {
    Err(CheckError { field: field.into(), why: why.into() })
}

/// Checks that `event` may be kept after `records`, whose replay is `state`.
pub fn check(records: &[Record], state: &OpeningState, event: &Event) -> Checked {
    match event {
        Event::Opening(opening) => check_opening(opening)?,
        Event::Leaf(leaf) => check_leaf(leaf)?,
        Event::Readings(taken) => check_readings(state, taken)?,
        Event::Plan(plan) => check_plan(state, plan)?,
        Event::Cut(cut) => check_cut(state, cut)?,
        Event::Measured(measured) => super::measured::check(state, measured)?,
        Event::Altered(altered) => super::altered::check(state, altered)?,
        Event::Remade(remade) => super::altered::check_remade(state, remade)?,
        Event::Hung(hung) => super::hanging::check(state, hung)?,
        Event::Pack(pack) => check_pack(state, "", pack)?,
        Event::Flush(flush) => check_flush(state, flush)?,
        Event::Depth(turned) => super::depth::check(state, turned)?,
        Event::Finish(finish) => check_finish(state, finish)?,
        Event::Note(note) => check_note(note)?,
        Event::Survey(survey) => making::survey_event(survey)?,
        Event::Build(build) => making::build(state, build)?,
        Event::Heights(told) => super::heights::check(state, told)?,
        Event::Pin(told) => making::pin(state, told)?,
        Event::Part(part) => making::part(state, part)?,
        Event::Reveal(reveal) => making::reveal(state, reveal)?,
        Event::Judged(judged) => check_judged(state, judged)?,
        Event::Strike(strike) => return check_strike(records, state, strike),
    }
    match event {
        Event::Opening(_) | Event::Leaf(_) => nothing_astray(records, state, event, "event"),
        _ => Ok(()),
    }
}

/// After `event`, does every earlier event still find the leaf and gap line that it speaks of?
fn nothing_astray(records: &[Record], state: &OpeningState, event: &Event, field: &str) -> Checked {
    let mut after = records.to_vec();
    after.push(Record { n: state.last + 1, at: String::new(), event: event.clone() });
    let before: BTreeSet<u64> = state.astray.iter().map(|(n, _)| *n).collect();
    match OpeningState::replay(&after).astray.into_iter().find(|(n, _)| !before.contains(n)) {
        Some((n, why)) => {
            refuse(field, format!("event {n} rests on what this would take away ({why}); strike {n} first"))
        }
        None => Ok(()),
    }
}

fn check_opening(opening: &OpeningMeasured) -> Checked {
    if opening.gaps.is_empty() {
        return refuse(
            "gaps",
            "none is given; name at least one, like {\"between\":[\"frame\",\"A.left\"],\"target\":\"3/32\"}",
        );
    }
    for (place, gap) in opening.gaps.iter().enumerate() {
        let sides = facing::pair(&gap.between)
            .map_err(|error| CheckError { field: format!("gaps[{place}].between"), why: error.to_string() })?;
        for side in sides {
            if let Named::Leaf { id, .. } = side {
                check_id(&format!("gaps[{place}].between"), id)?;
            }
        }
        let twice = |other: &super::event::GapWanted| {
            other.between == gap.between || (other.between[0] == gap.between[1] && other.between[1] == gap.between[0])
        };
        if let Some(first) = opening.gaps.iter().take(place).position(twice) {
            return refuse(format!("gaps[{place}].between"), format!("gaps[{first}] is between the same two"));
        }
        within(&format!("gaps[{place}].target"), gap.target, Length::ZERO, Length::ratio(2, 1))?;
    }
    if let Some(tolerance) = opening.tolerance {
        within("tolerance", tolerance, Length::ratio(1, 10_000), Length::ratio(1, 4))?;
    }
    making::to_come(&opening.leaves)?;
    opening.survey.as_ref().map_or(Ok(()), |survey| making::survey("survey.", survey))
}

pub(super) fn check_id(field: &str, id: &str) -> Checked {
    if id.trim().is_empty() || id.trim() != id {
        return refuse(field, "a leaf needs a short name without spaces around it, like A");
    }
    if id.chars().count() > LONGEST_ID {
        return refuse(field, format!("a leaf's short name has at most {LONGEST_ID} characters"));
    }
    if id == FRAME || id.contains('.') || id.chars().any(char::is_control) {
        return refuse(field, format!("'{id}' cannot be a leaf's short name: not 'frame', no point, no line end"));
    }
    Ok(())
}

fn check_leaf(leaf: &LeafDescribed) -> Checked {
    check_id("leaf", &leaf.leaf)?;
    above_zero("width", leaf.width)?;
    above_zero("height", leaf.height)?;
    if let Some(thickness) = leaf.thickness {
        above_zero("thickness", thickness)?;
    }
    if leaf.name.chars().count() > LONGEST_NOTE {
        return refuse("name", format!("at most {LONGEST_NOTE} characters"));
    }
    super::made::check(leaf)?;
    super::hanging::motion(&leaf.motion, leaf.hinge, (leaf.width, leaf.height))
}

fn check_readings(state: &OpeningState, taken: &ReadingsTaken) -> Checked {
    let now = state.current_round();
    if taken.round == 0 {
        return refuse("round", "rounds are counted from 1");
    }
    if taken.round > now + 1 {
        return refuse("round", format!("{} skips a round; the next one is {}", taken.round, now + 1));
    }
    if taken.round < now {
        return refuse("round", format!("round {} is over; this is round {now}", taken.round));
    }
    if let Some(round) = state.latest().filter(|_| taken.round == now) {
        let next = now + 1;
        let changed = match (round.cuts.is_empty(), round.packs.is_empty()) {
            (false, _) => "the leaf was cut",
            (true, false) => "a hinge was packed",
            (true, true) => "",
        };
        if !changed.is_empty() {
            return refuse("round", format!("{changed} after round {now} was read; these readings are round {next}"));
        }
    }
    let since = |after: fn(&OpeningState, &Round) -> bool| {
        taken.round == now && state.latest().is_some_and(|round| after(state, round))
    };
    for (is_over, how) in [(since(OpeningState::hung_after), "hung"), (since(OpeningState::altered_after), "altered")] {
        if is_over {
            let next = now + 1;
            let why = format!("a leaf was {how} after round {now} was read; these readings are round {next}");
            return refuse("round", why);
        }
    }
    if taken.gaps.iter().all(|gap| gap.readings.is_empty()) {
        return refuse("gaps", "no reading is given");
    }
    taken.gaps.iter().enumerate().try_for_each(|(place, gap)| check_gap_read(state, taken.round, place, gap))
}

fn check_gap_read(state: &OpeningState, round: u32, place: usize, gap: &GapRead) -> Checked {
    let field = format!("gaps[{place}].between");
    let shown = format!("{} and {}", gap.between[0], gap.between[1]);
    if state.gap_between(&gap.between).is_none() {
        let known: Vec<_> = state.gaps.iter().map(|gap| format!("{} and {}", gap.between[0], gap.between[1])).collect();
        let known = if known.is_empty() { "none yet".to_owned() } else { known.join("; ") };
        return refuse(field, format!("there is no gap line between {shown}; there is: {known}"));
    }
    let Some((leaf, edge)) = facing::measured_along(&gap.between) else {
        return refuse(field, format!("no leaf stands in {shown}"));
    };
    let Some(length) = state.edge_at(leaf, edge, round) else {
        return unknown_leaf(state, &field, leaf);
    };
    for (number, stored) in gap.readings.iter().enumerate() {
        let field = |name: &str| format!("gaps[{place}].readings[{number}]{name}");
        if stored.at.is_negative() || stored.at > length {
            let length = length.shown(Show::default());
            let at = stored.at.shown(Show::default());
            return refuse(
                field(".at"),
                format!("{at} is off the {edge} edge of {leaf}, which runs from 0 to {length}"),
            );
        }
        if stored.gap.is_some_and(Length::is_negative) {
            return refuse(field(".gap"), "is below zero; where the leaf laps the frame, give \"lap\"");
        }
        let lengths = [(".gap", stored.gap), (".goes", stored.goes), (".stops", stored.stops), (".lap", stored.lap)];
        for (name, length) in lengths {
            within(&field(name), length.unwrap_or(Length::ZERO), Length::ZERO, Length::ratio(4, 1))?;
        }
        reading(stored).map_err(|why| CheckError { field: field(""), why })?;
    }
    Ok(())
}

/// A plan and a cut belong to the current round; before the first reading that is round 0.
fn check_round(state: &OpeningState, round: u32) -> Checked {
    let now = state.current_round();
    if round == now { Ok(()) } else { refuse("round", format!("{round} is not the current round, which is {now}")) }
}

fn check_trim(state: &OpeningState, field: &str, trim: &TrimMeant) -> Checked {
    let Some((width, height)) = state.size_at(&trim.leaf, u32::MAX) else {
        return unknown_leaf(state, &format!("{field}leaf"), &trim.leaf);
    };
    let length = if trim.edge.is_upright() { width } else { height };
    within(&format!("{field}start"), trim.start, Length::ZERO, length)?;
    within(&format!("{field}end"), trim.end, Length::ZERO, length)?;
    if trim.start.is_zero() && trim.end.is_zero() {
        return refuse(format!("{field}end"), "start and end are both 0: nothing comes off");
    }
    trim.reckoned.as_ref().map_or(Ok(()), |reckoned| check_reckoned(&format!("{field}reckoned."), reckoned, length))
}

fn check_reckoned(field: &str, reckoned: &Reckoned, length: Length) -> Checked {
    for (name, factor) in [("plane", reckoned.plane), ("tape", reckoned.tape)] {
        if !FACTORS.contains(&factor) {
            let (least, most) = (FACTORS.start(), FACTORS.end());
            return refuse(format!("{field}{name}"), format!("{factor} thousandths; allowed are {least} to {most}"));
        }
    }
    reckoned
        .otherwise
        .iter()
        .try_for_each(|&removal| within(&format!("{field}otherwise"), removal, Length::ZERO, length))
}

fn check_plan(state: &OpeningState, plan: &PlanAccepted) -> Checked {
    check_round(state, plan.round)?;
    let words = ["fitted", "as-good", "move", "pack", "cut", "short"];
    if !words.contains(&plan.verdict.as_str()) {
        return refuse(
            "verdict",
            format!("'{}' is no verdict; allowed are {}", clipped(&plan.verdict), words.join(", ")),
        );
    }
    plan.trims.iter().enumerate().try_for_each(|(place, trim)| check_trim(state, &format!("trims[{place}]."), trim))?;
    plan.packs.iter().enumerate().try_for_each(|(place, pack)| check_pack(state, &format!("packs[{place}]."), pack))?;
    plan.lines.iter().enumerate().try_for_each(|(place, line)| check_trim(state, &format!("lines[{place}]."), line))?;
    match plan.means.iter().position(|means| !matches!(means.as_str(), "saw" | "plane")) {
        Some(place) => refuse(format!("means[{place}]"), "allowed are saw and plane"),
        None => Ok(()),
    }
}

fn check_cut(state: &OpeningState, cut: &CutDone) -> Checked {
    check_round(state, cut.round)?;
    if !METHODS.contains(&cut.method.as_str()) {
        let found = clipped(&cut.method);
        return refuse("method", format!("'{found}' is no method; allowed are {}", METHODS.join(", ")));
    }
    check_trim(state, "", &cut.intended)
}

fn check_pack(state: &OpeningState, field: &str, pack: &HingePacked) -> Checked {
    let Some((_, height)) = state.size_at(&pack.leaf, u32::MAX) else {
        return unknown_leaf(state, &format!("{field}leaf"), &pack.leaf);
    };
    within(&format!("{field}hinge"), pack.hinge, Length::ZERO, height)?;
    within(&format!("{field}out"), pack.out, Length::ratio(-1, 1), Length::ratio(1, 1))?;
    within(&format!("{field}up"), pack.up, Length::ratio(-1, 1), Length::ratio(1, 1))
}

fn check_flush(state: &OpeningState, flush: &FlushRead) -> Checked {
    if state.leaf(&flush.leaf).is_none() {
        return unknown_leaf(state, "leaf", &flush.leaf);
    }
    let (_, height) = state.size_at(&flush.leaf, u32::MAX).unwrap_or_default();
    for (place, &hinge) in flush.hinges.iter().enumerate() {
        within(&format!("hinges[{place}]"), hinge, Length::ZERO, height)?;
    }
    let limit = Length::ratio(2, 1);
    let mut corners = flush.corners.iter().enumerate();
    corners.try_for_each(|(place, &corner)| within(&format!("corners[{place}]"), corner, limit.negated(), limit))
}

fn check_finish(state: &OpeningState, finish: &FinishApplied) -> Checked {
    if state.leaf(&finish.leaf).is_none() {
        return unknown_leaf(state, "leaf", &finish.leaf);
    }
    if finish.schedule.trim().is_empty() { refuse("schedule", "is empty; name a finish") } else { Ok(()) }
}

fn check_note(note: &Note) -> Checked {
    let photo = &note.photo;
    if photo.chars().any(char::is_control) || photo.chars().count() > LONGEST_PHOTO {
        return refuse("photo", format!("must be the name of a file, at most {LONGEST_PHOTO} characters on one line"));
    }
    if note.text.trim().is_empty() && photo.trim().is_empty() {
        return refuse("text", "the note is empty");
    }
    let length = note.text.chars().count();
    if length > LONGEST_NOTE {
        return refuse("text", format!("{length} characters; a note has at most {LONGEST_NOTE}"));
    }
    Ok(())
}

fn check_judged(state: &OpeningState, judged: &ReadingJudged) -> Checked {
    if state.gap_between(&judged.between).is_none() {
        return refuse("between", "there is no such gap line in this opening");
    }
    if state.taken_at(judged).is_none() {
        let n = judged.reading;
        return refuse("reading", format!("event {n} has no reading that counts at this station"));
    }
    Ok(())
}

fn check_strike(records: &[Record], state: &OpeningState, strike: &Strike) -> Checked {
    let n = strike.strikes;
    if n == 0 || n > state.last {
        return refuse("strikes", format!("there is no event {n}; events are numbered 1 to {}", state.last));
    }
    if let Some(by) = state.struck.get(&n) {
        return refuse(
            "strikes",
            format!("event {n} is already taken back, by event {by}; strike {by} to bring it back"),
        );
    }
    nothing_astray(records, state, &Event::Strike(strike.clone()), "strikes")
}

pub(super) fn unknown_leaf(state: &OpeningState, field: &str, id: &str) -> Checked {
    let known: Vec<_> = state.leaves.iter().map(|leaf| leaf.what.leaf.as_str()).collect();
    let known = if known.is_empty() { "none yet".to_owned() } else { known.join(", ") };
    refuse(field, format!("no leaf '{}' is described; described are: {known}", clipped(id)))
}

pub(super) fn above_zero(field: &str, length: Length) -> Checked {
    if length > Length::ZERO { Ok(()) } else { refuse(field, "must be more than 0") }
}

pub(super) fn within(field: &str, length: Length, least: Length, most: Length) -> Checked {
    if (least..=most).contains(&length) {
        return Ok(());
    }
    let shown = |length: Length| length.canonical();
    refuse(field, format!("{} is not between {} and {}", shown(length), shown(least), shown(most)))
}

pub(super) fn clipped(text: &str) -> String {
    text.chars().take(60).collect()
}
