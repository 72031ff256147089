//! More than a kerf: several passes, each under one and each an even share.

#[path = "common/latch.rs"]
#[allow(dead_code)]
mod latch;

use evenreveal::cut::job::{CutJob, Method};
use evenreveal::cut::passes::{needed, staged};
use evenreveal::cut::setup::Setup;
use evenreveal::cut::taken::{Actual, taken};
use evenreveal::cut::words::{Reason, Refusal};
use evenreveal::fit::length::{Inches, Length};
use latch::{Shop, latch, top};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

const KERF: f64 = 1.0 / 8.0;

#[test]
fn one_pass_where_a_kerf_is_enough_and_none_where_numbers_make_no_sense() {
    for most in [0.0, 0.02, KERF, -1.0, f64::NAN] {
        assert_eq!(needed(most, KERF), None, "{most}");
    }
    for (most, passes) in [(0.126, 2), (0.2, 2), (0.2251, 3), (0.3, 3), (1.0, 9)] {
        assert_eq!(needed(most, KERF), Some(passes), "{most}");
    }
    for kerf in [0.0, -1.0, f64::NAN, 1e-9] {
        assert_eq!(needed(0.3, kerf), None, "{kerf}");
    }
}

/// Followed pass by pass to the end: each takes less than a kerf, rounding included, and together they take the whole.
#[test]
fn the_passes_together_take_the_whole_and_none_takes_a_kerf() {
    let mut rng = ChaCha8Rng::seed_from_u64(3);
    let shop = Shop::new();
    let (mut most_passes, mut passes) = (0, 0);
    for case in 0..300 {
        let (a, b) = (rng.random_range(0.0..0.5), rng.random_range(0.13..0.5));
        let mut job = if case % 2 == 0 { latch(a, b) } else { latch(b, a) };
        let (wanted, mut off) = ((job.start.get(), job.end.get()), (0.0, 0.0));
        let mut left = None;
        for number in 1.. {
            let stage = staged(&job, &shop.kit(), Some(Method::Rip)).unwrap();
            // The rest may be refused at the fence for other reasons; then it comes off in one, by a safe way.
            let sawn = matches!(stage.sheet.setup, Setup::Rip(_));
            let one_less = left.is_none_or(|left| stage.passes == left);
            assert!(one_less || !sawn, "case {case}: {left:?}, then {}", stage.passes);
            left = stage.passes.checked_sub(1);
            passes += u32::from(sawn);
            if sawn {
                let (start, end) = taken(&stage.sheet, Actual::default());
                assert!(start.get().max(end.get()) < KERF, "case {case}: {start:?} {end:?}");
            }
            let (start, end) = (stage.job.start.get(), stage.job.end.get());
            off = (off.0 + start, off.1 + end);
            job.start.0 -= start;
            job.end.0 -= end;
            job.width_start.0 -= start;
            job.width_end.0 -= end;
            most_passes = most_passes.max(number);
            if stage.passes == 1 {
                break;
            }
            assert!(number < 20, "no end");
        }
        assert!((off.0 - wanted.0).abs() < 1e-12 && (off.1 - wanted.1).abs() < 1e-12, "case {case}: {off:?}");
    }
    assert!(most_passes >= 4 && passes > 600, "{most_passes}, {passes}");
}

#[test]
fn only_the_saw_is_taken_in_passes_and_only_where_it_is_the_kerf_that_refuses() {
    let mut shop = Shop::new();
    let method = |shop: &Shop, job: CutJob, asked| {
        let stage = staged(&job, &shop.kit(), asked).unwrap();
        (stage.sheet.setup.method(), stage.passes)
    };
    assert_eq!(method(&shop, latch(0.1, 0.3), None), (Method::Rip, 3));
    assert_eq!(method(&shop, top(0.1, 0.3), None), (Method::Sled, 3));
    assert_eq!(method(&shop, top(0.1, 0.3), Some(Method::Sled)), (Method::Sled, 3));
    // A line is followed in one.
    assert_eq!(method(&shop, latch(0.1, 0.3), Some(Method::GuideLine)), (Method::GuideLine, 1));
    // One that is refused for more than the kerf stays refused in passes, with the safe way instead.
    let stage = staged(&top(0.1, 0.3), &shop.kit(), Some(Method::Rip)).unwrap();
    assert_eq!((stage.sheet.setup.method(), stage.sheet.reason), (Method::Sled, Reason::SafeInstead));
    assert!(stage.sheet.refused.iter().any(|r| r.method == Method::Rip && r.why == Refusal::EdgeShorterThanDistance));
    assert!(stage.job.most() < KERF, "whatever the way, a sawn pass is under a kerf: {stage:?}");
    // A line that the shop ranks before its saw is not given up for passes.
    shop.ranking = vec![Method::GuideLine];
    assert_eq!(method(&shop, latch(0.1, 0.3), None), (Method::GuideLine, 1));
    shop.ranking.clear();
    shop.saws[0].kerf = Length::ZERO;
    assert_eq!(method(&shop, latch(0.1, 0.3), None), (Method::GuideLine, 1));
    // A whole kerf at once was never shown: not in the set-up, not among the refusals.
    shop = Shop::new();
    let stage = staged(&latch(0.1, 0.3), &shop.kit(), None).unwrap();
    assert_eq!((stage.sheet.start, stage.sheet.end), (stage.job.start, stage.job.end));
    assert_eq!(stage.job.end, Inches(0.3 / 3.0));
}
