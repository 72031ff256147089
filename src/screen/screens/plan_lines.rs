//! What a plan says, line by line, and which of it gives way to the picture on a small screen: `?` has all of it.

use crate::bench::planning::PlanScreen;
use crate::bench::rounds::Look;
use crate::bench::sight_words::{self, Runs};
use crate::bench::{OpeningSeen, altering, gap_words, next_words, rounds_words, stations, words};
use crate::contract;
use crate::cut::words::Caution;
use crate::fit::length::{Inches, Length, Show};
use crate::fit::opening::{Facing, Leaf, Motion};
use crate::fit::plan::{LeafPlan, Plan, Verdict, Warning};
use crate::fit::policy::CutAdvice;
use crate::fit::sag;
use crate::screen::parts::{padded, wrapped};
use crate::screen::theme::Role;
use crate::shop::event::TrimMeant;
use unicode_width::UnicodeWidthStr;

/// Rows that quiet words leave to the pictures.
const PICTURE: usize = 11;
/// Rows that shorter words leave to them.
const SMALLER: usize = 10;
/// Rows without which two pictures side by side cannot be drawn.
const LEAST_PICTURE: usize = 9;

/// Said where lines had to give way.
const MORE: &str = "! more is said than there are rows for: ? has all of it";
/// The same, at the end of the answer.
const MORE_SHORT: &str = "; more: ?";
/// The same, where cuts are among them.
fn more_cuts(count: usize) -> String {
    format!("! {} than there are rows for: ? has all of them", words::counted(count, "more cut"))
}

/// Said over cuts that stand two to a row.
const TWO_TO_A_ROW: &str = "off the lower or left corner, then the other; the lines: ?";

/// What a line is worth where there is little room: the first of these give way first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Worth {
    /// What stands with it says the same, here or in what `?` shows.
    Twice,
    /// The opening has it, too.
    Quiet,
    /// How to move a leaf that is cut first.
    Later,
    /// An outcome that is as it should be.
    Outcome,
    /// A cut, which may be said in fewer words.
    Cut,
    /// Never left out.
    Must,
}

/// One thing said.
#[derive(Clone, Debug)]
struct Line {
    role: Role,
    worth: Worth,
    text: String,
    /// The same in fewer words.
    short: Option<String>,
    /// In fewest words: two of these stand in a row.
    shortest: Option<String>,
    /// How many cuts it tells.
    cuts: usize,
}

impl Line {
    fn new(role: Role, worth: Worth, text: impl Into<String>) -> Self {
        Self { role, worth, text: text.into(), short: None, shortest: None, cuts: 0 }
    }

    /// What is too long for a row goes on under itself: no number is cut off.
    fn rows(&self, width: usize) -> Vec<(Role, String)> {
        if self.text.width() <= width {
            return vec![(self.role, self.text.clone())];
        }
        // What does not keep its columns may still have room without them.
        let closer = wrapped(&self.text, width);
        let rows = if closer.len() == 1 { closer } else { wrapped(&self.text, width.saturating_sub(2)) };
        let parts = rows.into_iter().enumerate();
        parts.map(|(place, part)| (self.role, if place == 0 { part } else { format!("  {part}") })).collect()
    }
}

/// A plan in words.
#[derive(Clone, Debug, Default)]
pub struct PlanLines {
    lines: Vec<Line>,
    cautions: Vec<Line>,
}

/// What the words of a plan rest on.
#[derive(Clone, Copy)]
pub struct Told<'a> {
    /// The plan's screen.
    pub screen: &'a PlanScreen,
    /// The opening.
    pub opened: &'a OpeningSeen,
    /// How lengths are shown.
    pub show: Show,
    /// Names of the pack stock.
    pub named: &'a contract::hinges::Named<'a>,
}

