//! What practice says.

use super::Ended;
use super::door::Took;
use super::outcome::Outcome;
use crate::bench::readings::key_of;
use crate::bench::stations::StationPlace;
use crate::bench::words::counted;
use crate::bench::{Session, sheet_words};
use crate::fit::estimate::Method;
use crate::fit::length::{Inches, Length, Show, Unit};
use crate::fit::opening::Edge;
use crate::shop::event::ReadingStored;

/// Doors are numbered from 0 to one less.
pub const DOORS: u64 = 100_000;

/// Said at the start.
pub const NOTHING_IS_KEPT: &str = "practice: nothing of it is kept; Esc leaves it, x takes it up again";
/// What is not there in practice.
pub const NOT_IN_PRACTICE: &str = "not in practice: nothing of a made-up door is kept, printed or set";
/// A cut is never taken back.
pub const NO_WAY_BACK: &str = "a cut cannot be taken back, here as at the saw: wood does not go back on";
/// A leaf cannot be altered.
pub const NO_STRIP: &str =
    "at a made-up door no strip is glued on and no leaf made anew: e ends it, then n begins another";
/// A reading or a plan was taken in.
pub const TAKEN_IN: &str = "taken in, for practice only";
/// A cut was made.
pub const CUT: &str =
    "cut, with the saw's or plane's own spread: hold the leaf in its opening again to see what came off";
/// Nothing is left to read.
pub const ALL_READ: &str = "everything is read in this round, and nothing is asked for again";
/// Nothing was read yet.
pub const READ_FIRST: &str = "hold the leaf in its opening first: r reads the gaps, a lets all be read";
/// The edge was cut already.
pub const CUT_ALREADY: &str = "that edge was cut in this round: read the gaps again before it is cut again";
/// The bottom stays.
pub const BOTTOM_STAYS: &str = "the bottom edge of this door must stay as it is";
/// While the other door is done.
pub const COMPARING: &str = "measuring the true gaps, and fitting the same door by the tool's own advice";
/// What the page is, before anything is read.
pub const ABOUT: [&str; 3] = [
    "A made-up door with invented errors. Each round the leaf sits anew.",
    "r: try the feelers at each station; a: let all stations be read at once.",
    "p: the tool's plan and set-ups; o: your own cut; e: how it really ended.",
];
/// Label of a choice.
pub const ASK_EDGE: &str = "edge to cut";
/// Its help.
pub const HINT_CHOOSE: &str = "left and right choose";
/// Its help.
pub const HINT_OFF: &str = "like 1/16; 0: nothing at this end";
/// Label of a choice.
pub const ASK_TOOL: &str = "meant for";
/// Title of the form.
pub const OWN_CUT: &str = "a cut of your own: the set-up sheet and its cautions come next";
/// Labels for the two ends.
pub const OFF_ENDS: [&str; 2] = ["off the lower or left end", "off the upper or right end"];

/// The door's name.
pub fn name(seed: u64) -> String {
    format!("practice door {seed}")
}

/// What the feelers find at the station of the reading that is taken; none outside practice.
pub fn felt(session: &Session, station: &StationPlace) -> Option<String> {
    let practice = session.practice.as_ref().filter(|_| super::is_on(session))?;
    let (feelers, show) = (&session.shop.settings.feelers, session.shop.show());
    let stored = practice.door.feel(station, feelers);
    let with_key = |feeler: Length| {
        let key = feelers.iter().position(|own| *own == feeler).and_then(key_of);
        format!("{}{}", feeler.shown(show), key.map_or_else(String::new, |key| format!(" ({key})")))
    };
    Some(match (stored.goes, stored.stops) {
        (Some(goes), Some(stops)) if goes.is_zero() => {
            format!("practice: here not even {} goes (Space)", stops.shown(show))
        }
        (Some(goes), Some(stops)) => format!("practice: here {} goes, {} stops", with_key(goes), with_key(stops)),
        _ => format!("practice: here it {}", told(&stored, show)),
    })
}

/// What no feeler tells: a gap by the gauge, or a lap.
fn told(stored: &ReadingStored, show: Show) -> String {
    match (stored.gap, stored.lap) {
        (Some(gap), _) => format!("reads {} by the gauge: type it", gap.shown(show)),
        (_, Some(lap)) => format!("laps {0}: type -{0}", lap.shown(show)),
        _ => "reads nothing".to_owned(),
    }
}

