//! Finding an opening in a long list: search and the parts of the list, by real keys.

use evenreveal::bench::shop_list::{Part, ShopList};
use evenreveal::bench::{Action, Effect, Listed, Message, Session, ShopSeen, update};
use evenreveal::screen::keymap::{Place, action};
use evenreveal::shop::{Access, Shop};
use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use std::path::Path;

fn listed() -> Vec<Listed> {
    let shop = Shop::open(&Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-shop"), &Access::Look).unwrap();
    shop.list()
        .unwrap()
        .into_iter()
        .map(|summary| Listed { summary, passes: evenreveal::bench::seen::PassesSeen::NotYet })
        .collect()
}

fn names(list: &ShopList, all: &[Listed]) -> Vec<String> {
    list.shown(all).into_iter().map(|place| all[place].summary.name.clone()).collect()
}

#[test]
fn each_part_shows_what_it_says() {
    let all = listed();
    let part = |part| ShopList { part, ..ShopList::default() };
    assert_eq!(names(&part(Part::All), &all).len(), 6);
    let unfinished = names(&part(Part::Unfinished), &all);
    assert!(unfinished.len() == 5 && !unfinished.contains(&"Door, top left".to_owned()), "{unfinished:?}");
    // One opening waits for a cut; its plan is older than the means, so it stands with both tools.
    for tool in [Part::Saw, Part::Plane] {
        assert_eq!(names(&part(tool), &all), ["Door, middle left"]);
    }
    let search = ShopList { search: "DOOR, TOP".to_owned(), ..ShopList::default() };
    assert_eq!(names(&search, &all), ["Door, top left", "Door, top right"]);
    let both = ShopList { search: "top".to_owned(), part: Part::Unfinished, ..ShopList::default() };
    assert_eq!(names(&both, &all), ["Door, top right"]);
    assert_eq!(both.chosen(&all).unwrap().summary.name, "Door, top right", "Enter goes into the one that is shown");
}

#[test]
fn the_keys_are_there() {
    let key = |letter| KeyEvent::new(KeyCode::Char(letter), KeyModifiers::NONE);
    assert_eq!(action(Place::Shop, key('/')), Some(Action::Search));
    assert_eq!(action(Place::Shop, key('f')), Some(Action::Filter));
    for place in [Place::Shop, Place::Home, Place::Plan, Place::Record, Place::Log] {
        assert_eq!(action(place, key('z')), Some(Action::Large), "{place:?}");
    }
    assert_eq!(action(Place::Form, key('z')), Some(Action::Type('z')), "typing stays typing");
}

/// Of a list longer than a screen, what is found is worked out wherever it stands.
#[test]
fn what_is_found_is_counted() {
    let one = listed().into_iter().find(|one| one.summary.worst.is_some()).unwrap();
    let openings = (0..150).map(|number| {
        let mut one = one.clone();
        (one.summary.name, one.summary.file) = (format!("door {number:03}"), format!("door {number:03}.jsonl"));
        one
    });
    let shop = ShopSeen { openings: openings.collect(), ..ShopSeen::default() };
    let mut session = Session::new(shop);
    let mut asked = Vec::new();
    for action in [Action::Search, Action::Type('1'), Action::Type('4'), Action::Type('9')] {
        for effect in update(&mut session, Message::Action(action)) {
            let Effect::Passes(files) = effect else { panic!("{effect:?}") };
            asked.extend(files);
        }
    }
    assert!(asked.contains(&"door 149.jsonl".to_owned()), "{asked:?}");
    let mut once = asked.clone();
    once.sort();
    once.dedup();
    assert_eq!(once.len(), asked.len(), "a row was asked for twice");
    assert!(!asked.contains(&"door 099.jsonl".to_owned()), "what is far from the screen waits: {asked:?}");
}
