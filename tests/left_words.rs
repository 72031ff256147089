//! What is left and why that changed, in words and where it is seen: edge by edge, in the list, in the history.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::knowing::{Because, EdgeOff, because};
use evenreveal::bench::rounds::{Look, PassesLeft};
use evenreveal::bench::{Screen, next_words, rounds_words};
use evenreveal::fit::length::{Inches, Show};
use evenreveal::fit::opening::Edge;
use evenreveal::fit::policy::doubt::share;
use evenreveal::fit::policy::{Ask, Next, Spread, Why};
use evenreveal::screen::theme::Palette;
use screen_bench::{Bench, SIZES, text};

const TWELVE: &str = "b\rc\rb\rb\rf\rf\rf\rf\rf\rf\rc\rc\r";

/// Read once and looked at: in the plan.
fn planned() -> Bench {
    let mut bench = Bench::new();
    bench.press(&format!("\rr{TWELVE}\r"));
    bench
}

fn go_home(bench: &mut Bench) {
    while !matches!(bench.session.screen(), Some(Screen::Home(_))) {
        bench.press("\u{1b}");
    }
}

/// The same, at the opening's own screen.
fn at_home() -> Bench {
    let mut bench = planned();
    go_home(&mut bench);
    bench
}

fn spread(median: u32) -> Spread {
    Spread { median, most: median + 1 }
}

fn off(edge: Edge, start: f64, end: f64) -> EdgeOff {
    EdgeOff { leaf: 0, edge, by: [Inches(start), Inches(end)] }
}

#[test]
fn what_took_more_explains_fewer_trips_and_what_took_less_explains_more() {
    let both = [off(Edge::Left, 0.006, 0.001), off(Edge::Right, -0.015, 0.0)];
    let cut = |edge, by| Because::Cut { leaf: 0, edge, by: Inches(by) };
    // Two and one made: one is left. None left is fewer, two or three are more.
    assert_eq!(because(spread(2), spread(0), &both), cut(Edge::Left, 0.006));
    assert_eq!(because(spread(2), spread(2), &both), cut(Edge::Right, -0.015));
    assert_eq!(because(spread(2), spread(1), &both), Because::TripMade);
    assert_eq!(because(spread(2), spread(1), &[off(Edge::Left, 0.001, -0.001)]), Because::AsAsked);
    assert_eq!(because(spread(2), spread(1), &[]), Because::NothingCut);
    for (now, only) in [(2, off(Edge::Left, 0.006, 0.0)), (0, off(Edge::Left, 0.0, -0.006))] {
        assert_eq!(because(spread(2), spread(now), &[only]), Because::ReadSince, "{only:?} does not explain {now}");
    }
}

#[test]
fn a_round_without_its_cut_blames_no_cut_of_an_earlier_one() {
    let mut bench = planned();
    bench.press("adddd\u{1b}\u{1b}\u{1b}\rr");
    bench.read_all_as("d", 12);
    go_home(&mut bench);
    let change = bench.answer().change.expect("a round after the first tells why");
    assert_ne!(change.because, Because::NothingCut);
    // Every cut of the first round struck: nothing was cut before the second.
    while bench.session.opened.as_ref().unwrap().state.round(1).is_some_and(|round| !round.cuts.is_empty()) {
        let last = bench.session.opened.as_ref().unwrap().state.round(1).unwrap().cuts.last().unwrap().n;
        go_home(&mut bench);
        bench.press("l");
        let Some(Screen::Log(log)) = bench.session.screen() else { panic!("{}", bench.text()) };
        let up = log.at + 1 - usize::try_from(last).unwrap();
        bench.press(&"k".repeat(up));
        bench.press("s\u{1b}");
    }
    assert_eq!(bench.answer().change.map(|change| change.because), Some(Because::NothingCut));
    let look = bench.answer().answer.as_ref().unwrap();
    let said = rounds_words::change(&bench.answer().change.unwrap(), look, Show::default());
    assert!(said.contains("nothing was cut since"), "{said}");
}

#[test]
fn no_count_stands_beside_a_greater_one_as_nought() {
    let left = PassesLeft { trips: spread(1), saw: Spread::default(), plane: Spread { median: 0, most: 1 } };
    assert_eq!(
        rounds_words::passes_left(left),
        "Left: 1 trip, most 2; no saw cut; no planing, most 1 (9 times in 10)."
    );
    assert_eq!(rounds_words::row_left(left), "saw none; plane none, most 1; trips 1, most 2");
}

