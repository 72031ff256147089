//! The log: a chart of the worst miss in each round, and a row for each event.

use crate::bench::history::LogScreen;
use crate::bench::taken::RoundSeen;
use crate::bench::{OpeningSeen, Session, rounds_words, words};
use crate::screen::drawings::{HistoryChart, RoundMiss};
use crate::screen::parts::{clipped, first_row, listed, more, wrapped};
use crate::screen::theme::{Role, Theme};
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::Line;

/// Draws the log.
pub fn draw(log: &LogScreen, session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let Some(opened) = &session.opened else { return };
    let chart = chart(opened, session, theme);
    let chart_rows = if chart.rounds.len() > 1 { (area.height / 2).clamp(7, 16).min(area.height) } else { 0 };
    if chart_rows > 0 {
        frame.render_widget(&chart, Rect { height: chart_rows, ..area });
    }
    let mut rounds = round_lines(session, opened, area.width.into());
    // The latest rounds, as many lines as leave the events a third.
    let room = usize::from((area.height - chart_rows).saturating_sub(area.height / 4));
    let earlier = rounds.len().saturating_sub(room);
    if earlier > 0 {
        // One row more gives way to the words that say so.
        rounds.drain(..=earlier.min(rounds.len() - 1));
        rounds.insert(0, format!("^ {} more above", earlier + 1));
    }
    for (y, text) in (area.y + chart_rows..area.bottom()).zip(&rounds) {
        let text = clipped(&format!(" {text}"), area.width.into());
        frame.render_widget(Line::styled(text, theme.style(Role::Text)), Rect { y, height: 1, ..area });
    }
    let used = chart_rows + u16::try_from(rounds.len()).unwrap_or(0);
    let list = Rect { y: area.y + used, height: area.height.saturating_sub(used), ..area };
    let list = listed(list, opened.records.len());
    let height = usize::from(list.height);
    let first = first_row(log.at, opened.records.len(), height);
    for (y, (place, record)) in (list.y..list.bottom()).zip(opened.records.iter().enumerate().skip(first)) {
        let here = place == log.at;
        let struck = opened.state.struck.get(&record.n);
        let mark = if here { ">" } else { " " };
        let gone = struck.map_or(String::new(), |by| format!("(taken back by {by}) "));
        let when = record.at.get(..16).unwrap_or(&record.at).replace('T', " ");
        let text = format!("{mark}{:>4}  {when}  {gone}{}", record.n, words::event(&record.event, session.shop.show()));
        let role = if here {
            Role::Cursor
        } else if struck.is_some() {
            Role::Quiet
        } else {
            Role::Text
        };
        frame.render_widget(
            Line::styled(clipped(&text, list.width.into()), theme.style(role)),
            Rect { y, height: 1, ..list },
        );
    }
    more(theme, frame, list, [first, opened.records.len().saturating_sub(first + height)]);
}

/// A line for each round and for each of its cuts, once they are worked out.
fn round_lines(session: &Session, opened: &OpeningSeen, width: usize) -> Vec<String> {
    let history = rounds(session, opened);
    let mut lines: Vec<String> = Vec::new();
    if history.iter().any(|round| !round.shown.cuts.is_empty()) {
        lines.push(rounds_words::CUTS_RUN.to_owned());
    }
    let rounds = history.iter().flat_map(|round| rounds_words::round_lines(round, &opened.state, session.shop.show()));
    // What does not fit in one row goes on in the next: no number is cut off.
    lines.extend(rounds.flat_map(|line| {
        let indent = if line.starts_with(' ') { "  " } else { "" };
        wrapped(&line, width.saturating_sub(4)).into_iter().map(move |part| format!("{indent}{part}"))
    }));
    lines
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
