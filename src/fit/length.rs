//! Exact lengths: parsed as the trade writes them, kept as a ratio of inches, shown to the shop's resolution.
//!
//! An inch is 25.4 mm exactly (International Yard and Pound Agreement, 1959), so every length that
//! can be typed is a ratio and stays one. `f64` appears only where a length enters the solver
//! ([`Length::inches`]) or leaves it ([`Length::from_inches_near`]).

mod reader;
mod show;

use num_rational::Ratio;
use num_traits::{CheckedAdd, CheckedMul, CheckedSub, Signed, Zero};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt;

/// Largest length accepted, in inches (100 ft). Anything beyond it is a slip of the finger.
pub const LONGEST_INCHES: i128 = 1200;
/// Largest denominator accepted in a typed fraction.
pub const LARGEST_DENOMINATOR: i128 = 10_000;
/// Most digits accepted after a decimal mark (an `f64` written out in full has at most 17).
const MOST_DECIMALS: usize = 20;

/// Largest numerator and denominator held, in inches. Everything that can be typed fits (twenty
/// decimals of a millimetre make a denominator of 1.3e22), and every product that showing a length
/// needs (at most 2.54e11 times either) stays within `i128`.
const LARGEST_PART: i128 = 1 << 86;

/// The length of that many inches, if its parts can be held.
fn held(inches: Ratio<i128>) -> Option<Length> {
    (inches.numer().abs() <= LARGEST_PART && *inches.denom() <= LARGEST_PART).then_some(Length(inches))
}

/// An exact length (or gap, or removal) in inches; may be negative (a lap is a negative gap).
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Length(Ratio<i128>);

/// The unit that a bare number is in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Unit {
    /// Inches.
    #[default]
    #[serde(rename = "in")]
    Inch,
    /// Millimetres.
    #[serde(rename = "mm")]
    Millimetre,
}

/// How lengths are shown: the shop's unit and resolution.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Show {
    /// Inch fractions to `1/n`; `n` is a power of two (32, 64 or 128).
    Fraction(u16),
    /// Decimal inches with this many places.
    DecimalInch(u8),
    /// Millimetres with this many places.
    Millimetre(u8),
}

impl Default for Show {
    fn default() -> Self {
        Self::Fraction(64)
    }
}

impl Show {
    /// The unit that a bare number typed in this style is in.
    pub fn unit(self) -> Unit {
        match self {
            Self::Millimetre(_) => Unit::Millimetre,
            Self::Fraction(_) | Self::DecimalInch(_) => Unit::Inch,
        }
    }
}

/// Why a text is not a length: what was found, where, and what is allowed.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("'{text}' is not a length: {problem} at character {position}; write it like {example}")]
pub struct LengthError {
    /// The text as it was given (shortened if it is very long).
    pub text: String,
    /// Which character the trouble is at, counted from 1.
    pub position: usize,
    /// What is wrong there.
    pub problem: LengthProblem,
    /// A length written properly.
    pub example: &'static str,
}

/// What is wrong with a text that should be a length.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LengthProblem {
    /// Nothing was written.
    #[error("nothing is written")]
    Empty,
    /// A character that no length has.
    #[error("a length has no such character")]
    Strange,
    /// A number was expected.
    #[error("a number is missing")]
    NumberMissing,
    /// Text after a complete length.
    #[error("the length was already complete")]
    TrailingText,
    /// A fraction over zero.
    #[error("a fraction cannot be over 0")]
    ZeroDenominator,
    /// A fraction with an unbelievable denominator.
    #[error("a fraction goes no finer than 1/{LARGEST_DENOMINATOR}")]
    Denominator,
    /// A length that nobody has in a shop.
    #[error("the length is over 100 ft (30.48 m)")]
    TooLong,
    /// Below zero.
    #[error("a length is not below zero (a lap is entered as a lap)")]
    Negative,
    /// Fraction with a decimal part or a metric unit.
    #[error("a fraction goes with inches only")]
    MetricFraction,
    /// Digits beyond what can be held exactly.
    #[error("too many digits")]
    TooManyDigits,
    /// Longer than any length is written.
    #[error("no length is written in more than 80 characters")]
    TextTooLong,
    /// `1,000` could be one or a thousand.
    #[error("a comma before three digits could mean thousands; use a point")]
    AmbiguousComma,
}

impl Length {
    /// Nothing at all.
    pub const ZERO: Self = Self(Ratio::new_raw(0, 1));

    /// `numerator / denominator` inches.
    ///
    /// # Panics
    /// If `denominator` is zero: for constants in code, never for what a user typed.
    pub fn ratio(numerator: i64, denominator: i64) -> Self {
        Self(Ratio::new(i128::from(numerator), i128::from(denominator)))
    }

