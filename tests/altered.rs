//! A strip glued on, wood taken off outside the rounds, a leaf made anew: what was read of the leaf before holds for it
//! no more, what its cuts were found to take is still known, and whoever takes it back has everything as it was.

#[path = "common/program.rs"]
#[allow(dead_code)]
mod program;
#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::knowing::{Because, LookAsked, answer, evidence};
use evenreveal::bench::leaf_sizes::Sizes;
use evenreveal::bench::rounds::{self, Choice, LookError, Told};
use evenreveal::bench::{Screen, rounds_words, taken};
use evenreveal::fit::estimate::Standing;
use evenreveal::fit::length::{Length, Show};
use evenreveal::fit::opening::{Edge, Motion};
use evenreveal::fit::policy::Next;
use evenreveal::fit::reading::{Reading, Value};
use evenreveal::shop::event::{Event, Record};
use evenreveal::shop::replay::Stage;
use evenreveal::shop::settings::Settings;
use evenreveal::shop::{OpeningState, check};
use program::Home;
use ratatui::crossterm::event::{KeyCode, KeyModifiers};
use screen_bench::{Bench, SINGLE};
use serde_json::{Value as Json, json};

const LEFT: [&str; 2] = ["frame", "A.left"];
const RIGHT: [&str; 2] = ["A.right", "frame"];
const BOTTOM: [&str; 2] = ["frame", "A.bottom"];
const TOP: [&str; 2] = ["A.top", "frame"];

/// Every end of every gap line looked at twice: left, right, bottom and top, in 64ths.
fn read(round: u32, gaps: [u32; 4]) -> Json {
    let line = |between: [&str; 2], high: &str, gap: u32| {
        let look = |at: &str, again: bool| json!({"at": at, "gap": format!("{gap}/64"), "again": again});
        let looks = [look("1", false), look(high, false), look("1", true), look(high, true)];
        json!({"between": between, "readings": looks})
    };
    let [left, right, bottom, top] = gaps;
    let lines = [line(LEFT, "25", left), line(RIGHT, "25", right), line(BOTTOM, "10", bottom), line(TOP, "10", top)];
    json!({"event": "readings", "round": round, "gaps": lines})
}

fn cut(round: u32, edge: &str, by: &str) -> Json {
    json!({"event": "cut", "round": round, "leaf": "A", "edge": edge, "start": by, "end": by, "method": "rip"})
}

fn strip(edge: &str, added: &str) -> Json {
    json!({"event": "altered", "leaf": "A", "edge": edge, "added": added})
}

fn anew(width: &str, height: &str) -> Json {
    json!({"event": "remade", "leaf": "A", "width": width, "height": height})
}

fn single() -> Vec<Json> {
    serde_json::Deserializer::from_str(SINGLE).into_iter().map(Result::unwrap).collect()
}

/// The single door with these events, each of which had to be one that may follow.
fn records(more: &[Json]) -> Vec<Record> {
    let mut records = Vec::new();
    for event in single().iter().chain(more) {
        let event: Event = serde_json::from_value(event.clone()).unwrap();
        let state = OpeningState::replay(&records);
        check::check(&records, &state, &event).unwrap_or_else(|error| panic!("{event:?}: {error}"));
        let at = format!("2026-03-02T14:05:{:02}Z", records.len());
        records.push(Record { n: records.len() as u64 + 1, at, event });
    }
    records
}

fn state(more: &[Json]) -> OpeningState {
    OpeningState::replay(&records(more))
}

fn refused(more: &[Json], event: Json) -> String {
    let records = records(more);
    let event: Event = serde_json::from_value(event).unwrap();
    check::check(&records, &OpeningState::replay(&records), &event).unwrap_err().to_string()
}

fn look(state: &OpeningState) -> Result<rounds::Look, LookError> {
    rounds::look(state, &Settings::default(), rounds::spreads(None), Choice::default())
}

/// Too narrow by more than 3/32 in, all of it on the left and the right.
const SHORT: [u32; 4] = [9, 10, 6, 6];

