//! From a [`Plan`] to `evenreveal-plan/1`, keys exactly as documented.

use super::{PLAN_FORMAT, hinges, words};
use crate::cut::words::Caution;
use crate::fit::length::{Show, Unit};
use crate::fit::opening::{Facing, FitProblem, Hanging, Leaf, Motion};
use crate::fit::plan::{HingePack, LeafPlan, Plan, Trim};
use crate::fit::sag::{self, Stance};
use crate::fit::sightline;
use serde_json::{Value, json};

/// Millimetres in an inch (International Yard and Pound Agreement, 1959).
const MM: f64 = 25.4;

/// A number of JSON; zero never carries a sign.
fn number(value: f64) -> Value {
    json!(if value == 0.0 { 0.0 } else { value })
}

fn length(inches: f64, unit: Unit) -> Value {
    number(match unit {
        Unit::Inch => inches,
        Unit::Millimetre => inches * MM,
    })
}

/// The plan as `evenreveal-plan/1`: lengths as numbers in `unit`, wood in its square, turns in
/// radians, `shown` in the style `show`. `cautions` are the sentences that stand wherever a cut is proposed: in a plan
/// with any trim, a `short` one too; empty in all others.
pub fn from_plan(problem: &FitProblem, plan: &Plan, unit: Unit, show: Show) -> Value {
    let area = match unit {
        Unit::Inch => 1.0,
        Unit::Millimetre => MM * MM,
    };
    let id = |leaf: usize| problem.leaves.get(leaf).map_or("", |leaf| leaf.id.as_str());
    let side = |facing: Facing| match facing {
        Facing::Frame => "frame".to_owned(),
        Facing::Leaf { leaf, edge } => format!("{}.{edge}", id(leaf)),
    };
    let described = |place: usize| problem.leaves.get(place);
    let stances = sag::stances(problem).unwrap_or_default();
    let leaves: Vec<Value> = plan
        .leaves
        .iter()
        .enumerate()
        .map(|(place, leaf)| {
            let mut json = leaf_json(id(place), described(place), leaf, unit, show);
            if let (Value::Object(keys), Some(stance)) = (&mut json, stances.iter().find(|one| one.leaf == place)) {
                keys.insert("hangs".to_owned(), stance_json(stance, unit));
            }
            json
        })
        .collect();
    let gaps: Vec<Value> = plan
        .gaps
        .iter()
        .map(|gap| {
            let stations: Vec<Value> = gap
                .stations
                .iter()
                .map(|station| {
                    json!({ "at": length(station.at.inches(), unit),
                            "now": length(station.now.get(), unit),
                            "after": length(station.after.get(), unit) })
                })
                .collect();
            json!({ "between": gap.between.map(side), "target": length(gap.target.inches(), unit), "stations": stations })
        })
        .collect();
    let strips: Vec<Value> = plan
        .strips
        .iter()
        .map(|strip| {
            json!({ "leaf": id(strip.leaf), "edge": strip.edge.word(), "thickness": length(strip.thickness.get(), unit) })
        })
        .collect();
    let sightlines: Vec<Value> = sightline::sightlines(problem, plan)
        .iter()
        .map(|line| {
            json!({ "leaves": line.leaves.map(id), "edge": line.edge.word(), "step": length(line.step.get(), unit) })
        })
        .collect();
    let warnings: Vec<String> = words::warnings(problem, plan, show);
    let mut json = json!({
        "format": PLAN_FORMAT,
        "unit": unit,
        "verdict": plan.verdict.word(),
        "now": length(plan.now.get(), unit),
        "reach": length(plan.reach.get(), unit),
        "even_reveal": plan.even_reveal.map(|reveal| length(reveal.get(), unit)),
        "worst_after": length(plan.worst_after.get(), unit),
        "sum_after": length(plan.sum_after.get(), unit),
        "wood": number(plan.wood.0 * area),
        "leaves": leaves,
        "gaps": gaps,
        "strips": strips,
        "warnings": warnings,
        "cautions": cautions(plan.leaves.iter().any(|leaf| !leaf.trims.is_empty())),
    });
    // Only where leaves meet each other.
    if let (Value::Object(keys), false) = (&mut json, sightlines.is_empty()) {
        keys.insert("sightlines".to_owned(), Value::Array(sightlines));
    }
    json
}

/// The key `cautions`: sentences that stand wherever a cut is proposed; none where none is.
pub fn cautions(proposed: bool) -> Vec<&'static str> {
    Caution::WHEREVER_CUT.iter().filter(|_| proposed).map(|caution| caution.text()).collect()
}

fn leaf_json(id: &str, described: Option<&Leaf>, leaf: &LeafPlan, unit: Unit, show: Show) -> Value {
    let trims: Vec<Value> = leaf
        .trims
        .iter()
        .map(|trim| {
            json!({ "edge": trim.edge.word(),
                    "start": length(trim.start.get(), unit),
                    "end": length(trim.end.get(), unit),
                    "shown": trim_shown(trim, show) })
        })
        .collect();
    let mut json = json!({
        "id": id,
        "move": { "right": length(leaf.motion.right.get(), unit),
                  "up": length(leaf.motion.up.get(), unit),
                  "turn": number(leaf.motion.turn.0) },
        "trims": trims,
    });
    if let (Value::Object(keys), Some(described)) = (&mut json, described)
        && let Motion::Hung(hanging) = &described.motion
    {
        keys.insert("packs".to_owned(), leaf.packs.iter().map(|pack| pack_json(hanging, pack, unit, show)).collect());
        keys.insert("raise".to_owned(), length(leaf.raise.get(), unit));
    }
    json
}

/// How a hung leaf stands: `cause` is `hinges` (it sags or leans), `square`, `both` or `neither`.
fn stance_json(stance: &Stance, unit: Unit) -> Value {
    json!({ "cause": stance.cause.word(),
            "hinge_taper": length(stance.taper.get(), unit),
            "latch_low": length(stance.low.get(), unit),
            "out_of_square": length(stance.out_of_square.get(), unit) })
}

/// A hinge packed (`out` above zero), let in (below) or screwed (no stock listed), lowest hinge first.
fn pack_json(hanging: &Hanging, pack: &HingePack, unit: Unit, show: Show) -> Value {
    let pieces = hanging.stock.iter().zip(pack.counts).filter(|(_, count)| *count > 0);
    let stock: Vec<Value> =
        pieces.map(|(stock, count)| json!({ "thickness": length(stock.inches(), unit), "count": count })).collect();
    json!({ "hinge": length(pack.hinge.inches(), unit),
            "out": length(pack.out.get(), unit),
            "stock": stock,
            "shown": hinges::pack(hanging, pack, &hinges::unnamed, show) })
}

/// What a cut takes, in the shop's own words: `lower 7/64 +0.004, upper 1/16 +0.004`.
pub fn trim_shown(trim: &Trim, show: Show) -> String {
    let (start, end) = if trim.edge.is_upright() { ("lower", "upper") } else { ("left", "right") };
    format!(
        "{start} {}, {end} {}",
        trim.start.length().shown_with_error(show),
        trim.end.length().shown_with_error(show)
    )
}
