//! The form that is being filled in, whichever screen it is on.

use super::{Effect, Said, Screen, Session, practice};
use crate::bench::Action;
use crate::bench::drafts::{Drafts, Keeping};
use crate::bench::form::Form;
use crate::bench::left_words;
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
            Screen::Altering(entry) => Some(&entry.form),
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

    /// How far that form has come to being kept; nothing where nothing of it is.
    fn keeping(&self) -> Option<&Keeping> {
        match self.screen()? {
            Screen::NewOpening(new) => Some(&new.keeping),
            Screen::Note(note) => Some(&note.keeping),
            Screen::Altering(entry) => Some(&entry.keeping),
            Screen::Survey(entry) => Some(&entry.keeping),
            Screen::Flush(entry) => Some(&entry.keeping),
            Screen::Hinges(entry) => Some(&entry.keeping),
            Screen::Record(record) => Some(&record.keeping),
            Screen::Tools(page) => Some(&page.keeping),
            Screen::Blank(blank) => Some(&blank.keeping),
            Screen::Swing(swing) => Some(&swing.keeping),
            _ => None,
        }
    }

    /// Takes pasted text as if it were typed, where text is; it is never taken as keys.
    pub(super) fn pasted(&mut self, text: &str) -> Vec<Effect> {
        let searches = matches!(self.screen(), Some(Screen::Shop(list)) if list.typing);
        if self.overlay.is_some() || !(searches || self.form().is_some_and(Form::takes_text)) {
            self.said = Some(Said::hint(left_words::PASTED_NOWHERE));
            return Vec::new();
        }
        let letters = text.trim().chars().map(|letter| if letter.is_control() { ' ' } else { letter });
        letters.flat_map(|letter| self.act(Action::Type(letter))).collect()
    }

    /// What is typed and not kept at this moment: what was set aside, and the form that is being filled in. Of a
    /// made-up door nothing is.
    pub fn unfinished(&self) -> Drafts {
        let mut drafts = self.drafts.clone();
        let practising = practice::is_on(self);
        let opened = self.opened.as_ref().filter(|_| !practising).map(|opened| opened.name.as_str());
        let listed = |name: &str| self.shop.openings.iter().any(|one| one.summary.name == name);
        drafts.retain(|of| of.opening.is_empty() || opened == Some(of.opening.as_str()) || listed(&of.opening));
        if !practising
            && let (Some(form), Some(keeping)) = (self.form(), self.keeping())
            && let Some(of) = keeping.unfinished(form)
        {
            drafts.set_aside(of.clone(), &form.fields);
        }
        drafts
    }

    /// Takes up what was typed and not kept in an earlier session, and says so.
    pub fn resume(&mut self, drafts: Drafts) {
        if let Some(text) = left_words::forms(drafts.left()) {
            self.said = Some(Said::hint(text));
        }
        self.drafts = drafts;
    }
}
