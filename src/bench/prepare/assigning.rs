//! Leaves of one nominal size: which opening would take least wood off each.

use super::sizes;
use crate::before::assign::{Assignment, LeafMeasure, MOST, OpeningWanted, assign};
use crate::fit::length::Length;
use crate::fit::opening::Edge;
use crate::shop::replay::Stage;
use crate::shop::settings::Settings;
use crate::shop::summary::WholeOpening;

/// Openings whose smallest width and height differ by no more than this are of one nominal size
/// (a guess, no source).
pub const ONE_SIZE: (i64, i64) = (1, 4);

/// Openings of one nominal size with their leaves.
#[derive(Clone, Debug, PartialEq)]
pub struct SizeGroup {
    /// Names of the openings, in the order of the places in `best`.
    pub openings: Vec<String>,
    /// For each leaf, the opening it is described in.
    pub leaves: Vec<usize>,
    /// The suggestion.
    pub best: Assignment,
    /// What leaving each leaf where it is described would take.
    pub as_is: Vec<crate::before::assign::Pairing>,
}

impl SizeGroup {
    /// Is every leaf best where it is?
    pub fn stays(&self) -> bool {
        self.leaves == self.best.opening
    }
}

/// Suggestions for every nominal size that two or more openings with one leaf share, and what was left
/// out, with why. Leaves that were cut or fitted already keep their place.
pub fn suggest(openings: &[WholeOpening], settings: &Settings) -> (Vec<SizeGroup>, Vec<(String, String)>) {
    let mut left_out = Vec::new();
    let mut groups: Vec<Vec<(&WholeOpening, OpeningWanted, [Length; 2])>> = Vec::new();
    for opening in openings {
        let state = &opening.state;
        let mut leave_out = |why: &str| left_out.push((opening.name.clone(), why.to_owned()));
        let [id] = state.leaf_ids()[..] else {
            if !state.leaf_ids().is_empty() {
                leave_out("more than one leaf: they are made for each other");
            }
            continue;
        };
        if matches!(state.stage(), Stage::Fitted { .. } | Stage::Settled { .. })
            || state.rounds.iter().any(|round| !round.cuts.is_empty())
        {
            leave_out("its leaf is cut or fitted already");
            continue;
        }
        let survey = match sizes::sound(state) {
            Ok(survey) => survey,
            Err(why) => {
                leave_out(&why.to_string());
                continue;
            }
        };
        let target = |edge| state.target_on(id, edge).unwrap_or(Length::ZERO);
        let both = |one: Edge, other: Edge| target(one).checked_add(target(other)).unwrap_or(Length::ZERO);
        let smallest = survey.smallest();
        let wanted = OpeningWanted {
            shape: survey.shape,
            across: both(Edge::Left, Edge::Right),
            up: both(Edge::Bottom, Edge::Top),
        };
        let near = |a: Length, b: Length| (a.inches() - b.inches()).abs() <= ONE_SIZE.0 as f64 / ONE_SIZE.1 as f64;
        let group = groups.iter_mut().find(|group| {
            group.first().is_some_and(|(_, _, size)| near(size[0], smallest[0]) && near(size[1], smallest[1]))
        });
        match group {
            Some(group) if group.len() < MOST => group.push((opening, wanted, smallest)),
            Some(_) | None => groups.push(vec![(opening, wanted, smallest)]),
        }
    }
    let found = groups.into_iter().filter_map(|group| of_group(&group, settings)).collect();
    (found, left_out)
}

fn of_group(group: &[(&WholeOpening, OpeningWanted, [Length; 2])], settings: &Settings) -> Option<SizeGroup> {
    let mut leaves = Vec::new();
    let mut measures = Vec::new();
    for (place, (opening, ..)) in group.iter().enumerate() {
        let state = &opening.state;
        if let Some((width, height)) = state.leaf_ids().first().and_then(|id| state.size_at(id, u32::MAX)) {
            leaves.push(place);
            measures.push(LeafMeasure { widths: [width; 2], heights: [height; 2] });
        }
    }
    if leaves.len() < 2 {
        return None;
    }
    let wanted: Vec<OpeningWanted> = group.iter().map(|(_, wanted, _)| wanted.clone()).collect();
    let best = assign(&measures, &wanted, settings.tolerance).ok()?;
    let pairing = |(leaf, &place): (&LeafMeasure, &usize)| {
        wanted.get(place).map(|wanted| crate::before::assign::pairing(leaf, wanted))
    };
    let as_is = measures.iter().zip(&leaves).filter_map(pairing).collect();
    let openings = group.iter().map(|(opening, ..)| opening.name.clone()).collect();
    Some(SizeGroup { openings, leaves, best, as_is })
}
