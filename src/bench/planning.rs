//! The plan: asked for, looked at, accepted.

use super::accepted::{self, Accepted};
use super::allowing;
use super::altering;
use super::knowing::{LookAnswer, LookAsked};
use super::message::{Action, Effect, Said};
use super::readings::ReadingsEntry;
use super::recording::RecordCut;
use super::rounds::{self, Choice, Look, LookError};
use super::seen::OpeningSeen;
use super::session::{Overlay, Screen, Step, World};
use super::sheet_words;
use super::sheets::{self, Sheet};
use super::words;
use crate::cut::job::JobError;
use crate::fit::estimate::Method;
use crate::fit::opening::{FitProblem, Prefer};
use crate::fit::plan::{Options, Plan, Trim};
use crate::fit::policy::{self, CutAdvice, Next};
use crate::shop::event::{Event, HingePacked, PlanAccepted};

/// The plan of one round.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanScreen {
    /// Which round.
    pub round: u32,
    /// The problem that its readings pose.
    pub problem: FitProblem,
    /// How the planner was asked.
    pub options: Options,
    /// Was it asked anew, whatever plan was accepted?
    pub anew: bool,
    /// Its answer, once there is one.
    pub answer: Option<Result<Look, LookError>>,
    /// Set-ups for the cuts to make now, as their sheets will show them.
    pub setups: Vec<Result<Sheet, JobError>>,
}

/// By which of the two means the depth of a cut was reckoned.
pub fn reckoned_for(cut: &CutAdvice) -> &'static str {
    kind(cut.method)
}

fn kind(method: Method) -> &'static str {
    match method {
        Method::Saw => "saw",
        Method::Plane => "plane",
    }
}

/// Steps that open the plan of the latest round that was read, or say why there is none.
pub(super) fn open(world: World<'_>) -> Vec<Step> {
    let Some(opened) = world.opened else { return Vec::new() };
    let Some(round) = opened.last_read_round() else {
        return vec![Step::Say(Said::hint(words::READ_FIRST))];
    };
    match opened.state.problem(round, &world.shop.settings) {
        Ok(problem) => {
            let mut screen = PlanScreen {
                round,
                problem,
                options: Options::default(),
                anew: false,
                answer: None,
                setups: Vec::new(),
            };
            // The opening's own screen has asked the same already.
            if let Some(answer) = world.advised.answer(opened) {
                screen.looked(answer.clone());
                return vec![Step::Open(Screen::Plan(Box::new(screen)))];
            }
            let solve = screen.solve(world);
            vec![Step::Open(Screen::Plan(Box::new(screen))), solve]
        }
        Err(why) => vec![Step::Say(Said::trouble(why.to_string()))],
    }
}

impl PlanScreen {
    fn solve(&self, world: World<'_>) -> Step {
        let Some(opened) = world.opened else { return Step::Leave };
        Step::Run(Effect::Look(Box::new(LookAsked {
            opening: opened.name.clone(),
            state: opened.state.clone(),
            settings: world.shop.settings.clone(),
            choice: self.choice(),
        })))
    }

    fn choice(&self) -> Choice {
        Choice { prefer: self.options.prefer, every_edge: self.options.every_edge, anew: self.anew }
    }

    /// Takes the answer to its own question about the opening as it is now.
    pub(super) fn looked(&mut self, answer: LookAnswer) {
        if answer.choice != self.choice() {
            return;
        }
        if let Ok(look) = &answer.answer {
            self.problem = look.problem.clone();
        }
        self.answer = Some(answer.answer);
        self.setups = answer.setups;
    }

    /// What is believed and advised, if it could be worked out.
    pub fn look(&self) -> Option<&Look> {
        self.answer.as_ref().and_then(|answer| answer.as_ref().ok())
    }

    /// The cuts to make now.
    pub fn cuts(&self) -> &[CutAdvice] {
        self.look().map_or(&[], Look::cuts)
    }

    /// By what means the sheet of a cut will have it done, in a word or two; or that it is done.
    pub fn by(&self, cut: &CutAdvice) -> String {
        if self.accepted().is_some_and(|accepted| accepted.is_done(cut)) {
            return sheet_words::DONE.to_owned();
        }
        sheet_words::by(&self.setups, self.id(cut), cut.edge)
    }

