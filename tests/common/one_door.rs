//! A shop in which one door waits to be read.

use evenreveal::shop::{Access, Holder, Shop};

const DOOR: &str = r#"{"event":"opening","gaps":[
  {"between":["frame","A.left"],"target":"3/32"},{"between":["A.right","frame"],"target":"3/32"},
  {"between":["frame","A.bottom"],"target":"3/32"},{"between":["A.top","frame"],"target":"3/32"}]}
{"event":"leaf","leaf":"A","name":"door","width":"11","height":"26","hinge":"left","made":"framed"}"#;

/// A shop with one door in it, no readings yet.
pub fn shop() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    let at = "2026-03-02T14:05:11Z";
    let holder = Holder { pid: 1, host: "bench".to_owned(), since: at.to_owned() };
    let mut shop = Shop::open(dir.path(), &Access::Write(holder)).unwrap();
    shop.save_settings(evenreveal::shop::settings::Settings::default()).unwrap();
    let events = serde_json::Deserializer::from_str(DOOR).into_iter().map(Result::unwrap).collect();
    shop.create_opening("left door").unwrap().enter(events, at).unwrap();
    dir
}
