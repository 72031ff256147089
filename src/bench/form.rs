//! Fields to fill in, one below the other.

use super::front_heights;
use super::measuring::near;
use super::message::Action;
use crate::fit::length::{Length, LengthError, Show, Unit};
use std::borrow::Cow;
use std::ops::Range;

/// Most characters of one field: as many as a note may have.
pub const LONGEST: usize = crate::shop::check::LONGEST_NOTE;

/// What a field takes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Entry {
    /// Any text.
    Text(String),
    /// One of a few words.
    Choice {
        /// The words.
        options: Vec<Cow<'static, str>>,
        /// Place of the one picked.
        picked: usize,
    },
}

/// What of lengths a field takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lengths {
    /// One.
    One,
    /// One that may be below nothing.
    Signed,
    /// Heights of stacked fronts; each of them, or may the opening give them?
    Heights {
        /// Each must be there.
        each: bool,
    },
}

/// How the length in a field is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LengthAsked {
    /// Of a number that stands alone.
    pub unit: Unit,
    /// One, or which.
    pub what: Lengths,
}

/// One field.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Field {
    /// What is asked.
    pub label: &'static str,
    /// A word of help.
    pub hint: &'static str,
    /// What stands in it.
    pub entry: Entry,
    /// Is it a length, or heights, and how is it read?
    pub length: Option<LengthAsked>,
    /// What was understood of what is typed, where that is worth saying; else empty.
    pub told: String,
    /// May anything be typed, or only what has no question mark in it?
    pub free: bool,
    /// Does it still hold the one length that it was filled with? The first key typed replaces that: typed after it,
    /// "1/4" made 11/4 of 1. Backspace mends it instead.
    pub filled: bool,
    /// What it was filled with, exactly: it stands there rounded as the shop says lengths.
    pub exact: Option<Length>,
}

impl Field {
    /// A field for text, filled with `value`.
    pub fn text(label: &'static str, value: impl Into<String>, hint: &'static str) -> Self {
        let entry = Entry::Text(value.into());
        Self { label, hint, entry, length: None, told: String::new(), free: true, filled: false, exact: None }
    }

    /// A field for figures, or for words of a fixed set: a question mark is no part of it.
    pub fn figures(label: &'static str, value: impl Into<String>, hint: &'static str) -> Self {
        Self { free: false, ..Self::text(label, value, hint) }
    }

    /// What it is filled with is one length, which the first key typed replaces.
    #[must_use]
    pub fn replaced(self) -> Self {
        Self { filled: !self.value().is_empty(), ..self }
    }

    /// A field for one length: Enter goes on only from one that can be read, or from nothing.
    pub fn length(label: &'static str, value: impl Into<String>, unit: Unit, hint: &'static str) -> Self {
        Self { length: Some(LengthAsked { unit, what: Lengths::One }), ..Self::figures(label, value, hint) }.replaced()
    }

    /// The same, for a length that may be below nothing.
    pub fn signed_length(label: &'static str, value: impl Into<String>, unit: Unit, hint: &'static str) -> Self {
        Self { length: Some(LengthAsked { unit, what: Lengths::Signed }), ..Self::figures(label, value, hint) }
            .replaced()
    }

    /// A field for one length that is known, or not: it stands there rounded ([`near`]), and left untouched it is
    /// exactly the one that it was filled with ([`Field::read`]).
    pub fn exact_length(label: &'static str, known: Option<Length>, show: Show, hint: &'static str) -> Self {
        let shown = known.map_or_else(String::new, |length| near(length, show));
        Self { exact: known, ..Self::length(label, shown, show.unit(), hint) }
    }

    /// The length in it: the one that it was filled with where nobody touched it, or what is typed.
    pub fn read(&self) -> Result<Length, LengthError> {
        let text = self.value().trim();
        match (self.exact, self.length) {
            (Some(exact), _) if self.filled => Ok(exact),
            (_, Some(LengthAsked { unit, what: Lengths::Signed })) => Length::parse_signed(text, unit),
            (_, Some(LengthAsked { unit, .. })) => Length::parse(text, unit),
            (_, None) => Length::parse(text, Unit::Inch),
        }
    }

    /// Why what is typed is not the length, or not the heights, asked for.
    pub fn unread(&self) -> Option<String> {
        let text = self.value().trim();
        match self.length? {
            _ if text.is_empty() => None,
            LengthAsked { unit, what: Lengths::Heights { each } } => {
                let read = front_heights::read(text, unit);
                let read = read.and_then(|read| if each { front_heights::all_given(&read).map(drop) } else { Ok(()) });
                read.err().map(|error| error.to_string())
            }
            _ => self.read().err().map(|error| error.to_string()),
        }
    }

