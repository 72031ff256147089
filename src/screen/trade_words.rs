//! The trade's words that the screens use, each explained in one line; the help shows those of its screen.

use super::keymap::{self, Place};
use crate::bench::Session;
use crate::bench::form::{Entry, Form};

/// Longest explanation: with its word it fits on a line of 80 columns.
pub const LONGEST: usize = 58;

/// Every word with what it means, in the order of the alphabet.
pub const WORDS: [(&str, &str); 29] = [
    ("allowance", "wood left over on an edge for trimming"),
    ("back-bevel", "edge planed leaner at the back, so that it swings clear"),
    ("blank", "the leaf before trimming, a little oversize"),
    ("by hand", "cut by eye, without a set-up sheet"),
    ("feeler", "a strip of known thickness, tried in the gap"),
    ("fence", "what a piece slides along at the saw"),
    ("film", "the thickness that the finish adds to an edge"),
    ("gap", "the space there is between leaf and frame, or two leaves"),
    ("goes", "the thickest feeler that still goes in"),
    ("hinge side", "the edge that the hinges are on, seen from the front"),
    ("kerf", "the width of wood that the blade turns to dust"),
    ("kiss", "blade or fence just touching the wood"),
    ("lap", "the leaf overlaps the frame: a gap below nothing"),
    ("latch side", "the edge across from the hinges"),
    ("leaf", "a door, or a drawer front"),
    ("let in", "set a hinge deeper into the wood"),
    ("opening", "the hole in the face frame that leaves hang in"),
    ("pack", "card or veneer behind a hinge, or that it moves out"),
    ("pad", "layers of tape or card that hold the leaf off the fence"),
    ("pass", "one cut, or planing one edge once"),
    ("rail", "a level piece of a frame"),
    ("reveal", "the gap that is wanted"),
    ("rip", "a saw cut along the fence"),
    ("round", "one trip: read the gaps, plan, cut"),
    ("sled", "a carriage that takes the leaf past the blade"),
    ("stile", "an upright piece of a frame"),
    ("stops", "the thinnest feeler that does not go in"),
    ("stroke", "one push of the plane; stopped: not from the very end"),
    ("wind", "twist: not all corners in one plane (as in winding)"),
];

/// A word of the fields to fill in, the phrase in their own text that it goes with, and what it means.
const OF_FORMS: [(&str, &str, &str); 21] = [
    ("bow", "bow", "how far an edge is hollow or round at its middle"),
    ("butt", "butt", "a joint of end against edge, with splines or dowels"),
    ("butts", "butts", "hinges of two plates, let into leaf and frame"),
    ("float", "float", "room for the panel to swell in its grooves"),
    ("groove", "groove", "the slot in stiles and rails that holds the panel"),
    ("guide line", "guide line", "a line on the leaf that a guided saw or router follows"),
    ("hollow", "hollow", "curved inwards along its length"),
    ("layer", "layers", "one thickness of tape or card; several make a pad"),
    ("mortise", "mortise", "the hole that a tenon goes into"),
    ("pair", "pair", "two doors in one opening that meet in the middle"),
    ("pin", "pin", "what a hinge turns about"),
    ("proud", "proud", "standing out in front of the frame"),
    ("round", "round with", "curved outwards along its length"),
    ("shy", "shy", "lying back behind the frame's face"),
    ("slab", "slab", "a leaf of solid wood, without frame and panel"),
    ("splines", "splines", "loose strips of wood that hold a joint"),
    ("strip", "strip glued", "wood glued on along an edge of a leaf that is too small"),
    ("tape", "layers", "sticky tape, laid on leaf or fence to pack it out"),
    ("tenon", "tenon", "the tongue on the end of a rail that joins it to a stile"),
    ("tolerance", "tolerance", "how far a gap may be off its reveal and still be right"),
    ("wind", "proud", "twist: not all corners in one plane (as in winding)"),
];

/// The words to explain as `session` stands, with what they mean: those of the screen, or those that the fields
/// to fill in say themselves.
pub fn now(session: &Session) -> Vec<(&'static str, &'static str)> {
    match session.form() {
        Some(form) => of_form(form),
        None => of_place(keymap::place(session)),
    }
}

