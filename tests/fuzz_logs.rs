//! Damaged logs, settings and events by the thousand: never a panic, never a wrong event.
//! `EVENREVEAL_FUZZ_CASES` sets how many (a million takes about a minute in release).

use evenreveal::shop::check::check;
use evenreveal::shop::event::{Event, FORMAT, Header, Record};
use evenreveal::shop::line::{read_event, write_header, write_record};
use evenreveal::shop::log::Contents;
use evenreveal::shop::replay::OpeningState;
use evenreveal::shop::settings::Settings;
use rand::seq::IndexedRandom;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use serde_json::{Value, json};

fn cases() -> usize {
    std::env::var("EVENREVEAL_FUZZ_CASES").ok().and_then(|text| text.parse().ok()).unwrap_or(5_000)
}

fn history() -> Vec<Value> {
    vec![
        json!({"event":"opening","gaps":[{"between":["frame","A.left"],"target":"3/32"},
            {"between":["A.right","B.left"],"target":"1/8","offset":"1/4"},{"between":["A.top","frame"],"target":"3/32"}],
            "tolerance":"1/64","survey":{"widths":["22","22","22"],"heights":null,"diagonals":["30","30 1/16"]}}),
        json!({"event":"leaf","leaf":"A","width":"11","height":"26","hinge":"left",
            "motion":{"hung":{"hinges":["3","23"],"pack":"1/16","let_in":"1/32","stock":["0.011"]}}}),
        json!({"event":"leaf","leaf":"B","name":"right door","width":"279mm","height":"26","may_cut":["left"],"solid":true}),
        json!({"event":"readings","round":1,"gaps":[{"between":["frame","A.left"],"readings":[{"at":"1","gap":"1/32"},
            {"at":"25","goes":"5/64","stops":"3/32"}]},{"between":["A.top","frame"],"readings":[{"at":"1","lap":"1/16"}]}]}),
        json!({"event":"plan","round":1,"verdict":"cut","prefer":"even-stiles",
            "trims":[{"leaf":"A","edge":"left","start":"1/16","end":"1/32"}]}),
        json!({"event":"cut","round":1,"leaf":"A","edge":"left","start":"1/16","end":"1/32","method":"rip",
            "settings":{"pad":"0.052","layers":[10,"tape"]}}),
        json!({"event":"pack","leaf":"A","hinge":"3","out":"0.011"}),
        json!({"event":"readings","round":2,"gaps":[{"between":["frame","A.left"],"readings":[{"at":"1","gap":"3/32"}]}]}),
        json!({"event":"flush","leaf":"A","corners":["0","1/64","-1/64","0"]}),
        json!({"event":"finish","leaf":"B","schedule":"oil"}),
        json!({"event":"note","text":"über \"quoted\" \u{1f6aa}\n"}),
        json!({"event":"strike","strikes":11,"why":"slip"}),
        json!({"event":"strike","strikes":12}),
        json!({"event":"hung","leaf":"A","motion":{"hung":{"hinges":["3","23"],"pack":"0","let_in":"0","stock":[],
            "adjust":{"height":{"from":"-1/8","to":"1/8"}}}}}),
        json!({"event":"pack","leaf":"A","hinge":"3","out":"0","up":"1/32"}),
        json!({"event":"altered","leaf":"A","edge":"left","added":"1/8"}),
        json!({"event":"remade","leaf":"B","width":"11 1/8","height":"26"}),
        json!({"event":"pin","leaf":"A","off_edge":"1/32","in_front":"-1/8","thickness":"7/8"}),
        json!({"event":"depth","leaf":"A","screws":[{"hinge":"3","forward":"-1/16"},{"hinge":"23","forward":"0"}]}),
    ]
}

fn event(value: &Value) -> Event {
    let Value::Object(map) = value else { panic!("not an object") };
    read_event(map.clone(), &mut Vec::new()).unwrap()
}

