//! What the rounds say, in words: what to do next and how deep, how sure it is, what is asked.

use super::knowing::{Because, Change, LookAnswer};
use super::rounds::{Look, PassesLeft};
use super::taken::RoundSeen;
use crate::fit::estimate::Method;
use crate::fit::length::{Inches, Show, Unit};
use crate::fit::opening::Motion;
use crate::fit::plan::Plan;
use crate::fit::policy::{Ask, CutAdvice, Next, Risk, Spread, Why, chance, one_in};
use crate::shop::OpeningState;
use crate::shop::event::{ReadingJudged, Verdict};

/// How a judged reading stands.
pub fn verdict_word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Kept => "kept",
        Verdict::Struck => "struck",
    }
}

/// `reading of event 12 at 13" struck`.
pub fn judged(judged: &ReadingJudged, show: Show) -> String {
    let edge = judged.between.iter().find(|side| *side != "frame").map_or("", String::as_str);
    format!(
        "reading of event {} ({edge} at {}) {}",
        judged.reading,
        super::stations::shown(judged.at, show),
        verdict_word(judged.verdict)
    )
}

/// The answer in a word or two.
pub fn verdict(look: &Look, plan: &Plan) -> &'static str {
    let short = plan.reach.0 > look.problem.tolerance.inches() + 1e-9;
    match &look.advice.next {
        Next::Pack(_) if short && pack_verdict(plan) == SCREWS => "Turn the screws, still short",
        Next::Pack(_) if short => "Pack a hinge, still short",
        Next::Pack(_) => pack_verdict(plan),
        Next::Fitted | Next::AsGoodAsItGets if crate::fit::policy::packs(plan) => pack_verdict(plan),
        Next::Cut(_) if crate::fit::policy::packs(plan) && pack_verdict(plan) == SCREWS => "Screws, then trim",
        Next::Cut(_) if crate::fit::policy::packs(plan) => "Pack, then trim",
        Next::Fitted => "It fits",
        Next::Short => "Too short",
        Next::AsGoodAsItGets => "As good as it gets",
        Next::Read(asks) if look.advice.cuts.is_empty() && not_read(asks) => "Read the rest",
        Next::Read(_) if look.advice.cuts.is_empty() => "Read again",
        Next::Cut(_) | Next::Read(_) => "Trim it",
    }
}

const SCREWS: &str = "Turn the screws";

/// Card behind a hinge, or screws only?
fn pack_verdict(plan: &Plan) -> &'static str {
    let mut packs = plan.leaves.iter().flat_map(|leaf| &leaf.packs);
    if packs.any(|pack| pack.counts.iter().any(|&count| count > 0)) { "Pack a hinge" } else { SCREWS }
}

/// What seeing to the hinges costs: no wood, unless one of them is let in deeper than what stands behind it.
pub fn hinges_cost(look: &Look) -> &'static str {
    let leaves = look.problem.leaves.iter().zip(&look.plan().leaves);
    let lets_in = leaves.into_iter().any(|(leaf, part)| match &leaf.motion {
        Motion::Hung(hanging) => part.packs.iter().any(|pack| {
            let stocked = pack.counts.iter().any(|&count| count > 0);
            stocked && -pack.out.0 > hanging.there_at(pack.hinge).inches() + 1e-6
        }),
        _ => false,
    });
    if lets_in { "a mortise goes deeper, the edges stay" } else { "it costs no wood" }
}

/// More stations than this are counted, not named: the line above a plan has to leave room for its picture.
const MOST_NAMED: usize = 2;

/// What comes before the plan, if anything: stations to read again, or why nothing more can be done.
pub fn first(look: &Look, show: Show) -> Option<String> {
    if let Some(stands) = super::accepted::line(look, show) {
        return Some(stands);
    }
    match &look.advice.next {
        Next::Read(asks) => {
            let again = if not_read(asks) { "" } else { "AGAIN " };
            if asks.len() > MOST_NAMED {
                return Some(format!("READ {} STATIONS {again}FIRST (r). {}", asks.len(), why_read(look, asks)));
            }
            let named: Vec<String> = asks.iter().map(|ask| station(look, ask, show)).collect();
            Some(format!("READ {again}FIRST (r): {}. {}", named.join(", "), why_read(look, asks)))
        }
        Next::AsGoodAsItGets => Some(super::next_words::as_good(look)),
        Next::Pack(_) => {
            let what = if pack_verdict(look.plan()) == SCREWS { "Screws" } else { "Pack" };
            Some(format!("{what} first, then read the next round: {}. Nothing is cut yet.", hinges_cost(look)))
        }
        Next::Cut(_) | Next::Fitted | Next::Short => None,
    }
}

