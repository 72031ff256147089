//! How a fit problem contradicts itself: typed, with what, where, and what is allowed.

use super::opening::Edge;

/// How a problem contradicts itself: what, where, and what is allowed.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ProblemFault {
    /// No leaf at all.
    #[error("there is no leaf; an opening has at least one")]
    NoLeaf,
    /// More than anyone fits.
    #[error("{found} {what}; at most {most} are allowed")]
    TooMany {
        /// Leaves, gap lines or readings.
        what: &'static str,
        /// How many there are.
        found: usize,
        /// How many may be.
        most: usize,
    },
    /// Two leaves of one name.
    #[error("two leaves are called '{0}'; each needs its own id")]
    DuplicateLeaf(String),
    /// A leaf without size.
    #[error("leaf '{leaf}': {what} must be above zero")]
    LeafSize {
        /// Its id.
        leaf: String,
        /// Width or height.
        what: &'static str,
    },
    /// A tolerance that is none.
    #[error("the tolerance must be above zero")]
    Tolerance,
    /// A reveal below zero.
    #[error("gap line {gap}: the target must not be below zero")]
    Target {
        /// Place in the list of gap lines.
        gap: usize,
    },
    /// Frame against frame, a leaf against itself, or edges that do not face each other.
    #[error(
        "gap line {gap}: these two do not face each other; a leaf's edge faces the frame or the opposite edge of another leaf (A.right and B.left, A.top and B.bottom)"
    )]
    NotFacing {
        /// Place in the list of gap lines.
        gap: usize,
    },
    /// A leaf that is not in the list.
    #[error("gap line {gap}: there is no leaf number {leaf}")]
    NoSuchLeaf {
        /// Place in the list of gap lines.
        gap: usize,
        /// The place named.
        leaf: usize,
    },
    /// An edge whose gap is described twice to the frame.
    #[error("gap line {gap} describes the same two edges as gap line {earlier}")]
    SameGapTwice {
        /// Place in the list of gap lines.
        gap: usize,
        /// The earlier one.
        earlier: usize,
    },
    /// A station beyond the end of an edge.
    #[error(
        "gap line {gap}, reading {reading}: the station lies outside the {edge} edge of leaf '{leaf}', which runs from 0 to {length} in"
    )]
    OutsideEdge {
        /// Place in the list of gap lines.
        gap: usize,
        /// Place in its list of readings.
        reading: usize,
        /// The leaf's id.
        leaf: String,
        /// Its edge.
        edge: Edge,
        /// The edge's length.
        length: String,
    },
    /// A feeler interval upside down.
    #[error("gap line {gap}, reading {reading}: the feeler that stops must be thicker than the one that goes")]
    StopsNotAboveGoes {
        /// Place in the list of gap lines.
        gap: usize,
        /// Place in its list of readings.
        reading: usize,
    },
    /// A hanging that fixes no pose.
    #[error("leaf '{leaf}': {what}")]
    Hanging {
        /// Its id.
        leaf: String,
        /// What is wrong, and what is allowed.
        what: &'static str,
    },
}
