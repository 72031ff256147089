//! Rounds of a hung leaf with planted answers: what is packed between two rounds is carried into the next
//! one, and the whole of it is done by keys.
//!
//! The planted gaps follow from the two hinges alone (a rigid leaf on a straight line of pins), written out
//! here apart from the crate's own.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::{Screen, rounds};
use evenreveal::contract::hinges;
use evenreveal::fit::estimate::{Estimate, Round, Spreads, Standing, StaysHung, TakenReading, replay};
use evenreveal::fit::hung::{Hung, MOST_STOCK, Way};
use evenreveal::fit::length::{Inches, Length, Show, Unit};
use evenreveal::fit::opening::{
    Adjust, Edge, EdgeSet, Facing, FitProblem, GapLine, Hanging, Leaf, Motion, Prefer, Side, Travel,
};
use evenreveal::fit::plan::{Options, Verdict, Warning, plan};
use evenreveal::fit::policy::{Next, Policy, advise};
use evenreveal::fit::reading::{Reading, Value};
use evenreveal::shop::settings::Settings;
use screen_bench::Bench;
use std::fmt::Write;

const WIDTH: f64 = 11.0;
const HEIGHT: f64 = 26.0;
const LOW: f64 = 3.0;
const HIGH: f64 = 23.0;
const CARD: f64 = 0.030;
const REVEAL: f64 = 0.09375;

/// The gap at distance `s` along an edge of a leaf hung on its left, its hinges out by `d` (lowest, highest),
/// that is even with nothing behind its hinges.
fn gap(edge: Edge, s: f64, d: [f64; 2]) -> f64 {
    let lean = (d[1] - d[0]) / (HIGH - LOW);
    // At height y the whole leaf is out to the right by this; a point x from the hinge edge drops by lean·x.
    let out = |y: f64| d[0] + lean * (y - LOW);
    match edge {
        Edge::Left => REVEAL + out(s),
        Edge::Right => REVEAL - out(s),
        Edge::Bottom => REVEAL - lean * s,
        Edge::Top => REVEAL + lean * s,
    }
}

fn places(edge: Edge) -> [f64; 3] {
    let length = if matches!(edge, Edge::Left | Edge::Right) { HEIGHT } else { WIDTH };
    [1.0, length / 2.0, length - 1.0]
}

fn leaf() -> Leaf {
    let inches = |whole: i64| Length::ratio(whole, 1);
    Leaf {
        id: "A".to_owned(),
        width: inches(11),
        height: inches(26),
        hinge: Some(Side::Left),
        may_cut: EdgeSet::ALL,
        motion: Motion::Hung(Hanging {
            hinges: vec![inches(3), inches(23)],
            pack: Length::ratio(1, 8),
            let_in: Length::ZERO,
            stock: vec![Length::ratio(30, 1000)],
            adjust: None,
            there: Vec::new(),
            up: Length::ZERO,
        }),
    }
}

fn gaps() -> Vec<GapLine> {
    let own = |edge| Facing::Leaf { leaf: 0, edge };
    let line = |edge| GapLine {
        between: [own(edge), Facing::Frame],
        target: Length::ratio(3, 32),
        offset: Length::ZERO,
        readings: vec![],
    };
    Edge::ALL.into_iter().map(line).collect()
}

fn taken(place: usize, s: f64, value: f64) -> TakenReading {
    let exact = |inches: f64| Length::from_inches_near(inches).unwrap();
    let reading = Reading { at: exact(s), value: Value::Gap(exact(value)) };
    TakenReading { gap: place, reading, standing: Standing::Plain }
}

fn all_read(d: [f64; 2]) -> Vec<TakenReading> {
    let lines = Edge::ALL.into_iter().enumerate();
    lines.flat_map(|(place, edge)| places(edge).map(|s| taken(place, s, gap(edge, s, d)))).collect()
}

