//! Doors whose accepted plans wait to be cut: events of invented openings.

use std::fmt::Write;

/// One trim of a plan: edge, removals, means.
pub type Trim = (&'static str, &'static str, &'static str, &'static str);

/// A door hung at the left, `width` by `height`, read once, with an accepted plan of these trims.
pub fn door(width: &str, height: &str, trims: &[Trim]) -> String {
    let mut text = String::from(
        r#"{"event":"opening","gaps":[
  {"between":["frame","A.left"],"target":"3/32"},{"between":["A.right","frame"],"target":"3/32"},
  {"between":["frame","A.bottom"],"target":"3/32"},{"between":["A.top","frame"],"target":"3/32"}]}"#,
    );
    let _ = write!(
        text,
        r#"
{{"event":"leaf","leaf":"A","name":"door","width":"{width}","height":"{height}","hinge":"left","made":"framed"}}
{{"event":"readings","round":1,"gaps":[{{"between":["A.right","frame"],"readings":[{{"at":"1","gap":"1/64"}}]}}]}}"#
    );
    let list = |part: &dyn Fn(&Trim) -> String| trims.iter().map(part).collect::<Vec<_>>().join(",");
    let cuts =
        list(&|(edge, start, end, _)| format!(r#"{{"leaf":"A","edge":"{edge}","start":"{start}","end":"{end}"}}"#));
    let means = list(&|(.., means)| format!(r#""{means}""#));
    let _ = write!(
        text,
        r#"
{{"event":"plan","round":1,"verdict":"cut","trims":[{cuts}],"means":[{means}]}}"#
    );
    text
}

/// Doors of two sizes, turn about; one has an edge that the plane must take first; one is wide and low, so
/// that the fence may not take its end; one has a taper too fine for the saw.
pub fn shop() -> Vec<(&'static str, String)> {
    let wide = &[("right", "1/16", "7/64", "saw")];
    let even = &[("left", "1/16", "1/16", "saw"), ("right", "1/16", "1/16", "saw")];
    vec![
        ("kitchen 1", door("11", "26", even)),
        ("kitchen 2", door("14", "26", even)),
        ("kitchen 3", door("11", "26", even)),
        ("kitchen 4", door("14", "26", even)),
        ("larder", door("11", "26", &[("left", "1/64", "1/64", "plane"), ("right", "1/16", "7/64", "saw")])),
        ("low front", door("30", "9", wide)),
        ("tall door", door("11", "40", &[("top", "1/16", "3/32", "saw"), ("left", "1/100", "0", "saw")])),
    ]
}
