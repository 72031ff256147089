//! Planing schedules, feeding past a short fence, refusals, order, stock: the rules of the cut.

#[path = "common/latch.rs"]
mod latch;

use evenreveal::cut::feed::Fence;
use evenreveal::cut::job::{Construction, CutJob, End, Method, NoContact, Straight};
use evenreveal::cut::order::{OrderReason, order};
use evenreveal::cut::setup::{Setup, SetupSheet, propose, propose_with};
use evenreveal::cut::strokes::{PlaneRule, schedule};
use evenreveal::cut::tools::{Measured, StackError, starting_stock};
use evenreveal::cut::words::{Assumption, Caution, Reason, Refusal};
use evenreveal::fit::length::{Inches, Length};
use evenreveal::fit::opening::{Edge, Side};
use latch::{Shop, latch, top};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

#[test]
fn the_planed_profile_is_never_more_than_half_a_shaving_off_and_no_stroke_is_wasted() {
    let mut rng = ChaCha8Rng::seed_from_u64(1);
    for _ in 0..400 {
        let shaving = rng.random_range(0.0005..0.004);
        let (a, b): (f64, f64) = (rng.random_range(0.0..0.05), rng.random_range(0.0..0.05));
        let (thin, thick, length) = (a.min(b), a.max(b), rng.random_range(4.0..48.0));
        let (full, starts) = schedule(thin, thick, length, shaving, 1000).unwrap();
        for step in 0..=4000 {
            let s = length * f64::from(step) / 4000.0;
            let strokes = f64::from(full) + starts.iter().filter(|&&start| start <= s).count() as f64;
            let wanted = thin + (thick - thin) * s / length;
            let off = (strokes * shaving - wanted).abs();
            assert!(off <= shaving / 2.0 + 1e-8, "{off} over half of {shaving} at {s}");
        }
        // One stroke fewer at the thick end, or one full stroke fewer at the thin one, is over it.
        let all = f64::from(full) + starts.len() as f64;
        assert!(all == 0.0 || thick - (all - 1.0) * shaving >= shaving / 2.0 - 1e-8);
        assert!(full == 0 || thin - f64::from(full - 1) * shaving >= shaving / 2.0 - 1e-8);
        assert!(starts.windows(2).all(|pair| pair[0] <= pair[1]), "longest first");
    }
}

#[test]
fn whole_shavings_start_at_the_half_steps() {
    let (full, starts) = schedule(0.002, 0.006, 24.0, 0.001, 100).unwrap();
    assert_eq!(full, 2);
    for (k, start) in starts.iter().enumerate() {
        assert!((start - 24.0 * (k as f64 + 0.5) / 4.0).abs() < 1e-6, "{starts:?}");
    }
    assert_eq!(starts.len(), 4);
    assert_eq!(schedule(0.001, 0.2, 24.0, 0.001, 120), None);
    assert_eq!(schedule(0.001, 0.2, 24.0, f64::NAN, 120), None);
    assert_eq!(schedule(0.2, 0.001, 24.0, 0.001, 1200), None);
}

#[test]
fn end_grain_is_planed_inward_or_backed_up() {
    let shop = Shop::new();
    let sheet = propose_with(&top(0.004, 0.010), &shop.kit(), Method::Plane).unwrap();
    let Setup::Plane(planing) = &sheet.setup else { panic!("{sheet:?}") };
    assert_eq!(planing.rule, PlaneRule::BackUpAndInward);
    assert!(sheet.cautions.contains(&Caution::BackUpEndGrain));
    let sheet = propose_with(&latch(0.004, 0.010), &shop.kit(), Method::Plane).unwrap();
    let Setup::Plane(planing) = &sheet.setup else { panic!("{sheet:?}") };
    assert_eq!((planing.rule, planing.thin, planing.full), (PlaneRule::WithTheGrain, End::Start, 4));
    assert!(!sheet.cautions.contains(&Caution::BackUpEndGrain));
    for stroke in &planing.stopped {
        assert!((stroke.mark.inches() - stroke.start.get()).abs() <= 1.0 / 32.0 + 1e-12);
    }
}

