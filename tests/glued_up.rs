//! What gluing up a blank does to what is still to be made.

#[path = "common/screen_bench.rs"]
#[allow(dead_code)]
mod screen_bench;

use evenreveal::bench::prepare::sizes;
use evenreveal::fit::length::{Length, Unit};
use ratatui::crossterm::event::{KeyCode, KeyModifiers};
use screen_bench::Bench;

const PAIR: &str = r#"{"event":"opening","gaps":[
  {"between":["frame","A.left"],"target":"3/32"},{"between":["A.right","B.left"],"target":"3/32"},
  {"between":["B.right","frame"],"target":"3/32"},
  {"between":["frame","A.bottom"],"target":"3/32"},{"between":["A.top","frame"],"target":"3/32"},
  {"between":["frame","B.bottom"],"target":"3/32"},{"between":["B.top","frame"],"target":"3/32"}],
  "leaves":[{"leaf":"A","hinge":"left","made":"framed"},{"leaf":"B","hinge":"right","made":"framed"}]}
{"event":"survey","widths":["36","36","35 31/32"],"heights":["30","30","30"]}"#;

fn build(leaf: &str, allowance: &str, trimmed: &str) -> String {
    format!(
        r#"{{"event":"build","leaf":"{leaf}","thickness":"3/4","frame":{{"stiles":["2 1/4","2"],"rails":["2 1/2","2"],
          "joint":"butt","groove":"3/8","float":"1/8","panel_thickness":"1/4"}},"allowance":"{allowance}",
          "trimmed":[{trimmed}]}}"#
    )
}

fn length(text: &str) -> Length {
    Length::parse(text, Unit::Inch).unwrap()
}

fn finished(bench: &Bench, leaf: &str) -> [Length; 2] {
    let state = &bench.session.opened.as_ref().unwrap().state;
    sizes::blank("pair", state, leaf).unwrap().blank.unwrap().finished
}

/// A pair in 35 31/32 less three reveals of 3/32: (35 31/32 - 9/32) / 2 = 17 27/32 each, whatever the blanks have to
/// spare. A glued-up blank is described as large as it is, with that to spare; what is still to be made of either leaf
/// is as before.
#[test]
fn gluing_up_changes_no_finished_size() {
    let all = r#""left","right","bottom","top""#;
    for (one, other) in [
        (build("A", "1/8", all), build("B", "3/16", all)),
        (build("A", "1/16", all), build("B", "1/16", r#""right","top""#)),
    ] {
        let mut bench = Bench::with(&[("pair", &format!("{PAIR}\n{one}\n{other}"))]);
        bench.press("\rb");
        let is = |bench: &Bench, when: &str| {
            for leaf in ["A", "B"] {
                assert_eq!(finished(bench, leaf), [length("17 27/32"), length("29 13/16")], "{leaf} {when}");
            }
        };
        is(&bench, "before");
        bench.press("a");
        is(&bench, "with A glued up");
        bench.key(KeyCode::Right, KeyModifiers::NONE);
        bench.press("a");
        let state = &bench.session.opened.as_ref().unwrap().state;
        let rough = ["A", "B"].map(|leaf| state.leaf(leaf).unwrap().width);
        assert_ne!(rough[0], rough[1], "glued up with unlike allowances");
        is(&bench, "with both glued up");
        // Said anew how it is made, the blank that there is has not grown.
        let kept = bench.session.opened.as_ref().unwrap().records.iter().map(|record| &record.event);
        let mut kept: Vec<String> = kept.map(|event| serde_json::to_string(event).unwrap()).collect();
        kept.push(build("A", "1/2", all));
        let mut bench = Bench::with(&[("pair", &kept.join("\n"))]);
        bench.press("\r");
        is(&bench, "after another build");
    }
}

/// Fronts described with the heights that they have keep them, or their proportion.
#[test]
fn fronts_described_unlike_stay_unlike() {
    let stack = r#"{"event":"opening","gaps":[
      {"between":["frame","A.left"],"target":"1/16"},{"between":["A.right","frame"],"target":"1/16"},
      {"between":["frame","B.left"],"target":"1/16"},{"between":["B.right","frame"],"target":"1/16"},
      {"between":["frame","A.bottom"],"target":"1/16"},{"between":["A.top","B.bottom"],"target":"1/16"},
      {"between":["B.top","frame"],"target":"1/16"}]}
      {"event":"leaf","leaf":"A","width":"20","height":"6"}
      {"event":"leaf","leaf":"B","width":"20","height":"4"}"#;
    let build = |leaf| format!(r#"{{"event":"build","leaf":"{leaf}","thickness":"3/4","allowance":"1/16"}}"#);
    for (opening, heights) in [("10 3/16", ["6", "4"]), ("10 11/16", ["6 19/64", "4 13/64"])] {
        let survey = format!(
            r#"{{"event":"survey","widths":["20 1/8","20 1/8","20 1/8"],"heights":["{opening}","{opening}","{opening}"]}}"#
        );
        let mut bench = Bench::with(&[("stack", &[stack, &survey, &build("A"), &build("B")].join("\n"))]);
        bench.press("\r");
        for (leaf, height) in ["A", "B"].into_iter().zip(heights) {
            assert_eq!(finished(&bench, leaf)[1], length(height), "{leaf} in {opening}");
        }
    }
}
