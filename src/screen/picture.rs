//! From an opening's state to the plain data of its picture.

use super::drawings::{LeafShape, OpeningPicture, Removal, Standing, Station};
use super::theme::Theme;
use crate::bench::prepare::sizes;
use crate::bench::readings::ReadingsEntry;
use crate::bench::stations::{self, StationPlace};
use crate::bench::{OpeningSeen, gap_words, rounds_words};
use crate::fit::length::{Inches, Length, Show};
use crate::fit::opening::{Edge, Facing};
use crate::fit::plan::Plan;
use crate::fit::reading::Reading;
use crate::shop::OpeningState;
use crate::shop::facing::{self, Named};
use crate::shop::settings::Settings;

/// How lengths are shown, and when a gap is right.
#[derive(Clone, Copy, Debug)]
pub struct Measure {
    /// Unit and resolution.
    pub show: Show,
    /// Tolerance, inches.
    pub tolerance: f64,
}

impl Measure {
    /// For this opening in this shop.
    pub fn of(opened: &OpeningSeen, settings: &Settings) -> Self {
        Self { show: settings.show, tolerance: opened.state.tolerance.unwrap_or(settings.tolerance).inches() }
    }
}

/// The opening as it was read in round `round`; the cursor is on a station if readings are being taken.
pub fn opening(
    opened: &OpeningSeen,
    round: u32,
    measure: Measure,
    entry: Option<&ReadingsEntry>,
    theme: Theme,
) -> OpeningPicture {
    let state = &opened.state;
    let mut picture = shapes(state, round, theme);
    picture.title = leaf_words(state);
    if state.leaf_ids().len() > 1 {
        // The leaves bear these in the picture itself.
        picture.short_title = state.leaf_ids().join(", ");
    }
    let places = entry.map_or_else(|| stations::walk(state, round), |entry| entry.stations.clone());
    let readings = |gap: usize| state.round(round).and_then(|round| round.readings.get(gap));
    for place in &places {
        let read = readings(place.gap)
            .and_then(|line| line.iter().find(|read| read.reading.at == place.at))
            .map(|read| read.reading);
        picture.stations.push(station(state, place, read, measure));
    }
    // Readings at other places than the walk's (from a file, or of an older size) are shown too.
    for (gap, line) in state.gaps.iter().enumerate() {
        let Some((leaf, edge)) = measured_along(state, gap) else { continue };
        for read in readings(gap).into_iter().flatten() {
            if !places.iter().any(|place| place.gap == gap && place.at == read.reading.at) {
                picture.stations.push(read_station(leaf, edge, &read.reading, line.target.inches(), measure));
            }
        }
    }
    if entry.is_none() && picture.stations.iter().any(|station| station.gap.is_some()) {
        drop_unread_of_read_edges(&mut picture);
    }
    picture.cursor = entry.map(|entry| entry.at).filter(|at| *at < places.len());
    picture
}

/// The opening as a plan finds it and leaves it.
pub fn forecast(
    opened: &OpeningSeen,
    round: u32,
    plan: &Plan,
    after: bool,
    measure: Measure,
    theme: Theme,
) -> OpeningPicture {
    let mut picture = shapes(&opened.state, round, theme);
    for (place, line) in plan.gaps.iter().enumerate() {
        let Some((leaf, edge)) = line.between.iter().find_map(|side| match side {
            Facing::Leaf { leaf, edge } => Some((*leaf, *edge)),
            Facing::Frame => None,
        }) else {
            continue;
        };
        for read in &line.stations {
            let gap = if after { read.after } else { read.now };
            // What was read in this round is shown as it was read, here as on the opening's own picture.
            let felt = gap_words::read_near(&opened.state, round, place, read.at).filter(|_| !after);
            if let Some(felt) = felt {
                let felt = Reading { at: read.at, ..felt };
                picture.stations.push(read_station(leaf, edge, &felt, line.target.inches(), measure));
                continue;
            }
            picture.stations.push(Station {
                leaf,
                edge,
                at: read.at.inches(),
                gap: Some(gap.0),
                shown: gap_words(gap, measure.show),
                standing: Standing::of(gap.0, line.target.inches(), measure.tolerance),
            });
        }
    }
    if !after {
        for (leaf, part) in plan.leaves.iter().enumerate() {
            picture.removals.extend(part.trims.iter().map(|trim| Removal {
                leaf,
                edge: trim.edge,
                start: trim.start.0,
                end: trim.end.0,
                shown_start: rounds_words::removal(trim.start, measure.show),
                shown_end: rounds_words::removal(trim.end, measure.show),
            }));
        }
    }
    picture
}

