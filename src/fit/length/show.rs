//! Showing a length: to the shop's resolution, and exactly for the disk.

use super::{LARGEST_DENOMINATOR, LONGEST_INCHES, Length, MOST_DECIMALS, Show, Unit, held};
use num_rational::Ratio;
use num_traits::{CheckedMul, Signed, Zero};

impl Show {
    /// Half of what this style tells apart.
    pub fn half_step(self) -> Length {
        Length(self.step() / Ratio::from_integer(2))
    }

    /// The step of this style, in inches.
    fn step(self) -> Ratio<i128> {
        match self {
            Self::Fraction(n) => Ratio::new(1, i128::from(n.max(1))),
            Self::DecimalInch(places) => Ratio::new(1, 10_i128.pow(u32::from(places.min(9)))),
            Self::Millimetre(places) => Ratio::new(10, 254 * 10_i128.pow(u32::from(places.min(9)))),
        }
    }
}

impl Length {
    /// The nearest step of `style`, and what was rounded away (`self − shown`; to the nearest trillionth of an inch
    /// where it is finer than a length can hold). Half a step goes to the even fraction; in decimals away from zero, as
    /// calculators have it: 0.0625 is 0.063.
    pub fn rounded(self, style: Show) -> (Self, Self) {
        let step = style.step();
        let steps = match style {
            Show::Fraction(_) => round_half_even(self.0 / step),
            Show::DecimalInch(_) | Show::Millimetre(_) => round_half_away(self.0 / step),
        };
        let near = Self(step * Ratio::from_integer(steps));
        let error = self.0 - near.0;
        (near, held(error).unwrap_or_else(|| Self(coarse(error))))
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

    /// As the shop says the size of a part to saw: the very fraction where that is no finer than 1/128, else the
    /// nearest step with what rounding hid; decimal inches to four places, which have every sixteenth; millimetres to
    /// the step of the shop and no finer, since nobody saws to what a step hides.
    pub fn sized(self, style: Show) -> String {
        match style {
            Show::Fraction(_) => self.shown_with_error(self.size_style(style)),
            _ => self.shown_size(style),
        }
    }

    /// The same, rounded without a word: one number, for a table.
    pub fn shown_size(self, style: Show) -> String {
        self.shown(self.size_style(style))
    }

    fn size_style(self, style: Show) -> Show {
        const FINEST: Show = Show::Fraction(128);
        match style {
            Show::Fraction(_) if self.rounded(FINEST).1.is_zero() => FINEST,
            Show::DecimalInch(places) => Show::DecimalInch(places.max(4)),
            other => other,
        }
    }

    /// As the shop says wood that must not be passed: never more than it is (by more than a hair, 1e-5 in, which
    /// a solver's last digits may lack). Less than a step is shown to the thousandth of an inch or the hundredth
    /// of a millimetre, and so is what a fraction would hide two thousandths of an inch of, or millimetres a
    /// hundredth: 0.030, not 1/64; 2.08mm, not 2.0mm. Less than that is nothing, as the
    /// shop writes it: 0, not 0.000.
    pub fn shown_down(self, style: Show) -> String {
        let fine = match style.unit() {
            Unit::Inch => Show::DecimalInch(3),
            Unit::Millimetre => Show::Millimetre(2),
        };
        let down = |style: Show| {
            let step = style.step();
            Self(step * ((self.0 + Ratio::new(1, 100_000)) / step).floor())
        };
        let whole = down(style);
        let hides = match style {
            Show::Fraction(_) => self.0 - whole.0 >= Ratio::new(2, 1000),
            Show::DecimalInch(_) => false,
            Show::Millimetre(places) => places < 2 && down(fine) != whole,
        };
        let finer = hides || (whole.is_zero() && self.0.is_positive());
        // What is less than the finest step is nothing, and is written as the shop writes nothing.
        let near = if finer { down(fine) } else { whole };
        if finer && !near.is_zero() { near.shown(fine) } else { near.shown(style) }
    }

    /// As the shop says it, with what rounding hid when that is half a thousandth or more: `3/32 +0.004`; where
    /// rounding hid all of it, that alone: `0.001`.
    pub fn shown_with_error(self, style: Show) -> String {
        let (near, error) = self.rounded(style);
        let base = self.shown(style);
        let (amount, places, unit) = match style.unit() {
            Unit::Inch => (error.0, 3, ""),
            Unit::Millimetre => (error.0 * Ratio::new(254, 10), 2, "mm"),
        };
        let text = decimal_text(amount.abs(), places);
        if text.chars().all(|c| c == '0' || c == '.') {
            return base;
        }
        match (near.is_zero(), amount.is_negative()) {
            (true, false) => format!("{text}{unit}"),
            (true, true) => format!("-{text}{unit}"),
            (false, false) => format!("{base} +{text}{unit}"),
            (false, true) => format!("{base} -{text}{unit}"),
        }
    }

    /// A text that [`Length::parse_signed`] reads back to exactly this length, whatever unit is set.
    /// Where it is not below zero, not over [`LONGEST_INCHES`] and no finer than what can be typed,
    /// [`Length::parse`] reads it too.
    pub fn canonical(self) -> String {
        let sign = if self.is_negative() { "-" } else { "" };
        let size = self.0.abs();
        let denominator = *size.denom();
        if size > Ratio::from_integer(LONGEST_INCHES) {
            return format!("{sign}={}/{denominator}\"", size.numer());
        }
        if denominator <= 1024 && (denominator & (denominator - 1)) == 0 {
            return format!("{sign}{}\"", fraction_text(size));
        }
        if let Some(text) = finite_decimal(size) {
            return format!("{sign}{text}\"");
        }
        if let Some(text) = finite_decimal(size * Ratio::new(254, 10)) {
            return format!("{sign}{text}mm");
        }
        if denominator <= LARGEST_DENOMINATOR {
            return format!("{sign}{}/{denominator}\"", size.numer());
        }
        format!("{sign}={}/{denominator}\"", size.numer())
    }
}

/// The nearest trillionth of an inch: both parts are small enough again to be held.
fn coarse(inches: Ratio<i128>) -> Ratio<i128> {
    const TRILLION: i128 = 1_000_000_000_000;
    let whole = inches.trunc();
    let part = inches.fract();
    // The parts may be as large as an i128 holds: shorten both before multiplying.
    let shorten = (*part.denom() >> 80).max(1);
    let (numerator, denominator) = (part.numer() / shorten, (part.denom() / shorten).max(1));
    whole + Ratio::new(numerator * TRILLION / denominator, TRILLION)
}

fn round_half_even(value: Ratio<i128>) -> i128 {
    let floor = value.floor().to_integer();
    let rest = value - Ratio::from_integer(floor);
    let half = Ratio::new(1, 2);
    if rest > half || (rest == half && floor % 2 != 0) { floor + 1 } else { floor }
}

fn round_half_away(value: Ratio<i128>) -> i128 {
    let whole = value.trunc().to_integer();
    let rest = (value - Ratio::from_integer(whole)).abs();
    let away = if value.is_negative() { whole - 1 } else { whole + 1 };
    if rest >= Ratio::new(1, 2) { away } else { whole }
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
    let scaled = round_half_away(size * Ratio::from_integer(scale));
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
