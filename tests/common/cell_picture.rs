//! A rendered screen as an SVG picture: one cell is [`WIDE`] by [`HIGH`]. Letters are the viewer's own monospace
//! font, stretched to their cells; lines, blocks and dots are drawn, so that they meet whatever the font is.

use ratatui::buffer::{Buffer, Cell};
use ratatui::style::{Color, Modifier};
use std::collections::BTreeMap;
use std::fmt::Write;
use svg::Document;
use svg::node::element::{Group, Path, Rectangle, Text, Title};

/// Width of a cell.
const WIDE: i32 = 8;
/// Height of a cell.
const HIGH: i32 = 17;
/// Room round the screen.
const ROUND: i32 = 8;
/// The terminal's own ground and ink.
const GROUND: &str = "#16181c";
const INK: &str = "#d8dade";

/// The picture of a screen.
pub fn picture(buffer: &Buffer, title: &str) -> String {
    let (columns, rows) = (i32::from(buffer.area.width), i32::from(buffer.area.height));
    let (width, height) = (columns * WIDE + 2 * ROUND, rows * HIGH + 2 * ROUND);
    let mut shapes: BTreeMap<(String, bool), String> = BTreeMap::new();
    let mut letters = Group::new();
    for y in 0..buffer.area.height {
        let mut run: Option<Run> = None;
        for x in 0..buffer.area.width {
            let cell = &buffer[(x, y)];
            let (left, top) = (i32::from(x) * WIDE, i32::from(y) * HIGH);
            let look = Look::of(cell);
            if look.ground != GROUND {
                rectangle(shapes.entry((look.ground.clone(), true)).or_default(), left, top, WIDE, HIGH);
            }
            if look.underlined {
                rectangle(shapes.entry((look.ink.clone(), false)).or_default(), left, top + HIGH - 2, WIDE, 1);
            }
            let symbol = cell.symbol().chars().next().unwrap_or(' ');
            let drawn = draw(shapes.entry((look.ink.clone(), false)).or_default(), symbol, left, top);
            let symbol = if drawn { ' ' } else { symbol };
            match &mut run {
                Some(going) if going.look == look => going.text.push(symbol),
                _ => {
                    letters = end(letters, run.take());
                    run = Some(Run { look, left, top, text: symbol.to_string() });
                }
            }
        }
        letters = end(letters, run);
    }
    let mut all = Group::new().set("transform", format!("translate({ROUND} {ROUND})"));
    // Grounds lie under everything.
    for ground in [true, false] {
        for ((colour, _), outline) in shapes.iter().filter(|((_, is), outline)| *is == ground && !outline.is_empty()) {
            all = all.add(Path::new().set("fill", colour.as_str()).set("d", outline.as_str()));
        }
    }
    let letters = letters
        .set("font-family", "DejaVu Sans Mono, Menlo, Consolas, monospace")
        .set("font-size", 13)
        .set("fill", INK);
    Document::new()
        .set("viewBox", (0, 0, width, height))
        .set("width", width)
        .set("height", height)
        .add(Title::new(title))
        .add(Rectangle::new().set("width", width).set("height", height).set("rx", 6).set("fill", GROUND))
        .add(all.add(letters))
        .to_string()
        + "\n"
}

#[derive(PartialEq)]
struct Look {
    ink: String,
    ground: String,
    bold: bool,
    underlined: bool,
}

impl Look {
    fn of(cell: &Cell) -> Self {
        let (mut ink, mut ground) = (colour(cell.fg, INK), colour(cell.bg, GROUND));
        if cell.modifier.contains(Modifier::REVERSED) {
            std::mem::swap(&mut ink, &mut ground);
        }
        let has = |modifier| cell.modifier.contains(modifier);
        Self { ink, ground, bold: has(Modifier::BOLD), underlined: has(Modifier::UNDERLINED) }
    }
}

struct Run {
    look: Look,
    left: i32,
    top: i32,
    text: String,
}

/// Sets the words of a run, each where its cells are.
fn end(mut letters: Group, run: Option<Run>) -> Group {
    let Some(run) = run else { return letters };
    let all: Vec<char> = run.text.chars().collect();
    let mut from = 0;
    while from < all.len() {
        if all[from] == ' ' {
            from += 1;
            continue;
        }
        // Single spaces stay within; two in a row part the words.
        let gap = all[from..].windows(2).position(|pair| pair == [' ', ' ']);
        let to = from + gap.unwrap_or(all.len() - from);
        let words: String = all[from..to].iter().collect::<String>().trim_end().to_owned();
        let count = i32::try_from(words.chars().count()).unwrap();
        let mut text = Text::new(words)
            .set("x", run.left + i32::try_from(from).unwrap() * WIDE)
            .set("y", run.top + 13)
            .set("textLength", count * WIDE)
            .set("lengthAdjust", "spacingAndGlyphs");
        if run.look.ink != INK {
            text = text.set("fill", run.look.ink.as_str());
        }
        if run.look.bold {
            text = text.set("font-weight", "bold");
        }
        letters = letters.add(text);
        from = to;
    }
    letters
}

