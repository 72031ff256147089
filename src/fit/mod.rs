//! The fitting model. Pure: no file, clock, environment, randomness or terminal.

mod assembly;
pub mod caveats;
pub mod choose;
pub mod estimate;
pub mod fault;
pub mod given;
pub mod hung;
pub mod learn;
pub mod length;
mod linear;
pub mod lp;
pub mod network;
pub mod opening;
pub mod packing;
pub mod plan;
pub mod policy;
pub mod reach;
pub mod reading;
pub mod sag;
mod settings;
mod shortlist;
pub mod sightline;
pub mod simplex;
pub mod sparing;
