//! Heights of fronts that stand one above another, typed in one field from the top down: `9, 7, 5`, `3 x 7`,
//! `9, rest, 5` where the opening leaves the rest, `3` for three alike, `4:3:2` for parts of the opening.

use super::measuring::typed;
use crate::fit::length::{Length, LengthError, Show, Unit};

/// Most fronts that one opening is described with.
pub const MOST: usize = 6;
/// The word for what the other fronts leave.
const REST: &str = "rest";
/// How it is typed, where the fronts have their sizes: in inches, and in millimetres.
pub const HINT_MADE: [&str; 2] =
    ["top to bottom, like 9, 7, 5; all alike: 3 x 7", "top to bottom, like 225, 175, 125; all alike: 3 x 175"];
/// How it is typed, where the fronts are still to be made.
pub const HINT_TO_COME: [&str; 2] = [
    "top to bottom, like 9, 7, 5; what the opening leaves: 9, rest, 5; three alike: 3",
    "top to bottom, like 225, 175, 125; what the opening leaves: 225, rest, 125; three alike: 3",
];

/// The height of one front.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Height {
    /// This.
    Given(Length),
    /// This share of what the fronts with a height leave of the opening.
    Rest(u32),
}

impl Height {
    /// A height, or a share.
    pub fn said(self) -> Result<Length, u32> {
        match self {
            Self::Given(height) => Ok(height),
            Self::Rest(share) => Err(share),
        }
    }
}

/// Why a text is no heights.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum HeightsError {
    /// Nothing was written.
    #[error("type the heights from the top down, with a comma between; or how many x how high")]
    Empty,
    /// One height, and not how many.
    #[error("'{0}' is one height: say how many fronts, like 3 x {0}, or each height, with a comma between")]
    One(String),
    /// Too many fronts.
    #[error("that makes {0} fronts; one opening takes {MOST} here, so describe the rest as another opening")]
    TooMany(usize),
    /// No height at all.
    #[error("the {} has no height: 0 is none", named(*.at, *.of))]
    Zero {
        /// Its place from the top.
        at: usize,
        /// How many there are.
        of: usize,
    },
    /// A height that cannot be read.
    #[error("the {}: {error}", named(*.at, *.of))]
    Unread {
        /// Its place from the top.
        at: usize,
        /// How many there are.
        of: usize,
        /// Why.
        error: LengthError,
    },
    /// `a x 7`.
    #[error("'{0}' is no count: give it like 3 x 7, with a whole number first")]
    Count(String),
    /// `9,5, 7`.
    #[error("'{0}' could be one height or two: write a point in a height (9.5), or ; between heights")]
    Comma(String),
    /// `4:0`.
    #[error("'{0}' is no part: parts of the opening are whole numbers from 1 to 1000, like 4:3:2")]
    Part(String),
    /// A height is left open where there is no opening to give it.
    #[error("the {} has no height: type it, or leave the width empty and the opening gives the sizes", named(*.at, *.of))]
    Open {
        /// Its place from the top.
        at: usize,
        /// How many there are.
        of: usize,
    },
}

/// The front at place `at` from the top, of so many: `top front`, `2nd front from the top`.
fn named(at: usize, of: usize) -> String {
    match at {
        0 => "top front".to_owned(),
        _ if at + 1 == of => "bottom front".to_owned(),
        1 => "2nd front from the top".to_owned(),
        2 => "3rd front from the top".to_owned(),
        _ => format!("{}th front from the top", at + 1),
    }
}

