//! A made-up door: the true opening and leaf, how a feeler finds their gaps, what saw and plane really take.
//!
//! Invented numbers throughout (the simulated shop's), none from a source. Exact rigid motions, not the
//! first-order model that plans are made with. Pure: every random number is drawn by the caller
//! ([`Draws`]), and nothing here knows what a plan is.
//!
//! - [`world`]: corners, bows, gaps, cuts. [`pose`]: where the leaf sits best, or anywhere it fits.
//! - [`hands`]: reading with a shaking hand, sawing and planing with their spread.

pub mod hands;
pub mod pose;
pub mod world;

/// Random numbers, drawn by the caller.
pub trait Draws {
    /// Gaussian about zero with this standard deviation.
    fn normal(&mut self, sd: f64) -> f64;
    /// Evenly between the two.
    fn between(&mut self, low: f64, high: f64) -> f64;
    /// True with this chance.
    fn chance(&mut self, of: f64) -> bool;
}
