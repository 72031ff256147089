//! How long a shop of 1,000 openings with 50 events each takes to list, and one of them to open; and how long
//! what `evenreveal list` works out takes for 1,000 doors that are on their way: a fifth of them not read yet, the
//! others in their first to fourth round.
//! `cargo bench --bench shop_list`

use evenreveal::shell::desk::Desk;
use evenreveal::shop::event::{Event, FORMAT, Header, Record};
use evenreveal::shop::figures::Figures;
use evenreveal::shop::files::RealFiles;
use evenreveal::shop::line::{write_header, write_record};
use evenreveal::shop::{Access, Shop};
use serde_json::json;
use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

const OPENINGS: usize = 1_000;
const EVENTS: usize = 50;

fn log(name: &str) -> String {
    let gaps = [["frame", "A.left"], ["A.right", "frame"], ["frame", "A.bottom"], ["A.top", "frame"]];
    let stations = |length: &str| json!([{"at":"1","goes":"5/64","stops":"3/32"},{"at":"6","gap":"3/32"},{"at":length,"goes":"3/32","stops":"7/64"}]);
    let mut events = vec![
        json!({"event":"opening","gaps":gaps.map(|between| json!({"between":between,"target":"3/32"}))}),
        json!({"event":"leaf","leaf":"A","width":"11","height":"26","hinge":"left"}),
    ];
    for round in 1.. {
        let read: Vec<_> = gaps
            .iter()
            .map(|between| json!({"between":between,"readings":stations(if between.concat().contains("ft") {"25"} else {"10"})}))
            .collect();
        let trim = |edge: &str| json!({"leaf":"A","edge":edge,"start":"1/64","end":"1/128"});
        let cut = |edge: &str| json!({"event":"cut","round":round,"leaf":"A","edge":edge,"start":"1/64","end":"1/128","method":"plane"});
        events.extend([
            json!({"event":"readings","round":round,"gaps":read}),
            json!({"event":"plan","round":round,"verdict":"cut","trims":[trim("left"),trim("top")]}),
            cut("left"),
            cut("top"),
        ]);
        if events.len() >= EVENTS {
            break;
        }
    }
    events.truncate(EVENTS);
    written(name, events)
}

/// What the edges of a door still have too much of at both ends, in 64ths (invented, no source).
fn too_much(number: usize) -> [[f64; 2]; 4] {
    let mut state = (number as u64 + 1).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    let mut next = || {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 40) as f64 / (1_u64 << 24) as f64 * 5.0
    };
    std::array::from_fn(|_| [next(), next()])
}

/// A door on its way: `rounds` rounds read, each but the last with its cuts.
fn on_its_way(name: &str, number: usize, rounds: usize) -> String {
    let lines = [["frame", "A.left"], ["A.right", "frame"], ["frame", "A.bottom"], ["A.top", "frame"]];
    let mut events = vec![
        json!({"event":"opening","gaps":lines.map(|between| json!({"between":between,"target":"3/32"}))}),
        json!({"event":"leaf","leaf":"A","width":"11","height":"26","hinge":"left"}),
    ];
    let edges = ["left", "right", "bottom", "top"];
    let mut left = too_much(number);
    for round in 1..=rounds {
        let gaps: Vec<_> = lines
            .iter()
            .zip(left)
            .enumerate()
            .map(|(line, (between, [low, high]))| {
                let along = if line < 2 { ["1", "13", "25"] } else { ["1", "5 1/2", "10"] };
                let gap = [6.0 - low, 6.0 - f64::midpoint(low, high), 6.0 - high].map(|gap| gap.max(0.0).floor());
                let goes = along.iter().zip(gap).map(|(at, gap)| match gap as u32 {
                    0 => json!({"at":at,"gap":"0"}),
                    gap => json!({"at":at,"goes":format!("{gap}/64"),"stops":format!("{}/64", gap + 1)}),
                });
                json!({"between":between,"readings":goes.collect::<Vec<_>>()})
            })
            .collect();
        events.push(json!({"event":"readings","round":round,"gaps":gaps}));
        if round == rounds {
            break;
        }
        for (edge, ends) in edges.iter().zip(&mut left) {
            let take = ends.map(|end| (end * 0.75 * 4.0).round() / 4.0);
            let method = if take[0].max(take[1]) > 1.0 { "rip" } else { "plane" };
            let [start, end] = take.map(|take| format!("{}/256", (take * 4.0) as u32));
            events.push(
                json!({"event":"cut","round":round,"leaf":"A","edge":edge,"start":start,"end":end,"method":method}),
            );
            *ends = [ends[0] - take[0], ends[1] - take[1]];
        }
    }
    written(name, events)
}