    /// A field for one of `options`, the first of them picked.
    pub fn choice(label: &'static str, options: &[&'static str], hint: &'static str) -> Self {
        let options = options.iter().map(|&option| Cow::Borrowed(option)).collect();
        let entry = Entry::Choice { options, picked: 0 };
        Self { label, hint, entry, length: None, told: String::new(), free: false, filled: false, exact: None }
    }

    /// The same for options that are the user's own words.
    pub fn choice_of(label: &'static str, options: Vec<String>, hint: &'static str) -> Self {
        let mut field = Self::choice(label, &[], hint);
        field.entry = Entry::Choice { options: options.into_iter().map(Cow::Owned).collect(), picked: 0 };
        field
    }

    /// The same with the option at `place` picked.
    #[must_use]
    pub fn picked(mut self, place: usize) -> Self {
        if let Entry::Choice { picked, options } = &mut self.entry {
            *picked = place.min(options.len().saturating_sub(1));
        }
        self
    }

    /// Puts `value` in it again, as far as it can take it.
    pub fn refill(&mut self, value: &str) {
        if self.value() == value {
            return;
        }
        match &mut self.entry {
            Entry::Text(text) => value.clone_into(text),
            Entry::Choice { options, picked } => {
                *picked = options.iter().position(|option| *option == value).unwrap_or(*picked);
            }
        }
        self.filled = false;
    }

    /// The text in it, or the word picked.
    pub fn value(&self) -> &str {
        match &self.entry {
            Entry::Text(text) => text,
            Entry::Choice { options, picked } => options.get(*picked).map_or("", AsRef::as_ref),
        }
    }
}

/// A form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Form {
    /// Its fields.
    pub fields: Vec<Field>,
    /// Which one the keys act on.
    pub at: usize,
    /// Did the last key find no more room in its field?
    pub full: bool,
    /// Fields that mean nothing as the others are filled in: neither shown nor walked through. Never the last one.
    pub left_out: Range<usize>,
}

/// What became of an action on a form.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Filled {
    /// Still being filled in.
    Open,
    /// Enter on the last field.
    Whole,
    /// The user wants out.
    Left,
}

impl Form {
    /// A form with these fields.
    pub fn new(fields: Vec<Field>) -> Self {
        Self { fields, at: 0, full: false, left_out: 0..0 }
    }

    /// The fields that are asked for, with their places.
    pub fn asked(&self) -> impl Iterator<Item = (usize, &Field)> {
        self.fields.iter().enumerate().filter(|(place, _)| !self.left_out.contains(place))
    }

    /// What stands in field `place`.
    pub fn value(&self, place: usize) -> &str {
        self.fields.get(place).map_or("", Field::value)
    }

    /// May anything be typed in the field that the keys act on?
    pub fn is_free(&self) -> bool {
        self.fields.get(self.at).is_some_and(|field| field.free)
    }

    /// Is the field that the keys act on one to type in?
    pub fn takes_text(&self) -> bool {
        self.fields.get(self.at).is_some_and(|field| matches!(field.entry, Entry::Text(_)))
    }

    /// Is there a field to choose in?
    pub fn has_choice(&self) -> bool {
        self.fields.iter().any(|field| matches!(field.entry, Entry::Choice { .. }))
    }

    /// Takes an action.
    pub fn act(&mut self, action: Action) -> Filled {
        let last = self.fields.len().saturating_sub(1);
        self.full = false;
        match action {
            Action::Back => return Filled::Left,
            Action::Enter if self.fields.get(self.at).is_some_and(|field| field.unread().is_some()) => {}
            Action::Enter if self.at >= last => return Filled::Whole,
            Action::Enter | Action::Down | Action::Skip => {
                self.at = (self.at + 1..=last).find(|place| !self.left_out.contains(place)).unwrap_or(self.at);
            }
            Action::Up => {
                self.at = (0..self.at).rev().find(|place| !self.left_out.contains(place)).unwrap_or(self.at);
            }
            Action::Left => self.pick(-1),
            Action::Right => self.pick(1),
            Action::Erase => {
                self.untouched();
                if let Some(Entry::Text(text)) = self.entry() {
                    text.pop();
                }
            }
            Action::Type(' ') if matches!(self.entry(), Some(Entry::Choice { .. })) => self.pick(1),
            Action::Type(letter) => {
                let replaces = self.untouched();
                if let Some(Entry::Text(text)) = self.entry() {
                    if replaces {
                        text.clear();
                    }
                    let full = text.chars().count() >= LONGEST;
                    if !full {
                        text.push(letter);
                    }
                    self.full = full;
                }
            }
            _ => {}
        }
        Filled::Open
    }

    /// Did the field at the cursor still hold what it was filled with? From now on it does not.
    fn untouched(&mut self) -> bool {
        self.fields.get_mut(self.at).is_some_and(|field| std::mem::take(&mut field.filled))
    }

    fn entry(&mut self) -> Option<&mut Entry> {
        self.fields.get_mut(self.at).map(|field| &mut field.entry)
    }

    fn pick(&mut self, step: isize) {
        if let Some(Entry::Choice { options, picked }) = self.entry() {
            let count = options.len().max(1);
            *picked = picked.saturating_add(count).saturating_add_signed(step) % count;
        }
    }
}
