//! Wood to remove, on the picture of an opening: shaded inside the edge, told at both corners.

use super::labels::Inside;
use super::layout::Layout;
use super::opening::{OpeningPicture, Removal};
use super::paper::{Paper, columns};
use super::shape::DrawnLeaf;
use crate::fit::opening::Edge;
use crate::screen::theme::Role;

/// Shades the wood to remove, just inside the edge.
pub(super) fn shade(
    picture: &OpeningPicture,
    layout: &Layout,
    leaf: &DrawnLeaf,
    removal: &Removal,
    factor: f64,
    paper: &mut Paper<'_>,
) {
    let Some(shape) = picture.leaves.get(removal.leaf) else { return };
    if !(removal.start.is_finite() && removal.end.is_finite()) {
        return;
    }
    let style = picture.theme.style(Role::Wood);
    let upright = removal.edge.is_upright();
    let [lower_left, lower_right, _, upper_left] = leaf.corners;
    let (from, to) = if upright { (lower_left, upper_left) } else { (lower_left, lower_right) };
    let (start, end) = (layout.cell(from), layout.cell(to));
    let per_inch = if upright { layout.columns_per_inch() } else { layout.rows_per_inch() };
    let room = if upright { shape.width } else { shape.height } * per_inch / 4.0;
    let inward = if matches!(removal.edge, Edge::Left | Edge::Top) { 1 } else { -1 };
    let run = if upright { end.1 + 1..start.1 } else { start.0 + 1..end.0 };
    for place in run {
        let along = along_of_cell(layout, picture, upright, place);
        let (origin, length) = if upright { (shape.y, shape.height) } else { (shape.x, shape.width) };
        let share = ((along - origin) / length).clamp(0.0, 1.0);
        let depth = (removal.start + (removal.end - removal.start) * share) * factor * per_inch;
        if depth < 0.08 {
            continue;
        }
        let cells = depth.min(room.max(1.0)).round().max(1.0) as i32;
        let across = leaf.edge(removal.edge).across(along);
        let (column, row) = layout.cell(if upright { (across, along) } else { (along, across) });
        for step in 1..=cells {
            let (x, y) = if upright { (column + inward * step, place) } else { (place, row + inward * step) };
            paper.try_put(x, y, "▒", style);
        }
    }
}

fn along_of_cell(layout: &Layout, picture: &OpeningPicture, upright: bool, place: i32) -> f64 {
    let (left, top, _, _) = layout.frame();
    if upright {
        picture.height - (f64::from(place - top - 1) + 0.5) / layout.rows_per_inch()
    } else {
        (f64::from(place - left - 1) + 0.5) / layout.columns_per_inch()
    }
}

/// Writes what comes off both corners of a cut edge; answers what found no room.
#[must_use]
pub(super) fn amounts(
    picture: &OpeningPicture,
    layout: &Layout,
    leaf: &DrawnLeaf,
    removal: &Removal,
    paper: &mut Paper<'_>,
) -> Vec<String> {
    let style = picture.theme.style(Role::Next);
    let [lower_left, lower_right, upper_right, upper_left] = leaf.corners.map(|corner| layout.cell(corner));
    let (start, end) = match removal.edge {
        Edge::Left => (lower_left, upper_left),
        Edge::Right => (lower_right, upper_right),
        Edge::Bottom => (lower_left, lower_right),
        Edge::Top => (upper_left, upper_right),
    };
    let upright = removal.edge.is_upright();
    let inside = Inside::of(layout, leaf);
    let mut left_out = Vec::new();
    for (is_end, corner, shown) in [(false, start, &removal.shown_start), (true, end, &removal.shown_end)] {
        let amount = if is_end { removal.end } else { removal.start };
        if amount.is_nan() || amount < 5e-4 {
            continue;
        }
        let label = format!("-{shown}");
        let width = columns(&label);
        // From the corner: into the leaf, and along the edge towards its middle.
        let into_right = if upright { removal.edge == Edge::Left } else { !is_end };
        let down = if upright { is_end } else { removal.edge == Edge::Top };
        let place = |(dx, dy): (i32, i32)| {
            let x = if into_right { corner.0 + dx } else { corner.0 - dx - width + 1 };
            (x, if down { corner.1 + dy } else { corner.1 - dy })
        };
        let near = (2..12).flat_map(|distance| {
            (1..=distance).map(
                move |along| {
                    if upright { (distance - along + 1, along) } else { (along, distance - along + 1) }
                },
            )
        });
        // Then anywhere in this corner's quarter of the leaf, rows counting for two columns.
        let (columns_in, rows_in) = ((inside.width() / 2).max(1), (inside.height() / 2).max(1));
        let mut quarter: Vec<_> = (1..=rows_in).flat_map(|dy| (1..=columns_in).map(move |dx| (dx, dy))).collect();
        quarter.sort_by_key(|(dx, dy)| dx + 2 * dy);
        let near: Vec<_> = near.map(place).collect();
        let quarter: Vec<_> = quarter.into_iter().map(place).collect();
        let holds = |&(x, y): &(i32, i32)| inside.holds(x, y, width);
        let free = near.iter().chain(&quarter).copied().filter(holds);
        if free.into_iter().any(|(x, y)| paper.try_put(x, y, &label, style)) {
            continue;
        }
        // Over the shading, if it must be: an amount says more than what it covers.
        let over = near.iter().chain(&quarter).copied().filter(holds);
        let over = over.into_iter().find(|&(x, y)| paper.is_wordless(x, y, width) && paper.is_apart(x, y, width));
        if let Some((x, y)) = over {
            paper.put(x, y, &label, style);
        } else {
            let leaf = picture.leaves.get(removal.leaf).filter(|_| picture.leaves.len() > 1);
            let leaf = leaf.map_or(String::new(), |leaf| format!("{} ", leaf.name));
            left_out.push(format!("{leaf}{} {label} {}", removal.edge, end_word(removal.edge, is_end)));
        }
    }
    left_out
}

/// Which end of an edge.
fn end_word(edge: Edge, is_end: bool) -> &'static str {
    match (edge.is_upright(), is_end) {
        (true, true) => "top",
        (true, false) => "bottom",
        (false, true) => "right",
        (false, false) => "left",
    }
}
