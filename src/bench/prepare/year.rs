//! The raw reveal to fit to, and each gap through the year.

use super::sizes;
use crate::before::film::{FilmError, Surface, raw_reveal};
use crate::before::season::{
    self, Build, GapThroughYear, Held, SeasonError, SeasonLeaf, YearMoisture, reveal_now, through_year,
};
use crate::before::wood::{self, Wood};
use crate::cut::job::Construction;
use crate::fit::length::{Inches, Length, Show, Unit};
use crate::fit::opening::Edge;
use crate::shop::OpeningState;
use crate::shop::event::{Event, FinishApplied, LeafDescribed, Record};
use crate::shop::facing::{Named, pair};
use crate::shop::making::{BuildDescribed, GapTarget, Grain};
use crate::shop::replay::Said;
use crate::shop::settings::Settings;

/// With less than this left at the damp end a leaf binds: it touches somewhere, in (a guess, no source).
pub const BINDS_UNDER: f64 = 1.0 / 64.0;
/// With more than this many times the reveal wanted at the dry end a gap gapes (a guess, no source).
pub const GAPES_OVER: f64 = 2.0;

/// One gap line: from the reveal wanted to the one to fit to, and through the year.
#[derive(Clone, Debug, PartialEq)]
pub struct GapYear {
    /// Which gap line.
    pub between: [String; 2],
    /// The reveal wanted when finish is on, halfway through the year.
    pub wanted: Length,
    /// Finish films still to come on both faces: they close the gap.
    pub films: Length,
    /// Sanding still to come on both faces: it opens the gap.
    pub sanding: Length,
    /// What the season asks for on top: above zero while the wood is dry.
    pub season: Inches,
    /// The raw reveal to fit to today, to the thousandth of an inch (hundredth of a millimetre).
    pub raw: Result<Length, FilmError>,
    /// What is fitted to now.
    pub fits_to: Length,
    /// The gap with its finish on, fitted to what is fitted to now; none where no wood is known.
    pub year: Option<GapThroughYear>,
}

impl GapYear {
    /// Does it bind at the damp end?
    pub fn binds(&self) -> bool {
        self.year.is_some_and(|year| year.binds(Inches(BINDS_UNDER)))
    }

    /// Does it gape at the dry end?
    pub fn gapes(&self) -> bool {
        self.year.is_some_and(|year| year.gapes(Inches(self.wanted.inches() * GAPES_OVER)))
    }
}

/// How one leaf moves.
#[derive(Clone, Debug, PartialEq)]
pub struct LeafYear {
    /// Its short name.
    pub leaf: String,
    /// What of it moves.
    pub build: Build,
    /// Its wood.
    pub wood: &'static Wood,
    /// What it gains across and up from the dry end to the damp end.
    pub grows: (Inches, Inches),
}

/// An opening through the year.
#[derive(Clone, Debug, PartialEq)]
pub struct OpeningYear {
    /// Its gap lines.
    pub gaps: Vec<GapYear>,
    /// Its leaves whose wood is known.
    pub leaves: Vec<LeafYear>,
    /// The wood's moisture through the year.
    pub moisture: YearMoisture,
    /// Which of driest spell, dampest spell and air at the fitting are starting values that nobody measured?
    pub starting_spells: [bool; 3],
    /// Finishes that are on, or still to come and add no thickness, each in a sentence.
    pub finishes: Vec<String>,
    /// What is not known, each in a sentence.
    pub unknown: Vec<String>,
}

/// A leaf of which enough is known to say how it moves.
struct Known<'a> {
    build: &'a BuildDescribed,
    leaf: Option<SeasonLeaf<'static>>,
    /// Film and sanding still to come.
    surface: Surface,
    /// The same on the frame round it.
    frame: Surface,
}

