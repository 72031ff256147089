//! How long a shop of 1,000 openings with 50 events each takes to list, and one of them to open.
//! `cargo bench --bench shop_list`

use evenreveal::shop::event::{Event, FORMAT, Header, Record};
use evenreveal::shop::line::{write_header, write_record};
use evenreveal::shop::{Access, Shop};
use serde_json::json;
use std::path::Path;
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
    let mut text =
        write_header(&Header { format: FORMAT.to_owned(), opening: name.to_owned() }).expect("a header") + "\n";
    for (number, value) in events.into_iter().enumerate() {
        let event: Event = serde_json::from_value(value).expect("an event");
        let record = Record { n: number as u64 + 1, at: "2026-03-02T14:05:11Z".to_owned(), event };
        text += &(write_record(&record).expect("a line") + "\n");
    }
    text
}

fn fill(dir: &Path) -> usize {
    let openings = dir.join("openings");
    std::fs::create_dir_all(&openings).expect("a folder");
    let mut bytes = 0;
    for number in 0..OPENINGS {
        let name = format!("opening {number:04}");
        let text = log(&name);
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
    let dir = tempfile::tempdir().expect("a folder");
    let bytes = fill(dir.path());
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    println!("{OPENINGS} openings, {EVENTS} events each, {:.1} MB, {threads} threads", bytes as f64 / 1e6);
    let shop = Shop::open(dir.path(), &Access::Look).expect("the shop");
    println!("list:           {:?}", median(11, || assert_eq!(shop.list().expect("a list").len(), OPENINGS)));
    println!("open one:       {:?}", median(21, || drop(shop.opening("opening 0777").expect("an opening"))));
}
