//! A page as SVG text.

use super::font;
use super::page::{Anchor, BOLD, Item, Page, Spot, Words};
use svg::Document;
use svg::node::element::path::Data;
use svg::node::element::{Line, Path, Rectangle, Text, Title};

/// Two places are enough: 1/7200 of an inch.
fn tidy(points: f64) -> f64 {
    if points.is_finite() { (points * 100.0).round() / 100.0 } else { 0.0 }
}

/// The page as an SVG document of its size in points, white ground and all.
pub fn svg(page: &Page) -> String {
    let mut document = Document::new()
        .set("width", format!("{}pt", page.width))
        .set("height", format!("{}pt", page.height))
        .set("viewBox", (0, 0, page.width, page.height))
        .add(Title::new(title(&page.title)))
        .add(Rectangle::new().set("width", page.width).set("height", page.height).set("fill", "#ffffff"));
    for item in &page.items {
        document = match item {
            Item::Words(words) => document.add(text(words)),
            Item::Line { from, to, width, ink, dashed } => {
                let line = Line::new()
                    .set("x1", tidy(from.x))
                    .set("y1", tidy(from.y))
                    .set("x2", tidy(to.x))
                    .set("y2", tidy(to.y))
                    .set("stroke", ink.colour())
                    .set("stroke-width", tidy(*width));
                document.add(if *dashed { line.set("stroke-dasharray", "4 2.5") } else { line })
            }
            Item::Shape { corners, fill, outline } => {
                let path = Path::new().set("d", outline_of(corners));
                let path = path.set("fill", fill.map_or("none", super::page::Ink::colour));
                document.add(match outline {
                    Some((ink, width)) => path.set("stroke", ink.colour()).set("stroke-width", tidy(*width)),
                    None => path,
                })
            }
        };
    }
    document.to_string() + "\n"
}

/// A title is not drawn: it keeps the letters that the font lacks; controls, which no document may hold, do not stay.
fn title(title: &str) -> String {
    title.chars().map(|letter| if letter.is_control() { ' ' } else { letter }).collect()
}

fn outline_of(corners: &[Spot]) -> Data {
    let mut data = Data::new();
    for (place, corner) in corners.iter().enumerate() {
        let to = (tidy(corner.x), tidy(corner.y));
        data = if place == 0 { data.move_to(to) } else { data.line_to(to) };
    }
    data.close()
}

fn text(words: &Words) -> Text {
    let anchor = match words.anchor {
        Anchor::Start => "start",
        Anchor::Middle => "middle",
        Anchor::End => "end",
    };
    // The other families have nearly the same widths, for viewers that lack the first.
    // Of several spaces in a row only one would be kept, were the others not of the kind that stays.
    let text = Text::new(font::printable(&words.text).replace("  ", " \u{a0}"))
        .set("x", tidy(words.spot.x))
        .set("y", tidy(words.spot.y))
        .set("font-family", format!("{}, Verdana, sans-serif", font::FAMILY))
        .set("font-size", tidy(words.size))
        .set("text-anchor", anchor)
        .set("fill", words.ink.colour());
    if words.bold { text.set("stroke", words.ink.colour()).set("stroke-width", tidy(words.size * BOLD)) } else { text }
}
