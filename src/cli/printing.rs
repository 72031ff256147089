//! `card` and `sheet`: what is printed.

use super::trouble::{Answer, Trouble};
use super::{put, say};
use crate::bench::OpeningSeen;
use crate::bench::prepare::cutting;
use crate::paper::matter::Matter;
use crate::paper::page::Page;
use crate::paper::print::{self, Format, PaperError};
use crate::paper::{card, sheet};
use crate::shell::desk::Desk;
use crate::shell::runner::see;
use crate::shop::Shop;
use crate::shop::files::{Files, RealFiles};
use clap::Args;
use std::io::Write;
use std::path::{Path, PathBuf};

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
    format_of(&arguments.out)?;
    let opening = shop.opening(&arguments.opening)?;
    for notice in opening.notices() {
        say(&notice.to_string());
    }
    let spreads = Desk::new(shop.shelf()).spreads(opening.name(), shop.settings());
    let page = card::card(&Matter::of(&see(&opening), shop.settings(), spreads));
    report(&write(&[page], &arguments.out)?, out)
}

/// Writes the card of `opening`, or the shop sheet without one; answers the files.
pub(crate) fn print(shop: &Shop, opening: Option<&str>, file: &Path) -> Result<Vec<PathBuf>, Trouble> {
    format_of(file)?;
    let Some(name) = opening else { return write(&shop_sheet(shop)?, file) };
    let opening = shop.opening(name)?;
    let spreads = Desk::new(shop.shelf()).spreads(opening.name(), shop.settings());
    write(&[card::card(&Matter::of(&see(&opening), shop.settings(), spreads))], file)
}

/// Writes the shop sheet.
pub(super) fn sheet(shop: &Shop, arguments: &SheetArguments, out: &mut dyn Write) -> Result<Answer, Trouble> {
    format_of(&arguments.out)?;
    report(&write(&shop_sheet(shop)?, &arguments.out)?, out)
}

/// The pages of the shop sheet. An opening that cannot be read has its row all the same.
pub(crate) fn shop_sheet(shop: &Shop) -> Result<Vec<Page>, Trouble> {
    let (mut seen, mut astray): (Vec<OpeningSeen>, Vec<(String, String)>) = (Vec::new(), Vec::new());
    for listed in shop.list()? {
        // The file's name serves even where two openings have one name.
        match shop.opening(listed.file.trim_end_matches(crate::shop::name::ENDING)) {
            Ok(opening) => {
                if let Some(trouble) = &listed.trouble {
                    astray.push((format!("{} (its file)", listed.name), trouble.clone()));
                }
                seen.push(see(&opening));
            }
            Err(error) => astray.push((listed.name, error.to_string())),
        }
    }
    let mut desk = Desk::new(shop.shelf());
    let matters: Vec<Matter<'_>> =
        seen.iter().map(|seen| Matter::of(seen, shop.settings(), desk.spreads(&seen.name, shop.settings()))).collect();
    let parts = cutting::shop_list(&shop.all()?, shop.settings());
    Ok(sheet::sheet(shop.settings(), &matters, &astray, &parts))
}

fn format_of(file: &Path) -> Result<Format, Trouble> {
    Format::of(&file.to_string_lossy()).map_err(|error| Trouble::Input(error.to_string()))
}

/// Writes the pages to `file` and, for the second and later ones, beside it; answers the files. Every page
/// is made before the first is written.
pub(crate) fn write(pages: &[Page], file: &Path) -> Result<Vec<PathBuf>, Trouble> {
    let format = format_of(file)?;
    let made = pages.iter().map(|page| print::bytes(page, format)).collect::<Result<Vec<_>, PaperError>>();
    let made = made.map_err(|error| Trouble::Storage(error.to_string()))?;
    let name = file.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let names = print::names(&name, made.len());
    let paths: Vec<PathBuf> = names.iter().map(|name| file.with_file_name(name)).collect();
    for (path, bytes) in paths.iter().zip(&made) {
        RealFiles
            .replace(path, bytes)
            .map_err(|error| Trouble::Storage(format!("{} cannot be written: {error}", path.display())))?;
    }
    Ok(paths)
}

fn report(files: &[PathBuf], out: &mut dyn Write) -> Result<Answer, Trouble> {
    files.iter().try_for_each(|file| put(out, &format!("written {}", file.display())))?;
    Ok(Answer::Done)
}
