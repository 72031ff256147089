//! The walk round the leaves: every station once, clockwise from the hinge side's top.

use crate::fit::length::{Length, Show};
use crate::fit::opening::{Edge, Side, near_corner};
use crate::shop::OpeningState;
use crate::shop::facing;

/// Where along its edge a station lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spot {
    /// Near the lower or left corner.
    Low,
    /// In the middle.
    Middle,
    /// Near the upper or right corner.
    High,
}

/// A station to read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StationPlace {
    /// Place in the list of gap lines.
    pub gap: usize,
    /// Place in the list of leaves.
    pub leaf: usize,
    /// Which edge of that leaf.
    pub edge: Edge,
    /// Where along it.
    pub spot: Spot,
    /// Distance from the edge's lower or left end.
    pub at: Length,
}

impl StationPlace {
    /// `left, top`; `top, middle`.
    pub fn words(&self) -> String {
        let spot = match (self.spot, self.edge.is_upright()) {
            (Spot::Middle, _) => "middle",
            (Spot::Low, true) => "bottom",
            (Spot::High, true) => "top",
            (Spot::Low, false) => "left",
            (Spot::High, false) => "right",
        };
        format!("{} edge, {spot}", self.edge)
    }
}

/// Where a station lies, as far as a feeler needs to know: to the shop's step, or the whole millimetre.
pub fn shown(at: Length, show: Show) -> String {
    match show {
        Show::Millimetre(_) => at.shown(Show::Millimetre(0)),
        Show::Fraction(_) | Show::DecimalInch(_) => at.shown(show),
    }
}

/// Edges clockwise from the top of the hinge side, each with the direction in which it is walked
/// (true: from its lower or left end). The hinge edge of a left-hung leaf is walked upwards, so its
/// top station comes first and the rest of it last.
fn clockwise(hinge: Option<Side>) -> [(Edge, &'static [Spot]); 5] {
    use Spot::{High, Low, Middle};
    match hinge {
        Some(Side::Right) => [
            (Edge::Right, &[High, Middle, Low]),
            (Edge::Bottom, &[High, Middle, Low]),
            (Edge::Left, &[Low, Middle, High]),
            (Edge::Top, &[Low, Middle, High]),
            (Edge::Right, &[]),
        ],
        Some(Side::Left) | None => [
            (Edge::Left, &[High]),
            (Edge::Top, &[Low, Middle, High]),
            (Edge::Right, &[High, Middle, Low]),
            (Edge::Bottom, &[High, Middle, Low]),
            (Edge::Left, &[Low, Middle]),
        ],
    }
}

/// All stations of round `round`, leaf by leaf. A gap between two leaves is walked with the leaf
/// that its stations are measured along.
pub fn walk(state: &OpeningState, round: u32) -> Vec<StationPlace> {
    let mut stations = Vec::new();
    for (leaf, said) in state.leaves.iter().enumerate() {
        let id = said.what.leaf.as_str();
        for (edge, spots) in clockwise(said.what.hinge) {
            let Some(length) = state.edge_at(id, edge, round) else { continue };
            let lines = state.gaps.iter().enumerate();
            for (gap, _) in lines.filter(|(_, line)| facing::measured_along(&line.between) == Some((id, edge))) {
                for &spot in spots {
                    if let Some(at) = place(length, spot) {
                        stations.push(StationPlace { gap, leaf, edge, spot, at });
                    }
                }
            }
        }
    }
    stations
}

/// Stations of different rounds as near as this are one station (a cut edge moves its corner).
const SAME: (i64, i64) = (1, 4);

/// The station of a walk at or near `at` of gap line `gap`; where the walk has none, one at `at` itself.
pub fn near(walk: &[StationPlace], gap: usize, at: Length) -> Option<StationPlace> {
    let apart = |station: &StationPlace| station.at.checked_sub(at).map(Length::abs);
    let on_line = || walk.iter().filter(|station| station.gap == gap);
    let nearest = on_line().filter_map(|station| Some((apart(station)?, station))).min_by_key(|(apart, _)| *apart);
    let (distance, nearest) = nearest?;
    let exact = if distance <= Length::ratio(SAME.0, SAME.1) { nearest.at } else { at };
    Some(StationPlace { at: exact, ..nearest.clone() })
}

fn place(length: Length, spot: Spot) -> Option<Length> {
    let near = near_corner(length)?;
    match spot {
        Spot::Low => Some(near),
        Spot::Middle => length.checked_scale(1, 2),
        Spot::High => length.checked_sub(near),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_edge_keeps_its_stations_apart() {
        let six = Length::ratio(3, 1);
        assert_eq!(place(six, Spot::Low), Some(Length::ratio(3, 4)));
        assert_eq!(place(six, Spot::High), Some(Length::ratio(9, 4)));
        let long = Length::ratio(26, 1);
        assert_eq!(place(long, Spot::Low), Some(Length::ratio(1, 1)));
        assert_eq!(place(long, Spot::Middle), Some(Length::ratio(13, 1)));
        assert_eq!(place(long, Spot::High), Some(Length::ratio(25, 1)));
    }

    #[test]
    fn both_walks_meet_each_station_once() {
        for hinge in [None, Some(Side::Left), Some(Side::Right)] {
            let mut met: Vec<_> = clockwise(hinge)
                .iter()
                .flat_map(|(edge, spots)| spots.iter().map(move |spot| (*edge, *spot as u8)))
                .collect();
            met.sort_unstable();
            met.dedup();
            assert_eq!(met.len(), 12, "{hinge:?}");
        }
    }
}
