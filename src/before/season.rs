//! What the seasons do to a gap: moisture content from the air, movement from moisture content, and
//! the gap at the damp and at the dry end of the year.
//!
//! Sources: USDA Wood Handbook, FPL-GTR-282, ch. 4 (equilibrium moisture content, eq. 4-5, after
//! Hailwood and Horrobin) and ch. 13 (dimensional change, eq. 13-2).

use super::wood::{Sawn, Wood};
use crate::fit::length::{Inches, Length};
use crate::fit::opening::{Edge, Side};
use serde::{Deserialize, Serialize};

/// Coldest and hottest air taken, °F: the span of the handbook's table 4-2 as kept in the tests.
pub const TEMPERATURE_F: [f64; 2] = [30.0, 120.0];
/// Driest and dampest air taken, % relative humidity: the span of the same table.
pub const HUMIDITY_PERCENT: [f64; 2] = [5.0, 95.0];
/// Moisture contents between which the movement coefficients are meant to hold, %
/// (from memory, as stated with the handbook's coefficients).
pub const COEFFICIENT_RANGE: [f64; 2] = [6.0, 14.0];

/// Why a season cannot be worked out.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SeasonError {
    /// Not a temperature of a house.
    #[error("{0} °F is outside what the table covers; give 30 to 120 °F (−1 to 49 °C)")]
    Temperature(f64),
    /// Not a humidity of a house.
    #[error("{0} % relative humidity is outside what the table covers; give 5 to 95 %")]
    Humidity(f64),
    /// The damp end is drier than the dry end.
    #[error("the damp end of the year ({damp:.1} % moisture) is drier than the dry end ({dry:.1} %); swap them")]
    EndsSwapped {
        /// Moisture content at the end called damp, %.
        damp: f64,
        /// Moisture content at the end called dry, %.
        dry: f64,
    },
    /// Moisture content that no indoor wood has.
    #[error("{0} % moisture content is not that of seasoned wood; give 0 to 30 %")]
    Moisture(f64),
}

/// Air: temperature and relative humidity, both within what the handbook's table covers.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "AirStored", into = "AirStored")]
pub struct Air {
    temperature_f: f64,
    humidity_percent: f64,
}

#[derive(Serialize, Deserialize)]
struct AirStored {
    temperature_f: f64,
    humidity_percent: f64,
}

impl TryFrom<AirStored> for Air {
    type Error = SeasonError;

    fn try_from(stored: AirStored) -> Result<Self, SeasonError> {
        Self::new(stored.temperature_f, stored.humidity_percent)
    }
}

impl From<Air> for AirStored {
    fn from(air: Air) -> Self {
        Self { temperature_f: air.temperature_f, humidity_percent: air.humidity_percent }
    }
}

impl Air {
    /// Air at °F and % relative humidity. Refused outside [`TEMPERATURE_F`] and [`HUMIDITY_PERCENT`].
    pub fn new(temperature_f: f64, humidity_percent: f64) -> Result<Self, SeasonError> {
        let within = |value: f64, span: [f64; 2]| value >= span[0] && value <= span[1];
        if !within(temperature_f, TEMPERATURE_F) {
            return Err(SeasonError::Temperature(temperature_f));
        }
        if !within(humidity_percent, HUMIDITY_PERCENT) {
            return Err(SeasonError::Humidity(humidity_percent));
        }
        Ok(Self { temperature_f, humidity_percent })
    }

    /// Air at °C and % relative humidity.
    pub fn celsius(temperature_c: f64, humidity_percent: f64) -> Result<Self, SeasonError> {
        Self::new(temperature_c * 1.8 + 32.0, humidity_percent)
    }

    /// Temperature, °F.
    pub fn temperature_f(self) -> f64 {
        self.temperature_f
    }

    /// Relative humidity, %.
    pub fn humidity_percent(self) -> f64 {
        self.humidity_percent
    }

