//! Events of an opening's log, as they stand on disk. State is what replaying them gives
//! ([`super::replay`]); nothing derived is stored.

pub use super::altered::{LeafAltered, LeafRemade};
pub use super::depth::DepthTurned;
pub use super::hanging::LeafHung;
use super::heights::HeightsTold;
pub use super::making::SurveyTaken;
use super::making::{BuildDescribed, LeafToCome, PartChecked, RevealDecided};
use super::measured::LeafMeasured;
use super::pin::PinTold;
use super::reckoned::Reckoned;
use crate::cut::job::Construction;
use crate::fit::length::Length;
use crate::fit::opening::{Edge, EdgeSet, Motion, Prefer, Side};
use serde::{Deserialize, Serialize};

/// Format word of the first line of a log.
pub const FORMAT: &str = "evenreveal-opening/1";

/// First line of a log.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Header {
    /// Always [`FORMAT`] for files this build writes.
    pub format: String,
    /// The user's name for the opening.
    pub opening: String,
}

/// One line of a log after the header.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Record {
    /// Number of the line's event, from 1, without gaps.
    pub n: u64,
    /// When it was kept (UTC, RFC 3339, whole seconds).
    pub at: String,
    /// What happened.
    #[serde(flatten)]
    pub event: Event,
}

/// What happened.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "event", rename_all = "kebab-case")]
pub enum Event {
    /// The opening: which gap lines it has, their reveals, and the survey where one was made.
    Opening(OpeningMeasured),
    /// A leaf is described (again: a later description of the same id replaces the earlier).
    Leaf(LeafDescribed),
    /// Readings taken in one pose of the leaves.
    Readings(ReadingsTaken),
    /// A plan was accepted.
    Plan(PlanAccepted),
    /// A cut was done.
    Cut(CutDone),
    /// A leaf was measured for its set-ups.
    Measured(LeafMeasured),
    /// A strip was glued on a leaf, or wood taken off outside the rounds.
    Altered(LeafAltered),
    /// A new leaf was made in the place of one.
    Remade(LeafRemade),
    /// A leaf was hung, or taken off its hinges.
    Hung(LeafHung),
    /// A hinge was packed or let in, or a screw turned.
    Pack(HingePacked),
    /// Proud or shy at the corners.
    Flush(FlushRead),
    /// Depth screws were turned.
    Depth(DepthTurned),
    /// Finish went on.
    Finish(FinishApplied),
    /// The opening was measured (again).
    Survey(SurveyTaken),
    /// How a leaf is made.
    Build(BuildDescribed),
    /// What leaves still to come are to be high.
    Heights(HeightsTold),
    /// Where a hinge pin stands.
    Pin(PinTold),
    /// A part of the cut list is sawn, or is not after all.
    Part(PartChecked),
    /// The raw reveals to fit to.
    Reveal(RevealDecided),
    /// A note in the user's words.
    Note(Note),
    /// A doubted reading was judged: it stands, or it is struck.
    Judged(ReadingJudged),
    /// Event `strikes` is taken back.
    Strike(Strike),
}

impl Event {
    /// The word for its kind, as in the log.
    pub fn word(&self) -> &'static str {
        match self {
            Self::Opening(_) => "opening",
            Self::Leaf(_) => "leaf",
            Self::Readings(_) => "readings",
            Self::Plan(_) => "plan",
            Self::Cut(_) => "cut",
            Self::Measured(_) => "measured",
            Self::Altered(_) => "altered",
            Self::Remade(_) => "remade",
            Self::Hung(_) => "hung",
            Self::Pack(_) => "pack",
            Self::Flush(_) => "flush",
            Self::Depth(_) => "depth",
            Self::Finish(_) => "finish",
            Self::Survey(_) => "survey",
            Self::Build(_) => "build",
            Self::Heights(_) => "heights",
            Self::Pin(_) => "pin",
            Self::Part(_) => "part",
            Self::Reveal(_) => "reveal",
            Self::Note(_) => "note",
            Self::Judged(_) => "judged",
            Self::Strike(_) => "strike",
        }
    }
}

/// A gap line of the opening: who faces whom, and the reveal wanted between them.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct GapWanted {
    /// `frame` or `ID.edge`, twice.
    pub between: [String; 2],
    /// The reveal wanted.
    pub target: Length,
    /// Where the facing leaf's edge starts.
    #[serde(default = "zero", skip_serializing_if = "no_length")]
    pub offset: Length,
}

/// The opening as measured.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct OpeningMeasured {
    /// Its gap lines.
    pub gaps: Vec<GapWanted>,
    /// Tolerance, where it differs from the shop's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tolerance: Option<Length>,
    /// The survey, where one was made.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub survey: Option<SurveyTaken>,
    /// Leaves that will hang here and have no size yet.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub leaves: Vec<LeafToCome>,
}

/// A leaf as described.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LeafDescribed {
    /// Its short name within the opening.
    pub leaf: String,
    /// The user's words for it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Width.
    pub width: Length,
    /// Height.
    pub height: Length,
    /// Where it hangs; none for a drawer front.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hinge: Option<Side>,
    /// Edges that may be cut.
    #[serde(default = "all_edges")]
    pub may_cut: EdgeSet,
    /// How it may move.
    #[serde(default)]
    pub motion: Motion,
    /// Thickness, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thickness: Option<Length>,
    /// Solid, as logs have it that say no more: taken as grain level, its ends end grain, where nothing says which
    /// way the grain runs.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub solid: bool,
    /// How it is made: it decides where end grain shows ([`OpeningState::made`]). Logs of earlier builds have not
    /// got it.
    ///
    /// [`OpeningState::made`]: super::replay::OpeningState::made
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub made: Option<Construction>,
}