/// Thousandths of an inch, or hundredths of a millimetre: what a fraction would hide.
fn fine(inches: Inches, show: Show) -> String {
    let small = sheet_words::small(inches, show);
    let unit = if show.unit() == Unit::Inch { " in" } else { "" };
    format!("{}{unit}", small.trim_start_matches('+'))
}

fn done(outcome: &Outcome) -> String {
    format!(
        "{}, {} at the saw, {} planed, {}",
        counted(outcome.rounds, "round"),
        counted(outcome.saw, "cut"),
        counted(outcome.plane, "edge"),
        counted(outcome.readings, "reading"),
    )
}

/// How true the gaps came, in a few large words.
pub fn big(ended: &Ended) -> &'static str {
    match &ended.yours {
        Outcome { too_deep: Some(_), .. } => "Cut too deep",
        Outcome { fits: true, .. } => "It fits",
        _ => "Not there yet",
    }
}

fn true_miss(outcome: &Outcome, show: Show) -> String {
    let worst = fine(outcome.worst, show);
    if outcome.fits { format!("fits, worst true gap off by {worst}") } else { format!("worst true gap off by {worst}") }
}

/// How it ended, against the tool's own advice.
pub fn compared(ended: &Ended, show: Show) -> Vec<String> {
    let Ended { yours, tools, .. } = ended;
    let mut lines = vec![
        format!("You: {}: {}.", done(yours), true_miss(yours, show)),
        format!("The tool's own advice, same door and same luck: {}: {}.", done(tools), true_miss(tools, show)),
        rounds(yours, tools),
    ];
    lines.push(match &yours.too_deep {
        None => "Cut too deep: nowhere.".to_owned(),
        Some((edges, off)) => {
            let at = if edges.is_empty() { String::new() } else { format!(" ({})", edge_words(edges)) };
            format!("Cut too deep{at}: whatever is cut now, a gap stays off by {}.", fine(*off, show))
        }
    });
    if !yours.fits && yours.too_deep.is_none() {
        lines.push("More cutting can still bring it within tolerance: Esc goes on with it.".to_owned());
    }
    lines
}

fn rounds(yours: &Outcome, tools: &Outcome) -> String {
    if !yours.fits {
        return format!("Advice needed {} to its end.", counted(tools.rounds, "round"));
    }
    match (yours.rounds, tools.rounds) {
        (own, all) if own == all => "As many rounds as the advice needed.".to_owned(),
        (own, all) if own > all => format!("{} more than the advice needed.", counted(own - all, "round")),
        // The advice does not see the true gaps: it goes on until its readings leave no doubt.
        (_, all) => {
            let right = match (yours.right_after, tools.right_after) {
                (Some(own), Some(advised)) if own < advised => {
                    format!(" Its gaps were true after round {advised}, yours after round {own}.")
                }
                (_, Some(advised)) => format!(" Its gaps were true after round {advised}, too."),
                _ => String::new(),
            };
            format!(
                "You stopped before the feelers could be sure of it; the advice took {} to be.{right}",
                counted(all, "round")
            )
        }
    }
}

fn edge_words(edges: &[Edge]) -> String {
    let words: Vec<&str> = edges.iter().map(|edge| edge.word()).collect();
    words.join(" and ")
}

/// Over the list of cuts.
pub const TOOK: &str = "Cuts as they came out (+: took more than meant):";

/// A cut as it really came out, on one line.
pub fn took(one: &Took, show: Show) -> String {
    let (low, high) = sheet_words::ends(one.edge);
    let by = match one.method {
        Method::Saw => "saw",
        Method::Plane => "plane",
    };
    let off = |place: usize| sheet_words::small(Inches(one.took[place].0 - one.meant[place].0), show);
    let [start, end] = one.meant.map(|meant| meant.length().shown_down(show));
    let (Took { round, edge, .. }, first, last) = (one, off(0), off(1));
    format!("round {round}, {edge}, {by}: meant {start}, {end}; off by {first} {low}, {last} {high}")
}
