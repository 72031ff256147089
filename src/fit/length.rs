//! Exact lengths: parsed as the trade writes them, kept as a ratio of inches, shown to the shop's resolution.
//!
//! An inch is 25.4 mm exactly (International Yard and Pound Agreement, 1959), so every length that
//! can be typed is a ratio and stays one. `f64` appears only where a length enters the solver
//! ([`Length::inches`]) or leaves it ([`Length::from_inches_near`]).

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
    /// `1,000` could be one or a thousand.
    #[error("a comma before three digits could mean thousands; use a point")]
    AmbiguousComma,
}

const EXAMPLE_INCH: &str = "3/32, 23 7/8, 0.094 or 2.4mm";
const EXAMPLE_MM: &str = "2.4, 597.5mm or 3/32\"";

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
        Reader::new(text, unit).read()
    }

    /// A JSON number in `unit`, taken by its shortest decimal writing, so `0.1` is one tenth.
    /// May be negative. `None` when it is not finite, too long or too fine.
    pub fn from_number(number: f64, unit: Unit) -> Option<Self> {
        if !number.is_finite() || number.abs() > 40_000.0 {
            return None;
        }
        // Finer than a millionth of a millionth has no meaning in wood and would not fit.
        let text = if number.abs() < 1e-3 { format!("{:.20}", number.abs()) } else { format!("{}", number.abs()) };
        let length = Self::parse(&text, unit).ok()?;
        Some(if number < 0.0 { length.negated() } else { length })
    }

    /// The nearest millionth of an inch to a solver value. `None` if it is not finite or absurd.
    pub fn from_inches_near(inches: f64) -> Option<Self> {
        let millionths = (inches * 1e6).round();
        (millionths.is_finite() && millionths.abs() < 1e15).then(|| Self(Ratio::new(millionths as i128, 1_000_000)))
    }

    /// For the solver: inches as `f64`.
    pub fn inches(self) -> f64 {
        *self.0.numer() as f64 / *self.0.denom() as f64
    }

    /// Sum; `None` on overflow.
    pub fn checked_add(self, other: Self) -> Option<Self> {
        self.0.checked_add(&other.0).map(Self)
    }

    /// Difference; `None` on overflow.
    pub fn checked_sub(self, other: Self) -> Option<Self> {
        self.0.checked_sub(&other.0).map(Self)
    }

    /// Product with a ratio `numerator / denominator`; `None` on overflow or a zero denominator.
    pub fn checked_scale(self, numerator: i64, denominator: i64) -> Option<Self> {
        if denominator == 0 {
            return None;
        }
        self.0.checked_mul(&Ratio::new(i128::from(numerator), i128::from(denominator))).map(Self)
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

    /// The nearest step of `style`, half to even, and what was rounded away (`self − shown`).
    pub fn rounded(self, style: Show) -> (Self, Self) {
        let step = match style {
            Show::Fraction(n) => Ratio::new(1, i128::from(n.max(1))),
            Show::DecimalInch(places) => Ratio::new(1, 10_i128.pow(u32::from(places.min(9)))),
            Show::Millimetre(places) => Ratio::new(10, 254 * 10_i128.pow(u32::from(places.min(9)))),
        };
        let steps = round_half_even(self.0 / step);
        let near = Self(step * Ratio::from_integer(steps));
        (near, Self(self.0 - near.0))
    }

    /// As the shop says it, rounded without a word: `23 7/8`, `0.094`, `2.4mm`.
    pub fn shown(self, style: Show) -> String {
        let (near, _) = self.rounded(style);
        let sign = if near.is_negative() { "-" } else { "" };
        let size = near.0.abs();
        match style {
            Show::Fraction(_) => format!("{sign}{}", fraction_text(size)),
            Show::DecimalInch(places) => format!("{sign}{}", decimal_text(size, places)),
            Show::Millimetre(places) => format!("{sign}{}mm", decimal_text(size * Ratio::new(254, 10), places)),
        }
    }

    /// As the shop says it, with what rounding hid when that is half a thousandth or more:
    /// `3/32 +0.004`.
    pub fn shown_with_error(self, style: Show) -> String {
        let (_, error) = self.rounded(style);
        let base = self.shown(style);
        let (amount, places, unit) = match style.unit() {
            Unit::Inch => (error.0, 3, ""),
            Unit::Millimetre => (error.0 * Ratio::new(254, 10), 2, "mm"),
        };
        let text = decimal_text(amount.abs(), places);
        if text.chars().all(|c| c == '0' || c == '.') {
            return base;
        }
        let sign = if amount.is_negative() { '-' } else { '+' };
        format!("{base} {sign}{text}{unit}")
    }

    /// A text that [`Length::parse`] reads back to exactly this length, whatever unit is set.
    /// Laps keep their sign here; readers of stored lengths use [`Length::parse_signed`].
    pub fn canonical(self) -> String {
        let sign = if self.is_negative() { "-" } else { "" };
        let size = self.0.abs();
        let denominator = *size.denom();
        if denominator <= 1024 && (denominator & (denominator - 1)) == 0 {
            return format!("{sign}{}\"", fraction_text(size));
        }
        if let Some(text) = finite_decimal(size) {
            return format!("{sign}{text}\"");
        }
        if let Some(text) = finite_decimal(size * Ratio::new(254, 10)) {
            return format!("{sign}{text}mm");
        }
        format!("{sign}{}/{}\"", size.numer(), size.denom())
    }

    /// Like [`Length::parse`], but a leading `-` is allowed.
    pub fn parse_signed(text: &str, unit: Unit) -> Result<Self, LengthError> {
        match text.trim_start().strip_prefix('-') {
            Some(rest) => Self::parse(rest, unit).map(Self::negated),
            None => Self::parse(text, unit),
        }
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

fn round_half_even(value: Ratio<i128>) -> i128 {
    let floor = value.floor().to_integer();
    let rest = value - Ratio::from_integer(floor);
    let half = Ratio::new(1, 2);
    if rest > half || (rest == half && floor % 2 != 0) { floor + 1 } else { floor }
}

fn fraction_text(size: Ratio<i128>) -> String {
    let whole = size.to_integer();
    let rest = size.fract();
    match (whole, rest.is_zero()) {
        (_, true) => format!("{whole}"),
        (0, false) => format!("{}/{}", rest.numer(), rest.denom()),
        (_, false) => format!("{whole} {}/{}", rest.numer(), rest.denom()),
    }
}

fn decimal_text(size: Ratio<i128>, places: u8) -> String {
    let places = u32::from(places.min(9));
    let scale = 10_i128.pow(places);
    let scaled = round_half_even(size * Ratio::from_integer(scale));
    if places == 0 {
        return format!("{scaled}");
    }
    format!("{}.{:0width$}", scaled / scale, scaled % scale, width = places as usize)
}

/// The exact decimal writing, if it ends within the digits that [`Length::parse`] takes.
fn finite_decimal(size: Ratio<i128>) -> Option<String> {
    let mut denominator = *size.denom();
    let (mut twos, mut fives) = (0_usize, 0_usize);
    while denominator % 2 == 0 {
        denominator /= 2;
        twos += 1;
    }
    while denominator % 5 == 0 {
        denominator /= 5;
        fives += 1;
    }
    let places = twos.max(fives);
    if denominator != 1 || places > MOST_DECIMALS {
        return None;
    }
    let scale = 10_i128.checked_pow(u32::try_from(places).ok()?)?;
    let scaled = (size.checked_mul(&Ratio::from_integer(scale))?).to_integer();
    if places == 0 {
        return Some(format!("{scaled}"));
    }
    Some(format!("{}.{:0width$}", scaled / scale, scaled % scale, width = places))
}

/// The unit that was written after a number.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Written {
    Foot,
    Inch,
    Millimetre,
    Centimetre,
}

struct Reader<'t> {
    text: &'t str,
    chars: Vec<char>,
    at: usize,
    unit: Unit,
}

