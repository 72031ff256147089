//! The house the leaves will hang in, and the finishes this shop puts on.

use super::{FieldFault, Row, Section, free_name, shifted, with_item, without_item};
use crate::before::film::{Coat, FinishSchedule};
use crate::before::season::{Air, Climate};
use crate::bench::form::{Field, Form};
use crate::bench::measuring::{self, typed};
use crate::fit::length::{Length, Show, Unit};
use crate::shop::settings::Settings;

/// Humidity and temperature through the year.
#[derive(Clone, Copy, Debug)]
pub struct House;

const SPELLS: [(&str, &str); 3] = [
    ("driest spell", "a heated house in winter: a hygrometer in the house says it best"),
    ("dampest spell", "August, or whenever doors bind: a hygrometer in the house says it best"),
    ("when it is fitted", "the air of the shop in which the wood has settled"),
];

fn ends(climate: Climate) -> [Air; 3] {
    [climate.dry, climate.damp, climate.fitting]
}

/// Degrees as this shop reads them: Celsius where it measures in millimetres.
fn degrees(air: Air, unit: Unit) -> f64 {
    match unit {
        Unit::Inch => air.temperature_f(),
        Unit::Millimetre => (air.temperature_f() - 32.0) / 1.8,
    }
}

fn degree_word(unit: Unit) -> &'static str {
    match unit {
        Unit::Inch => "F",
        Unit::Millimetre => "C",
    }
}

