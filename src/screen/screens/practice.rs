//! A made-up door: the same picture as for a real one, a cut of one's own, and how it really ended.

use super::{form, home};
use crate::bench::Session;
use crate::bench::practice::page::{Part, PracticePage};
use crate::bench::practice::{Ended, words};
use crate::cut::words::Caution;
use crate::screen::drawings::BigText;
use crate::screen::parts::{clipped, wrapped};
use crate::screen::picture::{self, Measure};
use crate::screen::theme::{Role, Theme};
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::Line;

/// Rows that the picture keeps at least.
const LEAST_PICTURE: u16 = 7;
/// Rows of the large letters.
const LETTERS: u16 = 4;

/// Draws the page.
pub fn draw(page: &PracticePage, session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    match &page.part {
        Part::Bench => at_the_door(session, theme, frame, area),
        Part::Own(entry) => {
            let show = session.shop.show();
            let cautions = Caution::in_short(&Caution::WHEREVER_CUT, show.unit());
            let above = wrapped(&cautions, usize::from(area.width).saturating_sub(4));
            form::draw(words::OWN_CUT, entry, &above, theme, frame, area);
        }
        Part::End => end(session, theme, frame, area),
    }
}

fn put(lines: &[(Role, String)], theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    for (y, (role, text)) in (area.y..area.bottom()).zip(lines) {
        let text = clipped(&format!(" {text}"), area.width.into());
        frame.render_widget(Line::styled(text, theme.style(*role)), Rect { y, height: 1, ..area });
    }
}

/// Before the first reading the page says what it is.
fn at_the_door(session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let Some(opened) = &session.opened else { return };
    let about: &[&str] = if opened.last_read_round().is_none() { &words::ABOUT } else { &[] };
    let width = usize::from(area.width).saturating_sub(2);
    let lines: Vec<_> = about.iter().flat_map(|text| wrapped(text, width)).map(|line| (Role::Text, line)).collect();
    let rows = u16::try_from(lines.len()).unwrap_or(0).min(area.height);
    put(&lines, theme, frame, area);
    home::draw(session, theme, frame, Rect { y: area.y + rows, height: area.height - rows, ..area });
}

fn end(session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let Some(practice) = &session.practice else { return };
    let Some(ended) = &practice.ended else {
        put(&[(Role::Quiet, words::COMPARING.to_owned())], theme, frame, area);
        return;
    };
    let show = session.shop.show();
    let width = usize::from(area.width).saturating_sub(2);
    let broken = |role: Role, text: String| wrapped(&text, width).into_iter().map(move |line| (role, line));
    let role = if ended.yours.fits { Role::Next } else { Role::Caution };
    let mut lines: Vec<(Role, String)> = Vec::new();
    for (place, text) in words::compared(ended, show).into_iter().enumerate() {
        lines.extend(broken(if place == 0 { role } else { Role::Text }, text));
    }
    let mut cuts: Vec<(Role, String)> =
        practice.door.took.iter().map(|one| (Role::Quiet, words::took(one, show))).collect();
    if !cuts.is_empty() {
        cuts.insert(0, (Role::Quiet, words::TOOK.to_owned()));
    }
    let rows = |lines: &[(Role, String)]| u16::try_from(lines.len()).unwrap_or(u16::MAX);
    let left = area.height.saturating_sub(rows(&lines));
    // The picture of the true gaps comes before the list of cuts, large letters only where both have room.
    let letters = if left >= LETTERS + LEAST_PICTURE + rows(&cuts).min(8) { LETTERS } else { 1 };
    let room = left.saturating_sub(letters).saturating_sub(LEAST_PICTURE);
    if rows(&cuts) > room {
        // The heading and the last cuts; nothing where only one line is left.
        let over = cuts.len().saturating_sub(usize::from(room));
        cuts.drain(1..=over.min(cuts.len() - 1));
        if room < 2 {
            cuts.clear();
        }
    }
    lines.extend(cuts);
    let picture_rows = left.saturating_sub(letters).saturating_sub(rows(&lines) - (area.height - left));
    draw_truth(ended, session, theme, frame, Rect { height: picture_rows, ..area });
    let big = BigText { text: words::big(ended).to_owned(), role: Some(role), theme };
    frame.render_widget(
        &big,
        Rect { y: area.y + picture_rows, height: letters, x: area.x + 1, width: area.width.saturating_sub(1) },
    );
    let from = area.y + picture_rows + letters;
    put(&lines, theme, frame, Rect { y: from, height: area.bottom().saturating_sub(from), ..area });
}

/// The true gaps, with the leaf where it sits best.
fn draw_truth(ended: &Ended, session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let (Some(opened), Some(held)) = (&session.opened, &ended.yours.held) else { return };
    let measure = Measure::of(opened, &session.shop.settings);
    let mut picture = picture::forecast(opened, opened.state.current_round(), held, true, measure, theme);
    "the true gaps".clone_into(&mut picture.title);
    frame.render_widget(&picture, area);
}
