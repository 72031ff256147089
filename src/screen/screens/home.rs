//! One opening: a large picture, and the next thing to do in large letters under it.

use crate::bench::{OpeningSeen, Session, brief, gap_words, next_words, rounds_words};
use crate::cut::words::Caution;
use crate::screen::drawings::BigText;
use crate::screen::parts::{clipped, wrapped};
use crate::screen::picture::{self, Measure};
use crate::screen::theme::{Role, Theme};
use crate::shop::replay::Stage;
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::Line;
use unicode_width::UnicodeWidthStr;

/// Rows of the large letters, where the screen has them.
const LETTERS: u16 = 4;
/// Rows that the picture keeps where the lines of ordinary letters are many.
const LEAST_PICTURE: u16 = 10;

/// Rows that the lines of ordinary letters have wherever there are large ones.
const LEAST_LINES: u16 = 4;
/// Columns and rows from which it says how many passes each edge still takes.
const LARGE: (u16, u16) = (100, 34);

/// Draws the opening.
pub fn draw(session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let Some(opened) = &session.opened else { return };
    let measure = Measure::of(opened, &session.shop.settings);
    let stage = opened.state.stage();
    let width = usize::from(area.width);
    let advised = session.advised.brief(opened);
    let area = if brief::proposes_a_cut(stage, advised.as_ref()) { cautioned(theme, frame, area) } else { area };
    let round = opened.last_read_round();
    let letters = if area.height >= 40 {
        8
    } else if area.height >= 15 {
        LETTERS
    } else {
        1
    };
    let look = session.advised.look(opened);
    let tolerance = opened.state.tolerance.unwrap_or(session.shop.settings.tolerance);
    let state = round.and_then(|round| gap_words::worst(opened, round, tolerance, measure.show));
    let state = match (state, &opened.state.trouble) {
        (Some(state), None) => state,
        (None, None) => "nothing read yet".to_owned(),
        (state, Some(_)) => format!("As far as its log can be read: {}", state.as_deref().unwrap_or("no gap")),
    };
    let text = format!("{state}.  Next: {}", next_words::long(stage, look, opened, measure.show));
    let mut lines = wrapped(&text, width.saturating_sub(2));
    lines.extend(left_lines(session, width.saturating_sub(2)));
    if area.width >= LARGE.0 && area.height >= LARGE.1 {
        let each = look.map_or_else(Vec::new, |look| rounds_words::each_left(look, &opened.state));
        lines.extend(each.iter().flat_map(|line| wrapped(line, width.saturating_sub(2))));
    }
    let most = area.height.saturating_sub(letters + LEAST_PICTURE).max(1);
    let most = if area.height >= 15 { most.max(LEAST_LINES) } else { 1 };
    lines.extend(last_note(opened, width.saturating_sub(2), usize::from(most).saturating_sub(lines.len())));
    let words_rows = u16::try_from(lines.len()).unwrap_or(most).clamp(1, most);
    let picture_rows = area.height.saturating_sub(letters + words_rows);
    let picture = picture::opening(opened, round.unwrap_or(1), measure, None, theme);
    frame.render_widget(&picture, Rect { height: picture_rows, ..area });
    let role = match stage {
        Stage::Unsound(_) => Role::Caution,
        stage if brief::is_fitted(stage, advised.as_ref()) => Role::Right,
        _ => Role::Next,
    };
    for (y, line) in (area.y + picture_rows..area.bottom()).zip(lines.iter().take(words_rows.into())) {
        let text = clipped(&format!(" {line}"), width);
        frame.render_widget(Line::styled(text, theme.style(Role::Text)), Rect { y, height: 1, ..area });
    }
    let big = BigText { text: brief::big(stage, advised.as_ref()), role: Some(role), theme };
    frame.render_widget(&big, Rect { y: area.y + picture_rows + words_rows, height: letters, ..area });
}

/// The cautions, in the last rows of `area` whatever else must give way; answers the room over them.
pub(super) fn cautioned(theme: Theme, frame: &mut Frame<'_>, area: Rect) -> Rect {
    let text = Caution::in_fewest(&Caution::WHEREVER_CUT);
    let lines = wrapped(&text, usize::from(area.width).saturating_sub(2));
    let rows = u16::try_from(lines.len()).unwrap_or(u16::MAX).min(area.height);
    let over = Rect { height: area.height - rows, ..area };
    for (y, line) in (over.bottom()..area.bottom()).zip(lines) {
        let line = Line::styled(format!(" {line}"), theme.style(Role::Caution));
        frame.render_widget(line, Rect { y, height: 1, ..area });
    }
    over
}

/// The note written last, in at most `most` lines; all of them are whole in the log. It goes first where room is
/// short.
fn last_note(opened: &OpeningSeen, width: usize, most: usize) -> Vec<String> {
    let Some((last, more)) = opened.state.notes.split_last() else { return Vec::new() };
    let more = if more.is_empty() { String::new() } else { format!("; {} more in the log (l)", more.len()) };
    let mut lines = wrapped(&format!("{}{more}", last.what.line()), width);
    if lines.len() > most {
        lines.truncate(most);
        if let Some(line) = lines.last_mut() {
            *line = format!("{}{WHOLE}", clipped(&format!("{line} .."), width.saturating_sub(WHOLE.width())));
        }
    }
    lines
}

/// Where a note is too long for the page of its opening.
const WHOLE: &str = " whole in the log (l)";

/// Passes that remain, never without their spread; nothing where nothing was read.
fn left_lines(session: &Session, width: usize) -> Vec<String> {
    let counts = |opened: &&OpeningSeen| opened.last_read_round().is_some() && opened.state.trouble.is_none();
    let Some(opened) = session.opened.as_ref().filter(counts) else {
        return Vec::new();
    };
    let lines = session.advised.answer(opened).map_or_else(
        || vec!["Passes left: counting".to_owned()],
        |answer| rounds_words::opening_left(answer, &opened.state, session.shop.show()),
    );
    lines.iter().flat_map(|line| wrapped(line, width)).collect()
}