    /// Reads a length; a bare number is in `unit`. See [`LengthError`] for what is refused.
    ///
    /// ```
    /// use evenreveal::fit::length::{Length, Unit};
    /// assert_eq!(Length::parse("23-7/8\"", Unit::Inch).unwrap(), Length::ratio(191, 8));
    /// assert_eq!(Length::parse("2,4 mm", Unit::Inch).unwrap(), Length::ratio(12, 127));
    /// assert!(Length::parse("3/0", Unit::Inch).is_err());
    /// ```
    pub fn parse(text: &str, unit: Unit) -> Result<Self, LengthError> {
        reader::Reader::new(text, unit).read()
    }

    /// A JSON number in `unit`, taken by its shortest decimal writing, so `0.1` is one tenth.
    /// May be negative. `None` when it is not finite or over [`LONGEST_INCHES`]; what lies beyond
    /// twenty decimals is rounded away.
    pub fn from_number(number: f64, unit: Unit) -> Option<Self> {
        if !number.is_finite() || number.abs() > 40_000.0 {
            return None;
        }
        // Rust writes an f64 with the fewest digits that mean it, and never with an exponent.
        let mut text = format!("{}", number.abs());
        if text.split_once('.').is_some_and(|(_, decimals)| decimals.len() > MOST_DECIMALS) {
            // Finer than this has no meaning in wood.
            text = format!("{:.MOST_DECIMALS$}", number.abs());
        }
        let length = Self::parse(&text, unit).ok()?;
        Some(if number < 0.0 { length.negated() } else { length })
    }

    /// The nearest millionth of an inch to a solver value, or the 1/1024 it stands on but for the solver's
    /// rounding (so that 13/128 stays the tie it is). `None` if it is not finite or absurd.
    pub fn from_inches_near(inches: f64) -> Option<Self> {
        let fine = (inches * 1024.0).round();
        if fine.abs() < 1e12 && (inches * 1024.0 - fine).abs() < 1e-7 {
            return Some(Self(Ratio::new(fine as i128, 1024)));
        }
        let millionths = (inches * 1e6).round();
        (millionths.is_finite() && millionths.abs() < 1e15).then(|| Self(Ratio::new(millionths as i128, 1_000_000)))
    }

    /// For the solver: inches as `f64`.
    pub fn inches(self) -> f64 {
        *self.0.numer() as f64 / *self.0.denom() as f64
    }

    /// Sum; `None` when it cannot be held.
    pub fn checked_add(self, other: Self) -> Option<Self> {
        self.0.checked_add(&other.0).and_then(held)
    }

    /// Difference; `None` when it cannot be held.
    pub fn checked_sub(self, other: Self) -> Option<Self> {
        self.0.checked_sub(&other.0).and_then(held)
    }

    /// Product with a ratio `numerator / denominator`; `None` when it cannot be held, or on a zero denominator.
    pub fn checked_scale(self, numerator: i64, denominator: i64) -> Option<Self> {
        if denominator == 0 {
            return None;
        }
        self.0.checked_mul(&Ratio::new(i128::from(numerator), i128::from(denominator))).and_then(held)
    }

    /// The same length with the other sign.
    #[must_use]
    pub fn negated(self) -> Self {
        Self(-self.0)
    }

    /// Without its sign.
    #[must_use]
    pub fn abs(self) -> Self {
        Self(self.0.abs())
    }

    /// Below zero (a lap)?
    pub fn is_negative(self) -> bool {
        self.0.is_negative()
    }

    /// Exactly zero?
    pub fn is_zero(self) -> bool {
        self.0.is_zero()
    }

    /// For stored lengths: like [`Length::parse`], but a leading `-` is allowed, and so is the exact
    /// ratio (`=24385/24384"`) that [`Length::canonical`] writes where no shop writing is exact.
    pub fn parse_signed(text: &str, unit: Unit) -> Result<Self, LengthError> {
        reader::Reader::stored(text, unit).read()
    }
}

/// A solver value in inches (a gap, a miss, a removal, a shift).
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Inches(pub f64);

/// A solver value in square inches (wood on the face).
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct SquareInches(pub f64);

/// A small turn in radians, anticlockwise seen from the front.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Radians(pub f64);

impl Inches {
    /// The plain number.
    pub fn get(self) -> f64 {
        self.0
    }

    /// The nearest millionth of an inch, exact from there on; zero if the number is not finite.
    pub fn length(self) -> Length {
        Length::from_inches_near(self.0).unwrap_or(Length::ZERO)
    }

    /// As the shop says it.
    pub fn shown(self, style: Show) -> String {
        self.length().shown(style)
    }
}

impl fmt::Debug for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Length({})", self.canonical())
    }
}

/// The [canonical](Length::canonical) text.
impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.canonical())
    }
}

impl Default for Length {
    fn default() -> Self {
        Self::ZERO
    }
}

impl Serialize for Length {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.canonical())
    }
}

impl<'de> Deserialize<'de> for Length {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = std::borrow::Cow::<'de, str>::deserialize(deserializer)?;
        Self::parse_signed(&text, Unit::Inch).map_err(serde::de::Error::custom)
    }
}
