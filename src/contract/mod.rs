//! The JSON spoken by `solve` (`evenreveal-fit/1` in, `evenreveal-plan/1` out). Pure.
//!
//! [`solve_text`] is the whole of it; [`to_problem`] and [`from_plan`] are its two halves.

pub mod hinges;
pub mod read;
pub mod words;
pub mod write;

pub use read::{Asked, ContractError, to_problem};
pub use write::from_plan;

use crate::fit::plan::{Options, Plan, plan};
use serde_json::Value;

/// Format word of a problem.
pub const FIT_FORMAT: &str = "evenreveal-fit/1";
/// Format word of a plan.
pub const PLAN_FORMAT: &str = "evenreveal-plan/1";
/// Longest text taken, in bytes.
pub const LONGEST_TEXT: usize = 4_000_000;

/// A problem solved: what was asked, and the answer.
#[derive(Clone, Debug)]
pub struct Solved {
    /// The problem with its unit.
    pub asked: Asked,
    /// The plan.
    pub plan: Plan,
    /// The plan as `evenreveal-plan/1`.
    pub json: Value,
}

/// Reads a problem, plans it, writes the plan.
pub fn solve_text(text: &str) -> Result<Solved, ContractError> {
    let value = read::json(text)?;
    let asked = to_problem(&value)?;
    let plan = plan(&asked.problem, Options::default())?;
    let json = from_plan(&asked.problem, &plan, asked.unit, asked.show);
    Ok(Solved { asked, plan, json })
}
