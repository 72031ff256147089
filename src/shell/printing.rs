//! The card of an opening and the shop sheet, written to files.

use super::desk::Desk;
use super::runner::see;
use crate::bench::OpeningSeen;
use crate::bench::prepare::cutting;
use crate::paper::matter::Matter;
use crate::paper::page::Page;
use crate::paper::print::{self, Format, PaperError};
use crate::paper::{card, sheet};
use crate::shop::files::{Files, RealFiles};
use crate::shop::{Opening, Shop, ShopError};
use std::io;
use std::path::{Path, PathBuf};

/// Why nothing was printed.
#[derive(Debug, thiserror::Error)]
pub enum PrintError {
    /// The file's ending names no format that can be written.
    #[error("{0}")]
    Format(PaperError),
    /// The shop or the opening cannot be read.
    #[error(transparent)]
    Shop(#[from] ShopError),
    /// The page cannot be made.
    #[error("{0}")]
    Page(PaperError),
    /// The file cannot be written.
    #[error("{path} cannot be written: {source}")]
    Write {
        /// Which file.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
}

/// The card of `opening`.
pub fn card_of(shop: &Shop, opening: &Opening) -> Page {
    let spreads = Desk::new(shop.shelf()).spreads(opening.name(), shop.settings());
    card::card(&Matter::of(&see(opening), shop.settings(), spreads))
}

/// Writes the card of `opening`, or the shop sheet without one; answers the files.
pub fn print(shop: &Shop, opening: Option<&str>, file: &Path) -> Result<Vec<PathBuf>, PrintError> {
    format_of(file)?;
    let Some(name) = opening else { return write(&shop_sheet(shop)?, file) };
    write(&[card_of(shop, &shop.opening(name)?)], file)
}

/// The pages of the shop sheet. An opening that cannot be read has its row all the same.
pub fn shop_sheet(shop: &Shop) -> Result<Vec<Page>, PrintError> {
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
    let parts = cutting::shop_list(&shop.all()?, shop.settings().show);
    Ok(sheet::sheet(shop.settings(), &matters, &astray, &parts))
}

/// The format that the ending of `file` names.
pub fn format_of(file: &Path) -> Result<Format, PrintError> {
    Format::of(&file.to_string_lossy()).map_err(PrintError::Format)
}

/// Writes the pages to `file` and, for the second and later ones, beside it; answers the files. Every page
/// is made before the first is written.
pub fn write(pages: &[Page], file: &Path) -> Result<Vec<PathBuf>, PrintError> {
    let format = format_of(file)?;
    let made = pages.iter().map(|page| print::bytes(page, format)).collect::<Result<Vec<_>, PaperError>>();
    let made = made.map_err(PrintError::Page)?;
    let name = file.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let names = print::names(&name, made.len());
    let paths: Vec<PathBuf> = names.iter().map(|name| file.with_file_name(name)).collect();
    for (path, bytes) in paths.iter().zip(&made) {
        RealFiles.replace(path, bytes).map_err(|source| PrintError::Write { path: path.clone(), source })?;
    }
    Ok(paths)
}
