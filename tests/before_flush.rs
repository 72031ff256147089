//! Proud and shy corners: moves, wind and advice.

use evenreveal::before::flush::{Corners, FlushAdvice, FlushError, after, flush, wind};
use evenreveal::fit::length::{Inches, Length};
use evenreveal::fit::opening::Side;
use proptest::prelude::*;

fn n(numerator: i64, denominator: i64) -> Length {
    Length::ratio(numerator, denominator)
}

/// By hand: corners bl 1/32, br 0, tl 1/16, tr 0. Wind (1/16 − 0 + 0 − 1/32)/4 = 1/128.
/// Plane: bl 1/32 + 1/128 = 5/128, tl 1/16 − 1/128 = 7/128, br −1/128, tr +1/128.
/// Hinges at 3 and 21 of 24: 5/128 + 2/128·(3/24) = 5.25/128, 5/128 + 2/128·(21/24) = 6.75/128, back.
#[test]
fn a_door_proud_on_its_hinge_side_by_hand() {
    let corners = Corners::from_log([n(1, 32), n(0, 1), n(1, 16), n(0, 1)]);
    let found = flush(&corners, n(24, 1), Side::Left, &[n(21, 1), n(3, 1)], n(1, 64)).unwrap();
    assert_eq!((found.wind, found.off_three, found.advice), (n(1, 128), n(1, 32), FlushAdvice::MoveAndShare));
    let moves: Vec<f64> = found.hinges.iter().map(|m| m.forward.get() * 128.0).collect();
    assert_eq!(moves, [-5.25, -6.75]);
    assert_eq!(found.catch.map(|c| c.get() * 128.0), [1.0, -1.0]);
}

#[test]
fn wind_beyond_sharing_asks_for_correction() {
    let corners = Corners::from_log([n(0, 1), n(0, 1), n(0, 1), n(1, 8)]);
    let found = flush(&corners, n(24, 1), Side::Right, &[n(3, 1), n(21, 1)], n(1, 64)).unwrap();
    assert_eq!((found.wind, found.off_three, found.advice), (n(-1, 32), n(1, 8), FlushAdvice::Correct));
    let flat = Corners::from_log([n(1, 64), n(0, 1), n(-1, 64), n(0, 1)]);
    assert_eq!(flush(&flat, n(24, 1), Side::Left, &[n(3, 1), n(21, 1)], n(1, 64)).unwrap().advice, FlushAdvice::Leave);
}

#[test]
fn hinges_that_cannot_be_are_refused() {
    let corners = Corners::from_log([Length::ZERO; 4]);
    for hinges in [vec![], vec![n(3, 1)], vec![n(3, 1), n(3, 1)], vec![n(3, 1), n(25, 1)], vec![n(-1, 1), n(3, 1)]] {
        assert_eq!(flush(&corners, n(24, 1), Side::Left, &hinges, n(1, 64)), Err(FlushError::Hinges));
    }
    assert_eq!(flush(&corners, Length::ZERO, Side::Left, &[], n(1, 64)), Err(FlushError::Height));
}

proptest! {
    /// The moves, done as a plane, leave at each corner what was promised; no plane leaves less in squares.
    #[test]
    fn the_moves_leave_only_the_wind(c in prop::array::uniform4(-64_i64..=64), right in any::<bool>(), dent in prop::array::uniform3(-0.01_f64..0.01)) {
        let corners = Corners::from_log(c.map(|x| n(x, 256)));
        let side = if right { Side::Right } else { Side::Left };
        let found = flush(&corners, n(30, 1), side, &[n(4, 1), n(25, 1)], n(1, 64)).unwrap();
        prop_assert_eq!(wind(&corners).unwrap().checked_scale(1024, 1).unwrap(), n(c[2] - c[3] + c[1] - c[0], 1));
        // Hinge edge at 0 and 30 from its two hinges, latch edge from the catch.
        let [low, high] = [found.hinges[0].forward.get(), found.hinges[1].forward.get()];
        let hinge_at = |y: f64| low + (high - low) * (y - 4.0) / 21.0;
        let (h, l) = ([hinge_at(0.0), hinge_at(30.0)], found.catch.map(Inches::get));
        let moved = if right { [l[0], h[0], l[1], h[1]] } else { [h[0], l[0], h[1], l[1]] };
        let after: Vec<f64> = corners.each().iter().zip(moved).map(|(p, m)| p.inches() + m).collect();
        for (after, promised) in after.iter().zip(found.left.each()) {
            prop_assert!((after - promised.get()).abs() < 1e-12);
        }
        // Any other plane is worse: add a tilt and a shift.
        let squares = |extra: [f64; 4]| after.iter().zip(extra).map(|(a, e)| (a + e).powi(2)).sum::<f64>();
        let [d, e, f] = dent;
        prop_assert!(squares([0.0; 4]) <= squares([d, d + e, d + f, d + e + f]) + 1e-15);
    }

    /// Screws turned as advised leave the hinge side with its wind only; a rigid leaf keeps its wind, and the latch
    /// corners their mean, however the screws are turned. The displacement is a plane (planted: a + b·x + c·y).
    #[test]
    fn a_rigid_leaf_follows_its_screws(
        c in prop::array::uniform4(-64_i64..=64), right in any::<bool>(), turn in prop::array::uniform2(-32_i64..=32)
    ) {
        let corners = Corners::from_log(c.map(|x| n(x, 256)));
        let side = if right { Side::Right } else { Side::Left };
        let hinges = [n(4, 1), n(25, 1)];
        let found = flush(&corners, n(30, 1), side, &hinges, n(1, 64)).unwrap();
        let advised: Vec<_> = found.hinges.iter().map(|step| (step.hinge, step.forward.length())).collect();
        let moved = after(&corners, n(30, 1), side, &advised).unwrap();
        let on_hinges = |corners: Corners<Inches>| {
            if right { [corners.bottom_right, corners.top_right] } else { [corners.bottom_left, corners.top_left] }
        };
        let inches = |corners: Corners<Length>| Corners::from_log(corners.each().map(|one| Inches(one.inches())));
        for (is, left) in on_hinges(inches(moved)).iter().zip(on_hinges(found.left)) {
            prop_assert!((is.get() - left.get()).abs() < 5e-6, "{is:?} {left:?}");
        }
        let turned = [(hinges[0], n(turn[0], 256)), (hinges[1], n(turn[1], 256))];
        let moved = after(&corners, n(30, 1), side, &turned).unwrap();
        let by: Vec<f64> = moved.each().iter().zip(corners.each()).map(|(is, was)| is.inches() - was.inches()).collect();
        // Lower left, lower right, upper left, upper right of a plane: the diagonals have one sum.
        prop_assert!((by[0] + by[3] - by[1] - by[2]).abs() < 5e-6, "{by:?}");
        let latch = if right { [by[0], by[2]] } else { [by[1], by[3]] };
        prop_assert!((latch[0] + latch[1]).abs() < 5e-6, "{by:?}");
        let hinge_edge = if right { [by[1], by[3]] } else { [by[0], by[2]] };
        let at = |y: f64| hinge_edge[0] + (hinge_edge[1] - hinge_edge[0]) * y / 30.0;
        for (hinge, forward) in turned {
            prop_assert!((at(hinge.inches()) - forward.inches()).abs() < 5e-6, "{by:?}");
        }
    }
}
