//! The plan: before and after side by side, and a line for each thing to do.

use crate::bench::planning::PlanScreen;
use crate::bench::rounds::Look;
use crate::bench::{OpeningSeen, Session, next_words, rounds_words, sight_words, words};
use crate::contract;
use crate::cut::words::Caution;
use crate::fit::length::{Inches, Length, Show};
use crate::fit::opening::{Leaf, Motion};
use crate::fit::plan::{LeafPlan, Plan, Verdict, Warning};
use crate::fit::sag;
use crate::screen::drawings::BeforeAfter;
use crate::screen::parts::{clipped, wrapped};
use crate::screen::picture::{self, Measure};
use crate::screen::theme::{Role, Theme};
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::Line;
use unicode_width::UnicodeWidthStr;

/// Rows that the pictures keep at least.
const LEAST_PICTURE: u16 = 6;
/// Rows that quiet words leave to the pictures.
const PICTURE: u16 = 11;

/// Said where words had to give way.
const MORE: &str = "! more is said than there are rows for: make the window larger";

/// Draws the plan.
pub fn draw(screen: &PlanScreen, session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let Some(opened) = &session.opened else { return };
    let show = session.shop.show();
    let width = usize::from(area.width);
    let stock = &session.shop.settings.stock;
    let named = |thickness| stock.iter().find(|one| one.thickness == thickness).map(|one| one.name.clone());
    let mut lines: Vec<(Role, String)> = Vec::new();
    let mut cautions: Vec<(Role, String)> = Vec::new();
    match &screen.answer {
        None => lines.push((Role::Quiet, "working it out".to_owned())),
        Some(Err(why)) => lines
            .extend(wrapped(&why.to_string(), width.saturating_sub(3)).into_iter().map(|line| (Role::Caution, line))),
        Some(Ok(look)) => {
            if let Some(plan) = screen.plan() {
                lines = plan_lines(screen, look, plan, opened, show, &named, width.saturating_sub(3));
                cautions = caution_lines(screen, show, width.saturating_sub(3));
            }
        }
    }
    // Quiet words are worth a line only where the picture keeps its own; the opening and `?` have them too.
    let text_rows = usize::from(area.height.saturating_sub(PICTURE)).saturating_sub(cautions.len());
    let broken = |(role, text): &(Role, String)| broken(*role, text, width.saturating_sub(1));
    while lines.iter().map(|line| broken(line).len()).sum::<usize>() > text_rows
        && let Some(quiet) = lines.iter().rposition(|(role, _)| *role == Role::Quiet)
    {
        lines.remove(quiet);
    }
    let mut lines: Vec<_> = lines.iter().flat_map(broken).collect();
    // Cautions come first, whatever else must give way; then numbers, then the picture.
    let room = usize::from(area.height).saturating_sub(cautions.len());
    if lines.len() > room {
        lines.truncate(room.saturating_sub(1));
        lines.push((Role::Caution, MORE.to_owned()));
    }
    lines.extend(cautions);
    let wanted = u16::try_from(lines.len()).unwrap_or(u16::MAX);
    let rows = wanted.min(area.height);
    let picture_rows = area.height.saturating_sub(rows);
    if let Some(plan) = screen.plan().filter(|_| picture_rows >= LEAST_PICTURE) {
        draw_pictures(screen, plan, opened, session, theme, frame, Rect { height: picture_rows, ..area });
    }
    for (y, (role, text)) in (area.y + picture_rows..area.bottom()).zip(lines) {
        let line = Line::styled(clipped(&format!(" {text}"), width), theme.style(role));
        frame.render_widget(line, Rect { y, height: 1, ..area });
    }
}

/// What is too long for a row goes on under itself: no number is cut off.
fn broken(role: Role, text: &str, width: usize) -> Vec<(Role, String)> {
    if text.width() <= width {
        return vec![(role, text.to_owned())];
    }
    let parts = wrapped(text, width.saturating_sub(2)).into_iter().enumerate();
    parts.map(|(place, part)| (role, if place == 0 { part } else { format!("  {part}") })).collect()
}

