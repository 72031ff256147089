//! Refusals, reasons and cautions: typed lists, and the one place where each is put in words.
//!
//! None of them carries a number: whatever is refused stays without the figures that would let
//! somebody set it up all the same.

pub use super::cautions::{Caution, Point};
use super::job::Method;
use serde::Serialize;

/// Why a method is refused for a cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Refusal {
    /// The edge on the fence is shorter than its distance to the blade: the leaf would pivot.
    EdgeShorterThanDistance,
    /// Too narrow to feed past a blade by hand.
    TooNarrowToFeed,
    /// The edge on the fence is too short to feed the leaf past a blade by hand.
    TooShortToFeed,
    /// More than one kerf would come off in one pass.
    MoreThanAKerf,
    /// The taper is less than the thinnest single layer makes.
    TaperBelowOneLayer,
    /// The pad would have to stand beyond the leaf.
    PadOffTheLeaf,
    /// The taper asks for more layers than a pile should have.
    PadTooThick,
    /// No wood to bear on where the pivot or the pads would be.
    NoWoodToBearOn,
    /// Readings suggest that the edge that would lie on the fence is not straight.
    ReferenceInDoubt,
    /// The edge that would lie on the fence is hollow or round.
    ReferenceNotStraight,
    /// No pad comes near enough after rounding.
    NoPadFits,
    /// A pad of the stock would do, but no step of the fence (or stop) comes near enough.
    FenceTooCoarse,
    /// The fence is too short to hold two bearings all the way.
    FenceTooShort,
    /// The edge that would lie on the sled's fence does not fit on it.
    SledTooShort,
    /// The edge to cut is longer than the sled is taken to be deep.
    CutTooLongForSled,
    /// The edge that would lie on the sled's fence is too short to hold so long a cut.
    ReferenceTooShort,
    /// Too much wood for it.
    TooMuchWood,
    /// Less wood than one pass of it takes.
    TooLittleWood,
    /// The shop has no such tool in its settings, or its figures make no sense.
    NoTool,
}

impl Refusal {
    /// What is wrong, in plain words.
    pub fn text(self) -> &'static str {
        match self {
            Self::EdgeShorterThanDistance => {
                "the edge on the fence is shorter than the distance to the blade: the leaf could pivot and kick back"
            }
            Self::TooNarrowToFeed => "the leaf is too narrow to feed past the blade by hand",
            Self::TooShortToFeed => "the edge on the fence is too short to feed the leaf past the blade by hand",
            Self::MoreThanAKerf => "more than one saw kerf would come off in one pass",
            Self::TaperBelowOneLayer => "the taper is less than one layer of your thinnest stock",
            Self::PadOffTheLeaf => "the pad would have to stand beyond the end of the leaf",
            Self::PadTooThick => "the taper needs a thicker pile than stays flat and firm",
            Self::NoWoodToBearOn => "there is no wood to bear on where the corner or the pads would have to be",
            Self::ReferenceInDoubt => {
                "by the reading at its middle the edge on the fence, or the frame, is not straight: lay a straightedge \
                 on it first"
            }
            Self::ReferenceNotStraight => "the edge that would lie on the fence is not straight: straighten it first",
            Self::NoPadFits => "no pad of your stock comes near enough to this taper",
            Self::FenceTooCoarse => {
                "the steps in which you trust fence or stop to be set are too coarse for this cut; more card would \
                 not help, finer steps would"
            }
            Self::FenceTooShort => "the fence is too short to keep two points of the leaf on it all the way",
            Self::SledTooShort => "the edge that would lie on the sled's fence is longer than the fence",
            Self::CutTooLongForSled => {
                "the edge to cut is longer than the sled's fence, and the sled is taken to be no deeper than that"
            }
            Self::ReferenceTooShort => "the edge that would lie on the sled's fence is too short to hold this cut",
            Self::TooMuchWood => "that is too much wood for this tool",
            Self::TooLittleWood => "that is less wood than one pass takes",
            Self::NoTool => "your settings have no such tool",
        }
    }

    /// What to do instead, safest first.
    pub fn instead(self) -> &'static [Method] {
        match self {
            Self::EdgeShorterThanDistance => &[Method::Sled, Method::GuideLine, Method::Plane],
            Self::TooShortToFeed => &[Method::Plane, Method::Sled, Method::GuideLine],
            Self::TooNarrowToFeed
            | Self::TaperBelowOneLayer
            | Self::PadOffTheLeaf
            | Self::NoPadFits
            | Self::FenceTooCoarse
            | Self::NoWoodToBearOn
            | Self::ReferenceInDoubt
            | Self::ReferenceNotStraight => &[Method::Plane, Method::GuideLine],
            Self::MoreThanAKerf
            | Self::FenceTooShort
            | Self::PadTooThick
            | Self::SledTooShort
            | Self::CutTooLongForSled
            | Self::ReferenceTooShort
            | Self::TooMuchWood
            | Self::NoTool => &[Method::GuideLine, Method::Plane],
            Self::TooLittleWood => &[Method::SandingBlock, Method::Plane],
        }
    }
}

/// Why a method was chosen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Reason {
    /// Only the last thousandths are left.
    LastThousandths,
    /// A few shavings do it, and a plane cannot kick back.
    FewShavings,
    /// The leaf is too small to be held at a saw by hand.
    SmallLeaf,
    /// The edge opposite bears on the fence all the way.
    FenceHolds,
    /// The edge is short for the fence; the sled holds the leaf by the edge that meets it.
    SledHolds,
    /// A line can be followed whatever the shape.
    LineCanBeFollowed,
    /// The shop ranks it first among those that are safe here.
    RankedFirst,
    /// The user asked for it.
    Asked,
    /// What was asked for is refused; this is the safe way instead.
    SafeInstead,
}

impl Reason {
    /// In plain words.
    pub fn text(self) -> &'static str {
        match self {
            Self::LastThousandths => "only the last thousandths are left",
            Self::FewShavings => "a few shavings do it, and a plane cannot kick back",
            Self::SmallLeaf => "so small a leaf is planed in a vice: no hand comes near a blade",
            Self::FenceHolds => "the opposite edge bears on the fence all the way",
            Self::SledHolds => "the sled holds the leaf by the edge that meets the cut",
            Self::LineCanBeFollowed => "a line can be followed whatever the shape of the leaf",
            Self::RankedFirst => "your own ranking puts it first among what is safe here",
            Self::Asked => "you asked for it",
            Self::SafeInstead => "what you asked for is refused; this is the safe way instead",
        }
    }
}

/// Something taken for granted because nobody measured it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Assumption {
    /// Leaf widths are nominal: equal at both ends.
    WidthsNominal,
    /// The leaf's corners are taken as square.
    CornersSquare,
    /// The edge on the fence is taken as straight.
    EdgeStraight,
    /// The pad's stock, or the plane's shaving, is a starting value.
    StartingValue,
}

impl Assumption {
    /// What to measure.
    pub fn text(self, edge_is_upright: bool) -> &'static str {
        match (self, edge_is_upright) {
            (Self::WidthsNominal, true) => "measure the leaf's width at the top and at the bottom first",
            (Self::WidthsNominal, false) => "measure the leaf's height at the left and at the right first",
            (Self::CornersSquare, _) => "check the corner on the sled's fence with a square first",
            (Self::EdgeStraight, _) => "lay a straightedge on the edge that rides the fence first",
            (Self::StartingValue, _) => "a thickness here is a starting value: measure a stack of ten and divide",
        }
    }
}
