//! Plans held against those that an outside library made (`tests/data/plans`).

use evenreveal::contract::solve_text;
use serde_json::Value;
use std::collections::BTreeMap;
use std::fmt::Write;

/// A file of such plans.
pub fn file(name: &str) -> Value {
    let path = format!("{}/tests/data/plans/{name}", env!("CARGO_MANIFEST_DIR"));
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

/// Do two figures differ by more than `within`, or is only one of them there?
pub fn off(found: &Value, wanted: &Value, within: f64) -> bool {
    match (found.as_f64(), wanted.as_f64()) {
        (Some(found), Some(wanted)) => {
            // A NaN differs from everything.
            let agrees = (found - wanted).abs() <= within;
            !agrees
        }
        (None, None) => false,
        _ => true,
    }
}

/// Our answer to a case, and what of its verdict and number of cuts differs.
pub fn solved(case: &Value) -> Result<(Value, String), String> {
    let found = solve_text(&case["problem"].to_string()).map_err(|error| error.to_string())?.json;
    let wanted = &case["plan"];
    let mut text = String::new();
    if found["verdict"] != wanted["verdict"] {
        let _ = write!(text, "verdict {} for {}; ", found["verdict"], wanted["verdict"]);
    }
    let trims = |leaf: &Value| leaf["trims"].as_array().map_or(0, Vec::len);
    let cuts: usize = found["leaves"].as_array().unwrap().iter().map(trims).sum();
    if Some(cuts as u64) != wanted["cuts"].as_u64() {
        let _ = write!(text, "{cuts} cuts for {}; ", wanted["cuts"]);
    }
    Ok((found, text))
}

/// What of the even reveal and of the strips differs.
pub fn reach(found: &Value, wanted: &Value, within: f64) -> String {
    let mut text = String::new();
    if off(&found["even_reveal"], &wanted["even_reveal"], within) {
        let _ = write!(text, "even reveal {} for {}; ", found["even_reveal"], wanted["even_reveal"]);
    }
    let (strips, outside) = (found["strips"].as_array().unwrap(), wanted["strips"].as_array().unwrap());
    let same = strips.len() == outside.len()
        && outside.iter().all(|strip| {
            strips.iter().any(|own| {
                own["leaf"] == strip[0] && own["edge"] == strip[1] && !off(&own["thickness"], &strip[2], within)
            })
        });
    if !same {
        let _ = write!(text, "strips {strips:?} for {outside:?}; ");
    }
    text
}

/// Holds every case to `differences`, which says nothing where there are none; counts the verdicts.
pub fn all_agree(cases: &[Value], differences: impl Fn(&Value) -> String) -> BTreeMap<&str, usize> {
    let (mut verdicts, mut wrong) = (BTreeMap::new(), String::new());
    for (place, case) in cases.iter().enumerate() {
        *verdicts.entry(case["plan"]["verdict"].as_str().unwrap()).or_insert(0) += 1;
        let text = differences(case);
        if !text.is_empty() {
            let _ = writeln!(wrong, "case {place} ({}): {text}", case["kind"]);
        }
    }
    assert!(wrong.is_empty(), "{} of {} differ:\n{wrong}", wrong.lines().count(), cases.len());
    verdicts
}
