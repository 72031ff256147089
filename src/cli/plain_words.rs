//! What the line-by-line mode says of a plan and of a cut.

use crate::bench::measuring::owned;
use crate::bench::planning::PlanScreen;
use crate::bench::recording::{Job, RecordCut};
use crate::bench::{next_words, rounds_words, sheet_words, words};
use crate::cut::words::Caution;
use crate::fit::length::{Length, Show};
use crate::fit::opening::FitProblem;
use crate::fit::plan::Verdict;

fn leaf_id(problem: &FitProblem, leaf: usize) -> &str {
    problem.leaves.get(leaf).map_or("", |leaf| leaf.id.as_str())
}

/// How a station is answered.
pub(super) fn help_lines(feelers: &[Length], show: Show) -> Vec<String> {
    let feelers: Vec<String> =
        (1..).zip(feelers).take(26).map(|(number, feeler)| format!("{number} is {}", owned(*feeler, show))).collect();
    vec![
        "Answer with the number of the feeler that goes; the next thicker one is then the one that stops.".to_owned(),
        format!("Feelers: {}.", feelers.join(", ")),
        "Or with a length: 3/32, .094, 2.4mm; with - before it where the leaf laps the frame.".to_owned(),
        "none: not even the thinnest feeler goes. skip: leave this station out. back: a station back.".to_owned(),
        "quit: stop here; everything is kept.".to_owned(),
    ]
}

/// The plan in sentences, cautions last.
pub(super) fn plan_lines(screen: &PlanScreen, show: Show) -> Vec<String> {
    let look = match &screen.answer {
        Some(Ok(look)) => look,
        Some(Err(why)) => return vec![format!("There is no plan: {why}.")],
        None => return vec!["There is no plan yet.".to_owned()],
    };
    let Some(plan) = screen.plan() else { return Vec::new() };
    let mut lines = vec![format!("Plan of round {}: {}.", screen.round, rounds_words::verdict(look, plan))];
    lines.extend(rounds_words::first(look, show).map(|line| words::without_keys(&line)));
    for cut in screen.cuts() {
        lines.push(format!(
            "Leaf {}: {}.",
            leaf_id(&screen.problem, cut.leaf),
            rounds_words::cut(cut, &screen.by(cut), show)
        ));
    }
    lines.extend(super::sentences::moves(&screen.problem, plan, show));
    if plan.verdict == Verdict::Short {
        let ways = next_words::what_helps(plan, look, show);
        lines.extend(ways.into_iter().map(|way| format!("What helps: {}.", way.trim_start_matches("or "))));
    }
    lines.extend(rounds_words::passes(look));
    if !screen.cuts().is_empty() {
        lines.extend(cautions());
    }
    lines
}

fn cautions() -> impl Iterator<Item = String> {
    Caution::WHEREVER_CUT.iter().map(|caution| format!("Caution: {}", caution.text()))
}

/// The first thing to do in sentences.
pub(super) fn record_lines(record: &RecordCut, show: Show) -> Vec<String> {
    let mut lines = vec![format!("{} left to do.", words::counted(record.jobs.len(), "thing"))];
    match (record.job(), &record.sheet) {
        (Some(Job::Trim(_)), Some(sheet)) => {
            let spoken = |line: String| match line.strip_prefix("! ") {
                Some(caution) => format!("Caution: {caution}"),
                None => format!("{}.", line.trim_end_matches('.')),
            };
            lines.extend(sheet_words::whole(sheet, show).into_iter().map(spoken));
        }
        (Some(Job::Trim(_)), None) => {
            lines.push(format!("There is no set-up for it: {}.", record.no_sheet.clone().unwrap_or_default()));
            lines.extend(cautions());
        }
        (Some(Job::Pack(pack)), _) => {
            lines.push(format!(
                "{}: hinge at {}, move it out by {}.",
                pack.leaf,
                pack.hinge.shown(show),
                crate::contract::hinges::small(pack.out, show)
            ));
        }
        (None, _) => {}
    }
    lines
}
