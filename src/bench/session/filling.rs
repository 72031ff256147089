//! The form that is being filled in, whichever screen it is on.

use super::{Screen, Session};
use crate::bench::form::Form;
use crate::bench::practice::page::Part;
use crate::bench::recording::Typing;

impl Session {
    /// The form that is being filled in, if one is.
    pub fn form(&self) -> Option<&Form> {
        match self.screen()? {
            Screen::FirstStart(first) => Some(&first.form),
            Screen::NewOpening(new) => Some(&new.form),
            Screen::Print(print) => Some(&print.form),
            Screen::Note(note) => Some(&note.form),
            Screen::Survey(entry) => Some(&entry.form),
            Screen::Flush(entry) => Some(&entry.form),
            Screen::Hinges(entry) => Some(&entry.form),
            Screen::Record(record) => record.typing.as_ref().map(Typing::form),
            Screen::Tools(page) => page.typing.as_ref(),
            Screen::Blank(blank) => blank.typing.as_ref(),
            Screen::Swing(swing) => swing.typing.as_ref(),
            Screen::Practice(page) => match &page.part {
                Part::Own(form) => Some(form),
                Part::Bench | Part::End => None,
            },
            Screen::Shop(_)
            | Screen::Home(_)
            | Screen::Readings(_)
            | Screen::Plan(_)
            | Screen::Log(_)
            | Screen::Year(_)
            | Screen::Whole(_)
            | Screen::Learned(_)
            | Screen::Batch(_) => None,
        }
    }
}
