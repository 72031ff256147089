//! Before the gap is final: survey, blank, film, season, swing, flush and wind. Pure.

pub mod assign;
pub mod blank;
pub mod film;
pub mod flush;
pub mod known;
pub mod season;
pub mod spare;
pub mod survey;
pub mod swing;
pub mod table;
pub mod wood;
pub mod words;
