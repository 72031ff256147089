//! What is to be done next in an opening, as far as its log alone tells.

/// Why nothing may be built on a log.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unsound {
    /// A line is damaged, missing or doubled: what was done after it is not known.
    Damaged,
    /// A newer build wrote it: what that build added is not known.
    Newer,
    /// The file cannot be read.
    Unreadable,
}

/// What is to be done next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    /// See to the log first: what is to be done cannot be told from part of it.
    Unsound(Unsound),
    /// Describe the opening or its leaves.
    Describe,
    /// Measure the opening: a leaf has no size yet.
    Survey,
    /// Measure the opening again: its readings contradict each other, a leaf has no size yet.
    Resurvey,
    /// Size the blank: the opening is measured, a leaf has no size yet.
    Blank,
    /// Take the readings of this round.
    Read {
        /// Number of the round to read.
        round: u32,
    },
    /// Decide: this round is read, no plan is accepted.
    Decide {
        /// Number of the round.
        round: u32,
    },
    /// Do what the accepted plan says.
    Cut {
        /// Number of the round.
        round: u32,
        /// Edges still to be cut.
        left: usize,
        /// Hinges still to be packed or let in.
        packs: usize,
    },
    /// The plan accepted last says that it fits.
    Fitted {
        /// Number of the round.
        round: u32,
    },
    /// The plan accepted last leaves it as good as it gets, within tolerance as far as can be told.
    Settled {
        /// Number of the round.
        round: u32,
    },
    /// The plan accepted last says that wood is missing, and nothing of it is left to cut.
    Short {
        /// Number of the round.
        round: u32,
    },
}

/// How the latest round stands.
#[derive(Clone, Copy, Debug)]
pub(super) struct Standing<'a> {
    pub(super) round: u32,
    pub(super) read: bool,
    /// Was anything cut or packed after it was read?
    pub(super) changed: bool,
    pub(super) verdict: Option<&'a str>,
    /// Edges of its plan not cut yet.
    pub(super) left: usize,
    /// Hinges of its plan not packed yet.
    pub(super) packs: usize,
}

/// What is known of an opening and its leaves.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
// Four independent facts.
#[allow(clippy::struct_excessive_bools)]
pub(super) struct Known {
    pub(super) described: bool,
    pub(super) survey: bool,
    /// Do the readings of the survey contradict each other?
    pub(super) contradicts: bool,
    /// Has every leaf a size?
    pub(super) leaves: bool,
}

/// What is to be done next in an opening of which this is known, given its latest round.
pub(super) fn stage_of(known: Known, latest: Option<&Standing<'_>>) -> Stage {
    match known {
        Known { described: false, .. } => return Stage::Describe,
        Known { leaves: false, survey: false, .. } => return Stage::Survey,
        Known { leaves: false, contradicts: true, .. } => return Stage::Resurvey,
        Known { leaves: false, .. } => return Stage::Blank,
        Known { leaves: true, .. } => {}
    }
    let Some(&Standing { round, read, changed, verdict, left, packs }) = latest else {
        return Stage::Read { round: 1 };
    };
    match verdict {
        _ if left + packs > 0 => Stage::Cut { round, left, packs },
        _ if !read && round > 0 => Stage::Read { round },
        _ if !read || changed => Stage::Read { round: round + 1 },
        None => Stage::Decide { round },
        Some("fitted") => Stage::Fitted { round },
        Some("as-good") => Stage::Settled { round },
        Some("short") => Stage::Short { round },
        Some(_) => Stage::Read { round: round + 1 },
    }
}