/// Reads the heights in `text`, from the top down; a bare number is in `unit`. See [`HeightsError`] for what is
/// refused.
///
/// ```
/// use evenreveal::bench::front_heights::{Height, read};
/// use evenreveal::fit::length::{Length, Unit};
/// let read = read("8 7/8, rest, 125mm", Unit::Inch).unwrap();
/// let given = |text| Height::Given(Length::parse(text, Unit::Inch).unwrap());
/// assert_eq!(read, [given("8.875"), Height::Rest(1), given("12.5cm")]);
/// ```
pub fn read(text: &str, unit: Unit) -> Result<Vec<Height>, HeightsError> {
    let text = text.trim();
    if text.is_empty() {
        return Err(HeightsError::Empty);
    }
    if text.contains(':') {
        return fits(text.split(':').map(part).collect::<Result<_, _>>()?, text);
    }
    // A whole number that stands alone is how many: a front that is 6 high and alone is no stack.
    if let Some(count) = text.parse().ok().filter(|count| (2..=MOST).contains(count)) {
        return Ok(vec![Height::Rest(1); count]);
    }
    let items: Vec<&str> = if text.contains(';') { text.split(';') } else { text.split(',') }.map(str::trim).collect();
    if !text.contains(';') {
        one_kind_of_comma(text)?;
    }
    let mut heights = Vec::new();
    for (at, item) in items.iter().enumerate() {
        let (count, one) = match item.split_once(['x', 'X', '\u{d7}', '*']) {
            Some((count, one)) => (counted(count, item)?, one.trim()),
            None => (1, *item),
        };
        if heights.len() + count > MOST {
            let more = items.len() - at - 1;
            return Err(HeightsError::TooMany(heights.len().saturating_add(count).saturating_add(more)));
        }
        let place = |error| HeightsError::Unread { at, of: items.len(), error };
        let height = match one {
            "" => Height::Rest(1),
            word if word.eq_ignore_ascii_case(REST) => Height::Rest(1),
            one => Height::Given(Length::parse(one, unit).map_err(place)?),
        };
        if height == Height::Given(Length::ZERO) {
            return Err(HeightsError::Zero { at, of: items.len() });
        }
        heights.extend(std::iter::repeat_n(height, count));
    }
    fits(heights, text)
}

fn fits(heights: Vec<Height>, text: &str) -> Result<Vec<Height>, HeightsError> {
    match heights.len() {
        0 | 1 => Err(HeightsError::One(text.chars().take(40).collect())),
        count if count > MOST => Err(HeightsError::TooMany(count)),
        _ => Ok(heights),
    }
}

fn part(text: &str) -> Result<Height, HeightsError> {
    let no_part = || HeightsError::Part(text.trim().chars().take(40).collect());
    let part: u32 = text.trim().parse().map_err(|_| no_part())?;
    if (1..=1000).contains(&part) { Ok(Height::Rest(part)) } else { Err(no_part()) }
}

fn counted(count: &str, item: &str) -> Result<usize, HeightsError> {
    let count: Option<u32> = count.trim().parse().ok().filter(|count| *count > 0);
    let none = || HeightsError::Count(item.chars().take(40).collect());
    count.and_then(|count| usize::try_from(count).ok()).ok_or_else(none)
}

/// Commas with and without a space after them in one text: some may be decimal ones.
fn one_kind_of_comma(text: &str) -> Result<(), HeightsError> {
    let chars: Vec<char> = text.chars().collect();
    let digit = |place: Option<usize>| place.and_then(|place| chars.get(place)).is_some_and(char::is_ascii_digit);
    let commas = || chars.iter().enumerate().filter(|(_, letter)| **letter == ',').map(|(place, _)| place);
    let bare = |place: &usize| digit(place.checked_sub(1)) && digit(place.checked_add(1));
    match (commas().find(bare), commas().find(|place| !bare(place))) {
        (Some(at), Some(_)) => {
            let from = chars[..at].iter().rposition(|letter| *letter == ',').map_or(0, |place| place + 1);
            let to = chars[at + 1..].iter().position(|letter| *letter == ',').map_or(chars.len(), |more| at + 1 + more);
            let told: String = chars[from..to].iter().collect();
            Err(HeightsError::Comma(told.trim().chars().take(40).collect()))
        }
        _ => Ok(()),
    }
}

/// Is every height given? Else which is not.
pub fn all_given(heights: &[Height]) -> Result<Vec<Length>, HeightsError> {
    let each = heights.iter().enumerate().map(|(at, height)| match height {
        Height::Given(height) => Ok(*height),
        Height::Rest(_) => Err(HeightsError::Open { at, of: heights.len() }),
    });
    each.collect()
}