#[test]
fn a_strip_ends_the_plan_and_wants_all_gaps_read_anew() {
    let plan = json!({"event": "plan", "round": 1, "verdict": "short",
        "trims": [{"leaf": "A", "edge": "top", "start": "1/64", "end": "1/64"}]});
    let before = state(&[read(1, SHORT), plan.clone()]);
    assert_eq!(before.stage(), Stage::Cut { round: 1, left: 1, packs: 0 });
    assert_eq!(look(&state(&[read(1, SHORT)])).unwrap().advice.next, Next::Short);
    for event in [strip("left", "1/8"), strip("right", "-1/64"), anew("11 1/8", "26")] {
        let told = [read(1, SHORT), plan.clone(), event.clone()];
        let after = state(&told);
        assert_eq!(after.stage(), Stage::Read { round: 2 }, "{event}");
        assert!(after.to_cut().is_empty() && after.waiting().is_empty() && after.tools_wanted() == [false; 2]);
        assert_eq!(look(&after), Err(LookError::AlteredSince(1)));
        assert_eq!(evenreveal::bench::readings::round_to_read(&after), 2);
        let why = refused(&told, read(1, SHORT));
        assert!(why.contains("a leaf was altered after round 1 was read; these readings are round 2"), "{why}");
        // Taken back, the plan stands again.
        let mut taken_back = told.to_vec();
        taken_back.push(json!({"event": "strike", "strikes": 5}));
        let back = state(&taken_back);
        assert_eq!((back.stage(), back.size_at("A", 9)), (before.stage(), before.size_at("A", 9)), "{event}");
    }
}

/// With the strip on it the gap is narrower by the strip, and that is no surprise; it was one while nobody could say so.
#[test]
fn the_readings_before_are_not_held_against_those_after() {
    let at = Length::ratio(25, 1);
    let reading = Reading { at, value: Value::Gap(Length::ratio(1, 64)) };
    let surprise = |more: &[Json]| {
        let mut estimate = rounds::expecting(&state(more), rounds::spreads(None), 2).unwrap();
        // Where it sits in the new round is told by the first readings on the other edges.
        for (gap, at, sixtyfourths) in [(1, 1, 10), (1, 25, 10), (2, 1, 6), (2, 10, 6)] {
            let gap_read = Value::Gap(Length::ratio(sixtyfourths, 64));
            estimate.observe(gap, &Reading { at: Length::ratio(at, 1), value: gap_read }).unwrap();
        }
        estimate.surprise(0, &reading).unwrap()
    };
    let planed = json!({"event": "cut", "round": 1, "leaf": "A", "edge": "top", "start": "1/64", "end": "1/64", "method": "plane"});
    assert!(
        surprise(&[read(1, SHORT), planed.clone()]).asks(),
        "without the event the strip contradicts all that was read"
    );
    for event in [strip("left", "1/8"), anew("11 1/8", "26")] {
        let told = surprise(&[read(1, SHORT), planed.clone(), event]);
        assert!(!told.asks() && told.expected.sd.0 > 0.2, "{told:?}");
    }
}

#[test]
fn the_next_rounds_rest_on_their_own_readings_alone() {
    let fresh = state(&[read(1, [6, 8, 6, 6])]);
    let after = state(&[read(1, SHORT), cut(1, "top", "1/32"), strip("left", "1/8"), read(2, [6, 8, 6, 6])]);
    let (fresh, after) = (look(&fresh).unwrap(), look(&after).unwrap());
    assert_eq!((after.round, after.problem.leaves[0].width), (2, Length::ratio(89, 8)));
    for gap in 0..4 {
        let stations = fresh.estimate.stations(gap);
        assert_eq!(after.estimate.stations(gap), stations);
        for at in stations {
            let [one, other] = [&fresh, &after].map(|look| look.estimate.gap_at(gap, at).unwrap());
            assert!(
                (one.mean.0 - other.mean.0).abs() < 1e-4 && (one.sd.0 - other.sd.0).abs() < 1e-4,
                "{one:?} {other:?}"
            );
        }
    }
    assert!(matches!(after.advice.next, Next::Cut(_)) == matches!(fresh.advice.next, Next::Cut(_)));
    // Nobody is asked about a reading of the leaf as it was.
    assert!(after.estimate.review().iter().all(|review| review.round == 2));
}

