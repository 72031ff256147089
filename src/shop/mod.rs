//! The shop folder: settings and the append-only log of each opening. The only code that touches files.

pub mod event;
pub mod settings;
