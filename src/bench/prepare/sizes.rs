//! Survey, finished sizes and blanks of one opening.

use super::Missing;
use super::stacked::{self, Row};
use crate::before::blank::{Blank, BlankError, LeafToMake};
use crate::before::survey::{Shape, Tape};
use crate::cut::job::Construction;
use crate::fit::length::{Inches, Length, Show};
use crate::fit::opening::Edge;
use crate::shop::OpeningState;
use crate::shop::facing::{Named, pair};

/// A surveyed opening.
#[derive(Clone, Debug, PartialEq)]
pub struct Surveyed {
    /// As measured.
    pub tape: Tape,
    /// As it must be.
    pub shape: Shape,
}

impl Surveyed {
    /// The smallest width and height, exact: the smallest that was read, or what a round side leaves where
    /// that is less (then down to the 1/64 below).
    pub fn smallest(&self) -> [Length; 2] {
        let (width, height) = self.shape.smallest();
        [least(&self.tape.widths, width), least(&self.tape.heights, height)]
    }

    /// What a straight leaf passes, exact: as [`Surveyed::smallest`], less where a side is round and the hollow of the
    /// other made up for it.
    pub fn passage(&self) -> [Length; 2] {
        let ((wide, high), (width, height)) = (self.shape.smallest(), self.shape.passage());
        let [across, up] = self.smallest();
        let passage = |least: Inches, passage: Inches, smallest: Length| {
            // What the tape misread, again.
            if least.get() - passage.get() < MISREAD { smallest } else { down(passage).min(smallest) }
        };
        [passage(wide, width, across), passage(high, height, up)]
    }
}

/// Down to a 1/64.
fn down(inches: Inches) -> Length {
    Inches((inches.get() * 64.0 + 1e-6).floor() / 64.0).length()
}

/// Least squares spreads what the tape misread: a shape that is out by less than this is not trusted beyond the tape.
const MISREAD: f64 = 1.0 / 128.0;

fn least(read: &[Option<Length>; 3], shape: Inches) -> Length {
    let read = read.iter().flatten().min().copied();
    match read {
        Some(read) if shape.get() >= read.inches() - MISREAD => read,
        _ => down(shape),
    }
}

/// The opening's shape, where it was measured and no reading contradicts the rest: what anything may be sawn to.
pub fn sound(state: &OpeningState) -> Result<Surveyed, Missing> {
    let survey = surveyed(state)?;
    let named: Vec<String> = survey.shape.suspects.iter().map(|suspect| format!("the {}", suspect.reading)).collect();
    if named.is_empty() { Ok(survey) } else { Err(Missing::Doubted(named.join(" or "))) }
}

/// The opening's shape, where it was measured, contradictions and all.
pub fn surveyed(state: &OpeningState) -> Result<Surveyed, Missing> {
    let tape = state.survey.as_ref().ok_or(Missing::Survey)?.tape();
    let shape = Shape::from_tape(&tape).map_err(Missing::Shape)?;
    Ok(Surveyed { tape, shape })
}

/// Leaves in a row with leaf `id`, from the left or the lower end, by the gap lines between them; none where their
/// reveals cannot be added up.
pub fn row_of<'a>(state: &'a OpeningState, id: &'a str, low: Edge) -> Option<Row<'a>> {
    let next = |from: &str, edge: Edge| {
        state.gaps.iter().find_map(|gap| match pair(&gap.between).ok()? {
            [Named::Leaf { id: a, edge: side }, Named::Leaf { id: b, .. }] if a == from && side == edge => Some(b),
            [Named::Leaf { id: a, .. }, Named::Leaf { id: b, edge: side }] if b == from && side == edge => Some(a),
            _ => None,
        })
    };
    let mut row = vec![id];
    // A ring of leaves would never end: none is taken twice.
    while let Some(before) = row.first().and_then(|first| next(first, low)).filter(|id| !row.contains(id)) {
        row.insert(0, before);
    }
    while let Some(after) = row.last().and_then(|last| next(last, low.opposite())).filter(|id| !row.contains(id)) {
        row.push(after);
    }
    let gap = |id: &str, edge: Edge| state.wanted_on(id, edge).unwrap_or(Length::ZERO);
    let first = row.first().map_or(Length::ZERO, |first| gap(first, low));
    let gaps = row.iter().try_fold(first, |sum, id| sum.checked_add(gap(id, low.opposite())))?;
    Some(Row { leaves: row, gaps })
}

