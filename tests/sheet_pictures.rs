//! Set-up sheets where there is little room, and the sled's drawing from both hands.

#[path = "common/latch.rs"]
#[allow(dead_code)]
mod latch;
#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::recording::RecordCut;
use evenreveal::bench::{Screen, sheet_words};
use evenreveal::cut::job::{CutJob, Method};
use evenreveal::cut::picture::{Mark, Point, picture};
use evenreveal::cut::setup::{Setup, SetupSheet, propose_with};
use evenreveal::fit::length::Inches;
use evenreveal::fit::opening::Side;
use evenreveal::screen::theme::Palette;
use latch::{Shop, top};
use screen_bench::{Bench, SINGLE};

/// The same cut seen in a mirror: left is right, the hinge on the other side.
fn mirrored(job: &CutJob) -> CutJob {
    let [start, end] = job.adjoining;
    let other = |side: Side| if side == Side::Left { Side::Right } else { Side::Left };
    CutJob {
        start: job.end,
        end: job.start,
        width_start: job.width_end,
        width_end: job.width_start,
        adjoining: [end, start],
        hinge: job.hinge.map(other),
        ..job.clone()
    }
}

fn on_the_sled(job: &CutJob) -> SetupSheet {
    let sheet = propose_with(job, &Shop::new().kit(), Method::Sled).unwrap();
    assert_eq!(sheet.setup.method(), Method::Sled, "{sheet:?}");
    sheet
}

fn area(corners: &[Point]) -> f64 {
    let next = corners.iter().cycle().skip(1);
    corners.iter().zip(next).map(|(a, b)| a.x * b.y - b.x * a.y).sum::<f64>().abs() / 2.0
}

#[test]
fn the_sled_is_drawn_alike_from_both_hands() {
    let mut padded = 0;
    for (start, end) in [(0.08, 0.02), (0.02, 0.08), (0.05, 0.05), (0.0, 0.1), (0.1, 0.0)] {
        for out in [-0.03, 0.0, 0.03] {
            let mut job = top(start, end);
            job.adjoining[0].out_of_square = Some(Inches(out));
            job.adjoining[1].out_of_square = Some(Inches(-out));
            let other = mirrored(&job);
            let (sheet, mirror) = (on_the_sled(&job), on_the_sled(&other));
            let (Setup::Sled(one), Setup::Sled(two)) = (&sheet.setup, &mirror.setup) else { panic!() };
            assert_eq!(one.at, two.at.other(), "the other end's neighbour lies on the fence");
            assert_ne!(one.reference, two.reference);
            assert_eq!((&one.pads, one.stop_move.value), (&two.pads, two.stop_move.value));
            padded += usize::from(!one.pads.is_empty());
            for k in [1.0, 20.0] {
                let (drawn, again) = (picture(&job, &sheet, k), picture(&other, &mirror, k));
                assert_eq!(drawn, again, "{start} {end} {out}");
                // The shaded wood is what comes off, as many times larger.
                let (low, high) = evenreveal::cut::taken::taken(&sheet, evenreveal::cut::taken::Actual::default());
                let wood = f64::midpoint(low.get(), high.get()) * job.length.get() * k;
                assert!((area(&drawn.waste) - wood).abs() < 0.02 * wood + 1e-9, "{} for {wood}", area(&drawn.waste));
                let kissed = drawn.marks.iter().find(|(mark, _)| *mark == Mark::Kiss).unwrap().1;
                let furthest = drawn.leaf.iter().map(|corner| corner.x).fold(f64::NEG_INFINITY, f64::max);
                assert!((kissed.x - furthest).abs() < 1e-6 * k, "the blade kisses the corner that stands out most");
            }
        }
    }
    assert!(padded > 4, "{padded}");
}

