//! `solve` and `plan`.

use super::trouble::{Answer, Trouble};
use super::{advice_json, put, say, sentences, setup_json, unsound};
use crate::bench::brief::{self, Brief};
use crate::bench::rounds::{self, Choice, LookError};
use crate::bench::sheets;
use crate::bench::{accepted, next_words, sheet_words, words};
use crate::contract::{self, ContractError};
use crate::fit::plan::{Plan, PlanError, Verdict};
use crate::fit::policy::{AdviceError, Next};
use crate::shell::here;
use crate::shop::Shop;
use serde_json::Value;
use std::io::Write;

/// Answers one fit problem; nothing is stored.
pub(super) fn solve(problem: &str, source: &str, as_text: bool, out: &mut dyn Write) -> Result<Answer, Trouble> {
    let solved = match contract::solve_text(problem) {
        Ok(solved) => solved,
        Err(ContractError::Plan(error)) => return no_plan(&error),
        Err(error) => return Err(Trouble::Input(format!("{source}: {error}"))),
    };
    if as_text {
        for line in sentences::plan(&solved.asked.problem, &solved.plan, solved.asked.show) {
            put(out, &line)?;
        }
    } else {
        put(out, &format!("{:#}", solved.json))?;
    }
    Ok(answer(&solved.plan))
}

/// The plan of an opening's latest round that was read, the same as the screen's: the accepted one, or the advice;
/// `anew`: the advice, whatever was accepted.
pub(super) fn plan(shop: &Shop, name: &str, as_json: bool, anew: bool, out: &mut dyn Write) -> Result<Answer, Trouble> {
    let opening = shop.opening(name)?;
    for notice in opening.notices() {
        say(&notice.to_string());
    }
    let state = opening.state();
    if let Some(trouble) = &state.trouble {
        say(&unsound(&opening, trouble));
        put(
            out,
            &if as_json {
                format!("{:#}", advice_json::no_plan(opening.name(), trouble))
            } else {
                format!("Next: {}.", brief::line(state.stage(), None))
            },
        )?;
        return Ok(Answer::Unsound);
    }
    let settings = shop.settings();
    let spreads = here::desk(shop).spreads(opening.name(), settings);
    let look = match rounds::look(state, settings, spreads, Choice { anew, ..Choice::default() }) {
        Ok(look) => look,
        Err(LookError::Advice(AdviceError::Plan(error))) => return no_plan(&error),
        Err(
            why @ (LookError::NothingRead
            | LookError::Problem(_)
            | LookError::HungSince(_)
            | LookError::AlteredSince(_)),
        ) => {
            say(&format!("there is no plan yet: {why}"));
            return Ok(Answer::No);
        }
        Err(why) => return Err(Trouble::Storage(why.to_string())),
    };
    let left = sheets::to_make(&look, state);
    let is_cut = state.round(look.round).is_some_and(|round| !round.cuts.is_empty());
    if is_cut {
        let round = look.round;
        say(&if left.is_empty() {
            format!("round {round} has been cut since it was read: this plan is from before; take new readings")
        } else {
            format!("round {round} is cut in part: set-ups are given for what is still to take off, and for no more")
        });
    }
    let brief = Brief::of(&look, state);
    let mut plan = look.plan().clone();
    // Planned to part of the tolerance, it may miss that and still be worth cutting.
    if plan.verdict == Verdict::Short && !look.cuts().is_empty() {
        plan.verdict = Verdict::Cut;
    }
    let setups = sheets::sheets(state, settings, &left);
    let show = settings.show;
    if as_json {
        let mut json = contract::from_plan(&look.problem, &plan, show.unit(), show);
        if let Value::Object(keys) = &mut json {
            advice_json::add(keys, &look, &setups, &brief, (state, show));
            keys.insert("setups".to_owned(), setups.iter().map(|setup| setup_json::of(setup, show)).collect());
        }
        put(out, &format!("{json:#}"))?;
    } else {
        put(out, &format!("Next: {}.", brief::line(state.stage(), Some(&brief))))?;
        if anew && let Some(n) = accepted::standing(state, look.round) {
            put(out, &words::without_keys(&next_words::stands_besides(n)))?;
        }
        sentences::advice(&look, &plan, &setups, brief.passes, (state, show))
            .iter()
            .try_for_each(|line| put(out, line))?;
        if brief.differs {
            put(out, &format!("! What it would be now: evenreveal plan \"{name}\" --anew"))?;
        }
        for setup in &setups {
            put(out, "")?;
            match setup {
                Ok(sheet) => sheet_words::whole(sheet, show).iter().try_for_each(|line| put(out, line))?,
                Err(why) => put(out, &format!("! no set-up: {why}"))?,
            }
        }
    }
    // After its cuts a plan holds no longer, and the next one wants readings.
    let is_over = is_cut && left.is_empty();
    Ok(if is_over || matches!(look.advice.next, Next::Short) { Answer::No } else { Answer::Done })
}

fn answer(plan: &Plan) -> Answer {
    if plan.verdict == Verdict::Short { Answer::No } else { Answer::Done }
}

fn no_plan(error: &PlanError) -> Result<Answer, Trouble> {
    match error {
        PlanError::NothingRead => {
            say(&format!("there is no plan yet: {error}"));
            Ok(Answer::No)
        }
        PlanError::Malformed { .. } => Err(Trouble::Input(error.to_string())),
        // Our own fault: neither the input nor the disk, but nothing was answered.
        PlanError::Solver { .. } => Err(Trouble::Storage(error.to_string())),
    }
}
