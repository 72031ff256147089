//! Taking readings: the picture with the cursor on a station, the feelers with their keys, what is entered.

use crate::bench::measuring::owned;
use crate::bench::readings::{Input, ReadingsEntry, key_of};
use crate::bench::{Session, next_words, practice, words};
use crate::screen::parts::{clipped, wrapped};
use crate::screen::picture::{self, Measure};
use crate::screen::theme::{Role, Theme};
use crate::shop::settings::Settings;
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

/// Draws the screen.
pub fn draw(entry: &ReadingsEntry, session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let Some(opened) = &session.opened else { return };
    let settings = &session.shop.settings;
    let measure = Measure::of(opened, settings);
    let mut lines = vec![where_line(entry, session, theme)];
    // While something is asked, Enter keeps nothing.
    let entered = entered(&entry.input, settings);
    let entered = if entry.asked.is_some() { entered.replace("  (Enter keeps it) ", "") } else { entered };
    lines.push(Line::styled(format!(" {entered}"), theme.style(Role::Cursor)));
    let felt = entry.station().and_then(|station| practice::words::felt(session, station));
    lines.extend(felt.map(|text| Line::styled(format!(" {text}"), theme.style(Role::Text))));
    match &entry.asked {
        Some(asked) => {
            let station = entry.station().map_or_else(String::new, |station| next_words::station(station, opened));
            let text = next_words::question(asked, &station, measure.show);
            let wrapped = wrapped(&text, usize::from(area.width).saturating_sub(2));
            lines.extend(wrapped.into_iter().map(|line| Line::styled(format!(" {line}"), theme.style(Role::Caution))));
        }
        None => lines.extend(feelers(entry, settings, theme, area.width.into())),
    }
    let rows = u16::try_from(lines.len()).unwrap_or(4).min(area.height);
    let picture_rows = area.height.saturating_sub(rows);
    let picture = picture::opening(opened, entry.round, measure, Some(entry), theme);
    frame.render_widget(&picture, Rect { height: picture_rows, ..area });
    for (y, line) in (area.y + picture_rows..area.bottom()).zip(lines) {
        frame.render_widget(line, Rect { y, height: 1, ..area });
    }
}

fn where_line(entry: &ReadingsEntry, session: &Session, theme: Theme) -> Line<'static> {
    let Some(opened) = &session.opened else { return Line::default() };
    let unread = entry.unread(opened);
    let Some(station) = entry.station() else {
        let text = if entry.looked.is_some() {
            "looked at again: Enter says what comes next".to_owned()
        } else if unread == 0 {
            // It may be a plan, or a second look at some of them.
            "all read: Enter says what comes next".to_owned()
        } else {
            format!("{} unread: Up goes back, Enter says what comes next", words::counted(unread, "station"))
        };
        return Line::styled(format!(" {text}"), theme.style(Role::Next));
    };
    let leaf = opened.state.leaves.get(station.leaf).map_or("", |leaf| leaf.what.leaf.as_str());
    let leaf = if opened.state.leaves.len() > 1 { format!("{leaf}, ") } else { String::new() };
    let show = session.shop.show();
    let before = entry.read_at(entry.at, opened);
    let before = before.map_or(String::new(), |read| format!("; now {}", picture::reading_words(&read, show)));
    let text = format!(
        " {} {} of {}: {leaf}{}, at {}{before}. {} to go.",
        if entry.looked.is_some() { "Again, station" } else { "Station" },
        entry.at + 1,
        entry.stations.len(),
        station.words(),
        station.at.shown(show),
        unread
    );
    Line::styled(text, theme.style(Role::Next))
}

/// What is entered so far.
pub(super) fn entered(input: &Input, settings: &Settings) -> String {
    let feeler =
        |place: usize| settings.feelers.get(place).map_or(String::new(), |feeler| owned(*feeler, settings.show));
    match input {
        Input::Empty => "gap: _ ".to_owned(),
        Input::Typed(text) => format!("gap: {text}_ "),
        Input::Feelers { goes: None, .. } => format!("not even {} goes  (Enter keeps it) ", feeler(0)),
        Input::Feelers { goes: Some(goes), stops: Some(stops) } => {
            format!("{} goes, {} stops  (Enter keeps it) ", feeler(*goes), feeler(*stops))
        }
        Input::Feelers { goes: Some(goes), stops: None } => {
            format!("{} goes: type the gap, it is thicker than every feeler ", feeler(*goes))
        }
    }
}

/// The shop's feelers with their keys, in at most three lines.
fn feelers(entry: &ReadingsEntry, settings: &Settings, theme: Theme, width: usize) -> Vec<Line<'static>> {
    let (goes, stops) = match entry.input {
        Input::Feelers { goes, stops } => (goes, stops),
        _ => (None, None),
    };
    let mut lines = vec![Line::raw(" feelers:")];
    let mut used = 9;
    for (place, feeler) in settings.feelers.iter().enumerate() {
        let Some(key) = key_of(place) else { break };
        let shown = owned(*feeler, settings.show);
        let size = shown.len() + 4;
        if used + size > width {
            if lines.len() == 3 {
                break;
            }
            lines.push(Line::raw("         "));
            used = 9;
        }
        used += size;
        let role = if goes == Some(place) || stops == Some(place) { Role::Cursor } else { Role::Text };
        if let Some(line) = lines.last_mut() {
            line.push_span(Span::raw("  "));
            line.push_span(Span::styled(key.to_string(), theme.style(Role::Key)));
            line.push_span(Span::raw(" "));
            line.push_span(Span::styled(shown, theme.style(role)));
        }
    }
    lines.push(Line::styled(
        clipped(" feeler that goes (then one that stops), or a length; - before it where it laps", width),
        theme.style(Role::Quiet),
    ));
    lines
}
