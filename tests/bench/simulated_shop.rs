//! The whole table of the simulated shop: `cargo bench --bench simulated_shop [-- FIRST COUNT]`.
//! Tuning used seeds below 1,000,000; the default block was never used for it.

#[path = "../simulated_shop/desk.rs"]
mod desk;
#[path = "../simulated_shop/hands.rs"]
mod hands;
#[path = "../simulated_shop/report.rs"]
mod report;
#[path = "../simulated_shop/tool.rs"]
mod tool;
#[path = "../simulated_shop/truth.rs"]
mod truth;

use evenreveal::bench::rounds::{self, Choice};
use evenreveal::fit::policy::Policy;
use evenreveal::shop::OpeningState;
use evenreveal::shop::settings::Settings;
use tool::Shop;

fn main() {
    let numbers: Vec<u64> = std::env::args().filter_map(|arg| arg.parse().ok()).collect();
    let first = numbers.first().copied().unwrap_or(7_000_000);
    let count = numbers.get(1).copied().unwrap_or(1_000);
    let seeds = first..first + count;
    println!("simulated shop, {count} openings, seeds from {first}");
    for (name, list) in report::all_plain(seeds.clone()) {
        print!("{name}\n{}", report::plain_table(&list));
    }
    let middle = first + count / 2;
    let shop = Shop { tuned: tuned(), ..Shop::default() };
    let list = std::thread::scope(|scope| {
        let half = scope.spawn(|| report::tool(first..middle, &shop));
        let mut rest = report::tool(middle..first + count, &shop);
        let mut list = half.join().expect("the other half");
        list.append(&mut rest);
        list
    });
    print!("the tool\n{}", report::tool_table(&list));
    if std::env::var_os("EVENREVEAL_SIM_BAD").is_some() {
        for (seed, one) in (first..).zip(&list) {
            if one.end != tool::Ended::Fitted || one.worst > truth::TOLERANCE || !one.note.is_empty() {
                println!("{seed} {one:?}");
            }
        }
    }
}

/// The shop's own policy with overrides, for tuning only: `EVENREVEAL_SIM=doubt=0.01,plan_to=0.5`.
fn tuned() -> Option<Policy> {
    let overrides = std::env::var("EVENREVEAL_SIM").ok()?;
    let mut policy = rounds::policy(&OpeningState::default(), &Settings::default(), Choice::default());
    for pair in overrides.split(',') {
        let Some((name, value)) = pair.split_once('=') else { continue };
        let Ok(value) = value.parse::<f64>() else { continue };
        match name {
            "doubt" => policy.doubt = value,
            "plan_to" => policy.plan_to = value,
            "ask_from" => policy.ask_from = value,
            "look_from" => policy.look_from = value,
            "sure_from" => policy.sure_from = value,
            "most" => policy.most_readings = value as usize,
            "spare" => policy.plane_spare = value,
            "k" => policy.risk.k = value,
            "saw_from" => policy.saw_from.0 = value,
            _ => println!("no such setting: {name}"),
        }
    }
    Some(policy)
}
