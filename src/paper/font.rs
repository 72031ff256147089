//! The one font of the printed pages: DejaVu Sans, cut down to Latin, Greek and Cyrillic letters, digits,
//! fractions, arrows and boxes. Its licence stands beside it in `assets/`; `DEVELOPERS.md` says how it was cut.
//!
//! Widths are read from the font's own tables (OpenType `cmap` format 4, `hmtx`, `head`, `hhea`), so a page
//! is laid out with the widths that it is printed with.

use std::collections::BTreeMap;
use std::sync::OnceLock;

/// The font.
pub const BYTES: &[u8] = include_bytes!("../../assets/DejaVuSans-subset.ttf");
/// Its family name.
pub const FAMILY: &str = "DejaVu Sans";

fn u16_at(bytes: &[u8], at: usize) -> Option<usize> {
    let pair = bytes.get(at..at.checked_add(2)?)?;
    Some(usize::from(*pair.first()?) << 8 | usize::from(*pair.get(1)?))
}

fn u32_at(bytes: &[u8], at: usize) -> Option<usize> {
    Some(u16_at(bytes, at)? << 16 | u16_at(bytes, at.checked_add(2)?)?)
}

fn table(name: [u8; 4]) -> Option<&'static [u8]> {
    let count = u16_at(BYTES, 4)?;
    let entry = (0..count).map(|entry| 12 + 16 * entry).find(|at| BYTES.get(*at..at + 4) == Some(&name[..]))?;
    let (from, length) = (u32_at(BYTES, entry + 8)?, u32_at(BYTES, entry + 12)?);
    BYTES.get(from..from.checked_add(length)?)
}

/// Every character of the font with its advance, as a share of the letter size.
fn read() -> Option<BTreeMap<u16, f64>> {
    let per_em = u16_at(table(*b"head")?, 18)? as f64;
    let (widths, counted) = (table(*b"hmtx")?, u16_at(table(*b"hhea")?, 34)?);
    let advance = |glyph: usize| Some(u16_at(widths, 4 * glyph.min(counted.checked_sub(1)?))? as f64 / per_em);
    let cmap = table(*b"cmap")?;
    let subtables = (0..u16_at(cmap, 2)?).filter_map(|entry| u32_at(cmap, 8 + 8 * entry));
    let four = subtables.filter_map(|from| cmap.get(from..)).find(|part| u16_at(part, 0) == Some(4))?;
    let doubled = u16_at(four, 6)?;
    let mut found = BTreeMap::new();
    for segment in (0..doubled).step_by(2) {
        let last = u16_at(four, 14 + segment)?;
        let first = u16_at(four, 16 + doubled + segment)?;
        let delta = u16_at(four, 16 + 2 * doubled + segment)?;
        let place = 16 + 3 * doubled + segment;
        let offset = u16_at(four, place)?;
        for code in (first..=last).filter(|code| *code != 0xffff) {
            let glyph = if offset == 0 {
                (code + delta) & 0xffff
            } else {
                match u16_at(four, place + offset + 2 * (code - first))? {
                    0 => 0,
                    glyph => (glyph + delta) & 0xffff,
                }
            };
            if glyph != 0 {
                found.insert(u16::try_from(code).ok()?, advance(glyph)?);
            }
        }
    }
    Some(found)
}

fn advances() -> &'static BTreeMap<u16, f64> {
    static ADVANCES: OnceLock<BTreeMap<u16, f64>> = OnceLock::new();
    ADVANCES.get_or_init(|| read().unwrap_or_default())
}

fn advance(letter: char) -> Option<f64> {
    u16::try_from(u32::from(letter)).ok().and_then(|code| advances().get(&code)).copied()
}

/// Can it be printed?
pub fn has(letter: char) -> bool {
    advance(letter).is_some()
}

/// `text` with what cannot be printed shown as missing: line ends and tabs become spaces, a letter that
/// the font lacks becomes `?`.
pub fn printable(text: &str) -> String {
    let letter = |letter: char| match letter {
        '\n' | '\r' | '\t' => ' ',
        letter if has(letter) => letter,
        _ => '?',
    };
    text.chars().map(letter).collect()
}

/// Letters of `text` that cannot be printed, each once.
pub fn lacking(text: &str) -> String {
    let mut lacking = String::new();
    for letter in text.chars().filter(|letter| !letter.is_whitespace() && !has(*letter)) {
        if !lacking.contains(letter) {
            lacking.push(letter);
        }
    }
    lacking
}

/// Width of a text in points at this letter size.
///
/// ```
/// use evenreveal::paper::font::width;
/// assert!((width("3/32", 20.0) / width("3/32", 10.0) - 2.0).abs() < 1e-9);
/// ```
pub fn width(text: &str, size: f64) -> f64 {
    // 0.6 is the width of the sign for a missing letter.
    text.chars().map(|letter| advance(letter).unwrap_or(0.6)).sum::<f64>() * size
}

/// `text` in lines no wider than `room`, broken at spaces; a word too wide for a line is cut into pieces.
pub fn wrapped(text: &str, size: f64, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let joined = lines.last().map(|line| format!("{line} {word}"));
        match (joined, lines.last_mut()) {
            (Some(joined), Some(line)) if width(&joined, size) <= room => *line = joined,
            _ => lines.extend(pieces(word, size, room)),
        }
    }
    lines
}

fn pieces(word: &str, size: f64, room: f64) -> Vec<String> {
    let mut pieces = vec![String::new()];
    for letter in word.chars() {
        if let Some(last) = pieces.last_mut()
            && (last.is_empty() || width(last, size) + width(letter.encode_utf8(&mut [0; 4]), size) <= room)
        {
            last.push(letter);
        } else {
            pieces.push(letter.to_string());
        }
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_font_holds_what_pages_need() {
        let needed = (' '..='~').chain('À'..='ÿ').chain("½¼¾⅛⅜⅝⅞↑→↓←─│┌▲▼■□·–—’“”…×±°′″".chars());
        let missing: String = needed.filter(|letter| !has(*letter)).collect();
        assert_eq!(missing, "");
        assert!(BYTES.len() < 120_000, "{} bytes", BYTES.len());
    }

    #[test]
    fn widths_are_the_font_makers() {
        // DejaVu Sans 2.37, hmtx: space 651, "i" 569, "m" 1995, "0" 1303 of 2048 units an em.
        for (letter, units) in [(' ', 651.0), ('i', 569.0), ('m', 1995.0), ('0', 1303.0)] {
            assert_eq!(advance(letter), Some(units / 2048.0), "{letter}");
        }
    }

    #[test]
    fn lines_keep_within_their_room_and_lose_nothing() {
        let text = "guard down, riving knife on; Donaudampfschifffahrtselektrizitätenhauptbetriebswerk";
        for room in [20.0, 60.0, 200.0] {
            let lines = wrapped(text, 10.0, room);
            assert!(lines.iter().all(|line| width(line, 10.0) <= room || line.chars().count() == 1), "{lines:?}");
            assert_eq!(lines.concat().replace(' ', ""), text.replace(' ', ""));
        }
        assert_eq!(printable("left\tdoor 門"), "left door ?");
        assert_eq!(lacking("left\tdoor 門戸門"), "門戸");
    }
}
