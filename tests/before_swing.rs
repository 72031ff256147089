//! Swing and back-bevel against an independent sweep: the leaf as a polygon, turned in small steps
//! about its pin and clipped against the frame.

use evenreveal::before::swing::{Bevel, Pin, SwingError, SwingLeaf, swing};
use evenreveal::fit::length::{Inches, Length};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

type Point = (f64, f64);

/// Keeps the part of a polygon where `inside(p) >= 0`, `inside` being affine.
fn clip(polygon: &[Point], inside: impl Fn(Point) -> f64) -> Vec<Point> {
    let mut kept = Vec::new();
    for (i, &p) in polygon.iter().enumerate() {
        let q = polygon[(i + 1) % polygon.len()];
        let (dp, dq) = (inside(p), inside(q));
        if dp >= 0.0 {
            kept.push(p);
        }
        if dp * dq < 0.0 {
            let t = dp / (dp - dq);
            kept.push((p.0 + t * (q.0 - p.0), p.1 + t * (q.1 - p.1)));
        }
    }
    kept
}

fn area(polygon: &[Point]) -> f64 {
    let turn = |i: usize| {
        let (p, q) = (polygon[i], polygon[(i + 1) % polygon.len()]);
        p.0 * q.1 - q.0 * p.1
    };
    (0..polygon.len()).map(turn).sum::<f64>().abs() / 2.0
}

/// Deepest that the leaf (square, or with its latch edge's back cut off by `bevel`) cuts into the
/// frame's latch side and hinge side while it opens to 90°, as the gaps that would have cleared it
/// (found by bisection on "does any step overlap?").
fn overlaps(leaf: (f64, f64), pin: Point, bevel: f64, frame_from: f64, latch: bool) -> bool {
    let (w, t) = leaf;
    let corners = [(0.0, 0.0), (w, 0.0), (w - bevel, -t), (0.0, -t)];
    let steps = 5000;
    (0..=steps).any(|step| {
        let angle = std::f64::consts::FRAC_PI_2 * f64::from(step) / f64::from(steps);
        let (sin, cos) = angle.sin_cos();
        let turned: Vec<Point> = corners
            .iter()
            .map(|c| {
                let (x, z) = (c.0 - pin.0, c.1 - pin.1);
                (pin.0 + x * cos - z * sin, pin.1 + x * sin + z * cos)
            })
            .collect();
        let behind = clip(&turned, |p| -p.1);
        let hit = clip(&behind, |p| if latch { p.0 - frame_from } else { frame_from - p.0 });
        hit.len() > 2 && area(&hit) > 1e-12
    })
}

fn least_gap(leaf: (f64, f64), pin: Point, bevel: f64, latch: bool) -> f64 {
    let (mut low, mut high) = (0.0, leaf.0.hypot(leaf.1) + 5.0);
    for _ in 0..26 {
        let gap = f64::midpoint(low, high);
        let frame = if latch { leaf.0 + gap } else { -gap };
        if overlaps(leaf, pin, bevel, frame, latch) { low = gap } else { high = gap }
    }
    high
}

fn near(inches: f64) -> Length {
    Length::from_inches_near(inches).unwrap()
}

#[test]
fn the_closed_form_is_what_the_sweep_finds_for_every_pin() {
    let mut rng = ChaCha8Rng::seed_from_u64(5);
    let (mut bevelled, mut regions) = (0, [0; 6]);
    for case in 0..48 {
        let (width, thickness) = (rng.random_range(2.0..20.0), rng.random_range(0.5..2.25));
        let a = rng.random_range(-0.5..0.75);
        let b = match case % 3 {
            0 => rng.random_range(0.0..0.6),
            1 => rng.random_range(-thickness..0.0),
            _ => rng.random_range(-thickness - 0.5..-thickness),
        };
        let leaf = SwingLeaf {
            width: near(width),
            thickness: near(thickness),
            pin: Pin { off_edge: near(a), in_front: near(b) },
        };
        let (w, t, a, b) = (leaf.width.inches(), leaf.thickness.inches(), near(a).inches(), near(b).inches());
        let found = swing(&leaf, Length::ratio(1, 32), Length::ratio(1, 32)).unwrap();
        let region = if b >= 0.0 {
            0
        } else if b > -t {
            1
        } else {
            2
        };
        regions[region * 2 + usize::from(a < 0.0)] += 1;
        let swept = least_gap((w, t), (-a, b), 0.0, true);
        assert!((found.least_reveal.get() - swept).abs() < 3e-4, "latch {leaf:?}: {found:?} {swept}");
        let swept = least_gap((w, t), (-a, b), 0.0, false);
        assert!((found.least_hinge_reveal.get() - swept).abs() < 3e-4, "hinge {leaf:?}: {found:?} {swept}");
        if let Some(bevel) = found.bevel {
            bevelled += 1;
            let frame = w + 1.0 / 32.0;
            assert!(!overlaps((w, t), (-a, b), bevel.depth.get() + 3e-4, frame, true), "{leaf:?}: {found:?}");
            assert!(overlaps((w, t), (-a, b), bevel.depth.get() - 1e-3, frame, true), "{leaf:?}: {found:?}");
        }
    }
    assert!(bevelled > 10 && regions.iter().all(|n| *n > 0), "{bevelled} {regions:?}");
}

