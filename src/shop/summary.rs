//! What a list shows of an opening, without keeping all of it.

use super::event::FORMAT;
use super::files::Files;
use super::line;
use super::log::{Contents, Tail};
use super::replay::{OpeningState, Round};
use super::stage::{Known, Stage, Standing, stage_of};
use crate::fit::length::{Inches, Length};
use serde::Deserialize;
use serde::de::IgnoredAny;
use std::borrow::Cow;
use std::path::Path;

/// The station furthest from its reveal, as last read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WorstMiss {
    /// Gap less reveal: below zero is tight.
    pub miss: Inches,
    /// Tolerance of this opening, where it differs from the shop's.
    pub tolerance: Option<Length>,
}

/// One line of the list of openings.
#[derive(Clone, Debug, PartialEq)]
pub struct Summary {
    /// The user's name for the opening (its file's, where the header cannot be read).
    pub name: String,
    /// Its file's name.
    pub file: String,
    /// Short names of its leaves.
    pub leaves: Vec<String>,
    /// Number of events, struck ones too.
    pub events: usize,
    /// Number of the latest round.
    pub round: u32,
    /// What is to be done next.
    pub stage: Stage,
    /// Verdict of the plan accepted last in the latest round.
    pub verdict: Option<String>,
    /// The worst miss of the round read last; wood may have come off since.
    pub worst: Option<WorstMiss>,
    /// Are trims left for the saw, and for the plane?
    pub tools: [bool; 2],
    /// When the last event was kept.
    pub last_at: Option<String>,
    /// What is wrong with its file, if anything.
    pub trouble: Option<String>,
}

/// One opening as it stands.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WholeOpening {
    /// The user's name for it (its file's, where the header cannot be read).
    pub name: String,
    /// Its file's name without its ending: serves where two openings have one name.
    pub file: String,
    /// What its events amount to.
    pub state: OpeningState,
    /// What is wrong with its file, if anything: nothing can be kept in it then.
    pub trouble: Option<String>,
}

impl WholeOpening {
    /// From the whole content of its file.
    pub(super) fn of(contents: Contents, file: &str) -> Self {
        let file = file.trim_end_matches(super::name::ENDING);
        let state = OpeningState::of(&contents);
        Self {
            name: contents.header.map_or_else(|| file.to_owned(), |header| header.opening),
            file: file.to_owned(),
            state,
            trouble: contents.trouble.map(|trouble| trouble.to_string()),
        }
    }
}

impl Summary {
    /// Can its log not be trusted to its end? Nothing is advised from it then.
    pub fn is_unsound(&self) -> bool {
        matches!(self.stage, Stage::Unsound(_))
    }

    /// Reads the summary of one file; a file that cannot be read is listed with its trouble.
    pub fn read(files: &dyn Files, path: &Path, file: &str) -> Self {
        match files.read(path) {
            // Anything unusual goes the long way, which names it.
            Ok(bytes) => sketch(&bytes, file).unwrap_or_else(|| Self::of(Contents::read(&bytes), file)),
            Err(error) => Self::of(Contents::unreadable(&error), file),
        }
    }

    /// From the whole content of its file.
    pub(super) fn of(contents: Contents, file: &str) -> Self {
        let state = OpeningState::of(&contents);
        let latest = state.latest();
        let torn = (contents.tail == Tail::Torn).then(|| "its last line is not whole".to_owned());
        Self {
            name: contents.header.map_or_else(|| file.to_owned(), |header| header.opening),
            file: file.to_owned(),
            leaves: state.leaves.iter().map(|leaf| leaf.what.leaf.clone()).collect(),
            events: contents.records.len(),
            round: state.current_round(),
            stage: state.stage(),
            verdict: latest.and_then(|round| round.plan.as_ref()).map(|plan| plan.what.verdict.clone()),
            worst: worst_miss(&state),
            tools: state.tools_wanted(),
            last_at: contents.records.last().map(|record| record.at.clone()),
            trouble: contents.trouble.map(|trouble| trouble.to_string()).or(torn),
        }
    }
}

fn worst_miss(state: &OpeningState) -> Option<WorstMiss> {
    let round = state.rounds.iter().filter(|round| round.is_read()).max_by_key(|round| round.number)?;
    let miss = misses(state, round).max_by(|a, b| a.abs().total_cmp(&b.abs()))?;
    Some(WorstMiss { miss: Inches(miss), tolerance: state.tolerance })
}

/// Gap less reveal at every station of a round, in inches.
fn misses<'a>(state: &'a OpeningState, round: &'a Round) -> impl Iterator<Item = f64> + 'a {
    round
        .readings
        .iter()
        .zip(&state.gaps)
        .flat_map(|(line, wanted)| line.iter().map(|station| station.reading.mean_inches() - wanted.target.inches()))
}