struct Number {
    value: Ratio<i128>,
    fraction: bool,
}

impl<'t> Reader<'t> {
    fn new(text: &'t str, unit: Unit) -> Self {
        // No length needs more; the rest of a pasted page is not looked at.
        Self { text, chars: text.chars().take(80).collect(), at: 0, unit }
    }

    fn error_at(&self, position: usize, problem: LengthProblem) -> LengthError {
        let example = if self.unit == Unit::Inch { EXAMPLE_INCH } else { EXAMPLE_MM };
        let text: String = self.text.chars().take(40).collect();
        LengthError { text, position: position + 1, problem, example }
    }

    fn error(&self, problem: LengthProblem) -> LengthError {
        self.error_at(self.at, problem)
    }

    fn peek(&self) -> Option<char> {
        self.chars.get(self.at).copied()
    }

    fn skip_spaces(&mut self) {
        while self.peek().is_some_and(char::is_whitespace) {
            self.at += 1;
        }
    }

    fn read(mut self) -> Result<Length, LengthError> {
        self.skip_spaces();
        match self.peek() {
            None => return Err(self.error(LengthProblem::Empty)),
            Some('-' | '−') => return Err(self.error(LengthProblem::Negative)),
            Some('+') => self.at += 1,
            Some(_) => {}
        }
        let start = self.at;
        let first = self.number()?;
        let written = self.unit_mark()?;
        let mut inches = match written {
            Some(unit) => self.in_inches(&first, unit, start)?,
            None if self.unit == Unit::Millimetre => self.in_inches(&first, Written::Millimetre, start)?,
            None => first.value,
        };
        if written == Some(Written::Foot) {
            self.skip_spaces();
            if self.peek() == Some('-') {
                self.at += 1;
                self.skip_spaces();
            }
            if self.peek().is_some() {
                let start = self.at;
                let rest = self.number()?;
                match self.unit_mark()? {
                    None | Some(Written::Inch) => {}
                    Some(_) => return Err(self.error_at(start, LengthProblem::TrailingText)),
                }
                inches = inches.checked_add(&rest.value).ok_or_else(|| self.error(LengthProblem::TooLong))?;
            }
        }
        self.skip_spaces();
        if let Some(c) = self.peek() {
            let known = c.is_ascii_digit() || "./'\",".contains(c);
            return Err(self.error(if known { LengthProblem::TrailingText } else { LengthProblem::Strange }));
        }
        if inches > Ratio::from_integer(LONGEST_INCHES) {
            return Err(self.error_at(start, LengthProblem::TooLong));
        }
        Ok(Length(inches))
    }

