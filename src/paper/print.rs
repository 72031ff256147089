//! A page as PDF, by way of its SVG, with the letters of the program's own font in it.

use super::font;
use super::page::Page;
use super::vector;
use std::sync::Arc;
use svg2pdf::usvg::{Options, Tree, fontdb::Database};
use svg2pdf::{ConversionOptions, PageOptions};

/// What a page is written as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// Vector graphics for the screen and for drawing programs.
    Svg,
    /// For the printer.
    Pdf,
}

/// Why a page was not written. The first is the user's, the others are ours.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PaperError {
    /// The ending of the file's name says nothing of the format.
    #[error("'{0}' must end in .svg or .pdf: the ending says what is written")]
    Ending(String),
    /// Our own SVG was refused.
    #[error("the page could not be read back as SVG ({0}); please report this")]
    Svg(String),
    /// The PDF could not be made.
    #[error("the page could not be made a PDF ({0}); write a .svg instead, and please report this")]
    Pdf(String),
}

impl Format {
    /// By the ending of a file's name, capitals or not.
    pub fn of(file: &str) -> Result<Self, PaperError> {
        let ending = file.rsplit_once('.').map(|(_, ending)| ending.to_ascii_lowercase());
        match ending.as_deref() {
            Some("svg") => Ok(Self::Svg),
            Some("pdf") => Ok(Self::Pdf),
            _ => Err(PaperError::Ending(file.to_owned())),
        }
    }
}

/// The bytes of a page in that format. Nothing is looked up on the machine: no system font, no file.
pub fn bytes(page: &Page, format: Format) -> Result<Vec<u8>, PaperError> {
    let svg = vector::svg(page);
    if format == Format::Svg {
        return Ok(svg.into_bytes());
    }
    let mut fonts = Database::new();
    fonts.load_font_data(font::BYTES.to_vec());
    let options = Options { fontdb: Arc::new(fonts), font_family: font::FAMILY.to_owned(), ..Options::default() };
    let tree = Tree::from_str(&svg, &options).map_err(|error| PaperError::Svg(error.to_string()))?;
    // The tree is measured in CSS pixels, 96 to the inch.
    let page = PageOptions { dpi: 96.0 };
    svg2pdf::to_pdf(&tree, ConversionOptions::default(), page).map_err(|error| PaperError::Pdf(error.to_string()))
}

/// Names for `count` pages: the first has the name given, the next ones a number before the ending.
///
/// ```
/// assert_eq!(evenreveal::paper::print::names("out/sheet.pdf", 2), ["out/sheet.pdf", "out/sheet-2.pdf"]);
/// ```
pub fn names(file: &str, count: usize) -> Vec<String> {
    let (stem, ending) = file.rsplit_once('.').unwrap_or((file, ""));
    let name = |page: usize| if page == 1 { file.to_owned() } else { format!("{stem}-{page}.{ending}") };
    (1..=count).map(name).collect()
}
