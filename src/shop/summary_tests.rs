//! The list's quick way of reading a log against its long way, over logs put together at random.

use super::check;
use super::contents::Contents;
use super::event::{Event, FORMAT, Header, Record};
use super::line;
use super::replay::{OpeningState, Stage};
use super::summary::{Summary, sketch};
use proptest::prelude::*;
use serde_json::{Value, json};

/// What may be said next, most of it of leaf A; `n` is the number of the event to strike.
fn says(kind: usize, round: u32, n: u64) -> Value {
    let hung = json!({"hung":{"hinges":["3","23"],"pack":"1/16","let_in":"1/32","stock":["0.03"]}});
    let edge = if n.is_multiple_of(2) { "left" } else { "top" };
    let left = json!({"between":["frame","A.left"],"readings":[{"at":"1","gap":"1/32"}]});
    let trims = json!([{"leaf":"A","edge":"left","start":"1/16","end":"1/32"},{"leaf":"A","edge":"top","start":"0","end":"1/64"}]);
    let pack = json!({"leaf":"A","hinge":"3","out":"0.03"});
    match kind {
        0 => {
            json!({"event":"opening","gaps":[{"between":["frame","A.left"],"target":"3/32"},{"between":["A.right","frame"],"target":"3/32"}]})
        }
        1 => json!({"event":"leaf","leaf":"A","width":"11","height":"26","hinge":"left"}),
        2 => json!({"event":"leaf","leaf":"A","width":"11","height":"26","hinge":"left","motion":hung}),
        3 => json!({"event":"leaf","leaf":"B","width":"11","height":"26"}),
        4..=6 => json!({"event":"readings","round":round,"gaps":[left]}),
        7 | 8 => json!({"event":"plan","round":round,"verdict":"cut","trims":trims,"means":["saw","plane"]}),
        9 => json!({"event":"plan","round":round,"verdict":"pack","packs":[pack],"trims":trims}),
        10 => json!({"event":"plan","round":round,"verdict":"fitted"}),
        11 | 12 => json!({"event":"cut","round":round,"leaf":"A","edge":edge,"start":"1/16","end":"0","method":"rip"}),
        13 => {
            json!({"event":"cut","round":round,"leaf":"A","edge":edge,"start":"1/16","end":"0","method":"rip","more":true})
        }
        14 => json!({"event":"pack","leaf":"A","hinge":"3","out":"0.03"}),
        15 | 16 => json!({"event":"hung","leaf":"A","motion":hung}),
        17 => json!({"event":"hung","leaf":"A","motion":"free"}),
        18 => json!({"event":"judged","reading":n,"between":["frame","A.left"],"station":"1","verdict":"struck"}),
        19 | 20 => json!({"event":"strike","strikes":n}),
        21 => json!({"event":"altered","leaf":"A","edge":edge,"added":"1/16"}),
        22 => json!({"event":"remade","leaf":"A","width":"11 1/8","height":"26"}),
        _ => json!({"event":"note","text":"wax"}),
    }
}

fn log(choices: &[(usize, u32, u64)]) -> (Vec<Record>, Vec<u8>) {
    let mut records: Vec<Record> = Vec::new();
    let header = Header { format: FORMAT.to_owned(), opening: "door".to_owned() };
    let mut bytes = format!("{}\n", line::write_header(&header).unwrap()).into_bytes();
    let start = [(0, 1, 0), (1, 1, 0), (4, 1, 0)];
    for &(kind, round, n) in start.iter().chain(choices) {
        let event: Event = serde_json::from_value(says(kind, round, n)).unwrap();
        let state = OpeningState::replay(&records);
        // Rounds follow each other; what is refused is never in a log.
        if check::check(&records, &state, &event).is_ok() {
            let record = Record { n: state.last + 1, at: "2026-03-02T14:05:11Z".to_owned(), event };
            bytes.extend(format!("{}\n", line::write_record(&record).unwrap()).into_bytes());
            records.push(record);
        }
    }
    (records, bytes)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..ProptestConfig::default() })]

    /// The quick way, the long way and the opening's own screen name the same next thing and the same tools.
    #[test]
    fn the_list_says_what_the_opening_says(choices in proptest::collection::vec((0_usize..24, 1_u32..4, 1_u64..14), 0..16)) {
        let (records, bytes) = log(&choices);
        let long = Summary::of(Contents::read(&bytes), "door.jsonl");
        if let Some(quick) = sketch(&bytes, "door.jsonl") {
            prop_assert_eq!(&quick, &long);
        }
        let state = OpeningState::replay(&records);
        prop_assert_eq!(long.stage, state.stage());
        let to_do = match state.stage() {
            Stage::Cut { left, packs, .. } => (left, packs),
            _ => (0, 0),
        };
        prop_assert_eq!(to_do, (state.to_cut().len(), state.packs_left().len()));
        prop_assert_eq!(long.tools != [false; 2], to_do.0 > 0, "the filter by tools and the next thing differ");
    }
}

/// The readings were struck, then the description: of the plan nothing is left to do until there is one again.
#[test]
fn a_plan_without_a_description_is_not_left_to_do() {
    let (records, bytes) = log(&[(7, 1, 1), (19, 1, 3), (19, 1, 1)]);
    assert_eq!(records.len(), 6, "both strikes are kept");
    let state = OpeningState::replay(&records);
    assert_eq!((state.stage(), state.to_cut()), (Stage::Describe, Vec::new()));
    assert_eq!(Summary::of(Contents::read(&bytes), "door.jsonl").tools, [false; 2]);
}

/// A plan was accepted for a loose leaf, and then it was hung, or altered: nothing of that plan is left to do anywhere.
#[test]
fn a_plan_for_a_loose_leaf_is_not_left_to_do_once_it_hangs_or_is_altered() {
    let planned = [(7, 1, 0)];
    let (_, bytes) = log(&planned);
    let before = Summary::of(Contents::read(&bytes), "door.jsonl");
    assert_eq!(before.stage, Stage::Cut { round: 1, left: 2, packs: 0 });
    assert_eq!(before.tools, [true, true]);
    // Hung by an event of its own, and by being described anew; altered, and made anew.
    for hung in [15, 2, 21, 22] {
        let (records, bytes) = log(&[planned[0], (hung, 1, 0)]);
        assert_eq!(records.len(), 5);
        let after = Summary::of(Contents::read(&bytes), "door.jsonl");
        assert_eq!((after.stage, after.tools), (Stage::Read { round: 2 }, [false; 2]));
        assert_eq!(sketch(&bytes, "door.jsonl"), None, "only the long way knows");
        assert!(OpeningState::replay(&records).to_cut().is_empty());
    }
}