    /// Equilibrium moisture content, % of dry weight: Hailwood-Horrobin with the constants of the
    /// USDA Wood Handbook, eq. 4-5 (stays within 0.07 of all 190 cells of table 4-2).
    ///
    /// ```
    /// use evenreveal::before::season::Air;
    /// let emc = Air::new(70.0, 50.0).unwrap().moisture_percent();
    /// assert!((emc - 9.2).abs() < 0.07);
    /// ```
    pub fn moisture_percent(self) -> f64 {
        let t = self.temperature_f;
        let h = self.humidity_percent / 100.0;
        let w = 330.0 + 0.452 * t + 0.004_15 * t * t;
        let k = 0.791 + 0.000_463 * t - 0.000_000_844 * t * t;
        let k1 = 6.34 + 0.000_775 * t - 0.000_093_5 * t * t;
        let k2 = 1.09 + 0.028_4 * t - 0.000_090_4 * t * t;
        let kh = k * h;
        let k1kh = k1 * kh;
        let k1k2kh2 = k1 * k2 * kh * kh;
        1800.0 / w * (kh / (1.0 - kh) + (k1kh + 2.0 * k1k2kh2) / (1.0 + k1kh + k1k2kh2))
    }
}

/// The air of the house a leaf will hang in, and of the shop it is fitted in.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Climate {
    /// The driest spell of the year (a heated house in winter).
    pub dry: Air,
    /// The dampest spell (August).
    pub damp: Air,
    /// The air in which the wood has settled when it is fitted.
    pub fitting: Air,
}

impl Climate {
    /// A heated house where nobody has measured: 70 °F and 30 % in winter, 77 °F and 65 % in August, 70 °F and
    /// 45 % in the shop. Starting values, no source: a hygrometer in the house is better.
    pub fn starting() -> Self {
        let air = |temperature_f, humidity_percent| Air { temperature_f, humidity_percent };
        Self { dry: air(70.0, 30.0), damp: air(77.0, 65.0), fitting: air(70.0, 45.0) }
    }

    /// Moisture contents at the damp end, when fitted, at the dry end.
    /// [`SeasonError::EndsSwapped`] if the damp end is the drier one.
    pub fn moisture(self) -> Result<YearMoisture, SeasonError> {
        YearMoisture::new(self.damp.moisture_percent(), self.fitting.moisture_percent(), self.dry.moisture_percent())
    }
}

/// Moisture contents of a wood through the year, % of dry weight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct YearMoisture {
    damp: f64,
    fitting: f64,
    dry: f64,
}

impl YearMoisture {
    /// Checked: each within 0 to 30 %, the damp end not below the dry end. Where the user has a
    /// moisture meter, `fitting` is what it says.
    pub fn new(damp: f64, fitting: f64, dry: f64) -> Result<Self, SeasonError> {
        for moisture in [damp, fitting, dry] {
            if !(0.0..=30.0).contains(&moisture) {
                return Err(SeasonError::Moisture(moisture));
            }
        }
        if damp < dry {
            return Err(SeasonError::EndsSwapped { damp, dry });
        }
        Ok(Self { damp, fitting, dry })
    }

    /// At the damp end, %.
    pub fn damp(self) -> f64 {
        self.damp
    }

    /// When fitted, %.
    pub fn fitting(self) -> f64 {
        self.fitting
    }

    /// At the dry end, %.
    pub fn dry(self) -> f64 {
        self.dry
    }

    /// Does any of them lie outside [`COEFFICIENT_RANGE`], so that the movement is an estimate only?
    pub fn beyond_coefficients(self) -> bool {
        [self.damp, self.fitting, self.dry].iter().any(|m| *m < COEFFICIENT_RANGE[0] || *m > COEFFICIENT_RANGE[1])
    }
}

/// Change of a width: `ΔD = D·C·(to − from)`, moisture contents in % (USDA Wood Handbook, eq. 13-2).
/// Positive: it swells.
pub fn movement(width: Length, coefficient: f64, from_percent: f64, to_percent: f64) -> Inches {
    Inches(width.inches() * coefficient * (to_percent - from_percent))
}

