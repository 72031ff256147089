//! What every screen has: the head line, the line that says things, the bar of keys.

use super::keymap;
use super::theme::{Role, Theme};
use crate::bench::{Action, Screen, Session, Tone, words};
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};
use unicode_width::UnicodeWidthStr;

/// Draws head, said and bar; answers the room between them.
pub fn surround(session: &Session, theme: Theme, frame: &mut Frame<'_>) -> Rect {
    let area = frame.area();
    let row = |y: u16| Rect { y, height: 1, ..area };
    frame.render_widget(head(session, theme, area.width), row(area.y));
    let bar = bar_lines(session, theme, area.width);
    let bar_height = u16::try_from(bar.len()).unwrap_or(1);
    let bar_top = area.bottom().saturating_sub(bar_height);
    for (y, line) in (bar_top..).zip(bar) {
        frame.render_widget(line, row(y));
    }
    let said = said(session, area.width, if area.height < LOW { 1 } else { MOST_SAID });
    let said_row = bar_top.saturating_sub(u16::try_from(said.len()).unwrap_or(1).max(1));
    for (y, (role, text)) in (said_row..bar_top).zip(said) {
        frame.render_widget(Line::styled(text, theme.style(role)), row(y));
    }
    Rect { y: area.y + 1, height: said_row.saturating_sub(area.y + 1), ..area }
}

fn head(session: &Session, theme: Theme, width: u16) -> Line<'static> {
    let (place, part) = match (session.screen(), &session.opened) {
        (Some(Screen::Batch(page)), _) => {
            (session.shop.place.clone(), format!(" - for the {}", page.batch.tool.word()))
        }
        (Some(Screen::Learned(_)), _) => (session.shop.place.clone(), " - what its tools do".to_owned()),
        (Some(Screen::Tools(_)), _) => (session.shop.place.clone(), " - tools, stock and settings".to_owned()),
        (Some(Screen::Shop(_) | Screen::FirstStart(_) | Screen::NewOpening(_)) | None, _) | (_, None) => {
            (session.shop.place.clone(), String::new())
        }
        (Some(screen), Some(opened)) => {
            let part = match screen {
                Screen::Readings(readings) => format!(" - readings, round {}", readings.round),
                Screen::Plan(plan) => format!(" - plan, round {}", plan.round),
                Screen::Record(record) => format!(" - cuts, round {}", record.round),
                Screen::Log(_) => " - log".to_owned(),
                Screen::Note(_) => " - note".to_owned(),
                Screen::Print(_) => " - card".to_owned(),
                Screen::Survey(_) => " - survey".to_owned(),
                Screen::Blank(blank) => format!(" - blank of {}", blank.id(opened).unwrap_or_default()),
                Screen::Year(_) => " - gap through the year".to_owned(),
                Screen::Swing(_) => " - swing and back-bevel".to_owned(),
                Screen::Flush(flush) => {
                    let leaf = opened.state.leaves.get(flush.leaf).map_or("", |leaf| leaf.what.leaf.as_str());
                    format!(" - flush and wind of {leaf}")
                }
                _ => String::new(),
            };
            (opened.name.clone(), part)
        }
    };
    let practice = crate::bench::practice::is_on(session);
    let read_only = !practice
        && (session.shop.read_only.is_some()
            || session.opened.as_ref().is_some_and(|opened| opened.read_only.is_some()));
    let right = if practice {
        "PRACTICE".to_owned()
    } else if read_only {
        "READING ONLY".to_owned()
    } else {
        words::PROGRAM.to_owned()
    };
    let room = usize::from(width).saturating_sub(right.width() + 2);
    // Which page it is stands whole, whatever the shop or the opening is called.
    let left = clipped(&format!(" {}{part}", clipped(&place, room.saturating_sub(1 + part.width()))), room);
    let gap = usize::from(width).saturating_sub(left.width() + right.width() + 1);
    let role = if read_only { Role::Caution } else { Role::Quiet };
    Line::from(vec![
        Span::styled(left, theme.style(Role::Title)),
        Span::raw(" ".repeat(gap)),
        Span::styled(right, theme.style(role)),
    ])
}