/// Fences of every length: the bearings read off the sheet, fed past the blade in small steps.
#[test]
fn a_leaf_never_loses_two_bearings_whatever_the_fence() {
    let mut rng = ChaCha8Rng::seed_from_u64(2);
    let mut shop = Shop::new();
    let (mut single, mut stepped, mut refused) = (0, 0, 0);
    for case in 0..600 {
        let (before, behind) = (rng.random_range(1..40), rng.random_range(1..40));
        shop.saws[0].fence_before = Length::ratio(before, 1);
        shop.saws[0].fence_behind = Length::ratio(behind, 1);
        let mut job = latch(rng.random_range(0.0..0.02), rng.random_range(0.03..0.12));
        if case % 2 == 0 {
            std::mem::swap(&mut job.start, &mut job.end);
        }
        job.length = Inches(rng.random_range(14.0..36.0));
        job.lead = [None, Some(End::Start), Some(End::End)][case % 3];
        let sheet = propose_with(&job, &shop.kit(), Method::Rip).unwrap();
        let Setup::Rip(rip) = &sheet.setup else {
            refused += 1;
            continue;
        };
        assert!(job.lead.is_none_or(|lead| lead == rip.lead));
        if rip.pads.is_empty() {
            continue;
        }
        if rip.pads.len() == 1 {
            single += 1;
        } else {
            stepped += 1;
        }
        // All at once: every pad stands on the same line through the pivot.
        for pad in &rip.pads {
            let slope = pad.thickness.inches() / pad.at.inches();
            assert!((slope - rip.pads[0].thickness.inches() / rip.pads[0].at.inches()).abs() < 1e-15, "{rip:?}");
        }
        let length = job.length.get();
        let mut bearings = vec![0.0];
        bearings.extend(rip.pads.iter().map(|pad| pad.at.inches()));
        let steps = (length * 64.0) as i64;
        for step in 0..=steps {
            let leading = length * step as f64 / steps as f64;
            let on_fence = bearings
                .iter()
                .map(|&at| if rip.lead == rip.pivot { leading - at } else { leading - (length - at) })
                .filter(|place| (-(before as f64) - 1e-6..=behind as f64 + 1e-6).contains(place))
                .count();
            assert!(on_fence >= 2, "case {case}: {on_fence} bearings at {leading}: {rip:?}");
        }
    }
    assert!(single > 50 && stepped > 50 && refused > 50, "{single} single, {stepped} stepped, {refused} refused");
}

#[test]
fn a_bearing_that_left_the_fence_no_longer_holds() {
    let fence = Fence { before: 12.0, behind: 10.0 };
    assert!(!fence.holds(&[0.0, 20.0], 24.0), "the pad comes on too late");
    assert!(!fence.holds(&[0.0, 11.0, 13.0], 24.0), "one bearing only at the end");
    assert!(fence.holds(&[0.0, 8.0, 16.0, 23.0], 24.0));
}

fn serialised(sheet: &SetupSheet) -> String {
    serde_json::to_string(sheet).unwrap()
}

