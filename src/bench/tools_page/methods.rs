//! The shop's own ranking of the ways to take wood off.

use super::{Row, Section, shifted};
use crate::bench::sheet_words;
use crate::shop::settings::Settings;

/// The ranking.
#[derive(Clone, Copy, Debug)]
pub struct Methods;

const DETAIL: &str = "The first that suits the amount of wood and is safe for the leaf is proposed. Left and right move \
it up and down; x goes back to the usual order.";

impl Section for Methods {
    fn title(&self) -> &'static str {
        "ways to cut, best first"
    }

    fn rows(&self, settings: &Settings) -> Vec<Row> {
        let own = settings.ranking.len();
        let value = |place: usize| if place < own { "your own order" } else { "usual order" };
        let ranked = settings.kit().ranked().into_iter().enumerate();
        ranked
            .map(|(place, method)| {
                Row::new(format!("{}  {}", place + 1, sheet_words::method(method)), value(place), DETAIL)
            })
            .collect()
    }

    fn step(&self, settings: &Settings, row: usize, by: isize) -> Option<(Settings, usize)> {
        let (ranking, now) = shifted(&settings.kit().ranked(), row, by)?;
        Some((Settings { ranking, ..settings.clone() }, now))
    }

    fn remove(&self, settings: &Settings, _: usize) -> Option<Settings> {
        Some(Settings { ranking: Vec::new(), ..settings.clone() })
    }
}