fn station(look: &Look, ask: &Ask, show: Show) -> String {
    use crate::fit::opening::Facing;
    let sides = look.problem.gaps.get(ask.gap).map(|gap| gap.between);
    let edge = sides.into_iter().flatten().find_map(|side| match side {
        Facing::Leaf { leaf, edge } => Some((look.problem.leaves.get(leaf)?, edge)),
        Facing::Frame => None,
    });
    let Some((leaf, edge)) = edge else { return String::new() };
    let name = if look.problem.leaves.len() > 1 { format!("{} ", leaf.id) } else { String::new() };
    let length = leaf.edge_length(edge).inches();
    let spot = match (edge.is_upright(), ask.at.inches() / length) {
        (true, share) if share < 0.34 => "bottom",
        (true, share) if share > 0.66 => "top",
        (false, share) if share < 0.34 => "left",
        (false, share) if share > 0.66 => "right",
        _ => "middle",
    };
    match ask.why {
        Why::LooksWrong => format!("{name}{edge} {spot} (expected {})", ask.expected.mean.shown(show)),
        Why::Unconfirmed | Why::LeavesDoubt | Why::NotRead => format!("{name}{edge} {spot}"),
    }
}

/// Are stations lacking that were not read at all?
fn not_read(asks: &[Ask]) -> bool {
    asks.first().is_some_and(|ask| ask.why == Why::NotRead)
}

fn why_read(look: &Look, asks: &[Ask]) -> &'static str {
    match asks.first() {
        Some(Ask { why: Why::LooksWrong, earlier_round: true, .. }) => "A reading of an earlier round looks wrong.",
        Some(Ask { why: Why::LooksWrong, .. }) => "The others contradict it.",
        Some(Ask { why: Why::NotRead, .. }) => "Without that nobody knows how it fits.",
        Some(ask @ Ask { why: Why::LeavesDoubt, .. }) if look.hangs_on(ask) => {
            "Most of the doubt that is left hangs on it."
        }
        Some(Ask { why: Why::LeavesDoubt, .. }) => "It leaves the most doubt of all.",
        _ => "A slip there would not show.",
    }
}

/// One edge: what to take now at both corners, where the line is, `by` what means.
pub fn cut(cut: &CutAdvice, by: &str, show: Show) -> String {
    let (low, high) = super::sheet_words::ends(cut.edge);
    format!(
        "{:<7} {} off the {low} corner, {} off the {high}; line {}, {}; {by}",
        cut.edge.word(),
        removal(cut.aim[0], show),
        removal(cut.aim[1], show),
        removal(cut.line[0], show),
        removal(cut.line[1], show),
    )
}

/// The same in fewer words, and in fewest: without corners and lines, the lower or left corner first.
pub fn cut_in_short(cut: &CutAdvice, by: &str, show: Show) -> [String; 2] {
    let (low, high) = super::sheet_words::ends(cut.edge);
    let [[start, end], [first, last]] = [cut.aim, cut.line].map(|ends| ends.map(|end| removal(end, show)));
    let edge = cut.edge.word();
    [
        format!("{edge:<7} off {start} {low}, {end} {high}; line {first}, {last}; {by}"),
        format!("{edge:<6} {start}, {end}; {by}"),
    ]
}

/// Wood to take, or wood to a line that must not be passed: never shown as more than it is.
pub fn removal(inches: Inches, show: Show) -> String {
    inches.length().shown_down(show)
}

/// The risk of the cuts to make now, in words: of the saw that it goes over the line at all, of the plane that it
/// goes over by more than it may.
pub fn risk(look: &Look, show: Show) -> String {
    let Risk { k } = look.policy.risk;
    if k <= 0.0 {
        return "Cut to the line: about every second end goes over it.".to_owned();
    }
    let spare = look.policy.spare();
    let asked = chance::above(k);
    let ends = |method: Method| {
        let own = look.cuts().iter().filter(move |cut| cut.method == method);
        own.flat_map(|cut| [0, 1].map(|end| (cut, end)))
    };
    let chance = |(cut, end): (&CutAdvice, usize), spare: Inches| cut.over_at(end, spare).unwrap_or(0.0);
    // A saw cannot stay short where nothing is to come off: those ends are told apart.
    let worst = |method: Method, spare: Inches| {
        let own = ends(method).filter(|(cut, end)| method == Method::Plane || !cut.is_bare(*end));
        own.map(|end| chance(end, spare)).reduce(f64::max).map(|chance| one_in(chance.max(asked)))
    };
    let bare = ends(Method::Saw).filter(|(cut, end)| cut.is_bare(*end));
    let bare = bare.map(|end| (chance(end, Inches(0.0)), corner(look, end))).filter(|(chance, _)| *chance > asked);
    let bare: Vec<_> = bare.collect();
    let likeliest = bare.iter().map(|(chance, _)| *chance).fold(0.0, f64::max);
    let bare = if bare.is_empty() {
        String::new()
    } else {
        let named = bare.into_iter().map(|(_, corner)| corner).collect::<Vec<_>>().join(", ");
        format!(" Nothing is to come off at {named}: there 1 in {} goes over.", one_in(likeliest))
    };
    let past = thousandths(spare.0, show);
    // One line of a small screen holds each of these.
    let told = match (worst(Method::Saw, Inches(0.0)), worst(Method::Plane, spare)) {
        (Some(sawn), Some(planed)) => {
            format!("About 1 sawn end in {sawn} goes over its line, 1 planed in {planed} by over {past}.")
        }
        (None, Some(planed)) => format!("About one planed end in {planed} goes over its line by more than {past}."),
        (sawn, None) => format!("About one sawn end in {} goes over its line.", sawn.unwrap_or(one_in(asked))),
    };
    told + &bare
}