fn known<'a>(state: &'a OpeningState, settings: &Settings, id: &str, unknown: &mut Vec<String>) -> Option<Known<'a>> {
    let Some(build) = state.making.build(id) else {
        unknown.push(format!("it was never said how {id} is made (b): neither film nor season is taken into account"));
        return None;
    };
    let mut schedule = |name: &str| {
        settings.finish(name).unwrap_or_else(|| {
            unknown.push(format!("no finish of the shop is called '{name}': no film is taken into account"));
            crate::before::film::FinishSchedule::bare()
        })
    };
    let applied = state.finishes.iter().any(|said| said.what.leaf == id);
    let finish = if applied { crate::before::film::FinishSchedule::bare() } else { schedule(&build.finish) };
    let frame = schedule(&build.frame_finish);
    // Checked in the settings: a film that cannot be held does not come here.
    let surface = Surface::under(&finish).unwrap_or_default();
    let frame = Surface::frame_under(&frame).unwrap_or_default();
    let leaf = season_leaf(state, build, id, unknown);
    Some(Known { build, leaf, surface, frame })
}

fn season_leaf(
    state: &OpeningState,
    build: &BuildDescribed,
    id: &str,
    unknown: &mut Vec<String>,
) -> Option<SeasonLeaf<'static>> {
    let Some(wood) = wood::wood(&build.species) else {
        unknown.push(format!("the wood of {id} was not said (b): the season is not taken into account"));
        return None;
    };
    let Some([width, height]) = sizes::size(state, id) else {
        unknown.push(format!("{id} has no size yet (s, then b): the season is not taken into account"));
        return None;
    };
    let held = state.hinge_of(id).map_or(Held::Middle, Held::Hinges);
    Some(SeasonLeaf { width, height, build: moves(state, build), wood, sawn: build.sawn, held })
}

/// What of a leaf moves: the same grain as its cuts are planned with ([`OpeningState::made`]).
pub fn moves(state: &OpeningState, build: &BuildDescribed) -> Build {
    match (state.made(&build.leaf), &build.frame) {
        (Construction::SolidAcross, _) => Build::SolidLevel,
        (Construction::SolidUpright, _) => Build::SolidUpright,
        (Construction::Framed | Construction::Unsaid, Some(frame)) => Build::Framed { stiles: frame.stiles },
        // Its description says "framed" and its build "solid", and nothing has the stiles: what moves most.
        (Construction::Framed | Construction::Unsaid, None) => match build.grain {
            Grain::Level => Build::SolidLevel,
            Grain::Upright => Build::SolidUpright,
        },
    }
}

