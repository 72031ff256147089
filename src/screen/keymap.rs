//! One table of keys: it says what a key does and it is what the help shows.

use crate::bench::practice::page::Part;
use crate::bench::surprise::Asked;
use crate::bench::{Action, Screen, Session};
use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyEventKind, KeyModifiers};

/// Where a key is pressed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// The openings of the shop.
    Shop,
    /// Fields to fill in.
    Form,
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

pub(super) const EVERYWHERE: &[Place] = &[
    Place::Shop,
    Place::Form,
    Place::Home,
    Place::Readings,
    Place::Asked,
    Place::Doubted,
    Place::Plan,
    Place::Record,
    Place::Log,
    Place::Tools,
    Place::Learned,
    Place::Blank,
    Place::Year,
    Place::CutList,
    Place::Batch,
    Place::Practice,
    Place::Practised,
    Place::Swing,
    Place::Look,
];
const NO_TYPING: &[Place] = &[
    Place::Shop,
    Place::Home,
    Place::Plan,
    Place::Record,
    Place::Log,
    Place::Blank,
    Place::Year,
    Place::Swing,
    Place::Practice,
];
const LARGE: &[Place] = &[
    Place::Shop,
    Place::Home,
    Place::Asked,
    Place::Plan,
    Place::Record,
    Place::Log,
    Place::Tools,
    Place::Blank,
    Place::Year,
    Place::CutList,
    Place::Batch,
    Place::Practice,
    Place::Swing,
    Place::Look,
];
const LISTS: &[Place] = &[Place::Shop, Place::Log, Place::Tools, Place::Blank, Place::CutList, Place::Batch];
const WALKS: &[Place] = &[
    Place::Shop,
    Place::Log,
    Place::Readings,
    Place::Form,
    Place::Record,
    Place::Tools,
    Place::Blank,
    Place::CutList,
    Place::Swing,
    Place::Batch,
];

const fn row(
    places: &'static [Place],
    key: Key,
    action: Action,
    shown: &'static str,
    words: &'static str,
    on_bar: bool,
) -> Binding {
    Binding { places, key, action, shown, words, on_bar }
}