/// The usual 256 colours of a terminal: a cube of 6 x 6 x 6 from 16 on, greys from 232 on.
fn colour(colour: Color, otherwise: &str) -> String {
    match colour {
        Color::Indexed(grey @ 232..) => {
            let level = 8 + 10 * (i32::from(grey) - 232);
            format!("#{level:02x}{level:02x}{level:02x}")
        }
        Color::Indexed(cube @ 16..) => {
            let level = |step: u8| if step == 0 { 0 } else { 55 + 40 * i32::from(step) };
            let cube = cube - 16;
            format!("#{:02x}{:02x}{:02x}", level(cube / 36), level(cube / 6 % 6), level(cube % 6))
        }
        Color::Black => "#000000".to_owned(),
        Color::White => "#ffffff".to_owned(),
        Color::Reset => otherwise.to_owned(),
        other => panic!("{other:?} is not among the theme's colours"),
    }
}

fn rectangle(outline: &mut String, left: i32, top: i32, width: i32, height: i32) {
    let _ = write!(outline, "M{left} {top}h{width}v{height}h-{width}z");
}

/// Draws a symbol that must meet its neighbours; answers whether it is one.
fn draw(outline: &mut String, symbol: char, left: i32, top: i32) -> bool {
    let mut put = |x: i32, y: i32, width: i32, height: i32| rectangle(outline, left + x, top + y, width, height);
    let (half, middle) = (WIDE / 2, HIGH / 2);
    match symbol {
        '\u{2800}'..='\u{28ff}' => {
            let dots = u32::from(symbol) - 0x2800;
            // Dot numbers down the left column, down the right one, then the two at the foot.
            let places = [(0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (1, 2), (0, 3), (1, 3)];
            for (bit, (column, row)) in places.iter().enumerate().filter(|(bit, _)| dots >> bit & 1 == 1) {
                let _ = bit;
                put(1 + 4 * column, 1 + 4 * row, 2, 2);
            }
        }
        '█' => put(0, 0, WIDE, HIGH),
        '▀' => put(0, 0, WIDE, middle),
        '▄' => put(0, middle, WIDE, HIGH - middle),
        '▌' => put(0, 0, half, HIGH),
        '▐' => put(half, 0, half, HIGH),
        '▬' => put(0, middle - 2, WIDE, 5),
        '╌' => {
            put(0, middle, 3, 1);
            put(4, middle, 3, 1);
        }
        '▒' => {
            for (x, y) in (0..4).flat_map(|y| (0..2).map(move |x| (x, y))) {
                put(4 * x + 2 * (y % 2), 1 + 4 * y, 2, 2);
            }
        }
        '▘' | '▝' | '▖' | '▗' | '▙' | '▟' | '▛' | '▜' | '▞' | '▚' => {
            // Upper left, upper right, lower left, lower right.
            let filled = match symbol {
                '▘' => [true, false, false, false],
                '▝' => [false, true, false, false],
                '▖' => [false, false, true, false],
                '▗' => [false, false, false, true],
                '▙' => [true, false, true, true],
                '▟' => [false, true, true, true],
                '▛' => [true, true, true, false],
                '▜' => [true, true, false, true],
                '▞' => [false, true, true, false],
                _ => [true, false, false, true],
            };
            for (place, _) in filled.iter().enumerate().filter(|(_, is)| **is) {
                let (x, y) = if place % 2 == 0 { (0, half) } else { (half, half) };
                let (from, high) = if place < 2 { (0, middle) } else { (middle, HIGH - middle) };
                put(x, from, y, high);
            }
        }
        '─' | '━' | '│' | '┃' | '┏' | '┓' | '┗' | '┛' | '┌' | '┐' | '└' | '┘' | '├' => {
            let thick = if "━┃┏┓┗┛".contains(symbol) { 3 } else { 1 };
            let (x, y) = (half - thick / 2 - 1, middle - thick / 2);
            let arm = |which: &str| which.contains(symbol);
            if arm("─━┓┛┐┘") {
                put(0, y, x + thick, thick);
            }
            if arm("─━┏┗┌└├") {
                put(x, y, WIDE - x, thick);
            }
            if arm("│┃┗┛└┘├") {
                put(x, 0, thick, y + thick);
            }
            if arm("│┃┏┓┌┐├") {
                put(x, y, thick, HIGH - y);
            }
        }
        _ => return false,
    }
    true
}