    fn in_inches(&self, number: &Number, unit: Written, start: usize) -> Result<Ratio<i128>, LengthError> {
        let factor = match unit {
            Written::Foot => Ratio::from_integer(12),
            Written::Inch => Ratio::from_integer(1),
            Written::Millimetre => Ratio::new(10, 254),
            Written::Centimetre => Ratio::new(100, 254),
        };
        if number.fraction && matches!(unit, Written::Millimetre | Written::Centimetre) {
            return Err(self.error_at(start, LengthProblem::MetricFraction));
        }
        number.value.checked_mul(&factor).ok_or_else(|| self.error_at(start, LengthProblem::TooLong))
    }

    /// `23`, `23 7/8`, `23-7/8`, `7/8`, `.5`, `0,5`, `½`, `1¾`, `7⁄8`.
    fn number(&mut self) -> Result<Number, LengthError> {
        if let Some(value) = self.vulgar_fraction() {
            return Ok(Number { value, fraction: true });
        }
        let start = self.at;
        let whole = self.digits()?;
        if self.peek().is_some_and(|c| c == '.' || c == ',') {
            return self.decimal(whole.unwrap_or(0));
        }
        let Some(whole) = whole else {
            let known = self.peek().is_none_or(|c| c.is_ascii_alphabetic() || "/'\"".contains(c));
            let problem = if known { LengthProblem::NumberMissing } else { LengthProblem::Strange };
            return Err(self.error(problem));
        };
        if let Some(fraction) = self.over(whole)? {
            return Ok(Number { value: fraction, fraction: true });
        }
        if whole > LONGEST_INCHES * 26 {
            return Err(self.error_at(start, LengthProblem::TooLong));
        }
        let value = Ratio::from_integer(whole);
        // A fraction may follow after a space or a dash, or at once if it is one character.
        let mark = self.at;
        if let Some(part) = self.vulgar_fraction() {
            return Ok(Number { value: value + part, fraction: true });
        }
        self.skip_spaces();
        if self.peek() == Some('-') {
            self.at += 1;
            self.skip_spaces();
        }
        if self.at > mark {
            if let Some(part) = self.vulgar_fraction() {
                return Ok(Number { value: value + part, fraction: true });
            }
            if self.peek().is_some_and(|c| c.is_ascii_digit()) {
                let part_start = self.at;
                let numerator = self.digits()?.unwrap_or(0);
                return match self.over(numerator)? {
                    Some(part) => Ok(Number { value: value + part, fraction: true }),
                    None => Err(self.error_at(part_start, LengthProblem::TrailingText)),
                };
            }
        }
        self.at = mark;
        Ok(Number { value, fraction: false })
    }

