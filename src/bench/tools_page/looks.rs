//! How the screen looks.

use super::{Row, Section};
use crate::shop::settings::Settings;

/// Contrast.
#[derive(Clone, Copy, Debug)]
pub struct Looks;

impl Section for Looks {
    fn title(&self) -> &'static str {
        "the screen"
    }

    fn rows(&self, settings: &Settings) -> Vec<Row> {
        let value = if settings.contrast { "high: black, white and full grounds" } else { "usual" };
        vec![Row::new(
            "contrast",
            value,
            "Left and right choose. High contrast reads better in bright light; --contrast asks for it once. Where \
             NO_COLOR is set there is no colour at all.",
        )]
    }

    fn step(&self, settings: &Settings, row: usize, _by: isize) -> Option<(Settings, usize)> {
        Some((Settings { contrast: !settings.contrast, ..settings.clone() }, row))
    }
}
