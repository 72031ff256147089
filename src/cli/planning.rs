//! `solve` and `plan`.

use super::trouble::{Answer, Trouble};
use super::{put, say, sentences};
use crate::bench::sheet_words;
use crate::bench::sheets::{self, Sheet};
use crate::contract::{self, ContractError};
use crate::cut::job::JobError;
use crate::fit::length::{Show, Unit};
use crate::fit::opening::FitProblem;
use crate::fit::plan::{Options, Plan, PlanError, Verdict, plan as best_plan};
use crate::shop::Shop;
use serde_json::{Value, json};
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

/// The plan for an opening's latest round.
pub(super) fn plan(shop: &Shop, name: &str, as_json: bool, out: &mut dyn Write) -> Result<Answer, Trouble> {
    let opening = shop.opening(name)?;
    for notice in opening.notices() {
        say(&notice.to_string());
    }
    let state = opening.state();
    let round = state.current_round();
    let problem = match state.problem(round, shop.settings()) {
        Ok(problem) => problem,
        Err(why) => {
            say(&format!("there is no plan yet: {why}"));
            return Ok(Answer::No);
        }
    };
    let plan = match best_plan(&problem, Options::default()) {
        Ok(plan) => plan,
        Err(error) => return no_plan(&error),
    };
    let done = state.latest().is_some_and(|latest| !latest.cuts.is_empty());
    if done {
        say(&format!("round {round} has been cut since it was read: this plan is from before; take new readings"));
    }
    let setups = sheets::sheets(state, shop.settings(), &sheets::trims_meant(&problem, &plan));
    write(&problem, &plan, &setups, shop.settings().show, as_json, out)?;
    Ok(answer(&plan))
}

fn write(
    problem: &FitProblem,
    plan: &Plan,
    setups: &[Result<Sheet, JobError>],
    show: Show,
    as_json: bool,
    out: &mut dyn Write,
) -> Result<(), Trouble> {
    if as_json {
        let unit: Unit = show.unit();
        let mut json = contract::from_plan(problem, plan, unit, show);
        if let Value::Object(keys) = &mut json {
            keys.insert("setups".to_owned(), setups.iter().map(setup_json).collect());
        }
        return put(out, &format!("{json:#}"));
    }
    sentences::plan(problem, plan, show).iter().try_for_each(|line| put(out, line))?;
    for setup in setups {
        put(out, "")?;
        match setup {
            Ok(sheet) => sheet_words::whole(sheet, show).iter().try_for_each(|line| put(out, line))?,
            Err(why) => put(out, &format!("! no set-up: {why}"))?,
        }
    }
    Ok(())
}

/// A set-up sheet; its bare numbers are inches, whatever the unit of the plan.
fn setup_json(setup: &Result<Sheet, JobError>) -> Value {
    let sheet = match setup {
        Ok(sheet) => sheet,
        Err(why) => return json!({ "error": why.to_string() }),
    };
    let mut json = json!({ "leaf": sheet.trim.leaf, "unit": "in", "order": sheet.order });
    if let (Value::Object(keys), Ok(Value::Object(shown))) = (&mut json, serde_json::to_value(&sheet.sheet)) {
        keys.extend(shown);
    }
    json
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
