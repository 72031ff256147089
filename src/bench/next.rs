//! What to do next in the open opening, asked for once whenever its log grows while its own screen or its log is
//! shown.

use super::brief::Brief;
use super::knowing::{LookAnswer, LookAsked};
use super::message::Effect;
use super::rounds::{self, Choice, Look};
use super::seen::OpeningSeen;
use crate::fit::estimate::Spreads;
use crate::fit::policy::{Ask, Next};
use crate::shop::settings::Settings;

/// The advice on the open opening.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Advised {
    /// Opening and last event that the advice was asked for.
    asked: Option<(String, u64)>,
    answer: Option<LookAnswer>,
}

impl Advised {
    /// The effect that brings the advice, if it was not asked for yet.
    pub(super) fn question(&mut self, opened: &OpeningSeen, settings: &Settings) -> Option<Effect> {
        let now = (opened.name.clone(), opened.state.last);
        if opened.last_read_round().is_none() || self.asked.as_ref() == Some(&now) {
            return None;
        }
        self.asked = Some(now);
        Some(Effect::Look(Box::new(LookAsked {
            opening: opened.name.clone(),
            state: opened.state.clone(),
            settings: settings.clone(),
            choice: Choice::default(),
        })))
    }

    /// Takes an answer, unless it is to another question.
    pub(super) fn take(&mut self, answer: &LookAnswer, settings: &Settings) {
        let asked = self.asked.as_ref().is_some_and(|(opening, _)| *opening == answer.opening);
        if asked && answer.choice == Choice::default() && answer.settings == *settings {
            self.answer = Some(answer.clone());
        }
    }

    /// Another opening, or other settings: nothing is known.
    pub(super) fn forget(&mut self) {
        *self = Self::default();
    }

    /// What was answered on `opened` as it is now: the advice or why there is none, why the passes changed, the
    /// history.
    pub fn answer(&self, opened: &OpeningSeen) -> Option<&LookAnswer> {
        let fresh = |answer: &&LookAnswer| answer.opening == opened.name && answer.last == opened.state.last;
        self.answer.as_ref().filter(fresh)
    }

    /// The advice on `opened` as it is now.
    pub fn look(&self, opened: &OpeningSeen) -> Option<&Look> {
        self.answer(opened)?.answer.as_ref().ok()
    }

    /// The advice on `opened` as it is now, in brief.
    pub fn brief(&self, opened: &OpeningSeen) -> Option<Brief> {
        self.look(opened).map(|look| Brief::of(look, &opened.state))
    }

    /// What is assumed of reading and cutting, with what this shop learned where that is known.
    pub fn spreads(&self) -> Spreads {
        let look = self.answer.as_ref().and_then(|answer| answer.answer.as_ref().ok());
        look.map_or_else(|| rounds::spreads(None), |look| *look.estimate.spreads())
    }
}

/// The readings that the advice asks for, where the round it speaks of is still open to them.
pub fn asks<'a>(look: &'a Look, opened: &OpeningSeen) -> &'a [Ask] {
    match &look.advice.next {
        Next::Read(asks) if super::readings::round_to_read(&opened.state) == look.round => asks,
        _ => &[],
    }
}