/// A gap, or a lap, as the picture labels it.
pub fn gap_words(gap: Inches, show: Show) -> String {
    if gap.0 < 0.0 { format!("lap {}", Inches(-gap.0).shown(show)) } else { gap.shown(show) }
}

pub use gap_words::felt as reading_words;

fn leaf_words(state: &OpeningState) -> String {
    let described = state.leaves.iter().map(|leaf| (&leaf.what.leaf, &leaf.what.name));
    let to_come = state.making.to_come.iter().filter(|leaf| state.leaf(&leaf.leaf).is_none());
    let all = described.chain(to_come.map(|leaf| (&leaf.leaf, &leaf.name)));
    let names: Vec<_> = all.map(|(id, name)| if name.is_empty() { id.clone() } else { name.clone() }).collect();
    names.join(", ")
}

fn station(state: &OpeningState, place: &StationPlace, read: Option<Reading>, measure: Measure) -> Station {
    let target = state.gaps.get(place.gap).map_or(0.0, |gap| gap.target.inches());
    match read {
        Some(read) => read_station(place.leaf, place.edge, &read, target, measure),
        None => Station {
            leaf: place.leaf,
            edge: place.edge,
            at: place.at.inches(),
            gap: None,
            shown: String::new(),
            standing: Standing::Unread,
        },
    }
}

fn read_station(leaf: usize, edge: Edge, read: &Reading, target: f64, measure: Measure) -> Station {
    let gap = read.mean_inches();
    Station {
        leaf,
        edge,
        at: read.at.inches(),
        gap: Some(gap),
        shown: reading_words(read, measure.show),
        standing: Standing::of(gap, target, measure.tolerance),
    }
}

/// Where some stations of an edge were read, those that were not are left off the picture at rest.
fn drop_unread_of_read_edges(picture: &mut OpeningPicture) {
    let read: Vec<_> = picture
        .stations
        .iter()
        .filter(|station| station.gap.is_some())
        .map(|station| (station.leaf, station.edge))
        .collect();
    picture.stations.retain(|station| station.gap.is_some() || !read.contains(&(station.leaf, station.edge)));
}

fn measured_along(state: &OpeningState, gap: usize) -> Option<(usize, Edge)> {
    let (id, edge) = facing::measured_along(&state.gaps.get(gap)?.between)?;
    state.leaves.iter().position(|leaf| leaf.what.leaf == id).map(|leaf| (leaf, edge))
}

/// A leaf to be drawn, with its width and height.
struct Sized<'a> {
    id: &'a str,
    name: &'a str,
    size: [Length; 2],
}

/// Leaves that have a size. While some have none yet, all as they will be, where the survey gives that.
fn sized(state: &OpeningState, round: u32) -> Vec<Sized<'_>> {
    let to_come = state.making.to_come.iter().filter(|leaf| state.leaf(&leaf.leaf).is_none());
    let mut to_come = to_come.map(|leaf| (leaf.leaf.as_str(), leaf.name.as_str())).peekable();
    let described = state.leaves.iter().map(|leaf| (leaf.what.leaf.as_str(), leaf.what.name.as_str()));
    if to_come.peek().is_some()
        && let Ok(survey) = sizes::sound(state)
    {
        let sized = described.clone().chain(to_come).map(|(id, name)| {
            let size = sizes::finished_size(state, &survey, id).ok()?;
            Some(Sized { id, name, size })
        });
        if let Some(sized) = sized.collect() {
            return sized;
        }
    }
    let sized = state.leaves.iter().zip(described).map(|(leaf, (id, name))| {
        let (width, height) = state.size_at(id, round).unwrap_or((leaf.what.width, leaf.what.height));
        Sized { id, name, size: [width, height] }
    });
    sized.collect()
}