impl Told<'_> {
    /// What was cut of this edge since the round was read, all its passes together, if it is done; and by what means.
    fn done(&self, cut: &CutAdvice) -> Option<(TrimMeant, &str)> {
        let id = &self.screen.problem.leaves.get(cut.leaf)?.id;
        let cuts = self.opened.state.round(self.screen.round)?.cuts.iter().map(|cut| &cut.what);
        let own = cuts.filter(|done| done.intended.leaf == *id && done.intended.edge == cut.edge);
        let (mut all, mut last) = (None::<TrimMeant>, None);
        for one in own {
            let (start, end) = (one.intended.start, one.intended.end);
            all = Some(match all {
                Some(sum) => {
                    let (start, end) = (sum.start.checked_add(start)?, sum.end.checked_add(end)?);
                    TrimMeant { start, end, ..sum }
                }
                None => one.intended.clone(),
            });
            last = Some(one);
        }
        let last = last.filter(|last| !last.more)?;
        Some((all?, last.method.as_str()))
    }

    /// Did wood come off since the round was read?
    pub fn is_cut(&self) -> bool {
        self.opened.state.round(self.screen.round).is_some_and(|round| !round.cuts.is_empty())
    }

    /// Is the round over: did wood come off, and nothing of an accepted plan is left to do?
    fn is_over(&self) -> bool {
        let left = self.screen.accepted().is_some() && self.screen.cuts().iter().any(|cut| self.done(cut).is_none());
        self.is_cut() && !left
    }

    /// Is anything still to be cut by this plan?
    fn is_to_cut(&self) -> bool {
        !self.is_over() && self.screen.cuts().iter().any(|cut| self.done(cut).is_none())
    }
}

impl PlanLines {
    /// Everything that `plan` says.
    pub fn of(told: Told<'_>, look: &Look, plan: &Plan) -> Self {
        let Told { screen, show, .. } = told;
        let mut lines = Vec::new();
        let besides = screen.stands_besides(told.opened).map(next_words::stands_besides);
        lines.extend(besides.map(|text| Line::new(Role::Caution, Worth::Must, text)));
        if told.is_over() {
            lines.push(Line::new(Role::Caution, Worth::Must, format!("CUT SINCE: {}", words::ROUND_IS_CUT)));
        } else {
            lines.extend(rounds_words::first(look, show).map(|text| Line::new(Role::Next, Worth::Must, text)));
            lines.push(Line::new(Role::Next, Worth::Must, verdict_line(told, look, plan)));
        }
        let several = screen.problem.leaves.len() > 1;
        if told.is_to_cut() {
            let text =
                format!("{}  cut now, stopping short of the pencil line", " ".repeat(if several { 9 } else { 7 }));
            lines.push(Line::new(Role::Quiet, Worth::Twice, text));
        }
        for stance in sag::stances(&screen.problem).unwrap_or_default() {
            let id = screen.problem.leaves.get(stance.leaf).filter(|_| several).map(|leaf| format!("{} ", leaf.id));
            let said = contract::hinges::stance(&stance, show);
            lines.extend(
                said.map(|text| {
                    Line::new(Role::Text, Worth::Later, format!("{}{text}", id.clone().unwrap_or_default()))
                }),
            );
        }
        for (place, (leaf, part)) in screen.problem.leaves.iter().zip(&plan.leaves).enumerate() {
            leaf_lines(told, (place, leaf), part, &mut lines);
        }
        let mut sightlines = sight_words::all(&screen.problem, plan, show);
        let steps = sightlines.extract_if(.., |(runs, _)| *runs == Runs::Steps);
        lines.extend(steps.map(|(_, text)| Line::new(Role::Caution, Worth::Must, format!("! {text}"))));
        // Of the others the one that steps most comes before the passes, if any does; the rest gives way to them.
        if let Some(place) = sightlines.iter().position(|(runs, _)| *runs == Runs::StepsLittle) {
            let (_, text) = sightlines.remove(place);
            lines.push(Line::new(Role::Quiet, Worth::Outcome, text));
        }
        if !told.is_over() {
            let quiet = |worth| move |text: String| Line::new(Role::Quiet, worth, text);
            lines.extend(rounds_words::passes(look).map(quiet(Worth::Quiet)));
            let risk = (!screen.cuts().is_empty()).then(|| rounds_words::risk(look, show));
            lines.extend(risk.map(quiet(Worth::Twice)));
        }
        lines.extend(sightlines.into_iter().map(|(_, text)| Line::new(Role::Quiet, Worth::Quiet, text)));
        if !told.is_over() && plan.verdict == Verdict::Short {
            let ways = next_words::what_helps(plan, look, show).into_iter();
            let told = ways.chain([altering::TELL.to_owned()]);
            lines.extend(told.map(|text| Line::new(Role::Text, Worth::Must, text)));
        }
        for warning in &plan.warnings {
            lines.push(Line::new(Role::Caution, Worth::Must, format!("! {}", warning_words(screen, warning, show))));
        }
        Self { lines, cautions: if told.is_to_cut() { cautions(show) } else { Vec::new() } }
    }

