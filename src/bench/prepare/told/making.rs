//! Survey and blank in lines.

use super::{Told, Weight, say};
use crate::before::blank::Part;
use crate::before::blank::tick::Tick;
use crate::before::survey::Tape;
use crate::bench::prepare::sizes::{LeafBlank, Surveyed};
use crate::cut::job::Construction;
use crate::fit::length::{Inches, Length, Show};
use crate::shop::OpeningState;

/// Least that is worth saying of a shape.
const WORTH_SAYING: f64 = 1.0 / 64.0;

/// A survey: sizes and what is out; of one whose readings contradict each other, those readings alone: the shape that
/// they make together is nobody's opening.
pub fn survey(survey: &Surveyed, show: Show) -> Vec<Told> {
    let shape = &survey.shape;
    if !shape.suspects.is_empty() {
        return doubted(survey, show);
    }
    let three = |lengths: [Inches; 3]| lengths.map(|length| length.shown(show));
    let [bottom, middle, top] = three(shape.widths());
    let [left, centre, right] = three(shape.heights());
    let mut lines = Vec::new();
    let findings = shape.findings(Inches(WORTH_SAYING));
    if findings.is_empty() {
        lines.push(say(
            Weight::Next,
            format!("square, parallel and straight within {}", Inches(WORTH_SAYING).shown(show)),
        ));
    }
    for (place, finding) in findings.iter().enumerate() {
        lines.push(say(if place == 0 { Weight::Next } else { Weight::Text }, finding.says(show)));
    }
    lines.push(say(Weight::Text, format!("widths  bottom {bottom}, middle {middle}, top {top}")));
    lines.push(say(Weight::Text, format!("heights left {left}, middle {centre}, right {right}")));
    let size = |[width, height]: [Length; 2]| format!("{} x {}", width.sized(show), height.sized(show));
    let (smallest, passage) = (survey.smallest(), survey.passage());
    lines.push(say(Weight::Text, format!("a leaf must pass {}", size(passage))));
    if passage != smallest {
        let text = format!("(smallest measures {}; a straight edge gains nothing by a hollow)", size(smallest));
        lines.push(say(Weight::Quiet, text));
    }
    let assumed = shape.assumed;
    for (is, text) in [
        (assumed.square, "no diagonal was measured: taken as square"),
        (assumed.sides_parallel, "one width only: sides taken as parallel"),
        (assumed.ends_parallel, "one height only: top and bottom taken as parallel"),
    ] {
        if is {
            lines.push(say(Weight::Quiet, text));
        }
    }
    lines
}

/// What contradicts itself: which readings may be mistaken, and all of them as they were read.
fn doubted(survey: &Surveyed, show: Show) -> Vec<Told> {
    let mut lines = Vec::new();
    match survey.shape.suspects.as_slice() {
        [one] => lines.push(say(
            Weight::Caution,
            format!(
                "! measure again: the {}, read {}, should be about {} by the others (or leave it out)",
                one.reading,
                one.read.shown(show),
                one.expected.shown(show)
            ),
        )),
        several => {
            let each = several.iter().map(|suspect| {
                format!("the {} ({}, not {})", suspect.reading, suspect.expected.shown(show), suspect.read.shown(show))
            });
            let each: Vec<_> = each.collect();
            lines.push(say(Weight::Caution, format!("! one of these is mistaken, measure again: {}", each.join("; "))));
        }
    }
    let read = |lengths: &[Option<Length>]| {
        let each = lengths.iter().map(|length| length.map_or_else(|| "-".to_owned(), |length| length.shown(show)));
        each.collect::<Vec<_>>().join(", ")
    };
    let Tape { widths, heights, diagonals, .. } = &survey.tape;
    for (what, lengths) in [("widths", &widths[..]), ("heights", &heights[..]), ("diagonals", &diagonals[..])] {
        lines.push(say(Weight::Text, format!("{what} as read: {}", read(lengths))));
    }
    lines.push(say(Weight::Caution, "! no shape and no size to saw to until the readings agree"));
    lines
}

/// A part of a blank in a line, with its box; after it what it was sawn to, where that is not its size.
pub fn part(part: &Part, tick: Tick, show: Show) -> String {
    let note = tick.note(part, show);
    format!(
        "[{}] {} {:<11} {} x {} x {}{}{note}",
        tick.mark(),
        part.count,
        part.words(),
        part.length.sized(show),
        part.width.sized(show),
        part.thickness.sized(show),
        if note.is_empty() { "" } else { "  ! " }
    )
}

/// A leaf's blank without its parts: sizes and allowances, and whether it is glued up.
pub fn blank(leaf: &LeafBlank, state: &OpeningState, show: Show) -> Vec<Told> {
    let blank = match &leaf.blank {
        Ok(blank) => blank,
        Err(why) => return vec![say(Weight::Caution, format!("! {why}"))],
    };
    let size = |[width, height]: [Length; 2]| format!("{} x {}", width.sized(show), height.sized(show));
    let edges =
        crate::fit::opening::Edge::ALL.map(|edge| format!("{edge} {}", leaf.make.allowance_on(edge).sized(show)));
    let mut lines = vec![
        say(Weight::Next, format!("{}: finished {}, rough {}", leaf.leaf, size(blank.finished), size(blank.rough))),
        say(Weight::Text, format!("to spare: {}", edges.join(", "))),
    ];
    match leaf.made {
        Construction::SolidAcross => lines.push(say(Weight::Text, "solid, grain level: along its width")),
        Construction::SolidUpright => lines.push(say(Weight::Text, "solid, grain upright: along its height")),
        Construction::Framed | Construction::Unsaid => {}
    }
    if state.is_glued_up(&leaf.leaf) {
        let ticked =
            |part: &&Part| state.making.parts.get(&(leaf.leaf.clone(), part.kind)).is_some_and(|told| told.done);
        let unticked = blank.parts.iter().filter(|part| !ticked(part)).count();
        let of_those = match unticked {
            0 => String::new(),
            1 => ", the line that nobody ticked too".to_owned(),
            lines => format!(", the {lines} lines that nobody ticked too"),
        };
        lines.push(say(Weight::Text, format!("glued up: its parts count as sawn{of_those}")));
    }
    lines
}
