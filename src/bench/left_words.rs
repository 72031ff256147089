//! What is said of forms that were left before they were kept.

use super::drafts::{DraftOf, Page};
use super::form::LONGEST;

/// The key typed last found no room.
pub fn field_full() -> String {
    format!("this field is full ({LONGEST} characters): the last key is not in it; Enter keeps what is")
}

/// Text was pasted where no text is typed.
pub const PASTED_NOWHERE: &str = "what was pasted is not taken: here are keys, and no text is typed";

/// Which form, and where it is found.
pub fn form(of: &DraftOf) -> String {
    let what = match of.page {
        Page::NewOpening => "a new opening (n)",
        Page::Note => "a note (n)",
        Page::Survey => "the survey (s)",
        Page::Build => "how it is made (b)",
        Page::Heights => "how high the fronts are (b, then h)",
        Page::Flush => "flush corners (f)",
        Page::Swing => "the hinge pin (w)",
        Page::Hinges => "its hinges (h)",
        Page::Altered => "a strip glued on, or a leaf made anew (m)",
        Page::Finish => "the finish",
        Page::Otherwise => "a cut done otherwise (c)",
        Page::Measured(_) => "measured at a set-up (c)",
        Page::Tools => "a tool or a setting (t)",
    };
    if of.opening.is_empty() { what.to_owned() } else { format!("{what} of '{}'", of.opening) }
}

/// Said when a shop is opened in which forms were left.
pub fn forms<'a>(left: impl Iterator<Item = &'a DraftOf>) -> Option<String> {
    let named: Vec<String> = left.map(form).collect();
    let (first, others) = named.split_first()?;
    let others = match others.len() {
        0 => String::new(),
        1 => ", and one more form".to_owned(),
        more => format!(", and {more} more forms"),
    };
    Some(format!("typed before and not kept yet: {first}{others}. It stands there again"))
}

/// What is typed cannot be set aside on the disk.
pub fn not_on_disk(why: &str) -> String {
    format!("what is being typed would be lost with this program: {why}. Keep it or write it down")
}

/// The file of forms is damaged.
pub fn damaged(aside: &str) -> String {
    format!("what was typed before and not kept cannot be read any more; the file stays as {aside}")
}
