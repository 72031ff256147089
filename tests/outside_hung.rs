//! Plans of hung leaves against an outside LP library: `tests/data/plans/make_hung.py` (every setting
//! of the hinges with every set of edges, scipy's HiGHS for the trims) made `hung.json`.

#[path = "common/outside.rs"]
mod outside;

use evenreveal::contract::solve_text;
use serde_json::Value;
use std::fmt::Write;

fn cases() -> Vec<Value> {
    outside::file("hung.json")["cases"].as_array().unwrap().clone()
}

/// What differs from the outside answer; empty when nothing does.
fn differences(case: &Value) -> String {
    let wanted = &case["plan"];
    let (found, mut text) = match outside::solved(case) {
        Ok(solved) => solved,
        Err(error) => return error,
    };
    let figure = |value: &Value| value.as_f64().unwrap_or(f64::NAN);
    for (key, within) in [
        ("now", 1e-6),
        ("reach", 1e-6),
        ("worst_after", 1e-6),
        ("sum_after", 1e-6),
        ("wood", 1e-5 * figure(&wanted["wood"]) + 1e-9),
    ] {
        // A NaN differs from everything.
        let agrees = (figure(&found[key]) - figure(&wanted[key])).abs() <= within;
        if !agrees {
            let _ = write!(text, "{key} {} for {}; ", found[key], wanted[key]);
        }
    }
    for (leaf, wanted) in found["leaves"].as_array().unwrap().iter().zip(wanted["packs"].as_array().unwrap()) {
        let packs = leaf["packs"].as_array().unwrap();
        let same = packs.len() == wanted.as_array().unwrap().len()
            && packs.iter().zip(wanted.as_array().unwrap()).all(|(own, other)| {
                (figure(&own["hinge"]) - figure(&other[0])).abs() < 1e-9
                    && (figure(&own["out"]) - figure(&other[1])).abs() < 1e-9
            });
        if !same {
            let _ = write!(text, "packs {packs:?} for {wanted}; ");
        }
        for pack in packs {
            let pieces = pack["stock"].as_array().unwrap().iter();
            let sum: f64 = pieces.map(|piece| figure(&piece["thickness"]) * figure(&piece["count"])).sum();
            if (sum - figure(&pack["out"]).abs()).abs() > 1e-9 {
                let _ = write!(text, "pieces of {pack} do not add up; ");
            }
        }
    }
    text.push_str(&outside::reach(&found, wanted, 1e-6));
    text
}

#[test]
fn hung_plans_agree_with_the_outside_library() {
    let cases = cases();
    assert!(cases.len() >= 200, "{}", cases.len());
    // Even reveals and strips are compared where there are any: enough of both.
    let strips = cases.iter().filter(|case| !case["plan"]["strips"].as_array().unwrap().is_empty()).count();
    let even = cases.iter().filter(|case| case["plan"]["even_reveal"].is_f64()).count();
    assert!(strips >= 20 && even >= 100, "{strips} with strips, {even} with an even reveal");
    let verdicts = outside::all_agree(&cases, differences);
    assert!(
        ["fitted", "pack", "cut", "short"].iter().all(|word| verdicts.get(word).is_some_and(|n| *n >= 10)),
        "{verdicts:?}"
    );
}

