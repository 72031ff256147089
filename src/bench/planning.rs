//! The plan: asked for, looked at, accepted.

use super::message::{Action, Effect, Said};
use super::recording::{Job, RecordCut};
use super::session::{Overlay, Screen, Step, World};
use super::sheets;
use super::words;
use crate::fit::opening::{FitProblem, Prefer};
use crate::fit::plan::{Options, Plan, PlanError};
use crate::shop::event::{Event, PlanAccepted};

/// The plan of one round.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanScreen {
    /// Which round.
    pub round: u32,
    /// The problem that its readings pose.
    pub problem: FitProblem,
    /// How the planner was asked.
    pub options: Options,
    /// Its answer, once there is one.
    pub answer: Option<Result<Plan, PlanError>>,
}

/// Steps that open the plan of the latest round that was read, or say why there is none.
pub(super) fn open(world: World<'_>) -> Vec<Step> {
    let Some(opened) = world.opened else { return Vec::new() };
    let Some(round) = opened.last_read_round() else {
        return vec![Step::Say(Said::hint(words::READ_FIRST))];
    };
    match opened.state.problem(round, &world.shop.settings) {
        Ok(problem) => {
            let screen = PlanScreen { round, problem, options: Options::default(), answer: None };
            let solve = screen.solve();
            vec![Step::Open(Screen::Plan(Box::new(screen))), solve]
        }
        Err(why) => vec![Step::Say(Said::trouble(why.to_string()))],
    }
}

impl PlanScreen {
    fn solve(&self) -> Step {
        Step::Run(Effect::Solve(Box::new(self.problem.clone()), self.options))
    }

    /// The preference in use.
    pub fn prefer(&self) -> Prefer {
        self.options.prefer.unwrap_or(self.problem.prefer)
    }

    /// The plan, if there is one.
    pub fn plan(&self) -> Option<&Plan> {
        self.answer.as_ref().and_then(|answer| answer.as_ref().ok())
    }

    pub(super) fn act(&mut self, action: Action, world: World<'_>) -> Vec<Step> {
        match action {
            Action::Accept | Action::Enter => self.accept(world),
            Action::Prefer => {
                self.options.prefer = Some(match self.prefer() {
                    Prefer::LeastWood => Prefer::EvenStiles,
                    Prefer::EvenStiles => Prefer::LeastWood,
                });
                vec![self.solve()]
            }
            Action::EveryEdge => {
                self.options.every_edge = !self.options.every_edge;
                vec![self.solve()]
            }
            Action::Why => vec![Step::Overlay(Overlay::Why)],
            Action::Back | Action::Left => vec![Step::Leave],
            _ => Vec::new(),
        }
    }

    fn accept(&self, world: World<'_>) -> Vec<Step> {
        let (Some(opened), Some(plan)) = (world.opened, self.plan()) else { return Vec::new() };
        if let Some(why) = &opened.read_only {
            return vec![Step::Say(Said::trouble(words::read_only(why)))];
        }
        if self.round != opened.state.current_round()
            || opened.state.latest().is_some_and(|round| !round.cuts.is_empty())
        {
            return vec![Step::Say(Said::hint(words::ROUND_IS_CUT))];
        }
        let event = Event::Plan(PlanAccepted {
            round: self.round,
            verdict: plan.verdict.word().to_owned(),
            prefer: self.prefer(),
            trims: sheets::trims_meant(&self.problem, plan),
        });
        vec![Step::Run(Effect::Keep { opening: opened.name.clone(), events: vec![event] })]
    }

    pub(super) fn kept(&self, numbers: &[u64], world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened else { return vec![Step::Leave] };
        if !matches!(opened.records.last().map(|record| &record.event), Some(Event::Plan(_))) {
            // Something was taken back: this plan may rest on it.
            return vec![Step::Leave];
        }
        let record = RecordCut::new(opened, &world.shop.settings, self.packs());
        let next = if record.jobs.is_empty() { Step::Leave } else { Step::Replace(Screen::Record(record)) };
        vec![next, Step::Say(Said::done(words::plan_kept(numbers)))]
    }

    fn packs(&self) -> Vec<Job> {
        let Some(plan) = self.plan() else { return Vec::new() };
        let leaves = self.problem.leaves.iter().zip(&plan.leaves);
        leaves
            .flat_map(|(leaf, part)| part.packs.iter().map(|pack| Job::pack(&leaf.id, *pack)))
            .filter(|job| !job.is_nothing())
            .collect()
    }
}
