//! Leaves of one nominal size: which opening would take least wood off each.

use super::sizes;
use crate::before::assign::{Assignment, LeafMeasure, MOST, OpeningWanted, Pairing, assign, pairing};
use crate::bench::leaf_sizes::Sizes;
use crate::cut::job::Construction;
use crate::fit::length::{Inches, Length, SquareInches};
use crate::fit::opening::{Edge, Motion, Side};
use crate::shop::OpeningState;
use crate::shop::replay::Stage;
use crate::shop::settings::Settings;
use crate::shop::summary::WholeOpening;

/// Openings whose smallest width and height differ by no more than this are of one nominal size
/// (a guess, no source).
pub const ONE_SIZE: (i64, i64) = (1, 4);

/// What a tape may misread, along a whole edge: leaves change places only for more wood than that makes.
const MISREAD: f64 = crate::before::survey::TAPE_SD;

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
    pub as_is: Vec<Pairing>,
}

impl SizeGroup {
    /// Is every leaf best where it is?
    pub fn stays(&self) -> bool {
        self.leaves == self.best.opening
    }
}

/// A leaf that may be moved with its opening: what must be alike for two to change places.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Kind {
    hinge: Option<Side>,
    thickness: Option<Length>,
    made: Construction,
}

impl Kind {
    fn of(state: &OpeningState, id: &str) -> Self {
        let described = state.leaf(id).and_then(|leaf| leaf.thickness);
        let thickness = described.or_else(|| state.making.build(id).map(|build| build.thickness));
        Self { hinge: state.hinge_of(id), thickness, made: state.made(id) }
    }

    /// Why a leaf of this kind cannot hang in the place of `other`; none where nothing known speaks against it.
    fn unlike(&self, other: &Self) -> Option<&'static str> {
        match (self.hinge, other.hinge) {
            (Some(one), Some(other)) if one != other => return Some("hinged on the other side"),
            (Some(_), None) | (None, Some(_)) => return Some("one hangs on hinges, the other does not"),
            _ => {}
        }
        if self.thickness.zip(other.thickness).is_some_and(|(one, other)| one != other) {
            return Some("of another thickness");
        }
        let said = |made: Construction| made != Construction::Unsaid;
        (said(self.made) && said(other.made) && self.made != other.made).then_some("made otherwise")
    }
}

/// An opening with one leaf, measured and not begun.
struct Candidate<'a> {
    opening: &'a WholeOpening,
    wanted: OpeningWanted,
    smallest: [Length; 2],
    kind: Kind,
}

impl Candidate<'_> {
    fn is_of_size(&self, other: &Self) -> bool {
        let near = |a: Length, b: Length| (a.inches() - b.inches()).abs() <= ONE_SIZE.0 as f64 / ONE_SIZE.1 as f64;
        near(self.smallest[0], other.smallest[0]) && near(self.smallest[1], other.smallest[1])
    }
}

/// The opening as a candidate, or why it is left out; neither where it has no leaf at all.
fn candidate(opening: &WholeOpening) -> Option<Result<Candidate<'_>, String>> {
    let state = &opening.state;
    let [id] = state.leaf_ids()[..] else {
        let several = || Err("more than one leaf: they are made for each other".to_owned());
        return (!state.leaf_ids().is_empty()).then(several);
    };
    if matches!(state.stage(), Stage::Fitted { .. } | Stage::Settled { .. })
        || state.rounds.iter().any(|round| !round.cuts.is_empty())
    {
        return Some(Err("its leaf is cut or fitted already".to_owned()));
    }
    if matches!(state.leaf(id).map(|leaf| &leaf.motion), Some(Motion::Hung(_))) {
        return Some(Err("its leaf hangs on its hinges already".to_owned()));
    }
    let survey = match sizes::sound(state) {
        Ok(survey) => survey,
        Err(why) => return Some(Err(why.to_string())),
    };
    let target = |edge| state.target_on(id, edge).unwrap_or(Length::ZERO);
    let both = |one: Edge, other: Edge| target(one).checked_add(target(other)).unwrap_or(Length::ZERO);
    let smallest = survey.smallest();
    let (across, up) = (both(Edge::Left, Edge::Right), both(Edge::Bottom, Edge::Top));
    let wanted = OpeningWanted { shape: survey.shape, across, up };
    Some(Ok(Candidate { opening, wanted, smallest, kind: Kind::of(state, id) }))
}