/// What of a leaf moves: which wood widths lie across it. Along the grain next to nothing moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Build {
    /// Frame and panel: across the leaf the two stiles move, up and down nothing does.
    Framed {
        /// Widths of the left and the right stile.
        stiles: [Length; 2],
    },
    /// Solid with the grain running level (a drawer front): moves over its whole height.
    SolidLevel,
    /// Solid with the grain running upright (a slab door): moves over its whole width.
    SolidUpright,
}

/// What holds a leaf while it moves, so which of its gaps give.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Held {
    /// By hinges on one side: that side's gap keeps, the latch side takes all. Up and down the
    /// hinge screws hold it about its middle height.
    Hinges(Side),
    /// By its middle (a drawer front on its box): both sides take half.
    Middle,
    /// Set on the bottom (a front screwed along its lower edge): the top takes all.
    Bottom,
}

/// A leaf as the season sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SeasonLeaf<'w> {
    /// Width of the leaf.
    pub width: Length,
    /// Height of the leaf.
    pub height: Length,
    /// What of it moves.
    pub build: Build,
    /// The wood.
    pub wood: &'w Wood,
    /// How it was sawn.
    pub sawn: Sawn,
    /// What holds it.
    pub held: Held,
}

impl SeasonLeaf<'_> {
    /// How much the whole leaf grows across and up when its moisture goes from one % to another.
    pub fn growth(&self, from_percent: f64, to_percent: f64) -> (Inches, Inches) {
        let grows = |width| movement(width, self.wood.coefficient(self.sawn), from_percent, to_percent);
        match self.build {
            Build::Framed { stiles: [left, right] } => (Inches(grows(left).get() + grows(right).get()), Inches(0.0)),
            Build::SolidLevel => (Inches(0.0), grows(self.height)),
            Build::SolidUpright => (grows(self.width), Inches(0.0)),
        }
    }

    /// How far one edge moves outward, closing its gap, for the same change.
    pub fn outward(&self, edge: Edge, from_percent: f64, to_percent: f64) -> Inches {
        let (across, up) = self.growth(from_percent, to_percent);
        let share = match (self.held, edge) {
            (Held::Hinges(side), Edge::Left | Edge::Right) => f64::from(u8::from(side.edge() != edge)),
            (Held::Bottom, Edge::Bottom) => 0.0,
            (Held::Bottom, Edge::Top) => 1.0,
            _ => 0.5,
        };
        Inches(share * if edge.is_upright() { across.get() } else { up.get() })
    }
}

/// One gap through the year.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GapThroughYear {
    /// When fitted.
    pub fitted: Inches,
    /// At the damp end.
    pub damp: Inches,
    /// At the dry end.
    pub dry: Inches,
}

impl GapThroughYear {
    /// Does it bind: is less than `least` left at the damp end? ("binds in August")
    pub fn binds(&self, least: Inches) -> bool {
        self.damp.get() < least.get()
    }

    /// Does it gape: is more than `most` there at the dry end?
    pub fn gapes(&self, most: Inches) -> bool {
        self.dry.get() > most.get()
    }
}

/// One gap through the year, given what it is when fitted and the edges that move into it (one for a
/// gap to the frame, two for a meeting gap). The frame's own opening keeps: its width and height lie
/// along the grain of rails and stiles.
pub fn through_year(fitted: Inches, edges: &[(SeasonLeaf<'_>, Edge)], year: YearMoisture) -> GapThroughYear {
    let closes = |to| edges.iter().map(|(leaf, edge)| leaf.outward(*edge, year.fitting, to).get()).sum::<f64>();
    GapThroughYear {
        fitted,
        damp: Inches(fitted.get() - closes(year.damp)),
        dry: Inches(fitted.get() - closes(year.dry)),
    }
}

/// The reveal to fit to now so that the gap is `wanted` at the moisture halfway between the year's
/// ends: wider than wanted while the wood is dry, narrower while it is damp.
pub fn reveal_now(wanted: Inches, edges: &[(SeasonLeaf<'_>, Edge)], year: YearMoisture) -> Inches {
    let middle = f64::midpoint(year.damp, year.dry);
    let closes: f64 = edges.iter().map(|(leaf, edge)| leaf.outward(*edge, year.fitting, middle).get()).sum();
    Inches(wanted.get() + closes)
}
