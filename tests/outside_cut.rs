//! The cut against figures from outside this project.

use evenreveal::cut::geometry::{Bearing, pad_tilt, rip_removal, sine_bar_height, tilt};
use evenreveal::cut::job::End;
use evenreveal::cut::tools::starting_stock;
use evenreveal::fit::length::{Inches, Radians};

fn degrees(whole: f64, minutes: f64, seconds: f64) -> f64 {
    (whole + minutes / 60.0 + seconds / 3600.0).to_radians()
}

/// A pad is a sine bar: its corner and the pivot are the two bearings, `bar` apart.
fn tilt_of_bar(bar: f64, height: f64) -> f64 {
    pad_tilt(Inches(height), Inches((bar * bar - height * height).sqrt())).0
}

/// Published: *Handbook of Machining and Metalworking Calculations*, ch. 4: a 5 in sine bar at
/// 34°25′ is raised 2.826 in.
#[test]
fn sine_bar_of_the_machining_handbook() {
    let height = sine_bar_height(Inches(5.0), Radians(degrees(34.0, 25.0, 0.0)));
    assert!((height.get() - 2.826).abs() < 0.0005, "{height:?}");
    // The other way: the published height gives the published angle, to what three decimals allow.
    assert!((tilt_of_bar(5.0, 2.826) - degrees(34.0, 25.0, 0.0)).abs() < 0.0005 / 5.0 / 0.825 + 1e-9);
}

/// Published: *Manufacturing Processes and Materials*, 4th ed., SME 2000, fig. 10.4: 127 mm bar,
/// rolls at 25.400 and 89.794 mm: sine 0.50704, angle 30°28′.
#[test]
fn sine_bar_of_the_manufacturing_book() {
    let angle = tilt_of_bar(127.0, 89.794 - 25.4);
    assert!((angle.sin() - 0.50704).abs() < 0.000_005, "{}", angle.sin());
    assert!((angle - degrees(30.0, 28.0, 0.0)).abs() < degrees(0.0, 0.5, 0.0));
}

/// From memory, not seen: *Machinery's Handbook*, constants for a 5-inch sine bar (exact arithmetic,
/// so the check is of ours against 5·sin).
#[test]
fn sine_bar_constants_from_memory() {
    for (angle, constant) in [(1.0, 0.08726), (2.0, 0.17450), (5.0, 0.43578), (10.0, 0.86824), (30.0, 2.50000)] {
        let height = sine_bar_height(Inches(5.0), Radians(degrees(angle, 0.0, 0.0)));
        assert!((height.get() - constant).abs() < 0.000_006, "{angle}: {height:?}");
        assert!((tilt_of_bar(5.0, constant) - degrees(angle, 0.0, 0.0)).abs() < 3e-6, "{angle}");
    }
}

/// Published table, book unnamed ("Tapers per Foot and Corresponding Angles", scanned shop manual,
/// title page not seen): taper per foot and the angle with the centre line; all within 4″ of atan(T/24).
/// Half the taper lies on each side of the centre line: a pad of T/2 at 12 in.
#[test]
fn tapers_per_foot() {
    for (taper, angle) in [
        (0.125, degrees(0.0, 17.0, 54.0)),
        (0.25, degrees(0.0, 35.0, 48.0)),
        (0.5, degrees(1.0, 11.0, 35.0)),
        (0.75, degrees(1.0, 47.0, 22.0)),
        (1.0, degrees(2.0, 23.0, 9.0)),
        (1.5, degrees(3.0, 34.0, 35.0)),
        (2.0, degrees(4.0, 45.0, 48.0)),
        (3.0, degrees(7.0, 7.0, 30.0)),
        (4.0, degrees(9.0, 27.0, 44.0)),
    ] {
        let pad = Bearing { at: Inches(12.0), thickness: Inches(taper / 2.0) };
        let turned = tilt(&[pad]).unwrap().0;
        assert!((turned - angle).abs() <= degrees(0.0, 0.0, 4.0), "{taper}: {turned} {angle}");
        // And the rip cuts that taper: half of it over a foot of a parallel leaf.
        let (start, end) = rip_removal(Inches(8.0), Inches(8.0), Inches(12.0), End::Start, &[pad], Inches(7.5));
        assert!((end.get() - start.get() - taper / 2.0).abs() < 1e-12);
    }
}

/// Published: ISO/IEC 7810: an identification card is 0.76 ± 0.08 mm.
#[test]
fn an_identification_card() {
    let card = starting_stock().into_iter().find(|stock| stock.name.contains("ID card")).unwrap();
    assert!((card.thickness.inches() * 25.4 - 0.76).abs() < 1e-12);
    assert!(card.standard_uncertainty().get() * 25.4 >= 0.08 / 3.0, "wide enough for the standard's own tolerance");
}
