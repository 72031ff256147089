//! How deep a cut is aimed: in real wood, short of its line by the stated risk, for the means that will do it.

use evenreveal::fit::estimate::spreads::Factor;
use evenreveal::fit::estimate::{Belief, Estimate, Method, Round, Spreads, Standing, TakenReading, replay};
use evenreveal::fit::length::{Inches, Length};
use evenreveal::fit::opening::{Edge, EdgeSet, Facing, GapLine, Leaf, Motion};
use evenreveal::fit::policy::{CutAdvice, Policy, Risk, advise, advise_by, one_in};
use evenreveal::fit::reading::{Reading, Value};

const REVEAL: f64 = 3.0 / 32.0;
const EDGES: [Edge; 4] = [Edge::Left, Edge::Right, Edge::Bottom, Edge::Top];

/// A reading as sharp as a dial's, so that the line is known to half a thousandth.
fn sharp() -> Spreads {
    Spreads { hand: Inches(0.0005), ..Spreads::default() }
}

fn plane(mean: f64, sd: f64) -> Spreads {
    Spreads { plane: Factor { mean, sd }, ..sharp() }
}

/// A leaf of which only the left edge may be cut, even but for `missing` at the left edge's lower and upper corner.
fn estimate(spreads: Spreads, missing: [f64; 2]) -> Estimate {
    let leaf = Leaf {
        id: "A".into(),
        width: Length::ratio(11, 1),
        height: Length::ratio(26, 1),
        hinge: None,
        may_cut: EdgeSet::NONE.with(Edge::Left),
        motion: Motion::Free,
    };
    let gap = |edge| {
        let own = Facing::Leaf { leaf: 0, edge };
        let frame_first = matches!(edge, Edge::Left | Edge::Bottom);
        let between = if frame_first { [Facing::Frame, own] } else { [own, Facing::Frame] };
        GapLine { between, target: Length::ratio(3, 32), offset: Length::ZERO, readings: vec![] }
    };
    let reading = |gap: usize, edge: Edge, at: f64| {
        let length = leaf.edge_length(edge).inches();
        let short = if edge == Edge::Left { missing[0] + (missing[1] - missing[0]) * at / length } else { 0.0 };
        let value = Value::Gap(Length::from_inches_near(REVEAL - short).unwrap());
        let reading = Reading { at: Length::from_inches_near(at).unwrap(), value };
        // Kept by the user: no second look is asked for.
        TakenReading { gap, reading, standing: Standing::KeptByUser }
    };
    let readings = EDGES.iter().enumerate().flat_map(|(gap, &edge)| {
        let length = leaf.edge_length(edge).inches();
        [1.0, length / 2.0, length - 1.0].map(|at| reading(gap, edge, at))
    });
    let round = Round { readings: readings.collect(), ..Round::default() };
    replay(std::slice::from_ref(&leaf), &EDGES.map(gap), spreads, &[round]).unwrap()
}

fn the_cut(estimate: &Estimate, policy: &Policy) -> CutAdvice {
    // Whether it is cut at all, moving it may decide: what counts here is how deep it would be.
    let advice = advise(estimate, policy).unwrap();
    assert_eq!(advice.cuts.len(), 1, "{:?}", advice.next);
    advice.cuts[0]
}

#[test]
fn a_plane_that_takes_less_is_aimed_in_real_wood_and_only_its_strokes_are_more() {
    let policy = Policy { saw_from: Inches(1.0 / 32.0), ..Policy::default() };
    let cut = the_cut(&estimate(plane(0.75, 0.01), [0.0225, 0.0225]), &policy);
    assert_eq!(cut.method, Method::Plane);
    for end in 0..2 {
        assert!(cut.aim[end] <= cut.line[end], "aim {:?} past the line {:?}", cut.aim, cut.line);
        assert!(cut.aim[end].0 > 0.02, "{:?}", cut.aim);
        let counted = cut.as_made().counted()[end];
        assert!((counted - cut.aim[end].0 / 0.75).abs() < 1e-9, "{counted} strokes for {:?}", cut.aim);
    }
}

#[test]
fn a_planing_that_came_out_as_asked_is_not_told_as_short() {
    let policy = Policy { saw_from: Inches(1.0 / 32.0), ..Policy::default() };
    let mut estimate = estimate(plane(0.75, 0.01), [0.0225, 0.0225]);
    let cut = the_cut(&estimate, &policy);
    estimate.cut(&cut.as_made()).unwrap();
    let taken = estimate.taken()[0];
    assert_eq!([taken.made.start, taken.made.end], cut.aim, "meant is what the screen said");
    for Belief { mean, .. } in [taken.start, taken.end] {
        assert!((mean.0 - cut.aim[0].0).abs() < 1e-9, "expected to take {mean:?}, aimed {:?}", cut.aim);
    }
}

