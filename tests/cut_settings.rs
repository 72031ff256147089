//! Fence and stop settings: what the rule may be set to, what it leaves, and the true reason where no setting
//! does. All numbers are invented.

#[path = "common/latch.rs"]
#[allow(dead_code)]
mod latch;

use evenreveal::cut::geometry::rip_removal;
use evenreveal::cut::job::{CutJob, Method};
use evenreveal::cut::rip::Rip;
use evenreveal::cut::setup::{Setup, SetupSheet, propose_with};
use evenreveal::cut::words::Refusal;
use evenreveal::fit::length::{Inches, Length};
use evenreveal::fit::opening::Edge;
use latch::{Shop, edge, latch, top};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// A shop whose fence is trusted in steps of one `parts`-th of an inch.
fn in_steps_of(parts: i64) -> Shop {
    let mut shop = Shop::new();
    shop.saws[0].finest_move = Length::ratio(1, parts);
    (shop.saws[0].fence_before, shop.saws[0].fence_behind) = (Length::ratio(40, 1), Length::ratio(40, 1));
    shop
}

fn ripped(job: &CutJob, shop: &Shop) -> Option<Rip> {
    match propose_with(job, &shop.kit(), Method::Rip).unwrap().setup {
        Setup::Rip(rip) => Some(rip),
        _ => None,
    }
}

fn refused(sheet: &SetupSheet, method: Method) -> Option<Refusal> {
    sheet.refused.iter().find(|refused| refused.method == method).map(|refused| refused.why)
}

/// A leaf 10.992 wide where a fence set to the nearest 1/64 would take 0.0076 too much: the move has no error,
/// and no step of the rule is given.
#[test]
fn a_rule_too_coarse_for_the_cut_is_left_out_while_the_move_stays() {
    let job = CutJob { length: Inches(26.0), ..edge(Edge::Right, (26.0, 10.992), (1.0 / 32.0, 3.0 / 32.0)) };
    let rip = ripped(&job, &in_steps_of(64)).unwrap();
    assert!(rip.fence_move.worst().get() < 0.001, "{:?}", rip.fence_move);
    assert_eq!(rip.fence_absolute, None);
    let fine = ripped(&job, &in_steps_of(1000)).unwrap();
    let absolute = fine.fence_absolute.expect("a step of 0.001 comes near enough");
    assert!(absolute.error_start.get() <= 1e-9 && absolute.error_end.get() <= 1e-9, "{absolute:?}");
}

#[test]
fn whatever_the_steps_the_rule_never_takes_too_much_and_is_off_by_what_it_says() {
    for parts in [64, 128, 1000, 2540] {
        let shop = in_steps_of(parts);
        let (mut by_rule, mut without) = (0, 0);
        let mut rng = ChaCha8Rng::seed_from_u64(64);
        for _ in 0..150 {
            let width = rng.random_range(8.0..14.0);
            let trims = (rng.random_range(0.0..0.05), rng.random_range(0.02..0.11));
            let mut job = edge(Edge::Right, (26.0, width), trims);
            job.width_end = Inches(width + rng.random_range(-0.03..0.03));
            let Some(rip) = ripped(&job, &shop) else { continue };
            let Some(absolute) = rip.fence_absolute else {
                without += 1;
                continue;
            };
            by_rule += 1;
            let steps = absolute.value.inches() * parts as f64;
            assert!((steps - steps.round()).abs() < 1e-6, "on the grid: {absolute:?}");
            let fence = Inches(absolute.value.inches());
            let (a, b) = rip_removal(job.width_start, job.width_end, job.length, rip.pivot, &rip.bearings(), fence);
            for (removed, wanted, said) in [(a, job.start, absolute.error_start), (b, job.end, absolute.error_end)] {
                let off = removed.get() - wanted.get();
                assert!((off - said.get()).abs() < 1e-9, "{off} said {said:?}");
                assert!((-0.004 - 1e-9..=1e-9).contains(&off), "1/{parts}: {off}");
            }
        }
        // A coarse rule is true for some cuts only, a fine one for nearly all.
        assert!(by_rule > 10, "1/{parts}: {by_rule} by the rule, {without} without");
        assert_eq!(without > by_rule, parts == 64, "1/{parts}: {by_rule} by the rule, {without} without");
    }
}

