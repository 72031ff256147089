//! The fit card: one page to print and stick on the leaf.

use super::card_words;
use super::drawing;
use super::flow::{self, Paragraph, Style};
use super::font;
use super::matter::Matter;
use super::page::{Anchor, Frame, Ink, Page, Words, at};
use crate::screen::drawings::{LEGEND, OpeningPicture, Removal};
use crate::screen::picture::{self, Measure};
use crate::screen::theme::Theme;

/// Letter sizes tried, largest first.
const SIZES: [f64; 7] = [10.0, 9.2, 8.5, 7.8, 7.1, 6.5, 6.0];
/// Letter size of the gaps on the picture.
const GAPS: f64 = 10.0;
/// Room of the legend below the picture.
const LEGEND_ROOM: f64 = 12.0;
/// Least height of the picture, with its legend: what is to do now stands beside it.
const LEAST_PICTURE: f64 = 150.0;
/// Space between columns.
const GUTTER: f64 = 16.0;

/// The card of one opening.
pub fn card(matter: &Matter<'_>) -> Page {
    let mut page = Page::new(format!("{} - fit card", matter.seen.name), matter.settings.show);
    let inside = page.inside();
    let below_head = head(&mut page, matter, inside);
    let top = banner(&mut page, matter, below_head, inside);
    let drawn = picture_of(matter);
    // No more than the picture needs: a low one leaves room for larger letters.
    let wide = inside.width() * 0.58;
    let needed = drawn.as_ref().map_or(f64::INFINITY, |picture| drawing::height(picture, wide, GAPS) + LEGEND_ROOM);
    let picture_bottom = top + (inside.height() * 0.46).min(needed.max(LEAST_PICTURE));
    let picture = Frame { top, bottom: picture_bottom, right: inside.left + wide, ..inside };
    let beside = Frame { left: picture.right + GUTTER, top, bottom: picture_bottom, ..inside };
    if let Some(drawn) = &drawn {
        draw(&mut page, drawn, picture);
    }
    let below = Frame { top: picture_bottom + 8.0, bottom: inside.bottom - 10.0, ..inside };
    page.line(at(inside.left, below.top - 4.0), at(inside.right, below.top - 4.0), 0.6, Ink::Light);
    let middle = f64::midpoint(inside.left, inside.right);
    let columns =
        [beside, Frame { right: middle - GUTTER / 2.0, ..below }, Frame { left: middle + GUTTER / 2.0, ..below }];
    words(&mut page, matter, &columns);
    page.words(Words {
        spot: at(inside.left, inside.bottom),
        size: 6.5,
        bold: false,
        anchor: Anchor::Start,
        ink: Ink::Grey,
        text: foot(matter),
    });
    page
}

fn foot(matter: &Matter<'_>) -> String {
    let at = matter.seen.records.last().map_or(String::new(), |record| {
        format!("; as kept up to event {}, {}", record.n, record.at.replace('T', " ").replace('Z', " UTC"))
    });
    format!("evenreveal fit card{at}")
}

/// Name, shop and reveal; answers how far down they reach.
fn head(page: &mut Page, matter: &Matter<'_>, inside: Frame) -> f64 {
    let shop = font::printable(&matter.settings.name);
    let shop_room = font::width(&shop, 9.0).min(inside.width() * 0.4);
    let name = font::printable(&matter.seen.name);
    let room = inside.width() - shop_room - GUTTER;
    let size = (22.0 * room / font::width(&name, 22.0).max(1.0)).clamp(11.0, 22.0);
    let lines = font::wrapped(&name, size * 1.05, room);
    let mut y = inside.top;
    for line in lines.iter().take(3) {
        y += size;
        let spot = at(inside.left, y);
        page.words(Words { spot, size, bold: true, anchor: Anchor::Start, ink: Ink::Black, text: line.clone() });
        y += size * 0.2;
    }
    if let Some(shop) = font::wrapped(&shop, 9.0, shop_room + 1.0).into_iter().next() {
        let spot = at(inside.right, inside.top + 11.0);
        page.words(Words { spot, size: 9.0, bold: false, anchor: Anchor::End, ink: Ink::Grey, text: shop });
    }
    if !font::lacking(&matter.seen.name).is_empty() {
        y += 9.0;
        let (spot, text) = (at(inside.left, y), LACKING.to_owned());
        page.words(Words { spot, size: 8.0, bold: false, anchor: Anchor::Start, ink: Ink::Grey, text });
    }
    let show = matter.settings.show;
    let tolerance = matter.seen.state.tolerance.unwrap_or(matter.settings.tolerance);
    let reveal =
        matter.seen.state.gaps.first().map_or(String::new(), |gap| format!("reveal {}, ", gap.target.shown(show)));
    let sizes: Vec<String> = matter
        .seen
        .state
        .leaves
        .iter()
        .map(|leaf| {
            let (width, height) =
                matter.seen.state.size_at(&leaf.what.leaf, u32::MAX).unwrap_or((leaf.what.width, leaf.what.height));
            format!("{} {} x {}", leaf.what.leaf, width.shown(show), height.shown(show))
        })
        .collect();
    let text = format!("{reveal}even within {}; {}", tolerance.shown(show), sizes.join(", "));
    if let Some(line) = font::wrapped(&font::printable(&text), 9.0, inside.width()).into_iter().next() {
        y += 11.0;
        page.words(Words {
            spot: at(inside.left, y),
            size: 9.0,
            bold: false,
            anchor: Anchor::Start,
            ink: Ink::Black,
            text: line,
        });
    }
    y + 7.0
}

