//! An opening with the plan and the set-ups that the screen would show for it.

use crate::bench::OpeningSeen;
use crate::bench::brief::{self, Brief};
use crate::bench::planning::PlanScreen;
use crate::bench::rounds::{self, Choice, Look};
use crate::bench::sheets::{self, Sheet};
use crate::cut::job::JobError;
use crate::fit::estimate::Spreads;
use crate::fit::plan::{Options, Plan};
use crate::shop::event::TrimMeant;
use crate::shop::replay::Stage;
use crate::shop::settings::Settings;

/// What is to be printed of one opening.
#[derive(Debug)]
pub struct Matter<'a> {
    /// The opening.
    pub seen: &'a OpeningSeen,
    /// The shop's settings.
    pub settings: &'a Settings,
    /// The round that was read last; none before the first.
    pub round: Option<u32>,
    /// What the screen of the plan would show of it.
    pub plan: Option<PlanScreen>,
    /// Why there is no plan.
    pub no_plan: Option<String>,
    /// Set-ups for the trims that are still to be done, in the order they are done.
    pub setups: Vec<Result<Sheet, JobError>>,
    /// Was wood taken off or added, or a hinge moved, since the gaps were read?
    pub changed: bool,
}

impl<'a> Matter<'a> {
    /// Works out what the screen would show, with these `spreads` of reading and cutting.
    pub fn of(seen: &'a OpeningSeen, settings: &'a Settings, spreads: Spreads) -> Self {
        let state = &seen.state;
        let round = seen.last_read_round();
        let latest = state.latest();
        let mut matter = Self { seen, settings, round, plan: None, no_plan: None, setups: Vec::new(), changed: false };
        matter.changed =
            latest.is_some_and(|round| !round.cuts.is_empty() || !round.packs.is_empty() || state.altered_after(round));
        if let Some(trouble) = &state.trouble {
            matter.no_plan = Some(format!("! {trouble}. Nothing is to be cut by this page."));
            return matter;
        }
        if round.is_none() {
            matter.no_plan = Some(crate::bench::words::READ_FIRST.to_owned());
            return matter;
        }
        match rounds::look(state, settings, spreads, Choice::default()) {
            Ok(look) => {
                let (round, problem) = (look.round, look.problem.clone());
                let setups = sheets::sheets(state, settings, &sheets::to_make(&look, state));
                let options = Options::default();
                matter.plan = Some(PlanScreen { round, problem, options, anew: false, answer: Some(Ok(look)), setups });
            }
            Err(why) => matter.no_plan = Some(why.to_string()),
        }
        matter.setups = sheets::sheets(state, settings, &matter.trims());
        matter
    }

    /// Is nothing left to be done, as far as the advice (or, without one, the log) says?
    pub fn is_done(&self) -> bool {
        let stage = self.seen.state.stage();
        let ended = matches!(stage, Stage::Fitted { .. });
        matches!(stage, Stage::Settled { .. }) || ended && brief::is_fitted(stage, self.brief().as_ref())
    }

    /// What is believed and advised, and the plan, if it could be worked out.
    pub fn looked(&self) -> Option<(&Look, &Plan)> {
        let screen = self.plan.as_ref()?;
        Some((screen.look()?, screen.plan()?))
    }

    /// The next thing to do, as the list and the opening's own screen name it.
    pub fn next(&self) -> String {
        brief::line(self.seen.state.stage(), self.brief().as_ref())
    }

    fn brief(&self) -> Option<Brief> {
        self.looked().map(|(look, _)| Brief::of(look, &self.seen.state))
    }

    /// Wood still to come off by the accepted plan; none where none is accepted.
    pub fn accepted_trims(&self) -> Vec<TrimMeant> {
        self.seen.state.to_cut()
    }

    /// Wood still to come off: what the accepted plan leaves to do; before it is accepted, what it proposes.
    pub fn trims(&self) -> Vec<TrimMeant> {
        match self.seen.state.latest().filter(|round| round.plan.is_some()) {
            Some(_) => self.seen.state.to_cut(),
            None if self.changed => Vec::new(),
            None => self.plan.as_ref().and_then(PlanScreen::look).map_or_else(Vec::new, sheets::aims),
        }
    }
}