fn written(name: &str, events: Vec<serde_json::Value>) -> String {
    let mut text =
        write_header(&Header { format: FORMAT.to_owned(), opening: name.to_owned() }).expect("a header") + "\n";
    for (number, value) in events.into_iter().enumerate() {
        let event: Event = serde_json::from_value(value).expect("an event");
        let record = Record { n: number as u64 + 1, at: "2026-03-02T14:05:11Z".to_owned(), event };
        text += &(write_record(&record).expect("a line") + "\n");
    }
    text
}

fn fill(dir: &Path, log: impl Fn(&str, usize) -> String) -> usize {
    let openings = dir.join("openings");
    std::fs::create_dir_all(&openings).expect("a folder");
    let mut bytes = 0;
    for number in 0..OPENINGS {
        let name = format!("opening {number:04}");
        let text = log(&name, number);
        bytes += text.len();
        std::fs::write(openings.join(format!("{name}.jsonl")), text).expect("a file");
    }
    bytes
}

fn median(times: usize, mut work: impl FnMut()) -> Duration {
    let mut taken: Vec<Duration> = (0..times)
        .map(|_| {
            let start = Instant::now();
            work();
            start.elapsed()
        })
        .collect();
    taken.sort_unstable();
    taken[taken.len() / 2]
}

fn main() {
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let dir = tempfile::tempdir().expect("a folder");
    let bytes = fill(dir.path(), |name, _| log(name));
    println!("{OPENINGS} openings, {EVENTS} events each, {:.1} MB, {threads} threads", bytes as f64 / 1e6);
    let shop = Shop::open(dir.path(), &Access::Look).expect("the shop");
    println!("list:           {:?}", median(11, || assert_eq!(shop.list().expect("a list").len(), OPENINGS)));
    println!("open one:       {:?}", median(21, || drop(shop.opening("opening 0777").expect("an opening"))));

    let dir = tempfile::tempdir().expect("a folder");
    let bytes = fill(dir.path(), |name, number| on_its_way(name, number, number % 5));
    println!("{OPENINGS} doors on their way, {:.1} MB", bytes as f64 / 1e6);
    let shop = Shop::open(dir.path(), &Access::Look).expect("the shop");
    println!("list:           {:?}", median(5, || assert_eq!(shop.list().expect("a list").len(), OPENINGS)));
    let openings = shop.list().expect("a list");
    let read: Vec<String> = openings.iter().filter(|one| one.worst.is_some()).map(|one| one.file.clone()).collect();
    println!("noted:          {:?}", median(3, || Desk::new(shop.shelf()).note_all(shop.settings())));
    let noted_in = dir.path().join("figures.json");
    let noted = || Figures::kept(Arc::new(RealFiles), noted_in.clone(), "this build");
    let whole = |mut desk: Desk| {
        assert_eq!(desk.passes(&read, shop.settings()).len(), read.len());
        desk.save();
    };
    println!("passes of {}:  {:?}", read.len(), median(3, || whole(Desk::new(shop.shelf()))));
    println!("the first time: {:?}", median(1, || whole(Desk::with(shop.shelf(), noted()))));
    println!("ever after:     {:?}", median(5, || whole(Desk::with(shop.shelf(), noted()))));
}
