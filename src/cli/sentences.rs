//! A plan in sentences, for people without a screen.

use crate::bench::rounds::{Look, PassesLeft};
use crate::bench::sheets::Sheet;
use crate::bench::{gap_words, rounds_words, sheet_words, short_words, sight_words, stations, words as bench_words};
use crate::contract::{self, words};
use crate::cut::job::JobError;
use crate::cut::words::Caution;
use crate::fit::length::{Inches, Length, Show};
use crate::fit::opening::{Facing, FitProblem, Leaf, Motion};
use crate::fit::plan::{LeafPlan, Plan, Pose, Verdict};
use crate::fit::policy::Next;
use crate::fit::sag;
use crate::shop::OpeningState;

/// The plan as lines of text.
pub(super) fn plan(problem: &FitProblem, plan: &Plan, show: Show) -> Vec<String> {
    let now = gap_words::off(plan.now, problem.tolerance, show);
    let mut lines = vec![verdict(plan, &now, problem.tolerance, show)];
    lines.extend(stances(problem, show));
    for (leaf, what) in problem.leaves.iter().zip(&plan.leaves) {
        lines.extend(leaf_lines(leaf, what, show));
        lines.extend(trim_lines(leaf, what, show));
    }
    lines.extend(sight_words::all(problem, plan, show).into_iter().map(|(_, text)| text));
    if plan.verdict == Verdict::Short {
        lines.extend(short_words::what_helps(problem, plan, show));
    }
    let felt = |gap: usize, at: Length| {
        let line = problem.gaps.get(gap)?;
        line.readings.iter().find(|reading| reading.at == at).map(|reading| gap_words::felt(reading, show))
    };
    lines.extend(gap_lines(problem, plan, &felt, show));
    lines.extend(words::warnings(problem, plan, show).into_iter().map(|warning| format!("! {warning}")));
    if plan.leaves.iter().any(|leaf| !leaf.trims.is_empty()) {
        lines.extend(cautions());
    }
    lines
}

/// The advice on a round as lines of text, each cut with its aim and its line apart.
pub(super) fn advice(
    look: &Look,
    plan: &Plan,
    setups: &[Result<Sheet, JobError>],
    passes: Option<PassesLeft>,
    (state, show): (&OpeningState, Show),
) -> Vec<String> {
    let problem = &look.problem;
    let first = rounds_words::first(look, show);
    let mut lines: Vec<String> = first.map(|line| bench_words::without_keys(&line)).into_iter().collect();
    let now = gap_words::now(state, look.round, plan, look.policy.tolerance, show);
    lines.push(verdict(plan, &now, look.policy.tolerance, show));
    lines.extend(stances(problem, show));
    for (leaf, what) in problem.leaves.iter().zip(&plan.leaves) {
        lines.extend(leaf_lines(leaf, what, show));
    }
    let is_done = |leaf, edge| state.round(look.round).is_some_and(|round| round.is_cut(leaf, edge));
    let mut to_take = false;
    for cut in look.cuts() {
        let leaf = problem.leaves.get(cut.leaf).map_or("", |leaf| leaf.id.as_str());
        if is_done(leaf, cut.edge) {
            lines.push(format!("{leaf}: {}", rounds_words::cut(cut, sheet_words::DONE, show)));
            continue;
        }
        let by = sheet_words::by(setups, leaf, cut.edge);
        lines.push(format!("{leaf}: take off now: {}", rounds_words::cut(cut, &by, show)));
        to_take = true;
    }
    if to_take {
        lines.push(rounds_words::risk(look, show));
    }
    lines.extend(passes.map(rounds_words::passes_left));
    if !matches!(look.advice.next, Next::Short) {
        lines.push(rounds_words::doubt(look));
    }
    lines.extend(sight_words::all(problem, plan, show).into_iter().map(|(_, text)| text));
    if plan.verdict == Verdict::Short {
        lines.extend(short_words::what_helps(problem, plan, show));
        lines.push(TELL.to_owned());
    }
    let felt = |gap: usize, at: Length| {
        gap_words::read_near(state, look.round, gap, at).map(|reading| gap_words::felt(&reading, show))
    };
    lines.extend(gap_lines(problem, plan, &felt, show));
    lines.extend(words::warnings(problem, plan, show).into_iter().map(|warning| format!("! {warning}")));
    if !look.cuts().is_empty() {
        lines.extend(cautions());
    }
    lines
}

/// How it is told that wood was added.
const TELL: &str =
    "Once a strip is on, or the leaf made anew: an 'altered' or 'remade' event tells it (evenreveal enter --help).";

/// The cautions that hold wherever wood comes off, in the words they have everywhere.
pub(super) fn cautions() -> impl Iterator<Item = String> {
    Caution::WHEREVER_CUT.iter().map(|caution| format!("! {}", caution.text()))
}

/// What was felt on a gap line at a station, in short; none where nothing was.
type Felt<'a> = dyn Fn(usize, Length) -> Option<String> + 'a;

fn length(inches: Inches, show: Show) -> String {
    inches.length().shown_with_error(show)
}

