//! Reading a length as it was written: one pass over the characters, so that every refusal knows
//! its place.

use super::{LARGEST_DENOMINATOR, LONGEST_INCHES, Length, LengthError, LengthProblem, MOST_DECIMALS, Unit, held};
use num_rational::Ratio;
use num_traits::{CheckedAdd, CheckedMul};

const EXAMPLE_INCH: &str = "3/32, 23 7/8, 0.094 or 2.4mm";
const EXAMPLE_MM: &str = "2.4, 597.5mm or 3/32\"";
/// Most characters looked at; no length needs as many.
const LONGEST_TEXT: usize = 80;

/// The unit that was written after a number.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Written {
    Foot,
    Inch,
    Millimetre,
    Centimetre,
}

pub(super) struct Reader<'t> {
    text: &'t str,
    chars: Vec<char>,
    at: usize,
    unit: Unit,
    /// May a sign stand before it, and the exact ratio of a stored length?
    stored: bool,
}

struct Number {
    value: Ratio<i128>,
    fraction: bool,
}

impl<'t> Reader<'t> {
    pub(super) fn new(text: &'t str, unit: Unit) -> Self {
        // One character more than is allowed, so that a longer text is noticed but never walked.
        Self { text, chars: text.chars().take(LONGEST_TEXT + 1).collect(), at: 0, unit, stored: false }
    }

    /// For stored lengths: a sign may stand first, and `=n/d"` is taken whatever its size.
    pub(super) fn stored(text: &'t str, unit: Unit) -> Self {
        Self { stored: true, ..Self::new(text, unit) }
    }

    fn error_at(&self, position: usize, problem: LengthProblem) -> LengthError {
        let example = if self.unit == Unit::Inch { EXAMPLE_INCH } else { EXAMPLE_MM };
        // Nothing that a terminal would act on is handed back.
        let text = self.text.chars().take(40).map(|c| if c.is_control() { '\u{fffd}' } else { c }).collect();
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

    pub(super) fn read(mut self) -> Result<Length, LengthError> {
        if self.chars.len() > LONGEST_TEXT {
            return Err(self.error_at(LONGEST_TEXT, LengthProblem::TextTooLong));
        }
        self.skip_spaces();
        let mut negative = false;
        match self.peek() {
            None => return Err(self.error(LengthProblem::Empty)),
            Some('-' | '−') if self.stored => {
                negative = true;
                self.at += 1;
                self.skip_spaces();
            }
            Some('-' | '−') => return Err(self.error(LengthProblem::Negative)),
            Some('+') => {
                self.at += 1;
                self.skip_spaces();
            }
            Some(_) => {}
        }
        let length = if self.stored && self.peek() == Some('=') { self.exact_ratio()? } else { self.length()? };
        Ok(if negative { length.negated() } else { length })
    }

    /// `=n/d"`: what [`Length::canonical`] writes where no shop writing is exact.
    fn exact_ratio(&mut self) -> Result<Length, LengthError> {
        self.at += 1;
        let numerator = self.long_digits()?;
        if self.peek() != Some('/') {
            return Err(self.error(LengthProblem::NumberMissing));
        }
        self.at += 1;
        let at = self.at;
        let denominator = self.long_digits()?;
        if denominator == 0 {
            return Err(self.error_at(at, LengthProblem::ZeroDenominator));
        }
        if self.peek() == Some('"') {
            self.at += 1;
        }
        self.skip_spaces();
        if self.peek().is_some() {
            return Err(self.error(LengthProblem::TrailingText));
        }
        held(Ratio::new(numerator, denominator)).ok_or_else(|| self.error_at(at, LengthProblem::TooManyDigits))
    }

    fn long_digits(&mut self) -> Result<i128, LengthError> {
        let start = self.at;
        let mut digits = String::new();
        while let Some(c) = self.peek().filter(char::is_ascii_digit) {
            digits.push(c);
            self.at += 1;
        }
        if digits.is_empty() {
            return Err(self.error(LengthProblem::NumberMissing));
        }
        digits.parse().map_err(|_| self.error_at(start, LengthProblem::TooManyDigits))
    }

    fn length(&mut self) -> Result<Length, LengthError> {
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
            let dash = self.peek() == Some('-');
            if dash {
                self.at += 1;
                self.skip_spaces();
            }
            if dash || self.peek().is_some() {
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
            let known = c.is_ascii_digit() || "./'\",-⁄″′”’½⅓⅔¼¾⅛⅜⅝⅞".contains(c);
            return Err(self.error(if known { LengthProblem::TrailingText } else { LengthProblem::Strange }));
        }
        if inches > Ratio::from_integer(LONGEST_INCHES) {
            return Err(self.error_at(start, LengthProblem::TooLong));
        }
        held(inches).ok_or_else(|| self.error_at(start, LengthProblem::TooManyDigits))
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
            return self.decimal(start, whole.unwrap_or(0));
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
        let dash = self.peek() == Some('-');
        if dash {
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
            if dash {
                return Err(self.error(LengthProblem::NumberMissing));
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

    fn decimal(&mut self, number_start: usize, whole: i128) -> Result<Number, LengthError> {
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
            return Err(self.error_at(number_start, LengthProblem::TooLong));
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
        // "3 in." and "2 ft." end in a point.
        if matches!(written, Written::Inch | Written::Foot) && self.peek() == Some('.') {
            self.at += 1;
        }
        Ok(Some(written))
    }
}