/// A pair: what was read of the other leaf still stands, what was read between the two does not.
#[test]
fn the_other_leaf_of_a_pair_keeps_its_readings() {
    let gaps = evenreveal::bench::asking::gaps_of(&["A", "B"], Edge::Right);
    let wanted: Vec<Json> = gaps.iter().map(|between| json!({"between": between, "target": "3/32"})).collect();
    let all: Vec<Json> = gaps
        .iter()
        .map(|between| {
            let side = between.iter().find(|side| *side != "frame").unwrap();
            let far = if side.ends_with("left") || side.ends_with("right") { "25" } else { "10" };
            json!({"between": between, "readings": [{"at": "1", "gap": "3/32"}, {"at": far, "gap": "3/32"}]})
        })
        .collect();
    let events = [
        json!({"event": "opening", "gaps": wanted}),
        json!({"event": "leaf", "leaf": "A", "width": "11", "height": "26"}),
        json!({"event": "leaf", "leaf": "B", "width": "11", "height": "26"}),
        json!({"event": "readings", "round": 1, "gaps": all}),
        strip("left", "1/16"),
    ];
    let record = |(n, event): (u64, &Json)| Record {
        n,
        at: String::new(),
        event: serde_json::from_value(event.clone()).unwrap(),
    };
    let state = OpeningState::replay(&(1..).zip(&events).map(record).collect::<Vec<_>>());
    let estimate = Told::of(&state, u32::MAX).unwrap().estimate(rounds::spreads(None)).unwrap();
    for (gap, between) in gaps.iter().enumerate() {
        let of_a = between.iter().any(|side| side.starts_with("A."));
        let sd = estimate.gap_at(gap, Length::ratio(1, 1)).unwrap().sd.0;
        assert_eq!(sd > 0.1, of_a, "{between:?}: {sd}");
        assert_eq!(estimate.stations(gap).is_empty(), of_a, "{between:?}");
    }
}

#[test]
fn what_cuts_before_it_took_is_still_learned_from_unless_nobody_read_it() {
    let first = [read(1, [2, 6, 6, 6]), cut(1, "left", "1/16"), read(2, [5, 6, 6, 6])];
    let with = |more: &[Json]| state(&[&first[..], more].concat());
    let counts =
        |state: &OpeningState| evidence(state, None).map_or([0; 2], |told| [told.numbers()[2], told.numbers()[0]]);
    assert_eq!(counts(&with(&[])), [1, 0], "one saw cut, level");
    let plain = evidence(&with(&[]), None).unwrap().numbers();
    let altered = evidence(&with(&[strip("left", "1/8"), read(3, [2, 4, 6, 6])]), None).unwrap().numbers();
    assert_eq!(plain, altered, "as much is known of that cut as before, to the last bit");
    // Cut again, and a strip glued on before anybody looked: that cut tells nothing, and the round after it does.
    let lost = with(&[cut(2, "left", "1/64"), strip("left", "1/8"), read(3, [2, 4, 6, 6])]);
    assert_eq!(evidence(&lost, None).unwrap().numbers(), plain);
    let history = taken::history(&lost, rounds::spreads(None));
    assert_eq!(history.len(), 3);
    let lines = rounds_words::history_lines(&history, &lost, Show::default()).join("\n");
    for wanted in
        ["A left: meant 0.016/0.016, never read: the leaf was altered first", "  strip of 1/8 glued on A left\nround 3"]
    {
        assert!(lines.contains(wanted), "no '{wanted}' in\n{lines}");
    }
    let by_event: Vec<u64> = taken::by_event(&lost, rounds::spreads(None)).into_keys().collect();
    assert_eq!(by_event, [4], "what the second cut took is not told");
    // A cut made after the strip, before the gaps are read, is a cut of the leaf as it is now.
    let after = with(&[strip("left", "1/8"), cut(2, "left", "1/64"), read(3, [3, 4, 6, 6])]);
    assert_eq!(counts(&after), [2, 0]);
    assert!(taken::by_event(&after, rounds::spreads(None)).contains_key(&7));
}