/// The words that the screen at `place` uses, with what they mean.
pub fn of_place(place: Place) -> Vec<(&'static str, &'static str)> {
    used(place).iter().filter_map(|word| Some((*word, meaning(word)?))).collect()
}

/// The words that labels, hints and choices of `form` use, with what they mean, in the order of the alphabet.
pub fn of_form(form: &Form) -> Vec<(&'static str, &'static str)> {
    let mut all = String::new();
    for field in &form.fields {
        let options = match &field.entry {
            Entry::Choice { options, .. } => options.as_slice(),
            Entry::Text(_) => &[],
        };
        for text in [field.label, field.hint].into_iter().chain(options.iter().map(AsRef::as_ref)) {
            all.push_str(text);
            all.push(';');
        }
    }
    let all = plain(&all);
    let says = |phrase: &str| all.contains(&plain(phrase));
    let own = OF_FORMS.iter().filter(|(_, phrase, _)| says(phrase)).map(|(word, _, meaning)| (*word, *meaning));
    let mut words: Vec<_> = own.collect();
    for (word, meaning) in WORDS {
        let has_other = OF_FORMS.iter().any(|(other, ..)| *other == word);
        if !has_other && (says(word) || says(&format!("{word}s"))) {
            words.push((word, meaning));
        }
    }
    words.sort_unstable();
    words
}

/// Letters only, in words with one space round each.
fn plain(text: &str) -> String {
    let words = text.split(|letter: char| !letter.is_alphabetic()).filter(|word| !word.is_empty());
    words.fold(" ".to_owned(), |all, word| all + &word.to_lowercase() + " ")
}

/// The words that a screen uses; the fields of a form say their own.
pub fn used(place: Place) -> &'static [&'static str] {
    match place {
        Place::Shop => &["opening", "leaf", "gap", "pass", "round"],
        Place::Home | Place::Log | Place::Practice | Place::Practised => {
            &["gap", "reveal", "leaf", "hinge side", "latch side", "round"]
        }
        Place::Readings => &["feeler", "goes", "stops", "lap", "gap", "reveal"],
        Place::Asked | Place::Doubted => &["goes", "stops", "gap"],
        Place::Plan => &["reveal", "gap", "pass", "pack", "let in", "hinge side", "latch side"],
        Place::Record => &["fence", "kiss", "pad", "rip", "sled", "stroke", "by hand"],
        Place::Learned => &["pad", "stroke", "pass"],
        Place::Tools => &["feeler", "pad", "fence", "kerf", "sled", "stroke", "film"],
        Place::Blank | Place::CutList => &["blank", "allowance", "stile", "rail"],
        Place::Batch => &["fence", "kiss", "pad", "rip", "sled", "stroke"],
        Place::Year => &["reveal", "film", "stile"],
        Place::Search => &["opening"],
        Place::Form | Place::Figures => &[],
        Place::Swing => &["back-bevel", "hinge side", "latch side"],
        Place::Look => &["hinge side", "wind"],
    }
}

/// What a word means.
pub fn meaning(word: &str) -> Option<&'static str> {
    WORDS.iter().find(|(known, _)| *known == word).map(|(_, meaning)| *meaning)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::screen::keymap::EVERYWHERE;

    #[test]
    fn every_word_that_a_screen_uses_is_explained_in_a_line() {
        for &place in EVERYWHERE {
            let of_form = matches!(place, Place::Form | Place::Figures);
            assert!(of_form || !used(place).is_empty(), "{place:?}");
            for word in used(place) {
                assert!(meaning(word).is_some(), "{place:?}: '{word}' is not explained");
            }
        }
        for (word, meaning) in WORDS {
            assert!(word.len() <= 12 && meaning.len() <= LONGEST, "{word}: {} letters", meaning.len());
            assert!(EVERYWHERE.iter().any(|place| used(*place).contains(&word)), "'{word}' is used by no screen");
        }
        assert!(WORDS.is_sorted(), "in the order of the alphabet");
        for (word, _, meaning) in OF_FORMS {
            assert!(word.len() <= 12 && meaning.len() <= LONGEST, "{word}: {} letters", meaning.len());
        }
        assert!(OF_FORMS.is_sorted(), "in the order of the alphabet");
    }
}
