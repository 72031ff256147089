//! Which cuts a set-up sheet takes as made, in words.

use super::sheets::Sheet;

/// The edges with `one` or `many` after them: `its left edge is`; none where no cut comes before.
fn edges(sheet: &Sheet, [one, many]: [&str; 2]) -> Option<String> {
    let edges: Vec<&str> = sheet.after.iter().map(|edge| edge.word()).collect();
    match edges.as_slice() {
        [] => None,
        [edge] => Some(format!("its {edge} edge {one}")),
        [first @ .., last] => Some(format!("its {} and {last} edges {many}", first.join(", "))),
    }
}

/// What leaf the set-up is for: `for the leaf once its left edge is cut`.
pub fn once_cut(sheet: &Sheet) -> Option<String> {
    edges(sheet, ["is cut", "are cut"]).map(|edges| format!("for the leaf once {edges}"))
}

/// The same in the heading of a sheet: `once the left is cut`.
pub fn short(sheet: &Sheet) -> Option<String> {
    match sheet.after.as_slice() {
        [] => None,
        [edge] => Some(format!("once the {edge} is cut")),
        [first, second] => Some(format!("once {first} and {second} are cut")),
        _ => Some("once its other edges are cut".to_owned()),
    }
}

/// Said over a form for a measure of the leaf, which is kept as of the leaf before those cuts:
/// `its left edge is not recorded as cut: where that wood is off, record it before you measure`.
pub fn measure_it_now(sheet: &Sheet) -> Option<String> {
    let edges = edges(sheet, ["is not recorded as cut", "are not recorded as cut"])?;
    Some(format!("{edges}: where that wood is off, record it before you measure"))
}
