//! From an opening's log and the shop's settings to what [`crate::before`] tells of them: the same for
//! the screen and for the commands.
//!
//! - [`sizes`]: survey, finished sizes, blanks. [`stacked`]: heights of fronts one above another. [`sparing`]: have they
//!   wood enough? [`cutting`]: the cut list of the whole shop. [`ticks`]: what of it is sawn.
//! - [`year`]: raw reveal and the gap through the year. [`swinging`], [`flushness`], [`assigning`]. [`told`]: in words.

pub mod assigning;
pub mod cutting;
pub mod flush_words;
pub mod flushness;
pub mod sizes;
pub mod sparing;
pub mod stacked;
pub mod swinging;
pub mod ticks;
pub mod told;
pub mod year;

use crate::before::survey::SurveyError;
use crate::fit::length::Show;

/// What must be known first.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Missing {
    /// Nothing was measured.
    #[error("the opening is not measured yet: press s there, or enter a 'survey' event")]
    Survey,
    /// The survey makes no shape.
    #[error("the survey: {0}")]
    Shape(SurveyError),
    /// Readings of the survey contradict each other: which of them may be the mistaken ones.
    #[error(
        "the tape contradicts itself: measure again {0}, or leave it out (press s there); until then there is no size \
         to saw to"
    )]
    Doubted(String),
    /// How a leaf is made.
    #[error("it was never said how {0} is made: press m on its blank (b), or enter a 'build' event")]
    Build(String),
    /// The heights said do not add up to the opening's.
    #[error("{}", .0.told(Show::default()))]
    Heights(Box<stacked::Misfit>),
    /// The reveals leave nothing.
    #[error("the reveals leave nothing of {0}: check the survey and the reveals wanted")]
    NoSize(String),
    /// No leaf at all.
    #[error("no leaf is named here yet: describe the opening with its gap lines")]
    NoLeaf,
}

impl Missing {
    /// In words, with lengths as the shop shows them.
    pub fn told(&self, show: Show) -> String {
        match self {
            Self::Heights(misfit) => misfit.told(show),
            other => other.to_string(),
        }
    }
}
