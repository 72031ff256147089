//! Scenario files: problem in, plan out; each file names the source of its expectation.

use evenreveal::contract::solve_text;
use serde_json::Value;

fn scenario(name: &str) -> Value {
    let path = format!("{}/tests/scenarios/{name}.json", env!("CARGO_MANIFEST_DIR"));
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

fn near(found: &Value, wanted: &Value, what: &str) {
    let (found, wanted) = (found.as_f64().unwrap(), wanted.as_f64().unwrap());
    assert!((found - wanted).abs() <= 1e-6, "{what}: {found} instead of {wanted}");
}

#[test]
fn two_cuts_serve_where_one_would_think_of_three() {
    let file = scenario("two_cuts_for_three");
    let solved = solve_text(&file["problem"].to_string()).unwrap().json;
    let wanted = &file["plan"];
    assert_eq!(solved["verdict"], wanted["verdict"]);
    for key in ["now", "reach", "even_reveal", "worst_after", "sum_after", "wood"] {
        near(&solved[key], &wanted[key], key);
    }
    for key in ["right", "up", "turn"] {
        near(&solved["leaves"][0]["move"][key], &wanted[key], key);
    }
    let trims = solved["leaves"][0]["trims"].as_array().unwrap();
    assert_eq!(trims.len(), 2);
    for trim in trims {
        let edge = trim["edge"].as_str().unwrap();
        near(&trim["start"], &wanted["trims"][edge][0], edge);
        near(&trim["end"], &wanted["trims"][edge][1], edge);
    }
    assert_eq!(trims[0]["shown"], "lower 7/64 +0.004, upper 1/16 +0.004");
    let keys: Vec<&str> = solved.as_object().unwrap().keys().map(String::as_str).collect();
    let documented = [
        "format",
        "unit",
        "verdict",
        "now",
        "reach",
        "even_reveal",
        "worst_after",
        "sum_after",
        "wood",
        "leaves",
        "gaps",
        "strips",
        "warnings",
        "cautions",
    ];
    assert_eq!(keys, documented);
}