/// Every refusal, reached by a real job: the method is not given, nor any figure that belongs to it.
#[test]
fn a_refused_set_up_comes_without_its_numbers() {
    let mut wide_ruler = Shop::only(Length::ratio(3, 100));
    wide_ruler.ruler = Length::ratio(12, 1);
    wide_ruler.saws[0].fence_before = Length::ratio(40, 1);
    wide_ruler.saws[0].fence_behind = Length::ratio(40, 1);
    let mut short_fence = Shop::new();
    short_fence.saws[0].fence_before = Length::ratio(2, 1);
    short_fence.saws[0].fence_behind = Length::ratio(2, 1);
    let mut short_sled = Shop::new();
    short_sled.sleds[0].fence = Length::ratio(10, 1);
    let mut no_saw = Shop::new();
    no_saw.saws.clear();
    let mut narrow = latch(0.0, 0.05);
    (narrow.width_start, narrow.width_end) = (Inches(3.0), Inches(3.0));
    let mut bare = latch(0.02, 0.08);
    bare.no_contact = vec![NoContact { edge: Edge::Left, from: Inches(0.0), to: Inches(2.0) }];
    let hollow = |job: CutJob| {
        let straight = [Edge::Left, Edge::Right].map(|edge| Straight { edge, bow: Inches(1.0 / 16.0) });
        CutJob { straight: straight.to_vec(), ..job }
    };
    let in_doubt = |job: CutJob| CutJob { straight: Vec::new(), doubted: vec![Edge::Left, Edge::Right], ..job };
    let usual = Shop::new();
    let card = Shop::only(Length::ratio(3, 100));
    let tape = Shop::only(Length::ratio(5, 1000));
    let cases = [
        (Refusal::EdgeShorterThanDistance, Method::Rip, top(0.01, 0.06), &usual),
        (Refusal::TooNarrowToFeed, Method::Rip, narrow, &usual),
        (Refusal::MoreThanAKerf, Method::Rip, latch(0.1, 0.2), &usual),
        (Refusal::MoreThanAKerf, Method::Sled, top(0.1, 0.2), &usual),
        (Refusal::TaperBelowOneLayer, Method::Rip, latch(0.04, 0.06), &card),
        (Refusal::TaperBelowOneLayer, Method::Sled, top(0.06, 0.05), &card),
        (Refusal::PadOffTheLeaf, Method::Rip, latch(0.04, 0.0702), &card),
        (Refusal::PadTooThick, Method::Rip, latch(0.0, 0.12), &tape),
        (Refusal::NoWoodToBearOn, Method::Rip, bare, &usual),
        (Refusal::NoPadFits, Method::Rip, latch(0.0, 0.05), &wide_ruler),
        (Refusal::FenceTooShort, Method::Rip, latch(0.0, 0.06), &short_fence),
        (Refusal::FenceTooShort, Method::Rip, latch(0.06, 0.06), &short_fence),
        (Refusal::SledTooShort, Method::Sled, top(0.0, 0.06), &short_sled),
        (Refusal::ReferenceTooShort, Method::Sled, latch(0.0, 0.06), &usual),
        (Refusal::ReferenceNotStraight, Method::Rip, hollow(latch(0.0, 0.06)), &usual),
        (Refusal::ReferenceNotStraight, Method::Sled, hollow(top(0.0, 0.06)), &usual),
        (Refusal::ReferenceInDoubt, Method::Rip, in_doubt(latch(0.0, 0.06)), &usual),
        (Refusal::ReferenceInDoubt, Method::Sled, in_doubt(top(0.0, 0.06)), &usual),
        (Refusal::TooMuchWood, Method::Plane, latch(0.0, 0.2), &usual),
        (Refusal::TooMuchWood, Method::SandingBlock, latch(0.0, 0.05), &usual),
        (Refusal::TooLittleWood, Method::Plane, latch(0.0, 0.0003), &usual),
        (Refusal::NoTool, Method::Rip, latch(0.0, 0.06), &no_saw),
        (Refusal::NoTool, Method::Sled, top(0.0, 0.06), &no_saw),
    ];
    for (why, method, job, shop) in cases {
        let sheet = propose_with(&job, &shop.kit(), method).unwrap();
        let refused = sheet.refused.iter().find(|refused| refused.method == method);
        assert_eq!(refused.map(|refused| refused.why), Some(why), "{method:?}");
        assert_ne!(sheet.setup.method(), method, "{why:?}");
        assert_eq!(sheet.reason, Reason::SafeInstead);
        assert!(!sheet.others.contains(&method));
        let instead = refused.map(|refused| refused.instead).unwrap();
        assert_eq!(instead, sheet.setup.method(), "the safe way is the one that is set up");
        assert!(why.instead().contains(&instead), "{why:?} {instead:?}");
        // The refusals as they go out: no figure at all.
        let text = serde_json::to_string(&sheet.refused).unwrap();
        assert!(!text.chars().any(|c| c.is_ascii_digit()), "{text}");
        // The whole sheet, and what the screen would print: no field of the refused method.
        let whole = format!("{} {sheet:?}", serialised(&sheet));
        let fields: &[&str] = match method {
            Method::Rip => &["fence_move", "fence_absolute", "pivot", "kiss\":\"", "width_after"],
            Method::Sled => &["stop_move", "reference_length"],
            Method::Plane => &["shaving", "stopped"],
            Method::SandingBlock => &["more_at"],
            Method::GuideLine => &["marks"],
        };
        // A sled and a rip share some words; only what the chosen one does not own may not appear.
        for field in fields {
            let own = instead == Method::Sled && *field == "kiss\":\"";
            assert!(own || !whole.contains(field), "{why:?}: {field} in {whole}");
        }
        if !matches!(instead, Method::Rip | Method::Sled) {
            assert!(!whole.contains("\"pads\"") && !whole.contains("layers"), "{whole}");
        }
        assert!(!why.text().chars().any(|c| c.is_ascii_digit()));
    }
}