/// Without a single reading of the second round, the estimate tells every gap of it.
#[test]
fn a_pack_between_two_rounds_is_carried_into_the_second() {
    let spreads = Spreads::default();
    // One card is missing behind the bottom hinge.
    let short = [-CARD, 0.0];
    let axis = |out: f64| spreads.packed(Inches(out));
    let hung = vec![StaysHung { leaf: 0, axes: [axis(CARD), axis(0.0), axis(0.0)] }];
    let first = Round { readings: all_read(short), hung, ..Round::default() };
    let carried = replay(&[leaf()], &gaps(), spreads, &[first.clone(), Round::default()]).unwrap();
    let free = Round { hung: vec![], ..first };
    let free = replay(&[leaf()], &gaps(), spreads, &[free, Round::default()]).unwrap();
    let told = |estimate: &Estimate, place: usize, s: f64| {
        estimate.gap_at(place, Length::from_inches_near(s).unwrap()).unwrap()
    };
    for (place, edge) in Edge::ALL.into_iter().enumerate() {
        for s in places(edge) {
            let belief = told(&carried, place, s);
            assert!((belief.mean.0 - REVEAL).abs() < 0.0005, "{edge} at {s}: {belief:?}");
            assert!(belief.sd.0 > 0.001 && belief.sd.0 < 0.006, "{edge} at {s}: {belief:?}");
            assert!(told(&free, place, s).sd.0 > 0.1, "a free leaf's pose is not known in the new round");
        }
    }
    // What a hinge moved by is as uncertain as its pack: five in a hundred of a card is 0.0015.
    assert!((axis(CARD).sd.0 - 0.0015_f64.hypot(0.002)).abs() < 1e-12);
}

/// The advice on a leaf that hangs out of true: one card behind the bottom hinge, whatever is to be read again.
#[test]
fn a_pack_does_not_wait_for_second_readings() {
    let round = |d| Round { readings: all_read(d), ..Round::default() };
    let advice = |rounds: &[Round]| {
        let estimate = replay(&[leaf()], &gaps(), Spreads::default(), rounds).unwrap();
        advise(&estimate, &Policy::default()).unwrap()
    };
    let before = advice(&[round([-CARD, 0.0])]);
    assert!(!matches!(before.next, Next::Read(_)), "{:?}", before.next);
    let packs = &before.shown().leaves[0].packs;
    assert_eq!(packs.len(), 1, "{packs:?}");
    assert_eq!((packs[0].hinge, packs[0].counts[0]), (Length::ratio(3, 1), 1));
    assert!(before.shown().worst_after.0 < 0.001);
    // The same gaps on a leaf hung true: nothing to pack, and the pose's own doubt counts.
    let after = advice(&[round([0.0, 0.0])]);
    assert!(after.shown().leaves[0].packs.is_empty());
    assert!(!matches!(after.next, Next::Pack(_)));
}

fn opening(d: [f64; 2]) -> String {
    let mut text = r#"{"event":"opening","gaps":[
  {"between":["frame","A.left"],"target":"3/32"},{"between":["A.right","frame"],"target":"3/32"},
  {"between":["frame","A.bottom"],"target":"3/32"},{"between":["A.top","frame"],"target":"3/32"}]}
{"event":"leaf","leaf":"A","name":"door","width":"11","height":"26","hinge":"left",
 "motion":{"hung":{"hinges":["3","23"],"pack":"1/8","let_in":"0","stock":["0.03"]}}}
"#
    .to_owned();
    text.push_str(&readings(1, d));
    text
}

