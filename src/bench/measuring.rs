//! Reading what a shop measured of its own feelers, stock and shavings, and showing it again.

use super::form::{Field, Form};
use crate::cut::tools::Measured;
use crate::fit::length::{Inches, Length, Show, Unit};

/// Most feelers that have a key of their own: as many as there are letters, less `z`, which is for large letters.
pub const MOST_FEELERS: usize = 25;
/// A feeler list with nothing in it.
const FEELERS_NONE: &str = "name at least one feeler, like 1/64, 1/32";
/// A feeler of no thickness.
const FEELERS_ZERO: &str = "a feeler has a thickness: 0 is no feeler";
/// A feeler of unbelievable thickness.
const FEELERS_THICK: &str = "a feeler is at most 1 in (25.4mm) thick";
/// Too many feelers for the keys.
const FEELERS_MANY: &str = "at most 25 feelers, one for each letter key but z";
/// How tape is given at the first start.
fn stack_how(unit: Unit) -> String {
    let like = if unit == Unit::Millimetre { "10 = 1.4" } else { "10 = 0.055" };
    format!("give tape as layers = thickness, like {like}")
}
/// How a count is given.
const COUNT_HOW: &str = "is no count: give how many, a whole number from 1 to 1000; ten or twenty measure best";
/// A measurement is missing.
const COUNT_AND_TOTAL: &str = "give both: how many, and what they measure together";

/// Places of the fields that [`fields`] makes.
pub const NAME: usize = 0;
const COUNT: usize = 1;
const TOTAL: usize = 2;
const READ_TO: usize = 3;

/// `1/64, 1/32; 3/64`: the feelers a shop owns, thinnest first, each once.
pub fn feelers(text: &str, unit: Unit) -> Result<Vec<Length>, String> {
    let lengths = text.split([';', ',']).map(str::trim).filter(|part| !part.is_empty());
    let mut feelers = lengths
        .map(|part| Length::parse(part, unit).map_err(|error| error.to_string()))
        .collect::<Result<Vec<_>, _>>()?;
    feelers.sort_unstable();
    feelers.dedup();
    match (feelers.first(), feelers.last()) {
        (Some(thinnest), _) if thinnest.is_zero() => Err(FEELERS_ZERO.to_owned()),
        (_, Some(thickest)) if *thickest > Length::ratio(1, 1) => Err(FEELERS_THICK.to_owned()),
        (None, _) => Err(FEELERS_NONE.to_owned()),
        _ if feelers.len() > MOST_FEELERS => Err(FEELERS_MANY.to_owned()),
        _ => Ok(feelers),
    }
}

/// `10 = 0.055`: ten layers measured 0.055. `None` where nothing is written.
pub fn stack(text: &str, unit: Unit) -> Result<Option<(Length, Measured)>, String> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    let (layers, total) = text.split_once('=').ok_or_else(|| stack_how(unit))?;
    let layers: u32 = layers.trim().parse().map_err(|_| stack_how(unit))?;
    let total = Length::parse(total.trim(), unit).map_err(|error| error.to_string())?;
    Measured::stack(layers, total, None).map(Some).map_err(|error| error.to_string())
}

/// Fields for something measured by the stack: name, how many, what they measured, read to what.
/// The words are for layers or for strokes.
pub fn fields(name: &str, known: Option<Measured>, words: &StackWords, show: Show) -> Form {
    let (count, total, read_to) = match known {
        Some(Measured::Stack { layers, total, read_to }) => {
            (layers.to_string(), typed(total, show), read_to.map_or_else(String::new, |step| typed(step, show)))
        }
        _ => Default::default(),
    };
    Form::new(vec![
        Field::text("name", name, words.name),
        Field::figures(words.count, count, words.count_hint),
        Field::figures(words.total, total, words.total_hint),
        Field::figures(
            "read to",
            read_to,
            "the smallest step you can read, like 0.001 or 1/64; empty: as it is written",
        ),
    ])
}

/// What [`fields`] asks, for layers or for strokes.
#[derive(Clone, Copy, Debug)]
pub struct StackWords {
    /// Help for the name.
    pub name: &'static str,
    /// How many.
    pub count: &'static str,
    /// Help for it.
    pub count_hint: &'static str,
    /// What they measured.
    pub total: &'static str,
    /// Help for it.
    pub total_hint: &'static str,
}

/// A name, and the thickness of one with how it is known.
pub type Filled = (String, Option<(Length, Measured)>);

/// The name and the measurement in a form made by [`fields`]; no measurement where none is written and
/// `known` stands. The error says which field.
pub fn filled(form: &Form, known: bool, unit: Unit) -> Result<Filled, (usize, String)> {
    let name = named(form, NAME)?;
    let (count, total) = (form.value(COUNT).trim(), form.value(TOTAL).trim());
    match (count.is_empty(), total.is_empty()) {
        (true, true) if known => return Ok((name, None)),
        (true, _) => return Err((COUNT, COUNT_AND_TOTAL.to_owned())),
        (_, true) => return Err((TOTAL, COUNT_AND_TOTAL.to_owned())),
        (false, false) => {}
    }
    let layers: u32 = count.parse().map_err(|_| (COUNT, format!("'{count}' {COUNT_HOW}")))?;
    let total = length(form, TOTAL, unit)?;
    let read_to = if form.value(READ_TO).trim().is_empty() { None } else { Some(length(form, READ_TO, unit)?) };
    let measured = Measured::stack(layers, total, read_to).map_err(|error| {
        use crate::cut::tools::StackError as E;
        let field = match error {
            E::Layers => COUNT,
            E::Nothing => TOTAL,
            E::Step => READ_TO,
        };
        (field, error.to_string())
    })?;
    Ok((name, Some(measured)))
}

