//! One table of keys: it says what a key does and it is what the help shows.

mod table;

use crate::bench::practice::page::Part;
use crate::bench::surprise::Asked;
use crate::bench::{Action, Screen, Session};
use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyEventKind, KeyModifiers};
#[cfg(test)]
pub(super) use table::EVERYWHERE;
use table::TABLE;

/// Where a key is pressed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// The openings of the shop.
    Shop,
    /// A field to fill in with anything.
    Form,
    /// A field for figures, or to choose in: `?` is no part of it.
    Figures,
    /// A name being searched for.
    Search,
    /// One opening.
    Home,
    /// Taking readings.
    Readings,
    /// A surprising reading is asked about.
    Asked,
    /// A reading of an earlier round is asked about.
    Doubted,
    /// The plan.
    Plan,
    /// Recording a cut.
    Record,
    /// The log.
    Log,
    /// Stock, tools and settings.
    Tools,
    /// What was learned.
    Learned,
    /// The blank and its parts.
    Blank,
    /// The gap through the year.
    Year,
    /// The cut list of the whole shop.
    CutList,
    /// Swing and back-bevel.
    Swing,
    /// Everything for the saw in one trip.
    Batch,
    /// At a made-up door.
    Practice,
    /// How it ended.
    Practised,
    /// A page to look at only.
    Look,
}

/// One row of the table.
#[derive(Clone, Copy, Debug)]
pub struct Binding {
    /// Where it holds.
    pub places: &'static [Place],
    /// The key.
    pub key: Key,
    /// What it does.
    pub action: Action,
    /// How the key is written.
    pub shown: &'static str,
    /// What it does, in words.
    pub words: &'static str,
    /// Is it on the bar at the foot of the screen, too?
    pub on_bar: bool,
}

/// A key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Key {
    /// A key of its own.
    Code(KeyCode),
    /// A character.
    Char(char),
    /// A character with Ctrl.
    Ctrl(char),
}

/// Where the keys of `session` go.
pub fn place(session: &Session) -> Place {
    if let Some(form) = session.form() {
        return if form.is_free() { Place::Form } else { Place::Figures };
    }
    match session.screen() {
        Some(Screen::Shop(list)) if list.typing => Place::Search,
        None | Some(Screen::Shop(_)) => Place::Shop,
        Some(Screen::Home(_)) => Place::Home,
        Some(Screen::Readings(readings)) if readings.asked.is_some() => {
            let retaken = readings.asked.as_ref().is_some_and(Asked::can_be_retaken);
            if retaken { Place::Asked } else { Place::Doubted }
        }
        Some(Screen::Readings(_)) => Place::Readings,
        Some(Screen::Plan(_)) => Place::Plan,
        Some(Screen::Record(_)) => Place::Record,
        Some(Screen::Log(_)) => Place::Log,
        Some(Screen::Tools(_)) => Place::Tools,
        Some(Screen::Learned(_)) => Place::Learned,
        Some(Screen::Batch(_)) => Place::Batch,
        Some(Screen::Practice(page)) => match page.part {
            Part::Bench => Place::Practice,
            Part::Own(_) => Place::Figures,
            Part::End => Place::Practised,
        },
        Some(Screen::Blank(_)) => Place::Blank,
        Some(Screen::Year(_)) => Place::Year,
        Some(Screen::Whole(page)) if page.what == crate::bench::before_pages::Whole::CutList => Place::CutList,
        Some(Screen::Swing(_)) => Place::Swing,
        Some(Screen::Whole(_)) => Place::Look,
        // These are forms and nothing else.
        Some(
            Screen::FirstStart(_)
            | Screen::NewOpening(_)
            | Screen::Print(_)
            | Screen::Note(_)
            | Screen::Altering(_)
            | Screen::Survey(_)
            | Screen::Flush(_)
            | Screen::Hinges(_),
        ) => Place::Form,
    }
}

/// What a key means there; `None` if nothing.
pub fn action(place: Place, key: KeyEvent) -> Option<Action> {
    if key.kind == KeyEventKind::Release {
        return None;
    }
    let ctrl = key.modifiers.contains(KeyModifiers::CONTROL);
    let bound = TABLE.iter().find(|binding| {
        binding.places.contains(&place)
            && match binding.key {
                Key::Code(code) => code == key.code,
                Key::Char(letter) => !ctrl && key.code == KeyCode::Char(letter),
                Key::Ctrl(letter) => ctrl && key.code == KeyCode::Char(letter),
            }
    });
    match (bound, key.code) {
        (Some(binding), _) => Some(binding.action),
        (None, KeyCode::Char(letter)) if !ctrl && place.is_typed_in() => Some(Action::Type(letter)),
        _ => None,
    }
}

impl Place {
    /// Do letters that have no row of their own make a text there?
    fn is_typed_in(self) -> bool {
        matches!(self, Self::Form | Self::Figures | Self::Search | Self::Readings)
    }
}

/// The rows that do something as `session` stands: a form of one field has no next one.
pub fn rows_now(session: &Session) -> Vec<&'static Binding> {
    let of_form = |action: Action| match (session.form(), action) {
        (Some(form), Action::Up | Action::Down) => form.fields.len() > 1,
        (Some(form), Action::Left | Action::Right) => form.has_choice(),
        _ => true,
    };
    rows(place(session)).filter(|row| of_form(row.action)).collect()
}

/// Rows of the table that hold at `place`; of two keys for one action both are shown.
pub fn rows(place: Place) -> impl Iterator<Item = &'static Binding> {
    TABLE.iter().filter(move |binding| binding.places.contains(&place))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_key_stands_twice_for_one_place() {
        for &place in EVERYWHERE {
            let mut met: Vec<Key> = Vec::new();
            for binding in rows(place) {
                assert!(!met.contains(&binding.key), "{place:?}: {} stands twice", binding.shown);
                met.push(binding.key);
            }
        }
    }

    #[test]
    fn every_place_has_a_way_back_and_help() {
        for &place in EVERYWHERE {
            for wanted in [Action::Back, Action::Help, Action::Quit] {
                assert!(rows(place).any(|binding| binding.action == wanted), "{place:?} lacks {wanted:?}");
            }
        }
    }

    /// Only a text of any letters can have a question mark in it; plan and sheet say why with it.
    #[test]
    fn a_question_mark_helps_wherever_it_cannot_be_typed() {
        let mark = KeyEvent::new(KeyCode::Char('?'), KeyModifiers::SHIFT);
        for &place in EVERYWHERE {
            let wanted = match place {
                Place::Form | Place::Search => Action::Type('?'),
                Place::Plan | Place::Record => Action::Why,
                _ => Action::Help,
            };
            assert_eq!(action(place, mark), Some(wanted), "{place:?}");
            // Where it does something else, the bar names the key that helps.
            let on_bar = rows(place).any(|row| row.action == Action::Help && row.shown == "F1" && row.on_bar);
            assert!(on_bar, "{place:?}");
        }
    }

    #[test]
    fn letters_are_typed_where_text_is_asked() {
        let q = KeyEvent::new(KeyCode::Char('q'), KeyModifiers::NONE);
        assert_eq!(action(Place::Form, q), Some(Action::Type('q')));
        assert_eq!(action(Place::Readings, q), Some(Action::Type('q')));
        assert_eq!(action(Place::Shop, q), Some(Action::Quit));
        let ctrl_c = KeyEvent::new(KeyCode::Char('c'), KeyModifiers::CONTROL);
        assert_eq!(action(Place::Form, ctrl_c), Some(Action::Quit));
        assert_eq!(action(Place::Search, q), Some(Action::Type('q')));
    }
}
