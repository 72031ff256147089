//! `plan` and `list` give the advice that the Plan screen gives.

#[path = "common/program.rs"]
#[allow(dead_code)]
mod program;
#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::rounds::Look;
use evenreveal::bench::{Effect, Screen};
use evenreveal::cut::job::Method;
use evenreveal::cut::words::Caution;
use evenreveal::fit::length::{Length, Show, Unit};
use evenreveal::fit::policy::Next;
use program::Home;
use screen_bench::Bench;
use serde_json::Value;

/// Feelers that go at the twelve stations of the single door; the next thicker one stops.
const TWELVE: &str = "b\rc\rb\rb\rf\rf\rf\rf\rf\rf\rc\rc\r";

fn close(json: &Value, wanted: f64) {
    assert!((json.as_f64().unwrap() - wanted).abs() < 1e-9, "{json} is not {wanted}");
}

/// The single door, read through the keys, and the look of its Plan screen.
fn read_and_planned() -> (Bench, Look) {
    let mut bench = Bench::new();
    bench.press(&format!("\rr{TWELVE}\r"));
    let Some(Screen::Plan(plan)) = bench.session.screen() else { panic!("no plan on\n{}", bench.text()) };
    let look = plan.look().expect("twelve readings give advice").clone();
    (bench, look)
}

#[test]
fn command_and_screen_say_the_same() {
    let (bench, look) = read_and_planned();
    let home = Home::new();
    let shop = bench.dir.path().to_str().unwrap();
    let plan = home.run(&["--shop", shop, "plan", "left door", "--json"], "").code(0).json();
    assert_eq!(plan["format"], "evenreveal-plan/1");
    assert_eq!(plan["round"], 1);
    close(&plan["doubt"], look.advice.doubt);
    let cuts = plan["cuts"].as_array().unwrap();
    assert!(!cuts.is_empty(), "this door wants cutting");
    assert_eq!(cuts.len(), look.cuts().len());
    for (json, cut) in cuts.iter().zip(look.cuts()) {
        assert_eq!(json["edge"], cut.edge.word());
        for (end, key) in ["start", "end"].into_iter().enumerate() {
            close(&json["aim"][key], cut.aim[end].0);
            close(&json["line"][key], cut.line[end].0);
            assert!(json["aim"][key].as_f64() <= json["line"][key].as_f64(), "{json}: the aim is past the line");
        }
        // The contract's trims are the lines.
        let trims = plan["leaves"][0]["trims"].as_array().unwrap();
        let trim = trims.iter().find(|trim| trim["edge"] == json["edge"]).unwrap();
        assert_eq!((&trim["start"], &trim["end"]), (&json["line"]["start"], &json["line"]["end"]));
    }
    let asks = if let Next::Read(asks) = &look.advice.next { asks.len() } else { 0 };
    assert_eq!(plan["read_again"].as_array().unwrap().len(), asks);
    let passes = look.advice.passes.as_ref().unwrap();
    for (key, spread) in [("trips", passes.trips), ("saw", passes.saw), ("plane", passes.plane)] {
        assert_eq!(plan["passes"][key]["median"], spread.median, "{key}");
        assert_eq!(plan["passes"][key]["nine_in_ten"], spread.most, "{key}");
    }
    assert_eq!(plan["passes"]["edges"].as_array().unwrap().len(), passes.edges.len());
    let listed = home.run(&["--shop", shop, "list", "--json"], "").code(0).json();
    for key in ["trips", "saw", "plane"] {
        assert_eq!(listed[0]["passes"][key], plan["passes"][key], "{key}");
    }
    let most = passes.trips.most;
    home.run(&["--shop", shop, "list"], "").code(0).gives(&["trips left", &format!("most {most}")]);
    home.run(&["--shop", shop, "plan", "left door"], "").code(0).gives(&[
        "take off now",
        "; line ",
        "goes over its line",
        "Left: ",
        "doubt",
    ]);
    // One source for the cautions: those that stand on every other page.
    let cautions: Vec<&str> = Caution::WHEREVER_CUT.iter().map(|caution| caution.text()).collect();
    home.run(&["--shop", shop, "plan", "left door"], "").code(0).gives(&cautions);
}

#[test]
fn every_cut_of_the_advice_has_its_set_up() {
    let (bench, look) = read_and_planned();
    let home = Home::new();
    let shop = bench.dir.path().to_str().unwrap();
    let plan = home.run(&["--shop", shop, "plan", "left door", "--json"], "").code(0).json();
    let setups = plan["setups"].as_array().unwrap();
    assert_eq!(setups.len(), look.cuts().len());
    for setup in setups {
        assert!(setup.get("error").is_none(), "{setup}");
    }
}

/// Numbers of a set-up with their path, counts apart from lengths.
fn numbers(value: &Value, path: &str, all: &mut Vec<(String, f64, bool)>) {
    match value {
        Value::Object(keys) => keys.iter().for_each(|(key, value)| numbers(value, &format!("{path}.{key}"), all)),
        Value::Array(list) => {
            list.iter().enumerate().for_each(|(place, value)| numbers(value, &format!("{path}[{place}]"), all));
        }
        Value::Number(one) => all.push((path.to_owned(), one.as_f64().unwrap(), one.is_f64())),
        _ => {}
    }
}

