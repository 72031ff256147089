//! What `list` works out is noted beside the shop and found again; never where anything it rests on has changed.

#[path = "common/program.rs"]
#[allow(dead_code)]
mod program;

use evenreveal::bench::knowing;
use evenreveal::bench::rounds;
use evenreveal::fit::learn::{Evidence, Pooled, learn_from};
use evenreveal::shop::{Access, Shop};
use program::Home;
use serde_json::{Value, json};
use std::path::PathBuf;

const EDGES: [(&str, [&str; 2]); 4] = [
    ("left", ["frame", "A.left"]),
    ("right", ["A.right", "frame"]),
    ("bottom", ["frame", "A.bottom"]),
    ("top", ["A.top", "frame"]),
];

fn readings(round: u32, gaps: [&str; 4]) -> Value {
    let gaps: Vec<_> = EDGES
        .iter()
        .zip(gaps)
        .map(|((edge, between), gap)| {
            let far = if matches!(*edge, "left" | "right") { "25" } else { "10" };
            let at = |at: &str| json!({"at": at, "gap": gap});
            json!({"between": between, "readings": [at("1"), at(far)]})
        })
        .collect();
    json!({"event": "readings", "round": round, "gaps": gaps})
}

fn cut(round: u32, edge: &str, off: &str, method: &str) -> Value {
    json!({"event":"cut","round":round,"leaf":"A","edge":edge,"start":off,"end":"1/256","method":method})
}

/// A shop of three doors: one cut twice and read again, one cut once, one only read.
fn shop() -> Home {
    let home = Home::new();
    let described = [
        json!({"event":"opening","gaps":EDGES.map(|(_, between)| json!({"between":between,"target":"3/32"}))}),
        json!({"event":"leaf","leaf":"A","width":"11","height":"26","hinge":"left"}),
    ];
    let first = readings(1, ["1/32", "3/64", "3/32", "1/32"]);
    let second = readings(2, ["5/64", "5/64", "3/32", "1/16"]);
    let cuts = [cut(1, "left", "3/64", "rip"), cut(1, "top", "1/32", "plane")];
    for (name, rest) in [
        ("one", vec![first.clone(), cuts[0].clone(), cuts[1].clone(), second.clone()]),
        ("two", vec![first.clone(), cuts[0].clone(), second]),
        ("three", vec![first]),
    ] {
        let text = described.iter().chain(&rest).map(Value::to_string).collect::<Vec<_>>().join("\n");
        home.write(&format!("{name}.txt"), &text);
        home.run(&["--shop", "s", "enter", name, &format!("{name}.txt")], "").code(0);
    }
    home
}

fn list(home: &Home) -> String {
    home.run(&["--shop", "s", "list", "--json"], "").code(0).out
}

fn noted_in(home: &Home) -> PathBuf {
    let dir = home.path().join(".cache/evenreveal");
    let mut files = std::fs::read_dir(dir).unwrap().map(|file| file.unwrap().path());
    let file = files.next().expect("figures are noted");
    assert_eq!(files.next(), None, "one file for one shop");
    file
}

/// The list with what is noted, and without: equal.
#[track_caller]
fn listed_rightly(home: &Home) -> String {
    let with = list(home);
    assert_eq!(with, list(home), "the second time");
    std::fs::remove_file(noted_in(home)).unwrap();
    assert_eq!(with, list(home), "without what was noted");
    with
}

#[test]
fn figures_are_noted_and_follow_every_change() {
    let home = shop();
    let first = listed_rightly(&home);
    assert!(first.contains("\"nine_in_ten\""), "{first}");
    // Another reading, in one of them.
    home.run(&["--shop", "s", "enter", "three", "-"], &readings(1, ["3/32", "3/32", "3/32", "3/32"]).to_string())
        .code(0);
    let second = listed_rightly(&home);
    assert_ne!(first, second);
    // What another opening's cut teaches.
    home.run(&["--shop", "s", "enter", "two", "-"], &format!("{}", cut(2, "right", "1/64", "plane"))).code(0);
    home.run(&["--shop", "s", "enter", "two", "-"], &readings(3, ["3/32", "3/32", "3/32", "1/16"]).to_string()).code(0);
    listed_rightly(&home);
    // Other settings.
    let settings = home.path().join("s/shop.json");
    let mut whole: Value = std::fs::read_to_string(&settings).ok().map_or_else(
        || serde_json::to_value(evenreveal::shop::settings::Settings::default()).unwrap(),
        |text| serde_json::from_str(&text).unwrap(),
    );
    whole["tolerance"] = json!("1/16");
    std::fs::write(&settings, whole.to_string()).unwrap();
    assert_ne!(listed_rightly(&home), second);
}

#[test]
fn a_noted_figure_is_what_is_shown() {
    let home = shop();
    list(&home);
    let path = noted_in(&home);
    let text = std::fs::read_to_string(&path).unwrap();
    let (head, body) = text.trim_end().split_once('\n').unwrap();
    let (mut head, mut body): (Value, Value) =
        (serde_json::from_str(head).unwrap(), serde_json::from_str(body).unwrap());
    // The most trips of the door that was only read.
    let most = &mut body["row"]["three.jsonl"][1][5];
    assert!(most.as_u64().is_some_and(|most| most > 0), "{text}");
    *most = json!(77);
    let body = body.to_string();
    head["crc"] = json!(format!("{:08x}", crc32fast::hash(body.as_bytes())));
    std::fs::write(&path, format!("{head}\n{body}\n")).unwrap();
    home.run(&["--shop", "s", "list"], "").code(0).gives(&["most 77"]);
    // Damaged, it is not believed.
    std::fs::write(&path, format!("{head}\n{}\n", body.replace("77", "78"))).unwrap();
    assert!(!list(&home).contains("78"));
}

#[test]
fn one_opening_is_left_out_of_the_sums_as_if_it_had_never_been_there() {
    let home = shop();
    let shop = Shop::open(&home.path().join("s"), &Access::Look).unwrap();
    let evidence: Vec<Evidence> = ["one", "two"]
        .iter()
        .map(|name| knowing::evidence(shop.opening(name).unwrap().state(), None).expect("cuts read again"))
        .collect();
    let prior = rounds::spreads(None);
    let mut pooled = Pooled::of(&prior);
    for one in &evidence {
        pooled.add(one);
    }
    for (place, one) in evidence.iter().enumerate() {
        let others = evidence.iter().enumerate().filter(|(other, _)| *other != place).map(|(_, one)| one);
        let (left_out, alone) = (pooled.without(one).learning(), learn_from(&prior, others));
        let near = |a: f64, b: f64| assert!((a - b).abs() <= 1e-12 * b.abs(), "{a} {b}");
        near(left_out.tape.posterior.mean, alone.tape.posterior.mean);
        near(left_out.tape.posterior.sd, alone.tape.posterior.sd);
        near(left_out.plane.posterior.mean, alone.plane.posterior.mean);
        near(left_out.plane.posterior.sd, alone.plane.posterior.sd);
        near(left_out.saw.posterior.0, alone.saw.posterior.0);
        assert_eq!((left_out.saw.cuts, left_out.plane.cuts), (alone.saw.cuts, alone.plane.cuts));
        assert_eq!(Evidence::from_numbers(&one.numbers()).as_ref(), Some(one));
        assert_eq!(Evidence::from_numbers(&one.numbers()[1..]), None);
    }
    let none = evidence.iter().fold(pooled, Pooled::without).learning();
    assert_eq!(none, learn_from(&prior, std::iter::empty()));
}