#[test]
fn why_the_trips_changed_is_not_laid_on_a_cut() {
    let state = state(&[read(1, [2, 6, 6, 6]), cut(1, "left", "1/32"), strip("left", "1/16"), read(2, [1, 6, 2, 6])]);
    let asked =
        LookAsked { opening: "door".to_owned(), state, settings: Settings::default(), choice: Choice::default() };
    let answer = answer(&asked, rounds::spreads(None));
    let change = answer.change.expect("both rounds have trips left");
    assert_eq!(change.because, Because::Altered);
    let said = rounds_words::change(&change, answer.answer.as_ref().unwrap(), Show::default());
    assert!(said.ends_with(": a leaf was altered since"), "{said}");
}

#[test]
fn sizes_grow_by_the_strip_and_a_new_leaf_has_its_own() {
    let inch = |n: i64, d: i64| Length::ratio(n, d);
    let more = [
        read(1, SHORT),
        json!({"event": "measured", "leaf": "A", "widths": ["11", "10.99"], "heights": ["26", "26"]}),
        json!({"event": "measured", "leaf": "A", "no_contact": {"edge": "bottom", "stretches": [["2", "9"]]}}),
        json!({"event": "measured", "leaf": "A", "bow": {"edge": "left", "bow": "1/64"}}),
        json!({"event": "finish", "leaf": "A", "schedule": "oil"}),
        json!({"event": "flush", "leaf": "A", "corners": ["0", "0", "0", "1/32"]}),
        cut(1, "right", "1/32"),
        strip("left", "1/8"),
    ];
    let altered = state(&more);
    assert_eq!(altered.size_at("A", 1), Some((inch(11, 1), inch(26, 1))), "as it was when round 1 was read");
    assert_eq!(altered.size_at("A", 2), Some((inch(355, 32), inch(26, 1))), "11 - 1/32 + 1/8");
    let sizes = Sizes::of(&altered, "A").unwrap();
    assert!(!sizes.are_widths_known(Edge::Left), "a strip is not as thick as a caliper tells");
    assert!(sizes.are_widths_known(Edge::Top));
    assert_eq!(sizes.bow(Edge::Left), None, "it is another edge");
    let bare: Vec<_> = sizes.bare(Edge::Bottom).collect();
    assert_eq!(bare.len(), 1);
    assert!((bare[0][0].0 - 2.125).abs() < 1e-9 && (bare[0][1].0 - 9.125).abs() < 1e-9, "counted from the new end");
    assert_eq!((altered.finishes.len(), altered.flush.len()), (1, 1));
    let told = [&more[..], &[anew("11 1/8", "26 1/8")]].concat();
    let remade = state(&told);
    assert_eq!(remade.size_at("A", 2), Some((inch(89, 8), inch(209, 8))));
    assert_eq!(remade.size_told("A"), Some((inch(89, 8), inch(209, 8))));
    assert_eq!(remade.size_at("A", 1), Some((inch(11, 1), inch(26, 1))));
    let sizes = Sizes::of(&remade, "A").unwrap();
    assert!(!sizes.are_widths_known(Edge::Left) && !sizes.are_widths_known(Edge::Top));
    assert_eq!((sizes.bare(Edge::Bottom).count(), sizes.bow(Edge::Left)), (0, None));
    assert_eq!((remade.finishes.len(), remade.flush.len()), (0, 0), "nothing is on the new one");
    // What is measured of the new one counts.
    let measured =
        state(&[&told[..], &[json!({"event": "measured", "leaf": "A", "widths": ["11.1", "11.12"]})]].concat());
    assert!(Sizes::of(&measured, "A").unwrap().are_widths_known(Edge::Left));
}