fn readings(round: u32, d: [f64; 2]) -> String {
    let between =
        [r#"["frame","A.left"]"#, r#"["A.right","frame"]"#, r#"["frame","A.bottom"]"#, r#"["A.top","frame"]"#];
    let mut lines = Vec::new();
    for (between, edge) in between.iter().zip([Edge::Left, Edge::Right, Edge::Bottom, Edge::Top]) {
        let mut stations = Vec::new();
        for s in places(edge) {
            stations.push(format!(r#"{{"at":"{s}","gap":"{:.4}"}}"#, gap(edge, s, d)));
        }
        lines.push(format!(r#"{{"between":{between},"readings":[{}]}}"#, stations.join(",")));
    }
    let mut text = String::new();
    let _ = writeln!(text, r#"{{"event":"readings","round":{round},"gaps":[{}]}}"#, lines.join(","));
    text
}

#[test]
fn by_keys_a_card_is_accepted_recorded_and_the_next_round_read() {
    let mut bench = Bench::with(&[("hung door", &opening([-CARD, 0.0]))]);
    bench.press("\rp");
    bench.shows("PACK A HINGE");
    bench.shows("behind the bottom hinge");
    bench.press("a");
    assert!(matches!(bench.session.screen(), Some(Screen::Record(_))), "\n{}", bench.text());
    bench.shows("behind the bottom hinge");
    bench.press("d");
    let state = bench.session.opened.as_ref().unwrap().state.clone();
    let packs = &state.round(1).unwrap().packs;
    assert_eq!(packs.len(), 1);
    assert_eq!(packs[0].what.out, Length::parse("0.03", Unit::Inch).unwrap());
    bench.shows("round 2");
    // What the second round's readings are held against: the first one with the card behind the hinge.
    let expecting = rounds::expecting(&state, Spreads::default(), 2).unwrap();
    for (place, edge) in [Edge::Left, Edge::Right, Edge::Bottom, Edge::Top].into_iter().enumerate() {
        for s in places(edge) {
            let belief = expecting.gap_at(place, Length::from_inches_near(s).unwrap()).unwrap();
            assert!((belief.mean.0 - REVEAL).abs() < 0.001 && belief.sd.0 < 0.006, "{edge} at {s}: {belief:?}");
        }
    }
    bench.press("r");
    bench.shows("Station 1 of");
}

/// A reading that looks wrong holds up a cut, not a card.
#[test]
fn a_reading_in_doubt_holds_up_a_cut_but_not_a_card() {
    let mut readings = all_read([-2.0 * CARD, 0.0]);
    // A feeler misread by two leaves at the middle of the right edge.
    let slip = readings.iter_mut().find(|one| one.gap == 1 && one.reading.at == Length::ratio(13, 1)).unwrap();
    *slip = taken(1, 13.0, gap(Edge::Right, 13.0, [-2.0 * CARD, 0.0]) - 1.0 / 32.0);
    let estimate = replay(&[leaf()], &gaps(), Spreads::default(), &[Round { readings, ..Round::default() }]).unwrap();
    let advice = advise(&estimate, &Policy::default()).unwrap();
    let Next::Pack(asks) = &advice.next else { panic!("{:?}", advice.next) };
    assert_eq!((asks[0].gap, asks[0].at), (1, Length::ratio(13, 1)));
    assert_eq!(advice.shown().leaves[0].packs[0].hinge, Length::ratio(3, 1));
    // The same leaf without stock to pack with is read again first.
    let mut locked = leaf();
    if let Motion::Hung(hanging) = &mut locked.motion {
        hanging.pack = Length::ZERO;
    }
    let kept = all_read([-2.0 * CARD, 0.0]);
    let mut readings = kept;
    let slip = readings.iter_mut().find(|one| one.gap == 1 && one.reading.at == Length::ratio(13, 1)).unwrap();
    *slip = taken(1, 13.0, gap(Edge::Right, 13.0, [-2.0 * CARD, 0.0]) - 1.0 / 32.0);
    let estimate = replay(&[locked], &gaps(), Spreads::default(), &[Round { readings, ..Round::default() }]).unwrap();
    let advice = advise(&estimate, &Policy::default()).unwrap();
    assert!(matches!(advice.next, Next::Read(_)), "{:?}", advice.next);
}

/// The shop list counts a pack still to do as work left, by both of its ways of reading a log.
#[test]
fn the_shop_list_counts_packs_still_to_do() {
    let plan = r#"{"event":"plan","round":1,"verdict":"pack","prefer":"least-wood",
        "packs":[{"leaf":"A","hinge":"3","out":"0.03"},{"leaf":"A","hinge":"23","out":"0.03"}]}"#;
    let pack = r#"{"event":"pack","leaf":"A","hinge":"3","out":"0.03"}"#;
    let stage = |events: &str| {
        let bench = Bench::with(&[("hung door", events)]);
        let stage = bench.session.shop.openings[0].summary.stage;
        let shop = evenreveal::shop::Shop::open(bench.dir.path(), &evenreveal::shop::Access::Look).unwrap();
        assert_eq!(stage, shop.opening("hung door").unwrap().state().stage(), "the sketch and the whole differ");
        stage
    };
    let start = opening([-CARD, 0.0]);
    let none = stage(&format!("{start}{plan}"));
    let one = stage(&format!("{start}{plan}\n{pack}"));
    let second = pack.replace(r#""3""#, r#""23""#);
    let both = stage(&format!("{start}{plan}\n{pack}\n{second}"));
    assert_eq!(none, evenreveal::shop::replay::Stage::Cut { round: 1, left: 0, packs: 2 });
    assert_eq!(one, evenreveal::shop::replay::Stage::Cut { round: 1, left: 0, packs: 1 });
    assert_eq!(both, evenreveal::shop::replay::Stage::Read { round: 2 });
}

/// Two cards went behind the bottom hinge where one was missing: one comes out again, though nothing may be let in.
#[test]
fn a_card_too_many_is_taken_out_again_and_no_wood_is_glued_on() {
    let pack = r#"{"event":"pack","leaf":"A","hinge":"3","out":"0.06"}"#;
    let events = format!("{}{pack}\n{}", opening([-CARD, 0.0]), readings(2, [CARD, 0.0]));
    let mut bench = Bench::with(&[("hung door", &events)]);
    bench.press("\rp");
    bench.shows("PACK A HINGE");
    bench.shows("take one 0.030 shim out from behind the bottom hinge");
    bench.press("ad");
    let state = bench.session.opened.as_ref().unwrap().state.clone();
    assert_eq!(state.round(2).unwrap().packs[0].what.out, Length::ratio(-30, 1000));
    // The next round stands on one card: it may come out, and two more may go in (1/8 in all).
    let problem = state.shape(3, &Settings::default()).unwrap();
    let hung = Hung::of(&problem.leaves[0]).unwrap().unwrap();
    let outs = |way: &Way| match way {
        Way::Steps(steps) => steps.iter().map(|step| step.out).collect::<Vec<_>>(),
        other => panic!("{other:?}"),
    };
    let cards = |count: i64| Length::ratio(30 * count, 1000);
    assert_eq!(outs(&hung.ways[0]), [cards(0), cards(1), cards(-1), cards(2), cards(3)]);
    assert_eq!(outs(&hung.ways[2]), [cards(0), cards(1), cards(2), cards(3), cards(4)]);
}

/// Clicks of a side screw are no shims, whatever stock is listed; a screw turned has that much less to go.
#[test]
fn a_side_screw_is_turned_not_packed() {
    let mut screwed = leaf();
    let Motion::Hung(hanging) = &mut screwed.motion else { unreachable!() };
    hanging.pack = Length::ZERO;
    let click = |count: i64| Length::ratio(count, 100);
    let side = Travel { from: click(-2), to: click(4), step: Some(click(1)) };
    hanging.adjust = Some(Box::new(Adjust { side: Some(side), ..Adjust::default() }));
    let readings = all_read([-0.02, 0.0]);
    let estimate =
        replay(&[screwed.clone()], &gaps(), Spreads::default(), &[Round { readings, ..Round::default() }]).unwrap();
    let advice = advise(&estimate, &Policy::default()).unwrap();
    let packs = &advice.shown().leaves[0].packs;
    assert_eq!((packs.len(), packs[0].counts, packs[0].hinge), (1, [0; MOST_STOCK], Length::ratio(3, 1)));
    let Motion::Hung(hanging) = &mut screwed.motion else { unreachable!() };
    let said = hinges::pack(hanging, &packs[0], &hinges::unnamed, Show::DecimalInch(3));
    assert_eq!(said, "turn the bottom hinge's side screw 0.020 out");
    hanging.there = vec![click(3), click(0)];
    let hung = Hung::of(&screwed).unwrap().unwrap();
    let Way::Steps(steps) = &hung.ways[0] else { panic!("{:?}", hung.ways[0]) };
    let (least, most) = (steps.iter().map(|step| step.out).min(), steps.iter().map(|step| step.out).max());
    assert_eq!((least, most), (Some(click(-5)), Some(click(1))));
}

/// Three hung leaves at once have more settings than anyone waits for: the answer comes, holds, and says so.
#[test]
fn many_hung_leaves_are_answered_and_what_was_not_tried_is_said() {
    let stock = [11, 30].map(|thousandths| Length::ratio(thousandths, 1000));
    let mut leaves = Vec::new();
    let mut lines = Vec::new();
    for (place, d) in [[-0.03, 0.011], [0.011, -0.03], [-0.011, -0.03]].into_iter().enumerate() {
        let mut one = leaf();
        one.id = format!("L{place}");
        let Motion::Hung(hanging) = &mut one.motion else { unreachable!() };
        hanging.stock = stock.to_vec();
        hanging.let_in = Length::ratio(1, 16);
        leaves.push(one);
        for (edge, mut line) in Edge::ALL.into_iter().zip(gaps()) {
            line.between[0] = Facing::Leaf { leaf: place, edge };
            line.readings = places(edge).map(|s| taken(0, s, gap(edge, s, d)).reading).to_vec();
            lines.push(line);
        }
    }
    let tolerance = Length::ratio(1, 64);
    let problem = FitProblem { leaves, gaps: lines, tolerance, prefer: Prefer::LeastWood };
    let plan = plan(&problem, Options::default()).unwrap();
    assert!(plan.warnings.contains(&Warning::NotAllSettings), "{:?}", plan.warnings);
    assert_eq!(plan.verdict, Verdict::Pack, "{plan:?}");
    assert!(plan.worst_after.0 <= tolerance.inches() && plan.wood.0 == 0.0, "{plan:?}");
    let thin = stock.map(Length::inches);
    for pack in plan.leaves.iter().flat_map(|leaf| &leaf.packs) {
        let made = f64::from(pack.counts[0]) * thin[0] + f64::from(pack.counts[1]) * thin[1];
        assert!((made - pack.out.0.abs()).abs() < 1e-9, "{pack:?} is not made of the stock");
        assert!((-0.0625..=0.125).contains(&pack.out.0), "{pack:?} is beyond the limits");
    }
}

/// A packed hinge moves the leaf as a cut does: what is read then is the next round.
#[test]
fn readings_after_a_pack_are_the_next_round() {
    let pack = r#"{"event":"pack","leaf":"A","hinge":"3","out":"0.03"}"#;
    let bench = Bench::with(&[("hung door", &format!("{}\n{pack}", opening([-CARD, 0.0])))]);
    drop(bench.session);
    drop(bench.runner);
    let holder = evenreveal::shop::Holder { pid: 1, host: "bench".to_owned(), since: screen_bench::AT.to_owned() };
    let shop = evenreveal::shop::Shop::open(bench.dir.path(), &evenreveal::shop::Access::Write(holder)).unwrap();
    let mut opened = shop.opening("hung door").unwrap();
    let readings = |round: u32| {
        let text = format!(
            r#"{{"event":"readings","round":{round},"gaps":[{{"between":["frame","A.left"],"readings":[{{"at":"1","gap":"1/16"}}]}}]}}"#
        );
        vec![serde_json::from_str(&text).unwrap()]
    };
    let refused = opened.enter(readings(1), screen_bench::AT).unwrap_err().to_string();
    assert!(refused.contains("a hinge was packed after round 1 was read; these readings are round 2"), "{refused}");
    opened.enter(readings(2), screen_bench::AT).unwrap();
}

/// Packs are called packs, and a thin one is not rounded to nothing.
#[test]
fn hinges_to_pack_are_not_called_edges() {
    let plan = r#"{"event":"plan","round":1,"verdict":"pack","prefer":"least-wood",
        "packs":[{"leaf":"A","hinge":"3","out":"0.0055"},{"leaf":"A","hinge":"23","out":"0.0055"}]}"#;
    let mut bench = Bench::with(&[("hung door", &format!("{}{plan}", opening([-CARD, 0.0])))]);
    bench.shows("Pack 2 hinges");
    bench.press("\r");
    bench.shows("2 hinges to pack");
    bench.press("c");
    bench.shows("0.0055");
    bench.press("o");
    bench.shows("0.0055_");
    bench.press("\r");
    bench.shows("kept, event");
    let packs: Vec<_> =
        bench.session.opened.as_ref().unwrap().state.latest().unwrap().packs.iter().map(|p| p.what.out).collect();
    assert_eq!(packs, [Length::ratio(55, 10000)]);
    bench.press("\u{1b}");
    bench.shows("1 hinge to pack");
    bench.press("l");
    bench.shows("moved out by 0.0055");
}

/// Read twice over without a doubt, one card missing: it does not fit before the card is in.
#[test]
fn a_leaf_that_lacks_a_card_does_not_fit_yet() {
    let kept = |readings: Vec<TakenReading>| {
        readings.into_iter().map(|one| TakenReading { standing: Standing::KeptByUser, ..one }).collect::<Vec<_>>()
    };
    let advice = |d: [f64; 2]| {
        let round = Round { readings: [kept(all_read(d)), kept(all_read(d))].concat(), ..Round::default() };
        let estimate = replay(&[leaf()], &gaps(), Spreads::default(), &[round]).unwrap();
        advise(&estimate, &Policy::default()).unwrap()
    };
    let lacking = advice([-CARD, 0.0]);
    assert!(matches!(&lacking.next, Next::Pack(asks) if asks.is_empty()), "{:?}", lacking.next);
    assert_eq!(lacking.shown().leaves[0].packs[0].hinge, Length::ratio(3, 1));
    assert!(matches!(advice([0.0, 0.0]).next, Next::Fitted));
}