fn draw_pictures(
    screen: &PlanScreen,
    plan: &Plan,
    opened: &OpeningSeen,
    session: &Session,
    theme: Theme,
    frame: &mut Frame<'_>,
    area: Rect,
) {
    let measure = Measure::of(opened, &session.shop.settings);
    let pictures = BeforeAfter {
        before: picture::forecast(opened, screen.round, plan, false, measure, theme),
        after: picture::forecast(opened, screen.round, plan, true, measure, theme),
    };
    frame.render_widget(&pictures, area);
}

fn plan_lines(
    screen: &PlanScreen,
    look: &Look,
    plan: &Plan,
    opened: &OpeningSeen,
    show: Show,
    named: &contract::hinges::Named<'_>,
    width: usize,
) -> Vec<(Role, String)> {
    let mut lines = Vec::new();
    let besides = screen.stands_besides(opened).map(next_words::stands_besides);
    lines.extend(besides.into_iter().flat_map(|text| wrapped(&text, width)).map(|line| (Role::Caution, line)));
    lines.extend(
        rounds_words::first(look, show)
            .into_iter()
            .flat_map(|text| wrapped(&text, width))
            .map(|line| (Role::Next, line)),
    );
    let tolerance = screen.problem.tolerance;
    let worst = |miss: Inches| match (miss.0 <= tolerance.inches() + 1e-9, miss.shown(show)) {
        (true, shown) if shown == "0" => "right".to_owned(),
        (true, shown) => format!("right, within {shown}"),
        (false, shown) => format!("off by {shown}"),
    };
    let ways = if screen.every_edge() { "every edge" } else { "fewest cuts" };
    lines.push((
        Role::Next,
        format!(
            "{}: now {}{}, after {}{}.  ({}, {ways})",
            rounds_words::verdict(look, plan).to_uppercase(),
            worst(plan.now),
            if look.estimate.round() > 1 { " by all rounds" } else { "" },
            worst(plan.worst_after),
            if screen.cuts().is_empty() { format!(", {}", next_words::doubt(look)) } else { String::new() },
            words::prefer(screen.prefer())
        ),
    ));
    let several = screen.problem.leaves.len() > 1;
    if !screen.cuts().is_empty() {
        lines.push((
            Role::Quiet,
            format!("{}  cut now, stopping short of the pencil line", " ".repeat(if several { 9 } else { 7 })),
        ));
    }
    for stance in sag::stances(&screen.problem).unwrap_or_default() {
        let id = screen.problem.leaves.get(stance.leaf).filter(|_| several).map(|leaf| format!("{} ", leaf.id));
        let said = contract::hinges::stance(&stance, show).into_iter();
        let said = said.flat_map(|text| wrapped(&format!("{}{text}", id.clone().unwrap_or_default()), width));
        lines.extend(said.map(|line| (Role::Text, line)));
    }
    for (place, (leaf, part)) in screen.problem.leaves.iter().zip(&plan.leaves).enumerate() {
        let own = screen.cuts().iter().filter(|cut| cut.leaf == place);
        let own = own.map(|cut| rounds_words::cut(cut, &screen.by(cut), show));
        let room = width.saturating_sub(if several { leaf.id.chars().count() + 1 } else { 0 });
        // What fits keeps its columns.
        let fitted = |line: String| if line.chars().count() <= room { vec![line] } else { wrapped(&line, room) };
        let own: Vec<Vec<String>> = own.map(fitted).collect();
        leaf_lines(leaf, part, own, several, show, named, &mut lines);
    }
    let (stepping, even): (Vec<_>, Vec<_>) =
        sight_words::all(&screen.problem, plan, show).into_iter().partition(|(steps, _)| *steps);
    lines.extend(stepping.into_iter().map(|(_, text)| (Role::Caution, format!("! {text}"))));
    lines.extend(rounds_words::passes(look).map(|text| (Role::Quiet, text)));
    if !screen.cuts().is_empty() {
        lines.push((Role::Quiet, rounds_words::risk(look, show)));
    }
    // What is in line is said last: where room is short it gives way to the passes.
    lines.extend(even.into_iter().map(|(_, text)| (Role::Quiet, text)));
    if plan.verdict == Verdict::Short {
        short_lines(look, plan, show, &mut lines);
    }
    for warning in &plan.warnings {
        let text = format!("! {}", warning_words(screen, warning, show));
        lines.extend(wrapped(&text, width).into_iter().map(|line| (Role::Caution, line)));
    }
    lines
}