/// The same plan in a metric shop: every length of every set-up is 25.4 times what it is in inches, every
/// count is the same, and what is set or marked stands there as the shop writes it. Only what the rounding of a mark
/// leaves differs: that is to 1/128 in or to 0.2 mm.
#[test]
fn the_set_ups_follow_the_unit_of_the_document() {
    let (mut bench, _) = read_and_planned();
    let home = Home::new();
    let shop = bench.dir.path().to_str().unwrap().to_owned();
    let plan = |home: &Home| home.run(&["--shop", &shop, "plan", "left door", "--json"], "").code(0).json();
    // No ruler in it but that of the marks.
    let settings = |bench: &mut Bench, show| {
        let mut settings = bench.session.shop.settings.clone();
        settings.show = show;
        settings.ranking = vec![Method::GuideLine];
        bench.runner.run(Effect::SaveSettings(Box::new(settings)));
    };
    settings(&mut bench, Show::Fraction(64));
    let inches = plan(&home);
    settings(&mut bench, Show::Millimetre(1));
    let metric = plan(&home);
    assert_eq!((&inches["unit"], &metric["unit"]), (&Value::from("in"), &Value::from("mm")));
    let (mut from, mut to) = (Vec::new(), Vec::new());
    numbers(&inches["setups"], "", &mut from);
    numbers(&metric["setups"], "", &mut to);
    assert!(from.len() >= 10 && from.len() == to.len(), "{from:?} {to:?}");
    for ((path, inches, length), (same, metric, _)) in from.iter().zip(&to) {
        assert_eq!(path, same);
        if path.ends_with(".error_start") || path.ends_with(".error_end") {
            assert!(
                inches.abs() <= 0.5 / 128.0 + 1e-9 && metric.abs() <= 0.1 + 1e-9,
                "{path}: {inches} in, {metric} mm"
            );
            continue;
        }
        let wanted = if *length { inches * 25.4 } else { *inches };
        assert!((metric - wanted).abs() < 1e-9, "{path}: {inches} in, {metric} mm");
    }
    for (plan, unit) in [(&inches, "in"), (&metric, "mm")] {
        for setup in plan["setups"].as_array().unwrap() {
            assert_eq!(setup["unit"], unit);
            let shown = setup["setup"]["marks"][0]["shown"].as_str().unwrap();
            assert_eq!(shown.ends_with("mm") || shown == "0", unit == "mm" || shown == "0", "{shown}");
        }
    }
}

/// Whatever is set or marked is a number in the document's unit and stands beside it as the shop writes it.
#[test]
fn what_is_set_is_a_number_and_has_the_shops_own_writing_beside_it() {
    let (bench, _) = read_and_planned();
    let home = Home::new();
    let shop = bench.dir.path().to_str().unwrap();
    let plan = home.run(&["--shop", shop, "plan", "left door", "--json"], "").code(0).json();
    let mut met = 0;
    for setup in plan["setups"].as_array().unwrap() {
        let setup = &setup["setup"];
        let set = match setup["method"].as_str().unwrap() {
            "rip" => vec![&setup["fence_move"], &setup["fence_absolute"]],
            "sled" => vec![&setup["stop_move"]],
            _ => vec![],
        };
        for setting in set {
            let shown = Length::parse(setting["value_shown"].as_str().unwrap(), Unit::Inch).unwrap();
            close(&setting["value"], shown.inches());
            met += 1;
        }
        if setup["method"] == "plane" {
            close(&setup["shaving"], 0.001);
            assert!(setup["shaving_shown"].is_string());
            met += 1;
        }
    }
    assert!(met > 0, "{plan}");
}

#[test]
fn an_opening_not_read_has_no_passes_and_no_plan() {
    let bench = Bench::new();
    let home = Home::new();
    let shop = bench.dir.path().to_str().unwrap();
    home.run(&["--shop", shop, "plan", "left door"], "").code(1).says(&["no plan yet"]);
    let listed = home.run(&["--shop", shop, "list", "--json"], "").code(0).json();
    assert_eq!(listed[0]["passes"], Value::Null);
}

#[test]
fn the_log_tells_meant_against_taken_once_the_leaf_was_read_again() {
    let (mut bench, _) = read_and_planned();
    bench.press("adddd");
    let home = Home::new();
    let shop = bench.dir.path().to_str().unwrap().to_owned();
    let log = |style: &str| home.run(&["--shop", &shop, "log", "left door", style], "").code(0).out;
    let cuts = |log: &str| -> Vec<Value> {
        let all = log.lines().map(|line| serde_json::from_str::<Value>(line).unwrap());
        all.filter(|event| event["event"] == "cut").collect()
    };
    let before = cuts(&log("--json"));
    assert!(!before.is_empty() && before.iter().all(|cut| cut.get("taken").is_none()), "{before:?}");
    bench.press("\u{1b}\u{1b}\u{1b}\rr");
    bench.read_all_as("d", 12);
    let after = cuts(&log("--json"));
    assert_eq!(after.len(), before.len());
    for cut in &after {
        for end in ["start", "end"] {
            let (mean, sd) = (cut["taken"][end]["mean"].as_f64().unwrap(), cut["taken"][end]["sd"].as_f64().unwrap());
            assert!(mean > -0.02 && mean < 0.25 && sd > 0.0 && sd < 0.05, "{cut}");
        }
    }
    let csv = log("--csv");
    let header = csv.lines().next().unwrap();
    assert!(header.ends_with(",taken_start_in,taken_end_in,taken_start_sd_in,taken_end_sd_in"), "{header}");
    let columns = header.split(',').count();
    let rows: Vec<Vec<&str>> = csv.lines().skip(1).map(|line| line.split(',').collect()).collect();
    for row in rows.iter().filter(|row| row[2] == "cut") {
        assert_eq!(row.len(), columns);
        assert!(row[columns - 4..].iter().all(|cell| cell.parse::<f64>().is_ok()), "{row:?}");
    }
    for row in rows.iter().filter(|row| row[2] == "readings") {
        assert!(row[columns - 4..].iter().all(|cell| cell.is_empty()), "{row:?}");
    }
}