#[test]
fn each_edge_says_its_passes_on_the_large_opening_and_in_the_why_of_the_plan() {
    let mut bench = planned();
    go_home(&mut bench);
    let opened = bench.session.opened.as_ref().unwrap();
    let look = bench.answer().answer.as_ref().unwrap();
    let lines = rounds_words::each_left(look, &opened.state);
    assert_eq!(lines.len(), 1, "one leaf");
    let edges = look.edges_left(&opened.state);
    assert!(!edges.is_empty());
    for edge in &edges {
        assert!(lines[0].contains(&format!("{}: saw ", edge.edge)), "{lines:?}");
    }
    for size in &SIZES[1..] {
        let screen = text(&bench.buffer(*size, Palette::Plain));
        assert!(screen.contains(&lines[0]), "no '{}' at {size:?}\n{screen}", lines[0]);
    }
    bench.press("p?");
    let part = format!("{}: saw ", edges[0].edge);
    let seen = (0..30).any(|_| {
        let seen = bench.text().contains(&part);
        bench.press("j");
        seen
    });
    assert!(seen, "no '{part}' in the why of the plan\n{}", bench.text());
}

#[test]
fn the_list_says_saw_and_plane_beside_the_trips() {
    let mut bench = planned();
    while !bench.session.screens.is_empty() && bench.session.screens.len() > 1 {
        bench.press("\u{1b}");
    }
    let left = bench.session.shop.openings[0].brief().and_then(|brief| brief.passes).expect("counted");
    let row = format!("left door, left: {}", rounds_words::row_left(left));
    bench.shows(&row);
    for size in &SIZES[1..] {
        let screen = text(&bench.buffer(*size, Palette::Plain));
        let head = screen.lines().find(|line| line.contains("trips left")).unwrap();
        assert!(head.contains("saw") && head.contains("plane"), "{head}");
        assert!(!screen.contains(&row), "said once");
    }
}

#[test]
fn every_cut_of_every_round_can_be_seen_at_the_least_size() {
    let mut bench = planned();
    for round in 0..3 {
        bench.press("adddddd\u{1b}\u{1b}\u{1b}\rr");
        bench.read_all_as(["c", "d", "e"][round], 12);
        bench.press("\r");
    }
    go_home(&mut bench);
    let state = bench.session.opened.as_ref().unwrap().state.clone();
    let cuts: usize = state.rounds.iter().map(|round| round.cuts.len()).sum();
    assert!(cuts >= 2, "{cuts}");
    bench.press("lc");
    let lines = rounds_words::history_lines(&bench.answer().history, &state, Show::default());
    assert_eq!(lines.iter().filter(|line| line.starts_with("  ")).count(), cuts, "{lines:#?}");
    for line in &lines {
        let start: String = line.trim_start().chars().take(30).collect();
        assert!(bench.text().contains(&start), "'{start}' is not in sight\n{}", bench.text());
        bench.press("j");
    }
    bench.press("c");
    assert!(bench.text().contains("tolerance"), "the chart again\n{}", bench.text());
}

/// The doubt of a station that asks for another look.
fn asking(look: &Look, (gap, at): (usize, evenreveal::fit::length::Length)) -> Look {
    let mut asking = look.clone();
    let expected = look.estimate.gap_at(gap, at).unwrap();
    let why = Why::LeavesDoubt;
    asking.advice.next =
        Next::Read(vec![Ask { gap, at, why, read: None, expected, index: None, earlier_round: false }]);
    asking
}

#[test]
fn only_where_most_of_the_doubt_hangs_on_one_station_is_that_said() {
    let bench = at_home();
    let look = bench.answer().answer.as_ref().unwrap().clone();
    let opened = bench.session.opened.as_ref().unwrap();
    let stations: Vec<_> = look
        .advice
        .moved
        .gaps
        .iter()
        .enumerate()
        .flat_map(|(gap, line)| line.stations.iter().map(move |one| (gap, one.at)))
        .collect();
    let shares: Vec<f64> =
        stations.iter().map(|at| share(&look.estimate, &look.advice.moved, &look.policy, *at)).collect();
    assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-9, "{shares:?}");
    for (place, share) in stations.iter().zip(&shares) {
        let asking = asking(&look, *place);
        let words = rounds_words::first(&asking, Show::default()).unwrap();
        assert_eq!(words.contains("Most of the doubt"), *share > 0.5, "{share}: {words}");
        assert!(!words.contains("All the doubt"), "{words}");
        let Next::Read(asks) = &asking.advice.next else { unreachable!() };
        let words = next_words::read_again(asks, &asking, opened, Show::default());
        assert_eq!(words.contains("most of the doubt"), *share > 0.5, "{share}: {words}");
    }
}

#[test]
fn how_far_a_cut_stops_short_is_said_to_the_thousandth() {
    let bench = at_home();
    let look = bench.answer().answer.as_ref().unwrap();
    let lines = next_words::depth(look, look.cuts(), Show::default());
    for cut in look.cuts() {
        let [low, high] = [0, 1].map(|end| format!("{:.3}", cut.line[end].0 - cut.aim[end].0));
        let line = lines.iter().find(|line| line.starts_with(&format!("{} edge", cut.edge))).unwrap();
        assert!(line.contains(&format!("short by {low} in and {high} in")), "{line}");
    }
}