/// One reading as stored: exactly one of `gap`, (`goes`, `stops`) or `lap`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ReadingStored {
    /// Along the first-named leaf's edge.
    pub at: Length,
    /// An exact gap.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gap: Option<Length>,
    /// The thickest feeler that goes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub goes: Option<Length>,
    /// The thinnest feeler that stops.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stops: Option<Length>,
    /// The leaf laps the frame by this.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lap: Option<Length>,
    /// A second look at the station: kept beside the earlier reading, which it does not replace.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub again: bool,
    /// It was asked about when it was taken, and the user stands by it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub kept: bool,
}

/// Readings along one gap line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct GapRead {
    /// Which gap line.
    pub between: [String; 2],
    /// What was read.
    pub readings: Vec<ReadingStored>,
}

/// Readings taken in one pose. A later reading of a station in the same round replaces the earlier
/// ones (a mistake mended), unless it says that it is a second look ([`ReadingStored::again`]).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ReadingsTaken {
    /// Which trip to the cabinet, from 1.
    pub round: u32,
    /// What was read.
    pub gaps: Vec<GapRead>,
}

/// Wood meant for one edge, at the leaf's own corners (lower or left first).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct TrimMeant {
    /// Which leaf.
    pub leaf: String,
    /// Which edge.
    pub edge: Edge,
    /// Removal at the lower or left corner.
    pub start: Length,
    /// Removal at the upper or right corner.
    pub end: Length,
    /// What that depth was reckoned for; not known of what was typed, and of old logs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reckoned: Option<Reckoned>,
}

/// A plan as accepted.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PlanAccepted {
    /// The round whose readings it rests on.
    pub round: u32,
    /// The verdict's word.
    pub verdict: String,
    /// The choice it was made with.
    #[serde(default)]
    pub prefer: Prefer,
    /// Was it the plan with every edge that may be cut, instead of the fewest?
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub every_edge: bool,
    /// Wood to take now.
    #[serde(default)]
    pub trims: Vec<TrimMeant>,
    /// Wood to the line that no cut may pass; empty where the trims go to the line.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lines: Vec<TrimMeant>,
    /// By what means each trim is meant (`saw` or `plane`), in the order of the trims.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub means: Vec<String>,
    /// Hinges to pack or let in before any cut.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub packs: Vec<HingePacked>,
}

/// A cut as done.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CutDone {
    /// The round it belongs to.
    pub round: u32,
    /// What was meant to come off.
    #[serde(flatten)]
    pub intended: TrimMeant,
    /// By what means (`rip`, `sled`, `guide-line`, `plane`, `sanding-block`, `by-hand`).
    pub method: String,
    /// More passes on this edge follow in this round: it is not done yet.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub more: bool,
    /// The settings used, as shown on the set-up sheet.
    #[serde(default, skip_serializing_if = "serde_json::Map::is_empty")]
    pub settings: serde_json::Map<String, serde_json::Value>,
}

/// A hinge packed out (positive) or let in (negative).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct HingePacked {
    /// Which leaf.
    pub leaf: String,
    /// Height of the hinge.
    pub hinge: Length,
    /// How far out.
    pub out: Length,
    /// How far the height screws took the whole leaf up, said once at its lowest hinge.
    #[serde(default = "zero", skip_serializing_if = "no_length")]
    pub up: Length,
}

impl HingePacked {
    /// Does it do what `wanted` asks, by whatever amount: the same hinge moved, or the height screws turned?
    pub fn does(&self, wanted: &Self) -> bool {
        self.leaf == wanted.leaf && self.hinge == wanted.hinge && self.up.is_zero() == wanted.up.is_zero()
    }
}

/// Proud (+) or shy (−) at the corners: lower left, lower right, upper left, upper right.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct FlushRead {
    /// Which leaf.
    pub leaf: String,
    /// The four corners.
    pub corners: [Length; 4],
    /// Heights of its hinges above its lower end, where it is not described as hung.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub hinges: Vec<Length>,
}

/// Finish applied to a leaf.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct FinishApplied {
    /// Which leaf.
    pub leaf: String,
    /// Which schedule, by its name in the settings.
    pub schedule: String,
}

/// A note.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Note {
    /// The user's words; may be empty where there is a photo.
    pub text: String,
    /// File of a photo, as the user typed it; empty: none. The file itself is never touched.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub photo: String,
}

impl Note {
    /// In one line: `note: wax the runners (photo: IMG_7.jpg)`.
    pub fn line(&self) -> String {
        let text = self.text.replace(['\n', '\r', '\t'], " ");
        match (text.trim(), self.photo.as_str()) {
            (_, "") => format!("note: {text}"),
            ("", photo) => format!("photo: {photo}"),
            (_, photo) => format!("note: {text} (photo: {photo})"),
        }
    }
}

/// How a doubted reading stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// The user was asked and stands by it.
    Kept,
    /// It was a mistake: remembered, not used.
    Struck,
}

/// A reading that was doubted after it was kept, and how the user judged it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ReadingJudged {
    /// Number of the event that the reading came with.
    pub reading: u64,
    /// Its gap line.
    pub between: [String; 2],
    /// Its station. Not `at` in the log: there that is when the event was kept.
    #[serde(rename = "station")]
    pub at: Length,
    /// How it stands now.
    pub verdict: Verdict,
}

/// Takes back an earlier event.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Strike {
    /// Which event.
    pub strikes: u64,
    /// Why, in the user's words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub why: String,
}

fn zero() -> Length {
    Length::ZERO
}

fn all_edges() -> EdgeSet {
    EdgeSet::ALL
}

// serde hands over a reference.
#[allow(clippy::trivially_copy_pass_by_ref)]
fn no_length(length: &Length) -> bool {
    length.is_zero()
}