/// A screen of fewer rows than this has one for what is said.
const LOW: u16 = 18;
/// Most rows of what is said.
const MOST_SAID: usize = 3;

/// What is said, in as many rows as it takes: a complaint is read to its end.
fn said(session: &Session, width: u16, most: usize) -> Vec<(Role, String)> {
    let mut lines = trouble(session).map_or_else(Vec::new, |text| marked(("!", Role::Caution, text), width, most));
    lines.extend(to_say(session).map_or_else(Vec::new, |said| marked(said, width, most)));
    lines
}

fn marked((mark, role, text): (&str, Role, String), width: u16, most: usize) -> Vec<(Role, String)> {
    let width = usize::from(width);
    let indent = " ".repeat(mark.width() + 2);
    let mut lines = wrapped(&text, width.saturating_sub(indent.width()));
    if lines.len() > most {
        let rest = lines.split_off(most.saturating_sub(1)).join(" ");
        lines.push(clipped(&rest, width.saturating_sub(indent.width())));
    }
    let first = |place: usize| if place == 0 { format!(" {mark} ") } else { indent.clone() };
    lines.into_iter().enumerate().map(|(place, line)| (role, format!("{}{line}", first(place)))).collect()
}

/// What is wrong with the log of the opening that is shown: it stands there whatever else is said.
fn trouble(session: &Session) -> Option<String> {
    let trouble = session.opened.as_ref()?.state.trouble.as_ref()?;
    Some(words::read_only(&trouble.to_string()))
}

fn to_say(session: &Session) -> Option<(&'static str, Role, String)> {
    let Some(said) = &session.said else {
        // A made-up door is never for reading only.
        if crate::bench::practice::is_on(session) {
            return None;
        }
        let why = session
            .opened
            .as_ref()
            .and_then(|opened| opened.read_only.clone().filter(|_| opened.state.trouble.is_none()))
            .or_else(|| session.shop.read_only.clone());
        return why.map(|why| ("!", Role::Caution, words::read_only(&why)));
    };
    let (mark, role) = match said.tone {
        Tone::Done => ("ok", Role::Next),
        Tone::Hint => ("->", Role::Text),
        Tone::Trouble => ("!!", Role::Caution),
    };
    Some((mark, role, said.text.clone()))
}

fn bar_lines(session: &Session, theme: Theme, width: u16) -> Vec<Line<'static>> {
    let mut lines = vec![Line::default()];
    let mut used = 1;
    let place = keymap::place(session);
    let is_help = |binding: &&keymap::Binding| binding.action == Action::Help;
    // Where ? shows the keys there is no room for a second key that does.
    let help = keymap::rows(place).filter(is_help).max_by_key(|binding| binding.shown == "?");
    let shown = keymap::rows(place).filter(|binding| binding.on_bar && !is_help(binding));
    let shown: Vec<&keymap::Binding> = shown.chain(help).collect();
    let size = |binding: &keymap::Binding| binding.shown.width() + binding.words.width() + 4;
    // Whatever else has no room, the way back and the way to all keys have.
    let has_room = |binding: &&&keymap::Binding| matches!(binding.action, Action::Back | Action::Help);
    for (place, binding) in shown.iter().enumerate() {
        let size_here = size(binding);
        if used + size_here > usize::from(width) && lines.len() < 2 {
            lines.push(Line::default());
            used = 1;
        }
        let kept: usize = shown.iter().skip(place + 1).filter(has_room).map(|binding| size(binding)).sum();
        let kept = if lines.len() < 2 { 0 } else { kept };
        if used + size_here + kept > usize::from(width) + 2 {
            continue;
        }
        used += size_here;
        if let Some(line) = lines.last_mut() {
            line.push_span(Span::raw(" "));
            line.push_span(Span::styled(binding.shown, theme.style(Role::Key)));
            line.push_span(Span::styled(format!(" {}  ", binding.words), theme.style(Role::Quiet)));
        }
    }
    lines
}

/// `text`, cut to `room` columns; what is cut off is shown as missing.
pub fn clipped(text: &str, room: usize) -> String {
    if text.width() <= room {
        return text.to_owned();
    }
    let mut short = String::new();
    for letter in text.chars() {
        if short.width() + unicode_width::UnicodeWidthChar::width(letter).unwrap_or(0) + 2 > room {
            break;
        }
        short.push(letter);
    }
    if room >= 2 {
        short.push_str("..");
    }
    short
}

