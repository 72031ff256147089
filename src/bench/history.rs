//! The log of an opening, event by event.

use super::message::{Action, Effect, Said};
use super::rounds_words;
use super::seen::OpeningSeen;
use super::session::{Step, World};
use super::shop_list::moved;
use super::undo;
use super::words;

/// Which event the keys act on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LogScreen {
    /// Its place among the records.
    pub at: usize,
    /// The rounds with all their cuts, on a page of their own: the line that the cursor is on.
    pub rounds: Option<usize>,
}

impl LogScreen {
    /// At the newest event.
    pub fn new(opened: &OpeningSeen) -> Self {
        Self { at: opened.records.len().saturating_sub(1), rounds: None }
    }

    pub(super) fn act(&mut self, action: Action, world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened else { return vec![Step::Leave] };
        if let Some(at) = self.rounds {
            let lines = world.advised.answer(opened).map_or(0, |answer| {
                rounds_words::history_lines(&answer.history, &opened.state, world.shop.show()).len()
            });
            match action {
                Action::Cut | Action::Back | Action::Left => self.rounds = None,
                _ => self.rounds = Some(moved(at, lines, action).unwrap_or(at)),
            }
            return Vec::new();
        }
        if let Some(at) = moved(self.at, opened.records.len(), action) {
            self.at = at;
            return Vec::new();
        }
        match action {
            Action::Cut => {
                self.rounds = Some(0);
                Vec::new()
            }
            Action::Strike => {
                let Some(record) = opened.records.get(self.at) else { return Vec::new() };
                let what = words::event(&record.event, world.shop.show());
                // Striking what is struck puts it back: the strike itself is struck.
                let (n, said) = match opened.state.struck.get(&record.n) {
                    Some(by) => (*by, words::put_back(record.n, &what)),
                    None => (record.n, words::taken_back(record.n, &what)),
                };
                vec![
                    Step::Run(Effect::Keep { opening: opened.name.clone(), events: vec![undo::strike(n)] }),
                    Step::Say(Said::done(said)),
                ]
            }
            Action::Back | Action::Left | Action::Enter => vec![Step::Leave],
            _ => Vec::new(),
        }
    }

    pub(super) fn kept(&mut self, world: World<'_>) -> Vec<Step> {
        let count = world.opened.map_or(0, |opened| opened.records.len());
        self.at = self.at.min(count.saturating_sub(1));
        Vec::new()
    }
}