/// The table. The first row that fits holds.
pub const TABLE: &[Binding] = &[
    row(&[Place::Shop], Key::Code(KeyCode::Enter), Action::Enter, "Enter", "go in", true),
    row(&[Place::Shop], Key::Char('n'), Action::NewOpening, "n", "new opening", true),
    row(&[Place::Shop], Key::Char('t'), Action::Tools, "t", "tools, stock, settings", true),
    row(&[Place::Shop], Key::Char('i'), Action::Learned, "i", "what was learned", true),
    row(&[Place::Learned], Key::Char('r'), Action::Reset, "r", "set it back", true),
    row(&[Place::Learned], Key::Char('q'), Action::Quit, "q", "leave", false),
    row(&[Place::Home], Key::Code(KeyCode::Enter), Action::Enter, "Enter", "do the next thing", true),
    row(&[Place::Home], Key::Char('r'), Action::Readings, "r", "readings", true),
    row(&[Place::Home], Key::Char('R'), Action::AllReadings, "R", "readings at every station", false),
    row(&[Place::Home], Key::Char('p'), Action::Plan, "p", "plan", true),
    row(&[Place::Home], Key::Char('c'), Action::Cut, "c", "cuts", true),
    row(&[Place::Home], Key::Char('l'), Action::Log, "l", "log", true),
    row(&[Place::Home], Key::Char('n'), Action::Note, "n", "note", true),
    row(&[Place::Home], Key::Char('k'), Action::Print, "k", "card to print", false),
    row(&[Place::Shop], Key::Char('/'), Action::Search, "/", "search the names", false),
    row(&[Place::Shop], Key::Char('f'), Action::Filter, "f", "all, unfinished, saw, plane", false),
    row(&[Place::Shop], Key::Char('o'), Action::Print, "o", "shop sheet to print", false),
    row(&[Place::Home], Key::Char('s'), Action::Survey, "s", "survey", false),
    row(&[Place::Home], Key::Char('b'), Action::Blank, "b", "blank", false),
    row(&[Place::Home], Key::Char('g'), Action::Year, "g", "gap through the year", false),
    row(&[Place::Home], Key::Char('w'), Action::Swing, "w", "swing and back-bevel", false),
    row(&[Place::Home], Key::Char('f'), Action::Flush, "f", "flush and wind", false),
    row(&[Place::Home], Key::Char('h'), Action::Hinges, "h", "hang it: hinges, packs, screws", false),
    row(&[Place::Shop], Key::Char('x'), Action::Practice, "x", "practise on a made-up door", false),
    row(&[Place::Practice], Key::Code(KeyCode::Enter), Action::Enter, "Enter", "do the next thing", true),
    row(&[Place::Practice], Key::Char('a'), Action::AllReadings, "a", "let all be read", true),
    row(&[Place::Practice], Key::Char('r'), Action::Readings, "r", "read", true),
    row(&[Place::Practice], Key::Char('p'), Action::Plan, "p", "plan", true),
    row(&[Place::Practice], Key::Char('c'), Action::Cut, "c", "cut", true),
    row(&[Place::Practice], Key::Char('o'), Action::Otherwise, "o", "own cut", true),
    row(&[Place::Practice], Key::Char('e'), Action::HowItEnded, "e", "how it ended", true),
    row(&[Place::Practised], Key::Char('n'), Action::NewOpening, "n", "another door", true),
    row(&[Place::Practised], Key::Char('r'), Action::Retake, "r", "the same door again", true),
    row(&[Place::Shop], Key::Char('b'), Action::Batch, "b", "all for the saw in one trip", false),
    row(&[Place::Batch], Key::Code(KeyCode::Enter), Action::Enter, "Enter", "its set-up sheet, cautions in full", true),
    row(&[Place::Batch], Key::Code(KeyCode::Tab), Action::Skip, "Tab", "for the saw / for the plane", true),
    row(&[Place::Shop], Key::Char('v'), Action::CutList, "v", "cut list of the whole shop", false),
    row(&[Place::Shop], Key::Char('a'), Action::Assign, "a", "which leaf goes where", false),
    row(&[Place::Blank], Key::Char('m'), Action::Build, "m", "how it is made", true),
    row(&[Place::Blank, Place::CutList], Key::Char(' '), Action::Tick, "Space", "sawn, or not after all", true),
    row(&[Place::Blank, Place::CutList], Key::Code(KeyCode::Enter), Action::Tick, "Enter", "the same", false),
    row(&[Place::Blank], Key::Char('a'), Action::Accept, "a", "glued up: take it as the leaf", true),
    row(&[Place::Blank], Key::Code(KeyCode::Left), Action::Left, "Left", "leaf before", false),
    row(&[Place::Blank], Key::Code(KeyCode::Right), Action::Right, "Right", "next leaf", true),
    row(&[Place::Year], Key::Char('a'), Action::Accept, "a", "fit to the raw reveals", true),
    row(&[Place::Year], Key::Char('f'), Action::Finish, "f", "the finish is on", true),
    row(&[Place::Swing], Key::Char('m'), Action::Build, "m", "type where the pin stands", true),
    row(&[Place::Swing], Key::Code(KeyCode::Left), Action::Left, "Left", "leaf before", false),
    row(&[Place::Swing], Key::Code(KeyCode::Right), Action::Right, "Right", "next leaf", false),
    row(&[Place::Readings], Key::Code(KeyCode::Enter), Action::Enter, "Enter", "keep, move on", true),
    row(&[Place::Readings], Key::Code(KeyCode::Backspace), Action::Erase, "Backspace", "mend; or a station back", true),
    row(&[Place::Readings], Key::Code(KeyCode::Tab), Action::Skip, "Tab", "leave out", true),
    row(&[Place::Readings], Key::Char(' '), Action::NothingGoes, "Space", "not even the thinnest goes", true),
    row(&[Place::Readings], Key::Code(KeyCode::BackTab), Action::Up, "Shift-Tab", "a station back", false),
    row(&[Place::Readings], Key::Code(KeyCode::Left), Action::Up, "Left", "a station back", false),
    row(&[Place::Readings], Key::Code(KeyCode::Right), Action::Down, "Right", "a station on", false),
    row(&[Place::Asked], Key::Char('r'), Action::Retake, "r", "read it again", true),
    row(&[Place::Asked, Place::Doubted], Key::Char('k'), Action::KeepAnyway, "k", "keep it", true),
    row(&[Place::Asked, Place::Doubted], Key::Char('x'), Action::StrikeReading, "x", "strike it", true),
    row(&[Place::Asked, Place::Doubted], Key::Code(KeyCode::Backspace), Action::Erase, "Backspace", "mend", false),
    row(&[Place::Plan], Key::Char('a'), Action::Accept, "a", "accept", true),
    row(&[Place::Plan], Key::Code(KeyCode::Enter), Action::Accept, "Enter", "accept", false),
    row(&[Place::Plan], Key::Char('w'), Action::Prefer, "w", "least wood / even stiles", true),
    row(&[Place::Plan], Key::Char('e'), Action::EveryEdge, "e", "every edge", true),
    row(&[Place::Plan], Key::Char('r'), Action::Readings, "r", "read again what is asked for", false),
    row(&[Place::Plan], Key::Char('?'), Action::Why, "?", "why", true),
    row(&[Place::Record], Key::Char('d'), Action::AsShown, "d", "done as shown", true),
    row(&[Place::Record], Key::Code(KeyCode::Enter), Action::Enter, "Enter", "records nothing: d does", false),
    row(&[Place::Record], Key::Char('o'), Action::Otherwise, "o", "done otherwise", true),
    row(&[Place::Record], Key::Char('m'), Action::Method, "m", "another method", true),
    row(&[Place::Record], Key::Char('w'), Action::Widths, "w", "type the widths", true),
    row(&[Place::Record], Key::Char('s'), Action::Square, "s", "a corner against a square", false),
    row(&[Place::Record], Key::Char('t'), Action::Straightedge, "t", "an edge against a straightedge", false),
    row(&[Place::Record], Key::Char('b'), Action::BareEdge, "b", "where an edge has no wood to bear on", false),
    row(&[Place::Record], Key::Char('f'), Action::OtherEndFirst, "f", "the other end first", false),
    row(&[Place::Record], Key::Char('g'), Action::GuideMarks, "g", "more marks along a guide line", false),
    row(&[Place::Record], Key::Char('?'), Action::Why, "?", "all cautions, why", true),
    row(&[Place::Tools], Key::Code(KeyCode::Enter), Action::Enter, "Enter", "change it", true),
    row(&[Place::Tools], Key::Code(KeyCode::Left), Action::Left, "Left", "choose, or move up its list", true),
    row(&[Place::Tools], Key::Code(KeyCode::Right), Action::Right, "Right", "choose, or move down its list", false),
    row(&[Place::Tools], Key::Code(KeyCode::Tab), Action::Skip, "Tab", "next section", true),
    row(&[Place::Tools], Key::Char('x'), Action::Remove, "x", "take it out", true),
    row(&[Place::Tools], Key::Char('u'), Action::Undo, "u", "take back the last change", true),
    row(&[Place::Log], Key::Char('s'), Action::Strike, "s", "strike this event, or put it back", true),
    row(&[Place::Form], Key::Code(KeyCode::Enter), Action::Enter, "Enter", "next; at the last: done", true),
    row(&[Place::Form], Key::Code(KeyCode::Tab), Action::Down, "Tab", "next field", false),
    row(&[Place::Form], Key::Code(KeyCode::BackTab), Action::Up, "Shift-Tab", "field before", false),
    row(&[Place::Form], Key::Code(KeyCode::Left), Action::Left, "Left", "choice before", false),
    row(&[Place::Form], Key::Code(KeyCode::Right), Action::Right, "Right", "next choice", false),
    row(&[Place::Form], Key::Code(KeyCode::Backspace), Action::Erase, "Backspace", "mend", true),
    row(NO_TYPING, Key::Char('u'), Action::Undo, "u", "take back the last event", true),
    row(LARGE, Key::Char('z'), Action::Large, "z", "the next thing in large letters", false),
    row(EVERYWHERE, Key::Ctrl('z'), Action::Undo, "Ctrl-Z", "take back the last event", false),
    row(EVERYWHERE, Key::Ctrl('y'), Action::Redo, "Ctrl-Y", "put it back", false),
    row(WALKS, Key::Code(KeyCode::Up), Action::Up, "Up", "one up", false),
    row(WALKS, Key::Code(KeyCode::Down), Action::Down, "Down", "one down", false),
    row(LISTS, Key::Char('k'), Action::Up, "k", "one up", false),
    row(LISTS, Key::Char('j'), Action::Down, "j", "one down", false),
    row(LISTS, Key::Code(KeyCode::PageUp), Action::PageUp, "PgUp", "a page up", false),
    row(LISTS, Key::Code(KeyCode::PageDown), Action::PageDown, "PgDn", "a page down", false),
    row(
        &[Place::Shop, Place::Log, Place::Readings, Place::Tools, Place::Batch],
        Key::Code(KeyCode::Home),
        Action::First,
        "Home",
        "to the first",
        false,
    ),
    row(
        &[Place::Shop, Place::Log, Place::Readings, Place::Tools, Place::Batch],
        Key::Code(KeyCode::End),
        Action::Last,
        "End",
        "to the last",
        false,
    ),
    row(EVERYWHERE, Key::Code(KeyCode::Esc), Action::Back, "Esc", "back", true),
    row(&[Place::Shop], Key::Char('q'), Action::Quit, "q", "leave", true),
    row(
        &[
            Place::Home,
            Place::Plan,
            Place::Record,
            Place::Log,
            Place::Tools,
            Place::Batch,
            Place::Practice,
            Place::Practised,
        ],
        Key::Char('q'),
        Action::Quit,
        "q",
        "leave",
        false,
    ),
    row(EVERYWHERE, Key::Ctrl('c'), Action::Quit, "Ctrl-C", "leave", false),
    row(EVERYWHERE, Key::Code(KeyCode::F(1)), Action::Help, "F1", "these keys", true),
    row(
        &[
            Place::Shop,
            Place::Home,
            Place::Log,
            Place::Tools,
            Place::Learned,
            Place::Batch,
            Place::Practice,
            Place::Practised,
        ],
        Key::Char('?'),
        Action::Help,
        "?",
        "all keys",
        true,
    ),
];

