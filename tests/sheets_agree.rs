//! The word on the plan, on the screen and in `plan`, is the method of the sheet that is shown for it.

#[path = "common/program.rs"]
#[allow(dead_code)]
mod program;
#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::Screen;
use evenreveal::bench::recording::Job;
use evenreveal::cut::job::Method;
use evenreveal::fit::length::Length;
use program::Home;
use rand::seq::SliceRandom;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use screen_bench::Bench;
use serde_json::json;

/// A single leaf of random size, its gaps read exactly at two stations an edge (random, invented).
fn opening(rng: &mut ChaCha8Rng) -> String {
    let sixteenths = |rng: &mut ChaCha8Rng, from: i64, to: i64| Length::ratio(rng.random_range(from * 16..to * 16), 16);
    let (width, height) = (sixteenths(rng, 6, 24), sixteenths(rng, 6, 36));
    let between = [["frame", "A.left"], ["A.right", "frame"], ["frame", "A.bottom"], ["A.top", "frame"]];
    let gaps: Vec<_> = between.iter().map(|between| json!({ "between": between, "target": "3/32" })).collect();
    let tight = rng.random_range(4..24);
    let read: Vec<_> = between
        .iter()
        .enumerate()
        .map(|(place, between)| {
            let along = if place < 2 { height } else { width };
            let far = along.checked_sub(Length::ratio(1, 1)).unwrap();
            let mut gap = || Length::ratio(rng.random_range(0..tight), 128).canonical();
            let stations: Vec<_> =
                ["1\"".to_owned(), far.canonical()].into_iter().map(|at| json!({ "at": at, "gap": gap() })).collect();
            json!({ "between": between, "readings": stations })
        })
        .collect();
    let events = [
        json!({ "event": "opening", "gaps": gaps }),
        json!({ "event": "leaf", "leaf": "A", "width": width.canonical(), "height": height.canonical(), "hinge": "left",
            "solid": rng.random_bool(0.3) }),
        json!({ "event": "readings", "round": 1, "gaps": read }),
    ];
    events.iter().map(ToString::to_string).collect()
}

/// What the plan's line says after its last semicolon, by edge.
fn words_of_the_plan(bench: &Bench) -> Vec<(String, String)> {
    let Some(Screen::Plan(plan)) = bench.session.screen() else { panic!("{}", bench.text()) };
    let shown: String = screen_bench::text(&bench.buffer((200, 60), evenreveal::screen::theme::Palette::Plain));
    let words = plan.cuts().iter().map(|cut| {
        let line =
            shown.lines().find(|line| line.trim_start().starts_with(cut.edge.word()) && line.contains("; line "));
        let line = line.unwrap_or_else(|| panic!("no line for the {} edge on\n{shown}", cut.edge));
        (cut.edge.word().to_owned(), line.rsplit("; ").next().unwrap().trim().to_owned())
    });
    words.collect()
}

/// What the sheet of a method is called on the plan.
fn said(method: Method) -> &'static str {
    match method {
        Method::Rip => "rip",
        Method::Sled => "sled",
        Method::GuideLine => "guide line",
        Method::Plane => "plane",
        Method::SandingBlock => "sanding block",
    }
}

#[test]
fn the_word_on_the_plan_is_the_method_of_the_sheet_that_follows() {
    let mut rng = ChaCha8Rng::seed_from_u64(41);
    let mut met = Vec::new();
    let (mut cuts, mut deep) = (0, 0);
    for case in 0..40 {
        let events = opening(&mut rng);
        let mut bench = Bench::with(&[("left door", &events)]);
        let mut ranking = Method::ALL.to_vec();
        if case % 2 == 1 {
            ranking.shuffle(&mut rng);
            bench.session.shop.settings.ranking = ranking;
        }
        let seen = bench.session.shop.clone();
        bench.runner.run(evenreveal::bench::Effect::SaveSettings(Box::new(seen.settings.clone())));
        bench.press("\rp");
        let words = words_of_the_plan(&bench);
        let printed = Home::new().run(&["--shop", bench.dir.path().to_str().unwrap(), "plan", "left door"], "");
        for (edge, by) in &words {
            let line = printed.out.lines().find(|line| line.contains(&format!("take off now: {edge}")));
            assert!(line.is_some_and(|line| line.ends_with(&format!("; {by}"))), "{by}: {}", printed.out);
        }
        bench.press("a");
        if words.is_empty() || !matches!(bench.session.screen(), Some(Screen::Record(_))) {
            continue;
        }
        let plan = bench.session.opened.as_ref().unwrap().state.latest().unwrap().plan.clone().unwrap().what;
        for _ in 0..words.len() {
            let Some(Screen::Record(record)) = bench.session.screen() else { panic!("{}", bench.text()) };
            let Some(Job::Trim(trim)) = record.job().cloned() else { panic!("{record:?}") };
            let sheet = record.sheet.clone().unwrap();
            let method = sheet.sheet.setup.method();
            let by = &words.iter().find(|(edge, _)| edge == trim.edge.word()).unwrap().1;
            let (name, passes) = by.split_once(" passes").map_or((by.as_str(), None), |(all, _)| {
                let (name, count) = all.rsplit_once(", ").unwrap();
                (name, Some(count.parse::<u32>().unwrap()))
            });
            assert_eq!(name, said(method), "case {case}, {} edge: {by}\n{}", trim.edge, bench.text());
            assert_eq!(passes, sheet.pass.as_ref().map(|pass| pass.of), "case {case}: {by}");
            let sawn = matches!(method, Method::Rip | Method::Sled | Method::GuideLine);
            let place = plan.trims.iter().position(|planned| planned.edge == trim.edge).unwrap();
            assert_eq!(plan.means[place], if sawn { "saw" } else { "plane" }, "case {case}");
            cuts += 1;
            deep += u32::from(passes.is_some());
            met.push(method);
            while let Some(Screen::Record(record)) = bench.session.screen() {
                let here = matches!(record.job(), Some(Job::Trim(now)) if now.edge == trim.edge);
                if !here {
                    break;
                }
                bench.press("d");
            }
        }
    }
    assert!(cuts > 40, "{cuts}");
    for method in Method::ALL {
        assert!(met.contains(&method), "never met {method:?}: {met:?}");
    }
    assert!(deep > 0, "never more than a kerf");
}
