//! The shop folder: settings and the append-only log of each opening. The only code that touches files.
//!
//! - [`event`], [`settings`], [`house`]: the values on disk. [`mod@line`]: how one line of a log is written.
//! - [`files`]: what is asked of a file system. `contents`: what the bytes of a log hold;
//!   [`log`]: one opening's file. [`store`]: the folder.
//! - [`replay`]: events to state; `stage`: what is to be done next; [`check`]: may an event follow that state;
//!   [`problem`]: state to fit problem.
//! - [`shelf`]: the logs, only to be read, on a few threads. [`figures`]: what was worked out from them, noted beside the shop.
//! - [`archive`]: backup, restore, salvage; [`importing`]: many openings at once, each whole.
//! - [`altered`]: a strip glued on, a leaf made anew.
//! - [`glued`]: a blank glued up, and its size when done.
//! - [`unfinished`]: what was typed and not kept.
//! - [`hanging`]: when a leaf was hung, what its hinges used of their ranges.
//! - [`heights`]: what stacked fronts that are still to be made are to be high.
//! - [`made`]: which way the grain of a leaf runs. [`making`]: what is kept before a leaf hangs: survey, build, parts sawn, the reveal decided.

pub mod altered;
pub mod archive;
pub mod check;
mod check_making;
mod contents;
pub mod depth;
pub mod event;
pub mod facing;
pub mod figures;
pub mod files;
pub mod glued;
pub mod hanging;
pub mod heights;
pub mod house;
pub mod importing;
pub mod keeping;
mod left;
pub mod line;
pub mod log;
pub mod made;
pub mod making;
pub mod measured;
pub mod name;
pub mod opening;
pub mod photo;
pub mod pin;
pub mod place;
mod place_dir;
pub mod problem;
pub mod reckoned;
pub mod replay;
pub mod settings;
pub mod shelf;
mod stage;
pub mod staging;
pub mod store;
#[cfg(test)]
mod store_tests;
pub mod summary;
#[cfg(test)]
mod summary_tests;
pub mod taken;
pub mod unfinished;

pub use log::{AppendError, Log, Notice, ReadOnly};
pub use opening::{EnterError, Opening};
pub use place::ShopChoice;
pub use replay::OpeningState;
pub use shelf::Shelf;
pub use store::{Access, Holder, Shop, ShopError};
