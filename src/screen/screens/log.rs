//! The log: a chart of the worst miss in each round, and a row for each event.

use crate::bench::history::LogScreen;
use crate::bench::taken::RoundSeen;
use crate::bench::{OpeningSeen, Session, rounds_words, words};
use crate::screen::drawings::{HistoryChart, RoundMiss};
use crate::screen::parts::{clipped, first_row, hanging, listed, more, wrapped};
use crate::screen::theme::{Role, Theme};
use crate::shop::event::Record;
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::Line;

/// How far the further lines of the chosen event are moved in.
const ROW_INDENT: usize = 7;
/// Rows without which the chart says nothing.
const LEAST_CHART: u16 = 7;
/// Rows that the rounds keep beside a chart.
const LEAST_ROUNDS: u16 = 2;

/// Draws the log.
pub fn draw(log: &LogScreen, session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let Some(opened) = &session.opened else { return };
    if let Some(at) = log.rounds {
        return draw_rounds(at, session, opened, theme, frame, area);
    }
    let width = usize::from(area.width);
    // The row that the keys act on is shown whole, over as many lines as it takes; the list keeps room for it.
    let chosen = opened.records.get(log.at).map_or_else(Vec::new, |record| {
        let text = format!(">{}", row(record, opened, session));
        hanging(&text, width, ROW_INDENT)
    });
    let chosen_rows = u16::try_from(chosen.len()).unwrap_or(u16::MAX).max(1);
    let least_list = (area.height / 4).max(chosen_rows.saturating_add(2)).min(area.height);
    let chart = chart(opened, session, theme);
    let chart_rows = if chart.rounds.len() > 1 { (area.height / 2).clamp(LEAST_CHART, 16) } else { 0 };
    let chart_rows = chart_rows.min(area.height.saturating_sub(least_list + LEAST_ROUNDS));
    let chart_rows = if chart_rows < LEAST_CHART { 0 } else { chart_rows };
    if chart_rows > 0 {
        frame.render_widget(&chart, Rect { height: chart_rows, ..area });
    }
    let mut rounds = round_lines(session, opened, width);
    // The latest rounds, as many lines as leave the events theirs.
    let room = usize::from((area.height - chart_rows).saturating_sub(least_list));
    let earlier = rounds.len().saturating_sub(room);
    if earlier > 0 {
        // One row more gives way to the words that say so.
        rounds.drain(..=earlier.min(rounds.len() - 1));
        rounds.insert(0, format!("^ {} more above: c shows them all", earlier + 1));
    }
    for (y, text) in (area.y + chart_rows..area.bottom()).zip(&rounds) {
        let text = clipped(&format!(" {text}"), width);
        frame.render_widget(Line::styled(text, theme.style(Role::Text)), Rect { y, height: 1, ..area });
    }
    let used = chart_rows + u16::try_from(rounds.len()).unwrap_or(0);
    let list = Rect { y: area.y + used, height: area.height.saturating_sub(used), ..area };
    draw_events(log, opened, session, &chosen, (theme, frame, list));
}

/// The events, one to a row, but for the one that the keys act on.
fn draw_events(
    log: &LogScreen,
    opened: &OpeningSeen,
    session: &Session,
    chosen: &[String],
    (theme, frame, list): (Theme, &mut Frame<'_>, Rect),
) {
    let over = chosen.len().saturating_sub(1);
    let list = listed(list, opened.records.len() + over);
    let seen = usize::from(list.height).saturating_sub(over).max(1);
    let first = first_row(log.at, opened.records.len(), seen);
    let mut lines: Vec<(Role, String)> = Vec::new();
    for (place, record) in opened.records.iter().enumerate().skip(first).take(seen) {
        if place == log.at {
            lines.extend(chosen.iter().map(|line| (Role::Cursor, line.clone())));
            continue;
        }
        let role = if opened.state.struck.contains_key(&record.n) { Role::Quiet } else { Role::Text };
        lines.push((role, format!(" {}", row(record, opened, session))));
    }
    for (y, (role, text)) in (list.y..list.bottom()).zip(lines) {
        let line = Line::styled(clipped(&text, list.width.into()), theme.style(role));
        frame.render_widget(line, Rect { y, height: 1, ..list });
    }
    more(theme, frame, list, [first, opened.records.len().saturating_sub(first + seen)]);
}

/// One event: number, when, what.
fn row(record: &Record, opened: &OpeningSeen, session: &Session) -> String {
    let struck = opened.state.struck.get(&record.n);
    let gone = struck.map_or(String::new(), |by| format!("(taken back by {by}) "));
    let when = record.at.get(..16).unwrap_or(&record.at).replace('T', " ");
    format!("{:>4}  {when}  {gone}{}", record.n, words::event(&record.event, session.shop.show()))
}

/// All rounds with all their cuts on a page of their own.
fn draw_rounds(at: usize, session: &Session, opened: &OpeningSeen, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let lines = rounds_words::history_lines(rounds(session, opened), &opened.state, session.shop.show());
    let width = usize::from(area.width);
    let rows: Vec<(usize, String)> = lines
        .iter()
        .enumerate()
        .flat_map(|(place, line)| broken(line, width.saturating_sub(2)).into_iter().map(move |row| (place, row)))
        .collect();
    let cursor = rows.iter().position(|(place, _)| *place == at).unwrap_or(0);
    let list = listed(area, rows.len());
    let height = usize::from(list.height);
    let first = first_row(cursor, rows.len(), height);
    for (y, (place, text)) in (list.y..list.bottom()).zip(rows.iter().skip(first)) {
        let (mark, role) = if *place == at { ('>', Role::Cursor) } else { (' ', Role::Text) };
        let line = Line::styled(clipped(&format!("{mark} {text}"), width), theme.style(role));
        frame.render_widget(line, Rect { y, height: 1, ..list });
    }
    more(theme, frame, list, [first, rows.len().saturating_sub(first + height)]);
}

/// What does not fit in one row goes on in the next: no number is cut off.
fn broken(line: &str, width: usize) -> Vec<String> {
    let indent = if line.starts_with(' ') { "  " } else { "" };
    let parts = wrapped(line, width.saturating_sub(2)).into_iter().enumerate();
    parts.map(|(row, part)| format!("{indent}{}{part}", if row > 0 { "  " } else { "" })).collect()
}

/// A line for each round and for each of its cuts, once they are worked out.
fn round_lines(session: &Session, opened: &OpeningSeen, width: usize) -> Vec<String> {
    let lines = rounds_words::history_lines(rounds(session, opened), &opened.state, session.shop.show());
    lines.iter().flat_map(|line| broken(line, width.saturating_sub(2))).collect()
}

/// The rounds as all of them together tell of them, once that is worked out.
fn rounds<'a>(session: &'a Session, opened: &OpeningSeen) -> &'a [RoundSeen] {
    session.advised.answer(opened).map_or(&[][..], |answer| &answer.history)
}

fn chart(opened: &OpeningSeen, session: &Session, theme: Theme) -> HistoryChart {
    let show = session.shop.show();
    let tolerance = opened.state.tolerance.unwrap_or(session.shop.settings.tolerance);
    let worst = |round: &RoundSeen| {
        let miss = round.shown.moved?;
        Some(RoundMiss { name: round.number.to_string(), worst: miss.0, shown: miss.length().shown_with_error(show) })
    };
    HistoryChart {
        rounds: rounds(session, opened).iter().filter_map(worst).collect(),
        tolerance: tolerance.inches(),
        tolerance_shown: tolerance.shown(show),
        theme,
    }
}
