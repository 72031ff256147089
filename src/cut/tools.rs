//! The shop's tools and stock, as values: shims, saws, sleds, planes.

use crate::fit::length::{Inches, Length, Unit};
use serde::{Deserialize, Serialize};

/// How a thickness came to be known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Measured {
    /// A starting value nobody in this shop has measured.
    StartingValue,
    /// A stack of `layers` measured `total`.
    Stack {
        /// How many layers were in the stack.
        layers: u32,
        /// What the stack measured.
        total: Length,
        /// The step it was read to, where known: the last place of the caliper, the rule's division.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        read_to: Option<Length>,
    },
    /// One piece, measured with an instrument.
    Single,
}

/// A shim material: tape, card, veneer.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ShimStock {
    /// The shop's name for it.
    pub name: String,
    /// Thickness of one layer.
    pub thickness: Length,
    /// How that is known.
    pub measured: Measured,
}

/// A table saw with its fence.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Saw {
    /// The shop's name for it.
    pub name: String,
    /// Fence length before the blade (toward the operator).
    pub fence_before: Length,
    /// Fence length behind the blade.
    pub fence_behind: Length,
    /// Width of the cut.
    pub kerf: Length,
    /// Smallest fence move that can be trusted.
    pub finest_move: Length,
    /// Has this shop measured its own machine? Else the figures are starting values.
    #[serde(default)]
    pub measured: bool,
}

/// A sled or mitre gauge with a fence across the table.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Sled {
    /// The shop's name for it.
    pub name: String,
    /// Longest edge that fits against its fence.
    pub fence: Length,
    /// Has this shop measured its own sled? Else the figure is a starting value.
    #[serde(default)]
    pub measured: bool,
}

/// A hand plane.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Plane {
    /// The shop's name for it.
    pub name: String,
    /// Thickness of one shaving.
    pub shaving: Length,
    /// How that is known.
    pub measured: Measured,
}

/// Standard deviation of a starting value, as a share of it: a guess, no source.
const STARTING_SHARE: f64 = 0.1;

/// Why a stack is no measurement.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum StackError {
    /// No layer, or an unbelievable number of them.
    #[error("a stack has 1 to 1000 layers or strokes; ten or twenty measure best")]
    Layers,
    /// Nothing measured.
    #[error("the stack must measure more than nothing")]
    Nothing,
    /// The step it was read to makes no sense.
    #[error("the step it was read to must be more than nothing and no more than the whole stack")]
    Step,
}

impl Measured {
    /// "Ten layers are 0.052", "twenty strokes took 1/32": the thickness of one and how it is known.
    ///
    /// ```
    /// use evenreveal::cut::tools::Measured;
    /// use evenreveal::fit::length::Length;
    /// let (one, how) = Measured::stack(10, Length::ratio(52, 1000), Some(Length::ratio(1, 1000))).unwrap();
    /// assert_eq!(one, Length::ratio(52, 10_000));
    /// // Read to 0.001: that step over the square root of twelve, shared by ten layers.
    /// assert!((how.standard_uncertainty(one).get() - 0.001 / 12_f64.sqrt() / 10.0).abs() < 1e-12);
    /// ```
    ///
    /// `read_to` is the step that the total was read to; without it, see [`step_read`].
    pub fn stack(layers: u32, total: Length, read_to: Option<Length>) -> Result<(Length, Self), StackError> {
        if !(1..=1000).contains(&layers) {
            return Err(StackError::Layers);
        }
        if total <= Length::ZERO {
            return Err(StackError::Nothing);
        }
        if read_to.is_some_and(|step| step <= Length::ZERO || step > total) {
            return Err(StackError::Step);
        }
        let one = total.checked_scale(1, i64::from(layers)).ok_or(StackError::Layers)?;
        Ok((one, Self::Stack { layers, total, read_to }))
    }

