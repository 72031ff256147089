//! What comes before hanging, through the real program: survey, blank, cut list, year, swing, flush, assignment.

#[path = "common/program.rs"]
#[allow(dead_code)]
mod program;

use program::Home;

/// An opening of our own invention, without a leaf.
const BARE: &str = r#"{"event":"opening","gaps":[{"between":["frame","A.left"],"target":"3/32"},{"between":["A.right","frame"],"target":"3/32"},{"between":["frame","A.bottom"],"target":"3/32"},{"between":["A.top","frame"],"target":"3/32"}],"leaves":[{"leaf":"A","name":"door","hinge":"left"}]}"#;
const SURVEY: &str = r#"{"event":"survey","widths":["11 3/16",null,"11 1/4"],"heights":["26 3/16","26 3/16","26 3/16"],"bows":[null,"1/32",null,null]}"#;
const BUILD: &str = r#"{"event":"build","leaf":"A","thickness":"3/4","frame":{"stiles":["2","2"],"rails":["2 1/2","2"],"joint":"stub-tenon","groove":"3/8","float":"1/8","panel_thickness":"1/4"},"species":"Cherry, black","allowance":"1/16","trimmed":["left","right","top"]}"#;

fn enter(home: &Home, events: &[&str], code: i32) -> program::Ended {
    home.run(&["--shop", "shop", "enter", "left door", "-"], &events.join("\n")).code(code)
}

#[test]
fn events_before_hanging_are_kept_and_read_back() {
    let home = Home::new();
    enter(&home, &[BARE], 0);
    home.run(&["--shop", "shop", "list"], "").code(0).gives(&["measure the opening"]);
    enter(&home, &[SURVEY], 0).gives(&["kept 2 survey"]);
    home.run(&["--shop", "shop", "list"], "").code(0).gives(&["size the blank"]);
    enter(&home, &[BUILD, r#"{"event":"part","leaf":"A","part":"left-stile","done":true}"#], 0)
        .gives(&["kept 3 build", "kept 4 part"]);
    let reveal = r#"{"event":"reveal","gaps":[{"between":["frame","A.left"],"target":"0.1","finished":"3/32"}]}"#;
    enter(&home, &[reveal], 0).gives(&["kept 5 reveal"]);
    home.run(&["--shop", "shop", "log", "left door"], "").code(0).gives(&[
        "opening measured: widths 11 3/16, -, 11 1/4; heights 26 3/16",
        "bows -, 1/32, -, -",
        "A will be framed, stiles 2, rails 2 1/2 and 2, 3/4 thick, Cherry, black",
        "left stile of A: sawn",
        "frame-A.left 3/32 +0.006 for 3/32",
    ]);
    home.run(&["--shop", "shop", "log", "left door", "--csv"], "").code(0).gives(&[
        "11.187500",
        "width bottom",
        "bow right",
        "finished 0.093750",
    ]);
    // Struck, the old reveal counts again: nothing derived is stored.
    enter(&home, &[r#"{"event":"strike","strikes":5}"#], 0);
}

#[test]
fn events_that_cannot_be_are_refused_with_their_field() {
    let home = Home::new();
    enter(&home, &[BARE], 0);
    let cases = [
        (r#"{"event":"survey"}"#, "nothing was measured"),
        (r#"{"event":"survey","widths":["0",null,"11"]}"#, "widths[0]: must be more than 0"),
        (r#"{"event":"survey","widths":["11"]}"#, "widths"),
        (r#"{"event":"survey","bows":["9","0","0","0"]}"#, "bows[0]"),
        (r#"{"event":"survey","width":["11",null,null]}"#, "width: no such field"),
        (r#"{"event":"part","leaf":"A","part":"left-stile","done":true}"#, "never said how 'A' is made"),
        (r#"{"event":"part","leaf":"B","part":"left-stile","done":true}"#, "no leaf 'B' here; there is: A"),
        (r#"{"event":"reveal","gaps":[]}"#, "gaps"),
        (
            r#"{"event":"reveal","gaps":[{"between":["frame","B.left"],"target":"0.1","finished":"3/32"}]}"#,
            "gaps[0].between",
        ),
        (
            r#"{"event":"reveal","gaps":[{"between":["frame","A.left"],"target":"9","finished":"3/32"}]}"#,
            "gaps[0].target",
        ),
    ];
    for (event, says) in cases {
        enter(&home, &[event], 2).says(&[says, "line 1"]);
    }
    let builds = [
        ("\"leaf\":\"A\"", "\"leaf\":\"B\"", "leaf: there is no leaf 'B'"),
        ("\"3/4\"", "\"0\"", "thickness"),
        ("Cherry, black", "Cherry, blue", "species"),
        ("Cherry, black", "cherry", "Cherry, black"),
        ("[\"2\",\"2\"]", "[\"0\",\"2\"]", "frame: A: the left stile's width"),
        ("\"groove\":\"3/8\"", "\"groove\":\"0\"", "stub tenon"),
        ("\"1/16\"", "\"5\"", "allowance"),
        ("\"joint\":\"stub-tenon\"", "\"joint\":\"glue\"", "frame.joint"),
    ];
    for (what, instead, says) in builds {
        let build = BUILD.replace(what, instead);
        assert_ne!(build, BUILD);
        enter(&home, &[&build], 2).says(&[says]);
    }
}
