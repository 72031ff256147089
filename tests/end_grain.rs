//! Where a leaf's end grain is, said once in its log, decides strokes, order and season everywhere: through the
//! real program and by keys. Planed the wrong way round, end grain breaks out.

#[path = "common/program.rs"]
#[allow(dead_code)]
mod program;

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::cut::job::Construction;
use program::Home;
use screen_bench::Bench;
use serde_json::Value;

const OPENING: &str = r#"{"event":"opening","gaps":[{"between":["frame","A.left"],"target":"3/32"},
  {"between":["A.right","frame"],"target":"3/32"},{"between":["frame","A.bottom"],"target":"3/32"},
  {"between":["A.top","frame"],"target":"3/32"}],"leaves":[{"leaf":"A"}]}"#;
/// Tight at the right and the top: both are planed.
const READ: &str = r#"{"event":"readings","round":1,"gaps":[
  {"between":["frame","A.left"],"readings":[{"at":"1","gap":"3/32"},{"at":"23","gap":"3/32"}]},
  {"between":["A.right","frame"],"readings":[{"at":"1","gap":"5/64"},{"at":"23","gap":"5/64"}]},
  {"between":["frame","A.bottom"],"readings":[{"at":"1","gap":"3/32"},{"at":"11","gap":"3/32"}]},
  {"between":["A.top","frame"],"readings":[{"at":"1","gap":"5/64"},{"at":"11","gap":"5/64"}]}]}"#;
const FRAME: &str = r#""frame":{"stiles":["2","2"],"rails":["2","2"],"joint":"stub-tenon","groove":"3/8","float":"1/8","panel_thickness":"1/4"}"#;

