//! Median time of a plan, for one leaf and for a pair, on the problems of `tests/data/plans`.
//! Run: `cargo bench --bench solve`. The outside library's time on them is printed by
//! `make_plans.py`.

use evenreveal::contract::to_problem;
use evenreveal::fit::plan::{Options, plan};
use std::time::Instant;

fn main() {
    let path = format!("{}/tests/data/plans/plans.json", env!("CARGO_MANIFEST_DIR"));
    let Ok(text) = std::fs::read_to_string(&path) else {
        println!("{path} cannot be read");
        return;
    };
    let file: serde_json::Value = serde_json::from_str(&text).unwrap_or_default();
    let mut times: [Vec<f64>; 3] = [Vec::new(), Vec::new(), Vec::new()];
    for case in file["cases"].as_array().into_iter().flatten() {
        let Ok(asked) = to_problem(&case["problem"]) else { continue };
        let best = (0..5)
            .map(|_| {
                let began = Instant::now();
                std::hint::black_box(plan(&asked.problem, Options::default()).is_ok());
                began.elapsed().as_secs_f64() * 1e6
            })
            .fold(f64::INFINITY, f64::min);
        if let Some(list) = times.get_mut(asked.problem.leaves.len() - 1) {
            list.push(best);
        }
    }
    for (leaves, list) in times.iter_mut().enumerate() {
        list.sort_by(f64::total_cmp);
        if let (Some(median), Some(slowest)) = (list.get(list.len() / 2), list.last()) {
            println!("{} leaves: {} problems, median {median:.0} us, slowest {slowest:.0} us", leaves + 1, list.len());
        }
    }
}