/// The few fields of an event that a summary needs; lengths are passed over.
#[derive(Deserialize)]
struct Sketch<'a> {
    n: u64,
    #[serde(borrow)]
    at: Cow<'a, str>,
    #[serde(borrow)]
    event: Cow<'a, str>,
    round: Option<u32>,
    #[serde(borrow)]
    leaf: Option<Cow<'a, str>>,
    #[serde(borrow)]
    edge: Option<Cow<'a, str>>,
    #[serde(borrow)]
    verdict: Option<Cow<'a, str>>,
    #[serde(borrow)]
    trims: Option<Vec<SketchTrim<'a>>>,
    #[serde(borrow)]
    means: Option<Vec<Cow<'a, str>>>,
    #[serde(borrow)]
    packs: Option<Vec<SketchPack<'a>>>,
    #[serde(default, deserialize_with = "height")]
    hinge: Option<Length>,
    #[serde(default)]
    up: Length,
    gaps: Option<Vec<SketchGap>>,
    strikes: Option<u64>,
    #[serde(default)]
    more: bool,
    survey: Option<IgnoredAny>,
    /// Of an opening's description: leaves still to come.
    leaves: Option<IgnoredAny>,
}

/// The height of a hinge; none for the hinge side, which a leaf's description has under the same name.
fn height<'de, D: serde::Deserializer<'de>>(deserializer: D) -> Result<Option<Length>, D::Error> {
    let text = Cow::<'de, str>::deserialize(deserializer)?;
    Ok(Length::parse_signed(&text, crate::fit::length::Unit::Inch).ok())
}

#[derive(Deserialize)]
struct SketchTrim<'a> {
    #[serde(borrow)]
    leaf: Cow<'a, str>,
    #[serde(borrow)]
    edge: Cow<'a, str>,
}

#[derive(Deserialize)]
struct SketchPack<'a> {
    #[serde(borrow)]
    leaf: Cow<'a, str>,
    hinge: Length,
    #[serde(default)]
    up: Length,
}

#[derive(Deserialize)]
struct SketchGap {
    #[serde(default)]
    readings: Vec<IgnoredAny>,
}

/// A round of a sketch: number, read or not, and which events belong to it.
#[derive(Default)]
struct SketchRound<'a> {
    number: u32,
    read: bool,
    packs: Vec<&'a Sketch<'a>>,
    plan: Option<&'a Sketch<'a>>,
    cuts: Vec<&'a Sketch<'a>>,
}

/// The summary of a file in which nothing is unusual: one pass, checksums compared, lengths not read.
/// `None` where the long way must look (a damaged line, a torn tail, a newer format, an unknown kind).
pub(super) fn sketch(bytes: &[u8], file: &str) -> Option<Summary> {
    let text = bytes.strip_suffix(b"\n")?;
    let mut lines = text.split(|&byte| byte == b'\n');
    let header = line::read_header(lines.next()?).ok().filter(|header| header.format == FORMAT)?;
    let mut events: Vec<Sketch<'_>> = Vec::new();
    let lines: Vec<&[u8]> = lines.collect();
    for text in &lines {
        line::checked(text).ok()?;
        let event: Sketch<'_> = serde_json::from_slice(text).ok()?;
        // What a judged reading, or a leaf hung, altered or described anew after it was read, leaves of its round is
        // for the long way to say.
        let unusual = match event.event.as_ref() {
            "judged" | "hung" | "altered" | "remade" => true,
            "leaf" => events.iter().any(|earlier| earlier.event == "readings"),
            kind => !line::KINDS.contains(&kind),
        };
        if event.n != events.len() as u64 + 1 || unusual {
            return None;
        }
        events.push(event);
    }
    let struck = struck(&events);
    let counts: Vec<&Sketch<'_>> = events.iter().filter(|event| !struck.contains(&event.n)).collect();
    let mut leaves: Vec<String> = Vec::new();
    for leaf in counts.iter().filter(|event| event.event == "leaf").filter_map(|event| event.leaf.as_ref()) {
        if !leaves.iter().any(|known| known == leaf) {
            leaves.push(leaf.clone().into_owned());
        }
    }
    let known = Known {
        described: counts.iter().any(|event| event.event == "opening"),
        survey: counts.iter().any(|event| event.event == "survey" || event.survey.is_some()),
        contradicts: false,
        leaves: !leaves.is_empty(),
    };
    // Whether the readings of a survey agree is for the long way to say.
    if known.survey && !known.leaves {
        return None;
    }
    let rounds = rounds(&counts);
    // And whether leaves to come have their sizes by now, before the first round.
    if rounds.is_empty() && counts.iter().any(|event| event.event == "opening" && event.leaves.is_some()) {
        return None;
    }
    let latest = rounds.iter().max_by_key(|round| round.number);
    let read = rounds.iter().filter(|round| round.read).map(|round| round.number).max();
    let worst = read.and_then(|round| worst_of_sketch(&lines, &counts, round));
    let verdict = latest.and_then(|round| round.plan?.verdict.as_deref());
    let standing = latest.map(|round| Standing {
        round: round.number,
        read: round.read,
        changed: !round.packs.is_empty() || !round.cuts.is_empty(),
        verdict,
        left: left_places(round).count(),
        packs: packs_left(round),
    });
    Some(Summary {
        name: header.opening,
        file: file.to_owned(),
        leaves,
        events: events.len(),
        round: latest.map_or(0, |round| round.number),
        stage: stage_of(known, standing.as_ref()),
        verdict: verdict.map(str::to_owned),
        worst,
        tools: latest.map_or([false; 2], tools_of_sketch),
        last_at: events.last().map(|event| event.at.clone().into_owned()),
        trouble: None,
    })
}