/// A gap that is hollow at its middle makes its edge doubted, until there is another edge.
#[test]
fn an_edge_that_was_doubted_is_another_one_with_its_strip_on() {
    let hollow = json!({"event": "readings", "round": 1, "gaps": [{"between": LEFT, "readings": [
        {"at": "1", "gap": "3/32"}, {"at": "13", "gap": "5/32"}, {"at": "25", "gap": "3/32"}]}]});
    let doubted = |more: &[Json]| {
        let sizes = Sizes::of(&state(&[std::slice::from_ref(&hollow), more].concat()), "A").unwrap();
        format!("{sizes:?}").contains("doubted: [Left]")
    };
    assert!(doubted(&[]) && doubted(&[strip("right", "1/8")]));
    assert!(!doubted(&[strip("left", "1/8")]) && !doubted(&[anew("11 1/8", "26")]));
}

#[test]
fn until_all_of_it_is_read_again_the_rest_is_asked_for() {
    let only = json!({"event": "readings", "round": 2, "gaps": [{"between": LEFT, "readings": [
        {"at": "1", "gap": "1/32"}, {"at": "25", "gap": "1/32"}]}]});
    let told = look(&state(&[read(1, SHORT), strip("left", "1/8"), only])).unwrap();
    let Next::Read(asks) = &told.advice.next else { panic!("{:?}", told.advice.next) };
    let asked: Vec<usize> = asks.iter().map(|ask| ask.gap).collect();
    assert_eq!(asked, [1, 1, 2, 2, 3, 3], "both ends of every other line, as if never read");
}

#[test]
fn a_leaf_made_anew_is_loose_until_it_is_hung() {
    let hung = json!({"event": "hung", "leaf": "A", "motion": {"hung": {"hinges": ["3", "23"], "pack": "1/16", "let_in": "1/32", "stock": ["0.011"]}}});
    let with_strip = state(&[hung.clone(), read(1, SHORT), strip("right", "1/8")]);
    assert!(matches!(with_strip.motion_at("A", 2), Motion::Hung(_)), "a strip takes it off no hinge");
    let remade = state(&[hung.clone(), read(1, SHORT), anew("11 1/8", "26")]);
    assert_eq!((remade.motion_at("A", 2), remade.hung.len()), (Motion::Free, 0));
    assert_eq!(remade.stage(), Stage::Read { round: 2 });
    let again = state(&[hung.clone(), read(1, SHORT), anew("11 1/8", "26"), hung]);
    assert!(matches!(again.motion_at("A", 2), Motion::Hung(_)));
}

#[test]
fn what_is_no_strip_and_no_leaf_is_refused() {
    for (event, wanted) in [
        (strip("left", "0"), "added: is 0"),
        (strip("left", "3"), "added: 3\" is not between -2\" and 2\""),
        (strip("left", "-3"), "not between"),
        (json!({"event": "altered", "leaf": "B", "edge": "left", "added": "1/8"}), "no leaf 'B' is described"),
        (anew("0", "26"), "width: must be more than 0"),
        (anew("3", "26"), "width: 3\" is not between"),
        (anew("11", "60"), "height: 60\" is not between"),
        (json!({"event": "remade", "leaf": "B", "width": "11", "height": "26"}), "no leaf 'B' is described"),
    ] {
        let why = refused(&[], event.clone());
        assert!(why.contains(wanted), "{event}: {why}");
    }
}

/// A reading that was struck, and readings of a round that the strip came into the middle of.
#[test]
fn a_strip_before_anything_was_read_needs_no_new_round() {
    let early = state(&[strip("left", "1/8")]);
    assert_eq!(early.stage(), Stage::Read { round: 1 });
    assert_eq!(early.size_at("A", 1), Some((Length::ratio(89, 8), Length::ratio(26, 1))));
    let read_then = state(&[strip("left", "1/8"), read(1, [6, 6, 6, 6])]);
    let found = look(&read_then).unwrap();
    assert_eq!((found.problem.leaves[0].width, found.round), (Length::ratio(89, 8), 1));
    assert!(read_then.rounds.iter().all(|round| !read_then.altered_after(round)));
    assert_eq!(read_then.rounds.iter().filter(|round| round.is_read()).count(), 1);
    assert!(found.estimate.review().iter().all(|review| review.standing == Standing::Plain));
}