/// Which way it goes, in large letters; answers how far down it reaches.
fn banner(page: &mut Page, matter: &Matter<'_>, top: f64, inside: Frame) -> f64 {
    let band = Frame { top, bottom: top + 30.0, ..inside };
    page.rectangle(band, None, Some((Ink::Black, 1.4)));
    let hinge = card_words::hinge_side(matter);
    let texts = [
        (Anchor::Start, band.left + 10.0, "▲ THIS END UP".to_owned()),
        (Anchor::Middle, f64::midpoint(band.left, band.right), "THIS SIDE OUT".to_owned()),
        (Anchor::End, band.right - 10.0, hinge),
    ];
    // The middle one keeps a third of the band; the outer two share the rest.
    for (anchor, x, text) in texts {
        let text = font::printable(&text);
        let room = band.width() / 3.0 - 14.0;
        let size = (15.0 * room / font::width(&text, 15.5).max(1.0)).min(15.0);
        let spot = at(x, f64::midpoint(band.top, band.bottom) + 0.36 * size);
        page.words(Words { spot, size, bold: true, anchor, ink: Ink::Black, text });
    }
    band.bottom + 6.0
}

/// Said under a name that does not stand there whole.
const LACKING: &str = "? in its name: a letter that this page's font lacks";

/// What stands under the picture; `wood`: is any to be taken off? Amounts for which it has no room are counted.
pub fn legend(drawn: Option<drawing::Drawn>, wood: bool) -> String {
    let Some(drawn) = drawn else { return String::new() };
    let [shown, left_out] = drawn.amounts;
    let arrow = if shown > 0 { ", arrow: off which edge" } else { "" };
    let only = match left_out {
        0 => String::new(),
        1 => "; 1 amount in the words only".to_owned(),
        many => format!("; {many} amounts in the words only"),
    };
    let wood = if wood { format!("; dashed: what to take now{arrow}{only}") } else { String::new() };
    format!("{LEGEND}; gaps drawn {}x{wood}", drawn.factor)
}

/// The picture with its legend.
fn draw(page: &mut Page, picture: &OpeningPicture, area: Frame) {
    let room = Frame { bottom: area.bottom - LEGEND_ROOM, ..area };
    let text = legend(drawing::draw(page, picture, room, GAPS), !picture.removals.is_empty());
    let size = (7.0 * area.width() / font::width(&text, 7.0).max(1.0)).min(7.0);
    page.words(Words {
        spot: at(f64::midpoint(area.left, area.right), area.bottom - 2.0),
        size,
        bold: false,
        anchor: Anchor::Middle,
        ink: Ink::Grey,
        text,
    });
}

/// The opening as the plan finds it, with what still comes off; without a plan, as it was read.
fn picture_of(matter: &Matter<'_>) -> Option<OpeningPicture> {
    if matter.seen.state.leaves.is_empty() {
        return None;
    }
    let measure = Measure::of(matter.seen, matter.settings);
    let theme = Theme::default();
    let mut picture = match (matter.looked(), matter.round) {
        (Some((_, plan)), Some(round)) if !matter.changed => {
            picture::forecast(matter.seen, round, plan, false, measure, theme)
        }
        _ => picture::opening(matter.seen, matter.round.unwrap_or(1), measure, None, theme),
    };
    let place = |leaf: &str| matter.seen.state.leaves.iter().position(|said| said.what.leaf == leaf);
    let removal = |trim: &crate::shop::event::TrimMeant| {
        Some(Removal {
            leaf: place(&trim.leaf)?,
            edge: trim.edge,
            start: trim.start.inches(),
            end: trim.end.inches(),
            shown_start: trim.start.shown_down(measure.show),
            shown_end: trim.end.shown_down(measure.show),
        })
    };
    picture.removals = matter.trims().iter().filter_map(removal).collect();
    Some(picture)
}

/// What is to be done, the set-ups and the history, as large as one page allows. Cautions are never left
/// out; of a long history the oldest lines go first, and the card says so.
fn words(page: &mut Page, matter: &Matter<'_>, columns: &[Frame]) {
    let mut fixed = card_words::now(matter);
    fixed.extend(card_words::setups(matter));
    let history = card_words::history(matter);
    let mut dropped = 0;
    while dropped <= history.len() {
        let mut all = fixed.clone();
        all.push(Paragraph::new(Style::Heading, "What was done"));
        if dropped > 0 {
            all.push(Paragraph::new(Style::Quiet, "(earlier lines: see the log)"));
        }
        all.extend(history.iter().skip(dropped).cloned());
        if history.is_empty() {
            all.push(Paragraph::new(Style::Quiet, "nothing yet"));
        }
        // Half a page of history at small letters is worth more than a few large lines, to a point.
        let sizes = if dropped == 0 { SIZES.iter() } else { SIZES.get(4..).unwrap_or(&SIZES).iter() };
        for &size in sizes {
            if flow::set(page, columns, &all, size).is_some() {
                return;
            }
        }
        dropped += (history.len() / 40).max(1);
    }
    // Set-ups for more cuts than a page holds: smaller letters yet, so that no caution is lost.
    for size in [5.4, 4.8, 4.2, 3.6] {
        if flow::set(page, columns, &fixed, size).is_some() {
            return;
        }
    }
}
