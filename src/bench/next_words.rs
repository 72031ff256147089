//! What to do next, in words: which stations to read again and why, when it fits, what would help where it
//! does not.

use super::gap_words;
use super::next;
use super::rounds::Look;
use super::seen::OpeningSeen;
use super::stations::{self, StationPlace};
use super::surprise::{Asked, Doubt};
use super::words;
use crate::fit::estimate::Method;
use crate::fit::length::{Inches, Show, Unit};
use crate::fit::opening::{Edge, Side};
use crate::fit::plan::Plan;
use crate::fit::policy::{Ask, CutAdvice, Next, Why};
use crate::shop::replay::Stage;

/// `latch side, top`; `B top edge, left` where there are several leaves.
pub fn station(station: &StationPlace, opened: &OpeningSeen) -> String {
    let leaf = opened.state.leaves.get(station.leaf).map(|leaf| &leaf.what);
    let name = leaf.filter(|_| opened.state.leaves.len() > 1).map_or(String::new(), |leaf| format!("{} ", leaf.leaf));
    let hinge = leaf.and_then(|leaf| leaf.hinge);
    let side = match (hinge, station.edge) {
        (Some(Side::Left), Edge::Left) | (Some(Side::Right), Edge::Right) => "hinge side".to_owned(),
        (Some(_), Edge::Left | Edge::Right) => "latch side".to_owned(),
        (_, edge) => format!("{edge} edge"),
    };
    let words = station.words();
    let spot = words.split_once(", ").map_or("", |(_, spot)| spot);
    format!("{name}{side}, {spot}")
}

/// The question about a reading, with the keys that answer it.
pub fn question(asked: &Asked, station: &str, show: Show) -> String {
    let gap = |gap: Inches| if gap.0 < 0.0 { format!("lap {}", Inches(-gap.0).shown(show)) } else { gap.shown(show) };
    let (expected, read) = (gap(asked.surprise.expected), gap_words::in_full(&asked.surprise.read, show));
    let check = format!("Check the {station}: expected {expected}, you read: {read}.");
    match asked.doubt {
        Doubt::Kept { earlier: true, .. } => {
            format!("{check} That was before the last cut: it cannot be read again. k: it stands, x: strike it")
        }
        _ => format!("{check} r: read it again, k: keep it, x: strike it"),
    }
}

/// Most stations that are named one by one.
const MOST_NAMED: usize = 6;

