//! What the advice asks for and when it decides: too few readings, second looks, readings of earlier rounds kept
//! and struck, short that turns out to be a cut.

use evenreveal::bench::brief::{Brief, Thing};
use evenreveal::bench::rounds::{self, Choice};
use evenreveal::fit::estimate::{CutMade, Estimate, Method, Round, Spreads, Standing, TakenReading, replay};
use evenreveal::fit::length::{Inches, Length};
use evenreveal::fit::opening::{Edge, EdgeSet, Facing, GapLine, Leaf, Motion, Prefer};
use evenreveal::fit::policy::{Advice, Ask, Next, Policy, Why, advise};
use evenreveal::fit::reading::{Reading, Value};
use evenreveal::shop::OpeningState;
use evenreveal::shop::event::{Event, Record};
use evenreveal::shop::settings::Settings;

const WIDTH: i64 = 12;
const HEIGHT: i64 = 24;

fn leaf(may_cut: EdgeSet) -> Leaf {
    let (width, height) = (Length::ratio(WIDTH, 1), Length::ratio(HEIGHT, 1));
    Leaf { id: "A".into(), width, height, hinge: None, may_cut, motion: Motion::Free }
}

fn gaps() -> Vec<GapLine> {
    let line = |edge| GapLine {
        between: [Facing::Frame, Facing::Leaf { leaf: 0, edge }],
        target: Length::ratio(3, 32),
        offset: Length::ZERO,
        readings: vec![],
    };
    Edge::ALL.map(line).to_vec()
}

/// The three stations of an edge: one inch from both corners, and the middle.
fn stations(edge: Edge) -> [Length; 3] {
    let length = if edge.is_upright() { HEIGHT } else { WIDTH };
    [Length::ratio(1, 1), Length::ratio(length, 2), Length::ratio(length - 1, 1)]
}

fn taken(edge: Edge, station: usize, thousandths: i64) -> TakenReading {
    let value = Value::Gap(Length::ratio(thousandths, 1000));
    TakenReading {
        gap: edge as usize,
        reading: Reading { at: stations(edge)[station], value },
        standing: Standing::Plain,
    }
}

/// All twelve stations, read as `gap` says, in thousandths.
fn walk(gap: impl Fn(Edge, usize) -> i64) -> Vec<TakenReading> {
    let places = Edge::ALL.into_iter().flat_map(|edge| (0..3).map(move |station| (edge, station)));
    places.map(|(edge, station)| taken(edge, station, gap(edge, station))).collect()
}

fn round(readings: Vec<TakenReading>) -> Round {
    Round { readings, ..Round::default() }
}

fn estimate(rounds: &[Round]) -> Estimate {
    replay(&[leaf(EdgeSet::ALL)], &gaps(), Spreads::default(), rounds).unwrap()
}

fn advice(rounds: &[Round]) -> Advice {
    advise(&estimate(rounds), &Policy::default()).unwrap()
}

fn asks(advice: &Advice) -> &[Ask] {
    if let Next::Read(asks) = &advice.next { asks } else { &[] }
}

/// Exactly at the reveal wherever it was read: with any end of any edge unread, that end is asked for and
/// nothing is called fitted.
#[test]
fn what_was_not_read_is_asked_for_and_never_called_fitted() {
    let ends: Vec<(Edge, usize)> = Edge::ALL.into_iter().flat_map(|edge| [(edge, 0), (edge, 2)]).collect();
    // Every choice of ends that were read: 1 to 255, bit by bit.
    for read in 1_u32..(1 << ends.len()) {
        let is_read = |place: usize| read & (1 << place) != 0;
        let readings = ends.iter().enumerate().filter(|(place, _)| is_read(*place));
        let advice = advice(&[round(readings.map(|(_, &(edge, station))| taken(edge, station, 94)).collect())]);
        let lacking: Vec<(usize, Length)> = ends
            .iter()
            .enumerate()
            .filter(|(place, _)| !is_read(*place))
            .map(|(_, &(edge, station))| (edge as usize, stations(edge)[station]))
            .collect();
        let found: Vec<_> =
            asks(&advice).iter().filter(|ask| ask.why == Why::NotRead).map(|ask| (ask.gap, ask.at)).collect();
        assert_eq!(found, lacking, "{read:08b}");
        assert!(lacking.is_empty() || advice.cuts.is_empty(), "{read:08b}: {:?}", advice.cuts);
        assert!(lacking.is_empty() || advice.next != Next::Fitted, "{read:08b}");
    }
    let mut twice = walk(|_, _| 94);
    twice.extend(twice.clone());
    assert_eq!(advice(&[round(twice)]).next, Next::Fitted, "all read and all even");
}