#[test]
fn the_rise_of_a_saw_cut_is_real_wood_and_only_the_pad_is_more() {
    let spreads = Spreads { tape: Factor { mean: 0.9, sd: 0.01 }, ..sharp() };
    let mut estimate = estimate(spreads, [0.045, 0.085]);
    let cut = the_cut(&estimate, &Policy::default());
    assert_eq!(cut.method, Method::Saw);
    let [low, high] = cut.aim.map(|aim| aim.0);
    let counted = cut.as_made().counted();
    assert!((counted[0] - low).abs() < 1e-12);
    assert!((counted[1] - low - (high - low) / 0.9).abs() < 1e-9, "{counted:?} for {:?}", cut.aim);
    estimate.cut(&cut.as_made()).unwrap();
    assert!((estimate.taken()[0].end.mean.0 - high).abs() < 1e-9);
}

/// Chance that a cut aimed so goes over its line at an end, reckoned anew from the spreads.
fn chance_over(cut: &CutAdvice, spreads: &Spreads, rounding: f64, end: usize) -> f64 {
    let rise = (cut.aim[end].0 - cut.aim[1 - end].0).max(0.0);
    let saw = spreads.saw_common.0.powi(2) + spreads.saw_end.0.powi(2) + rounding.powi(2);
    let sd = (saw + (rise * spreads.tape.sd).powi(2) + cut.line_sd[end].0.powi(2)).sqrt();
    evenreveal::fit::policy::chance::above((cut.line[end].0 - cut.aim[end].0) / sd)
}

#[test]
fn the_depth_is_reckoned_for_the_means_that_will_be_used() {
    let policy = Policy { saw_from: Inches(1.0 / 32.0), most_planed: Inches(1.0 / 32.0), ..Policy::default() };
    let estimate = estimate(sharp(), [0.025, 0.025]);
    assert_eq!(the_cut(&estimate, &policy).method, Method::Plane, "left to the policy");
    let saws_all = advise_by(&estimate, &policy, &|_| vec![Method::Saw]).unwrap();
    let cut = saws_all.cuts[0];
    assert_eq!(cut.method, Method::Saw, "the shop saws whatever it is given");
    for end in 0..2 {
        let over = chance_over(&cut, &sharp(), policy.saw_rounding.0, end);
        assert!(over <= 1.0 / 40.0 + 1e-6, "{over} at {end}: {cut:?}");
    }
    // What is left is too shallow for the saw at this risk: the plane's, though the shop would rather saw it.
    let rather = advise_by(&estimate, &policy, &|_| vec![Method::Saw, Method::Plane]).unwrap();
    assert_eq!(rather.cuts[0].method, Method::Saw, "0.0079 can still be sawn");
    let thin = self::estimate(sharp(), [0.016, 0.016]);
    let rather = advise_by(&thin, &policy, &|_| vec![Method::Saw, Method::Plane]).unwrap();
    assert_eq!(rather.cuts[0].method, Method::Plane);
    assert!(advise_by(&thin, &policy, &|_| vec![Method::Saw]).unwrap().cuts.is_empty(), "a saw alone may go over");
    // Either way it is known where to aim by the other means.
    assert_eq!(cut.aim_otherwise, the_cut(&estimate, &policy).aim);
}

#[test]
fn what_the_fence_rounds_is_in_the_budget() {
    let fine = the_cut(&estimate(sharp(), [0.08, 0.08]), &Policy::default());
    let coarse = Policy { saw_rounding: Inches(1.0 / 128.0 / 12.0_f64.sqrt()), ..Policy::default() };
    let rounded = the_cut(&estimate(sharp(), [0.08, 0.08]), &coarse);
    assert_eq!((fine.method, rounded.method), (Method::Saw, Method::Saw));
    assert!(rounded.aim[0] < fine.aim[0], "{:?} {:?}", rounded.aim, fine.aim);
    assert!(chance_over(&rounded, &sharp(), coarse.saw_rounding.0, 0) <= 1.0 / 40.0 + 1e-6);
}

#[test]
fn the_chance_of_going_over_is_that_of_the_aims_shown() {
    let policy = Policy { saw_from: Inches(1.0 / 32.0), ..Policy::default() };
    let sawn = the_cut(&estimate(sharp(), [0.08, 0.08]), &policy);
    assert_eq!(one_in(sawn.over()), Risk::default().one_in());
    // The plane may pass its line by a quarter of the tolerance: that it does is common, by more is not.
    let planed = the_cut(&estimate(plane(1.0, 0.02), [0.0225, 0.0225]), &policy);
    assert_eq!(planed.method, Method::Plane);
    assert!(planed.over() > 0.1, "{}", planed.over());
    assert!(planed.over_by(policy.spare()) <= 1.0 / 40.0, "{}", planed.over_by(policy.spare()));
}