/// Where the keys of `session` go.
pub fn place(session: &Session) -> Place {
    match session.screen() {
        Some(Screen::Shop(list)) if list.typing => Place::Form,
        None | Some(Screen::Shop(_)) => Place::Shop,
        Some(
            Screen::FirstStart(_)
            | Screen::NewOpening(_)
            | Screen::Print(_)
            | Screen::Note(_)
            | Screen::Survey(_)
            | Screen::Flush(_)
            | Screen::Hinges(_),
        ) => Place::Form,
        Some(Screen::Home(_)) => Place::Home,
        Some(Screen::Readings(readings)) if readings.asked.is_some() => {
            let retaken = readings.asked.as_ref().is_some_and(Asked::can_be_retaken);
            if retaken { Place::Asked } else { Place::Doubted }
        }
        Some(Screen::Readings(_)) => Place::Readings,
        Some(Screen::Plan(_)) => Place::Plan,
        Some(Screen::Record(record)) if record.typing.is_some() => Place::Form,
        Some(Screen::Record(_)) => Place::Record,
        Some(Screen::Log(_)) => Place::Log,
        Some(Screen::Tools(page)) if page.typing.is_some() => Place::Form,
        Some(Screen::Tools(_)) => Place::Tools,
        Some(Screen::Learned(_)) => Place::Learned,
        Some(Screen::Batch(_)) => Place::Batch,
        Some(Screen::Practice(page)) => match page.part {
            Part::Bench => Place::Practice,
            Part::Own(_) => Place::Form,
            Part::End => Place::Practised,
        },
        Some(Screen::Blank(blank)) if blank.typing.is_some() => Place::Form,
        Some(Screen::Blank(_)) => Place::Blank,
        Some(Screen::Year(_)) => Place::Year,
        Some(Screen::Whole(page)) if page.what == crate::bench::before_pages::Whole::CutList => Place::CutList,
        Some(Screen::Swing(swing)) if swing.typing.is_some() => Place::Form,
        Some(Screen::Swing(_)) => Place::Swing,
        Some(Screen::Whole(_)) => Place::Look,
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
        (None, KeyCode::Char(letter)) if !ctrl && matches!(place, Place::Form | Place::Readings) => {
            Some(Action::Type(letter))
        }
        _ => None,
    }
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

    #[test]
    fn letters_are_typed_where_text_is_asked() {
        let q = KeyEvent::new(KeyCode::Char('q'), KeyModifiers::NONE);
        assert_eq!(action(Place::Form, q), Some(Action::Type('q')));
        assert_eq!(action(Place::Readings, q), Some(Action::Type('q')));
        assert_eq!(action(Place::Shop, q), Some(Action::Quit));
        let ctrl_c = KeyEvent::new(KeyCode::Char('c'), KeyModifiers::CONTROL);
        assert_eq!(action(Place::Form, ctrl_c), Some(Action::Quit));
    }
}