fn at(plan: &str, hinge: &str) -> Bench {
    let single = SINGLE.replace("\"hinge\":\"left\"", &format!("\"hinge\":\"{hinge}\""));
    let events = format!(
        r#"{single}
        {{"event":"readings","round":1,"gaps":[{{"between":["A.right","frame"],"readings":[{{"at":"1","gap":"1/64"}}]}}]}}
        {{"event":"plan","round":1,"verdict":"cut","trims":[{plan}]}}"#
    );
    let mut bench = Bench::with(&[("left door", &events)]);
    bench.press("\rc");
    bench
}

fn record(bench: &Bench) -> &RecordCut {
    match bench.session.screen() {
        Some(Screen::Record(record)) => record,
        other => panic!("{other:?}"),
    }
}

/// Every method on every edge at every size down to the smallest: cautions before all else, then the numbers.
#[test]
fn cautions_and_numbers_stand_on_every_sheet_however_little_room() {
    let sizes = [(40, 12), (60, 18), (80, 24), (80, 30), (100, 30), (120, 40), (200, 60)];
    for hinge in ["left", "right"] {
        for (edge, start, end) in [
            ("top", "1/16", "1/64"),
            ("top", "1/64", "1/16"),
            ("right", "1/16", "7/64"),
            ("left", "3/16", "5/16"),
            ("bottom", "1/128", "1/32"),
        ] {
            let plan = format!(r#"{{"leaf":"A","edge":"{edge}","start":"{start}","end":"{end}"}}"#);
            let mut bench = at(&plan, hinge);
            for _ in Method::ALL {
                bench.press("m");
                let sheet = record(&bench).sheet.clone().unwrap();
                let show = bench.session.shop.show();
                for size in sizes {
                    for palette in [Palette::Colour, Palette::Plain] {
                        let text = screen_bench::text(&bench.buffer(size, palette));
                        let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
                        if size.0 < 80 {
                            continue;
                        }
                        for caution in &sheet.sheet.cautions {
                            let said = flat.contains(caution.short()) || flat.contains(caution.text());
                            assert!(said, "{size:?} {hinge} {edge}: no '{}' on\n{text}", caution.short());
                        }
                        assert!(!flat.contains(".."), "{size:?}: something is clipped\n{text}");
                        for (what, number) in numbers(&sheet.sheet.setup, show) {
                            // In one row: a number that is broken in two is not whole.
                            // Very many starts are told by whole inches and parts: tests/sheet_family.rs reads those.
                            let grouped = what == "start" && flat.contains("is 2 1/4) ");
                            let seen = grouped || text.contains(&number);
                            assert!(seen, "{size:?} {hinge} {edge}: no {what} {number} on\n{text}");
                        }
                        // All of them, or the first where passes or a refusal leave no room on a small screen.
                        let crowded = size.1 < 30 && (sheet.pass.is_some() || flat.contains("REFUSED"));
                        for (place, (label, _)) in sheet_words::figures(&sheet, show).into_iter().enumerate() {
                            let large = flat.contains(&label) || (crowded && place > 0);
                            assert!(large, "{size:?}: '{label}' is not large on\n{text}");
                        }
                    }
                }
            }
        }
    }
}

/// Every number that has to be set or marked.
fn numbers(setup: &Setup, show: evenreveal::fit::length::Show) -> Vec<(&'static str, String)> {
    let exact = |length| sheet_words::exact(length, show);
    match setup {
        Setup::Rip(rip) => {
            let pads = rip.pads.iter().map(|pad| ("pad at", exact(pad.at)));
            pads.chain([("move", exact(rip.fence_move.value))]).collect()
        }
        Setup::Sled(sled) => {
            let pads = sled.pads.iter().map(|pad| ("pad at", exact(pad.at)));
            pads.chain([("move", exact(sled.stop_move.value))]).collect()
        }
        Setup::GuideLine(line) => line.marks.iter().map(|mark| ("mark", format!("{} at", exact(mark.shown)))).collect(),
        Setup::Plane(planing) => planing.stopped.iter().map(|stroke| ("start", exact(stroke.mark))).collect(),
        Setup::SandingBlock(_) => Vec::new(),
    }
}