/// The opening through the year. [`SeasonError`] when the climate makes no sense.
pub fn year(state: &OpeningState, settings: &Settings) -> Result<OpeningYear, SeasonError> {
    let moisture = settings.climate().moisture()?;
    let mut unknown = Vec::new();
    let known: Vec<(&str, Option<Known<'_>>)> =
        state.leaf_ids().into_iter().map(|id| (id, known(state, settings, id, &mut unknown))).collect();
    let of = |id: &str| known.iter().find(|(other, _)| *other == id).and_then(|(_, known)| known.as_ref());
    let mut gaps = Vec::new();
    for line in &state.gaps {
        let Ok(sides) = pair(&line.between) else { continue };
        let mut surfaces = [Surface::default(); 2];
        let mut edges: Vec<(SeasonLeaf<'_>, Edge)> = Vec::new();
        let mut all_known = true;
        for (place, side) in sides.iter().enumerate() {
            let Named::Leaf { id, edge } = side else { continue };
            let Some(leaf) = of(id) else {
                all_known = false;
                continue;
            };
            surfaces[place] = leaf.surface;
            if matches!(sides[1 - place], Named::Frame) {
                surfaces[1 - place] = leaf.frame;
            }
            match leaf.leaf {
                Some(moves) => edges.push((moves, *edge)),
                None => all_known = false,
            }
        }
        let wanted = state.making.finished(&line.between).unwrap_or(line.target);
        gaps.push(gap(line.between.clone(), wanted, line.target, surfaces, &edges, all_known, moisture, settings.show));
    }
    let leaves = known.iter().filter_map(|(id, known)| {
        let leaf = known.as_ref()?.leaf?;
        Some(LeafYear {
            leaf: (*id).to_owned(),
            build: moves(state, known.as_ref()?.build),
            wood: leaf.wood,
            grows: leaf.growth(moisture.dry(), moisture.damp()),
        })
    });
    Ok(OpeningYear {
        gaps,
        leaves: leaves.collect(),
        moisture,
        starting_spells: settings.starting_spells(),
        finishes: finishes(state, settings),
        unknown,
    })
}

/// Said of a finish whose film is too thin to measure: common practice, no published source.
pub const NO_FILM: &str = "adds no thickness worth measuring (common practice, no published source)";

fn finishes(state: &OpeningState, settings: &Settings) -> Vec<String> {
    let mut said = Vec::new();
    for id in state.leaf_ids() {
        let on = state.finishes.iter().rev().find(|said| said.what.leaf == id);
        if let Some(on) = on {
            said.push(format!("{} is on {id}: its film is in the gap, not to come", on.what.schedule));
        } else if let Some(finish) = state.making.build(id).and_then(|build| settings.finish(&build.finish))
            && !finish.coats.is_empty()
            && finish.film().is_ok_and(Length::is_zero)
        {
            said.push(format!("{} on {id} {NO_FILM}", finish.name));
        }
    }
    said
}

/// Finishes that leaves will get and have not got yet, as events.
pub fn finishes_to_come(state: &OpeningState) -> Vec<Event> {
    let on = |id: &str| state.finishes.iter().any(|said| said.what.leaf == id);
    let of = |leaf: &Said<LeafDescribed>| {
        let id = &leaf.what.leaf;
        let build = state.making.build(id).filter(|build| !build.finish.is_empty() && !on(id))?;
        Some(Event::Finish(FinishApplied { leaf: id.clone(), schedule: build.finish.clone() }))
    };
    state.leaves.iter().filter_map(of).collect()
}

/// The reveals to fit to once `events` are kept too, of the gap lines whose raw reveal was decided.
pub fn reveals_with_finish_on(records: &[Record], events: &[Event], settings: &Settings) -> Vec<GapTarget> {
    let mut records = records.to_vec();
    for event in events {
        let n = records.len() as u64 + 1;
        records.push(Record { n, at: String::new(), event: event.clone() });
    }
    let state = OpeningState::replay(&records);
    let Ok(year) = year(&state, settings) else { return Vec::new() };
    let decided = year.gaps.iter().filter(|gap| state.making.finished(&gap.between).is_some());
    let target = |gap: &GapYear| {
        let target = *gap.raw.as_ref().ok()?;
        (target != gap.fits_to).then(|| GapTarget { between: gap.between.clone(), target, finished: gap.wanted })
    };
    decided.filter_map(target).collect()
}

#[allow(clippy::too_many_arguments)] // one private step of `year`, split out for its length only
fn gap(
    between: [String; 2],
    wanted: Length,
    fits_to: Length,
    [one, other]: [Surface; 2],
    edges: &[(SeasonLeaf<'_>, Edge)],
    all_known: bool,
    moisture: season::YearMoisture,
    show: Show,
) -> GapYear {
    let sum = |a: Length, b: Length| a.checked_add(b).unwrap_or(Length::ZERO);
    let (films, sanding) = (sum(one.film, other.film), sum(one.sanding, other.sanding));
    let season = if all_known {
        Inches(reveal_now(Inches(wanted.inches()), edges, moisture).get() - wanted.inches())
    } else {
        Inches(0.0)
    };
    let fine = if show.unit() == Unit::Millimetre { Show::Millimetre(2) } else { Show::DecimalInch(3) };
    let raw = raw_reveal(wanted, one, other).and_then(|raw| {
        let exact = raw.checked_add(season.length()).ok_or(FilmError::TooLarge)?;
        // Nothing on top of what the shop wants stays what the shop wants, to its own fraction.
        let near = if exact == wanted { wanted } else { exact.rounded(fine).0 };
        if near > Length::ZERO { Ok(near) } else { Err(FilmError::NoGapLeft { sanding }) }
    });
    let finished = fits_to.inches() - films.inches() + sanding.inches();
    let year = all_known.then(|| through_year(Inches(finished), edges, moisture));
    GapYear { between, wanted, films, sanding, season, raw, fits_to, year }
}