/// A struck reading is as good as none.
#[test]
fn the_only_reading_of_an_end_once_struck_is_asked_for() {
    let mut readings = walk(|_, _| 94);
    readings[0].standing = Standing::Struck;
    let advice = advice(&[round(readings)]);
    let found: Vec<_> = asks(&advice).iter().map(|ask| (ask.gap, ask.at, ask.why)).collect();
    assert_eq!(found, [(Edge::Left as usize, stations(Edge::Left)[0], Why::NotRead)]);
}

/// The same through a log, as list, screen and `plan` have it.
#[test]
fn two_readings_in_a_log_say_which_edges_are_not_known() {
    let log = r#"{"event":"opening","gaps":[
      {"between":["frame","A.left"],"target":"3/32"},{"between":["A.right","frame"],"target":"3/32"},
      {"between":["frame","A.bottom"],"target":"3/32"},{"between":["A.top","frame"],"target":"3/32"}]}
    {"event":"leaf","leaf":"A","name":"door","width":"12","height":"24","hinge":"left"}
    {"event":"readings","round":1,"gaps":[
      {"between":["frame","A.left"],"readings":[{"at":"23","gap":"3/32"}]},
      {"between":["A.right","frame"],"readings":[{"at":"23","gap":"3/32"}]}]}"#;
    let events = serde_json::Deserializer::from_str(log).into_iter::<Event>().map(Result::unwrap);
    let at = "2026-01-01T00:00:00Z";
    let records: Vec<Record> = (1..).zip(events).map(|(n, event)| Record { n, at: at.to_owned(), event }).collect();
    let state = OpeningState::replay(&records);
    let look = rounds::look(&state, &Settings::default(), rounds::spreads(None), Choice::default()).unwrap();
    assert_eq!(Brief::of(&look, &state).thing, Thing::ReadRest(6));
    assert_eq!(asks(&look.advice).len(), 6);
    assert!(look.cuts().is_empty());
    assert_eq!(look.passes_left(&state), None, "nobody knows how many passes are left");
}

/// Straight edges that agree need no second walk; an edge whose middle contradicts its ends is looked at again at
/// its ends, the others are not.
#[test]
fn second_looks_are_asked_only_where_a_slip_is_still_likely() {
    assert!(asks(&advice(&[round(walk(|_, _| 62))])).is_empty(), "a clean walk is done once");
    let bent = |edge: Edge, station| if (edge, station) == (Edge::Right, 2) { 78 } else { 62 };
    let advice = advice(&[round(walk(bent))]);
    let found: Vec<_> = asks(&advice).iter().map(|ask| (ask.gap, ask.why)).collect();
    assert!(!found.is_empty() && found.len() <= 3, "{found:?}");
    assert!(found.iter().all(|one| *one == (Edge::Right as usize, Why::Unconfirmed)), "{found:?}");
    // The second looks bear the first ones out: nothing more is asked.
    let mut twice = walk(bent);
    let again: Vec<TakenReading> = twice.iter().filter(|one| one.gap == Edge::Right as usize).copied().collect();
    twice.extend(again);
    assert!(asks(&self::advice(&[round(twice)])).is_empty());
}

/// Three rounds, of which the first has one reading that is 1/32 off. Its edge is planed after the first and
/// after the second.
fn with_a_slip(standing: Standing) -> Vec<Round> {
    let cut = |thousandths: i64| CutMade {
        leaf: 0,
        edge: Edge::Left,
        start: Inches(thousandths as f64 / 1000.0),
        end: Inches(thousandths as f64 / 1000.0),
        method: Method::Plane,
        allowed: 1.0,
    };
    let at = |left: i64| move |edge: Edge, _| if edge == Edge::Left { left } else { 94 };
    let mut first = walk(at(74));
    first[0] = TakenReading { standing, ..taken(Edge::Left, 0, 74 - 31) };
    let one = Round { readings: first, cuts: vec![cut(10)], ..Round::default() };
    let two = Round { readings: walk(at(84)), cuts: vec![cut(5)], ..Round::default() };
    vec![one, two, round(walk(at(89)))]
}

fn gap_means(estimate: &Estimate) -> Vec<f64> {
    let places = Edge::ALL.into_iter().flat_map(|edge| stations(edge).map(|at| (edge as usize, at)));
    places.map(|(gap, at)| estimate.gap_at(gap, at).unwrap().mean.0).collect()
}

