//! What a fit card says, before it is laid out.

use super::flow::{Paragraph, Style};
use super::matter::Matter;
use crate::bench::{after_words, gap_words, rounds_words, sheet_words, short_words, words};
use crate::contract;
use crate::cut::words::Caution;
use crate::fit::length::{Inches, Length, Show};
use crate::fit::opening::{Leaf, Motion, Side};
use crate::fit::plan::{LeafPlan, Verdict};
use crate::shop::replay::Round;

/// The hinge side of each leaf, and that it is seen from the front.
pub fn hinge_side(matter: &Matter<'_>) -> String {
    let leaves = &matter.seen.state.leaves;
    let side = |hinge: Option<Side>| match hinge {
        Some(Side::Left) => "HINGES LEFT",
        Some(Side::Right) => "HINGES RIGHT",
        None => "NO HINGES",
    };
    match leaves.as_slice() {
        [only] => side(only.what.hinge).to_owned(),
        several => {
            let each: Vec<String> =
                several.iter().map(|leaf| format!("{}: {}", leaf.what.leaf, side(leaf.what.hinge))).collect();
            each.join("   ")
        }
    }
}

/// What is to be done now: the verdict, what moves, what comes off.
pub fn now(matter: &Matter<'_>) -> Vec<Paragraph> {
    let show = matter.settings.show;
    let tolerance = matter.seen.state.tolerance.unwrap_or(matter.settings.tolerance);
    let mut all = vec![Paragraph::new(Style::Heading, "Now")];
    all.push(Paragraph::new(Style::Strong, format!("Next: {}.", matter.next())));
    if let Some(why) = &matter.no_plan {
        all.push(Paragraph::new(Style::Plain, why.clone()));
    }
    let Some((look, plan)) = matter.looked().filter(|_| !matter.changed) else {
        if matter.changed {
            all.push(Paragraph::new(
                Style::Plain,
                "Something was cut, altered or moved since the gaps were read: the gaps drawn are from before.",
            ));
        }
        return all;
    };
    all.push(Paragraph::new(
        Style::Plain,
        format!(
            "{}: worst gap now {}, after {}.",
            rounds_words::verdict(look, plan),
            gap_words::now(&matter.seen.state, look.round, plan, tolerance, show),
            gap_words::off(plan.worst_after, tolerance, show)
        ),
    ));
    all.extend(rounds_words::first(look, show).map(|line| Paragraph::new(Style::Strong, words::without_keys(&line))));
    for trim in matter.trims() {
        let (low, high) = words::corner_labels(trim.edge);
        let (start, end) = (trim.start.shown_down(show), trim.end.shown_down(show));
        let of = |leaf: usize| look.problem.leaves.get(leaf).is_some_and(|leaf| leaf.id == trim.leaf);
        let cut = look.cuts().iter().find(|cut| of(cut.leaf) && cut.edge == trim.edge);
        let line = cut.map_or_else(String::new, |cut| {
            let [start, end] = cut.line.map(|line| rounds_words::removal(line, show));
            format!("; the line no cut may pass: {start}, {end}")
        });
        all.push(Paragraph::new(
            Style::Strong,
            format!("{} {} edge, now: {start} {low}, {end} {high}{line}", trim.leaf, trim.edge),
        ));
    }
    for (leaf, part) in look.problem.leaves.iter().zip(&plan.leaves) {
        all.extend(moves(leaf, part, show));
    }
    if plan.verdict == Verdict::Short {
        let helps = short_words::what_helps(&look.problem, plan, show).into_iter();
        all.extend(helps.map(|line| Paragraph::new(Style::Plain, line)));
    }
    all.extend(rounds_words::passes(look).map(|line| Paragraph::new(Style::Plain, line)));
    all
}

fn moves(leaf: &Leaf, part: &LeafPlan, show: Show) -> Vec<Paragraph> {
    let line = |text: String| Paragraph::new(Style::Plain, format!("{}: {text}", leaf.id));
    if matches!(leaf.motion, Motion::Hung(_)) {
        let hinges = contract::hinges::leaf(leaf, part, &contract::hinges::unnamed, show);
        return hinges.into_iter().map(line).collect();
    }
    let said = |amount: f64, way: &str| {
        let (near, _) = Inches(amount.abs()).length().rounded(show);
        (near != Length::ZERO).then(|| format!("{} {way}", near.shown(show)))
    };
    let pose = part.motion;
    let rise = pose.turn.0 * leaf.width.inches();
    let parts: Vec<String> = [
        said(pose.right.0, if pose.right.0 < 0.0 { "to the left" } else { "to the right" }),
        said(pose.up.0, if pose.up.0 < 0.0 { "down" } else { "up" }),
        said(rise, if rise > 0.0 { "higher on the right" } else { "higher on the left" }),
    ]
    .into_iter()
    .flatten()
    .collect();
    if parts.is_empty() { Vec::new() } else { vec![line(format!("sits {}", parts.join(", ")))] }
}