/// The cautions, wherever a cut is proposed.
fn caution_lines(screen: &PlanScreen, show: Show, width: usize) -> Vec<(Role, String)> {
    if screen.cuts().is_empty() {
        return Vec::new();
    }
    let cautions: Vec<_> = Caution::WHEREVER_CUT.iter().map(|caution| caution.short_for(show.unit())).collect();
    wrapped(&format!("! {}", cautions.join("; ")), width).into_iter().map(|line| (Role::Caution, line)).collect()
}

fn leaf_lines(
    leaf: &Leaf,
    part: &LeafPlan,
    cuts: Vec<Vec<String>>,
    several: bool,
    show: Show,
    named: &contract::hinges::Named<'_>,
    lines: &mut Vec<(Role, String)>,
) {
    let name = if several { format!("{} ", leaf.id) } else { String::new() };
    let hung = matches!(leaf.motion, Motion::Hung(_));
    for text in contract::hinges::leaf(leaf, part, named, show) {
        lines.push((Role::Text, format!("{name}{text}")));
    }
    for text in cuts.into_iter().flatten() {
        lines.push((Role::Text, format!("{name}{text}")));
    }
    if let Some(text) = move_words(leaf, part, show).filter(|_| !hung) {
        lines.push((Role::Text, format!("{name}{text}")));
    }
}

/// The move in words: which way, and which side higher. Nothing where it rounds to nothing.
fn move_words(leaf: &Leaf, part: &LeafPlan, show: Show) -> Option<String> {
    let motion = part.motion;
    let mut words = Vec::new();
    let mut say = |amount: f64, text: &str| {
        let (near, _) = Inches(amount.abs()).length().rounded(show);
        if near != Length::ZERO {
            words.push(format!("{} {text}", Inches(amount.abs()).shown(show)));
        }
    };
    say(motion.right.0, if motion.right.0 < 0.0 { "to the left" } else { "to the right" });
    say(motion.up.0, if motion.up.0 < 0.0 { "down" } else { "up" });
    // Over the whole width, one side rises against the other by width times the turn.
    let rise = motion.turn.0 * leaf.width.inches();
    say(rise, if rise > 0.0 { "higher on the right than on the left" } else { "higher on the left than on the right" });
    (!words.is_empty()).then(|| format!("move it {}", words.join(", ")))
}

fn short_lines(look: &Look, plan: &Plan, show: Show, lines: &mut Vec<(Role, String)>) {
    let ways = next_words::what_helps(plan, look, show);
    lines.extend(ways.into_iter().map(|text| (Role::Text, text)));
}

fn warning_words(screen: &PlanScreen, warning: &Warning, show: Show) -> String {
    let id = |leaf: usize| screen.problem.leaves.get(leaf).map_or("", |leaf| leaf.id.as_str());
    let line = |gap: usize| {
        let sides = screen.problem.gaps.get(gap).map(|gap| gap.between);
        let edge = sides.into_iter().flatten().find_map(|side| match side {
            crate::fit::opening::Facing::Leaf { leaf, edge } => Some(format!("{edge} edge of {}", id(leaf))),
            crate::fit::opening::Facing::Frame => None,
        });
        edge.unwrap_or_default()
    };
    match warning {
        Warning::EdgeNeverRead { leaf, edge } => {
            format!("the {edge} edge of {} was never read: nothing is known of its gap", id(*leaf))
        }
        Warning::OneStationOnly { gap } => {
            format!("the {} was read at one place only: its taper is not known", line(*gap))
        }
        Warning::ReadingsDisagree { gap, at, by } => {
            format!("the {} has two readings at {} that differ by {}", line(*gap), at.shown(show), by.shown(show))
        }
        Warning::DeepCut { leaf, edge, removal } => {
            format!("{} off the {edge} edge of {} is much: check the readings first", removal.shown(show), id(*leaf))
        }
        Warning::NotProvedFewest { edges } => {
            format!("few cuts, perhaps not the fewest: {edges} edges are too many to try every set")
        }
        Warning::NotAllSettings => "not every way to pack the hinges was tried: name fewer thicknesses".to_owned(),
    }
}