    /// What there is to say instead of a plan.
    pub fn only(role: Role, text: impl Into<String>) -> Self {
        Self { lines: vec![Line::new(role, Worth::Must, text)], cautions: Vec::new() }
    }

    /// The lines for a screen of `width` columns and `height` rows, those of the picture included. Where there is
    /// little room quiet words go first, then cuts are said in fewer words, then what `?` has as well is left to it:
    /// cautions, numbers and picture stay.
    pub fn fitted(mut self, width: usize, height: usize) -> Vec<(Role, String)> {
        let rows =
            |line: &Line| wrapped(&line.text, width).into_iter().map(|text| (Role::Caution, text)).collect::<Vec<_>>();
        let cautions: Vec<_> = self.cautions.iter().flat_map(rows).collect();
        let height = height.saturating_sub(cautions.len());
        let room = |picture: usize| height.saturating_sub(picture);
        self.give_way(Worth::Quiet, width, room(PICTURE));
        if self.count(width) > room(SMALLER) {
            for line in &mut self.lines {
                line.text = line.short.take().unwrap_or_else(|| std::mem::take(&mut line.text));
            }
            let before = self.lines.len();
            for worth in [Worth::Later, Worth::Outcome] {
                self.give_way(worth, width, room(SMALLER));
            }
            if self.lines.len() < before {
                self.say_more(width);
            }
        }
        if self.count(width) > room(LEAST_PICTURE) {
            self.two_to_a_row(width);
        }
        let mut rows: Vec<_> = self.lines.iter().flat_map(|line| line.rows(width)).collect();
        let most = room(LEAST_PICTURE).max(3).min(height);
        if rows.len() > most {
            let left = most.saturating_sub(1);
            let unseen = self.cuts_beyond(left, width);
            rows.truncate(left);
            rows.push((Role::Caution, if unseen > 0 { more_cuts(unseen) } else { MORE.to_owned() }));
        }
        rows.extend(cautions);
        rows
    }

    /// All of it that a small screen may have to leave out: not the answer itself, which stands first.
    pub fn in_full(self) -> Vec<(Role, String)> {
        let own = self.lines.into_iter().filter(|line| line.worth != Worth::Twice && line.role != Role::Next);
        own.map(|line| (line.role, line.text.trim().to_owned())).collect()
    }

    /// Cuts that do not stand whole in the first `rows` rows.
    fn cuts_beyond(&self, rows: usize, width: usize) -> usize {
        let ends = self.lines.iter().scan(0, |end, line| {
            *end += line.rows(width).len();
            Some((*end, line.cuts))
        });
        ends.filter(|(end, _)| *end > rows).map(|(_, cuts)| cuts).sum()
    }

    fn count(&self, width: usize) -> usize {
        self.lines.iter().map(|line| line.rows(width).len()).sum()
    }

    /// Leaves out lines of no more than this worth, the last first, until there is room.
    fn give_way(&mut self, worth: Worth, width: usize, room: usize) {
        while self.count(width) > room
            && let Some(place) = self.lines.iter().rposition(|line| line.worth <= worth)
        {
            self.lines.remove(place);
        }
    }

    /// Says that there is more, where the answer's own row has room for it.
    fn say_more(&mut self, width: usize) {
        let answer = self.lines.iter_mut().find(|line| line.text.ends_with(')') && line.role == Role::Next);
        if let Some(line) = answer.filter(|line| line.text.width() + MORE_SHORT.width() <= width) {
            line.text.pop();
            line.text.push_str(MORE_SHORT);
            line.text.push(')');
        }
    }

