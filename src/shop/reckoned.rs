//! What the depth of a trim was reckoned for: by which means, and what is known of the shop's tape and plane.

use crate::fit::length::Length;
use serde::{Deserialize, Serialize};

/// A factor of 1, in thousandths.
pub const WHOLE: u32 = 1000;
/// The factors that can be: a tenth and ten times what the shop says.
pub const FACTORS: std::ops::RangeInclusive<u32> = 100..=10_000;

/// One of the two means that errs in a way of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum By {
    /// By one setting of a fence, or along a line.
    Saw,
    /// By strokes.
    Plane,
}

impl By {
    /// The word of a log.
    pub fn word(self) -> &'static str {
        match self {
            Self::Saw => "saw",
            Self::Plane => "plane",
        }
    }
}

/// What a depth was reckoned for. Logs from before it was kept go by the shop's own figures.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Reckoned {
    /// By which means.
    pub by: By,
    /// What a stroke takes over the shop's figure, in thousandths.
    #[serde(default = "whole", skip_serializing_if = "is_whole")]
    pub plane: u32,
    /// A layer under pressure over the shop's figure, in thousandths.
    #[serde(default = "whole", skip_serializing_if = "is_whole")]
    pub tape: u32,
    /// What to take instead, at the lower or left corner and at the other, if it is done by the other means.
    #[serde(default)]
    pub otherwise: [Length; 2],
}

impl Reckoned {
    /// The factor that a set-up by this means allows for.
    pub fn allowed(&self, by: By) -> f64 {
        let thousandths = match by {
            By::Saw => self.tape,
            By::Plane => self.plane,
        };
        f64::from(thousandths) / f64::from(WHOLE)
    }
}

fn whole() -> u32 {
    WHOLE
}

// serde passes a reference.
#[allow(clippy::trivially_copy_pass_by_ref)]
fn is_whole(factor: &u32) -> bool {
    *factor == WHOLE
}
