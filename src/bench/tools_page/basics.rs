//! The shop's name, its unit, feelers, tolerance, how much risk a cut takes, and the preferred plan.

use super::{FieldFault, Row, Section};
use crate::bench::form::{Field, Form};
use crate::bench::measuring::{self, owned, typed};
use crate::bench::words;
use crate::fit::length::{Length, Show};
use crate::fit::opening::Prefer;
use crate::fit::policy::Risk;
use crate::shop::settings::Settings;

/// Unit, feelers, tolerance, risk, plan.
#[derive(Clone, Copy, Debug)]
pub struct Basics;

/// Units and resolutions to choose from.
pub const SHOWS: [Show; 5] =
    [Show::Fraction(32), Show::Fraction(64), Show::Fraction(128), Show::DecimalInch(3), Show::Millimetre(1)];
/// Risks to choose from: standard deviations that a cut stays short of the line.
pub const RISKS: [f64; 5] = [1.0, 1.5, 2.0, 2.5, 3.0];

const NAME: usize = 0;
const UNIT: usize = 1;
const FEELERS: usize = 2;
const TOLERANCE: usize = 3;
const RISK: usize = 4;
const PLAN: usize = 5;

/// A unit with its resolution.
pub fn unit_words(show: Show) -> String {
    match show {
        Show::Fraction(n) => format!("inch fractions, to 1/{n}"),
        Show::DecimalInch(places) => format!("decimal inch, to {}", step_of(places)),
        Show::Millimetre(places) => format!("millimetre, to {} mm", step_of(places)),
    }
}

fn step_of(places: u8) -> String {
    match places {
        0 => "1".to_owned(),
        places => format!("0.{}1", "0".repeat(usize::from(places).saturating_sub(1))),
    }
}

/// `about one cut in forty goes over the line`.
pub fn risk_words(k: f64) -> String {
    let many = Risk { k }.one_in();
    let number = match many {
        2 => "two".to_owned(),
        6 => "six".to_owned(),
        15 => "fifteen".to_owned(),
        40 => "forty".to_owned(),
        other => other.to_string(),
    };
    format!("about one cut in {number} goes over")
}

/// The item of `list` that is `by` further than the one nearest to `now`.
fn next_of<T: Copy>(list: &[T], now: Option<usize>, by: isize) -> Option<T> {
    let last = list.len().saturating_sub(1);
    let place = now.map_or(0, |now| now.saturating_add_signed(by).min(last));
    list.get(place).copied()
}

impl Section for Basics {
    fn title(&self) -> &'static str {
        "how this shop measures and decides"
    }

    fn rows(&self, settings: &Settings) -> Vec<Row> {
        let show = settings.show;
        let feelers: Vec<String> = settings.feelers.iter().map(|&feeler| owned(feeler, show)).collect();
        let plan = words::prefer(settings.prefer);
        let name = if settings.name.is_empty() { "none yet" } else { &settings.name };
        vec![
            Row::new("shop", name, "The name at the head of the list and on what is printed. Enter changes it."),
            Row::new(
                "unit",
                unit_words(show),
                "Left and right choose. Lengths are kept exactly: switching changes what is shown and loses nothing.",
            ),
            Row::new(
                "feelers",
                feelers.join(", "),
                "The feelers you own: each has a letter key while you read gaps. Enter changes them.",
            ),
            Row::new(
                "tolerance",
                owned(settings.tolerance, show),
                "A gap is right when it is within this of its reveal. Enter changes it.",
            ),
            Row::new(
                "risk",
                risk_words(settings.risk_k),
                format!(
                    "A cut stays short of the line by {} times its standard uncertainty, so that {} it. Left: more risk, \
                     fewer passes. Right: less risk, more passes.",
                    settings.risk_k,
                    risk_words(settings.risk_k)
                ),
            ),
            Row::new(
                "preferred plan",
                plan,
                "Of two plans with as few cuts: the one with least wood, or the one that takes the two stiles down alike. \
                 Left and right choose; w shows the other on the plan itself.",
            ),
        ]
    }

    fn step(&self, settings: &Settings, row: usize, by: isize) -> Option<(Settings, usize)> {
        let mut changed = settings.clone();
        match row {
            UNIT => {
                let now = SHOWS.iter().position(|&show| show == settings.show);
                changed.show = next_of(&SHOWS, now, by)?;
            }
            RISK => {
                let apart = |k: &f64| (k - settings.risk_k).abs();
                let nearest = RISKS.iter().enumerate().min_by(|a, b| apart(a.1).total_cmp(&apart(b.1)));
                changed.risk_k = next_of(&RISKS, nearest.map(|(place, _)| place), by)?;
            }
            PLAN => {
                changed.prefer = match settings.prefer {
                    Prefer::LeastWood => Prefer::EvenStiles,
                    Prefer::EvenStiles => Prefer::LeastWood,
                };
            }
            _ => return None,
        }
        Some((changed, row))
    }

    fn form(&self, settings: &Settings, row: usize) -> Option<Form> {
        let show = settings.show;
        let field = match row {
            NAME => Field::text("shop", settings.name.clone(), "your words, or empty"),
            FEELERS => {
                let all: Vec<String> = settings.feelers.iter().map(|&feeler| typed(feeler, show)).collect();
                Field::figures("feelers you own", all.join(", "), "with commas between, like 1/64, 1/32, 3/64")
            }
            TOLERANCE => Field::figures(
                "tolerance",
                typed(settings.tolerance, show),
                "more than 0, at most 1/4; 1/64 is usual here",
            ),
            _ => return None,
        };
        Some(Form::new(vec![field]))
    }

    fn take(&self, settings: &Settings, row: usize, form: &Form) -> Result<Settings, FieldFault> {
        let unit = settings.show.unit();
        let mut changed = settings.clone();
        match row {
            NAME => form.value(0).trim().clone_into(&mut changed.name),
            FEELERS => changed.feelers = measuring::feelers(form.value(0), unit).map_err(|why| (0, why))?,
            TOLERANCE => {
                let tolerance = measuring::size(form, 0, unit)?;
                if tolerance > Length::ratio(1, 4) {
                    return Err((0, "a tolerance is at most 1/4 in; 1/64 is usual here".to_owned()));
                }
                changed.tolerance = tolerance;
            }
            _ => {}
        }
        Ok(changed)
    }
}
