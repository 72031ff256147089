//! What is printed: the fit card of one opening, and the shop sheet of all of them.
//!
//! A page is a value ([`page`]); [`vector`] writes it as SVG text, [`mod@print`] as PDF. Pure: equal openings
//! give equal pages to the byte, and whoever asked puts them where they belong.
//!
//! - [`font`]: the one font, inside the program, and how wide its letters are.
//! - [`matter`]: an opening with the plan and the set-ups that the screen would show.
//! - [`card`], [`sheet`]: what stands on the two kinds of page. [`flow`]: words in columns.
//! - [`drawing`]: the picture of an opening, its gaps enlarged, every label clear of the others.

pub mod card;
pub mod card_words;
pub mod drawing;
pub mod flow;
pub mod font;
pub mod matter;
pub mod page;
pub mod print;
pub mod sheet;
pub mod vector;