/// A number with no more than one place behind the point.
fn plain(number: f64) -> String {
    let text = format!("{number:.1}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

fn number(place: usize, text: &str, unit: &str) -> Result<f64, FieldFault> {
    let number = text.trim().parse::<f64>().ok().filter(|number| number.is_finite());
    number.ok_or_else(|| (place, format!("give a number of {unit}, like 45")))
}

/// Percent, with or without its mark.
fn percent(form: &Form, place: usize) -> Result<f64, FieldFault> {
    let text = form.value(place).trim();
    number(place, text.strip_suffix('%').unwrap_or(text), "%")
}

/// Degrees Fahrenheit: a number is of the shop's own degrees unless its letter says otherwise.
fn fahrenheit(form: &Form, place: usize, unit: Unit) -> Result<f64, FieldFault> {
    let text = form.value(place).trim();
    let (text, unit) = match text.chars().next_back() {
        Some('F' | 'f') => (&text[..text.len() - 1], Unit::Inch),
        Some('C' | 'c') => (&text[..text.len() - 1], Unit::Millimetre),
        _ => (text, unit),
    };
    let degrees = number(place, text.trim_end().trim_end_matches('\u{b0}'), "degrees")?;
    Ok(match unit {
        Unit::Inch => degrees,
        Unit::Millimetre => degrees * 1.8 + 32.0,
    })
}

impl Section for House {
    fn title(&self) -> &'static str {
        "the house, for the gap through the year"
    }

    fn rows(&self, settings: &Settings) -> Vec<Row> {
        let unit = settings.show.unit();
        let row = |(((label, hint), air), starting): (((&str, &str), Air), bool)| {
            let value = format!(
                "{} % humidity at {} {}",
                plain(air.humidity_percent()),
                plain(degrees(air, unit)),
                degree_word(unit)
            );
            let detail = format!(
                "{hint}. The wood comes to {:.1} % moisture there. Enter changes it; x goes back to the starting \
                 values of all three.",
                air.moisture_percent()
            );
            Row::new(label, value, detail).starting(starting)
        };
        SPELLS.into_iter().zip(ends(settings.climate())).zip(settings.starting_spells()).map(row).collect()
    }

    fn form(&self, settings: &Settings, row: usize) -> Option<Form> {
        let air = ends(settings.climate()).get(row).copied()?;
        let unit = settings.show.unit();
        let hint = match unit {
            Unit::Inch => "degrees F, from 30 to 120",
            Unit::Millimetre => "degrees C, from -1 to 48",
        };
        Some(Form::new(vec![
            Field::figures("humidity, %", plain(air.humidity_percent()), "relative humidity, from 5 to 95"),
            Field::figures("temperature", plain(degrees(air, unit)), hint),
        ]))
    }

    fn take(&self, settings: &Settings, row: usize, form: &Form) -> Result<Settings, FieldFault> {
        let (humidity, fahrenheit) = (percent(form, 0)?, fahrenheit(form, 1, settings.show.unit())?);
        let air = Air::new(fahrenheit, humidity).map_err(|error| {
            (usize::from(matches!(error, crate::before::season::SeasonError::Temperature(_))), error.to_string())
        })?;
        let mut climate = settings.climate();
        match row {
            0 => climate.dry = air,
            1 => climate.damp = air,
            _ => climate.fitting = air,
        }
        climate.moisture().map_err(|error| (0, error.to_string()))?;
        Ok(Settings { climate: Some(climate), ..settings.clone() })
    }

    fn remove(&self, settings: &Settings, _: usize) -> Option<Settings> {
        Some(Settings { climate: None, ..settings.clone() })
    }
}

/// Finish schedules.
#[derive(Clone, Copy, Debug)]
pub struct Finishes;

fn film_words(schedule: &FinishSchedule, show: Show) -> String {
    let coats = schedule.coats.iter().map(|coat| {
        format!("{} coat{} at {}", coat.coats, if coat.coats == 1 { "" } else { "s" }, measuring::thin(coat.dry, show))
    });
    let coats: Vec<String> = coats.collect();
    let coats = if coats.is_empty() { "no film".to_owned() } else { coats.join(", ") };
    // An oil stays in the wood: common practice, no published source.
    let coats = if schedule.film().is_ok_and(Length::is_zero) && !schedule.coats.is_empty() {
        let count: u32 = schedule.coats.iter().map(|coat| coat.coats).fold(0, u32::saturating_add);
        format!("{count} coats, no thickness worth measuring (common practice)")
    } else {
        coats
    };
    format!("{coats}; sanding takes {}", measuring::thin(schedule.sanding, show))
}

impl Section for Finishes {
    fn title(&self) -> &'static str {
        "finishes: film that is still to come on an edge"
    }

    fn rows(&self, settings: &Settings) -> Vec<Row> {
        let show = settings.show;
        let starting = FinishSchedule::starting();
        let row = |schedule: FinishSchedule| {
            let film = schedule.film().map_or_else(|error| error.to_string(), |film| measuring::thin(film, show));
            let detail = format!(
                "All coats together are {film} thick, dry. The reveal that a leaf is fitted to is made wider by it, on \
                 both faces of a gap that get it. Measure: coat a flat piece, take its thickness before and after."
            );
            Row::new(schedule.name.clone(), film_words(&schedule, show), detail).starting(starting.contains(&schedule))
        };
        settings.finish_schedules().into_iter().map(row).chain([Row::add("a finish")]).collect()
    }

    fn step(&self, settings: &Settings, row: usize, by: isize) -> Option<(Settings, usize)> {
        let (finishes, now) = shifted(&settings.finish_schedules(), row, by)?;
        Some((Settings { finishes, ..settings.clone() }, now))
    }

    fn form(&self, settings: &Settings, row: usize) -> Option<Form> {
        let show = settings.show;
        let schedules = settings.finish_schedules();
        let known = schedules.get(row);
        let thin = |length: Option<Length>| length.map_or_else(String::new, |length| typed(length, show));
        let coats: Vec<String> = known
            .map(|schedule| schedule.coats.iter().map(|coat| format!("{} x {}", coat.coats, typed(coat.dry, show))))
            .into_iter()
            .flatten()
            .collect();
        Some(Form::new(vec![
            Field::text(
                "name",
                known.map_or("", |schedule| schedule.name.as_str()),
                "what you call it: lacquer, paint",
            ),
            Field::figures(
                "coats",
                coats.join(", "),
                "how many x how thick one is when dry, like 3 x 0.001; empty: no film",
            ),
            Field::figures(
                "sanding",
                thin(known.map(|schedule| schedule.sanding)),
                "what sanding takes off one edge; or 0",
            ),
        ]))
    }

    fn take(&self, settings: &Settings, row: usize, form: &Form) -> Result<Settings, FieldFault> {
        let unit = settings.show.unit();
        let schedules = settings.finish_schedules();
        let name = measuring::named(form, 0)?;
        free_name(&name, schedules.iter().map(|schedule| schedule.name.as_str()).enumerate(), row)?;
        let known = schedules.get(row).map_or(&[][..], |schedule| &schedule.coats);
        let mut coats = Vec::new();
        for (place, text) in form.value(1).split([',', ';']).map(str::trim).filter(|text| !text.is_empty()).enumerate()
        {
            let how = || (1, format!("'{text}': give coats like 3 x 0.001"));
            let (count, dry) = text.split_once('x').ok_or_else(how)?;
            let count: u32 = count.trim().parse().map_err(|_| how())?;
            let dry = Length::parse(dry.trim(), unit).map_err(|error| (1, error.to_string()))?;
            let product = known.get(place).map_or_else(|| name.clone(), |coat| coat.name.clone());
            coats.push(Coat { name: product, coats: count, dry });
        }
        let sanding = if form.value(2).trim().is_empty() { Length::ZERO } else { measuring::length(form, 2, unit)? };
        let finishes = with_item(&schedules, row, FinishSchedule { name, coats, sanding });
        Ok(Settings { finishes, ..settings.clone() })
    }

    fn remove(&self, settings: &Settings, row: usize) -> Option<Settings> {
        Some(Settings { finishes: without_item(&settings.finish_schedules(), row)?, ..settings.clone() })
    }
}
