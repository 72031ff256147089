//! Every command through the real program: results, messages, exit codes, bad input.

#[path = "common/program.rs"]
#[allow(dead_code)]
mod program;

use program::Home;
use serde_json::Value;
use std::path::Path;

const DOOR: &str = r#"{"event":"opening","gaps":[{"between":["frame","A.left"],"target":"3/32"},{"between":["A.right","frame"],"target":"3/32"},{"between":["frame","A.bottom"],"target":"3/32"},{"between":["A.top","frame"],"target":"3/32"}]}
{"event":"leaf","leaf":"A","width":"11","height":"26","hinge":"left","may_cut":["left","right","top"]}
{"event":"readings","round":1,"gaps":[{"between":["frame","A.left"],"readings":[{"at":"1","gap":"1/32"},{"at":"25","goes":"5/64","stops":"3/32"}]},{"between":["A.right","frame"],"readings":[{"at":"1","gap":"3/64"},{"at":"25","gap":"1/32"}]},{"between":["frame","A.bottom"],"readings":[{"at":"1","gap":"3/32"},{"at":"10","gap":"3/32"}]},{"between":["A.top","frame"],"readings":[{"at":"1","gap":"1/16"},{"at":"10","gap":"1/32"}]}]}
"#;

/// The problem of the contract's own example.
fn example() -> String {
    let path = format!("{}/tests/scenarios/two_cuts_for_three.json", env!("CARGO_MANIFEST_DIR"));
    let scenario: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    scenario["problem"].to_string()
}

