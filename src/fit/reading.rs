//! Readings: one feeler result at one station, stored as given, used as a mean and a standard
//! uncertainty (a uniform interval has width/√12: GUM, JCGM 100:2008, 4.3.7).

use super::length::Length;

/// What was read at a station.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Value {
    /// An exact instrument (taper gauge, caliper), or a typed length.
    Gap(Length),
    /// A feeler that goes and the next one that stops: the gap is in `[goes, stops)`.
    GoNoGo {
        /// The thickest feeler that goes.
        goes: Length,
        /// The thinnest feeler that stops.
        stops: Length,
    },
    /// The leaf laps the frame's face by this much: a gap below zero.
    Lap(Length),
}

/// One feeler result at one station.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reading {
    /// Distance along the first-named leaf's edge from its lower or left end.
    pub at: Length,
    /// What was read there.
    pub value: Value,
}

/// Why a reading cannot be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ReadingError {
    /// The feeler that stops is not thicker than the one that goes.
    #[error("the feeler that stops must be thicker than the one that goes")]
    StopsNotAboveGoes,
}

impl Reading {
    /// A go / no-go reading; the one that stops must be the thicker.
    pub fn go_no_go(at: Length, goes: Length, stops: Length) -> Result<Self, ReadingError> {
        if stops <= goes {
            return Err(ReadingError::StopsNotAboveGoes);
        }
        Ok(Self { at, value: Value::GoNoGo { goes, stops } })
    }

    /// The gap in inches: the middle of an interval, a lap below zero.
    pub fn mean_inches(&self) -> f64 {
        match self.value {
            Value::Gap(gap) => gap.inches(),
            Value::GoNoGo { goes, stops } => f64::midpoint(goes.inches(), stops.inches()),
            Value::Lap(lap) => -lap.inches(),
        }
    }

    /// Standard uncertainty in inches from the width of an interval (0 for an exact value; the
    /// estimator adds the instrument's and the hand's own).
    pub fn interval_sd_inches(&self) -> f64 {
        match self.value {
            Value::GoNoGo { goes, stops } => (stops.inches() - goes.inches()) / 12.0_f64.sqrt(),
            Value::Gap(_) | Value::Lap(_) => 0.0,
        }
    }
}