fn lines(events: &[Json]) -> String {
    events.iter().map(Json::to_string).collect::<Vec<_>>().join("\n")
}

fn short_door() -> Bench {
    let mut bench = Bench::with(&[("left door", &lines(&[single(), vec![read(1, SHORT)]].concat()))]);
    bench.press("\r");
    bench
}

fn last(bench: &Bench) -> Event {
    bench.session.opened.as_ref().unwrap().records.last().unwrap().event.clone()
}

#[test]
fn one_key_at_the_plan_tells_the_strip_that_is_advised() {
    let mut bench = short_door();
    bench.shows("once a strip is on, or the leaf made anew: tell it (m)");
    bench.press("p");
    bench.shows("or glue a strip 3/32 thick on the left edge of A");
    bench.shows("once a strip is on, or the leaf made anew: tell it (m)");
    bench.press("m");
    for wanted in ["< strip glued on >", "< left >", "3/32", "holds no more"] {
        bench.shows(wanted);
    }
    // Another edge has another strip; what is typed stays whichever edge is chosen.
    bench.press("\r");
    bench.key(KeyCode::Right, KeyModifiers::NONE);
    bench.shows("< right >");
    bench.shows("3/32");
    bench.key(KeyCode::Left, KeyModifiers::NONE);
    bench.press("\r\r");
    assert!(matches!(bench.session.screen(), Some(Screen::Home(_))), "the plan ended with it\n{}", bench.text());
    let Event::Altered(altered) = last(&bench) else { panic!("{}", bench.text()) };
    assert_eq!((altered.edge, altered.added), (Edge::Left, Length::ratio(3, 32)));
    bench.shows("read the gaps again (r)");
    bench.shows("round 2: read the gaps (r)");
    // One key takes it back.
    bench.press("u");
    bench.shows("taken back: event 4, strip of 3/32 glued on A left");
    bench.shows("wood is missing");
}

#[test]
fn the_next_day_it_is_told_from_the_opening_and_wrong_lengths_are_not_kept() {
    let mut bench = short_door();
    // Accepted, left, and come back to.
    bench.press("pa\u{1b}\r");
    bench.shows("Next: wood is missing");
    bench.press("m");
    let kept = bench.session.opened.as_ref().unwrap().records.len();
    bench.press("\r\r0\r");
    bench.shows("must be more than 0");
    bench.press("\u{8}bread\r\r");
    bench.shows("'bread' is not a length");
    assert_eq!(bench.session.opened.as_ref().unwrap().records.len(), kept);
    // Made anew instead: its own fields, and what was typed of the strip is gone with them.
    bench.key(KeyCode::Up, KeyModifiers::NONE);
    bench.key(KeyCode::Up, KeyModifiers::NONE);
    bench.key(KeyCode::Left, KeyModifiers::NONE);
    bench.shows("< leaf made anew >");
    bench.press("\r3\r\r");
    bench.shows("is not between");
    bench.press("\u{1b}");
    bench.shows("set aside");
    bench.press("m");
    bench.shows("< leaf made anew >");
    bench.press("\r\u{8}11 1/8\r26\r");
    let Event::Remade(remade) = last(&bench) else { panic!("{}", bench.text()) };
    assert_eq!((remade.width, remade.height), (Length::ratio(89, 8), Length::ratio(26, 1)));
    bench.press("l");
    bench.shows("A made anew: 11 1/8 x 26");
    // Where wood came off on the quiet.
    bench.press("\u{1b}m");
    bench.key(KeyCode::Right, KeyModifiers::NONE);
    bench.press("\r\r1/64\r");
    let Event::Altered(altered) = last(&bench) else { panic!("{}", bench.text()) };
    assert_eq!(altered.added, Length::ratio(-1, 64));
}