    /// The log's word for it: `saw` or `plane`.
    fn means(&self, cut: &CutAdvice) -> &'static str {
        let method = sheets::method_for(&self.setups, self.id(cut), cut.edge);
        kind(method.map_or(cut.method, |method| rounds::method(method.word())))
    }

    fn id(&self, cut: &CutAdvice) -> &str {
        self.problem.leaves.get(cut.leaf).map_or("", |leaf| leaf.id.as_str())
    }

    /// The accepted plan that is shown, if it is one.
    pub fn accepted(&self) -> Option<&Accepted> {
        self.look().and_then(|look| look.accepted.as_ref())
    }

    /// Number of the event of an accepted plan that stands although another one is shown.
    pub fn stands_besides(&self, opened: &OpeningSeen) -> Option<u64> {
        accepted::standing(&opened.state, self.round).filter(|_| self.anew)
    }

    /// The preference in use.
    pub fn prefer(&self) -> Prefer {
        let accepted = self.accepted().and_then(|accepted| accepted.choice.prefer);
        self.options.prefer.or(accepted).unwrap_or(self.problem.prefer)
    }

    /// Is it the plan with every edge that may be cut?
    pub fn every_edge(&self) -> bool {
        self.accepted().map_or(self.options.every_edge, |accepted| accepted.choice.every_edge)
    }

    /// The plan, if there is one.
    pub fn plan(&self) -> Option<&Plan> {
        self.look().map(Look::plan)
    }

    pub(super) fn act(&mut self, action: Action, world: World<'_>) -> Vec<Step> {
        match action {
            Action::Accept | Action::Enter => self.accept(world),
            Action::Prefer => {
                let prefer = match self.prefer() {
                    Prefer::LeastWood => Prefer::EvenStiles,
                    Prefer::EvenStiles => Prefer::LeastWood,
                };
                self.options = Options { prefer: Some(prefer), every_edge: self.every_edge() };
                self.ask_anew(world)
            }
            Action::EveryEdge => {
                self.options = Options { prefer: Some(self.prefer()), every_edge: !self.every_edge() };
                self.ask_anew(world)
            }
            Action::Anew => self.anew_or_accepted(world),
            Action::Readings => self.read_again(world),
            Action::Cut => Self::cut(world),
            Action::Altered => altering::open(world, true),
            Action::Why => vec![Step::Overlay(Overlay::Why(0))],
            Action::Back | Action::Left => vec![Step::Leave],
            _ => Vec::new(),
        }
    }

    /// From the accepted plan to the advice as it is now, and back.
    fn anew_or_accepted(&mut self, world: World<'_>) -> Vec<Step> {
        let accepted = self.accepted().map(|accepted| accepted.choice);
        let stands = world.opened.and_then(|opened| self.stands_besides(opened));
        match (accepted, stands) {
            (Some(Choice { prefer, every_edge, .. }), _) => {
                self.options = Options { every_edge, prefer };
                self.ask_anew(world)
            }
            (None, Some(_)) => {
                (self.options, self.anew, self.answer) = (Options::default(), false, None);
                vec![self.solve(world)]
            }
            (None, None) => vec![Step::Say(Said::hint(words::NOTHING_STANDS))],
        }
    }

    /// What is shown answers another question: it must not be accepted as the answer to this one.
    fn ask_anew(&mut self, world: World<'_>) -> Vec<Step> {
        (self.answer, self.anew) = (None, true);
        vec![self.solve(world)]
    }

    /// On to recording what was cut of the accepted plan.
    fn cut(world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened else { return Vec::new() };
        let instead = |step| match step {
            Step::Open(screen) => Step::Replace(screen),
            other => other,
        };
        super::home::record(world, opened).into_iter().map(instead).collect()
    }

    fn read_again(&self, world: World<'_>) -> Vec<Step> {
        let entry = self.look().zip(world.opened).and_then(|(look, opened)| match &opened.read_only {
            None => ReadingsEntry::again(opened, look),
            Some(_) => None,
        });
        match entry {
            Some(entry) => vec![Step::Replace(Screen::Readings(Box::new(entry)))],
            None => vec![Step::Say(Said::hint(words::NOTHING_ASKED))],
        }
    }

    fn accept(&self, world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened else { return Vec::new() };
        let Some(plan) = self.plan() else {
            let wait = self.answer.is_none().then(|| Step::Say(Said::hint(words::PLAN_TO_COME)));
            return wait.into_iter().collect();
        };
        if let Some(why) = &opened.read_only {
            return vec![Step::Say(Said::trouble(words::read_only(why)))];
        }
        if self.accepted().is_some() {
            return vec![Step::Say(Said::hint(words::ACCEPTED_ALREADY))];
        }
        if self.round != opened.state.current_round()
            || opened.state.latest().is_some_and(|round| !round.cuts.is_empty())
        {
            return vec![Step::Say(Said::hint(words::ROUND_IS_CUT))];
        }
        let Some(look) = self.look() else { return Vec::new() };
        let cuts = self.cuts();
        let packs = policy::packs(plan);
        let verdict = match look.advice.next {
            Next::Fitted | Next::AsGoodAsItGets if packs => "pack",
            Next::Fitted => "fitted",
            Next::Short => "short",
            Next::AsGoodAsItGets => "as-good",
            _ if !cuts.is_empty() => "cut",
            Next::Read(_) => return vec![Step::Say(Said::hint(words::READ_AGAIN_FIRST))],
            _ if packs => "pack",
            _ => "move",
        };
        let line = |cut: &CutAdvice| Trim { edge: cut.edge, start: cut.line[0], end: cut.line[1] };
        let event = Event::Plan(PlanAccepted {
            round: self.round,
            verdict: verdict.to_owned(),
            prefer: self.prefer(),
            every_edge: self.every_edge(),
            trims: cuts.iter().filter_map(|cut| allowing::trim(&self.problem, cut)).collect(),
            lines: cuts.iter().filter_map(|cut| sheets::trim_meant(&self.problem, cut.leaf, &line(cut))).collect(),
            means: cuts.iter().map(|cut| self.means(cut).to_owned()).collect(),
            packs: self.packs(),
        });
        vec![Step::Run(Effect::Keep { opening: opened.name.clone(), events: vec![event] })]
    }

    pub(super) fn kept(numbers: &[u64], world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened else { return vec![Step::Leave] };
        if !matches!(opened.records.last().map(|record| &record.event), Some(Event::Plan(_))) {
            // Something was taken back: this plan may rest on it.
            return vec![Step::Leave];
        }
        let record = RecordCut::new(opened, world);
        let next = if record.jobs.is_empty() { Step::Leave } else { Step::Replace(Screen::Record(record)) };
        vec![next, Step::Say(Said::done(words::plan_kept(numbers)))]
    }

    fn packs(&self) -> Vec<HingePacked> {
        let Some(plan) = self.plan() else { return Vec::new() };
        let leaves = self.problem.leaves.iter().zip(&plan.leaves);
        let all = leaves.flat_map(|(leaf, part)| super::hinging::meant(leaf, part));
        all.collect()
    }
}
