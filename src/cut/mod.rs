//! From wood to remove to a set-up. Pure.
//!
//! [`setup::propose`] picks a method for one trimmed edge and works out its set-up; what is refused
//! is refused as a value without a single number of the refused set-up; [`passes::staged`] shares more
//! than a kerf out over several passes. [`order::order`] puts the
//! edges of a leaf in order, [`picture::picture`] draws a set-up in plain inches, [`taken::taken`]
//! says what a set-up really removes when the shop's numbers were off.

mod cautions;
pub mod feed;
pub mod geometry;
pub mod job;
pub mod order;
mod pads;
pub mod passes;
pub mod picture;
pub mod rip;
pub mod setting;
pub mod setup;
pub mod sled;
pub mod strokes;
pub mod taken;
pub mod tools;
pub mod words;
