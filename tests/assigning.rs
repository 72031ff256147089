//! Which leaf goes best where: by what was measured of the leaves, and only among leaves that can change places.

#[path = "common/program.rs"]
#[allow(dead_code)]
mod program;

use evenreveal::fit::length::Show;
use evenreveal::shop::settings::Settings;
use evenreveal::shop::{Access, Holder, Shop};
use program::Home;
use serde_json::Value;

const GAPS: &str = r#""gaps":[{"between":["frame","A.left"],"target":"3/32"},{"between":["A.right","frame"],"target":"3/32"},
  {"between":["frame","A.bottom"],"target":"3/32"},{"between":["A.top","frame"],"target":"3/32"}]"#;

/// An opening 24 high, so wide at bottom, middle and top, with a leaf 11 7/8 x 23 13/16 and what else is said.
fn opening(widths: [&str; 3], leaf: &str, more: &[&str]) -> String {
    let [bottom, middle, top] = widths;
    let all = [
        &[
            format!(r#"{{"event":"opening",{GAPS}}}"#),
            format!(r#"{{"event":"survey","widths":["{bottom}","{middle}","{top}"],"heights":["24","24","24"]}}"#),
            format!(r#"{{"event":"leaf","leaf":"A","width":"11 7/8","height":"23 13/16",{leaf}}}"#),
        ][..],
        &more.iter().map(|event| (*event).to_owned()).collect::<Vec<_>>()[..],
    ]
    .concat();
    all.join("\n")
}

fn shop(openings: &[(&str, String)]) -> Home {
    let home = Home::new();
    for (name, events) in openings {
        home.run(&["--shop", "shop", "enter", name, "-"], events).code(0);
    }
    home
}

fn suggested(home: &Home) -> (Value, String) {
    let json = home.run(&["--shop", "shop", "assign", "--json"], "").json();
    let words = home.run(&["--shop", "shop", "assign"], "");
    (json["sizes"].clone(), format!("{}{}", words.out, words.err))
}

/// X is 1/8 wider at the top, Y at the bottom; each leaf was made for the other: swapped, no wood comes off and none
/// lacks. 12 - 3/16 = 11 13/16 and 12 1/8 - 3/16 = 11 15/16.
#[test]
fn what_was_measured_of_the_leaves_decides() {
    let measured = |bottom: &str, top: &str| {
        format!(r#"{{"event":"measured","leaf":"A","widths":["{bottom}","{top}"],"heights":["23 13/16","23 13/16"]}}"#)
    };
    let home = shop(&[
        ("X", opening(["12", "12 1/16", "12 1/8"], r#""hinge":"left""#, &[&measured("11 15/16", "11 13/16")])),
        ("Y", opening(["12 1/8", "12 1/16", "12"], r#""hinge":"left""#, &[&measured("11 13/16", "11 15/16")])),
    ]);
    let (sizes, words) = suggested(&home);
    assert_eq!(sizes[0]["stays"], false, "{words}");
    assert!(sizes[0]["wood"].as_f64().unwrap() < 0.05 && sizes[0]["wood_as_is"].as_f64().unwrap() > 0.5, "{sizes:#}");
    assert!(words.contains("leaf of X -> Y") && !words.contains("short"), "{words}");
    // Not measured, the leaves are alike, and there is nothing to swap.
    let home = shop(&[
        ("X", opening(["12", "12 1/16", "12 1/8"], r#""hinge":"left""#, &[])),
        ("Y", opening(["12 1/8", "12 1/16", "12"], r#""hinge":"left""#, &[])),
    ]);
    assert_eq!(suggested(&home).0[0]["stays"], true);
}

/// The wider leaf is in the narrower opening: swapped, wood is saved, were it not that the two cannot change places.
#[test]
fn leaves_that_cannot_change_places_do_not() {
    let left = r#""hinge":"left","thickness":"3/4""#;
    let pair = |one: &str, one_more: &[&str], other: &str, other_more: &[&str]| {
        let wide = r#"{"event":"measured","leaf":"A","widths":["12","12"]}"#;
        let narrow = r#"{"event":"measured","leaf":"A","widths":["11 13/16","11 13/16"]}"#;
        shop(&[
            ("X", opening(["12"; 3], one, &[&[wide], one_more].concat())),
            ("Y", opening(["12 3/16"; 3], other, &[&[narrow], other_more].concat())),
        ])
    };
    let (sizes, words) = suggested(&pair(left, &[], left, &[]));
    assert_eq!(sizes[0]["stays"], false, "alike, they are swapped: {words}");
    let hung = r#"{"event":"hung","leaf":"A","motion":{"hung":{"hinges":["3","20"],"pack":"1/16","let_in":"1/32","stock":["0.011"]}}}"#;
    let build = |grain: &str| {
        format!(r#"{{"event":"build","leaf":"A","thickness":"3/4","grain":"{grain}","allowance":"1/16"}}"#)
    };
    let (level, upright) = (build("level"), build("upright"));
    let cases: [(&str, &[&str], &str); 5] = [
        (r#""hinge":"right","thickness":"3/4""#, &[], "hinged on the other side"),
        (r#""thickness":"3/4""#, &[], "one hangs on hinges, the other does not"),
        (r#""hinge":"left","thickness":"1 1/8""#, &[], "of another thickness"),
        (left, &[upright.as_str()], "made otherwise"),
        (left, &[hung], "its leaf hangs on its hinges already"),
    ];
    for (leaf, more, why) in cases {
        let (sizes, words) = suggested(&pair(left, &[], leaf, more));
        assert_eq!(sizes, Value::Array(Vec::new()), "{why}: {words}");
        assert!(words.contains(why), "no '{why}' in {words}");
    }
    let alike = suggested(&pair(left, &[&level], left, &[&level])).0;
    assert_eq!(alike[0]["stays"], false, "both solid, grain level");
}

/// A leaf whose sides may not be cut is not sent where it is too wide.
#[test]
fn a_leaf_is_not_sent_where_it_may_not_be_cut_to_fit() {
    let locked = r#""hinge":"left","may_cut":["bottom","top"]"#;
    let measured = |width: &str| format!(r#"{{"event":"measured","leaf":"A","widths":["{width}","{width}"]}}"#);
    // Cut, either would go anywhere; uncut, the wider one only into Y.
    let home = shop(&[
        ("X", opening(["12"; 3], locked, &[&measured("12")])),
        ("Y", opening(["12 3/16"; 3], locked, &[&measured("11 13/16")])),
    ]);
    let (sizes, words) = suggested(&home);
    assert_eq!(sizes[0]["stays"], false, "{words}");
    assert!(!words.contains("too large"), "{words}");
    // Both as wide as Y takes: one of them is stuck in X, and that is said.
    let home = shop(&[
        ("X", opening(["12"; 3], locked, &[&measured("12")])),
        ("Y", opening(["12 3/16"; 3], locked, &[&measured("12")])),
    ]);
    let (sizes, words) = suggested(&home);
    assert!(words.contains("too large by 3/16 where it may not be cut"), "{words}");
    assert_eq!(sizes[0]["moves"][0]["wood"], 0.0, "{sizes:#}");
}

/// Two openings 24 high that differ by a hair, the wider leaf in the narrower one: swapped, it loses less than a tape that
/// misreads by 1/64 over 24 makes of it (3/8 sq in). Nobody carries doors about for that; for a leaf short by 1/32 they do.
#[test]
fn leaves_stay_for_less_wood_than_the_tape_may_misread() {
    let measured = |width: &str| format!(r#"{{"event":"measured","leaf":"A","widths":["{width}","{width}"]}}"#);
    let leaf = r#""hinge":"left""#;
    for (wide_leaf, wide_opening, stays) in [("11 105/128", "12 1/128", true), ("11 27/32", "12 1/32", false)] {
        // 11 13/16 is what 12 takes.
        let home = shop(&[
            ("X", opening(["12"; 3], leaf, &[&measured(wide_leaf)])),
            ("Y", opening([wide_opening; 3], leaf, &[&measured("11 13/16")])),
        ]);
        let (sizes, words) = suggested(&home);
        assert_eq!(sizes[0]["stays"], stays, "{wide_leaf}: {words}");
        assert_eq!(words.contains("leave each where it is"), stays, "{words}");
        assert_eq!(sizes[0]["wood"] == sizes[0]["wood_as_is"], stays, "{sizes:#}");
    }
}

/// What nothing lacks is not said to lack nothing, and wood is in the shop's own unit.
#[test]
fn the_suggestion_is_in_the_shops_own_unit() {
    let home = shop(&[
        ("X", opening(["12"; 3], r#""hinge":"left""#, &[])),
        ("Y", opening(["12"; 3], r#""hinge":"left""#, &[])),
    ]);
    let holder = Holder { pid: 1, host: "bench".to_owned(), since: "2026-03-02T14:05:11Z".to_owned() };
    let mut shop = Shop::open(&home.path().join("shop"), &Access::Write(holder)).unwrap();
    shop.save_settings(Settings { show: Show::Millimetre(1), ..Settings::default() }).unwrap();
    drop(shop);
    let words = home.run(&["--shop", "shop", "assign"], "").code(0).out;
    // 1/16 of 23 13/16 is 1.49 square inches, 9.60 square centimetres.
    assert!(words.contains("leaf of X -> X: 9.6 cm\u{b2} of face\n"), "{words}");
}
