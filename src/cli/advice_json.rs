//! What the advice on a round says beyond its plan: keys of `plan --json` beside those of `evenreveal-plan/1`.

use crate::bench::brief::Brief;
use crate::bench::rounds::{self, Look, PassesLeft};
use crate::bench::sheets::{self, Sheet};
use crate::contract;
use crate::cut::job::JobError;
use crate::fit::estimate::Method;
use crate::fit::length::{Inches, Show, Unit};
use crate::fit::opening::Facing;
use crate::fit::plan::Trim;
use crate::fit::policy::{Ask, CutAdvice, Next, Spread, Why};
use crate::shop::OpeningState;
use crate::shop::log::Trouble as LogTrouble;
use crate::shop::replay::Unsound;
use serde_json::{Map, Value, json};

/// Millimetres in an inch (International Yard and Pound Agreement, 1959).
const MM: f64 = 25.4;

/// Adds the advice to a plan's keys; lengths in the plan's unit.
pub(super) fn add(
    keys: &mut Map<String, Value>,
    look: &Look,
    setups: &[Result<Sheet, JobError>],
    brief: &Brief,
    (state, show): (&OpeningState, Show),
) {
    let advice = &look.advice;
    let asks: &[Ask] = if let Next::Read(asks) | Next::Pack(asks) = look.unbound() { asks } else { &[] };
    let (next, mut passes) = (brief.thing.word(), brief.passes.map(passes_json));
    if let (Some(Value::Object(keys)), Some(forecast)) = (&mut passes, &advice.passes) {
        let leaf = |(place, trips): &(usize, Spread)| json!({ "leaf": id(look, *place), "trips": spread(*trips) });
        keys.insert("leaves".to_owned(), forecast.leaves.iter().map(leaf).collect());
        let edge = |one: &crate::fit::policy::EdgePasses| json!({ "leaf": id(look, one.leaf), "edge": one.edge.word(), "saw": spread(one.saw), "plane": spread(one.plane) });
        keys.insert("edges".to_owned(), look.edges_left(state).iter().map(edge).collect());
    }
    let accepted = look.accepted.as_ref().map(|one| json!({ "event": one.n, "advice_differs": one.differs }));
    let new = [
        ("accepted", accepted.unwrap_or(Value::Null)),
        ("round", json!(look.round)),
        ("next", json!(next)),
        ("read_again", asks.iter().map(|ask| ask_json(look, ask, show)).collect()),
        ("cuts", look.cuts().iter().map(|cut| cut_json((look, state), cut, setups, show)).collect()),
        ("passes", passes.unwrap_or(Value::Null)),
        ("doubt", json!(advice.doubt)),
        ("risk_k", json!(look.policy.risk.k)),
    ];
    keys.extend(new.map(|(key, value)| (key.to_owned(), value)));
    // Also where what is left to take is not in the plan shown.
    if !look.cuts().is_empty() || !setups.is_empty() {
        keys.insert("cautions".to_owned(), json!(contract::write::cautions(true)));
    }
}

/// What to do first where nothing may be built on the log.
pub(super) fn unsound(kind: Unsound) -> &'static str {
    match kind {
        Unsound::Damaged => "mend",
        Unsound::Newer => "newer-build",
        Unsound::Unreadable => "unreadable",
    }
}

/// The answer where the log cannot be trusted to its end: the keys of a plan, and no cut in any of them.
pub(super) fn no_plan(opening: &str, trouble: &LogTrouble) -> Value {
    json!({
        "format": contract::PLAN_FORMAT, "opening": opening, "next": unsound(trouble.kind()),
        "trouble": trouble.to_string(), "verdict": null, "leaves": [], "cuts": [], "setups": [], "warnings": [],
        "cautions": [],
    })
}

/// Passes that remain: `trips`, `saw`, `plane`, each with median and the number not exceeded 9 times in 10.
pub(super) fn passes_json(left: PassesLeft) -> Value {
    json!({ "trips": spread(left.trips), "saw": spread(left.saw), "plane": spread(left.plane) })
}

fn spread(spread: Spread) -> Value {
    json!({ "median": spread.median, "nine_in_ten": spread.most })
}

fn id(look: &Look, leaf: usize) -> &str {
    look.problem.leaves.get(leaf).map_or("", |leaf| leaf.id.as_str())
}

fn number(length: Inches, show: Show) -> f64 {
    let value = match show.unit() {
        Unit::Inch => length.0,
        Unit::Millimetre => length.0 * MM,
    };
    // No sign on zero.
    value + 0.0
}

fn ask_json(look: &Look, ask: &Ask, show: Show) -> Value {
    let side = |facing: Facing| match facing {
        Facing::Frame => "frame".to_owned(),
        Facing::Leaf { leaf, edge } => format!("{}.{edge}", id(look, leaf)),
    };
    let why = match ask.why {
        Why::LooksWrong => "looks-wrong",
        Why::Unconfirmed => "unconfirmed",
        Why::LeavesDoubt => "leaves-doubt",
        Why::NotRead => "not-read",
    };
    json!({
        "between": look.problem.gaps.get(ask.gap).map(|gap| gap.between.map(side)),
        "at": number(Inches(ask.at.inches()), show),
        "why": why,
        "read": ask.read.map(|read| number(read, show)),
        "expected": number(ask.expected.mean, show),
        "expected_sd": number(ask.expected.sd, show),
        "earlier_round": ask.earlier_round,
    })
}

/// A cut; its `method` is that of its set-up in `setups`, `saw` or `plane`; `done`: it is made.
fn cut_json(
    (look, state): (&Look, &OpeningState),
    cut: &CutAdvice,
    setups: &[Result<Sheet, JobError>],
    show: Show,
) -> Value {
    let leaf = id(look, cut.leaf);
    let set_up = sheets::method_for(setups, leaf, cut.edge);
    let done = state.round(look.round).is_some_and(|round| round.is_cut(leaf, cut.edge));
    let method = set_up.map_or(cut.method, |set_up| rounds::method(set_up.word()));
    let ends = |[start, end]: [Inches; 2]| json!({ "start": number(start, show), "end": number(end, show) });
    let shown = |[start, end]: [Inches; 2]| contract::write::trim_shown(&Trim { edge: cut.edge, start, end }, show);
    json!({
        "leaf": leaf,
        "edge": cut.edge.word(),
        "done": done,
        "method": match method { Method::Saw => "saw", Method::Plane => "plane" },
        "aim": ends(cut.aim), "aim_shown": shown(cut.aim),
        "line": ends(cut.line), "line_shown": shown(cut.line),
        "cut_sd": ends(cut.cut_sd), "line_sd": ends(cut.line_sd),
    })
}
