//! Why the plan is what it is.

use super::plan;
use super::plan_lines::PlanLines;
use crate::bench::planning::PlanScreen;
use crate::bench::recording::{Job, RecordCut};
use crate::bench::{Screen, Session, gap_words, next_words, rounds_words, sheet_words, words};
use crate::cut::words::Caution;
use crate::fit::length::{Inches, Show};
use crate::fit::opening::{Edge, Facing};
use crate::fit::plan::{Plan, Trim, Verdict};
use crate::screen::screens::help::pages;
use crate::screen::theme::{Role, Theme};
use ratatui::Frame;
use ratatui::layout::Rect;

/// Draws the reasons over the plan.
pub fn draw(session: &Session, page: i32, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let screen = match session.screen() {
        Some(Screen::Plan(screen)) => screen,
        Some(Screen::Record(record)) => {
            let whole = record.sheet.as_ref().map_or_else(|| without(record), |sheet| sheet_words::in_full(sheet));
            let role = |line: &str| if line.starts_with('!') { Role::Caution } else { Role::Text };
            let lines: Vec<_> = whole.into_iter().map(|line| (role(&line), line)).collect();
            return pages("cautions, order, refusals", &lines, page, theme, frame, area);
        }
        _ => return,
    };
    let mut lines: Vec<(Role, String)> = Vec::new();
    match screen.plan() {
        Some(plan) => {
            lines.extend(plan::words(screen, session).into_iter().flat_map(PlanLines::in_full));
            lines.extend(reasons(screen, plan, session.shop.show()).into_iter().map(|text| (Role::Text, text)));
            let depth = screen.look().map(|look| next_words::depth(look, screen.cuts(), session.shop.show()));
            lines.extend(depth.into_iter().flatten().map(|text| (Role::Text, text)));
            let left = screen.look().zip(session.opened.as_ref());
            let left = left.map(|(look, opened)| rounds_words::each_left(look, &opened.state));
            lines.extend(left.into_iter().flatten().map(|text| (Role::Text, text)));
        }
        None => lines.push((Role::Text, "there is no plan to explain".to_owned())),
    }
    let cuts = screen.plan().is_some_and(|plan| plan.leaves.iter().any(|leaf| !leaf.trims.is_empty()));
    if cuts {
        lines.extend(Caution::WHEREVER_CUT.iter().map(|caution| (Role::Caution, format!("! {}", caution.text()))));
    }
    pages("why, and the plan in full", &lines, page, theme, frame, area);
}

/// What there is to say where there is no set-up.
fn without(record: &RecordCut) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(why) = &record.no_sheet {
        lines.extend([format!("no set-up: {why}"), words::NO_SET_UP.to_owned()]);
    }
    if matches!(record.job(), Some(Job::Trim(_))) {
        lines.extend(Caution::WHEREVER_CUT.iter().map(|caution| format!("! {}", caution.text())));
    }
    lines
}

fn reasons(screen: &PlanScreen, plan: &Plan, show: Show) -> Vec<String> {
    let tolerance = screen.problem.tolerance;
    let mut reasons = Vec::new();
    let event = screen.accepted().map(|accepted| accepted.n);
    reasons.extend(event.map(|n| format!("This is the plan that was accepted (event {n}): it stands.")));
    reasons.push(match plan.verdict {
        Verdict::Fitted => {
            format!("Nothing is cut because every gap is within {} of its reveal as it sits.", tolerance.shown(show))
        }
        Verdict::Move => {
            format!("Nothing is cut because moving the leaf brings every gap within {}.", tolerance.shown(show))
        }
        Verdict::Pack => {
            format!("Nothing is cut because packing the hinges brings every gap within {}.", tolerance.shown(show))
        }
        Verdict::Cut if event.is_some() => "Its cuts, with the leaf moved as well as they allow.".to_owned(),
        Verdict::Cut => {
            "First moved as well as it can be, then the fewest edges that bring every gap right.".to_owned()
        }
        Verdict::Short => format!(
            "However it is moved and cut, a gap stays off by {}: more than {} allows. Wood is missing.",
            gap_words::beyond(plan.reach, tolerance, show),
            tolerance.shown(show)
        ),
    });
    for (place, part) in plan.leaves.iter().enumerate() {
        let id = screen.problem.leaves.get(place).map_or("", |leaf| leaf.id.as_str());
        for trim in &part.trims {
            reasons.push(trim_reason(screen, plan, place, id, trim, show));
        }
    }
    reasons
}

/// What the gap would be, moved but not cut.
fn trim_reason(screen: &PlanScreen, plan: &Plan, leaf: usize, id: &str, trim: &Trim, show: Show) -> String {
    let length = screen.problem.leaves.get(leaf).map_or(1.0, |leaf| leaf.edge_length(trim.edge).inches());
    let lines = plan.gaps.iter().filter(|gap| gap.between.contains(&Facing::Leaf { leaf, edge: trim.edge }));
    let uncut = lines.flat_map(|line| {
        line.stations.iter().map(move |station| {
            let along = (station.at.inches() / length).clamp(0.0, 1.0);
            let removed = trim.start.0 + (trim.end.0 - trim.start.0) * along;
            (along, station.after.0 - removed - line.target.inches())
        })
    });
    let Some((along, miss)) = uncut.min_by(|a, b| a.1.total_cmp(&b.1)) else {
        return format!("The {} edge of {id} is cut to let the others come right; it was not read itself.", trim.edge);
    };
    format!(
        "The {} edge of {id} is cut because, moved but not cut, its gap would be {} by {} at the {}.",
        trim.edge,
        if miss < 0.0 { "tight" } else { "wide" },
        Inches(miss.abs()).shown(show),
        spot_words(trim.edge, along)
    )
}

fn spot_words(edge: Edge, along: f64) -> &'static str {
    match (edge.is_upright(), along) {
        (true, part) if part < 0.34 => "bottom",
        (true, part) if part > 0.66 => "top",
        (false, part) if part < 0.34 => "left",
        (false, part) if part > 0.66 => "right",
        _ => "middle",
    }
}