/// As it would be typed.
pub fn text(heights: &[Height], show: Show) -> String {
    if heights.iter().any(|height| matches!(height, Height::Rest(part) if *part != 1)) {
        let parts = heights.iter().map(|height| match height {
            Height::Rest(part) => part.to_string(),
            Height::Given(_) => "1".to_owned(),
        });
        return parts.collect::<Vec<_>>().join(":");
    }
    if heights.iter().all(|height| *height == Height::Rest(1)) {
        return heights.len().to_string();
    }
    let each = heights.iter().map(|height| match height {
        Height::Given(height) => typed(*height, show),
        Height::Rest(_) => REST.to_owned(),
    });
    each.collect::<Vec<_>>().join(", ")
}

/// What was understood, with the names that the fronts get: `3 fronts, top to bottom: C 9, B the rest, A 5`. With a
/// `reveal` and every height, how high they and their gaps are together.
pub fn told(heights: &[Height], reveal: Option<Length>, show: Show) -> String {
    let count = heights.len();
    let ids: Vec<&str> = (0..count).rev().map(|place| super::kinds::front(place, count).0).collect();
    told_of(heights, &ids, reveal, show)
}

/// The same, of fronts with these short names from the top.
pub fn told_of(heights: &[Height], ids: &[&str], reveal: Option<Length>, show: Show) -> String {
    let count = heights.len();
    let id = |at: usize| ids.get(at).copied().unwrap_or("?");
    let parts = heights.iter().any(|height| matches!(height, Height::Rest(part) if *part != 1));
    if heights.iter().all(|height| *height == Height::Rest(1)) {
        return format!("{count} fronts alike, as high as the opening gives them; {} at the top", id(0));
    }
    let each = heights.iter().enumerate().map(|(at, height)| match height {
        Height::Given(height) => format!("{} {}", id(at), height.sized(show)),
        Height::Rest(part) if parts => format!("{} {part}", id(at)),
        Height::Rest(_) => format!("{} the rest", id(at)),
    });
    let each = each.collect::<Vec<_>>().join(", ");
    if parts {
        return format!("{count} fronts, top to bottom, in parts of the opening: {each}");
    }
    let gap = reveal.and_then(|reveal| reveal.checked_scale(i64::try_from(count + 1).ok()?, 1));
    let all = all_given(heights).ok().and_then(|all| all.into_iter().try_fold(gap?, Length::checked_add));
    let all = all.map_or_else(String::new, |all| format!("; with {} gaps {}", count + 1, all.sized(show)));
    format!("{count} fronts, top to bottom: {each}{all}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fit::length::Unit::{Inch, Millimetre};

    fn given(text: &str) -> Height {
        Height::Given(Length::parse(text, Inch).unwrap())
    }

    #[test]
    fn heights_are_read_in_any_form_of_a_length() {
        let rest = Height::Rest(1);
        for (text, unit, heights) in [
            ("9, 7, 5", Inch, vec![given("9"), given("7"), given("5")]),
            ("9,7,5", Inch, vec![given("9"), given("7"), given("5")]),
            ("9,7", Inch, vec![given("9"), given("7")]),
            ("8 7/8, 7, 5 1/4", Inch, vec![given("8.875"), given("7"), given("5.25")]),
            ("8-7/8\",7\",5\u{bd}\"", Inch, vec![given("8.875"), given("7"), given("5.5")]),
            ("225mm, 175mm", Inch, vec![given("225mm"), given("175mm")]),
            ("225, 175", Millimetre, vec![given("225mm"), given("175mm")]),
            ("22,5cm; 17,5 cm; 5 1/4in", Millimetre, vec![given("225mm"), given("175mm"), given("5.25")]),
            (" 3 x 7 1/2 ", Inch, vec![given("7.5"); 3]),
            ("4\u{d7}175", Millimetre, vec![given("175mm"); 4]),
            ("9, 2x6", Inch, vec![given("9"), given("6"), given("6")]),
            ("9, rest, 5", Inch, vec![given("9"), rest, given("5")]),
            ("9, , 5", Inch, vec![given("9"), rest, given("5")]),
            ("Rest, 7,", Inch, vec![rest, given("7"), rest]),
            ("9, 2 x", Inch, vec![given("9"), rest, rest]),
            ("4", Inch, vec![rest; 4]),
            ("6", Millimetre, vec![rest; 6]),
            ("4 x", Inch, vec![rest; 4]),
            ("4 : 3:2", Inch, vec![Height::Rest(4), Height::Rest(3), Height::Rest(2)]),
            ("1,2,3,4,5,6", Inch, ["1", "2", "3", "4", "5", "6"].map(given).to_vec()),
        ] {
            assert_eq!(read(text, unit).as_deref(), Ok(&heights[..]), "{text}");
        }
    }

    #[test]
    fn what_is_no_heights_says_which_and_how() {
        for (text, wanted) in [
            ("", "from the top down"),
            ("7", "'7' is one height: say how many fronts, like 3 x 7"),
            ("8 7/8", "is one height"),
            ("1 x 7", "is one height"),
            ("2:", "'' is no part"),
            ("4:0", "'0' is no part"),
            ("4:1.5", "'1.5' is no part"),
            ("9, ax7, 5", "'ax7' is no count"),
            ("nine, 7, 5", "the top front: 'nine' is not a length"),
            ("9, 7/0, 5", "the 2nd front from the top: '7/0' is not a length"),
            ("9, 7, 6, 5 1/, 4", "the 4th front from the top"),
            ("9, 7, five", "the bottom front: 'five' is not a length"),
            ("9, 0, 5", "the 2nd front from the top has no height"),
            ("9, -7, 5", "not below zero"),
            ("0 x 7", "is no count"),
            ("x", "is no count"),
            ("9,5, 7, 5", "'9,5' could be one height or two"),
            ("9, 7,5, 5", "'7,5' could be one height or two"),
            ("7 x 3", "that makes 7 fronts; one opening takes 6"),
            ("4000000000 x 3, 2", "that makes 4000000001 fronts"),
            ("1,2,3,4,5,6,7", "that makes 7 fronts"),
            ("1:1:1:1:1:1:1", "that makes 7 fronts"),
        ] {
            let why = read(text, Inch).unwrap_err().to_string();
            assert!(why.contains(wanted), "{text}: {why}");
        }
    }

    #[test]
    fn what_was_typed_is_told_and_typed_again() {
        let show = Show::Fraction(64);
        let reveal = Some(Length::ratio(3, 32));
        for (text, again, told_as) in [
            ("9, 7, 5", "9, 7, 5", "3 fronts, top to bottom: C 9, B 7, A 5; with 4 gaps 21 3/8"),
            ("2x7", "7, 7", "2 fronts, top to bottom: B 7, A 7; with 3 gaps 14 9/32"),
            ("9,rest,5 1/4", "9, rest, 5 1/4", "3 fronts, top to bottom: C 9, B the rest, A 5 1/4"),
            ("5", "5", "5 fronts alike, as high as the opening gives them; E at the top"),
            ("4:3:2", "4:3:2", "3 fronts, top to bottom, in parts of the opening: C 4, B 3, A 2"),
        ] {
            let heights = read(text, Inch).unwrap();
            assert_eq!(super::text(&heights, show), again);
            assert_eq!(read(again, Inch).unwrap(), heights);
            assert_eq!(told(&heights, reveal, show), told_as);
        }
        // In millimetres, exactly.
        let metric = Show::Millimetre(1);
        let heights = read("225,5; 7/8\"", Millimetre).unwrap();
        assert_eq!(read(&super::text(&heights, metric), Millimetre).unwrap(), heights);
        assert_eq!(told(&heights, None, metric), "2 fronts, top to bottom: B 225.5mm, A 22.2mm");
    }

    #[test]
    fn fronts_that_are_made_have_every_height() {
        let open = |text: &str| all_given(&read(text, Inch).unwrap()).map_err(|error| error.to_string());
        assert_eq!(open("9, 7").unwrap().len(), 2);
        assert!(open("9, rest, 5").unwrap_err().starts_with("the 2nd front from the top has no height"));
        assert!(open("3").unwrap_err().starts_with("the top front has no height"));
    }
}