#[test]
fn the_method_suits_the_amount_and_the_users_ranking_counts() {
    let mut shop = Shop::new();
    let chosen = |shop: &Shop, job: &CutJob| {
        let sheet = propose(job, &shop.kit()).unwrap();
        (sheet.setup.method(), sheet.reason)
    };
    assert_eq!(chosen(&shop, &latch(0.001, 0.003)), (Method::SandingBlock, Reason::LastThousandths));
    assert_eq!(chosen(&shop, &latch(0.006, 0.02)), (Method::Plane, Reason::FewShavings));
    assert_eq!(chosen(&shop, &latch(0.02, 0.08)), (Method::Rip, Reason::FenceHolds));
    assert_eq!(chosen(&shop, &top(0.02, 0.08)), (Method::Sled, Reason::SledHolds));
    assert_eq!(chosen(&shop, &latch(0.1, 0.3)), (Method::GuideLine, Reason::LineCanBeFollowed));
    shop.ranking = vec![Method::GuideLine];
    assert_eq!(chosen(&shop, &latch(0.02, 0.08)), (Method::GuideLine, Reason::RankedFirst));
    shop.ranking = vec![Method::Rip];
    assert_eq!(chosen(&shop, &top(0.02, 0.08)), (Method::Sled, Reason::SledHolds), "a ranking never beats a refusal");
    let asked = propose_with(&latch(0.02, 0.08), &shop.kit(), Method::Plane).unwrap();
    assert_eq!((asked.setup.method(), asked.reason), (Method::Plane, Reason::Asked));
}

#[test]
fn what_was_not_measured_is_said() {
    let shop = Shop::new();
    let mut job = latch(0.02, 0.08);
    job.widths_known = false;
    let sheet = propose(&job, &shop.kit()).unwrap();
    assert_eq!(sheet.assumptions, [Assumption::WidthsNominal, Assumption::StartingValue]);
    let mut job = top(0.02, 0.08);
    job.adjoining[0].out_of_square = None;
    job.adjoining[1].out_of_square = None;
    let sheet = propose(&job, &shop.kit()).unwrap();
    assert!(sheet.assumptions.contains(&Assumption::CornersSquare));
    let measured = Shop::only(Length::ratio(52, 10_000));
    assert_eq!(propose(&latch(0.02, 0.05), &measured.kit()).unwrap().assumptions, []);
}

#[test]
fn every_sheet_carries_its_cautions() {
    let shop = Shop::new();
    for method in Method::ALL {
        let job = if method == Method::Sled { top(0.001, 0.003) } else { latch(0.001, 0.003) };
        let sheet = propose_with(&job, &shop.kit(), method).unwrap();
        assert_eq!(sheet.setup.method(), method);
        assert!(sheet.cautions.contains(&Caution::LookAgain));
        if matches!(method, Method::Rip | Method::Sled) {
            assert_eq!(sheet.cautions.first(), Some(&Caution::ManualComesFirst));
            assert!(sheet.cautions.contains(&Caution::GuardAndKnife));
        }
        if method == Method::Rip {
            assert!(sheet.cautions.contains(&Caution::PushStick) && sheet.cautions.contains(&Caution::KeepOnFence));
        }
        let mut once = sheet.cautions.clone();
        once.sort();
        once.dedup();
        assert_eq!(once.len(), sheet.cautions.len(), "said once");
    }
}

#[test]
fn the_guide_line_is_marked_as_often_as_asked() {
    let shop = Shop::new();
    let mut job = latch(0.0, 0.12);
    job.marks_every = Some(Inches(6.0));
    let sheet = propose_with(&job, &shop.kit(), Method::GuideLine).unwrap();
    let Setup::GuideLine(line) = &sheet.setup else { panic!("{sheet:?}") };
    let at: Vec<f64> = line.marks.iter().map(|mark| mark.at.get()).collect();
    assert_eq!(at, [0.0, 6.0, 12.0, 18.0, 24.0]);
    for mark in &line.marks {
        assert!((mark.offset.get() - 0.12 * mark.at.get() / 24.0).abs() < 1e-12);
        assert!((mark.offset.get() - mark.shown.inches()).abs() <= 1.0 / 256.0 + 1e-12);
    }
}

