//! The shop folder on a real disk.

use super::store::{Access, Holder, Shop, ShopError};
use crate::shop::event::Event;
use serde_json::json;

const AT: &str = "2026-03-02T14:05:11Z";

fn holder() -> Access {
    Access::Write(Holder { pid: 1, host: "bench".to_owned(), since: AT.to_owned() })
}

fn event(value: serde_json::Value) -> Event {
    serde_json::from_value(value).unwrap()
}

fn door() -> Vec<Event> {
    vec![
        event(json!({"event":"opening","gaps":[{"between":["frame","A.left"],"target":"3/32"},
            {"between":["A.right","frame"],"target":"3/32"}]})),
        event(json!({"event":"leaf","leaf":"A","width":"11","height":"26","hinge":"left"})),
        event(json!({"event":"readings","round":1,"gaps":[{"between":["frame","A.left"],
            "readings":[{"at":"1","gap":"1/32"},{"at":"25","goes":"5/64","stops":"3/32"}]}]})),
    ]
}

#[test]
fn what_is_kept_is_there_again() {
    let dir = tempfile::tempdir().unwrap();
    {
        let shop = Shop::open(dir.path(), &holder()).unwrap();
        let mut opening = shop.create_opening("Left door / kitchen").unwrap();
        assert_eq!(opening.enter(door(), AT).unwrap(), [1, 2, 3]);
    }
    let shop = Shop::open(dir.path(), &Access::Look).unwrap();
    let opening = shop.opening("Left door / kitchen").unwrap();
    assert_eq!(opening.state().current_round(), 1);
    let problem = opening.state().problem(1, shop.settings()).unwrap();
    assert_eq!(problem.gaps[0].readings.len(), 2);
    let listed = shop.list().unwrap();
    assert_eq!(listed[0].name, "Left door / kitchen");
    assert_eq!(listed[0].events, 3);
    assert!(matches!(shop.opening("Left door"), Err(ShopError::NoOpening { near, .. }) if near.len() == 1));
}

#[test]
fn the_second_program_reads_only_and_says_who_holds_it() {
    let dir = tempfile::tempdir().unwrap();
    let first = Shop::open(dir.path(), &holder()).unwrap();
    let second = Shop::open(dir.path(), &holder()).unwrap();
    let why = second.read_only().unwrap().to_string();
    assert!(why.contains("process 1 on bench"), "{why}");
    assert!(matches!(second.create_opening("x"), Err(ShopError::ReadOnly(_))));
    drop((first, second));
    assert!(Shop::open(dir.path(), &holder()).unwrap().read_only().is_none());
}

#[test]
fn a_batch_with_a_bad_event_keeps_nothing() {
    let dir = tempfile::tempdir().unwrap();
    let shop = Shop::open(dir.path(), &holder()).unwrap();
    let mut opening = shop.create_opening("door").unwrap();
    let mut events = door();
    events.push(event(json!({"event":"readings","round":1,"gaps":[{"between":["A.right","frame"],
        "readings":[{"at":"27","gap":"1/32"}]}]})));
    let error = opening.enter(events, AT).unwrap_err().to_string();
    assert!(error.contains("event 4") && error.contains("gaps[0].readings[0].at"), "{error}");
    assert_eq!(opening.records().len(), 0);
    assert_eq!(std::fs::read_to_string(opening.path()).unwrap().lines().count(), 1);
}

#[test]
fn the_quick_summary_says_what_the_long_one_says() {
    let trim = json!([{"leaf":"A","edge":"left","start":"1/16","end":"1/32"},{"leaf":"A","edge":"top","start":"1/16","end":"0"}]);
    let cut =
        |edge: &str| json!({"event":"cut","round":1,"leaf":"A","edge":edge,"start":"1/16","end":"1/32","method":"rip"});
    let again = json!({"event":"readings","round":2,"gaps":[{"between":["frame","A.left"],"readings":[{"at":"1","gap":"3/32"}]}]});
    let mut events = door();
    events.extend(
        [
            json!({"event":"plan","round":1,"verdict":"cut","trims":trim}),
            cut("left"),
            json!({"event":"strike","strikes":5}),
            json!({"event":"strike","strikes":6}),
            cut("top"),
            json!({"event":"pack","leaf":"A","hinge":"3","out":"0.011"}),
            again,
            json!({"event":"plan","round":2,"verdict":"fitted"}),
            json!({"event":"strike","strikes":11}),
            json!({"event":"note","text":"\u{fc}ber \"x\""}),
        ]
        .map(event),
    );
    let dir = tempfile::tempdir().unwrap();
    let shop = Shop::open(dir.path(), &holder()).unwrap();
    let mut opening = shop.create_opening("door").unwrap();
    let mut stages = Vec::new();
    for event in events {
        opening.append(event, AT).unwrap();
        let bytes = std::fs::read(opening.path()).unwrap();
        let quick = super::summary::sketch(&bytes, "door.jsonl").expect("nothing is unusual");
        let long = super::summary::Summary::of(super::log::Contents::read(&bytes), "door.jsonl");
        assert_eq!(quick, long);
        assert_eq!(quick.stage, opening.state().stage());
        stages.push(quick.stage);
    }
    stages.dedup();
    assert!(stages.len() >= 7, "the story passes through few stages: {stages:?}");
    // Whatever is unusual is not sketched.
    let bytes = std::fs::read(opening.path()).unwrap();
    assert!(super::summary::sketch(&bytes[..bytes.len() - 3], "door.jsonl").is_none());
}