fn leaf(more: &str) -> String {
    format!(r#"{{"event":"leaf","leaf":"A","width":"11 15/16","height":"23 15/16"{more}}}"#)
}

fn build(more: &str) -> String {
    format!(r#"{{"event":"build","leaf":"A","thickness":"3/4","species":"Cherry, black","allowance":"1/16"{more}}}"#)
}

/// Edges in the order they are cut, each with the rule for its strokes, and whether its end grain is cautioned of.
fn planed(setups: &Value) -> Vec<(String, String, bool)> {
    let word = |value: &Value| value.as_str().unwrap_or("").to_owned();
    let one = |setup: &Value| {
        let text = setup.to_string();
        let rule = ["with-the-grain", "back-up-and-inward"].into_iter().find(|rule| text.contains(rule)).unwrap_or("");
        (word(&setup["edge"]), rule.to_owned(), text.contains("back-up-end-grain"))
    };
    setups.as_array().unwrap().iter().map(one).collect()
}

#[test]
fn the_build_or_the_description_decides_where_end_grain_is() {
    // What was said, the season's words for it, and whether the top is end grain (else the right edge is).
    let framed = "framed: its stiles move";
    let (level, upright) = ("solid, grain level: moves over its whole height", "solid, grain upright: moves over");
    let cases = [
        // As the blank page wrote it: built, glued up, described as solid and no more.
        (vec![build(r#","grain":"upright""#), leaf(r#","hinge":"left","solid":true"#)], upright, true),
        (vec![build(r#","grain":"level""#), leaf(r#","solid":true"#)], level, false),
        // Described first, its build told later.
        (vec![leaf(""), build(r#","grain":"level""#)], level, false),
        (vec![leaf(r#","hinge":"left""#), build(r#","grain":"upright""#)], upright, true),
        (vec![leaf(r#","made":"solid-across""#), build(&format!(",{FRAME}"))], framed, true),
        (vec![build(&format!(",{FRAME}")), leaf(r#","made":"solid-across""#)], level, false),
        (vec![build(r#","grain":"level""#), leaf(r#","made":"solid-upright""#)], upright, true),
    ];
    for (said, season, top) in cases {
        let home = Home::new();
        let events = [&[OPENING.to_owned()], &said[..], &[READ.to_owned()]].concat().join("\n");
        home.run(&["--shop", "shop", "enter", "front", "-"], &events).code(0);
        let plan = home.run(&["--shop", "shop", "plan", "front", "--json"], "").code(0).json();
        let edges = planed(&plan["setups"]);
        let rule = |edge: &str| {
            let (_, rule, cautioned) =
                edges.iter().find(|(one, ..)| one == edge).unwrap_or_else(|| panic!("{edges:?}"));
            (rule.as_str(), *cautioned)
        };
        let (end, long) = if top { ("top", "right") } else { ("right", "top") };
        assert_eq!(rule(end), ("back-up-and-inward", true), "{said:?}: {edges:?}");
        assert_eq!(rule(long), ("with-the-grain", false), "{said:?}: {edges:?}");
        assert_eq!([edges[0].0.as_str(), edges[1].0.as_str()], [end, long], "end grain first: {said:?}");
        let year = home.run(&["--shop", "shop", "year", "front"], "");
        assert!(year.out.contains(season), "{said:?}: {}", year.out);
        let card = home.run(&["--shop", "shop", "card", "front", "--out", "card.svg"], "");
        assert_eq!(card.code, 0, "{}", card.err);
        let card = std::fs::read_to_string(home.path().join("card.svg")).unwrap();
        assert!(card.contains("ack up the end grain"), "{said:?}");
    }
}

/// A front of which nobody said how it is made is cut as framed, and that is cautioned of first of all; once it is
/// said, no more.
#[test]
fn a_front_of_which_nobody_said_how_it_is_made_is_cautioned_of() {
    let home = Home::new();
    let events = [OPENING.to_owned(), leaf(""), READ.to_owned()].join("\n");
    home.run(&["--shop", "shop", "enter", "front", "-"], &events).code(0);
    let plan = |home: &Home| home.run(&["--shop", "shop", "plan", "front", "--json"], "").code(0).json();
    for setup in plan(&home)["setups"].as_array().unwrap() {
        assert_eq!(setup["cautions"][0].as_str(), Some("look-for-end-grain"), "{setup}");
    }
    home.run(&["--shop", "shop", "plan", "front"], "").code(0).gives(&["Nobody said how this leaf is made"]);
    home.run(&["--shop", "shop", "enter", "front", "-"], &build("")).code(0);
    assert!(!plan(&home).to_string().contains("look-for-end-grain"));
    // "framed" beside "solid" is nothing that can be cut.
    let both = leaf(r#","solid":true,"made":"framed""#);
    home.run(&["--shop", "shop", "enter", "front", "-"], &both).code(2).says(&["made", "leave one of them out"]);
    let never = leaf(r#","made":"unsaid""#);
    home.run(&["--shop", "shop", "enter", "front", "-"], &never).code(2);
}

/// A door may be a slab as well: one of which nobody said it, as in logs of before that was asked, is cautioned of
/// alike, and stays framed where only that is asked.
#[test]
fn a_door_of_which_nobody_said_how_it_is_made_is_cautioned_of_too() {
    let hinged = || leaf(r#","hinge":"left""#);
    let cautions = |said: &[String]| {
        let home = Home::new();
        let events = [&[OPENING.to_owned()], said, &[READ.to_owned()]].concat().join("\n");
        home.run(&["--shop", "shop", "enter", "door", "-"], &events).code(0);
        let plan = home.run(&["--shop", "shop", "plan", "door", "--json"], "").code(0).json();
        let setups = plan["setups"].as_array().unwrap().clone();
        assert!(!setups.is_empty());
        setups.iter().filter(|setup| setup["cautions"][0].as_str() == Some("look-for-end-grain")).count()
            == setups.len()
    };
    assert!(cautions(&[hinged()]));
    for said in [
        vec![leaf(r#","hinge":"left","made":"framed""#)],
        vec![leaf(r#","hinge":"left","solid":true"#)],
        vec![hinged(), build(&format!(",{FRAME}"))],
        vec![hinged(), build(r#","grain":"upright""#)],
    ] {
        assert!(!cautions(&said), "{said:?}");
    }
    let record = |events: &[String]| {
        let events = events.iter().map(|event| serde_json::from_str(event).unwrap());
        let record = |(n, event)| evenreveal::shop::event::Record { n, at: String::new(), event };
        evenreveal::shop::OpeningState::replay(&(1..).zip(events).map(record).collect::<Vec<_>>())
    };
    let state = record(&[OPENING.to_owned(), hinged()]);
    assert_eq!((state.made("A"), state.made_as_said("A")), (Construction::Framed, Construction::Unsaid));
}

fn described(bench: &Bench) -> Vec<Construction> {
    let state = &bench.session.opened.as_ref().unwrap().state;
    state.leaf_ids().into_iter().map(|id| state.made(id)).collect()
}

/// A new opening asks how its leaves are made: doors are proposed as framed, fronts as solid with their grain
/// level; what was chosen stays when the kind is changed after it.
#[test]
fn a_new_opening_asks_how_its_leaves_are_made() {
    use Construction::{Framed, SolidAcross, SolidUpright};
    let right = |bench: &mut Bench, times: usize| {
        for _ in 0..times {
            bench.key(ratatui::crossterm::event::KeyCode::Right, ratatui::crossterm::event::KeyModifiers::NONE);
        }
    };
    let cases = [
        ("\r", 0, "\r16\r7 1/2\r\r\r\r", vec![Framed]),
        ("\r", 3, "\r16\r3 x 7 1/2\r\r\r\r", vec![SolidAcross; 3]),
        ("\r", 2, "\r16\r7 1/2\r\r \r\r", vec![SolidUpright]),
        // Not made yet: what was said of it stands when it is sized.
        ("\r", 2, "\r\r\r\r \r\r", vec![SolidUpright]),
    ];
    for (place, (name, kind, rest, wanted)) in cases.into_iter().enumerate() {
        let mut bench = Bench::with(&[]);
        bench.press(&format!("ndrawer {place}{name}"));
        right(&mut bench, kind);
        bench.shows("made as");
        bench.press(rest);
        assert_eq!(described(&bench), wanted, "{}", bench.text());
    }
}

/// The blank page proposes what was said, and the glued-up leaf keeps the grain of its build.
#[test]
fn a_blank_made_a_leaf_keeps_its_grain() {
    let survey = r#"{"event":"survey","widths":["12","12","12"],"heights":["24","24","24"]}"#;
    let opening = OPENING.replace(r#"{"leaf":"A"}"#, r#"{"leaf":"A","made":"solid-upright"}"#);
    let mut bench = Bench::with(&[("slab", &format!("{opening}\n{survey}"))]);
    bench.press("\rb");
    bench.shows("< solid, grain upright >");
    bench.press(&"\r".repeat(17));
    bench.shows("solid, grain upright");
    bench.press("a");
    let state = &bench.session.opened.as_ref().unwrap().state;
    assert_eq!(state.leaf("A").and_then(|leaf| leaf.made), Some(Construction::SolidUpright), "{}", bench.text());
    assert!(state.leaf("A").is_some_and(|leaf| leaf.solid), "an older build takes it as solid at least");
}
