//! A small set of the simulated shop, with fixed seeds and margins; the whole table is the benchmark
//! `cargo bench --bench simulated_shop`.

#[path = "simulated_shop/desk.rs"]
mod desk;
#[path = "simulated_shop/hands.rs"]
mod hands;
#[path = "simulated_shop/report.rs"]
mod report;
#[path = "simulated_shop/tool.rs"]
mod tool;
#[path = "simulated_shop/truth.rs"]
mod truth;

#[test]
fn doors_end_even_in_few_trips_with_none_spoiled() {
    let seeds = 500_000..500_120;
    let list = report::tool(seeds.clone(), &tool::Shop::default());
    print!("{}", report::tool_table(&list));
    let f = report::figures(&list);
    assert!(f.rounds[0] <= 3 && f.rounds[1] <= 4, "{:?}", f.rounds);
    assert!(f.within_possible.value() >= 0.97, "{}", f.within_possible.text());
    assert!(f.wide.value() <= 0.02, "{}", f.wide.text());
    assert!(f.fitted_true.value() >= 0.98, "{}", f.fitted_true.text());
    assert!(f.forecast.value() >= 0.9, "{}", f.forecast.text());
    assert!(f.questioned.value() <= 0.02, "{}", f.questioned.text());
    let second_looks: usize = list.iter().map(|one| one.confirming).sum();
    assert!(second_looks <= 15 * list.len(), "nobody walks the door twice: {second_looks} second looks");
    assert!(f.caught.of > 10 && f.caught.value() >= 0.75, "{}", f.caught.text());
    for (name, others) in report::all_plain(seeds) {
        let within = report::Share::of(&others, |one| one.worst <= truth::TOLERANCE);
        println!("{name}\n{}", report::plain_table(&others));
        if name == "hands" {
            assert!(within.value() < f.within.value() - 0.3, "hands alone do far worse: {}", within.text());
        }
    }
}

#[test]
fn the_same_seed_gives_the_same_opening() {
    let once = report::tool(3..6, &tool::Shop::default());
    let again = report::tool(3..6, &tool::Shop::default());
    assert_eq!(format!("{once:?}"), format!("{again:?}"));
}