    fn two_to_a_row(&mut self, width: usize) {
        let half = width / 2;
        let cuts: Vec<String> = self.lines.iter().filter_map(|line| line.shortest.clone()).collect();
        let Some(first) = self.lines.iter().position(|line| line.shortest.is_some()) else { return };
        if cuts.iter().any(|cut| cut.width() + 1 > half) {
            return;
        }
        self.lines.retain(|line| line.shortest.is_none());
        let mut rows = vec![Line::new(Role::Quiet, Worth::Must, TWO_TO_A_ROW)];
        for pair in cuts.chunks(2) {
            let text = pair.iter().map(|cut| padded(cut, half)).collect::<String>();
            rows.push(Line { cuts: pair.len(), ..Line::new(Role::Text, Worth::Must, text.trim_end()) });
        }
        self.lines.splice(first..first, rows);
    }
}

/// The plan's answer, the gaps now and after it, and how it was asked for.
fn verdict_line(told: Told<'_>, look: &Look, plan: &Plan) -> String {
    let Told { screen, opened, show, .. } = told;
    let tolerance = screen.problem.tolerance;
    let ways = if screen.every_edge() { "every edge" } else { "fewest cuts" };
    format!(
        "{}: now {}, after {}{}.  ({}, {ways})",
        rounds_words::verdict(look, plan).to_uppercase(),
        gap_words::now(&opened.state, screen.round, plan, tolerance, show),
        gap_words::off(plan.worst_after, tolerance, show),
        if screen.cuts().is_empty() && plan.verdict != Verdict::Short {
            format!(", {}", next_words::doubt(look))
        } else {
            String::new()
        },
        words::prefer(screen.prefer())
    )
}

/// The cautions, wherever a cut is proposed.
fn cautions(show: Show) -> Vec<Line> {
    vec![Line::new(Role::Caution, Worth::Must, Caution::in_short(&Caution::WHEREVER_CUT, show.unit()))]
}

fn leaf_lines(told: Told<'_>, (place, leaf): (usize, &Leaf), part: &LeafPlan, lines: &mut Vec<Line>) {
    let Told { screen, show, .. } = told;
    let name = if screen.problem.leaves.len() > 1 { format!("{} ", leaf.id) } else { String::new() };
    let hung = matches!(leaf.motion, Motion::Hung(_));
    for text in contract::hinges::leaf(leaf, part, told.named, show) {
        lines.push(Line::new(Role::Text, Worth::Must, format!("{name}{text}")));
    }
    let own: Vec<&CutAdvice> = screen.cuts().iter().filter(|cut| cut.leaf == place).collect();
    let cuts = !own.is_empty();
    for cut in own {
        lines.push(if let Some((meant, method)) = told.done(cut) {
            let meant = words::trim(&meant, show);
            Line::new(Role::Quiet, Worth::Cut, format!("{meant}; done, {}", method.replace('-', " ")))
        } else {
            let by = screen.by(cut);
            let [short, shortest] = rounds_words::cut_in_short(cut, &by, show);
            Line {
                short: Some(format!("{name}{short}")),
                shortest: Some(format!("{name}{shortest}")),
                cuts: 1,
                ..Line::new(Role::Text, Worth::Cut, format!("{name}{}", rounds_words::cut(cut, &by, show)))
            }
        });
    }
    if let Some(text) = move_words(leaf, part, show).filter(|_| !hung && !told.is_cut()) {
        let worth = if cuts { Worth::Later } else { Worth::Must };
        lines.push(Line::new(Role::Text, worth, format!("{name}{text}")));
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

fn warning_words(screen: &PlanScreen, warning: &Warning, show: Show) -> String {
    let id = |leaf: usize| screen.problem.leaves.get(leaf).map_or("", |leaf| leaf.id.as_str());
    let line = |gap: usize| {
        let sides = screen.problem.gaps.get(gap).map(|gap| gap.between);
        let edge = sides.into_iter().flatten().find_map(|side| match side {
            Facing::Leaf { leaf, edge } => Some(format!("{edge} edge of {}", id(leaf))),
            Facing::Frame => None,
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
            let at = stations::shown(*at, show);
            format!("the {} has two readings at {at} that differ by {}", line(*gap), by.shown(show))
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
