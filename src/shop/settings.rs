//! `shop.json`: what this shop owns and prefers. Values only; [`super`] reads and writes them.

use crate::before::film::FinishSchedule;
use crate::before::season::Climate;
use crate::cut::job::{Kit, Method};
use crate::cut::tools::{self, Plane, Saw, ShimStock, Sled};
use crate::fit::length::{Length, Show, Unit};
use crate::fit::opening::Prefer;
use serde::{Deserialize, Serialize};

/// Format word of `shop.json`.
pub const FORMAT: &str = "evenreveal-shop/1";

/// Everything in `shop.json`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Settings {
    /// Always [`FORMAT`].
    pub format: String,
    /// The shop's own name.
    #[serde(default)]
    pub name: String,
    /// Unit and resolution.
    pub show: Show,
    /// Feelers owned, thinnest first.
    pub feelers: Vec<Length>,
    /// Shim stock.
    pub stock: Vec<ShimStock>,
    /// Saws.
    #[serde(default)]
    pub saws: Vec<Saw>,
    /// Sleds.
    #[serde(default)]
    pub sleds: Vec<Sled>,
    /// Planes.
    #[serde(default)]
    pub planes: Vec<Plane>,
    /// Methods of cutting in the user's own order, best first; those left out follow in the usual order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub ranking: Vec<Method>,
    /// A station is even when its miss is within this.
    pub tolerance: Length,
    /// How many standard deviations a cut stays short of the line.
    pub risk_k: f64,
    /// The preferred plan.
    #[serde(default)]
    pub prefer: Prefer,
    /// High contrast on the screen: black, white and full grounds.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub contrast: bool,
    /// The air of the house the leaves will hang in; none: starting values.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub climate: Option<Climate>,
    /// Finish schedules; none: starting values.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub finishes: Vec<FinishSchedule>,
    /// When what was learned of this shop's tools was set back (UTC, RFC 3339), oldest first. Rounds
    /// begun before the last one teach nothing; nothing is deleted.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub learning_resets: Vec<String>,
    /// Settings written by a newer build of the same format, kept as they were.
    #[serde(flatten)]
    pub other: serde_json::Map<String, serde_json::Value>,
}

impl Default for Settings {
    fn default() -> Self {
        let sixty_fourths = |n| Length::ratio(n, 64);
        Self {
            format: FORMAT.to_owned(),
            name: String::new(),
            show: Show::default(),
            feelers: (1..=9).map(sixty_fourths).collect(),
            stock: tools::starting_stock(),
            saws: tools::starting_saws(Unit::Inch),
            sleds: tools::starting_sleds(Unit::Inch),
            planes: tools::starting_planes(),
            ranking: Vec::new(),
            tolerance: sixty_fourths(1),
            risk_k: 2.0,
            prefer: Prefer::LeastWood,
            contrast: false,
            climate: None,
            finishes: Vec::new(),
            learning_resets: Vec::new(),
            other: serde_json::Map::new(),
        }
    }
}

impl Settings {
    /// What this shop has to cut with, for [`crate::cut::setup::propose`].
    pub fn kit(&self) -> Kit<'_> {
        let kit = Kit::new(&self.stock, &self.saws, &self.sleds, &self.planes, self.show);
        Kit { ranking: &self.ranking, ..kit }
    }
}
