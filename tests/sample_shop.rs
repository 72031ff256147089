//! The sample shop: a scenario of our own (an invented bookcase; no figure in it is measured or
//! published). It is made from the events below by the same code that `enter` uses; the files in
//! `sample-shop/` must be exactly what they give. `EVENREVEAL_WRITE_SAMPLE=1` writes them anew.

use evenreveal::bench::brief::{self, Brief};
use evenreveal::bench::rounds::{self, Choice};
use evenreveal::fit::plan::{Options, Verdict, plan};
use evenreveal::shop::event::Event;
use evenreveal::shop::replay::Stage;
use evenreveal::shop::{Access, Holder, Opening, Shop};
use serde_json::{Value, json};
use std::path::{Path, PathBuf};

fn gaps(lines: &[[&str; 2]]) -> Value {
    lines.iter().map(|between| json!({"between": between, "target": "3/32"})).collect()
}

const ONE_LEAF: [[&str; 2]; 4] = [["frame", "A.left"], ["A.right", "frame"], ["frame", "A.bottom"], ["A.top", "frame"]];

/// One reading at each of the stations of a gap line: `goes` and `stops` in 64ths.
fn read(between: [&str; 2], stations: &[(&str, u32)]) -> Value {
    let reading = |&(at, goes): &(&str, u32)| json!({"at": at, "goes": format!("{goes}/64"), "stops": format!("{}/64", goes + 1)});
    json!({"between": between, "readings": stations.iter().map(reading).collect::<Value>()})
}

/// A round of one leaf: two stations on each of its gap lines.
fn one_leaf(round: u32, stations: [[(&str, u32); 2]; 4]) -> Value {
    let gaps: Value = ONE_LEAF.into_iter().zip(&stations).map(|(line, stations)| read(line, stations)).collect();
    json!({"event": "readings", "round": round, "gaps": gaps})
}

/// A look with a taper gauge, in thousandths, at three stations of each gap line: once more where a feeler told of the
/// two outer ones before (`again`), the first time at the middle.
fn gauged(round: u32, upright: [&str; 3], level: [&str; 3], read: [[u32; 3]; 4], again: bool) -> Value {
    let line = |(place, (between, thousandths)): (usize, ([&str; 2], &[u32; 3]))| {
        let stations = if place < 2 { upright } else { level };
        let reading = |(number, (at, gap)): (usize, (&str, &u32))| {
            let mut reading = json!({"at": at, "gap": format!("0.{gap:03}")});
            if again && number != 1 {
                reading["again"] = json!(true);
            }
            reading
        };
        let readings: Value = stations.into_iter().zip(thousandths).enumerate().map(reading).collect();
        json!({"between": between, "readings": readings})
    };
    let gaps: Value = ONE_LEAF.into_iter().zip(&read).enumerate().map(line).collect();
    json!({"event": "readings", "round": round, "gaps": gaps})
}

fn note(text: &str) -> Value {
    json!({"event": "note", "text": text})
}

/// The sample's openings: name, and what happened, each with when.
fn story() -> Vec<(&'static str, Vec<(&'static str, Value)>)> {
    vec![
        ("Pair below", pair()),
        ("Door, middle left", half_fitted()),
        ("Door, middle right", fresh()),
        ("Drawers", stacked()),
        ("Door, top left", fitted()),
        ("Door, top right", short()),
    ]
}

fn pair() -> Vec<(&'static str, Value)> {
    let lines = [
        ["frame", "L.left"],
        ["L.right", "R.left"],
        ["R.right", "frame"],
        ["frame", "L.bottom"],
        ["frame", "R.bottom"],
        ["L.top", "frame"],
        ["R.top", "frame"],
    ];
    vec![
        ("2026-02-02T09:00:00Z", json!({"event": "opening", "gaps": gaps(&lines)})),
        (
            "2026-02-02T09:01:00Z",
            json!({"event": "leaf", "leaf": "L", "name": "left door", "width": "13 7/8", "height": "22 1/4", "hinge": "left", "made": "framed", "thickness": "3/4"}),
        ),
        (
            "2026-02-02T09:02:00Z",
            json!({"event": "leaf", "leaf": "R", "name": "right door", "width": "13 7/8", "height": "22 1/4", "hinge": "right", "made": "framed", "thickness": "3/4"}),
        ),
        (
            "2026-02-02T09:20:00Z",
            json!({"event": "readings", "round": 1, "gaps": [
            read(lines[0], &[("1", 4), ("21 1/4", 5)]),
            read(lines[1], &[("1", 3), ("21 1/4", 1)]),
            read(lines[2], &[("1", 3), ("21 1/4", 4)]),
            read(lines[3], &[("1", 5), ("12 7/8", 5)]),
            read(lines[4], &[("1", 5), ("12 7/8", 6)]),
            read(lines[5], &[("1", 2), ("12 7/8", 3)]),
            read(lines[6], &[("1", 3), ("12 7/8", 2)])]}),
        ),
        ("2026-02-02T09:22:00Z", note("Meeting stiles are tight at the top. Plan both leaves together.")),
    ]
}