/// `A left, lower`; without the leaf where there is only one.
fn corner(look: &Look, (cut, end): (&CutAdvice, usize)) -> String {
    let (low, high) = super::sheet_words::ends(cut.edge);
    let leaf = look.problem.leaves.get(cut.leaf).filter(|_| look.problem.leaves.len() > 1);
    let leaf = leaf.map_or(String::new(), |leaf| format!("{} ", leaf.id));
    format!("{leaf}{} {}", cut.edge.word(), if end == 0 { low } else { high })
}

/// Passes that remain, each with its spread.
pub fn passes(look: &Look) -> Option<String> {
    look.advice.passes.as_ref().and(look.left).map(passes_left)
}

/// `2, most 3`; `none` where none is left.
pub fn spread(spread: Spread) -> String {
    match spread {
        Spread { most: 0, .. } => "none".to_owned(),
        Spread { median: 0, most } => format!("none, most {most}"),
        Spread { median, most } => format!("{median}, most {most}"),
    }
}

/// Passes that remain, each with its spread.
pub fn passes_left(left: PassesLeft) -> String {
    if left == PassesLeft::default() {
        return "Left: nothing to cut.".to_owned();
    }
    let some = |spread: Spread, one: &str, many: &str| match spread {
        Spread { most: 0, .. } => format!("no {one}"),
        Spread { median: 0, most } => format!("no {one}, most {most}"),
        Spread { median: 1, most } => format!("1 {one}, most {most}"),
        Spread { median, most } => format!("{median} {many}, most {most}"),
    };
    let (trips, saw) = (some(left.trips, "trip", "trips"), some(left.saw, "saw cut", "saw cuts"));
    let plane = some(left.plane, "planing", "planings");
    format!("Left: {trips}; {saw}; {plane} (9 times in 10).")
}

/// Passes that remain for each leaf and each of its edges, a line for a leaf; none where nothing is to be cut.
pub fn each_left(look: &Look, state: &OpeningState) -> Vec<String> {
    let leaves = look.advice.passes.as_ref().map_or(&[][..], |passes| &passes.leaves);
    let edges = look.edges_left(state);
    let line = |&(leaf, trips): &(usize, Spread)| {
        let own = edges.iter().filter(|edge| edge.leaf == leaf);
        let each = own.map(|one| format!("{}: saw {}; plane {}", one.edge, spread(one.saw), spread(one.plane)));
        let each: Vec<String> = each.collect();
        let id = look.problem.leaves.get(leaf).map_or("", |leaf| leaf.id.as_str());
        format!("{id}: trips {}. {}.", spread(trips), each.join(". "))
    };
    leaves.iter().map(line).collect()
}

/// Passes that remain in an opening, for a row of the list: `saw 2, most 3; plane 1, most 2; trips 2, most 3`.
pub fn row_left(left: PassesLeft) -> String {
    format!("saw {}; plane {}; trips {}", spread(left.saw), spread(left.plane), spread(left.trips))
}

/// Trips that were left a round ago, and why that changed: `was 3, most 4: A left took 1/64 less than asked`.
pub fn change(change: &Change, look: &Look, show: Show) -> String {
    let was = spread(change.was);
    match change.because {
        Because::AsAsked => format!("was {was}: one is made, the cuts came out as asked"),
        Because::TripMade => format!("was {was}: one is made"),
        Because::Altered => format!("was {was}: a leaf was altered since"),
        Because::NothingCut => format!("was {was}: nothing was cut since"),
        Because::ReadSince => format!("was {was}: that is by what was read since, not by what a cut took"),
        Because::Cut { leaf, edge, by } => {
            let leaf = look.problem.leaves.get(leaf).map_or("", |leaf| leaf.id.as_str());
            let word = if by.0 > 0.0 { "more" } else { "less" };
            let by = thousandths(by.0.abs(), show);
            format!("was {was}: {leaf} {edge} took {by} {word} than asked")
        }
    }
}

