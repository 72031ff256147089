//! Finish film and sanding still to come: from the reveal wanted when all is done to the raw reveal
//! that the leaf is fitted to now.

use crate::fit::length::Length;
use serde::{Deserialize, Serialize};

/// Coats of one product.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Coat {
    /// What it is (`lacquer`, `primer`).
    pub name: String,
    /// How many coats of it.
    pub coats: u32,
    /// Dry thickness of one coat.
    pub dry: Length,
}

/// A finish schedule of the shop: what goes on, and how much is sanded off an edge before and between.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct FinishSchedule {
    /// The shop's name for it.
    pub name: String,
    /// What goes on, first coat first.
    #[serde(default)]
    pub coats: Vec<Coat>,
    /// Wood that sanding takes off one edge of the leaf before the film.
    #[serde(default = "no_sanding")]
    pub sanding: Length,
}

fn no_sanding() -> Length {
    Length::ZERO
}

impl FinishSchedule {
    /// No film, no sanding.
    pub fn bare() -> Self {
        Self { name: "bare".to_owned(), coats: Vec::new(), sanding: Length::ZERO }
    }

    /// Finishes of a shop that has measured none. Lacquer about 0.001 in dry a coat is common practice, no
    /// published source; paint at 0.002 in a coat, an oil without a film and 0.002 in of sanding are guesses.
    pub fn starting() -> Vec<Self> {
        let thousandths = |n| Length::ratio(n, 1000);
        let schedule = |name: &str, coats: u32, dry, sanding| Self {
            name: name.to_owned(),
            coats: vec![Coat { name: name.to_owned(), coats, dry: thousandths(dry) }],
            sanding: thousandths(sanding),
        };
        vec![schedule("lacquer", 3, 1, 2), schedule("paint", 3, 2, 2), schedule("oil", 2, 0, 2)]
    }

    /// Dry film on one surface. [`FilmError::TooLarge`] if it cannot be held.
    pub fn film(&self) -> Result<Length, FilmError> {
        self.coats.iter().try_fold(Length::ZERO, |sum, coat| {
            coat.dry
                .checked_scale(i64::from(coat.coats), 1)
                .and_then(|film| sum.checked_add(film))
                .ok_or(FilmError::TooLarge)
        })
    }
}

/// What is still to happen to one of the two surfaces that face each other across a gap.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Surface {
    /// Dry film still to come: closes the gap.
    pub film: Length,
    /// Sanding still to come: opens the gap.
    pub sanding: Length,
}

impl Surface {
    /// A leaf's edge under a schedule that has not begun.
    pub fn under(schedule: &FinishSchedule) -> Result<Self, FilmError> {
        Ok(Self { film: schedule.film()?, sanding: schedule.sanding })
    }

    /// A frame's edge under a schedule: film, but the frame's edge is not sanded away.
    pub fn frame_under(schedule: &FinishSchedule) -> Result<Self, FilmError> {
        Ok(Self { film: schedule.film()?, sanding: Length::ZERO })
    }
}

/// Why a raw reveal cannot be told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum FilmError {
    /// The sum is beyond what a length can hold.
    #[error("the coats add up to more than a length can hold; check each coat's dry thickness and number")]
    TooLarge,
    /// Sanding alone would open the gap beyond the reveal wanted.
    #[error(
        "sanding still to come ({sanding}) is more than the reveal and films together: the leaf would be fitted with no gap at all; sand less or fit after sanding"
    )]
    NoGapLeft {
        /// Sanding of both surfaces, in inches.
        sanding: Length,
    },
}

/// Raw reveal to fit to now: the finished reveal, plus the films of both surfaces, less the sanding
/// still to come (design rule; plain addition). [`FilmError::NoGapLeft`] when that is not above zero.
///
/// ```
/// use evenreveal::before::film::{raw_reveal, Surface};
/// use evenreveal::fit::length::Length;
/// let leaf = Surface { film: Length::ratio(3, 1000), sanding: Length::ratio(5, 1000) };
/// let frame = Surface { film: Length::ratio(3, 1000), sanding: Length::ZERO };
/// // 3/32 + 0.003 + 0.003 − 0.005 = 0.09475
/// assert_eq!(raw_reveal(Length::ratio(3, 32), leaf, frame).unwrap(), Length::ratio(379, 4000));
/// ```
pub fn raw_reveal(finished: Length, one: Surface, other: Surface) -> Result<Length, FilmError> {
    let sum = |a: Length, b: Length| a.checked_add(b).ok_or(FilmError::TooLarge);
    let films = sum(one.film, other.film)?;
    let sanding = sum(one.sanding, other.sanding)?;
    let raw = sum(finished, films)?.checked_sub(sanding).ok_or(FilmError::TooLarge)?;
    if raw.is_negative() || raw.is_zero() { Err(FilmError::NoGapLeft { sanding }) } else { Ok(raw) }
}
