//! Plans against an outside LP library: `tests/data/plans/make_plans.py` (scipy's HiGHS, a plain
//! enumeration of all sets of edges) made the expectations in `plans.json`.

#[path = "common/outside.rs"]
mod outside;

use evenreveal::contract::to_problem;
use evenreveal::fit::choose::Chooser;
use evenreveal::fit::lp::{LexSolver, Library};
use evenreveal::fit::network::Network;
use evenreveal::fit::opening::Prefer;
use serde_json::Value;
use std::fmt::Write;

fn file() -> Value {
    outside::file("plans.json")
}

/// What differs from the outside answer; empty when nothing does.
fn differences(case: &Value) -> String {
    let wanted = &case["plan"];
    let (found, mut text) = match outside::solved(case) {
        Ok(solved) => solved,
        Err(error) => return error,
    };
    // A millionth of an inch, in the problem's unit.
    let within: f64 = if case["problem"]["unit"] == "mm" { 25.4e-6 } else { 1e-6 };
    let stations: f64 = wanted["sum_after"].as_f64().unwrap_or(0.0);
    for (key, within) in [
        ("now", within),
        ("reach", within),
        ("worst_after", within),
        ("sum_after", within.max(1e-6 * stations)),
        ("wood", 1e-5 * wanted["wood"].as_f64().unwrap_or(0.0) + within * within),
    ] {
        if outside::off(&found[key], &wanted[key], within) {
            let _ = write!(text, "{key} {} for {}; ", found[key], wanted[key]);
        }
    }
    text.push_str(&outside::reach(&found, wanted, within));
    text
}

#[test]
fn plans_agree_with_the_outside_library() {
    let file = file();
    let cases = file["cases"].as_array().unwrap();
    assert!(cases.len() >= 500);
    let verdicts = outside::all_agree(cases, differences);
    assert!(
        ["fitted", "move", "cut", "short"].iter().all(|word| verdicts.get(word).is_some_and(|n| *n >= 15)),
        "{verdicts:?}"
    );
}

#[test]
fn small_simplex_agrees_with_the_library_and_is_believed() {
    for case in file()["cases"].as_array().unwrap().iter().step_by(5) {
        let problem = to_problem(&case["problem"]).unwrap().problem;
        let network = Network::new(&problem).unwrap();
        let misses = network.misses();
        let chooser = Chooser::new(&problem, &network, &misses, Prefer::LeastWood);
        let all = chooser.candidates.clone();
        let own = chooser.by_simplex_alone(&all).expect("the certificate holds on an ordinary problem");
        let library = Library { programme: chooser.programme() };
        let other = library.solve(&chooser.open(&all), &chooser.stages(&all), f64::INFINITY).unwrap();
        for (own, other) in own.values.iter().zip(&other.values) {
            assert!((own - other).abs() < 1e-6, "{own} for {other}: {}", case["problem"]);
        }
    }
}
