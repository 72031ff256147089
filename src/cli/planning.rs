//! `solve` and `plan`.

use super::trouble::{Answer, Trouble};
use crate::shop::Shop;
use std::io::Write;

/// Answers one fit problem.
pub(super) fn solve(problem: &str, as_text: bool, out: &mut dyn Write) -> Result<Answer, Trouble> {
    let _ = (problem, as_text, out);
    Err(Trouble::Input("solve is not built yet".to_owned()))
}

/// The plan for an opening's latest round.
pub(super) fn plan(shop: &Shop, name: &str, as_json: bool, out: &mut dyn Write) -> Result<Answer, Trouble> {
    let opening = shop.opening(name)?;
    let state = opening.state();
    let problem = match state.problem(state.current_round(), shop.settings()) {
        Ok(problem) => problem,
        Err(why) => {
            super::say(&format!("there is no plan yet: {why}"));
            return Ok(Answer::No);
        }
    };
    let _ = (problem, as_json, out);
    Err(Trouble::Input("plan is not built yet".to_owned()))
}
