//! Line by line: the forms that the screen would show, a field at a time.

use super::plain::{End, Stop, Talk};
use super::put;
use super::trouble::Trouble;
use crate::bench::form::{Entry, Field, Form};
use crate::bench::recording::Typing;
use crate::bench::{Action, Screen};
use crate::contract::hinges;
use crate::fit::length::{Length, Show};
use std::borrow::Cow;
use std::io::{BufRead, Write};
use std::path::Path;

impl Talk<'_> {
    /// A new shop's questions, then the opening `name`; it is open afterwards.
    pub(super) fn describe(&mut self, name: &str) -> Result<(), End> {
        loop {
            match self.ask(&format!("There is no opening '{name}'. Describe it now? y or n"))?.as_str() {
                "y" | "yes" => break,
                "n" | "no" => return Err(Stop.into()),
                _ => {}
            }
        }
        if matches!(self.session.screen(), Some(Screen::FirstStart(_))) {
            self.line("The shop is new: three questions first.")?;
            if !self.form()? {
                return Err(Stop.into());
            }
        }
        // After a shop's first questions the opening's come by themselves.
        if !matches!(self.session.screen(), Some(Screen::NewOpening(_))) {
            self.act(Action::NewOpening)?;
        }
        self.retype(name)?;
        self.act(Action::Enter)?;
        if self.form()? && self.session.opened.is_some() { Ok(()) } else { Err(Stop.into()) }
    }

    /// Asks each field of the form on the screen, until it is kept; false where the user left it.
    pub(super) fn form(&mut self) -> Result<bool, End> {
        let which = self.session.screen().map(std::mem::discriminant);
        while self.session.screen().map(std::mem::discriminant) == which {
            let Some(form) = self.form_shown().cloned() else { break };
            let Some(field) = form.fields.get(form.at) else { return Ok(false) };
            let question = question(field, self.show());
            let answer = self.ask(&question)?;
            match answer.as_str() {
                "back" => {
                    self.act(Action::Back)?;
                    return Ok(false);
                }
                "" => {}
                text if self.fill(field, text)? => {}
                _ => continue,
            }
            let unread = self.form_shown().and_then(|form| form.fields.get(form.at)?.unread());
            if let Some(why) = unread {
                self.line(&format!("Not done: {why}."))?;
                // What cannot be read is no default: what stood there before is.
                self.retype(field.value())?;
                continue;
            }
            let told = self.form_shown().and_then(|form| Some(form.fields.get(form.at)?.told.clone()));
            if let Some(told) = told.filter(|told| !told.is_empty()) {
                self.line(&format!("{told}."))?;
            }
            self.act(Action::Enter)?;
        }
        Ok(true)
    }

    /// The form that is filled in; none once it is kept.
    fn form_shown(&self) -> Option<&Form> {
        match self.session.screen()? {
            Screen::Record(record) => record.typing.as_ref().map(Typing::form),
            Screen::FirstStart(first) => Some(&first.form),
            Screen::NewOpening(new) => Some(&new.form),
            Screen::Altering(entry) => Some(&entry.form),
            _ => None,
        }
    }

    /// Puts `text` into the field; false, and what there is to choose from, where it is none of its choices.
    fn fill(&mut self, field: &Field, text: &str) -> Result<bool, End> {
        if let Entry::Choice { options, picked } = &field.entry {
            let numbered = text.parse::<usize>().ok().and_then(|number| number.checked_sub(1));
            let place = options.iter().position(|option| *option == text);
            let Some(place) = place.or(numbered.filter(|place| *place < options.len())) else {
                self.line(&format!("Not done: there is {}.", choices(options)))?;
                return Ok(false);
            };
            for _ in 0..(place + options.len() - picked) % options.len().max(1) {
                self.act(Action::Right)?;
            }
            return Ok(true);
        }
        self.retype(text)?;
        Ok(true)
    }

    /// `text` instead of what stands in the field.
    fn retype(&mut self, text: &str) -> Result<(), End> {
        let there = self.form_shown().and_then(|form| form.fields.get(form.at));
        let letters = there.map_or(0, |field| field.value().chars().count());
        for _ in 0..letters {
            self.act(Action::Erase)?;
        }
        text.chars().try_for_each(|letter| self.act(Action::Type(letter)).map(drop))
    }
}

/// Asks whether a shop is to be made at `dir`, where there is none; otherwise, or without a yes, `trouble`.
pub(super) fn make_shop(
    dir: &Path,
    trouble: Trouble,
    input: &mut dyn BufRead,
    out: &mut dyn Write,
) -> Result<(), Trouble> {
    if ["shop.json", "openings"].iter().any(|part| dir.join(part).exists()) {
        return Err(trouble);
    }
    put(out, &format!("There is no shop at {}. Make one there? y or n", dir.display()))?;
    out.flush().map_err(|error| Trouble::output(&error))?;
    let mut answer = String::new();
    let read = std::io::Read::take(&mut *input, 400).read_line(&mut answer);
    if read.is_ok() && matches!(answer.trim(), "y" | "yes") { Ok(()) } else { Err(trouble) }
}

/// `1 rip; 2 sled`: each with its number, which answers as well as its words. Some have a comma in them.
fn choices(options: &[Cow<'static, str>]) -> String {
    let numbered = (1..).zip(options).map(|(number, option)| format!("{number} {option}"));
    numbered.collect::<Vec<_>>().join("; ")
}

/// What is asked, what there is to choose from, and what an empty answer stands for.
fn question(field: &Field, show: Show) -> String {
    let how = match &field.entry {
        Entry::Choice { options, .. } => format!("one of {}; empty for {}", choices(options), field.value()),
        Entry::Text(text) if text.is_empty() => field.hint.to_owned(),
        Entry::Text(text) => format!("empty for {}", rounded(field, text, show)),
    };
    format!("{}? ({how}; back to leave it)", field.label)
}

/// What stands in a field, as the sheet says it: what is kept is exact, and need not be heard to the last digit.
fn rounded(field: &Field, text: &str, show: Show) -> String {
    let exact = text.ends_with('"').then(|| Length::parse_signed(text, show.unit()).ok()).flatten();
    match (exact, &field.length) {
        (Some(length), Some(_)) => length.shown_down(show),
        (Some(length), None) => hinges::small(length, show),
        (None, _) => text.to_owned(),
    }
}