/// Suggestions for every nominal size that two or more openings with one leaf share, and what was left
/// out, with why. Leaves that were cut, fitted or hung already keep their place, and only leaves of one kind (hinge
/// side, thickness, how made) change theirs.
pub fn suggest(openings: &[WholeOpening], settings: &Settings) -> (Vec<SizeGroup>, Vec<(String, String)>) {
    let mut left_out = Vec::new();
    let mut groups: Vec<Vec<Candidate<'_>>> = Vec::new();
    // Openings that would have had company but for what is said.
    let mut unlike: Vec<(String, String)> = Vec::new();
    for opening in openings {
        if let Some(trouble) = &opening.trouble {
            left_out.push((opening.name.clone(), trouble.clone()));
            continue;
        }
        let one = match candidate(opening) {
            Some(Ok(one)) => one,
            Some(Err(why)) => {
                left_out.push((opening.name.clone(), why));
                continue;
            }
            None => continue,
        };
        let mut place = None;
        for (at, group) in groups.iter().enumerate() {
            if !group.first().is_some_and(|first| first.is_of_size(&one)) {
                continue;
            }
            let why = group.iter().find_map(|other| Some((other, one.kind.unlike(&other.kind)?)));
            match why {
                Some((other, why)) => {
                    unlike
                        .push((opening.name.clone(), format!("not to be swapped with {}: {why}", other.opening.name)));
                }
                None if group.len() < MOST => place = place.or(Some(at)),
                None => {}
            }
        }
        match place.and_then(|at| groups.get_mut(at)) {
            Some(group) => group.push(one),
            None => groups.push(vec![one]),
        }
    }
    let found = groups.iter().filter_map(|group| of_group(group, settings)).collect();
    left_out.extend(unlike);
    (found, left_out)
}

fn of_group(group: &[Candidate<'_>], settings: &Settings) -> Option<SizeGroup> {
    let mut leaves = Vec::new();
    let mut measures = Vec::new();
    for (place, one) in group.iter().enumerate() {
        let state = &one.opening.state;
        let Some(leaf) = state.leaf_ids().first().and_then(|id| state.leaf(id)) else { continue };
        let Some(sizes) = Sizes::of(state, &leaf.leaf) else { continue };
        leaves.push(place);
        measures.push(LeafMeasure {
            widths: sizes.width.map(Inches::length),
            heights: sizes.height.map(Inches::length),
            may_cut: leaf.may_cut,
        });
    }
    if leaves.len() < 2 {
        return None;
    }
    let wanted: Vec<OpeningWanted> = group.iter().map(|one| one.wanted.clone()).collect();
    let mut best = assign(&measures, &wanted, settings.tolerance).ok()?;
    let pairing = |(leaf, &place): (&LeafMeasure, &usize)| wanted.get(place).map(|wanted| pairing(leaf, wanted));
    let as_is: Vec<Pairing> = measures.iter().zip(&leaves).filter_map(pairing).collect();
    if !is_worth_it(&best, &as_is, group, settings.tolerance) {
        let wood = SquareInches(as_is.iter().map(|stays| stays.wood.0).sum());
        best = Assignment { opening: leaves.clone(), pairings: as_is.clone(), wood };
    }
    let openings = group.iter().map(|one| one.opening.name.clone()).collect();
    Some(SizeGroup { openings, leaves, best, as_is })
}

/// Does it save what the tape could tell: wood off a whole height of the lowest opening, or that much of a leaf that is
/// too short or too large beyond the tolerance?
fn is_worth_it(best: &Assignment, as_is: &[Pairing], group: &[Candidate<'_>], tolerance: Length) -> bool {
    let beyond = |by: Inches| (by.get() - tolerance.inches()).max(0.0);
    let lack = |all: &[Pairing]| all.iter().map(|one| beyond(one.short) + beyond(one.stuck)).sum::<f64>();
    let edge = group.iter().map(|one| one.smallest[1].inches()).fold(f64::INFINITY, f64::min);
    let wood = as_is.iter().map(|stays| stays.wood.0).sum::<f64>() - best.wood.0;
    let lacks_less = lack(as_is) - lack(&best.pairings);
    lacks_less >= MISREAD || (lacks_less >= -1e-9 && wood >= MISREAD * edge)
}