#[test]
fn of_a_pair_the_leaf_is_asked_too() {
    let mut bench = Bench::new();
    bench.press("npair\r");
    bench.key(KeyCode::Right, KeyModifiers::NONE);
    bench.press("\r14\r20\r\r\r\r");
    bench.press("m\r");
    bench.shows("< A >");
    bench.key(KeyCode::Right, KeyModifiers::NONE);
    bench.press("\r\r1/16\r");
    let Event::Altered(altered) = last(&bench) else { panic!("{}", bench.text()) };
    assert_eq!((altered.leaf.as_str(), altered.edge), ("B", Edge::Left));
}

#[test]
fn a_made_up_door_takes_no_strip() {
    let mut bench = Bench::new();
    bench.press("x");
    bench.press("ap");
    bench.press("m\r\r1/16\r");
    bench.shows("no strip is glued on");
    let practice = bench.session.practice.as_ref().unwrap();
    assert!(practice.door.seen().records.iter().all(|record| !matches!(record.event, Event::Altered(_))));
}

#[test]
fn commands_list_log_export_and_card_have_it() {
    let home = Home::new();
    let events = lines(&[single(), vec![read(1, SHORT)]].concat());
    home.run(&["--shop", "shop", "enter", "left door", "-"], &events).code(0);
    home.run(&["--shop", "shop", "plan", "left door"], "").gives(&["'altered' or 'remade' event tells it"]);
    let told = home.run(&["enter", "--help"], "").code(0).out;
    let example = told.lines().find(|line| line.contains("\"altered\"")).unwrap();
    let example = &example[..=example.find('}').unwrap()];
    home.run(&["--shop", "shop", "enter", "left door", "-"], example).code(0).gives(&["kept 4 altered"]);
    home.run(&["--shop", "shop", "list"], "").code(0).gives(&["round 2: read the gaps"]);
    home.run(&["--shop", "shop", "plan", "left door"], "")
        .code(1)
        .says(&["no plan yet", "altered after round 1 was read"]);
    home.run(&["--shop", "shop", "log", "left door"], "").code(0).gives(&["strip of 1/16 glued on A left"]);
    home.run(&["--shop", "shop", "log", "left door", "--csv"], "")
        .code(0)
        .gives(&[",altered,,,A,left,,,,,,0.062500,0.062500,strip glued on,"]);
    home.run(&["--shop", "shop", "log", "left door", "--json"], "").code(0).gives(&[r#""added":"1/16\"""#]);
    home.run(&["--shop", "shop", "enter", "left door", "-"], &anew("11 1/8", "26").to_string()).code(0);
    home.run(&["--shop", "shop", "log", "left door", "--csv"], "")
        .gives(&["remade", "made anew,11.125000 x 26.000000"]);
    home.run(&["--shop", "shop", "export", "out"], "").code(0);
    let leaves = std::fs::read_to_string(home.path().join("out/leaves.csv")).unwrap();
    assert!(leaves.contains("11 1/8"), "the size told last: {leaves}");
    home.run(&["--shop", "shop", "card", "left door", "--out", "card.svg"], "").code(0);
}

/// The card says it in its history, and that the gaps drawn are from before.
#[test]
fn the_card_has_it_in_its_history() {
    use evenreveal::bench::OpeningSeen;
    use evenreveal::paper::{card_words, matter::Matter};
    let records = records(&[read(1, SHORT), strip("left", "1/8")]);
    let state = OpeningState::replay(&records);
    let seen = OpeningSeen { name: "left door".to_owned(), records, state, ..OpeningSeen::default() };
    let settings = Settings::default();
    let matter = Matter::of(&seen, &settings, rounds::spreads(None));
    let text = |all: Vec<evenreveal::paper::flow::Paragraph>| {
        all.into_iter().map(|one| one.text).collect::<Vec<_>>().join("\n")
    };
    let now = text(card_words::now(&matter));
    assert!(now.contains("round 2: read the gaps") && now.contains("altered"), "{now}");
    let history = text(card_words::history(&matter));
    assert!(history.contains("2026-03-02 strip of 1/8 glued on A left"), "{history}");
}