fn problem(gaps_64: [u32; 4]) -> String {
    let lines = [r#"["frame","A.left"]"#, r#"["A.right","frame"]"#, r#"["frame","A.bottom"]"#, r#"["A.top","frame"]"#];
    let gap = |(between, gap): (&str, u32)| {
        format!(
            r#"{{"between":{between},"target":"3/32","readings":[{{"at":"1","gap":"{gap}/64"}},{{"at":"9","gap":"{gap}/64"}}]}}"#
        )
    };
    let gaps: Vec<_> = lines.into_iter().zip(gaps_64).map(gap).collect();
    format!(
        r#"{{"format":"evenreveal-fit/1","unit":"in","tolerance":"1/64","leaves":[{{"id":"A","width":"10","height":"10"}}],"gaps":[{}]}}"#,
        gaps.join(",")
    )
}

#[test]
fn solve_answers_from_a_file_and_from_standard_input() {
    let home = Home::new();
    home.write("problem.json", &example());
    let from_file = home.run(&["solve", "problem.json"], "").code(0);
    let from_input = home.run(&["solve", "-"], &example()).code(0);
    assert_eq!(from_file.out, from_input.out);
    let plan = from_file.json();
    assert_eq!((plan["format"].as_str(), plan["verdict"].as_str()), (Some("evenreveal-plan/1"), Some("cut")));
    assert!(from_file.err.is_empty(), "{}", from_file.err);
    home.run(&["solve", "-", "--text"], &example()).code(0).gives(&[
        "Cut 2 edges",
        "A: cut the left edge",
        "lower corner",
        "Push stick",
    ]);
}

#[test]
fn solve_says_no_with_code_1() {
    let home = Home::new();
    let wide = home.run(&["solve", "-"], &problem([12, 12, 6, 6])).code(1);
    assert_eq!(wide.json()["verdict"], "short");
    home.run(&["solve", "-", "--text"], &problem([12, 12, 6, 6])).code(1).gives(&["Short", "strip"]);
    home.run(&["solve", "-", "--text"], &problem([6, 6, 6, 6])).code(0).gives(&["Fitted"]);
    let moved =
        home.run(&["solve", "-", "--text"], &problem([3, 9, 6, 6])).code(0).gives(&["Move it, no cut", "to the right"]);
    assert!(!moved.out.contains("Push stick"), "no caution where nothing is cut: {}", moved.out);
}

#[test]
fn solve_refuses_bad_input_with_the_field() {
    let home = Home::new();
    home.run(&["solve", "nowhere.json"], "").code(2).says(&["nowhere.json"]);
    home.run(&["solve", "-"], "").code(2).says(&["JSON"]);
    home.run(&["solve", "-"], "{").code(2).says(&["JSON"]);
    home.run(&["solve", "-"], &example().replace("3/64", "3/0")).code(2).says(&["gaps[1].readings[0].gap"]);
    home.run(&["solve", "-"], &example().replace("\"prefer\"", "\"perfer\"")).code(2).says(&["perfer"]);
    home.write("latin.json", "x");
    std::fs::write(home.path().join("latin.json"), b"{\"a\":\"\xe9\"}").unwrap();
    home.run(&["solve", "latin.json"], "").code(2).says(&["byte 7", "UTF-8"]);
    home.run(&["solve", "."], "").code(2);
}

#[test]
fn usage_faults_are_2_and_help_is_0() {
    let home = Home::new();
    home.run(&["--help"], "").code(0).gives(&["Examples:", "evenreveal sample", "Exit codes"]);
    for command in ["solve", "plan", "log", "list", "enter", "sample"] {
        home.run(&[command, "--help"], "").code(0).gives(&["Usage: evenreveal"]);
    }
    home.run(&["--version"], "").code(0).gives(&[env!("CARGO_PKG_VERSION")]);
    home.run(&["frobnicate"], "").code(2);
    home.run(&["solve"], "").code(2);
    home.run(&["log", "x", "--json", "--csv"], "").code(2);
    home.run(&[], "").code(2).says(&["terminal"]);
    home.run(&["list"], "").code(2).says(&["no shop"]);
    home.run(&["--shop", "nowhere", "plan", "x"], "").code(2).says(&["nowhere"]);
}

#[test]
fn an_opening_from_entering_to_its_plan() {
    let home = Home::new();
    let entered = home.run(&["enter", "Left door", "-"], DOOR).code(0);
    assert_eq!(entered.out, "kept 1 opening\nkept 2 leaf\nkept 3 readings\n");
    home.run(&["list"], "").code(0).gives(&["Left door  round 1: read 8 stations again; trips left 2, most 3"]);
    let listed = home.run(&["list", "--json"], "").code(0).json();
    assert_eq!((listed[0]["opening"].as_str(), listed[0]["next"].as_str()), (Some("Left door"), Some("decide")));
    assert_eq!(listed[0]["advice"].as_str(), Some("read"), "as 'plan' has it");
    let mut plan = home.run(&["plan", "Left door", "--json"], "").code(0).json();
    let solved = home.run(&["solve", "-"], &example()).code(0).json();
    // 'plan' knows the shop: what the readings allow, the advice and a set-up for each cut. 'solve' keeps to its
    // contract: the readings as given.
    let setups = plan.as_object_mut().unwrap().remove("setups").unwrap();
    for key in solved.as_object().unwrap().keys() {
        assert!(plan.get(key).is_some(), "{key} of the contract is missing");
    }
    assert_eq!(
        (&plan["verdict"], &plan["format"], &plan["unit"]),
        (&solved["verdict"], &solved["format"], &solved["unit"])
    );
    assert_eq!(
        plan["leaves"][0]["trims"].as_array().unwrap().len(),
        solved["leaves"][0]["trims"].as_array().unwrap().len()
    );
    let edges: Vec<_> = setups.as_array().unwrap().iter().map(|setup| setup["edge"].as_str().unwrap()).collect();
    assert_eq!(edges, ["left", "top"], "the hinge side first");
    for setup in setups.as_array().unwrap() {
        assert!(setup["setup"]["method"].is_string() && setup["unit"] == "in", "{setup}");
        assert!(setup["cautions"].as_array().unwrap().contains(&Value::from("look-again")), "{setup}");
    }
    home.run(&["plan", "Left door"], "").code(0).gives(&["Cut 2 edges", "Push stick"]);
    let log = home.run(&["log", "Left door", "--json"], "").code(0);
    let lines: Vec<Value> = log.out.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert_eq!(lines.len(), 3);
    assert_eq!((lines[2]["n"].as_u64(), lines[2]["event"].as_str()), (Some(3), Some("readings")));
    let strike = r#"{"event":"strike","strikes":3,"why":"wrong door"}"#;
    home.run(&["enter", "Left door", "-"], strike).code(0);
    home.run(&["log", "Left door"], "").code(0).gives(&["[taken back by 4]", "(wrong door)"]);
    home.run(&["log", "Left door", "--csv"], "").code(0).gives(&["n,at,event,struck_by", "3,", ",4,1,"]);
    home.run(&["plan", "Left door"], "").code(1).says(&["no plan yet"]);
    home.run(&["plan", "Left"], "").code(2).says(&["did you mean 'Left door'"]);
}

#[test]
fn enter_keeps_all_or_nothing() {
    let home = Home::new();
    let note = r#"{"event":"note","text":"x"}"#;
    home.run(&["enter", "door", "-"], note).code(2).says(&["begin with an 'opening' event"]);
    assert!(!home.path().join(".local/share/evenreveal/shop/openings/door.jsonl").exists());
    home.run(&["enter", "door", "-"], &DOOR.replace("\"25\",\"gap\"", "\"27\",\"gap\"")).code(2).says(&[
        "line 3",
        "gaps[1].readings[1].at",
        "27",
        "runs from 0 to 26",
        "nothing was kept",
    ]);
    home.run(&["enter", "door", "-"], DOOR).code(0);
    let bad: [(&str, &[&str]); 14] = [
        ("", &["no event"]),
        ("{\"event\":\"note\",\"text\":\"x\"}\n{\"event\":", &["line 2", "JSON"]),
        ("[1]", &["line 1", "[0]", "object"]),
        (r#"{"text":"x"}"#, &["event: is missing", "opening, leaf"]),
        (r#"{"event":"party"}"#, &["'party' is no kind of event", "note"]),
        (r#"{"event":"note"}"#, &["text: is missing"]),
        (r#"{"event":"note","text":"x","colour":"red"}"#, &["colour: no such field"]),
        (r#"{"n":9,"event":"note","text":"x"}"#, &["n: the log gives it itself"]),
        (r#"{"event":"leaf","leaf":"B","width":"3/0","height":"2"}"#, &["width", "3/0"]),
        (r#"{"event":"leaf","leaf":"B","width":"-3","height":"2"}"#, &["width"]),
        (
            r#"{"event":"cut","round":1,"leaf":"Z","edge":"left","start":"1/64","end":"0","method":"rip"}"#,
            &["leaf", "'Z'", "described are: A"],
        ),
        (
            r#"{"event":"cut","round":1,"leaf":"A","edge":"left","start":"1/64","end":"0","method":"axe"}"#,
            &["method", "axe", "rip, sled"],
        ),
        (r#"{"event":"readings","round":3,"gaps":[]}"#, &["round", "skips", "the next one is 2"]),
        (r#"{"event":"strike","strikes":77}"#, &["strikes", "no event 77"]),
    ];
    for (input, words) in bad {
        // A good event before the bad one must not be kept either.
        let input = if input.starts_with("{\"event\":\"note\",\"text\":\"x\"}\n") || input.is_empty() {
            input.to_owned()
        } else {
            format!("{note}{input}")
        };
        let ended = home.run(&["enter", "door", "-"], &input).code(2).says(words);
        assert!(ended.out.is_empty(), "{}", ended.out);
    }
    let log = home.run(&["log", "door", "--json"], "").code(0);
    assert_eq!(log.out.lines().count(), 3, "{}", log.out);
}

#[test]
fn names_are_the_users_and_files_stay_in_the_folder() {
    let home = Home::new();
    for name in ["../../escape", "/etc/passwd", "CON", "Tür 3/4 \"links\"", "a.b.", "-x"] {
        let arguments = ["--shop", "shop", "enter", "--", name, "-"];
        home.run(&arguments, DOOR).code(0);
        home.run(&["--shop", "shop", "plan", "--json", "--", name], "").code(0);
    }
    let openings = std::fs::read_dir(home.path().join("shop/openings")).unwrap().count();
    assert_eq!(openings, 6);
    // Beside the shop only what may be thrown away at any time: figures once worked out.
    let beside = std::fs::read_dir(home.path()).unwrap().map(|entry| entry.unwrap().file_name());
    let escaped: Vec<_> = beside.filter(|name| !["shop", ".cache", "Library"].iter().any(|own| name == own)).collect();
    assert!(escaped.is_empty(), "something escaped: {escaped:?}");
    for name in ["", "  ", "two\nlines", &"x".repeat(200)] {
        home.run(&["--shop", "shop", "enter", "--", name, "-"], DOOR).code(2).says(&["name"]);
    }
}

#[test]
fn storage_trouble_is_3() {
    let home = Home::new();
    home.run(&["--shop", "shop", "enter", "door", "-"], DOOR).code(0);
    // Settings that cannot be used: named, and left as they are.
    let settings = home.path().join("shop/shop.json");
    let bad = r#"{"format":"evenreveal-shop/1","show":{"fraction":64},"feelers":["1/64"],"stock":[],"tolerance":"0","risk_k":2.0}"#;
    std::fs::write(&settings, bad).unwrap();
    home.run(&["--shop", "shop", "list"], "").code(3).says(&["shop.json", "tolerance"]);
    assert_eq!(std::fs::read_to_string(&settings).unwrap(), bad);
    std::fs::remove_file(&settings).unwrap();
    // A damaged middle line: read what is there, keep nothing.
    let log = home.path().join("shop/openings/door.jsonl");
    let damaged = std::fs::read_to_string(&log).unwrap().replacen("\"width\":\"11", "\"width\":\"12", 1);
    std::fs::write(&log, &damaged).unwrap();
    home.run(&["--shop", "shop", "enter", "door", "-"], r#"{"event":"note","text":"x"}"#)
        .code(3)
        .says(&["line 3 is damaged"]);
    home.run(&["--shop", "shop", "log", "door"], "").code(0).says(&["line 3 is damaged"]);
    home.run(&["--shop", "shop", "list"], "").code(3).gives(&["! line 3 is damaged"]).says(&["line 3 is damaged"]);
    assert_eq!(std::fs::read_to_string(&log).unwrap(), damaged);
    // A shop that is a file.
    home.write("file", "x");
    home.run(&["--shop", "file", "list"], "").code(3);
}

/// A folder without settings and without openings is no shop, whatever else is in it; it is not made one by looking.
#[test]
fn a_folder_that_is_no_shop_is_not_an_empty_one() {
    let home = Home::new();
    std::fs::create_dir(home.path().join("documents")).unwrap();
    home.write("documents/letter.txt", "x");
    for folder in ["documents", "nowhere"] {
        for command in
            [&["list"][..], &["batch"], &["cutlist"], &["assign"], &["plan", "door"], &["sheet", "--out", "s.svg"]]
        {
            home.run(&[&["--shop", folder], command].concat(), "").code(2).says(&["there is no shop at", folder]);
        }
    }
    let names: Vec<_> = std::fs::read_dir(home.path().join("documents")).unwrap().map(Result::unwrap).collect();
    assert_eq!(names.len(), 1, "{names:?}");
    // Openings without settings yet (entered before anybody was asked), and settings without openings, are shops.
    home.run(&["--shop", "entered", "enter", "door", "-"], DOOR).code(0);
    std::fs::remove_file(home.path().join("entered/shop.json")).ok();
    home.run(&["--shop", "entered", "list"], "").code(0).gives(&["door"]);
    std::fs::create_dir(home.path().join("bare")).unwrap();
    std::fs::copy(
        Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-shop/shop.json"),
        home.path().join("bare/shop.json"),
    )
    .unwrap();
    home.run(&["--shop", "bare", "list"], "").code(0).gives(&["no opening yet"]);
}

#[test]
fn nobody_reading_the_output_is_no_panic() {
    let home = Home::new();
    home.run(&["enter", "door", "-"], DOOR).code(0);
    let notes = r#"{"event":"note","text":"a long enough note to fill a pipe that nobody reads"}"#.repeat(1500);
    home.run(&["enter", "door", "-"], &notes).code(0);
    let mut child = home.command(&["log", "door", "--json"]).spawn().unwrap();
    drop(child.stdout.take());
    let ended = child.wait_with_output().unwrap();
    let message = String::from_utf8_lossy(&ended.stderr).into_owned();
    assert_eq!(ended.status.code(), Some(0), "{message}");
    assert!(message.is_empty(), "{message}");
}

#[test]
fn the_sample_in_the_repository_is_never_written_to() {
    let home = Home::new();
    let original = format!("{}/sample-shop", env!("CARGO_MANIFEST_DIR"));
    let copy = home.path().join(".local/share/evenreveal/sample-shop");
    home.run(&["--shop", &original, "list"], "").code(0).gives(&["Pair below", "Drawers"]);
    assert!(!copy.exists(), "looking makes no copy");
    home.run(&["--shop", &original, "enter", "Drawers", "-"], r#"{"event":"note","text":"mine"}"#).code(0);
    assert!(copy.join("openings/Drawers.jsonl").exists());
    home.run(&["--shop", &original, "log", "Drawers"], "").code(0).gives(&["note: mine"]);
    let in_repository = std::fs::read_to_string(format!("{original}/openings/Drawers.jsonl")).unwrap();
    assert!(!in_repository.contains("mine"));
    assert!(!Path::new(&original).join("shop.lock").exists());
    // `sample` makes the same copy from what is built in; without a terminal it then says so.
    let other = Home::new();
    other.run(&["sample"], "").code(2).says(&["terminal"]);
    let built_in =
        std::fs::read_to_string(other.path().join(".local/share/evenreveal/sample-shop/openings/Drawers.jsonl"))
            .unwrap();
    assert_eq!(built_in, in_repository);
    home.run(&["sample", "--fresh"], "").code(2).says(&["sample-shop.old-1", "terminal"]);
    assert!(std::fs::read_to_string(copy.join("openings/Drawers.jsonl")).unwrap() == in_repository);
}

#[test]
fn logs_of_other_builds_are_read_as_far_as_they_are_known() {
    let home = Home::new();
    let data = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/logs");
    let openings = home.path().join("shop/openings");
    std::fs::create_dir_all(&openings).unwrap();
    for entry in std::fs::read_dir(data)
        .unwrap()
        .map(Result::unwrap)
        .filter(|entry| entry.path().extension().is_some_and(|e| e == "jsonl"))
    {
        std::fs::copy(entry.path(), openings.join(entry.file_name())).unwrap();
    }
    let note = r#"{"event":"note","text":"x"}"#;
    // Written by the first build: read whole, and may be written to.
    home.run(&["--shop", "shop", "log", "first build"], "").code(0).gives(&[
        "leaf A: 11 by 26",
        "round 1 cut by rip",
        "[taken back by 11]",
    ]);
    home.run(&["--shop", "shop", "enter", "first build", "-"], note).code(0).gives(&["kept 12 note"]);
    home.run(&["--shop", "shop", "log", "before hanging"], "").code(0).gives(&[
        "opening measured: widths 11 3/16, -, 11 1/4",
        "A will be framed",
        "left stile of A: sawn",
        "frame-A.left 3/32 +0.006 for 3/32",
    ]);
    home.run(&["--shop", "shop", "enter", "before hanging", "-"], note).code(0).gives(&["kept 8 note"]);
    let measured = "measured at the sheets";
    home.run(&["--shop", "shop", "log", measured], "").code(0).gives(&[
        "width 11 1/64 at the bottom, 10 63/64 at the top",
        "height 26 at the left, 25 63/64",
        "short of square by",
        "left edge: no wood from 2 to 5 1/2, 9 to 10",
        "left edge hollow by",
        "round 1 one pass of several by rip",
    ]);
    // Two of the others are of newer builds: the list says so, and that weighs more than that it is done.
    home.run(&["--shop", "shop", "list"], "").code(3).gives(&[measured]).says(&[
        "later kind: line 4 was written by a newer build",
        "later format.jsonl: it is in format 'evenreveal-opening/2'",
    ]);
    let more = r#"{"event":"cut","round":1,"leaf":"A","edge":"right","start":"1/32","end":"1/32","method":"plane","more":true}"#;
    home.run(&["--shop", "shop", "enter", measured, "-"], more).code(0).gives(&["kept 11 cut"]);
    home.run(&["--shop", "shop", "enter", measured, "-"], note).code(0).gives(&["kept 12 note"]);
    let pins = "pins and depth screws";
    home.run(&["--shop", "shop", "log", pins], "").code(0).gives(&[
        "pin of A 1/32 off the edge, 1/8 behind the face; 7/8 thick",
        "depth screws of A turned: 3 by 1/16 back, 23 by 1/32 back  [taken back by 7]",
    ]);
    home.run(&["--shop", "shop", "enter", pins, "-"], note).code(0).gives(&["kept 8 note"]);
    let added = "wood added";
    home.run(&["--shop", "shop", "log", added], "").code(0).gives(&[
        "strip of 3/32 glued on A left",
        "1/64 taken off A right, outside the rounds",
        "A made anew: 11 1/8 x 26  [taken back by 8]",
    ]);
    home.run(&["--shop", "shop", "enter", added, "-"], note).code(0).gives(&["kept 9 note"]);
    let heights = "heights of fronts";
    home.run(&["--shop", "shop", "log", heights], "").code(0).gives(&[
        "heights C the rest, B 2 parts, A 9",
        "heights of the fronts: C the rest, B 7, A 9",
        "heights of the fronts: C 5, B 7, A 9  [taken back by 5]",
    ]);
    home.run(&["--shop", "shop", "survey", heights], "").code(0).gives(&["heights, top to bottom: C 5 1/4, B 7, A 9"]);
    home.run(&["--shop", "shop", "enter", heights, "-"], note).code(0).gives(&["kept 6 note"]);
    // Fields added later in the same format are passed over, and stay in the file.
    home.run(&["--shop", "shop", "enter", "later fields", "-"], note).code(0);
    assert!(std::fs::read_to_string(openings.join("later fields.jsonl")).unwrap().contains("\"species\":\"cherry\""));
    // A kind of event added later: shown as far as it is known, not written to.
    home.run(&["--shop", "shop", "enter", "later kind", "-"], note).code(3).says(&[
        "line 4",
        "newer build",
        "'glue-up'",
    ]);
    home.run(&["--shop", "shop", "log", "later kind"], "").code(0).gives(&["leaf A"]).says(&["newer build"]);
    // A later format.
    home.run(&["--shop", "shop", "enter", "later format", "-"], note)
        .code(3)
        .says(&["evenreveal-opening/2", "newer build"]);
}
