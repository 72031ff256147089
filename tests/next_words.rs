//! What is said of the next thing to do: stations by the hinge, the question about a reading, the doubt, and what
//! holds only while the round is not over.

use evenreveal::bench::OpeningSeen;
use evenreveal::bench::brief::{self, Brief, Thing};
use evenreveal::bench::next_words;
use evenreveal::bench::rounds::{self, Choice, Look};
use evenreveal::bench::stations;
use evenreveal::bench::surprise::{Asked, Doubt, Surprise};
use evenreveal::fit::estimate::Spreads;
use evenreveal::fit::length::{Inches, Length, Show};
use evenreveal::fit::opening::Edge;
use evenreveal::fit::reading::{Reading, Value as ReadValue};
use evenreveal::shop::OpeningState;
use evenreveal::shop::event::{ReadingStored, Record};
use evenreveal::shop::replay::Stage;
use evenreveal::shop::settings::Settings;
use serde_json::{Value, json};

const EDGES: [[&str; 2]; 4] = [["frame", "A.left"], ["A.right", "frame"], ["frame", "A.bottom"], ["A.top", "frame"]];

/// A door read twice with `gaps` at its sides and at its ends, if any.
fn opened(hinge: Option<&str>, gap: Option<[&str; 2]>) -> OpeningSeen {
    let mut leaf = json!({"event":"leaf","leaf":"A","width":"11","height":"26"});
    if let Some(hinge) = hinge {
        leaf["hinge"] = json!(hinge);
    }
    let mut events: Vec<Value> =
        vec![json!({"event":"opening","gaps":EDGES.map(|between| json!({"between":between,"target":"3/32"}))}), leaf];
    if let Some(gap) = gap {
        let gaps = EDGES.map(|between| {
            let (far, gap) = if between.iter().any(|side| ["A.left", "A.right"].contains(side)) {
                ("25", gap[0])
            } else {
                ("10", gap[1])
            };
            json!({"between":between,"readings":[{"at":"1","gap":gap},{"at":far,"gap":gap}]})
        });
        // Looked at twice: nothing is left unconfirmed.
        let mut again = gaps.clone();
        for reading in again.iter_mut().flat_map(|line| line["readings"].as_array_mut().unwrap()) {
            reading["again"] = json!(true);
        }
        events.push(json!({"event":"readings","round":1,"gaps":gaps}));
        events.push(json!({"event":"readings","round":1,"gaps":again}));
    }
    let record = |(place, event): (usize, Value)| Record {
        n: place as u64 + 1,
        at: "2026-03-02T14:05:11Z".to_owned(),
        event: serde_json::from_value(event).unwrap(),
    };
    let records: Vec<Record> = events.into_iter().enumerate().map(record).collect();
    let state = OpeningState::replay(&records);
    OpeningSeen { name: "door".to_owned(), records, state, ..OpeningSeen::default() }
}

fn look(opened: &OpeningSeen) -> Look {
    rounds::look(&opened.state, &Settings::default(), Spreads::default(), Choice::default()).unwrap()
}

#[test]
fn stations_are_named_by_the_hinge_where_there_is_one() {
    for (hinge, edge, words) in [
        (Some("left"), Edge::Left, "hinge side, top"),
        (Some("left"), Edge::Right, "latch side, top"),
        (Some("right"), Edge::Left, "latch side, top"),
        (None, Edge::Left, "left edge, top"),
        (Some("left"), Edge::Top, "top edge, right"),
    ] {
        let opened = opened(hinge, None);
        let walk = stations::walk(&opened.state, 1);
        let place = walk.iter().find(|place| place.edge == edge && place.spot == stations::Spot::High).unwrap();
        assert_eq!(next_words::station(place, &opened), words, "{hinge:?} {edge}");
    }
}

#[test]
fn the_question_names_what_was_expected_what_was_read_and_the_keys() {
    let lap = Reading { at: Length::ratio(1, 1), value: ReadValue::Lap(Length::ratio(1, 16)) };
    let surprise = Surprise { expected: Inches(5.0 / 64.0), read: lap };
    let stored: ReadingStored = serde_json::from_value(json!({"at":"1","lap":"1/16"})).unwrap();
    let asked = Asked { doubt: Doubt::New(stored), surprise };
    let said = next_words::question(&asked, "latch side, top", Show::default());
    for word in ["latch side, top", "expected 5/64", "you read: lap 1/16", "r: ", "k: ", "x: "] {
        assert!(said.contains(word), "'{word}' is not in: {said}");
    }
}

/// "You read 1/16" was said where 1/16 did not go.
#[test]
fn the_question_says_a_feeler_reading_as_it_was_felt() {
    let felt = Reading::go_no_go(Length::ratio(1, 1), Length::ratio(3, 64), Length::ratio(4, 64)).unwrap();
    let surprise = Surprise { expected: Inches(5.0 / 64.0), read: felt };
    let stored: ReadingStored = serde_json::from_value(json!({"at":"1","goes":"3/64","stops":"1/16"})).unwrap();
    let said = next_words::question(&Asked { doubt: Doubt::New(stored), surprise }, "top edge, left", Show::default());
    assert!(said.contains("you read: 3/64 goes, 1/16 stops."), "{said}");
}

#[test]
fn the_doubt_is_rounded_up_and_never_none() {
    let mut look = look(&opened(Some("left"), Some(["3/32"; 2])));
    for (doubt, words) in [(0.0, "under 1 in 100"), (0.0101, "up to 2 in 100"), (1.0, "up to 100 in 100")] {
        look.advice.doubt = doubt;
        assert!(next_words::doubt(&look).contains(words), "{}", next_words::doubt(&look));
    }
}

#[test]
fn advice_holds_only_for_the_round_it_speaks_of() {
    let opened = opened(Some("left"), Some(["3/32"; 2]));
    let look = look(&opened);
    let fits = Brief::of(&look, &opened.state);
    assert_eq!(fits.thing, Thing::Fits);
    let decide = Stage::Decide { round: 1 };
    assert_eq!(brief::big(decide, Some(&fits)), "It fits");
    assert!(brief::is_fitted(decide, Some(&fits)));
    assert!(!brief::is_fitted(decide, None), "without advice nothing is fitted before it is accepted");
    assert!(next_words::long(decide, Some(&look), &opened, Show::default()).contains("accept it in the plan (p)"));
    // Cut since, or read anew: the stage speaks.
    for stage in [Stage::Read { round: 2 }, Stage::Cut { round: 1, left: 2, packs: 0 }, Stage::Decide { round: 2 }] {
        assert_eq!(brief::big(stage, Some(&fits)), brief::big(stage, None), "{stage:?}");
        let long = |look| next_words::long(stage, look, &opened, Show::default());
        assert_eq!(long(Some(&look)), long(None), "{stage:?}");
    }
}

#[test]
fn what_is_missing_is_said_with_what_would_help() {
    let opened = opened(Some("left"), Some(["3/16", "3/32"]));
    let look = look(&opened);
    let short = Brief::of(&look, &opened.state);
    assert_eq!(short.thing, Thing::Short);
    assert!(brief::line(Stage::Decide { round: 1 }, Some(&short)).contains("wood is missing"));
    let said = next_words::long(Stage::Decide { round: 1 }, Some(&look), &opened, Show::default());
    for word in ["wood is missing", "stays off by 3/32", "glue a strip"] {
        assert!(said.contains(word), "'{word}' is not in: {said}");
    }
}