fn half_fitted() -> Vec<(&'static str, Value)> {
    let trim = |edge: &str, start: &str, end: &str| json!({"leaf": "A", "edge": edge, "start": start, "end": end});
    let cut = |round: u32, edge: &str, start: &str, end: &str, method: &str| json!({"event": "cut", "round": round, "leaf": "A", "edge": edge, "start": start, "end": end, "method": method});
    vec![
        ("2026-02-03T08:30:00Z", json!({"event": "opening", "gaps": gaps(&ONE_LEAF)})),
        (
            "2026-02-03T08:31:00Z",
            json!({"event": "leaf", "leaf": "A", "width": "14", "height": "18 1/2", "hinge": "left", "made": "framed", "thickness": "3/4"}),
        ),
        (
            "2026-02-03T08:40:00Z",
            one_leaf(
                1,
                [[("1", 2), ("17 1/2", 4)], [("1", 1), ("17 1/2", 1)], [("1", 5), ("13", 5)], [("1", 1), ("13", 3)]],
            ),
        ),
        (
            "2026-02-03T08:44:00Z",
            json!({"event": "plan", "round": 1, "verdict": "cut", "trims": [trim("right", "1/8", "3/32"), trim("top", "5/64", "3/64")]}),
        ),
        ("2026-02-03T09:05:00Z", cut(1, "top", "1/16", "1/32", "plane")),
        ("2026-02-03T09:15:00Z", cut(1, "right", "1/16", "1/32", "rip")),
        (
            "2026-02-03T09:30:00Z",
            gauged(
                2,
                ["1", "9 1/4", "17 1/2"],
                ["1", "7", "13"],
                [[92, 94, 95], [40, 35, 30], [92, 92, 92], [94, 93, 92]],
                false,
            ),
        ),
        ("2026-02-03T09:31:00Z", note("Took half of the latch stile's line first. The rest is for the saw.")),
        // What the program advises on these readings, short of its line.
        (
            "2026-02-03T09:33:00Z",
            json!({"event": "plan", "round": 2, "verdict": "cut", "trims": [trim("right", "1/32", "0.044")],
            "lines": [trim("right", "0.053", "0.065")]}),
        ),
    ]
}

fn fresh() -> Vec<(&'static str, Value)> {
    vec![
        (
            "2026-02-03T10:00:00Z",
            json!({"event": "opening", "gaps": gaps(&ONE_LEAF), "survey": {
            "widths": ["14 1/8", "14 1/8", "14 3/32"], "heights": ["18 5/8", "18 5/8", "18 19/32"], "diagonals": ["23 3/8", "23 11/32"]}}),
        ),
        (
            "2026-02-03T10:02:00Z",
            json!({"event": "leaf", "leaf": "A", "width": "14 1/16", "height": "18 9/16", "hinge": "right", "made": "framed", "thickness": "3/4"}),
        ),
        (
            "2026-02-03T10:06:00Z",
            json!({"event": "survey", "widths": ["14 1/8", "14 1/8", "14 3/32"], "heights": ["18 5/8", "18 5/8", "18 19/32"],
            "diagonals": ["23 3/8", "23 11/32"], "bows": ["0", "1/32", null, null]}),
        ),
        (
            "2026-02-03T10:09:00Z",
            json!({"event": "build", "leaf": "A", "thickness": "3/4", "frame": {"stiles": ["2", "2"], "rails": ["2 1/4", "2"],
            "joint": "stub-tenon", "groove": "3/8", "float": "1/8", "panel_thickness": "1/4"},
            "species": "Cherry, black", "allowance": "1/16", "finish": "lacquer"}),
        ),
    ]
}