fn log_of(events: &[Event]) -> Vec<u8> {
    let header = Header { format: FORMAT.to_owned(), opening: "door".to_owned() };
    let mut text = write_header(&header).unwrap() + "\n";
    for (number, event) in events.iter().enumerate() {
        let record = Record { n: number as u64 + 1, at: "2026-03-02T14:05:11Z".to_owned(), event: event.clone() };
        text += &(write_record(&record).unwrap() + "\n");
    }
    text.into_bytes()
}

/// Everything that reads a log, on whatever it holds.
fn use_all(contents: &Contents) {
    let state = OpeningState::replay(&contents.records);
    let shop = Settings::default();
    let _ = state.stage();
    for round in 0..4 {
        let _ = state.shape(round, &shop);
        let _ = state.problem(round, &shop);
    }
}

fn damaged(rng: &mut ChaCha8Rng, whole: &[u8]) -> Vec<u8> {
    let mut bytes = whole.to_vec();
    for _ in 0..rng.random_range(1..4) {
        if bytes.is_empty() {
            break;
        }
        let at = rng.random_range(0..bytes.len());
        match rng.random_range(0..6) {
            0 => bytes[at] ^= 1 << rng.random_range(0..8),
            1 => bytes.truncate(at),
            2 => {
                bytes.remove(at);
            }
            3 => bytes.insert(at, *b"\"{}[],:\n\0\xff0".choose(rng).unwrap()),
            4 => {
                let end = (at + rng.random_range(1..80)).min(bytes.len());
                let part = bytes[at..end].to_vec();
                let to = rng.random_range(0..=bytes.len());
                bytes.splice(to..to, part);
            }
            _ => {
                let end = (at + rng.random_range(1..80)).min(bytes.len());
                bytes[at..end].fill(0);
            }
        }
    }
    bytes
}

#[test]
fn damaged_logs_give_only_events_that_were_written() {
    let events: Vec<Event> = history().iter().map(event).collect();
    let whole = log_of(&events);
    let good = Contents::read(&whole);
    assert_eq!(good.records.len(), events.len());
    assert_eq!(good.records.iter().map(|record| record.event.clone()).collect::<Vec<_>>(), events);
    let mut rng = ChaCha8Rng::seed_from_u64(20_260_302);
    let mut noticed = 0;
    for case in 0..cases() {
        let bytes = damaged(&mut rng, &whole);
        let contents = Contents::read(&bytes);
        assert_eq!(contents.records, good.records[..contents.records.len()], "case {case}");
        noticed += usize::from(contents.records.len() < events.len() || contents.trouble.is_some());
        use_all(&contents);
    }
    println!("{noticed} of {} damaged logs lost events or are in trouble", cases());
    assert!(noticed * 2 > cases(), "the damage hardly ever shows: {noticed}");
}

/// A value somewhere in `value` is replaced, removed or doubled.
fn twist(rng: &mut ChaCha8Rng, value: &mut Value) {
    let strange = |rng: &mut ChaCha8Rng| {
        let strange = [
            json!(null),
            json!(-1),
            json!(0),
            json!(4_294_967_296_u64),
            json!(1e308),
            json!("1/0"),
            json!("-1/64"),
            json!("99999999999999999999"),
            json!("1199"),
            json!("frame"),
            json!("A.left"),
            json!("Z.top"),
            json!(""),
            json!([]),
            json!({}),
            json!("0"),
            json!("26"),
            json!("26 1/10000"),
            json!("\u{0}"),
            json!(true),
            json!("1/9999"),
            json!("1/9973"),
            json!("0.00000000000000000001"),
            json!(2),
        ];
        strange.choose(rng).unwrap().clone()
    };
    match value {
        Value::Object(map) if !map.is_empty() && rng.random_bool(0.85) => {
            let key = map.keys().nth(rng.random_range(0..map.len())).unwrap().clone();
            if rng.random_bool(0.1) {
                map.shift_remove(&key);
            } else if let Some(inner) = map.get_mut(&key) {
                twist(rng, inner);
            }
        }
        Value::Array(items) if !items.is_empty() && rng.random_bool(0.85) => {
            let place = rng.random_range(0..items.len());
            if rng.random_bool(0.2) {
                items.push(items[place].clone());
            } else {
                twist(rng, &mut items[place]);
            }
        }
        other => *other = strange(rng),
    }
}

