//! What is on the screen: `view(session, theme, frame)`, keymap, theme, drawings.
//!
//! The words are [`crate::bench::words`]; the state is [`crate::bench::Session`]. Nothing here changes either.

pub mod drawings;
pub mod keymap;
pub mod parts;
pub mod picture;
pub mod screens;
pub mod theme;
pub mod trade_words;

use crate::bench::{Overlay, Screen, Session, altering, words};
use ratatui::Frame;
use ratatui::text::Line;
use theme::{Role, Theme};

/// Least columns and rows on which anything can be shown.
pub const LEAST: (u16, u16) = (40, 12);

/// Draws the session.
pub fn view(session: &Session, theme: Theme, frame: &mut Frame<'_>) {
    let area = frame.area();
    if area.width < LEAST.0 || area.height < LEAST.1 {
        frame.render_widget(Line::styled(words::TOO_SMALL, theme.style(Role::Caution)), area);
        return;
    }
    let Some(screen) = session.screen() else { return };
    let body = parts::surround(session, theme, frame);
    match screen {
        Screen::Shop(list) => screens::shop_list::draw(list, session, theme, frame, body),
        Screen::FirstStart(first) => screens::form::draw("a shop of your own", &first.form, &[], theme, frame, body),
        Screen::NewOpening(new) => screens::form::draw("new opening", &new.form, &[], theme, frame, body),
        Screen::Home(_) => screens::home::draw(session, theme, frame, body),
        Screen::Readings(readings) => screens::readings::draw(readings, session, theme, frame, body),
        Screen::Plan(plan) => screens::plan::draw(plan, session, theme, frame, body),
        Screen::Record(record) => screens::record::draw(record, session, theme, frame, body),
        Screen::Log(log) => screens::log::draw(log, session, theme, frame, body),
        Screen::Survey(entry) => screens::before::survey(entry, session, theme, frame, body),
        Screen::Blank(blank) => screens::before::blank(blank, session, theme, frame, body),
        Screen::Year(page) => screens::before::year(*page, session, theme, frame, body),
        Screen::Swing(swing) => screens::swing::draw(swing, session, theme, frame, body),
        Screen::Flush(entry) => screens::before::flush(entry, session, theme, frame, body),
        Screen::Hinges(entry) => screens::hinging::draw(entry, session, theme, frame, body),
        Screen::Whole(page) => screens::before::whole(page, session, theme, frame, body),
        Screen::Practice(page) => screens::practice::draw(page, session, theme, frame, body),
        Screen::Batch(page) => screens::batch::draw(page, session, theme, frame, body),
        Screen::Learned(_) => screens::learned::draw(session, theme, frame, body),
        Screen::Tools(page) => screens::tools::draw(page, session, theme, frame, body),
        Screen::Print(print) => screens::form::draw(print.title(), &print.form, &[], theme, frame, body),
        Screen::Note(note) => screens::form::draw("note", &note.form, &[], theme, frame, body),
        Screen::Altering(entry) => {
            let above = [altering::DOES.to_owned()];
            screens::form::draw(altering::TITLE, &entry.form, &above, theme, frame, body);
        }
    }
    match session.overlay {
        Some(Overlay::Help) => {
            screens::help::draw(&keymap::rows_now(session), &trade_words::now(session), theme, frame, area);
        }
        Some(Overlay::Large) => screens::large::draw(session, theme, frame, area),
        Some(Overlay::Why(page)) => screens::why::draw(session, page, theme, frame, area),
        None => {}
    }
}