fn verdict(plan: &Plan, now: &str, tolerance: Length, show: Show) -> String {
    let after = gap_words::off(plan.worst_after, tolerance, show);
    let cuts: usize = plan.leaves.iter().map(|leaf| leaf.trims.len()).sum();
    match plan.verdict {
        Verdict::Fitted => format!("Fitted: every gap is within tolerance; worst gap {now}."),
        Verdict::Move => format!("Move it, no cut: worst gap now {now}, after {after}."),
        Verdict::Pack => format!("See to the hinges, no cut: worst gap now {now}, after {after}."),
        Verdict::Cut if cuts == 1 => format!("Cut 1 edge: worst gap now {now}, after {after}."),
        Verdict::Cut => format!("Cut {cuts} edges: worst gap now {now}, after {after}."),
        Verdict::Short if crate::fit::policy::packs(plan) => {
            let most = tolerance.shown(show);
            format!(
                "Short: with the hinges seen to and all cuts made the worst gap is still {after}, more than {most}."
            )
        }
        Verdict::Short => format!(
            "Short: cutting alone cannot do it; the best it leaves is off by {}, more than {}.",
            gap_words::beyond(plan.reach, tolerance, show),
            tolerance.shown(show)
        ),
    }
}

/// Sag told from out of square, for each leaf that hangs.
fn stances(problem: &FitProblem, show: Show) -> Vec<String> {
    let stances = sag::stances(problem).unwrap_or_default();
    let said = stances.iter().filter_map(|stance| {
        let leaf = problem.leaves.get(stance.leaf)?;
        Some(format!("{}: {}.", leaf.id, contract::hinges::stance(stance, show)?))
    });
    said.collect()
}

/// What each leaf's hinges or pose are to be, without any cut.
pub(super) fn moves(problem: &FitProblem, plan: &Plan, show: Show) -> Vec<String> {
    let leaves = problem.leaves.iter().zip(&plan.leaves);
    leaves.flat_map(|(leaf, what)| leaf_lines(leaf, &LeafPlan { trims: Vec::new(), ..what.clone() }, show)).collect()
}

fn leaf_lines(leaf: &Leaf, what: &LeafPlan, show: Show) -> Vec<String> {
    let mut lines = Vec::new();
    if matches!(leaf.motion, Motion::Hung(_)) {
        let hinges = contract::hinges::leaf(leaf, what, &contract::hinges::unnamed, show);
        lines.extend(hinges.into_iter().map(|line| format!("{}: {line}", leaf.id)));
    } else {
        lines.extend(motion(leaf, what.motion, show).map(|moves| format!("{}: {moves}", leaf.id)));
    }
    lines
}

fn trim_lines(leaf: &Leaf, what: &LeafPlan, show: Show) -> Vec<String> {
    let mut lines = Vec::new();
    for trim in &what.trims {
        let ends = if trim.edge.is_upright() { ("lower", "upper") } else { ("left", "right") };
        let (start, end) = (length(trim.start, show), length(trim.end, show));
        lines.push(format!(
            "{}: cut the {} edge: {start} off the {} corner, {end} off the {} corner",
            leaf.id, trim.edge, ends.0, ends.1
        ));
    }
    lines
}

/// The shift and turn in a cabinetmaker's words, to the nearest step, as the screen has them; nothing where they
/// round to nothing.
fn motion(leaf: &Leaf, pose: Pose, show: Show) -> Option<String> {
    let near = |inches: f64| Inches(inches.abs()).length().rounded(show).0;
    let small = |inches: f64| near(inches).is_zero();
    let length = |inches: Inches, show: Show| near(inches.get()).shown(show);
    let mut parts = Vec::new();
    if !small(pose.right.get()) {
        let side = if pose.right.get() > 0.0 { "right" } else { "left" };
        parts.push(format!("move it {} to the {side}", length(Inches(pose.right.get().abs()), show)));
    }
    if !small(pose.up.get()) {
        let way = if pose.up.get() > 0.0 { "raise" } else { "lower" };
        parts.push(format!("{way} it {}", length(Inches(pose.up.get().abs()), show)));
    }
    let lift = pose.turn.0 * leaf.width.inches();
    if !small(lift) {
        let side = if lift > 0.0 { "right" } else { "left" };
        parts.push(format!("turn it: raise the {side} side {} against the other", length(Inches(lift.abs()), show)));
    }
    (!parts.is_empty()).then(|| parts.join(", "))
}

/// Each gap line with its stations: where (from the lower or left end), the gap as felt, the gap to come.
fn gap_lines(problem: &FitProblem, plan: &Plan, felt: &Felt<'_>, show: Show) -> Vec<String> {
    let name = |side: Facing| match side {
        Facing::Frame => "frame".to_owned(),
        Facing::Leaf { leaf, edge } => {
            format!("{}.{edge}", problem.leaves.get(leaf).map_or("?", |leaf| leaf.id.as_str()))
        }
    };
    let gap_shown =
        |gap: Inches| if gap.0 < 0.0 { format!("lap {}", Inches(-gap.0).shown(show)) } else { gap.shown(show) };
    let line = |(place, gap): (usize, &crate::fit::plan::GapForecast)| {
        let stations: Vec<_> = gap
            .stations
            .iter()
            .map(|station| {
                let now = felt(place, station.at).unwrap_or_else(|| gap_shown(station.now));
                format!("{} along: {now} -> {}", stations::shown(station.at, show), gap_shown(station.after))
            })
            .collect();
        format!(
            "gap {} - {} (wanted {}): {}",
            name(gap.between[0]),
            name(gap.between[1]),
            gap.target.shown(show),
            stations.join("; ")
        )
    };
    plan.gaps.iter().enumerate().filter(|(_, gap)| !gap.stations.is_empty()).map(line).collect()
}
