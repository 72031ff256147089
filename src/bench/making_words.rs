//! Words for what comes before hanging: survey, build, cut list, season, swing, flush.

use crate::cut::job::Construction;
use crate::fit::length::{Length, Show};
use crate::shop::OpeningState;
use crate::shop::event::{Event, SurveyTaken};
use crate::shop::making::{BuildDescribed, Grain, LeafToCome};

/// An event from before hanging, in words; empty for any other.
pub fn event(event: &Event, show: Show) -> String {
    match event {
        Event::Survey(survey) => format!("opening measured: {}", survey_words(survey, show)),
        Event::Build(build) => format!("{} will be {}", build.leaf, build_words(build, show)),
        Event::Heights(told) => {
            let wanted = told.leaves.iter().map(|leaf| (leaf.leaf.as_str(), leaf.height, leaf.share));
            format!("heights of the fronts: {}", heights(wanted, show))
        }
        Event::Pin(told) => {
            let thick = told.thickness.map_or_else(String::new, |by| format!("; {} thick", by.shown(show)));
            let way = |by: Length, [out, within]: [&str; 2]| {
                format!("{} {}", by.abs().shown(show), if by.is_negative() { within } else { out })
            };
            let off = way(told.off_edge, ["off the edge", "within the edge"]);
            let front = way(told.in_front, ["in front", "behind the face"]);
            format!("pin of {} {off}, {front}{thick}", told.leaf)
        }
        Event::Part(part) => {
            let done = match &part.size {
                Some(to) => {
                    let size = [to.length, to.width, to.thickness].map(|size| size.sized(show));
                    format!("sawn to {}", size.join(" x "))
                }
                None if part.done => "sawn".to_owned(),
                None => "not sawn after all".to_owned(),
            };
            format!("{} of {}: {done}", part.part.word(), part.leaf)
        }
        Event::Reveal(reveal) => {
            let gaps = reveal.gaps.iter().map(|gap| {
                let [one, other] = &gap.between;
                format!("{one}-{other} {} for {}", gap.target.shown_with_error(show), gap.finished.shown(show))
            });
            format!("reveals to fit to: {}", gaps.collect::<Vec<_>>().join(", "))
        }
        _ => String::new(),
    }
}

/// Heights wanted, from the top: `C 9, B 2 parts, A the rest`. `wanted` has them from below.
pub fn heights<'a>(
    wanted: impl DoubleEndedIterator<Item = (&'a str, Option<Length>, Option<u32>)>,
    show: Show,
) -> String {
    let each = wanted.rev().map(|(id, height, share)| match (height, share) {
        (Some(height), _) => format!("{id} {}", height.sized(show)),
        (None, Some(share)) => format!("{id} {}", super::words::counted(share as usize, "part")),
        (None, None) => format!("{id} the rest"),
    });
    each.collect::<Vec<_>>().join(", ")
}

/// Heights wanted of the leaves that an opening names as to be made; empty where none was said.
pub fn to_come(leaves: &[LeafToCome], show: Show) -> String {
    if leaves.iter().all(|leaf| leaf.height.is_none() && leaf.share.is_none()) {
        return String::new();
    }
    let wanted = leaves.iter().map(|leaf| (leaf.leaf.as_str(), leaf.height, leaf.share));
    format!(", heights {}", heights(wanted, show))
}

/// Why nothing can be read: no leaf has a size, or these have none.
pub fn no_size_yet(state: &OpeningState) -> String {
    if state.leaves.is_empty() {
        return super::words::NO_LEAF_YET.to_owned();
    }
    format!("no size yet: {}. Take each blank as its leaf first (b, then a)", state.without_size().join(", "))
}

/// The lengths of a survey; `-` where one was left out.
pub fn survey_words(survey: &SurveyTaken, show: Show) -> String {
    let tape = survey.tape();
    let list = |name: &str, lengths: &[Option<Length>]| {
        if lengths.iter().all(Option::is_none) {
            return None;
        }
        let each = lengths.iter().map(|length| length.map_or_else(|| "-".to_owned(), |length| length.shown(show)));
        Some(format!("{name} {}", each.collect::<Vec<_>>().join(", ")))
    };
    let lists = [
        list("widths", &tape.widths),
        list("heights", &tape.heights),
        list("diagonals", &tape.diagonals),
        list("bows", &tape.bows),
    ];
    lists.into_iter().flatten().collect::<Vec<_>>().join("; ")
}

/// How a leaf is made, after its size: of a solid one, how its grain runs.
pub fn made(made: Construction) -> &'static str {
    match made {
        Construction::Framed => ", framed",
        Construction::SolidAcross => ", grain level",
        Construction::SolidUpright => ", grain upright",
        Construction::Unsaid => "",
    }
}

/// How a leaf is made, in a line.
pub fn build_words(build: &BuildDescribed, show: Show) -> String {
    let what = match (&build.frame, build.grain) {
        (Some(frame), _) => {
            let two = |[one, other]: [Length; 2]| {
                if one == other { one.shown(show) } else { format!("{} and {}", one.shown(show), other.shown(show)) }
            };
            format!("framed, stiles {}, rails {}", two(frame.stiles), two(frame.rails))
        }
        (None, Grain::Level) => "solid, grain level".to_owned(),
        (None, Grain::Upright) => "solid, grain upright".to_owned(),
    };
    let wood = if build.species.is_empty() { String::new() } else { format!(", {}", build.species) };
    format!("{what}, {} thick{wood}", build.thickness.shown(show))
}