/// A planted hanging by hand: a 10 in leaf hung on its left at 2 and 22, sat right but for a bottom
/// hinge that stands in by 0.020. Gaps by the geometry of a turn about the top hinge: θ = −0.02/20 =
/// −0.001; left edge at height y: 0.1 − 0.001·(22 − y); right edge the other way; latch side 0.010 low.
#[test]
fn one_card_behind_the_bottom_hinge_is_said_so() {
    let problem = r#"{"format":"evenreveal-fit/1","unit":"in","tolerance":"1/64","leaves":[{"id":"A","width":10,"height":24,
        "hinge":"left","motion":{"hung":{"hinges":[2,22],"pack":0.06,"let_in":0.06,"stock":[0.02]}}}],
        "gaps":[{"between":["frame","A.left"],"target":0.1,"readings":[{"at":2,"gap":0.08},{"at":22,"gap":0.1}]},
        {"between":["A.right","frame"],"target":0.1,"readings":[{"at":2,"gap":0.12},{"at":22,"gap":0.1}]},
        {"between":["frame","A.bottom"],"target":0.1,"readings":[{"at":1,"gap":0.099},{"at":9,"gap":0.091}]},
        {"between":["A.top","frame"],"target":0.1,"readings":[{"at":1,"gap":0.101},{"at":9,"gap":0.109}]}]}"#;
    let found = solve_text(problem).unwrap().json;
    assert_eq!(found["verdict"], "pack");
    let packs = found["leaves"][0]["packs"].as_array().unwrap();
    assert_eq!(packs.len(), 1, "{packs:?}");
    assert_eq!(packs[0]["shown"], "one 0.020 shim behind the bottom hinge");
    assert!(found["worst_after"].as_f64().unwrap() < 1e-9, "{found}");
    // The other way round, hung on its right, it is the mirror image.
    let mirrored = problem
        .replace("\"hinge\":\"left\"", "\"hinge\":\"right\"")
        .replace("A.left", "A.was_left")
        .replace("[\"A.right\",\"frame\"]", "[\"frame\",\"A.left\"]")
        .replace("[\"frame\",\"A.was_left\"]", "[\"A.right\",\"frame\"]")
        .replace(r#"{"at":1,"gap":0.099},{"at":9,"gap":0.091}"#, r#"{"at":9,"gap":0.099},{"at":1,"gap":0.091}"#)
        .replace(r#"{"at":1,"gap":0.101},{"at":9,"gap":0.109}"#, r#"{"at":9,"gap":0.101},{"at":1,"gap":0.109}"#);
    let other = solve_text(&mirrored).unwrap().json;
    assert_eq!(other["leaves"][0]["packs"], found["leaves"][0]["packs"]);
    assert!(other["worst_after"].as_f64().unwrap() < 1e-9, "{other}");
}

/// Screws in place of packs: a range that reaches sets the same hanging without a step, one that does
/// not reach stops at its end; height screws raise the leaf.
#[test]
fn screws_turn_as_far_as_they_reach() {
    let problem = |adjust: &str| {
        format!(
            r#"{{"format":"evenreveal-fit/1","unit":"in","tolerance":"1/64","leaves":[{{"id":"A","width":10,"height":24,
        "hinge":"left","may_cut":[],"motion":{{"hung":{{"hinges":[2,22],"adjust":{adjust}}}}}}}],
        "gaps":[{{"between":["frame","A.left"],"target":0.1,"readings":[{{"at":2,"gap":0.08}},{{"at":22,"gap":0.1}}]}},
        {{"between":["A.right","frame"],"target":0.1,"readings":[{{"at":2,"gap":0.12}},{{"at":22,"gap":0.1}}]}},
        {{"between":["frame","A.bottom"],"target":0.1,"readings":[{{"at":1,"gap":0.069}},{{"at":9,"gap":0.061}}]}},
        {{"between":["A.top","frame"],"target":0.1,"readings":[{{"at":1,"gap":0.131}},{{"at":9,"gap":0.139}}]}}]}}"#
        )
    };
    let ask = |adjust: &str| solve_text(&problem(adjust)).unwrap().json;
    let both = ask(r#"{"side":{"from":"-1/16","to":"1/16"},"height":{"from":"-1/16","to":"1/16"}}"#);
    assert_eq!(both["verdict"], "pack");
    assert!(both["worst_after"].as_f64().unwrap() < 1e-9, "{both}");
    assert!((both["leaves"][0]["raise"].as_f64().unwrap() - 0.03).abs() < 1e-9);
    assert!((both["leaves"][0]["packs"][0]["out"].as_f64().unwrap() - 0.02).abs() < 1e-9);
    let clicks =
        ask(r#"{"side":{"from":"-1/16","to":"1/16","step":0.01},"height":{"from":"-1/16","to":"1/16","step":0.01}}"#);
    assert!(clicks["worst_after"].as_f64().unwrap() < 1e-9, "{clicks}");
    let short = ask(r#"{"side":{"from":"-1/16","to":"1/16"},"height":{"from":"0","to":0.01}}"#);
    // 0.01 of the 0.03 that is wanted.
    assert_eq!(short["verdict"], "short");
    assert!((short["leaves"][0]["raise"].as_f64().unwrap() - 0.01).abs() < 1e-9, "{short}");
    let fixed = problem("{}").replace(r#"{"hung":{"hinges":[2,22],"adjust":{}}}"#, "\"fixed\"");
    let hung = ask("{}");
    for key in ["verdict", "worst_after", "reach", "even_reveal"] {
        assert_eq!(hung[key], solve_text(&fixed).unwrap().json[key], "{key}");
    }
}

#[test]
fn a_hanging_that_cannot_be_is_refused_with_what_to_write() {
    let ask = |hinge: &str, hung: &str| {
        let text = format!(
            r#"{{"format":"evenreveal-fit/1","unit":"in","tolerance":"1/64","leaves":[{{"id":"A","width":10,"height":24,
            {hinge}"motion":{{"hung":{hung}}}}}],"gaps":[{{"between":["frame","A.left"],"target":0.1,"readings":[{{"at":2,"gap":0.08}}]}}]}}"#
        );
        solve_text(&text).unwrap_err().to_string()
    };
    let left = r#""hinge":"left","#;
    for (hinge, hung, says) in [
        (left, r#"{"hinges":[2],"stock":[0.02]}"#, "two hinges or more"),
        (left, r#"{"hinges":[2,2],"stock":[0.02]}"#, "different heights"),
        (left, r#"{"hinges":[2,25],"stock":[0.02]}"#, "off the leaf"),
        ("", r#"{"hinges":[2,22],"stock":[0.02]}"#, "hinge side is missing"),
        (left, r#"{"hinges":[2,22],"pack":"1/16","stock":[]}"#, "no pack stock"),
        (left, r#"{"hinges":[2,22],"pack":"1/16","stock":[0]}"#, "above zero"),
        (left, r#"{"hinges":[2,22],"pack":"1/16","stock":[0.02],"adjust":{"side":{"from":0,"to":1}}}"#, "side screws"),
        (left, r#"{"hinges":[2,22],"adjust":{"side":{"from":"1/16","to":"1/8"}}}"#, "zero or below to zero or above"),
    ] {
        let found = ask(hinge, hung);
        assert!(found.contains(says) && found.starts_with("leaves[0].motion.hung"), "{found}");
    }
}

/// The minimax line: data from Giordano et al., A First Course in Mathematical Modeling, §3.2
/// (published); optimum computed exactly by us: slope 8/15, intercept 2.146667, worst 0.92.
/// A free leaf's left edge is turned and shifted onto the points: the gaps left are the misses.
#[test]
fn the_free_leaf_finds_the_minimax_line() {
    let points = [(1.0, 3.6), (2.3, 3.0), (3.7, 3.2), (4.2, 5.1), (6.1, 5.3), (7.0, 6.8)];
    let readings: Vec<Value> = points.iter().map(|(x, y)| serde_json::json!({ "at": x, "gap": y })).collect();
    let problem = serde_json::json!({ "format": "evenreveal-fit/1", "unit": "in", "tolerance": 0.001,
        "leaves": [{ "id": "A", "width": 8, "height": 8, "may_cut": [] }],
        "gaps": [{ "between": ["frame", "A.left"], "target": 0, "readings": readings }] });
    let found = solve_text(&problem.to_string()).unwrap().json;
    let figure = |value: &Value| value.as_f64().unwrap();
    assert!((figure(&found["worst_after"]) - 0.92).abs() < 1e-9, "{found}");
    let (right, turn) = (figure(&found["leaves"][0]["move"]["right"]), figure(&found["leaves"][0]["move"]["turn"]));
    // The left gap changes by right − turn·(s − 4): minus the line.
    assert!((turn - 8.0 / 15.0).abs() < 1e-9, "{turn}");
    assert!((-(right + 4.0 * turn) - 2.146_667).abs() < 1e-6, "{right}");
}
