//! Names of openings are the user's words; file names are made from them and never leave the folder.

/// Longest name of an opening, in characters.
pub const LONGEST_NAME: usize = 120;
/// Longest file name made from one, in bytes, before its ending (and a number) is added.
const LONGEST_STEM: usize = 100;
/// Ending of a log's file name.
pub const ENDING: &str = ".jsonl";

/// Why a text cannot be the name of an opening.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NameError {
    /// Nothing in it.
    #[error("an opening needs a name")]
    Empty,
    /// Too long to show.
    #[error("a name has at most {LONGEST_NAME} characters")]
    TooLong,
    /// A line end, a tab or another character that cannot be shown.
    #[error("character {position} of the name cannot be shown; use letters, digits, spaces and signs")]
    Control {
        /// Which character, counted from 1.
        position: usize,
    },
}

/// The name as it is kept: without spaces around it.
pub fn checked_name(name: &str) -> Result<&str, NameError> {
    let name = name.trim();
    if name.is_empty() {
        return Err(NameError::Empty);
    }
    if let Some(place) = name.chars().position(|c| c.is_control() || is_unseen(c)) {
        return Err(NameError::Control { position: place + 1 });
    }
    if name.chars().count() > LONGEST_NAME {
        return Err(NameError::TooLong);
    }
    Ok(name)
}

/// Characters that turn the direction of writing or take no room: two names could look alike.
fn is_unseen(c: char) -> bool {
    matches!(c, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}')
}

/// A file stem made from `name`: letters and digits of any script, spaces, `-`, `_` and inner points;
/// everything else becomes `_`. Never empty, never starts with a point, never a device name.
pub fn stem(name: &str) -> String {
    let mut stem = String::new();
    for c in name.trim().chars() {
        let c = if c.is_alphanumeric() || matches!(c, ' ' | '-' | '_' | '.') { c } else { '_' };
        if stem.len() + c.len_utf8() > LONGEST_STEM {
            break;
        }
        stem.push(c);
    }
    let trimmed = stem.trim_matches(|c| matches!(c, '.' | ' '));
    if trimmed.is_empty() {
        return "opening".to_owned();
    }
    let before_point = trimmed.split('.').next().unwrap_or(trimmed).trim_end();
    if is_device(before_point) { format!("_{trimmed}") } else { trimmed.to_owned() }
}

/// Names that some systems keep for devices, whatever their ending.
fn is_device(word: &str) -> bool {
    let word = word.to_ascii_uppercase();
    let numbered = |start: &str| word.strip_prefix(start).is_some_and(|rest| rest.len() == 1 && rest != "0");
    matches!(word.as_str(), "CON" | "PRN" | "AUX" | "NUL") || numbered("COM") || numbered("LPT")
}

/// The first file name for `name` that is not among `taken`, capitals and small letters alike.
pub fn free_file_name(name: &str, taken: &[String]) -> String {
    let stem = stem(name);
    let is_taken = |candidate: &str| taken.iter().any(|other| other.to_lowercase() == candidate.to_lowercase());
    let mut candidate = format!("{stem}{ENDING}");
    let mut number = 2_u64;
    while is_taken(&candidate) {
        candidate = format!("{stem}-{number}{ENDING}");
        number += 1;
    }
    candidate
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn dangerous_names_become_plain_ones() {
        for (name, expected) in [
            ("../../etc/passwd", "_.._etc_passwd"),
            ("/etc/passwd", "_etc_passwd"),
            ("..", "opening"),
            ("Left door, kitchen", "Left door_ kitchen"),
            ("nul", "_nul"),
            ("com1.old", "_com1.old"),
            ("C:\\x", "C__x"),
            ("  Schränkchen  ", "Schränkchen"),
            ("???", "___"),
        ] {
            assert_eq!(stem(name), expected, "{name}");
        }
    }

    #[test]
    fn names_that_meet_get_numbers() {
        let taken = ["Door.jsonl".to_owned(), "door-2.jsonl".to_owned()];
        assert_eq!(free_file_name("door", &taken), "door-3.jsonl");
    }

    proptest! {
        #[test]
        fn a_file_name_never_leaves_the_folder(name in "\\PC{0,200}") {
            let file = free_file_name(&name, &[]);
            let path = std::path::Path::new(&file);
            prop_assert_eq!(path.components().count(), 1);
            let plain = matches!(path.components().next(), Some(std::path::Component::Normal(_)));
            prop_assert!(plain);
            prop_assert!(!file.starts_with('.') && file.len() <= 110);
        }
    }
}
