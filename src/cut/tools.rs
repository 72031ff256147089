//! The shop's tools and stock, as values: shims, saws, sleds, planes.

use crate::fit::length::Length;
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
}

/// A sled or mitre gauge with a fence across the table.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Sled {
    /// The shop's name for it.
    pub name: String,
    /// Longest edge that fits against its fence.
    pub fence: Length,
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
