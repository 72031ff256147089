//! How a gap stands against its reveal, as a mark and a word.

use crate::screen::theme::Role;

/// How a station stands against the reveal wanted there.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Standing {
    /// Not read yet.
    #[default]
    Unread,
    /// Below the reveal by more than the tolerance.
    Tight,
    /// Within tolerance.
    Right,
    /// Above the reveal by more than the tolerance.
    Wide,
}

impl Standing {
    /// Of a gap against its target; a miss equal to the tolerance is still right. All in one unit.
    pub fn of(gap: f64, target: f64, tolerance: f64) -> Self {
        let miss = gap - target;
        // The solver's last digits must not turn a gap that is just within into one that is not.
        let within = tolerance.abs() + 1e-9;
        if miss.is_nan() {
            Self::Unread
        } else if miss < -within {
            Self::Tight
        } else if miss > within {
            Self::Wide
        } else {
            Self::Right
        }
    }

    /// Two characters that read at arm's length: pressed together, level, pulled apart.
    pub fn mark(self) -> &'static str {
        match self {
            Self::Unread => "·",
            Self::Tight => "><",
            Self::Right => "==",
            Self::Wide => "<>",
        }
    }

    /// The word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Unread => "unread",
            Self::Tight => "tight",
            Self::Right => "right",
            Self::Wide => "wide",
        }
    }

    /// What the theme calls it.
    pub fn role(self) -> Role {
        match self {
            Self::Unread => Role::Unread,
            Self::Tight => Role::Tight,
            Self::Right => Role::Right,
            Self::Wide => Role::Wide,
        }
    }
}

/// The words that explain the marks, for a legend.
pub const LEGEND: &str = ">< tight == right <> wide · unread";
