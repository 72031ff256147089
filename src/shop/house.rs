//! The house and the finish, from the settings or, where nobody has said, from starting values.

use super::settings::Settings;
use crate::before::film::FinishSchedule;
use crate::before::season::Climate;
use crate::fit::length::Length;

/// Most coats of one product.
const MOST_COATS: u32 = 50;

impl Settings {
    /// The air of the house; starting values where nobody has said.
    pub fn climate(&self) -> Climate {
        self.climate.unwrap_or_else(Climate::starting)
    }

    /// Which of driest spell, dampest spell and air at the fitting are still starting values.
    pub fn starting_spells(&self) -> [bool; 3] {
        let spells = |climate: Climate| [climate.dry, climate.damp, climate.fitting];
        let (now, starting) = (spells(self.climate()), spells(Climate::starting()));
        [0, 1, 2].map(|place| now[place] == starting[place])
    }

    /// The finish schedules; starting values where nobody has said.
    pub fn finish_schedules(&self) -> Vec<FinishSchedule> {
        if self.finishes.is_empty() { FinishSchedule::starting() } else { self.finishes.clone() }
    }

    /// The finish schedule of that name; an empty name is no finish at all.
    pub fn finish(&self, name: &str) -> Option<FinishSchedule> {
        if name.trim().is_empty() {
            return Some(FinishSchedule::bare());
        }
        self.finish_schedules().into_iter().find(|schedule| schedule.name.eq_ignore_ascii_case(name.trim()))
    }
}

/// Checks climate and finishes; otherwise the field and what is allowed.
pub(super) fn check(settings: &Settings) -> Result<(), (String, String)> {
    if let Some(climate) = settings.climate {
        climate.moisture().map_err(|error| ("climate".to_owned(), error.to_string()))?;
    }
    for (place, schedule) in settings.finishes.iter().enumerate() {
        let bad = |field: &str, why: &str| Err((format!("finishes[{place}].{field}"), why.to_owned()));
        if schedule.name.trim().is_empty() {
            return bad("name", "is empty; name the finish");
        }
        let twice = |other: &FinishSchedule| other.name.eq_ignore_ascii_case(&schedule.name);
        if settings.finishes.iter().take(place).any(twice) {
            return bad("name", "two finishes have this name");
        }
        if schedule.sanding.is_negative() || schedule.sanding > Length::ratio(1, 8) {
            return bad("sanding", "must be from 0 to 1/8");
        }
        for (number, coat) in schedule.coats.iter().enumerate() {
            if coat.dry.is_negative() || coat.dry > Length::ratio(1, 16) {
                return bad(&format!("coats[{number}].dry"), "one coat is from 0 to 1/16 thick when dry");
            }
            if coat.coats > MOST_COATS {
                return bad(&format!("coats[{number}].coats"), "at most 50 coats");
            }
        }
    }
    Ok(())
}