    /// The denominator part, if a fraction bar is next.
    fn over(&mut self, numerator: i128) -> Result<Option<Ratio<i128>>, LengthError> {
        if !self.peek().is_some_and(|c| c == '/' || c == '⁄') {
            return Ok(None);
        }
        self.at += 1;
        let at = self.at;
        let Some(denominator) = self.digits()? else {
            return Err(self.error(LengthProblem::NumberMissing));
        };
        if denominator == 0 {
            return Err(self.error_at(at, LengthProblem::ZeroDenominator));
        }
        if denominator > LARGEST_DENOMINATOR {
            return Err(self.error_at(at, LengthProblem::Denominator));
        }
        Ok(Some(Ratio::new(numerator, denominator)))
    }

    fn decimal(&mut self, whole: i128) -> Result<Number, LengthError> {
        let mark = self.at;
        let comma = self.peek() == Some(',');
        self.at += 1;
        let start = self.at;
        let mut digits = String::new();
        while let Some(c) = self.peek().filter(char::is_ascii_digit) {
            digits.push(c);
            self.at += 1;
        }
        if digits.is_empty() {
            return Err(self.error_at(start, LengthProblem::NumberMissing));
        }
        if digits.len() > MOST_DECIMALS {
            return Err(self.error_at(start + MOST_DECIMALS, LengthProblem::TooManyDigits));
        }
        if comma && digits.len() == 3 && whole > 0 {
            return Err(self.error_at(mark, LengthProblem::AmbiguousComma));
        }
        if whole > LONGEST_INCHES * 26 {
            return Err(self.error_at(0, LengthProblem::TooLong));
        }
        let scale = 10_i128.pow(digits.len() as u32);
        let part: i128 = digits.parse().map_err(|_| self.error_at(start, LengthProblem::TooManyDigits))?;
        Ok(Number { value: Ratio::from_integer(whole) + Ratio::new(part, scale), fraction: false })
    }

    fn digits(&mut self) -> Result<Option<i128>, LengthError> {
        let start = self.at;
        let mut value: i128 = 0;
        while let Some(digit) = self.peek().and_then(|c| c.to_digit(10)) {
            value = value * 10 + i128::from(digit);
            self.at += 1;
            if self.at - start > 12 {
                return Err(self.error_at(start, LengthProblem::TooManyDigits));
            }
        }
        Ok((self.at > start).then_some(value))
    }

    fn vulgar_fraction(&mut self) -> Option<Ratio<i128>> {
        let (numerator, denominator) = match self.peek()? {
            '½' => (1, 2),
            '⅓' => (1, 3),
            '⅔' => (2, 3),
            '¼' => (1, 4),
            '¾' => (3, 4),
            '⅛' => (1, 8),
            '⅜' => (3, 8),
            '⅝' => (5, 8),
            '⅞' => (7, 8),
            _ => return None,
        };
        self.at += 1;
        Some(Ratio::new(numerator, denominator))
    }

