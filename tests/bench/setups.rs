//! What rounding leaves, how often a rip set-up exists, and how long a set of set-ups takes.
//!
//! `cargo bench --bench setups`. Random tapers (invented, seeded): edge 12 to 36 in, leaf 6 in wide up
//! to the edge's length, 0 to 1/32 in off the thin end, 1/64 to 3/32 in more off the thick end, leaf
//! out of parallel by up to 1/16 in, starting saw (16 in of fence before the blade, 14 behind).

#[path = "../common/latch.rs"]
#[allow(dead_code)]
mod latch;

use evenreveal::cut::job::{Adjoining, CutJob, Kit, Method};
use evenreveal::cut::setup::{Setup, propose, propose_with};
use evenreveal::cut::tools::{Measured, ShimStock, starting_planes, starting_saws, starting_sleds, starting_stock};
use evenreveal::cut::words::Refusal;
use evenreveal::fit::length::{Inches, Length, Show, Unit};
use evenreveal::fit::opening::Edge;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use std::collections::BTreeMap;
use std::time::Instant;

fn job(rng: &mut ChaCha8Rng, edge: Edge) -> CutJob {
    let length = rng.random_range(12.0..36.0);
    let width: f64 = rng.random_range(6.0..length);
    let thin: f64 = rng.random_range(0.0..1.0 / 32.0);
    let thick = thin + rng.random_range(1.0 / 64.0..3.0 / 32.0);
    let (start, end) = if rng.random_bool(0.5) { (thin, thick) } else { (thick, thin) };
    let adjoining = Adjoining { length: Inches(width), out_of_square: Some(Inches(rng.random_range(-0.06..0.06))) };
    CutJob {
        width_end: Inches((width + rng.random_range(-1.0 / 16.0..1.0 / 16.0)).min(length)),
        adjoining: [adjoining; 2],
        ..latch::edge(edge, (length, width), (start, end))
    }
}

fn quantile(sorted: &[f64], share: f64) -> f64 {
    sorted.get(((sorted.len() as f64 - 1.0) * share).round() as usize).copied().unwrap_or(f64::NAN)
}

fn main() {
    let stock = |name: &str, ten_thousandths| ShimStock {
        name: name.to_owned(),
        thickness: Length::ratio(ten_thousandths, 10_000),
        measured: Measured::Single,
    };
    let tape = vec![stock("tape", 52)];
    let both = vec![stock("tape", 52), stock("card", 118)];
    let (saws, sleds, planes) = (starting_saws(Unit::Inch), starting_sleds(Unit::Inch), starting_planes());
    let mut fine = saws.clone();
    fine[0].finest_move = Length::ratio(1, 1000);
    let mut long = saws.clone();
    long[0].fence_before = Length::ratio(40, 1);
    long[0].fence_behind = Length::ratio(40, 1);
    for (name, stock, saws) in [
        ("tape only, fence to 1/128", &tape, &saws),
        ("tape + card, fence to 1/128", &both, &saws),
        ("tape only, fence to 0.001", &tape, &fine),
        ("tape + card, fence to 0.001", &both, &fine),
        ("tape only, fence 40 + 40 in", &tape, &long),
        ("tape + card, fence 40 + 40 in", &both, &long),
    ] {
        let mut rng = ChaCha8Rng::seed_from_u64(10_000);
        let kit = Kit::new(stock, saws, &sleds, &planes, Show::default());
        let (mut errors, mut stepped) = (Vec::new(), 0_u32);
        let mut refusals: BTreeMap<String, u32> = BTreeMap::new();
        for _ in 0..10_000 {
            let job = job(&mut rng, Edge::Right);
            let Ok(sheet) = propose_with(&job, &kit, Method::Rip) else { continue };
            if let Setup::Rip(rip) = &sheet.setup {
                errors.push(rip.fence_move.worst().get());
                stepped += u32::from(rip.pads.len() > 1);
            } else {
                let why: Option<Refusal> =
                    sheet.refused.iter().find(|refused| refused.method == Method::Rip).map(|refused| refused.why);
                *refusals.entry(format!("{why:?}")).or_default() += 1;
            }
        }
        errors.sort_by(f64::total_cmp);
        println!(
            "{name}: rip for {:.1} %, {stepped} stepped; worst-end error median {:.5}, p90 {:.5}, worst {:.5} in; refused {refusals:?}",
            errors.len() as f64 / 100.0,
            quantile(&errors, 0.5),
            quantile(&errors, 0.9),
            quantile(&errors, 1.0),
        );
    }
    for (name, stock) in [("tape + card", both), ("four starting stocks", starting_stock())] {
        let kit = Kit::new(&stock, &saws, &sleds, &planes, Show::default());
        let mut rng = ChaCha8Rng::seed_from_u64(77);
        let mut times = Vec::new();
        for _ in 0..1000 {
            let jobs = Edge::ALL.map(|edge| job(&mut rng, edge));
            let start = Instant::now();
            let sheets = jobs.iter().filter_map(|job| propose(job, &kit).ok()).count();
            times.push(start.elapsed().as_secs_f64() * 1e6);
            assert_eq!(sheets, 4);
        }
        times.sort_by(f64::total_cmp);
        println!(
            "{name}: one full set of set-ups (four edges, all methods tried): median {:.0} µs, p99 {:.0} µs, worst {:.0} µs",
            quantile(&times, 0.5),
            quantile(&times, 0.99),
            quantile(&times, 1.0)
        );
    }
}