/// The name in field `place`.
pub fn named(form: &Form, place: usize) -> Result<String, (usize, String)> {
    let name = form.value(place).trim();
    if name.is_empty() {
        Err((place, "give it a name, so that the set-ups can say which".to_owned()))
    } else {
        Ok(name.to_owned())
    }
}

/// The length in field `place`.
pub fn length(form: &Form, place: usize, unit: Unit) -> Result<Length, (usize, String)> {
    Length::parse(form.value(place).trim(), unit).map_err(|error| (place, error.to_string()))
}

/// A length in field `place` that must be more than nothing.
pub fn size(form: &Form, place: usize, unit: Unit) -> Result<Length, (usize, String)> {
    let size = length(form, place, unit)?;
    if size.is_zero() { Err((place, "must be more than 0".to_owned())) } else { Ok(size) }
}

/// A thickness that the shop owns, such as a feeler's: to the shop's resolution, or a step finer where that would
/// show two of them alike.
pub fn owned(length: Length, show: Show) -> String {
    let finer = match show {
        Show::Fraction(_) => Show::Fraction(128),
        Show::DecimalInch(places) => Show::DecimalInch(places),
        Show::Millimetre(_) => Show::Millimetre(2),
    };
    let exact = [show, finer].into_iter().find(|&style| length.rounded(style).1.is_zero());
    length.shown(exact.unwrap_or(show))
}

/// `length` so that typing it again gives exactly the same: in the shop's style where that is exact.
pub fn typed(length: Length, show: Show) -> String {
    use Show::{DecimalInch, Fraction, Millimetre};
    let styles: &[Show] = match show {
        Fraction(_) => &[show, Fraction(128), DecimalInch(3), DecimalInch(4), DecimalInch(5)],
        // A sixteenth is 0.0625 in a shop of decimals, and 1/128 has seven of them.
        DecimalInch(_) => &[show, DecimalInch(3), DecimalInch(4), DecimalInch(5), DecimalInch(6), DecimalInch(7)],
        Millimetre(_) => &[show, Millimetre(1), Millimetre(2), Millimetre(3), Millimetre(4)],
    };
    let exact = styles.iter().copied().find(|&style| length.rounded(style).1.is_zero());
    exact.map_or_else(|| length.canonical(), |style| length.shown(style))
}

/// A length that stands in a field to be typed over: as the shop says it; to the thousandth of an inch or the hundredth
/// of a millimetre where its steps would hide half of that or more.
pub fn near(length: Length, show: Show) -> String {
    let shown = length.shown(show);
    let fine = match show.unit() {
        Unit::Inch => Show::DecimalInch(3),
        Unit::Millimetre => Show::Millimetre(2),
    };
    if length.shown_with_error(show) == shown { shown } else { length.shown(fine) }
}

/// A thickness: ten-thousandths of an inch or thousandths of a millimetre.
pub fn thin(length: Length, show: Show) -> String {
    length.shown(match show.unit() {
        Unit::Inch => Show::DecimalInch(4),
        Unit::Millimetre => Show::Millimetre(3),
    })
}

/// A standard uncertainty with two digits that count: `0.00029`, `0.0073mm`.
pub fn uncertainty(inches: Inches, show: Show) -> String {
    let (number, unit) = match show.unit() {
        Unit::Inch => (inches.get(), ""),
        Unit::Millimetre => (inches.get() * 25.4, "mm"),
    };
    if !number.is_finite() || number <= 0.0 {
        return format!("0{unit}");
    }
    let places = (1.0 - number.log10().floor()).clamp(0.0, 9.0) as usize;
    format!("{number:.places$}{unit}")
}

/// How a thickness came to be known, and the uncertainty that follows, in words: `what` are the layers or strokes.
pub fn provenance(thickness: Length, measured: Measured, what: &str, show: Show) -> String {
    let sd = uncertainty(measured.standard_uncertainty(thickness), show);
    match measured {
        Measured::StartingValue => format!(
            "starting value, not measured: taken as good to a tenth of itself, {sd}. Enter measures yours: ten or \
             twenty {what} together, then divided"
        ),
        Measured::Single => format!("one piece, measured: standard uncertainty {sd}"),
        Measured::Stack { layers, total, read_to } => {
            let step = read_to.map_or_else(
                || format!("{} (as it is written)", uncertainty(Inches(crate::cut::tools::step_read(total)), show)),
                |step| typed(step, show),
            );
            format!(
                "{layers} {what} measured {}, read to {step}: standard uncertainty of one = step / sqrt(12) / {layers} \
                 = {sd} (GUM, JCGM 100:2008, 4.3.7)",
                typed(total, show)
            )
        }
    }
}