fn stacked() -> Vec<(&'static str, Value)> {
    let lines = [
        ["frame", "lower.left"],
        ["lower.right", "frame"],
        ["frame", "lower.bottom"],
        ["lower.top", "upper.bottom"],
        ["frame", "upper.left"],
        ["upper.right", "frame"],
        ["upper.top", "frame"],
    ];
    vec![
        ("2026-02-04T13:00:00Z", json!({"event": "opening", "gaps": gaps(&lines)})),
        (
            "2026-02-04T13:01:00Z",
            json!({"event": "leaf", "leaf": "lower", "width": "20", "height": "6", "solid": true}),
        ),
        (
            "2026-02-04T13:02:00Z",
            json!({"event": "leaf", "leaf": "upper", "width": "20", "height": "4 1/2", "solid": true}),
        ),
        (
            "2026-02-04T13:05:00Z",
            json!({"event": "build", "leaf": "lower", "thickness": "3/4", "species": "Cherry, black", "allowance": "1/16", "finish": "oil"}),
        ),
        (
            "2026-02-04T13:10:00Z",
            json!({"event": "readings", "round": 1, "gaps": [
            read(lines[0], &[("1", 5), ("5", 5)]),
            read(lines[1], &[("1", 4), ("5", 3)]),
            read(lines[2], &[("1", 5), ("19", 5)]),
            read(lines[3], &[("1", 2), ("19", 4)]),
            read(lines[4], &[("1", 5), ("3 1/2", 4)]),
            read(lines[5], &[("1", 3), ("3 1/2", 4)]),
            read(lines[6], &[("1", 3), ("19", 2)])]}),
        ),
    ]
}

fn fitted() -> Vec<(&'static str, Value)> {
    vec![
        ("2026-02-05T08:00:00Z", json!({"event": "opening", "gaps": gaps(&ONE_LEAF)})),
        (
            "2026-02-05T08:01:00Z",
            json!({"event": "leaf", "leaf": "A", "width": "13 15/16", "height": "15 7/16", "hinge": "left", "made": "framed"}),
        ),
        (
            "2026-02-05T08:10:00Z",
            one_leaf(
                1,
                [[("1", 5), ("14 7/16", 6)], [("1", 6), ("14 7/16", 5)], [("1", 5), ("13", 5)], [("1", 6), ("13", 6)]],
            ),
        ),
        // Feelers in 64ths leave doubt of a door that is right by half of one: a taper gauge settles it.
        (
            "2026-02-05T08:11:00Z",
            gauged(
                1,
                ["1", "7 3/4", "14 7/16"],
                ["1", "7", "13"],
                [[91, 94, 96], [96, 93, 91], [91, 92, 92], [96, 95, 96]],
                true,
            ),
        ),
        ("2026-02-05T08:12:00Z", json!({"event": "plan", "round": 1, "verdict": "fitted"})),
        ("2026-02-05T08:20:00Z", json!({"event": "finish", "leaf": "A", "schedule": "two coats of oil"})),
        (
            "2026-02-05T08:30:00Z",
            json!({"event": "flush", "leaf": "A", "corners": ["1/64", "0", "0", "1/32"], "hinges": ["2 1/2", "12 15/16"]}),
        ),
    ]
}

fn short() -> Vec<(&'static str, Value)> {
    vec![
        ("2026-02-05T09:00:00Z", json!({"event": "opening", "gaps": gaps(&ONE_LEAF)})),
        (
            "2026-02-05T09:01:00Z",
            json!({"event": "leaf", "leaf": "A", "width": "13 3/4", "height": "15 7/16", "hinge": "right", "made": "framed"}),
        ),
        (
            "2026-02-05T09:10:00Z",
            one_leaf(
                1,
                [
                    [("1", 11), ("14 7/16", 12)],
                    [("1", 6), ("14 7/16", 6)],
                    [("1", 5), ("13", 5)],
                    [("1", 5), ("13", 6)],
                ],
            ),
        ),
        (
            "2026-02-05T09:11:00Z",
            gauged(
                1,
                ["1", "7 3/4", "14 7/16"],
                ["1", "6 7/8", "13"],
                [[178, 186, 193], [98, 99, 101], [90, 91, 91], [91, 94, 98]],
                true,
            ),
        ),
        ("2026-02-05T09:12:00Z", note("Ripped one stile twice. A strip on the latch stile, or a wider reveal?")),
    ]
}

fn event(value: Value) -> Event {
    let Value::Object(map) = value else { panic!("an event is an object") };
    let mut unknown = Vec::new();
    let event = evenreveal::shop::line::read_event(map, &mut unknown).unwrap();
    assert!(unknown.is_empty(), "{unknown:?}");
    event
}

fn write_all(dir: &Path) {
    let holder = Holder { pid: 1, host: "bench".to_owned(), since: "2026-02-02T09:00:00Z".to_owned() };
    let shop = Shop::open(dir, &Access::Write(holder)).unwrap();
    for (name, events) in story() {
        let mut opening = shop.create_opening(name).unwrap();
        for (at, value) in events {
            opening.append(event(value), at).unwrap_or_else(|error| panic!("{name}: {error}"));
        }
    }
}

