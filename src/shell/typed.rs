//! What is typed and not kept yet, on the disk: written once no key came for a moment, and when the screen is left.

use super::runner::Runner;
use crate::bench::drafts::Drafts;
use crate::bench::message::Said;
use crate::bench::{Session, left_words};
use std::time::{Duration, Instant};

/// How long no key has to come before it is written: a sync may take longer than the next key.
const STILL: Duration = Duration::from_millis(250);

/// What stands on the disk.
#[derive(Debug)]
pub struct Typed {
    /// As it was written last.
    written: String,
    /// As it could not be written.
    refused: Option<String>,
    last_key: Instant,
}

impl Typed {
    /// Takes up what was left in the shop.
    pub fn resume(session: &mut Session, runner: &Runner) -> Self {
        let found = runner.unfinished().unwrap_or_default();
        match Drafts::from_json(&found) {
            Some(drafts) => session.resume(drafts),
            None => {
                if let Ok(aside) = runner.set_unfinished_aside(&found) {
                    session.said = Some(Said::trouble(left_words::damaged(&aside.display().to_string())));
                }
            }
        }
        Self { written: found, refused: None, last_key: Instant::now() }
    }

    /// Something came in.
    pub fn touched(&mut self) {
        self.last_key = Instant::now();
    }

    /// Writes it if no key came for a moment; answers whether something is to be shown.
    pub fn rest(&mut self, session: &mut Session, runner: &Runner) -> bool {
        self.last_key.elapsed() >= STILL && self.save(session, runner)
    }

    /// Writes it, if it changed; answers whether the session says something new.
    pub fn save(&mut self, session: &mut Session, runner: &Runner) -> bool {
        if session.shop.read_only.is_some() {
            return false;
        }
        let now = session.unfinished().to_json();
        if now == self.written || self.refused.as_ref() == Some(&now) {
            return false;
        }
        match runner.keep_unfinished(&now) {
            Ok(()) => {
                (self.written, self.refused) = (now, None);
                false
            }
            Err(error) => {
                // Said once, and again only after it could be written in between.
                let first = self.refused.replace(now).is_none();
                if first {
                    session.said = Some(Said::trouble(left_words::not_on_disk(&error.to_string())));
                }
                first
            }
        }
    }
}