fn named(asks: &[Ask], look: &Look, opened: &OpeningSeen) -> Vec<String> {
    let walk = stations::walk(&opened.state, look.round);
    let mut names: Vec<String> = Vec::new();
    for place in asks.iter().filter_map(|ask| stations::near(&walk, ask.gap, ask.at)) {
        let name = station(&place, opened);
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

/// Which stations to read again, and why.
pub fn read_again(asks: &[Ask], look: &Look, opened: &OpeningSeen, show: Show) -> String {
    let names = named(asks, look, opened);
    let names = if names.len() > MOST_NAMED { format!("{} stations", names.len()) } else { names.join("; ") };
    let Some(first) = asks.first() else { return String::new() };
    let read = first.index.and_then(|index| look.sources.get(index));
    let read = read.map_or_else(String::new, |source| gap_words::in_full(&source.reading, show));
    let expected = first.expected.mean.shown(show);
    match first.why {
        Why::LooksWrong if first.earlier_round => {
            format!("judge a reading of an earlier round (r): {names}, expected {expected}, you read: {read}")
        }
        Why::LooksWrong => format!("check the {names} (r): expected {expected}, you read: {read}"),
        Why::Unconfirmed => format!("read again (r): {names}. A slip there would not show"),
        Why::LeavesDoubt if look.hangs_on(first) => {
            format!("read the {names} again (r): most of the doubt that is left hangs on it")
        }
        Why::LeavesDoubt => format!("read the {names} again (r): it leaves the most doubt of all"),
        Why::NotRead => format!("read (r): {names}. Without that nobody knows how it fits"),
    }
}

/// How many chances in a hundred, in words.
pub fn doubt(look: &Look) -> String {
    match look.advice.doubt * 100.0 {
        few if few < 1.0 => "doubt under 1 in 100".to_owned(),
        some => format!("doubt up to {} in 100", some.ceil().min(100.0)),
    }
}

/// Why the cuts of the plan are as deep as they are: short of the line by the stated risk.
pub fn depth(look: &Look, cuts: &[CutAdvice], show: Show) -> Vec<String> {
    let rounds = look.estimate.round();
    let mut lines = Vec::new();
    if rounds > 1 {
        lines.push(format!("'Now' is as it was read; the plan rests on all {rounds} rounds, cuts included."));
    }
    if !cuts.is_empty() {
        let saw_bare = |cut: &CutAdvice| cut.method == Method::Saw && (cut.is_bare(0) || cut.is_bare(1));
        let but = if cuts.iter().any(saw_bare) { " wherever wood is to come off" } else { "" };
        lines.push(format!("Each cut stops short of its line{but}. {}", super::rounds_words::risk(look, show)));
    }
    for cut in cuts {
        let short = |line: Inches, aim: Inches| fine((line.0 - aim.0).max(0.0), show);
        let worst = |list: &[Inches; 2]| fine(list[0].0.max(list[1].0), show);
        let leaf = look.problem.leaves.get(cut.leaf).filter(|_| look.problem.leaves.len() > 1);
        lines.push(format!(
            "{}{} edge: short by {} and {}; {} errs {}, line sure to {}.",
            leaf.map_or(String::new(), |leaf| format!("{} ", leaf.id)),
            cut.edge,
            short(cut.line[0], cut.aim[0]),
            short(cut.line[1], cut.aim[1]),
            super::planning::reckoned_for(cut),
            worst(&cut.cut_sd),
            worst(&cut.line_sd),
        ));
    }
    lines
}

/// Spreads are below what a feeler shows: thousandths of an inch, or hundredths of a millimetre.
fn fine(inches: f64, show: Show) -> String {
    match show.unit() {
        Unit::Inch => format!("{inches:.3} in"),
        Unit::Millimetre => format!("{:.2}mm", inches * 25.4),
    }
}

/// What would help where wood is missing.
pub fn what_helps(plan: &Plan, look: &Look, show: Show) -> Vec<String> {
    let id = |leaf: usize| look.problem.leaves.get(leaf).map_or("", |leaf| leaf.id.as_str());
    let mut ways = Vec::new();
    if let Some(even) = plan.even_reveal {
        ways.push(format!("it can be even at {} all round", even.shown(show)));
    }
    for strip in plan.strips.iter().take(2) {
        let (thick, leaf) = (strip.thickness.shown(show), id(strip.leaf));
        ways.push(format!("or glue a strip {thick} thick on the {} edge of {leaf}", strip.edge));
    }
    for (leaf, edge) in plan.unlock.iter().take(2) {
        ways.push(format!("or allow cutting the {edge} edge of {}", id(*leaf)));
    }
    ways
}

/// A plan worked out anew is shown, and the one of event `n` stands.
pub fn stands_besides(n: u64) -> String {
    format!("! NOT ACCEPTED: the plan of event {n} stands (n) until this one is accepted (a).")
}

/// As good as it gets, and what would help.
pub fn as_good(look: &Look) -> String {
    let doubt = doubt(look);
    format!(
        "within tolerance as far as can be told, {doubt}; these feelers cannot make it surer, and no cut would \
         help: a taper gauge or finer feelers would tell more"
    )
}

/// Is the advice what matters now: the round is read and nothing was cut or decided that ends it?
fn advice(stage: Stage, look: Option<&Look>) -> Option<&Look> {
    look.filter(|look| match stage {
        Stage::Decide { round } | Stage::Fitted { round } | Stage::Settled { round } | Stage::Short { round } => {
            round == look.round
        }
        _ => false,
    })
}

/// What to do next, with its round and its why.
pub fn long(stage: Stage, look: Option<&Look>, opened: &OpeningSeen, show: Show) -> String {
    if let (Stage::Cut { .. }, Some(true)) =
        (stage, look.and_then(|look| look.accepted.as_ref()).map(|accepted| accepted.differs))
    {
        return format!("{}; but the advice differs now: see the plan first (p)", words::next_long(stage));
    }
    let Some(look) = advice(stage, look) else { return words::next_long(stage) };
    let settled = matches!(stage, Stage::Fitted { .. } | Stage::Settled { .. });
    let accept = if settled { "" } else { "; accept it in the plan (p)" };
    match &look.advice.next {
        Next::Read(asks) if !next::asks(look, opened).is_empty() => read_again(asks, look, opened, show),
        Next::Read(_) => "doubt came up since: read the gaps again (r)".to_owned(),
        Next::Fitted if settled => format!("nothing: it fits, {}", doubt(look)),
        Next::Fitted => format!("it fits when it sits as the plan shows, {}{accept}", doubt(look)),
        Next::Short => {
            let ways = match &what_helps(&look.advice.plan, look, show)[..] {
                [] => "no one strip and no other reveal would help either".to_owned(),
                ways => ways.join(", "),
            };
            let off = super::gap_words::beyond(look.advice.plan.reach, look.problem.tolerance, show);
            let tell = super::altering::TELL;
            format!("wood is missing: cut or not, a gap stays off by {off}; {ways}. See the plan (p); {tell}")
        }
        Next::AsGoodAsItGets => format!("{}{accept}", as_good(look)),
        Next::Pack(_) => {
            format!("see to the hinges first, as the plan says (p): {}", super::rounds_words::hinges_cost(look))
        }
        Next::Cut(_) => words::next_long(stage),
    }
}
