//! `card` and `sheet`: what is printed.

use super::trouble::{Answer, Trouble};
use super::{put, say, unsound};
use crate::paper::font;
use crate::shell::printing::{self, PrintError};
use crate::shop::Shop;
use clap::Args;
use std::io::Write;
use std::path::PathBuf;

/// One page of one opening.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  evenreveal card \"left door\" --out left-door.pdf\n  \
evenreveal --shop ~/kitchen card Drawers --out drawers.svg\n\n\
The page is US letter where the shop measures in inches, A4 where it measures in millimetres.")]
pub(super) struct CardArguments {
    /// The opening's name
    opening: String,
    /// Where to write it; the ending, .svg or .pdf, says what
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
}

/// All openings.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  evenreveal sheet --out shop.pdf\n\n\
More openings than a page holds are written to FILE, then to FILE with -2, -3 before its ending.")]
pub(super) struct SheetArguments {
    /// Where to write it; the ending, .svg or .pdf, says what
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
}

/// Writes the fit card.
pub(super) fn card(shop: &Shop, arguments: &CardArguments, out: &mut dyn Write) -> Result<Answer, Trouble> {
    printing::format_of(&arguments.out)?;
    let opening = shop.opening(&arguments.opening)?;
    for notice in opening.notices() {
        say(&notice.to_string());
    }
    let trouble = opening.state().trouble.as_ref();
    if let Some(trouble) = trouble {
        say(&unsound(&opening, trouble));
    }
    let lacking = font::lacking(opening.name());
    if !lacking.is_empty() {
        say(&format!("the page's font has no {lacking}: such letters of its name stand there as ?"));
    }
    let written = report(&printing::write(&[printing::card_of(shop, &opening)], &arguments.out)?, out)?;
    Ok(written.unless(trouble.is_some()))
}

/// Writes the shop sheet.
pub(super) fn sheet(shop: &Shop, arguments: &SheetArguments, out: &mut dyn Write) -> Result<Answer, Trouble> {
    printing::format_of(&arguments.out)?;
    let openings = shop.list()?;
    let unsound = || openings.iter().filter(|one| one.is_unsound());
    for one in unsound() {
        say(&format!("{}: {}", one.name, one.trouble.as_deref().unwrap_or_default()));
    }
    let written = report(&printing::write(&printing::shop_sheet(shop)?, &arguments.out)?, out)?;
    Ok(written.unless(unsound().next().is_some()))
}

fn report(files: &[PathBuf], out: &mut dyn Write) -> Result<Answer, Trouble> {
    files.iter().try_for_each(|file| put(out, &format!("written {}", file.display())))?;
    Ok(Answer::Done)
}

impl From<PrintError> for Trouble {
    fn from(error: PrintError) -> Self {
        match error {
            PrintError::Shop(error) => error.into(),
            PrintError::Format(_) => Self::Input(error.to_string()),
            PrintError::Page(_) | PrintError::Write { .. } => Self::Storage(error.to_string()),
        }
    }
}
