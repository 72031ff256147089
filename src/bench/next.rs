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
    match look.unbound() {
        Next::Read(asks) if super::readings::round_to_read(&opened.state) == look.round => asks,
        _ => &[],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::rounds::LookError;
    use crate::shop::OpeningState;
    use crate::shop::event::Record;

    fn opened(events: &[&str]) -> OpeningSeen {
        let record = |(place, event): (usize, &&str)| Record {
            n: place as u64 + 1,
            at: "2026-03-02T14:05:11Z".to_owned(),
            event: serde_json::from_str(event).unwrap(),
        };
        let records: Vec<Record> = events.iter().enumerate().map(record).collect();
        let state = OpeningState::replay(&records);
        OpeningSeen { name: "door".to_owned(), records, state, ..OpeningSeen::default() }
    }

    const DESCRIBED: [&str; 2] = [
        r#"{"event":"opening","gaps":[{"between":["frame","A.left"],"target":"3/32"}]}"#,
        r#"{"event":"leaf","leaf":"A","width":"11","height":"26","hinge":"left"}"#,
    ];
    const READ: &str = r#"{"event":"readings","round":1,"gaps":[{"between":["frame","A.left"],"readings":[{"at":"1","gap":"1/16"}]}]}"#;

    fn answer(opened: &OpeningSeen, choice: Choice) -> LookAnswer {
        LookAnswer {
            opening: opened.name.clone(),
            last: opened.state.last,
            settings: Settings::default(),
            choice,
            answer: Err(LookError::NothingRead),
            setups: Vec::new(),
            change: None,
            history: Vec::new(),
        }
    }

    #[test]
    fn nothing_is_asked_before_something_is_read_and_then_once() {
        let settings = Settings::default();
        let mut advised = Advised::default();
        assert_eq!(advised.question(&opened(&DESCRIBED), &settings), None);
        let read = opened(&[DESCRIBED[0], DESCRIBED[1], READ]);
        let Some(Effect::Look(asked)) = advised.question(&read, &settings) else { panic!("not asked") };
        assert_eq!((asked.opening.as_str(), asked.state.last, asked.choice), ("door", 3, Choice::default()));
        assert_eq!(advised.question(&read, &settings), None, "once");
        let more = opened(&[DESCRIBED[0], DESCRIBED[1], READ, READ]);
        assert!(advised.question(&more, &settings).is_some(), "the log has grown");
        advised.forget();
        assert!(advised.question(&more, &settings).is_some(), "forgotten");
    }

    #[test]
    fn only_an_answer_to_its_own_question_on_this_state_holds() {
        let read = opened(&[DESCRIBED[0], DESCRIBED[1], READ]);
        let mut advised = Advised::default();
        let settings = Settings::default();
        advised.take(&answer(&read, Choice::default()), &settings);
        assert_eq!(advised.answer(&read), None, "it was not asked");
        assert!(advised.question(&read, &settings).is_some());
        advised.take(&answer(&read, Choice { every_edge: true, ..Choice::default() }), &settings);
        assert_eq!(advised.answer(&read), None, "another choice");
        let other = Settings { risk_k: 3.0, ..settings.clone() };
        advised.take(&answer(&read, Choice::default()), &other);
        assert_eq!(advised.answer(&read), None, "other settings");
        advised.take(&answer(&read, Choice::default()), &settings);
        assert!(advised.answer(&read).is_some());
        assert_eq!(advised.look(&read), None, "why there is none is no advice");
        assert_eq!(advised.brief(&read), None);
        let more = opened(&[DESCRIBED[0], DESCRIBED[1], READ, READ]);
        assert_eq!(advised.answer(&more), None, "the log has grown since");
        let other = OpeningSeen { name: "other door".to_owned(), ..read.clone() };
        assert_eq!(advised.answer(&other), None, "another opening");
        advised.forget();
        assert_eq!(advised.answer(&read), None);
    }
}
