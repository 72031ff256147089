//! What stands beside a plan: the other plans, why each edge is cut, which locked edge would do it, and the word
//! that a plan over many edges is not proved to have the fewest cuts. Answers worked by hand.

use evenreveal::contract::{solve_text, to_problem};
use evenreveal::fit::opening::{Edge, FitProblem};
use evenreveal::fit::plan::{Options, Verdict, Warning, alternatives, plan, reasons};
use serde_json::{Value, json};

const WANTED: f64 = 0.09375;

/// One leaf, its gaps all as wanted but for these, each the same at both ends.
fn leaf(may_cut: &[&str], gaps: [f64; 4]) -> Value {
    let line = |edge: &str, gap: f64, far: f64| {
        json!({ "between": ["frame", format!("A.{edge}")], "target": WANTED,
                "readings": [{ "at": 1, "gap": gap }, { "at": far, "gap": gap }] })
    };
    let [left, right, bottom, top] = gaps;
    json!({ "format": "evenreveal-fit/1", "unit": "in", "tolerance": "1/64",
            "leaves": [{ "id": "A", "width": 10, "height": 24, "hinge": "left", "may_cut": may_cut }],
            "gaps": [line("left", left, 23.0), line("right", right, 23.0), line("bottom", bottom, 9.0), line("top", top, 9.0)] })
}

fn problem(json: &Value) -> FitProblem {
    to_problem(json).unwrap().problem
}

/// A sixteenth too wide: centred, both sides miss by 1/32; either side may take it.
const WIDE: [f64; 4] = [WANTED - 0.0625, WANTED, WANTED, WANTED];

#[test]
fn reasons_say_what_is_left_without_a_cut() {
    let free = problem(&leaf(&["left", "right", "bottom", "top"], WIDE));
    let found = plan(&free, Options::default()).unwrap();
    let why = reasons(&free, &found).unwrap();
    assert_eq!(why.len(), 1, "{why:?}");
    // The hinge side is kept.
    assert_eq!((why[0].leaf, why[0].edge), (0, Edge::Right));
    assert!((why[0].without_it.0 - 0.03125).abs() < 1e-9, "{why:?}");
    assert!(why[0].any_other_way.0.abs() < 1e-9, "the left side could be cut instead: {why:?}");
    // With the left side locked there is no other way.
    let locked = problem(&leaf(&["right", "bottom", "top"], WIDE));
    let why = reasons(&locked, &plan(&locked, Options::default()).unwrap()).unwrap();
    assert!((why[0].any_other_way.0 - 0.03125).abs() < 1e-9, "{why:?}");
}

#[test]
fn a_locked_edge_that_would_do_it_is_named() {
    let locked = problem(&leaf(&["bottom", "top"], WIDE));
    let found = plan(&locked, Options::default()).unwrap();
    assert_eq!(found.verdict, Verdict::Short);
    let mut edges: Vec<Edge> = found.unlock.iter().map(|(_, edge)| *edge).collect();
    edges.sort_unstable();
    assert_eq!(edges, [Edge::Left, Edge::Right], "neither top nor bottom helps");
    // What may be cut already is not named, and a leaf that is too small is helped by no edge.
    let small = problem(&leaf(&["bottom", "top"], [WANTED + 0.0625, WANTED, WANTED, WANTED]));
    let found = plan(&small, Options::default()).unwrap();
    assert_eq!((found.verdict, found.unlock), (Verdict::Short, vec![]));
}

/// A sixteenth too wide at the top of both sides and a thirty-second too high: the three plans keep their promises.
#[test]
fn alternatives_keep_what_they_promise() {
    let mut json = leaf(&["left", "right", "bottom", "top"], [WANTED - 0.03, WANTED - 0.02, WANTED, WANTED - 0.04]);
    json["gaps"][1]["readings"][1]["gap"] = json!(WANTED - 0.05);
    json["gaps"][3]["readings"][0]["gap"] = json!(WANTED - 0.01);
    let problem = problem(&json);
    let three = alternatives(&problem).unwrap();
    let cuts = |plan: &evenreveal::fit::plan::Plan| plan.leaves.iter().map(|leaf| leaf.trims.len()).sum::<usize>();
    assert_eq!(cuts(&three.least_wood), cuts(&three.even_stiles), "both have the fewest cuts");
    assert!(cuts(&three.every_edge) >= cuts(&three.least_wood));
    assert!(three.least_wood.wood.0 <= three.even_stiles.wood.0 + 1e-9);
    assert!(three.every_edge.worst_after.0 <= three.least_wood.worst_after.0 + 1e-9);
    for one in [&three.least_wood, &three.even_stiles, &three.every_edge] {
        assert_eq!(one.verdict, Verdict::Cut);
        assert!(one.worst_after.0 <= one.reach.0.max(1.0 / 128.0) + 1e-9);
    }
}

