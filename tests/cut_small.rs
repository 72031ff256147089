//! Small leaves and short strokes: what is not fed by hand, and strokes that would start where the edge ends. All
//! numbers are invented; that a leaf is too small to feed is a judgement without a source.

#[path = "common/latch.rs"]
#[allow(dead_code)]
mod latch;

use evenreveal::cut::job::{Limits, Method};
use evenreveal::cut::setup::{Setup, propose, propose_with};
use evenreveal::cut::words::{Caution, Reason, Refusal};
use evenreveal::fit::length::Inches;
use evenreveal::fit::opening::Edge;
use latch::{Shop, edge, latch, top};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// A leaf 4.2 by 5 in: wide enough by the narrowest, longer than its distance to the fence, and far too small.
#[test]
fn a_small_leaf_is_not_fed_along_a_fence_but_planed_or_clamped_to_the_sled() {
    let shop = Shop::new();
    let job = edge(Edge::Right, (5.0, 4.2), (1.0 / 32.0, 3.0 / 64.0));
    let sheet = propose_with(&job, &shop.kit(), Method::Rip).unwrap();
    let refused = sheet.refused.iter().find(|refused| refused.method == Method::Rip).map(|refused| refused.why);
    assert_eq!(refused, Some(Refusal::TooShortToFeed));
    assert_eq!(sheet.setup.method(), Method::Plane, "the safe way first");
    let whole = format!("{} {sheet:?}", serde_json::to_string(&sheet).unwrap());
    for field in ["fence_move", "fence_absolute", "pivot", "width_after"] {
        assert!(!whole.contains(field), "{field} in {whole}");
    }
    let unasked = propose(&job, &shop.kit()).unwrap();
    assert_eq!((unasked.setup.method(), unasked.reason), (Method::Plane, Reason::SmallLeaf));
    let mut sled_first = Shop::new();
    sled_first.ranking = vec![Method::Sled, Method::Rip];
    assert_eq!(
        propose(&job, &sled_first.kit()).unwrap().setup.method(),
        Method::Plane,
        "a ranking does not make it safe"
    );
    let on_sled = propose_with(&job, &shop.kit(), Method::Sled).unwrap();
    assert_eq!(on_sled.setup.method(), Method::Sled);
    assert!(on_sled.cautions.contains(&Caution::ClampSmallLeaf), "{:?}", on_sled.cautions);
    assert!(
        !propose_with(&top(0.0, 0.06), &shop.kit(), Method::Sled).unwrap().cautions.contains(&Caution::ClampSmallLeaf)
    );
    assert!(matches!(propose_with(&latch(0.02, 0.08), &shop.kit(), Method::Rip).unwrap().setup, Setup::Rip(_)));
}

#[test]
fn whatever_the_leaf_no_rip_runs_along_an_edge_shorter_than_the_limit() {
    let shop = Shop::new();
    let shortest = Limits::default().shortest_fed.get();
    let mut rng = ChaCha8Rng::seed_from_u64(12);
    let (mut ripped, mut refused) = (0, 0);
    for _ in 0..200 {
        let long: f64 = rng.random_range(4.5..20.0);
        let job = edge(Edge::Right, (long, rng.random_range(4.2..long)), (rng.random_range(0.0..0.05), 0.06));
        for sheet in [propose(&job, &shop.kit()).unwrap(), propose_with(&job, &shop.kit(), Method::Rip).unwrap()] {
            match sheet.setup.method() {
                Method::Rip => {
                    assert!(long >= shortest, "{long}");
                    ripped += 1;
                }
                _ if long < shortest => refused += 1,
                _ => {}
            }
        }
    }
    assert!(ripped > 40 && refused > 100, "{ripped} ripped, {refused} refused");
}

#[test]
fn a_plane_and_its_user_are_sent_to_the_manual_and_to_instruction_too() {
    let shop = Shop::new();
    for method in Method::ALL {
        let job = if method == Method::Sled { top(0.001, 0.003) } else { latch(0.001, 0.003) };
        let sheet = propose_with(&job, &shop.kit(), method).unwrap();
        assert_eq!(sheet.setup.method(), method);
        let first = sheet.cautions.first().unwrap();
        let wanted = if method == Method::Plane { Caution::ToolManualComesFirst } else { Caution::ManualComesFirst };
        assert_eq!(*first, wanted, "{method:?}");
        for word in ["manual", "local codes", "instruction"] {
            assert!(first.text().contains(word) && first.short().contains(word), "{first:?}");
        }
    }
}

/// Half a shaving more is asked for a hair before the end: the stroke for it would start on the edge's last mark.
#[test]
fn no_stopped_stroke_starts_where_the_edge_ends() {
    let shop = Shop::new();
    let job = edge(Edge::Right, (6.0, 24.0), (0.0, 0.010_501));
    let sheet = propose_with(&job, &shop.kit(), Method::Plane).unwrap();
    let Setup::Plane(planing) = &sheet.setup else { panic!("{sheet:?}") };
    assert_eq!(planing.stopped.len(), 10, "{planing:?}");
    assert!((planing.error_end.get() - (10.0 * 0.001 - 0.010_501)).abs() < 1e-9, "{planing:?}");
    let mut rng = ChaCha8Rng::seed_from_u64(13);
    let mut strokes = 0;
    for _ in 0..400 {
        let long = rng.random_range(4.0..30.0);
        let job = edge(Edge::Right, (long, 12.0), (rng.random_range(0.0..0.02), rng.random_range(0.0..0.03)));
        let sheet = propose_with(&job, &shop.kit(), Method::Plane).unwrap();
        let Setup::Plane(planing) = &sheet.setup else { continue };
        strokes += planing.stopped.len();
        for stroke in &planing.stopped {
            assert!(stroke.mark.inches() < long, "{planing:?}");
        }
        let thick = f64::from(planing.full) + planing.stopped.len() as f64;
        let (wanted, said) = match planing.thin.other() {
            evenreveal::cut::job::End::Start => (job.start, planing.error_start),
            evenreveal::cut::job::End::End => (job.end, planing.error_end),
        };
        assert!((thick * 0.001 - wanted.get() - said.get()).abs() < 1e-9, "{planing:?}");
        // Half a shaving, and what half a step of the ruler makes on the steepest of these tapers.
        assert!(planing.worst_error <= Inches(0.0005 + 0.03 / 4.0 / 32.0), "{planing:?}");
    }
    assert!(strokes > 500, "{strokes}");
}