#[test]
fn twisted_events_are_refused_with_a_field_or_can_be_replayed() {
    let history = history();
    let mut rng = ChaCha8Rng::seed_from_u64(7);
    let (mut unreadable, mut refused, mut accepted) = (0, 0, 0);
    for case in 0..cases() {
        let before = rng.random_range(0..=history.len());
        let records: Vec<Record> = history[..before]
            .iter()
            .enumerate()
            .map(|(number, value)| Record { n: number as u64 + 1, at: String::new(), event: event(value) })
            .collect();
        let state = OpeningState::replay(&records);
        let mut value = history.choose(&mut rng).unwrap().clone();
        twist(&mut rng, &mut value);
        let Value::Object(map) = value else { continue };
        let event = match read_event(map, &mut Vec::new()) {
            Ok(event) => event,
            Err(error) => {
                assert!(error.to_string().contains(": "), "case {case}: no field in '{error}'");
                unreadable += 1;
                continue;
            }
        };
        // A replay is for whatever a file holds, accepted or not.
        let mut after = records.clone();
        after.push(Record { n: before as u64 + 1, at: String::new(), event: event.clone() });
        let contents = Contents { records: after.clone(), ..Contents::default() };
        use_all(&contents);
        if let Err(error) = check(&records, &state, &event) {
            assert!(!error.field.is_empty() && !error.why.is_empty(), "case {case}");
            refused += 1;
            continue;
        }
        let astray = OpeningState::replay(&after).astray;
        assert_eq!(astray, state.astray, "case {case}: accepted but astray: {event:?}");
        // What is accepted can be written and is the same when read again.
        let events: Vec<Event> = after.into_iter().map(|record| record.event).collect();
        let again = Contents::read(&log_of(&events));
        let read: Vec<Event> = again.records.into_iter().map(|record| record.event).collect();
        assert_eq!(read, events, "case {case}");
        accepted += 1;
    }
    println!("{unreadable} unreadable, {refused} refused, {accepted} accepted");
    assert!(unreadable > 0 && refused > 0 && accepted > 0);
}

#[test]
fn twisted_settings_are_refused_with_a_field_or_kept_whole() {
    use evenreveal::shop::files::{Files, RealFiles};
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("shop.json");
    let good = json!({"format":"evenreveal-shop/1","name":"x","show":{"fraction":64},"feelers":["1/64","1/32"],
        "stock":[{"name":"tape","thickness":"0.0055","measured":{"stack":{"layers":10,"total":"0.055"}},"later":1}],
        "saws":[{"name":"saw","fence_before":"12","fence_behind":"10","kerf":"1/8","finest_move":"1/64"}],
        "planes":[{"name":"block","shaving":"0.001","measured":"single"}],
        "tolerance":"1/64","risk_k":2.0,"prefer":"least-wood","newer":{"a":[1,2]}});
    let mut rng = ChaCha8Rng::seed_from_u64(11);
    let (mut refused, mut read) = (0, 0);
    // Settings go through the disk: a share of the cases is enough.
    for case in 0..(cases() / 10).clamp(200, 20_000) {
        let mut value = good.clone();
        twist(&mut rng, &mut value);
        let bytes = if case % 4 == 0 {
            damaged(&mut rng, value.to_string().as_bytes())
        } else {
            value.to_string().into_bytes()
        };
        std::fs::write(&path, &bytes).unwrap();
        match evenreveal::shop::keeping::read(&RealFiles, &path) {
            Err(error) => {
                assert!(error.to_string().contains("shop.json"), "{error}");
                refused += 1;
            }
            Ok(file) => {
                assert!(file.settings().check().is_ok());
                read += 1;
            }
        }
        assert_eq!(RealFiles.read(&path).unwrap(), bytes, "reading changed the file");
    }
    println!("{refused} refused, {read} read");
    assert!(refused > 0 && read > 0);
}