/// `text`, made `columns` wide with spaces, or cut.
pub fn padded(text: &str, columns: usize) -> String {
    let text = clipped(text, columns);
    let missing = columns.saturating_sub(text.width());
    text + &" ".repeat(missing)
}

/// The first row to show so that row `at` of `count` is among `height` rows.
pub fn first_row(at: usize, count: usize, height: usize) -> usize {
    at.saturating_sub(height / 2).min(count.saturating_sub(height))
}

/// The rows of `area` for a list of `count` lines: one is left to [`more`] where they are too many.
pub fn listed(area: Rect, count: usize) -> Rect {
    let over = count > usize::from(area.height) && area.height > 1;
    Rect { height: area.height - u16::from(over), ..area }
}

/// Says in the row below `list` how many lines are above and below what is shown.
pub fn more(theme: Theme, frame: &mut Frame<'_>, list: Rect, [above, below]: [usize; 2]) {
    let told = [(above, '^', "above"), (below, 'v', "below")];
    let told = told.iter().filter(|(count, ..)| *count > 0);
    let text = told.map(|(count, mark, side)| format!("{mark} {count} more {side}")).collect::<Vec<_>>().join("   ");
    let place = Rect { y: list.bottom(), height: 1, ..list }.intersection(frame.area());
    if !text.is_empty() {
        frame.render_widget(Line::styled(format!("  {text}"), theme.style(Role::Quiet)), place);
    }
}

/// `text` in lines of at most `width` columns, broken at words; a word longer than a line goes on in the next.
pub fn wrapped(text: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.width() + 1 + word.width() <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.extend(pieces(word, width)),
        }
    }
    lines
}

/// A word in pieces of at most `width` columns.
fn pieces(word: &str, width: usize) -> Vec<String> {
    let mut pieces = vec![String::new()];
    for letter in word.chars() {
        let wide = unicode_width::UnicodeWidthChar::width(letter).unwrap_or(0);
        match pieces.last_mut() {
            Some(piece) if piece.is_empty() || piece.width() + wide <= width => piece.push(letter),
            _ => pieces.push(letter.to_string()),
        }
    }
    pieces
}

/// `text` in lines of at most `width` columns; those after the first are moved in by `indent`. What fits in one
/// keeps its own spacing.
pub fn hanging(text: &str, width: usize, indent: usize) -> Vec<String> {
    if text.width() <= width {
        return vec![text.to_owned()];
    }
    let room = width.saturating_sub(indent).max(1);
    // The first line keeps the spaces that set its columns apart.
    let mut end = 0;
    for (place, letter) in text.char_indices() {
        let next = place + letter.len_utf8();
        if letter.is_whitespace() && text.get(..place).is_some_and(|start| start.width() <= width) {
            end = place;
        }
        if text.get(..next).is_some_and(|start| start.width() > width) {
            break;
        }
    }
    let (first, rest) = text.split_at_checked(end).unwrap_or(("", text));
    if first.trim().is_empty() {
        return wrapped(text, width);
    }
    let rest = wrapped(rest, room).into_iter().map(|line| " ".repeat(indent) + &line);
    std::iter::once(first.trim_end().to_owned()).chain(rest).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_lost_where_a_line_is_broken() {
        let text = "note: the photo is /home/shop/pictures/2026/kitchen/upper-left-door.jpg and so on";
        for width in 8..90 {
            let bare = |text: &str| text.split_whitespace().collect::<String>();
            for lines in [wrapped(text, width), hanging(text, width, 4)] {
                assert!(lines.iter().all(|line| line.width() <= width), "{width}: {lines:?}");
                assert_eq!(bare(&lines.join(" ")), bare(text), "{width}");
            }
        }
    }

    #[test]
    fn the_first_line_keeps_its_columns() {
        assert_eq!(hanging(">   12  when  a b c", 16, 4), [">   12  when  a", "    b c"]);
        assert_eq!(hanging(">   12  when  a b c", 40, 4), [">   12  when  a b c"]);
    }
}