    /// Standard uncertainty of one layer's `thickness`.
    ///
    /// A stack's total was read to a step, given or taken from the way it is written ([`step_read`]):
    /// a uniform interval one step wide, so `step/√12` (GUM, JCGM 100:2008, 4.3.7) shared by the layers. A
    /// single piece has the whole of it. A starting value has a tenth of itself: a guess, no source.
    pub fn standard_uncertainty(self, thickness: Length) -> Inches {
        let read = |step: f64, layers: f64| Inches(step / 12.0_f64.sqrt() / layers);
        match self {
            Self::StartingValue => Inches(STARTING_SHARE * thickness.inches().abs()),
            Self::Stack { layers, total, read_to } => {
                read(read_to.map_or_else(|| step_read(total), Length::inches), f64::from(layers.max(1)))
            }
            Self::Single => read(step_read(thickness), 1.0),
        }
    }
}

/// The step a measurement was read to, in inches, from the way it is written: a binary fraction was
/// read on a rule, to half a 64th or its own fraction if finer; anything else on an instrument, to
/// 0.001 in or to its last place if finer. A judgement, no source.
pub fn step_read(measured: Length) -> f64 {
    let inches = measured.inches();
    for step in [1.0 / 64.0, 1.0 / 128.0, 1.0 / 256.0] {
        if (inches / step - (inches / step).round()).abs() < 1e-9 {
            return f64::min(step, 1.0 / 128.0);
        }
    }
    let on = |step: f64| (inches / step - (inches / step).round()).abs() < 1e-6;
    [0.001, 0.0005, 0.0001].into_iter().find(|&step| on(step)).unwrap_or(0.0005)
}

impl ShimStock {
    /// Standard uncertainty of one layer.
    pub fn standard_uncertainty(&self) -> Inches {
        self.measured.standard_uncertainty(self.thickness)
    }
}

impl Plane {
    /// Standard uncertainty of one shaving.
    pub fn standard_uncertainty(&self) -> Inches {
        self.measured.standard_uncertainty(self.shaving)
    }
}

/// Shim stock to start from until the shop measures its own. Tape, paper and card are common
/// practice with no published source; an identification card is 0.76 mm (ISO/IEC 7810).
pub fn starting_stock() -> Vec<ShimStock> {
    let stock = |name: &str, numerator, denominator| ShimStock {
        name: name.to_owned(),
        thickness: Length::ratio(numerator, denominator),
        measured: Measured::StartingValue,
    };
    vec![
        stock("painter's tape", 55, 10_000),
        stock("printer paper", 4, 1000),
        stock("playing card", 3, 254),
        stock("plastic ID card", 76, 2540),
    ]
}

/// The finest step that a fence, a stop or a pencil is trusted with where nobody said: 1/128 in, or 0.2 mm in a shop
/// that measures in millimetres. A judgement, no source; the two are as good as one (1/128 in is 0.198 mm), and half
/// of either stays within what rounding may leave ([`super::job::Limits::rounding`]).
pub fn finest_step(unit: Unit) -> Length {
    match unit {
        Unit::Inch => Length::ratio(1, 128),
        Unit::Millimetre => Length::ratio(2, 254),
    }
}

/// A saw to start from, with figures that are whole in `unit`: of no particular machine, to be replaced by the shop's
/// own.
pub fn starting_saws(unit: Unit) -> Vec<Saw> {
    let [fence_before, fence_behind, kerf] = match unit {
        Unit::Inch => [Length::ratio(16, 1), Length::ratio(14, 1), Length::ratio(1, 8)],
        Unit::Millimetre => [4000, 3500, 32].map(|tenths| Length::ratio(tenths, 254)),
    };
    let (name, finest_move) = ("table saw".to_owned(), finest_step(unit));
    vec![Saw { name, fence_before, fence_behind, kerf, finest_move, measured: false }]
}

/// A sled to start from, with a figure that is whole in `unit`.
pub fn starting_sleds(unit: Unit) -> Vec<Sled> {
    let fence = match unit {
        Unit::Inch => Length::ratio(30, 1),
        Unit::Millimetre => Length::ratio(7500, 254),
    };
    vec![Sled { name: "crosscut sled".to_owned(), fence, measured: false }]
}

/// A plane to start from: a shaving of 0.001 in when correcting an edge is common practice, no
/// published source.
pub fn starting_planes() -> Vec<Plane> {
    vec![Plane { name: "block plane".to_owned(), shaving: Length::ratio(1, 1000), measured: Measured::StartingValue }]
}