/// 0.057 to 0.070 over 26 in: at 1/128 there is a set-up, at 1/64 the steps are what is wanting, not the card.
#[test]
fn coarse_steps_are_named_and_no_card_is_sent_for() {
    let job = edge(Edge::Right, (26.0, 11.0), (0.057, 0.070));
    let coarse = propose_with(&job, &in_steps_of(64).kit(), Method::Rip).unwrap();
    assert_eq!(refused(&coarse, Method::Rip), Some(Refusal::FenceTooCoarse));
    assert!(!Refusal::FenceTooCoarse.text().contains("no pad"));
    assert!(Refusal::FenceTooCoarse.instead().contains(&coarse.setup.method()));
    assert!(ripped(&job, &in_steps_of(128)).is_some());
}

/// The reason is the true one: who is told that steps are too coarse has a set-up with fine ones and the same
/// stock; who is told of card or taper has none even then.
#[test]
fn the_reason_given_for_a_refused_rip_or_sled_is_the_true_one() {
    let mut rng = ChaCha8Rng::seed_from_u64(6);
    let shops = |parts: i64| {
        let usual = in_steps_of(parts);
        let card = Shop { saws: in_steps_of(parts).saws, ..Shop::only(Length::ratio(3, 100)) };
        [usual, card]
    };
    let (coarse, fine) = (shops(64), shops(100_000));
    let (mut steps, mut others) = (0, 0);
    for case in 0..300 {
        let (coarse, fine) = if case % 3 == 0 { (&coarse[1], &fine[1]) } else { (&coarse[0], &fine[0]) };
        let trims = (rng.random_range(0.0..0.09), rng.random_range(0.0..0.09));
        let (method, job) = if case % 2 == 0 {
            (Method::Rip, edge(Edge::Right, (rng.random_range(14.0..30.0), 11.0), trims))
        } else {
            (Method::Sled, edge(Edge::Top, (11.0, rng.random_range(14.0..26.0)), trims))
        };
        let sheet = propose_with(&job, &coarse.kit(), method).unwrap();
        let Some(why) = refused(&sheet, method) else { continue };
        let with_fine_steps = propose_with(&job, &fine.kit(), method).unwrap();
        let helps = refused(&with_fine_steps, method).is_none();
        assert_eq!(helps, why == Refusal::FenceTooCoarse, "case {case}, {method:?}: {why:?}");
        if helps {
            steps += 1;
        } else {
            others += 1;
        }
    }
    assert!(steps > 50 && others > 5, "{steps} for the steps, {others} for something else");
}

#[test]
fn a_sled_names_the_edge_that_is_too_long_for_it() {
    let mut shop = Shop::new();
    shop.sleds[0].fence = Length::ratio(24, 1);
    // The edge that meets the cut is 11 in, the cut itself 26 in.
    let sheet = propose_with(&edge(Edge::Right, (26.0, 11.0), (0.0, 0.06)), &shop.kit(), Method::Sled).unwrap();
    assert_eq!(refused(&sheet, Method::Sled), Some(Refusal::CutTooLongForSled));
    assert!(Refusal::CutTooLongForSled.text().starts_with("the edge to cut is longer"));
    shop.sleds[0].fence = Length::ratio(20, 1);
    let sheet = propose_with(&top(0.0, 0.06), &shop.kit(), Method::Sled).unwrap();
    assert_eq!(refused(&sheet, Method::Sled), Some(Refusal::SledTooShort), "24 in lie on 20 in of fence");
    let sheet = propose_with(&latch(0.0, 0.06), &Shop::new().kit(), Method::Sled).unwrap();
    assert_eq!(refused(&sheet, Method::Sled), Some(Refusal::ReferenceTooShort), "neither is over 30 in");
}