#[test]
fn edges_come_in_the_order_of_the_trade() {
    let edges = |placed: &[evenreveal::cut::order::Placed]| placed.iter().map(|p| p.edge).collect::<Vec<_>>();
    let all = [Edge::Top, Edge::Left, Edge::Right, Edge::Bottom];
    let framed = order(&all, Some(Side::Right), Construction::Framed);
    assert_eq!(edges(&framed), [Edge::Right, Edge::Bottom, Edge::Top, Edge::Left]);
    assert_eq!(framed[0].reasons, [OrderReason::HingeSideIsReference]);
    assert_eq!(framed[1].reasons, [OrderReason::EndGrainFirst]);
    assert_eq!(framed[2].reasons, [OrderReason::EndGrainFirst, OrderReason::TopAfterBottom]);
    assert_eq!(framed[3].reasons, [OrderReason::CleansBreakOut, OrderReason::LatchLast]);
    let front = order(&all, None, Construction::SolidAcross);
    assert_eq!(edges(&front), [Edge::Left, Edge::Right, Edge::Bottom, Edge::Top]);
    assert!(front[0].reasons.contains(&OrderReason::EndGrainFirst));
    assert!(front[2].reasons.contains(&OrderReason::CleansBreakOut));
    let door = order(&all, Some(Side::Left), Construction::SolidUpright);
    assert_eq!(edges(&door), [Edge::Left, Edge::Bottom, Edge::Top, Edge::Right]);
    assert_eq!(edges(&order(&[Edge::Top, Edge::Top], None, Construction::Framed)), [Edge::Top]);
    assert_eq!(order(&[], None, Construction::Framed), []);
    for hinge in [None, Some(Side::Left), Some(Side::Right)] {
        for construction in [Construction::Framed, Construction::SolidAcross, Construction::SolidUpright] {
            for placed in order(&all, hinge, construction) {
                assert!(!placed.reasons.is_empty());
            }
        }
    }
}

#[test]
fn stock_is_measured_by_the_stack() {
    let (tape, how) = Measured::stack(10, Length::ratio(52, 1000), None).unwrap();
    assert_eq!(tape, Length::ratio(52, 10_000));
    // Read to a thousandth: uniform, one thousandth wide, shared by ten layers.
    let u = how.standard_uncertainty(tape).get();
    assert!((u - 0.001 / 12.0_f64.sqrt() / 10.0).abs() < 1e-15);
    let (shaving, how) = Measured::stack(20, Length::ratio(1, 32), None).unwrap();
    assert_eq!(shaving, Length::ratio(1, 640));
    let u = how.standard_uncertainty(shaving).get();
    assert!((u - 1.0 / 128.0 / 12.0_f64.sqrt() / 20.0).abs() < 1e-15);
    assert!(Measured::StartingValue.standard_uncertainty(tape).get() > how.standard_uncertainty(tape).get());
    assert_eq!(Measured::stack(0, Length::ratio(1, 32), None), Err(StackError::Layers));
    assert_eq!(Measured::stack(10, Length::ZERO, None), Err(StackError::Nothing));
    assert!(starting_stock().iter().all(|stock| stock.measured == Measured::StartingValue));
}

#[test]
fn nonsense_is_answered_not_panicked_at() {
    let mut shop = Shop::new();
    for bad in [f64::NAN, f64::INFINITY, -1.0, 1e12] {
        let mut job = latch(0.02, 0.05);
        job.length = Inches(bad);
        assert!(propose(&job, &shop.kit()).is_err(), "{bad}");
        assert!(propose(&latch(bad, 0.05), &shop.kit()).is_err(), "{bad}");
        let mut job = latch(0.02, 0.05);
        job.marks_every = Some(Inches(bad));
        assert!(propose_with(&job, &shop.kit(), Method::GuideLine).is_ok());
    }
    assert!(propose(&latch(0.0, 0.0), &shop.kit()).is_err());
    for bad in [Length::ZERO, Length::ratio(-1, 8), Length::ratio(1, 10_000_000), Length::ratio(1200, 1)] {
        shop.ruler = bad;
        shop.stock[0].thickness = bad;
        shop.saws[0].finest_move = bad;
        shop.saws[0].kerf = bad;
        shop.sleds[0].fence = bad;
        shop.planes[0].shaving = bad;
        for method in Method::ALL {
            for job in [latch(0.02, 0.05), top(0.02, 0.05)] {
                let sheet = propose_with(&job, &shop.kit(), method).unwrap();
                assert!(sheet.setup.errors().0.get().is_finite());
            }
        }
    }
}