/// Passes that remain in an opening, with why that changed; why nothing can be said where so.
pub fn opening_left(answer: &LookAnswer, state: &OpeningState, show: Show) -> Vec<String> {
    let look = match &answer.answer {
        Ok(look) => look,
        Err(why) => return vec![format!("Passes left: not known: {why}")],
    };
    let left = match look.passes_left(state) {
        Some(left) => passes_left(left),
        None if matches!(look.advice.next, Next::Short) => {
            "Passes left: none helps, trimming alone cannot do it.".to_owned()
        }
        None if matches!(look.advice.next, Next::Pack(_)) => {
            "Passes left: not known until the hinges are seen to and the gaps read again.".to_owned()
        }
        None => "Passes left: not known until the readings asked for are in.".to_owned(),
    };
    let mut lines = vec![left];
    lines.extend(answer.change.as_ref().map(|was| format!("Trips: {}.", change(was, look, show))));
    lines
}

/// Which corner comes first where a cut is told by both.
pub const CUTS_RUN: &str = "cuts: the lower or left corner first, then the other";

/// All rounds of a history, each with its cuts.
pub fn history_lines(history: &[RoundSeen], state: &OpeningState, show: Show) -> Vec<String> {
    let mut lines = Vec::new();
    if history.iter().any(|round| !round.shown.cuts.is_empty()) {
        lines.push(CUTS_RUN.to_owned());
    }
    lines.extend(history.iter().flat_map(|round| round_lines(round, state, show)));
    lines
}

/// A round of the history: what it left with the leaf moved as well as can be, and each cut, meant and taken.
pub fn round_lines(round: &RoundSeen, state: &OpeningState, show: Show) -> Vec<String> {
    let length = |inches: Inches| inches.length().shown_with_error(show);
    let worst = round.shown.moved.map_or_else(
        || "not read".to_owned(),
        |miss| format!("off by {} at worst, moved as well as can be", length(miss)),
    );
    let struck = match round.shown.struck {
        0 => String::new(),
        count => format!("; {count} struck"),
    };
    let mut lines = vec![format!("round {}: {worst}{struck}", round.number)];
    let kept = state.round(round.number).map_or(&[][..], |round| &round.cuts);
    // A cut of a leaf that is not described is no cut of the estimate.
    let kept = kept.iter().filter(|cut| state.leaf(&cut.what.intended.leaf).is_some());
    for (cut, kept) in round.shown.cuts.iter().zip(kept) {
        let leaf = state.leaves.get(cut.made.leaf).map_or("", |leaf| leaf.what.leaf.as_str());
        let ends = |[start, end]: [f64; 2]| format!("{}/{}", thousandths(start, show), thousandths(end, show));
        let taken = if cut.lost {
            "never read: the leaf was altered first".to_owned()
        } else if round.read_since {
            let sd = cut.start.sd.0.max(cut.end.sd.0);
            format!("took {} (\u{b1} {})", ends([cut.start.mean.0, cut.end.mean.0]), thousandths(sd, show))
        } else {
            "not read again yet".to_owned()
        };
        let meant = ends([&kept.what.intended.start, &kept.what.intended.end].map(|end| end.inches()));
        let set = ends([cut.made.start.0, cut.made.end.0]);
        // With what rounding the set-up adds, which was known when it was made.
        let set = if set == meant { String::new() } else { format!(", set {set}") };
        lines.push(format!("  {leaf} {}: meant {meant}{set}, {taken}", cut.made.edge.word()));
    }
    let altered = state.round(round.number).map_or(&[][..], |round| &round.altered);
    lines.extend(altered.iter().map(|said| format!("  {}", super::altering::words(&said.what, show))));
    lines
}

/// A small spread, which a fraction would hide.
fn thousandths(sd: f64, show: Show) -> String {
    match show.unit() {
        Unit::Inch => format!("{sd:.3}"),
        Unit::Millimetre => format!("{:.2}mm", sd * 25.4),
    }
}

/// How likely some station is out of tolerance with nothing more cut.
pub fn doubt(look: &Look) -> String {
    let percent = (look.advice.doubt * 100.0).clamp(0.0, 100.0);
    if percent < 1.0 {
        return "As it is, moved as well as can be: less than 1 % doubt that it is in tolerance.".to_owned();
    }
    format!("As it is, moved as well as can be: at most {percent:.0} % doubt that it is in tolerance.")
}

/// Trips that remain: `trips left 2, most 3`.
pub fn trips_left(left: PassesLeft) -> String {
    format!("trips left {}", spread(left.trips))
}
