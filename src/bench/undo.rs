//! What one key takes back, and what another puts back. Nothing is ever deleted: a strike is an event.

use super::message::{Effect, Said};
use super::seen::OpeningSeen;
use super::session::{Screen, Step};
use super::words;
use crate::fit::length::Show;
use crate::shop::event::{Event, Record, Strike};

/// The event that undo takes back: the last one that counts and is work, not the description that all rests on.
pub fn next_to_take_back(opening: &OpeningSeen) -> Option<&Record> {
    let last = opening
        .records
        .iter()
        .rev()
        .find(|record| opening.state.counts(record.n) && !matches!(record.event, Event::Strike(_)))?;
    (!matches!(last.event, Event::Opening(_) | Event::Leaf(_))).then_some(last)
}

/// The strike that redo takes back, and what comes back with it. Work done since a strike ends its redo.
pub fn next_to_put_back(opening: &OpeningSeen) -> Option<(u64, &Record)> {
    let find = |n: u64| opening.records.iter().find(|record| record.n == n);
    let since_work = opening.records.iter().rev().take_while(|record| matches!(record.event, Event::Strike(_)));
    for record in since_work.filter(|record| opening.state.counts(record.n)) {
        if let Event::Strike(strike) = &record.event
            && let Some(back) = find(strike.strikes)
            && !matches!(back.event, Event::Strike(_))
        {
            return Some((record.n, back));
        }
    }
    None
}

/// The event that strikes event `n`.
pub fn strike(n: u64) -> Event {
    Event::Strike(Strike { strikes: n, why: String::new() })
}

/// Is a form being filled in? What is taken back meanwhile would not be seen, and could be what the form is about.
pub(super) fn waits_for_a_form(screen: Option<&Screen>) -> bool {
    match screen {
        Some(
            Screen::FirstStart(_)
            | Screen::NewOpening(_)
            | Screen::Note(_)
            | Screen::Altering(_)
            | Screen::Print(_)
            | Screen::Survey(_)
            | Screen::Flush(_),
        ) => true,
        Some(Screen::Record(record)) => record.typing.is_some(),
        Some(Screen::Blank(blank)) => blank.typing.is_some(),
        Some(Screen::Swing(swing)) => swing.typing.is_some(),
        Some(Screen::Shop(list)) => list.typing,
        _ => false,
    }
}

/// The steps that take back (`undo`) or put back the last event of the opening that is open, or say why not.
pub(super) fn steps(undo: bool, opened: Option<&OpeningSeen>, show: Show) -> Vec<Step> {
    let say = |text: &str| vec![Step::Say(Said::hint(text))];
    let Some(opened) = opened else { return say(words::OPEN_FIRST) };
    let found =
        if undo { next_to_take_back(opened).map(|record| (record.n, record)) } else { next_to_put_back(opened) };
    let Some((n, record)) = found else {
        return say(if undo { words::NOTHING_TO_TAKE_BACK } else { words::NOTHING_TO_PUT_BACK });
    };
    let what = words::event(&record.event, show);
    let told = if undo { words::taken_back(record.n, &what) } else { words::put_back(record.n, &what) };
    vec![Step::Run(Effect::Keep { opening: opened.name.clone(), events: vec![strike(n)] }), Step::Say(Said::done(told))]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::OpeningState;
    use crate::shop::event::Note;

    fn opening(events: Vec<Event>) -> OpeningSeen {
        let records: Vec<_> =
            (1..).zip(events).map(|(n, event)| Record { n, at: "2026-01-01T00:00:00Z".to_owned(), event }).collect();
        OpeningSeen { state: OpeningState::replay(&records), records, ..OpeningSeen::default() }
    }

    fn note(text: &str) -> Event {
        Event::Note(Note { text: text.to_owned(), photo: String::new() })
    }

    #[test]
    fn undo_twice_then_redo_twice_gives_everything_back() {
        let mut events = vec![note("a"), note("b")];
        for expected in [2, 1] {
            let now = opening(events.clone());
            let n = next_to_take_back(&now).unwrap().n;
            assert_eq!(n, expected);
            events.push(strike(n));
        }
        assert!(next_to_take_back(&opening(events.clone())).is_none());
        for expected in [1, 2] {
            let now = opening(events.clone());
            let (n, back) = next_to_put_back(&now).unwrap();
            assert_eq!(back.n, expected);
            events.push(strike(n));
        }
        let whole = opening(events);
        assert!(next_to_put_back(&whole).is_none());
        assert_eq!(whole.state.notes.len(), 2);
    }

    #[test]
    fn work_done_since_ends_the_redo() {
        let now = opening(vec![note("a"), strike(1), note("b")]);
        assert!(next_to_put_back(&now).is_none());
        assert_eq!(next_to_take_back(&now).unwrap().n, 3);
    }
}