fn sample() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-shop")
}

fn logs(dir: &Path) -> Vec<(String, String)> {
    let mut logs: Vec<_> = std::fs::read_dir(dir.join("openings"))
        .unwrap()
        .map(|entry| entry.unwrap())
        .map(|entry| (entry.file_name().into_string().unwrap(), std::fs::read_to_string(entry.path()).unwrap()))
        .collect();
    logs.sort();
    logs
}

#[test]
fn the_files_are_what_the_story_gives() {
    let made = tempfile::tempdir().unwrap();
    write_all(made.path());
    if std::env::var_os("EVENREVEAL_WRITE_SAMPLE").is_some() {
        std::fs::create_dir_all(sample().join("openings")).unwrap();
        for (name, text) in logs(made.path()) {
            std::fs::write(sample().join("openings").join(name), text).unwrap();
        }
    }
    assert_eq!(logs(&sample()), logs(made.path()));
}

fn opened(name: &str) -> (Opening, Shop) {
    let shop = Shop::open(&sample(), &Access::Look).unwrap();
    (shop.opening(name).unwrap(), shop)
}

fn verdict(name: &str) -> (Verdict, evenreveal::fit::plan::Plan) {
    let (opening, shop) = opened(name);
    let state = opening.state();
    let problem = state.problem(state.current_round(), shop.settings()).unwrap();
    let plan = plan(&problem, Options::default()).unwrap();
    (plan.verdict, plan)
}

#[test]
fn each_opening_has_the_verdict_it_is_there_for() {
    assert_eq!(opened("Door, middle right").0.state().stage(), Stage::Read { round: 1 }, "the fresh leaf");
    assert_eq!(opened("Door, middle left").0.state().current_round(), 2, "two rounds of history");
    assert_eq!(verdict("Door, middle left").0, Verdict::Cut);
    let (found, plan) = verdict("Pair below");
    assert_eq!(found, Verdict::Cut);
    let meeting = &plan.gaps[1];
    assert!(meeting.stations.iter().any(|station| station.now.get() < 0.03), "the meeting gap is tight: {meeting:?}");
    assert_eq!(verdict("Drawers").0, Verdict::Cut);
    assert_eq!(verdict("Door, top left").0, Verdict::Fitted);
    let (found, plan) = verdict("Door, top right");
    assert_eq!(found, Verdict::Short);
    assert!(!plan.strips.is_empty(), "a strip would do it");
}

/// What the list says of each opening is what the sample's own README says of it.
#[test]
fn the_program_agrees_with_the_samples_readme() {
    let next = |name: &str| {
        let (opening, shop) = opened(name);
        let look = rounds::look(opening.state(), shop.settings(), rounds::spreads(None), Choice::default()).unwrap();
        let brief = Brief::of(&look, opening.state());
        assert!(!brief.differs, "{name}: the accepted plan is what the program advises");
        brief::line(opening.state().stage(), Some(&brief))
    };
    assert_eq!(next("Door, top left"), "it fits, after round 1");
    assert_eq!(next("Door, middle left"), "round 2: 1 edge to cut");
    assert!(next("Door, top right").contains("wood is missing"), "{}", next("Door, top right"));
    for read_again in ["Pair below", "Drawers"] {
        assert!(next(read_again).contains("stations again"), "{read_again}: {}", next(read_again));
    }
    let readme = std::fs::read_to_string(sample().join("README.md")).unwrap();
    for (name, said) in [
        ("Pair below", "read some stations again"),
        ("Drawers", "read some stations again"),
        ("Door, middle left", "one edge still to be cut"),
        ("Door, middle right", "not yet read"),
        ("Door, top left", "fitted"),
        ("Door, top right", "wood is missing"),
    ] {
        let line = readme.split("\n- ").find(|part| part.starts_with(&format!("*{name}*"))).unwrap();
        let line = line.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(line.contains(said), "{line}");
    }
}

#[test]
fn opening_the_sample_to_look_changes_nothing() {
    let before = logs(&sample());
    let shop = Shop::open(&sample(), &Access::Look).unwrap();
    for listed in shop.list().unwrap() {
        assert_eq!(listed.trouble, None, "{}", listed.name);
        shop.opening(&listed.name).unwrap();
    }
    assert_eq!(logs(&sample()), before);
    assert!(!sample().join("shop.lock").exists());
}