/// `count` drawer fronts stacked, each tight all round.
fn stack(count: usize) -> Value {
    let id = |place: usize| char::from(b'A' + u8::try_from(place).unwrap()).to_string();
    let leaves: Vec<Value> = (0..count).map(|place| json!({ "id": id(place), "width": 16, "height": 6 })).collect();
    let line = |between: [String; 2], far: f64, tight: f64| {
        json!({ "between": between, "target": WANTED,
                "readings": [{ "at": 1, "gap": WANTED - tight }, { "at": far, "gap": WANTED - tight }] })
    };
    let frame = || "frame".to_owned();
    let mut gaps = vec![line([frame(), format!("{}.bottom", id(0))], 15.0, 0.03)];
    for place in 0..count {
        gaps.push(line([frame(), format!("{}.left", id(place))], 5.0, 0.02));
        gaps.push(line([format!("{}.right", id(place)), frame()], 5.0, 0.03));
        let above = if place + 1 < count { format!("{}.bottom", id(place + 1)) } else { frame() };
        gaps.push(line([format!("{}.top", id(place)), above], 15.0, 0.03));
    }
    json!({ "format": "evenreveal-fit/1", "unit": "in", "tolerance": "1/64", "leaves": leaves, "gaps": gaps })
}

/// Over sixteen edges not every set is tried: the answer says so, and its plan still fits.
#[test]
fn a_plan_that_is_not_proved_says_so() {
    let found = plan(&problem(&stack(5)), Options::default()).unwrap();
    assert!(found.warnings.contains(&Warning::NotProvedFewest { edges: 20 }), "{:?}", found.warnings);
    assert_eq!(found.verdict, Verdict::Cut);
    assert!(found.worst_after.0 <= 1.0 / 128.0 + 1e-9, "{:?}", found.worst_after);
    let said = solve_text(&stack(5).to_string()).unwrap().json["warnings"].to_string();
    assert!(said.contains("20 edges may be cut") && said.contains("perhaps not the fewest"), "{said}");
    // Four fronts are tried whole: nothing to say.
    let whole = plan(&problem(&stack(4)), Options::default()).unwrap();
    assert!(!whole.warnings.iter().any(|warning| matches!(warning, Warning::NotProvedFewest { .. })));
}

/// Where leaves meet: each gap to the frame carried to the meeting corner by hand.
#[test]
fn sightlines_are_the_difference_of_the_gaps_where_leaves_meet() {
    let leaf = |id: &str| json!({ "id": id, "width": 10, "height": 24, "may_cut": [], "motion": "fixed" });
    let line = |between: [&str; 2], at: [f64; 2], gap: [f64; 2]| {
        json!({ "between": between, "target": 0.1,
                "readings": [{ "at": at[0], "gap": gap[0] }, { "at": at[1], "gap": gap[1] }] })
    };
    let pair = json!({ "format": "evenreveal-fit/1", "unit": "in", "tolerance": "1/64", "leaves": [leaf("L"), leaf("R")],
        "gaps": [
            // Rises by 0.00125 per in: 0.10125 where they meet, at 10.
            line(["L.top", "frame"], [1.0, 9.0], [0.09, 0.1]),
            line(["R.top", "frame"], [1.0, 9.0], [0.11, 0.11]),
            line(["frame", "L.bottom"], [1.0, 9.0], [0.1, 0.1]),
            line(["frame", "R.bottom"], [1.0, 9.0], [0.1, 0.1]),
            line(["L.right", "R.left"], [1.0, 23.0], [0.1, 0.1]),
        ] });
    let found = solve_text(&pair.to_string()).unwrap().json;
    let lines = found["sightlines"].as_array().unwrap();
    assert_eq!(lines.len(), 2, "{found}");
    assert_eq!((&lines[0]["edge"], &lines[0]["leaves"]), (&json!("top"), &json!(["L", "R"])));
    assert!((lines[0]["step"].as_f64().unwrap() - (0.10125 - 0.11)).abs() < 1e-9, "{found}");
    assert!(lines[1]["step"].as_f64().unwrap().abs() < 1e-9, "{found}");
    let alone = solve_text(&crate::leaf(&[], WIDE).to_string()).unwrap().json;
    assert!(alone.get("sightlines").is_none(), "one leaf meets no other");
}
