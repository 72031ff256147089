//! The log: a chart of the worst miss in each round, and a row for each event.

use crate::bench::history::LogScreen;
use crate::bench::{OpeningSeen, Session, words};
use crate::fit::length::Inches;
use crate::screen::drawings::{HistoryChart, RoundMiss};
use crate::screen::parts::{clipped, first_row};
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
    let list = Rect { y: area.y + chart_rows, height: area.height - chart_rows, ..area };
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
}

fn chart(opened: &OpeningSeen, session: &Session, theme: Theme) -> HistoryChart {
    let show = session.shop.show();
    let tolerance = opened.state.tolerance.unwrap_or(session.shop.settings.tolerance);
    let worst = |number: u32| opened.worst(number).map(|worst| (number, worst.miss.0.abs()));
    let rounds = opened.state.rounds.iter().filter_map(|round| worst(round.number));
    HistoryChart {
        rounds: rounds
            .map(|(number, worst)| RoundMiss { name: number.to_string(), worst, shown: Inches(worst).shown(show) })
            .collect(),
        tolerance: tolerance.inches(),
        tolerance_shown: tolerance.shown(show),
        theme,
    }
}
