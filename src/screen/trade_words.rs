//! The trade's words that the screens use, each explained in one line; the help shows those of its screen.

use super::keymap::Place;

/// Longest explanation: with its word it fits on a line of 80 columns.
pub const LONGEST: usize = 58;

/// Every word with what it means, in the order of the alphabet.
pub const WORDS: [(&str, &str); 32] = [
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
    ("hollow", "curved inwards along its length"),
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
    ("proud", "standing out in front of the frame"),
    ("rail", "a level piece of a frame"),
    ("reveal", "the gap that is wanted"),
    ("rip", "a saw cut along the fence"),
    ("round", "one trip: read the gaps, plan, cut"),
    ("shy", "lying back behind the frame's face"),
    ("sled", "a carriage that takes the leaf past the blade"),
    ("stile", "an upright piece of a frame"),
    ("stops", "the thinnest feeler that does not go in"),
    ("stroke", "one push of the plane; stopped: not from the very end"),
    ("wind", "twist: not all corners in one plane (as in winding)"),
];

/// The words that a screen uses.
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
        Place::Form => &["opening", "leaf", "reveal", "hollow", "proud", "shy"],
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
            assert!(!used(place).is_empty(), "{place:?}");
            for word in used(place) {
                assert!(meaning(word).is_some(), "{place:?}: '{word}' is not explained");
            }
        }
        for (word, meaning) in WORDS {
            assert!(word.len() <= 12 && meaning.len() <= LONGEST, "{word}: {} letters", meaning.len());
            assert!(EVERYWHERE.iter().any(|place| used(*place).contains(&word)), "'{word}' is used by no screen");
        }
        assert!(WORDS.is_sorted(), "in the order of the alphabet");
    }
}