/// The worst miss of `round`: only the lines that bear on it are read whole.
fn worst_of_sketch(lines: &[&[u8]], counts: &[&Sketch<'_>], round: u32) -> Option<WorstMiss> {
    let bears_on_it = |event: &&&Sketch<'_>| match event.event.as_ref() {
        "opening" | "leaf" | "reveal" => true,
        "readings" => event.round == Some(round),
        _ => false,
    };
    let place = |event: &Sketch<'_>| usize::try_from(event.n).ok()?.checked_sub(1);
    let whole = |event: &&Sketch<'_>| line::read_record(lines.get(place(event)?)?).ok();
    let records: Vec<_> = counts.iter().filter(bears_on_it).filter_map(whole).collect();
    worst_miss(&OpeningState::replay(&records))
}

fn struck(events: &[Sketch<'_>]) -> Vec<u64> {
    let mut struck = Vec::new();
    for event in events.iter().rev() {
        if let Some(target) = event.strikes.filter(|&target| event.event == "strike" && target < event.n)
            && !struck.contains(&event.n)
        {
            struck.push(target);
        }
    }
    struck
}

fn rounds<'a>(counts: &[&'a Sketch<'a>]) -> Vec<SketchRound<'a>> {
    let mut rounds: Vec<SketchRound<'a>> = Vec::new();
    for &event in counts {
        let number = match event.event.as_ref() {
            "readings" | "plan" | "cut" => event.round.unwrap_or(0),
            "pack" => rounds.iter().map(|round| round.number).max().unwrap_or(0),
            _ => continue,
        };
        let place = rounds.iter().position(|round| round.number == number).unwrap_or_else(|| {
            rounds.push(SketchRound { number, ..SketchRound::default() });
            rounds.len() - 1
        });
        let Some(round) = rounds.get_mut(place) else { continue };
        match event.event.as_ref() {
            "readings" => round.read |= event.gaps.iter().flatten().any(|gap| !gap.readings.is_empty()),
            "plan" => round.plan = Some(event),
            "cut" => round.cuts.push(event),
            _ => round.packs.push(event),
        }
    }
    rounds
}

/// Is any of these means the saw, is any the plane? What is not named may be both.
pub(super) fn tools<'a>(means: impl Iterator<Item = Option<&'a str>>) -> [bool; 2] {
    means.fold([false; 2], |[saw, plane], means| [saw || means != Some("plane"), plane || means != Some("saw")])
}

fn tools_of_sketch(round: &SketchRound<'_>) -> [bool; 2] {
    let means = round.plan.and_then(|plan| plan.means.as_ref());
    tools(left_places(round).map(|place| means.and_then(|means| means.get(place)).map(AsRef::as_ref)))
}

fn packs_left(round: &SketchRound<'_>) -> usize {
    let Some(plan) = round.plan else { return 0 };
    let packed = |wanted: &SketchPack<'_>| {
        let mut packs = round.packs.iter().filter(|pack| pack.n > plan.n);
        let same = |pack: &&Sketch<'_>| pack.leaf.as_ref() == Some(&wanted.leaf) && pack.hinge == Some(wanted.hinge);
        packs.any(|pack| same(pack) && pack.up.is_zero() == wanted.up.is_zero())
    };
    plan.packs.iter().flatten().filter(|wanted| !packed(wanted)).count()
}

/// Places of the trims that are left, in the plan's list.
fn left_places<'a>(round: &'a SketchRound<'a>) -> impl Iterator<Item = usize> + use<'a> {
    let done = |trim: &SketchTrim<'_>| {
        round
            .cuts
            .iter()
            .any(|cut| !cut.more && cut.leaf.as_ref() == Some(&trim.leaf) && cut.edge.as_ref() == Some(&trim.edge))
    };
    let trims = round.plan.and_then(|plan| plan.trims.as_ref());
    trims.into_iter().flatten().enumerate().filter(move |(_, trim)| !done(trim)).map(|(place, _)| place)
}