/// For a pin in front of the face the short rule `sqrt((w+a)² + (T+b)²) ≤ w+a+gap` asks for too much:
/// leaf 4 in wide, 3/4 thick, pin 1/16 off the edge and 3/8 in front.
#[test]
fn a_pin_in_front_needs_less_than_the_short_rule_says() {
    let leaf = SwingLeaf {
        width: Length::ratio(4, 1),
        thickness: Length::ratio(3, 4),
        pin: Pin { off_edge: Length::ratio(1, 16), in_front: Length::ratio(3, 8) },
    };
    // w+a = 4.0625; short rule: sqrt(16.50391 + 1.26563) − 4.0625 = 0.15289
    // the frame ends at its face: sqrt(16.50391 + 1.26563 − 0.14063) − 4.0625 = 0.13618
    let found = swing(&leaf, Length::ratio(1, 8), Length::ratio(1, 8)).unwrap();
    assert!((found.least_reveal.get() - 0.136_18).abs() < 1e-5, "{found:?}");
    assert!((least_gap((4.0, 0.75), (-0.0625, 0.375), 0.0, true) - 0.136_18).abs() < 3e-4);
    assert!(!found.clears() && found.bevel.is_some());
}

/// Back-bevels of old: 1/8 in 2 1/4 in (3.18°), up to 1/4 in 2 in on narrow doors (7.13°).
/// Building Trades Pocketbook (published); 3/32 each side: the same book.
#[test]
fn the_old_back_bevels_have_their_angles_and_clear_the_old_doors() {
    let degrees = |depth: f64, thickness| Bevel::over(Inches(depth), thickness).angle.0.to_degrees();
    assert!((degrees(0.125, Length::ratio(9, 4)) - 3.18).abs() < 0.005);
    assert!((degrees(0.25, Length::ratio(2, 1)) - 7.13).abs() < 0.005);
    // Pin level with the face on the hinge edge; 3/32 at the latch.
    let pin = Pin { off_edge: Length::ZERO, in_front: Length::ZERO };
    let gap = Length::ratio(3, 32);
    let needed = |width, thickness| {
        let leaf = SwingLeaf { width, thickness, pin };
        swing(&leaf, gap, gap).unwrap().bevel.map_or(0.0, |bevel| bevel.depth.get())
    };
    // The old bevel covers doors of 12 in and more at 2 1/4 thick, and narrow ones of 6 in at 2 in ...
    assert!(needed(Length::ratio(12, 1), Length::ratio(9, 4)) <= 0.125);
    assert!(needed(Length::ratio(6, 1), Length::ratio(2, 1)) <= 0.25);
    // ... and a 10 in door 2 1/4 thick needs more than 1/8: hence "up to 1/4 on narrow doors".
    let narrow = needed(Length::ratio(10, 1), Length::ratio(9, 4));
    assert!(narrow > 0.125 && narrow <= 0.25, "{narrow}");
}

#[test]
fn nonsense_is_refused_with_a_word() {
    let one = Length::ratio(1, 1);
    let leaf =
        |width, thickness, off_edge| SwingLeaf { width, thickness, pin: Pin { off_edge, in_front: Length::ZERO } };
    let ask = |leaf: SwingLeaf, gap| swing(&leaf, gap, Length::ZERO).unwrap_err();
    assert_eq!(ask(leaf(Length::ZERO, one, one), one), SwingError::NotPositive("width"));
    assert_eq!(ask(leaf(one, one.negated(), one), one), SwingError::NotPositive("thickness"));
    assert_eq!(ask(leaf(one, one, one.negated()), one), SwingError::PinPastLatch);
    assert_eq!(ask(leaf(one, one, one), one.negated()), SwingError::Lap("latch"));
    assert_eq!(ask(leaf(one, Length::ratio(5, 1), Length::ZERO), Length::ZERO), SwingError::NoBevel);
}