/// The opening and its leaves with even gaps.
fn shapes(state: &OpeningState, round: u32, theme: Theme) -> OpeningPicture {
    let sized = sized(state, round);
    let size =
        |leaf: usize, upright: bool| sized.get(leaf).map_or(0.0, |leaf| leaf.size[usize::from(upright)].inches());
    let ids: Vec<&str> = sized.iter().map(|leaf| leaf.id).collect();
    let x = places(state, &ids, Edge::Left, &|leaf| size(leaf, false));
    let y = places(state, &ids, Edge::Bottom, &|leaf| size(leaf, true));
    let leaves = sized.iter().enumerate().map(|(leaf, said)| LeafShape {
        name: if sized.len() > 1 { said.id } else { said.name }.to_owned(),
        x: x.get(leaf).copied().unwrap_or(0.0),
        y: y.get(leaf).copied().unwrap_or(0.0),
        width: size(leaf, false),
        height: size(leaf, true),
        hinge: state.hinge_of(said.id),
    });
    let leaves: Vec<_> = leaves.collect();
    let beyond = |edge: Edge, leaf: usize| target_to_frame(state, &ids, leaf, edge);
    let width = leaves
        .iter()
        .enumerate()
        .map(|(place, leaf)| leaf.x + leaf.width + beyond(Edge::Right, place))
        .fold(0.0, f64::max);
    let height = leaves
        .iter()
        .enumerate()
        .map(|(place, leaf)| leaf.y + leaf.height + beyond(Edge::Top, place))
        .fold(0.0, f64::max);
    OpeningPicture { width, height, leaves, theme, ..OpeningPicture::default() }
}

fn target_to_frame(state: &OpeningState, ids: &[&str], leaf: usize, edge: Edge) -> f64 {
    let id = ids.get(leaf).copied().unwrap_or("");
    let faces = |between: &[String; 2]| match facing::pair(between) {
        Ok([Named::Leaf { id: a, edge: side }, Named::Frame] | [Named::Frame, Named::Leaf { id: a, edge: side }]) => {
            a == id && side == edge
        }
        _ => false,
    };
    state.gaps.iter().find(|gap| faces(&gap.between)).map_or(0.0, |gap| gap.target.inches())
}

/// Where each leaf starts, from the frame's `low` side: after the leaf that it follows, if it follows one.
fn places(state: &OpeningState, ids: &[&str], low: Edge, size: &dyn Fn(usize) -> f64) -> Vec<f64> {
    let count = ids.len();
    let mut places: Vec<f64> = (0..count).map(|leaf| target_to_frame(state, ids, leaf, low)).collect();
    let position = |id: &str| ids.iter().position(|other| *other == id);
    let mut follows = Vec::new();
    for gap in &state.gaps {
        if let Ok([Named::Leaf { id: a, edge }, Named::Leaf { id: b, .. }]) = facing::pair(&gap.between)
            && let (Some(a), Some(b)) = (position(a), position(b))
        {
            if edge == low.opposite() {
                follows.push((a, b, gap.target.inches()));
            } else if edge == low {
                follows.push((b, a, gap.target.inches()));
            }
        }
    }
    // As many rounds as there are leaves settle any chain; a ring of leaves stops there too.
    for _ in 0..count {
        for &(before, after, target) in &follows {
            let start = places.get(before).copied().unwrap_or(0.0) + size(before) + target;
            if let Some(place) = places.get_mut(after) {
                *place = start;
            }
        }
    }
    places
}