#[test]
fn a_slip_of_an_earlier_round_is_asked_about_then_kept_or_struck() {
    let plain = advice(&with_a_slip(Standing::Plain));
    let [ask] = asks(&plain) else { panic!("{:?}", plain.next) };
    assert_eq!((ask.why, ask.earlier_round, ask.index), (Why::LooksWrong, true, Some(0)));
    assert!((ask.expected.mean.0 - 0.074).abs() < 0.004, "{ask:?}");

    // Struck: everything is as if it had never been read, and the station is still one of the plan's.
    let struck = estimate(&with_a_slip(Standing::Struck));
    let mut without = with_a_slip(Standing::Plain);
    without[0].readings.remove(0);
    let never = estimate(&without);
    for (one, other) in gap_means(&struck).into_iter().zip(gap_means(&never)) {
        assert!((one - other).abs() < 1e-12, "{one} {other}");
    }
    let wrong = |advice: &Advice| asks(advice).iter().any(|ask| ask.why == Why::LooksWrong);
    assert!(!wrong(&advice(&with_a_slip(Standing::Struck))));

    // Kept: it counts as before, and nobody is asked again.
    let kept = estimate(&with_a_slip(Standing::KeptByUser));
    assert_eq!(gap_means(&kept), gap_means(&estimate(&with_a_slip(Standing::Plain))));
    assert!(gap_means(&kept).iter().zip(gap_means(&never)).any(|(one, other)| (one - other).abs() > 0.002));
    assert!(!wrong(&advice(&with_a_slip(Standing::KeptByUser))));
}

/// Wood that seems to be missing is only called missing when the readings leave no doubt; what the next reading
/// shows decides.
#[test]
fn short_is_said_only_without_doubt_and_turns_into_a_cut() {
    // Width over the reveal on both sides by a hair more than the tolerance (15.6 thousandths).
    let sides = |by: i64| {
        move |edge: Edge, _: usize| match edge {
            Edge::Left | Edge::Right => 94 + by,
            Edge::Top => 40,
            Edge::Bottom => 94,
        }
    };
    // Plans made to the whole tolerance, so that the verdict is about just that.
    let policy = Policy { plan_to: 1.0, ..Policy::default() };
    let advice = |rounds: &[Round]| advise(&estimate(rounds), &policy).unwrap();
    let planned = |advice: &Advice| advice.plan.verdict.word();
    let mut twice = walk(sides(31));
    twice.extend(twice.clone());
    let sure = advice(&[round(twice)]);
    assert_eq!((planned(&sure), &sure.next), ("short", &Next::Short));

    let doubtful = advice(&[round(walk(sides(17)))]);
    assert_eq!(planned(&doubtful), "short", "the middle of what is believed lies beyond the tolerance");
    assert!(matches!(doubtful.next, Next::Cut(_)), "{:?}", doubtful.next);
    assert!(doubtful.cuts.iter().all(|cut| matches!(cut.edge, Edge::Top | Edge::Bottom)), "no wood off the sides");

    // The next round shows the sides within the tolerance: a plain cut.
    let second = advice(&[round(walk(sides(17))), round(walk(sides(8)))]);
    assert_eq!(planned(&second), "cut");
    assert!(second.next != Next::Short && !second.cuts.is_empty(), "{:?}", second.next);
}

/// What would help is asked of half the tolerance, as the plan says, and not of half the share that cuts are planned
/// to: bowed sides leave more than a quarter of it whatever is glued on.
#[test]
fn a_short_opening_with_bowed_sides_still_says_what_would_help() {
    let sides = |edge: Edge, station: usize| match edge {
        Edge::Left | Edge::Right => 94 + 31 + if station == 1 { 6 } else { -6 },
        Edge::Top | Edge::Bottom => 94,
    };
    let mut readings = walk(sides);
    for _ in 0..3 {
        readings.extend(walk(sides));
    }
    let advice = advice(&[round(readings)]);
    assert_eq!(advice.next, Next::Short, "doubt {}", advice.doubt);
    assert!(!advice.plan.strips.is_empty(), "{:?}", advice.plan);
    for strip in &advice.plan.strips {
        // Both sides are wide by 0.031 and 0.006 about their middles: a strip brings the two together.
        assert!((0.03..0.08).contains(&strip.thickness.0), "{strip:?}");
    }
    assert!(advice.plan.even_reveal.is_some());
}

/// Between fitted and short: within tolerance as far as can be told, no wood to take, and every station read as
/// often as is any use.
#[test]
fn as_good_as_it_gets_is_said_when_neither_reading_nor_cutting_helps() {
    let sides = |edge: Edge, _: usize| if edge.is_upright() { 94 + 14 } else { 94 };
    let mut often = walk(sides);
    for _ in 0..Policy::default().most_readings {
        often.extend(walk(sides));
    }
    let advice = advice(&[round(often)]);
    assert_eq!(advice.next, Next::AsGoodAsItGets, "doubt {}", advice.doubt);
    assert!(advice.doubt > Policy::default().doubt && advice.moved.worst_after.0 <= 1.0 / 64.0);
    assert_eq!(advice.shown().verdict, advice.moved.verdict);
    let problem = estimate(&[round(walk(sides))]).problem(Length::ratio(1, 64), Prefer::LeastWood);
    assert_eq!(problem.gaps.len(), 4);
}