/// Every set-up, step by step.
pub fn setups(matter: &Matter<'_>) -> Vec<Paragraph> {
    let show = matter.settings.show;
    let mut all = Vec::new();
    for setup in &matter.setups {
        match setup {
            Ok(sheet) => {
                all.push(Paragraph::new(Style::Heading, sheet_words::trim(sheet, show)));
                all.extend(after_words::once_cut(sheet).map(|line| Paragraph::new(Style::Strong, line)));
                all.extend(sheet_words::passes(sheet, show).map(|line| Paragraph::new(Style::Caution, line)));
                all.extend(
                    sheet_words::chosen(sheet, None).into_iter().map(|line| Paragraph::new(Style::Strong, line)),
                );
                all.extend(sheet_words::steps(sheet, show).into_iter().map(|line| Paragraph::new(Style::Plain, line)));
                all.push(Paragraph::new(Style::Plain, sheet_words::errors(sheet, show)));
                let assumed = sheet_words::assumptions(sheet);
                all.extend(
                    assumed.into_iter().map(|line| Paragraph::new(Style::Plain, format!("not measured: {line}"))),
                );
            }
            Err(why) => all.push(Paragraph::new(Style::Caution, format!("! no set-up: {why}"))),
        }
    }
    if !all.is_empty() || !matter.trims().is_empty() {
        all.extend(cautions(matter));
    }
    all
}

/// The cautions of all set-ups, each once, in full; never fewer than those that hold wherever wood comes off.
fn cautions(matter: &Matter<'_>) -> Vec<Paragraph> {
    let sheets = matter.setups.iter().flatten();
    let mut all: Vec<Caution> = sheets.flat_map(|sheet| sheet.sheet.cautions.iter().copied()).collect();
    if matter.setups.iter().any(Result::is_err) || all.is_empty() {
        all.extend(Caution::WHEREVER_CUT);
    }
    all.sort_unstable();
    all.dedup();
    let mut paragraphs = vec![Paragraph::new(Style::Heading, "Before any cut")];
    paragraphs.extend(all.iter().map(|caution| Paragraph::new(Style::Caution, format!("! {}", caution.text()))));
    paragraphs
}

/// Round by round, oldest first, then the notes.
pub fn history(matter: &Matter<'_>) -> Vec<Paragraph> {
    let state = &matter.seen.state;
    let show = matter.settings.show;
    let mut all: Vec<Paragraph> = state.rounds.iter().flat_map(|round| round_words(matter, round, show)).collect();
    all.extend(
        state.notes.iter().map(|note| Paragraph::new(Style::Quiet, format!("{} {}", day(&note.at), note.what.line()))),
    );
    all
}

fn round_words(matter: &Matter<'_>, round: &Round, show: Show) -> Vec<Paragraph> {
    let tolerance = matter.seen.state.tolerance.unwrap_or(matter.settings.tolerance);
    let worst = matter.seen.worst(round.number);
    let read = worst.map_or_else(
        || "not read".to_owned(),
        |worst| {
            format!(
                "{}, worst {}",
                words::counted(round.stations(), "gap"),
                gap_words::miss(worst.miss, tolerance, show)
            )
        },
    );
    let mut all = vec![Paragraph::new(Style::Plain, format!("Round {}: {read}", round.number))];
    for cut in &round.cuts {
        let trim = &cut.what.intended;
        all.push(Paragraph::new(
            Style::Quiet,
            format!("{} cut {} ({})", day(&cut.at), words::trim(trim, show), sheet_words::means(&cut.what.method)),
        ));
    }
    for said in &round.altered {
        let what = crate::bench::altering::words(&said.what, show);
        all.push(Paragraph::new(Style::Quiet, format!("{} {what}", day(&said.at))));
    }
    for pack in &round.packs {
        let pack_of = &pack.what;
        all.push(Paragraph::new(
            Style::Quiet,
            format!(
                "{} hinge at {} of {} moved out by {}",
                day(&pack.at),
                pack_of.hinge.shown(show),
                pack_of.leaf,
                crate::contract::hinges::small(pack_of.out, show)
            ),
        ));
    }
    all
}

/// The day of a moment in the log.
pub fn day(at: &str) -> &str {
    at.get(..10).unwrap_or(at)
}