/// What is left of `whole` for each leaf of a row after the reveals between them and beyond the ends.
fn share(state: &OpeningState, id: &str, low: Edge, whole: Length) -> Result<Length, Missing> {
    let none = || Missing::NoSize(id.to_owned());
    let row = row_of(state, id, low).ok_or_else(none)?;
    if low == Edge::Bottom && stacked::are_said(state, &row) {
        let heights = stacked::heights(state, &row, whole).ok_or_else(none)?;
        let heights = heights.map_err(|misfit| Missing::Heights(Box::new(misfit)))?;
        let place = row.leaves.iter().position(|other| *other == id);
        return place.and_then(|place| heights.get(place).copied()).ok_or_else(none);
    }
    even_share(state, id, low, whole, &row).ok_or_else(none)
}

/// The same where nobody said a height: each gets as much, or as much as its size among theirs.
fn even_share(state: &OpeningState, id: &str, low: Edge, whole: Length, row: &Row<'_>) -> Option<Length> {
    let left = whole.checked_sub(row.gaps)?;
    let row = &row.leaves;
    // Of a blank glued up, what it will be when done: leaves that get unlike allowances are not unlike for that.
    let sizes = row.iter().map(|id| state.making.sizes.get(*id));
    let sizes: Option<Vec<Length>> = sizes.map(|size| size.map(|size| size[usize::from(!low.is_upright())])).collect();
    let share = match sizes {
        // As they were described, where that is what there is.
        Some(sizes) if sizes.iter().try_fold(Length::ZERO, |sum, size| sum.checked_add(*size)) == Some(left) => {
            sizes[row.iter().position(|other| *other == id)?]
        }
        // Fronts of different heights keep their proportion, to the nearest 1/64; the last takes the rest.
        Some(sizes) if sizes.iter().any(|size| *size != sizes[0]) => {
            let sum: f64 = sizes.iter().map(|size| size.inches()).sum();
            let part =
                |size: &Length| Inches(left.inches() * size.inches() / sum).length().rounded(Show::Fraction(64)).0;
            let place = row.iter().position(|other| *other == id)?;
            if place + 1 < row.len() {
                part(&sizes[place])
            } else {
                sizes.iter().take(place).try_fold(left, |rest, size| rest.checked_sub(part(size)))?
            }
        }
        _ => left.checked_scale(1, i64::try_from(row.len()).ok()?)?,
    };
    (share > Length::ZERO).then_some(share)
}

/// Finished width and height of leaf `id`: its share of the opening's smallest measures less the reveals.
pub fn finished_size(state: &OpeningState, survey: &Surveyed, id: &str) -> Result<[Length; 2], Missing> {
    let [width, height] = survey.smallest();
    Ok([share(state, id, Edge::Left, width)?, share(state, id, Edge::Bottom, height)?])
}

/// Width and height of leaf `id` now, or as they will be.
pub fn size(state: &OpeningState, id: &str) -> Option<[Length; 2]> {
    if let Some((width, height)) = state.size_at(id, u32::MAX) {
        return Some([width, height]);
    }
    finished_size(state, &sound(state).ok()?, id).ok()
}

/// A leaf's name in lists of the whole shop.
pub fn list_name(opening: &str, state: &OpeningState, id: &str) -> String {
    if state.leaf_ids().len() > 1 { format!("{opening}, {id}") } else { opening.to_owned() }
}

/// One leaf's blank.
#[derive(Clone, Debug, PartialEq)]
pub struct LeafBlank {
    /// Its short name.
    pub leaf: String,
    /// What is to be made.
    pub make: LeafToMake,
    /// Framed, or solid with its grain.
    pub made: Construction,
    /// Its sizes and parts.
    pub blank: Result<Blank, BlankError>,
}

/// The blank of leaf `id` of the opening called `opening`.
pub fn blank(opening: &str, state: &OpeningState, id: &str) -> Result<LeafBlank, Missing> {
    let survey = sound(state)?;
    let [width, height] = finished_size(state, &survey, id)?;
    let build = state.making.build(id).ok_or_else(|| Missing::Build(id.to_owned()))?;
    let make = LeafToMake {
        name: list_name(opening, state, id),
        width,
        height,
        thickness: build.thickness,
        construction: build.construction(),
        allowance: build.allowance,
        trimmed: build.trimmed,
    };
    Ok(LeafBlank { leaf: id.to_owned(), made: build.made(), blank: make.blank(), make })
}