    fn unit_mark(&mut self) -> Result<Option<Written>, LengthError> {
        let mark = self.at;
        self.skip_spaces();
        let start = self.at;
        match self.peek() {
            Some('"' | '″' | '”') => {
                self.at += 1;
                return Ok(Some(Written::Inch));
            }
            Some('\'' | '′' | '’') => {
                self.at += 1;
                if self.peek().is_some_and(|c| c == '\'' || c == '′' || c == '’') {
                    self.at += 1;
                    return Ok(Some(Written::Inch));
                }
                return Ok(Some(Written::Foot));
            }
            _ => {}
        }
        let word: String = self.chars[start..].iter().take_while(|c| c.is_alphabetic()).collect();
        let written = match word.to_ascii_lowercase().as_str() {
            "" => {
                self.at = mark;
                return Ok(None);
            }
            "in" | "inch" | "inches" => Written::Inch,
            "ft" | "foot" | "feet" => Written::Foot,
            "mm" => Written::Millimetre,
            "cm" => Written::Centimetre,
            _ => return Err(self.error_at(start, LengthProblem::Strange)),
        };
        self.at = start + word.chars().count();
        Ok(Some(written))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inch(text: &str) -> Length {
        Length::parse(text, Unit::Inch).unwrap()
    }

    #[test]
    fn reads_what_woodworkers_write() {
        for (text, numerator, denominator) in [
            ("3/32", 3, 32),
            ("23 7/8", 191, 8),
            ("23-7/8\"", 191, 8),
            ("1' 3 1/2\"", 31, 2),
            (".094", 47, 500),
            ("0.094in", 47, 500),
            ("2.4mm", 12, 127),
            ("2,4 mm", 12, 127),
            ("½", 1, 2),
            ("1¾", 7, 4),
            ("24cm", 1200, 127),
            ("1-3/16\"", 19, 16),
            ("7⁄8", 7, 8),
            ("2'", 24, 1),
            ("2 ft 3", 27, 1),
            ("0", 0, 1),
        ] {
            assert_eq!(inch(text), Length::ratio(numerator, denominator), "{text}");
        }
    }

    #[test]
    fn refuses_the_rest_with_the_place() {
        for (text, position, problem) in [
            ("", 1, LengthProblem::Empty),
            ("3/0", 3, LengthProblem::ZeroDenominator),
            ("-3", 1, LengthProblem::Negative),
            ("3x", 2, LengthProblem::Strange),
            ("3 4", 3, LengthProblem::TrailingText),
            ("3/", 3, LengthProblem::NumberMissing),
            ("99999999999999999999", 1, LengthProblem::TooManyDigits),
            ("40000", 1, LengthProblem::TooLong),
            ("1201", 1, LengthProblem::TooLong),
            ("1/2mm", 1, LengthProblem::MetricFraction),
            ("1,000", 2, LengthProblem::AmbiguousComma),
            ("1/99999", 3, LengthProblem::Denominator),
        ] {
            let error = Length::parse(text, Unit::Inch).unwrap_err();
            assert_eq!((error.position, error.problem), (position, problem), "{text}: {error}");
        }
    }

    #[test]
    fn shows_lowest_terms_rounded_half_to_even() {
        assert_eq!(inch("0.75").shown(Show::Fraction(64)), "3/4");
        assert_eq!(Length::ratio(1, 128).shown(Show::Fraction(64)), "0");
        assert_eq!(Length::ratio(3, 128).shown(Show::Fraction(64)), "1/32");
        assert_eq!(inch("0.0978").shown_with_error(Show::Fraction(32)), "3/32 +0.004");
        assert_eq!(inch("2.4mm").shown(Show::Millimetre(1)), "2.4mm");
        assert_eq!(inch("23.875").shown(Show::Fraction(64)), "23 7/8");
    }

    #[test]
    fn canonical_text_reads_back_exactly() {
        for text in ["3/32", "2.4mm", "0.0938", "1/3", "1' 3 1/2\"", "0.1mm"] {
            let length = inch(text);
            assert_eq!(Length::parse_signed(&length.canonical(), Unit::Millimetre).unwrap(), length, "{text}");
            assert_eq!(Length::parse_signed(&length.negated().canonical(), Unit::Inch).unwrap(), length.negated());
        }
    }
}
