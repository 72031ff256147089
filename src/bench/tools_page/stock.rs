//! Shim stock: tape, card, veneer, as this shop measured it.

use super::{FieldFault, Row, Section, shifted, stacked, with_item, without_item};
use crate::bench::form::Form;
use crate::bench::measuring::{self, StackWords};
use crate::cut::tools::{Measured, ShimStock};
use crate::shop::settings::Settings;

/// Shim stock.
#[derive(Clone, Copy, Debug)]
pub struct Stock;

const WORDS: StackWords = StackWords {
    name: "what you call it: painter's tape, playing card",
    count: "layers in the stack",
    count_hint: "ten measure ten times better than one",
    total: "the stack measures",
    total_hint: "squeezed as it will be, like 0.052 or 1.3mm",
};

impl Section for Stock {
    fn title(&self) -> &'static str {
        "shim stock, for pads"
    }

    fn rows(&self, settings: &Settings) -> Vec<Row> {
        let show = settings.show;
        let row = |stock: &ShimStock| {
            Row::new(
                stock.name.clone(),
                measuring::thin(stock.thickness, show),
                measuring::provenance(stock.thickness, stock.measured, "layers", show),
            )
            .starting(stock.measured == Measured::StartingValue)
        };
        settings.stock.iter().map(row).chain([Row::add("a stock")]).collect()
    }

    fn step(&self, settings: &Settings, row: usize, by: isize) -> Option<(Settings, usize)> {
        let (stock, now) = shifted(&settings.stock, row, by)?;
        Some((Settings { stock, ..settings.clone() }, now))
    }

    fn form(&self, settings: &Settings, row: usize) -> Option<Form> {
        let known = settings.stock.get(row);
        let name = known.map_or("", |stock| stock.name.as_str());
        Some(measuring::fields(name, known.map(|stock| stock.measured), &WORDS, settings.show))
    }

    fn take(&self, settings: &Settings, row: usize, form: &Form) -> Result<Settings, FieldFault> {
        let known = settings.stock.get(row).map(|stock| (stock.thickness, stock.measured));
        let names = settings.stock.iter().map(|stock| stock.name.as_str());
        let Some((name, thickness, measured)) = stacked(form, row, known, names, settings.show.unit())? else {
            return Ok(settings.clone());
        };
        let stock = with_item(&settings.stock, row, ShimStock { name, thickness, measured });
        Ok(Settings { stock, ..settings.clone() })
    }

    fn remove(&self, settings: &Settings, row: usize) -> Option<Settings> {
        Some(Settings { stock: without_item(&settings.stock, row)?, ..settings.clone() })
    }
}
