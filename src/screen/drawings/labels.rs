//! Everything written on the picture of an opening, placed so that nothing is written over.

use super::layout::Layout;
use super::opening::{OpeningPicture, Station};
use super::paper::{Paper, columns};
use super::shape::{self, Across, DrawnLeaf};
use super::standing::Standing;
use crate::fit::opening::{Edge, Side};
use crate::screen::theme::Role;
use ratatui::style::Style;

/// How much a label says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Detail {
    /// Mark, fraction, word.
    Words,
    /// Mark and fraction.
    Marks,
    /// Fraction above its mark.
    Stacked,
    /// The mark alone.
    MarkOnly,
    /// Nothing.
    None,
}

/// What was read, or nothing yet.
pub(super) fn shown(station: &Station) -> &str {
    if station.standing == Standing::Unread && station.shown.is_empty() { "" } else { &station.shown }
}

fn text(station: &Station, detail: Detail, is_cursor: bool) -> String {
    if is_cursor && station.standing == Standing::Unread && detail != Detail::None {
        return "gap?".to_string();
    }
    let mark = station.standing.mark();
    let shown = shown(station);
    match detail {
        Detail::None => String::new(),
        Detail::MarkOnly => mark.to_string(),
        _ if shown.is_empty() => mark.to_string(),
        Detail::Words => format!("{shown} {mark} {}", station.standing.word()),
        Detail::Marks | Detail::Stacked => format!("{shown}{mark}"),
    }
}

/// Columns that a label takes beside the frame, a space and room for the pointer included. As wide unread as read.
pub(super) fn beside_width(station: &Station, detail: Detail, has_cursor: bool) -> i32 {
    let fraction = columns(shown(station)).clamp(4, 12);
    let apart = if has_cursor { 2 } else { 1 };
    match detail {
        Detail::Words => fraction + 9 + apart,
        Detail::Marks | Detail::Stacked => fraction + 2 + apart,
        Detail::MarkOnly => 2 + apart,
        Detail::None => 0,
    }
}

/// Columns that a label takes along an upper or lower edge.
pub(super) fn along_width(station: &Station, detail: Detail) -> i32 {
    let fraction = columns(shown(station)).clamp(4, 12);
    match detail {
        Detail::Words => fraction + 9,
        Detail::Marks => fraction + 2,
        Detail::Stacked => fraction,
        Detail::MarkOnly => 2,
        Detail::None => 0,
    }
}

/// All stations.
pub(super) fn stations(picture: &OpeningPicture, layout: &Layout, leaves: &[DrawnLeaf], paper: &mut Paper<'_>) {
    // The cursor's own label first: it gets its place whatever else must move.
    let mut order: Vec<usize> = (0..picture.stations.len()).collect();
    order.sort_by_key(|index| {
        let middle = picture.stations.get(*index).is_some_and(|station| is_middle(picture, station));
        // Where many fronts leave no room for all, what is not right is said first.
        let right = picture.stations.get(*index).is_some_and(|station| station.standing == Standing::Right);
        let right = right && picture.leaves.len() >= super::evened::MANY;
        (picture.cursor != Some(*index), right, middle)
    });
    for index in order {
        let Some(station) = picture.stations.get(index) else { continue };
        let (Some(leaf), Some(shape)) = (leaves.get(station.leaf), picture.leaves.get(station.leaf)) else { continue };
        let length = if station.edge.is_upright() { shape.height } else { shape.width };
        if !station.at.is_finite() {
            continue;
        }
        let cell = layout.cell(leaf.point(station.edge, station.at / length));
        let is_cursor = picture.cursor == Some(index);
        let facing = shape::facing(picture, station.leaf, station.edge);
        if station.edge.is_upright() {
            if facing == Across::Frame {
                let rows = own_rows(picture, layout, station.leaf, leaf);
                beside_frame(picture, layout, station, (cell.1, rows), is_cursor, paper);
            } else {
                let inside = Inside::of(layout, leaf);
                inside_upright(picture, Label { layout, station, cell, inside, is_cursor }, paper);
            }
        } else {
            let inside = Inside::of(layout, leaf);
            inside_level(picture, Label { layout, station, cell, inside, is_cursor }, paper);
        }
        if is_cursor {
            pointer_in_gap(picture, layout, station, cell, paper);
        }
    }
}

fn is_middle(picture: &OpeningPicture, station: &Station) -> bool {
    let Some(leaf) = picture.leaves.get(station.leaf) else { return false };
    let length = if station.edge.is_upright() { leaf.height } else { leaf.width };
    (station.at - length / 2.0).abs() < length / 5.0
}

fn style(picture: &OpeningPicture, station: &Station, is_cursor: bool) -> ratatui::style::Style {
    picture.theme.style(if is_cursor { Role::Cursor } else { station.standing.role() })
}

/// The cells inside a leaf's outline, outermost corners taken: nothing about a leaf is written beyond them.
#[derive(Clone, Copy)]
pub(super) struct Inside {
    left: i32,
    right: i32,
    top: i32,
    bottom: i32,
}

impl Inside {
    pub(super) fn of(layout: &Layout, leaf: &DrawnLeaf) -> Self {
        let cells = leaf.corners.map(|corner| layout.cell(corner));
        let [lower_left, lower_right, upper_right, upper_left] = cells;
        Self {
            left: lower_left.0.min(upper_left.0) + 1,
            right: lower_right.0.max(upper_right.0) - 1,
            top: upper_left.1.min(upper_right.1) + 1,
            bottom: lower_left.1.max(lower_right.1) - 1,
        }
    }

    /// Columns within.
    pub(super) fn width(self) -> i32 {
        self.right - self.left + 1
    }

    /// Rows within.
    pub(super) fn height(self) -> i32 {
        self.bottom - self.top + 1
    }

    pub(super) fn holds(self, x: i32, y: i32, width: i32) -> bool {
        x >= self.left && x + width - 1 <= self.right && y >= self.top && y <= self.bottom
    }
}

/// Places near an edge, best first: (inwards, along); a step inwards costs as much as two along.
fn places(deepest: i32, along: i32) -> Vec<(i32, i32)> {
    let mut places: Vec<(i32, i32)> =
        (1..=deepest).flat_map(|deep| nearby(along).map(move |step| (deep, step))).collect();
    places.sort_by_key(|(deep, step)| deep * 2 + step.abs());
    places
}

/// Offsets tried in turn: 0, 1, -1, 2, -2 ...
fn nearby(reach: i32) -> impl Iterator<Item = i32> {
    (0..=reach).flat_map(|step| if step == 0 { vec![0] } else { vec![step, -step] })
}

/// The rows beside the frame where the gaps of `leaf` are written: of one of many fronts its own, so that none stands
/// beside another front.
fn own_rows(picture: &OpeningPicture, layout: &Layout, leaf: usize, drawn: &DrawnLeaf) -> (i32, i32) {
    let (_, top, _, bottom) = layout.frame();
    if picture.leaves.len() < super::evened::MANY {
        return (top, bottom);
    }
    let inside = Inside::of(layout, drawn);
    let at_frame = |edge: Edge| shape::facing(picture, leaf, edge) == Across::Frame;
    (
        if at_frame(Edge::Top) { top } else { inside.top - 1 },
        if at_frame(Edge::Bottom) { bottom } else { inside.bottom + 1 },
    )
}

fn beside_frame(
    picture: &OpeningPicture,
    layout: &Layout,
    station: &Station,
    (row, (top, bottom)): (i32, (i32, i32)),
    is_cursor: bool,
    paper: &mut Paper<'_>,
) {
    let mut label = text(station, layout.detail, is_cursor);
    let (left, _, right, _) = layout.frame();
    let on_left = station.edge == Edge::Left;
    if is_cursor && layout.detail != Detail::None {
        label = if on_left { format!("{label} ►") } else { format!("◄ {label}") };
    }
    let width = columns(&label);
    let x = if on_left { left - width - i32::from(!is_cursor) } else { right + 1 + i32::from(!is_cursor) };
    let style = style(picture, station, is_cursor);
    for step in nearby(bottom - top) {
        let row = row + step;
        if row >= top && row <= bottom && paper.try_put(x, row, &label, style) {
            return;
        }
    }
}

/// A gap to be written inside its leaf.
#[derive(Clone, Copy)]
struct Label<'a> {
    layout: &'a Layout,
    station: &'a Station,
    /// The cell of the station.
    cell: (i32, i32),
    inside: Inside,
    is_cursor: bool,
}

impl Label<'_> {
    /// Puts `text` at the first of the places, as far in and as far along as given, where it has room: `at` says
    /// where it begins. Answers whether it had room.
    fn put(
        self,
        text: &str,
        style: Style,
        reach: (i32, i32),
        paper: &mut Paper<'_>,
        at: impl Fn(i32, i32) -> (i32, i32),
    ) -> bool {
        let width = columns(text);
        places(reach.0, reach.1).into_iter().any(|(deep, step)| {
            let (x, y) = at(deep, step);
            self.inside.holds(x, y, width) && paper.try_put(x, y, text, style)
        })
    }
}

fn inside_upright(picture: &OpeningPicture, label: Label<'_>, paper: &mut Paper<'_>) {
    let Label { layout, station, cell: (column, row), is_cursor, .. } = label;
    let style = style(picture, station, is_cursor);
    for detail in [Detail::Marks, Detail::MarkOnly] {
        let mut said =
            text(station, if layout.along_detail == Detail::Words { Detail::Words } else { detail }, is_cursor);
        if is_cursor {
            said = if station.edge == Edge::Left { format!("◄{said}") } else { format!("{said}►") };
        }
        let width = columns(&said);
        let begins = |deep: i32| if station.edge == Edge::Left { column + deep } else { column - deep - width + 1 };
        if label.put(&said, style, (3, 4), paper, |deep, step| (begins(deep), row + step)) {
            return;
        }
    }
}

fn inside_level(picture: &OpeningPicture, label: Label<'_>, paper: &mut Paper<'_>) {
    let Label { layout, station, cell: (column, row), inside, is_cursor } = label;
    let style = style(picture, station, is_cursor);
    let inward = if station.edge == Edge::Top { 1 } else { -1 };
    let pointer = if !is_cursor {
        ""
    } else if station.edge == Edge::Top {
        "▲"
    } else {
        "▼"
    };
    let start = |width: i32| (column - width / 2).min(inside.right - width + 1).max(inside.left);
    if layout.along_detail == Detail::Stacked {
        let unread_here = is_cursor && station.standing == Standing::Unread;
        let upper = format!("{pointer}{}", if unread_here { "gap?" } else { shown(station) });
        let lower = station.standing.mark();
        let width = columns(&upper).max(columns(lower));
        for (deep, step) in places(4, 6) {
            let (x, first) = (start(width) + step, row + inward * deep);
            let (above, below) = if inward > 0 { (first, first + 1) } else { (first - 1, first) };
            let within = inside.holds(x, above, width) && inside.holds(x, below, width);
            let within = within && paper.is_apart(x, above, width) && paper.is_apart(x, below, width);
            if within && paper.is_free(x, above, width) && paper.is_free(x, below, width) {
                paper.put(x, above, &upper, style);
                paper.put(x + (width - columns(lower)) / 2, below, lower, style);
                return;
            }
        }
    }
    for detail in [layout.along_detail, Detail::Marks, Detail::MarkOnly] {
        let said = format!("{pointer}{}", text(station, detail, is_cursor));
        let width = columns(&said);
        if label.put(&said, style, (4, 6), paper, |deep, step| (start(width) + step, row + inward * deep)) {
            return;
        }
    }
}

/// A block in the gap itself, beside the station that the cursor is on.
fn pointer_in_gap(
    picture: &OpeningPicture,
    layout: &Layout,
    station: &Station,
    (column, row): (i32, i32),
    paper: &mut Paper<'_>,
) {
    let (left, top, right, bottom) = layout.frame();
    let (x, y) = match station.edge {
        Edge::Left => (column - 1, row),
        Edge::Right => (column + 1, row),
        Edge::Top => (column, row - 1),
        Edge::Bottom => (column, row + 1),
    };
    let (x, y) = (x.clamp(left, right), y.clamp(top, bottom));
    paper.put(x, y, "█", picture.theme.style(Role::Next));
}

/// Hinges on the frame and, where there is room, the word.
pub(super) fn hinges(picture: &OpeningPicture, layout: &Layout, leaves: &[DrawnLeaf], paper: &mut Paper<'_>) {
    let style = picture.theme.style(Role::Hinge);
    for (index, (leaf, drawn)) in picture.leaves.iter().zip(leaves).enumerate() {
        let Some(side) = leaf.hinge else { continue };
        let at_frame = shape::facing(picture, index, side.edge()) == Across::Frame;
        for share in [0.3, 0.7] {
            let y = leaf.y + leaf.height * share;
            let (column, row) = layout.cell((drawn.edge(side.edge()).across(y), y));
            let (left, _, right, _) = layout.frame();
            // From the frame across the gap onto the stile.
            let (from, to) = match (side, at_frame) {
                (Side::Left, true) => (left, column),
                (Side::Right, true) => (column, right),
                (_, false) => (column, column),
            };
            for x in from..=to {
                paper.put(x, row, "▬", style);
            }
            let (word, x) = match side {
                Side::Left => ("hinge", left - 6),
                Side::Right => ("hinge", right + 2),
            };
            if at_frame && layout.detail != Detail::None {
                // Kept free until stations are placed: the word yields to a fraction.
                hinge_word(layout, picture, side, row, (x, word), paper);
            }
        }
    }
}

fn hinge_word(
    layout: &Layout,
    picture: &OpeningPicture,
    side: Side,
    row: i32,
    (x, word): (i32, &str),
    paper: &mut Paper<'_>,
) {
    let clashes = picture.stations.iter().any(|station| {
        station.edge == side.edge()
            && shape::along(picture, station).is_some_and(|along| (layout.cell((0.0, along)).1 - row).abs() < 1)
    });
    if !clashes {
        paper.try_put(x, row, word, picture.theme.style(Role::Quiet));
    }
}

/// The leaves' names, each inside its own leaf: in the middle where there is room, or near it; where there is none,
/// over its outline.
pub(super) fn names(picture: &OpeningPicture, layout: &Layout, leaves: &[DrawnLeaf], paper: &mut Paper<'_>) {
    let style = picture.theme.style(Role::Title);
    for (leaf, drawn) in picture.leaves.iter().zip(leaves) {
        let [lower_left, _, upper_right, _] = drawn.corners;
        let middle = (f64::midpoint(lower_left.0, upper_right.0), f64::midpoint(lower_left.1, upper_right.1));
        let (column, row) = layout.cell(middle);
        let name = leaf.name.trim();
        let width = columns(name);
        let start = column - width / 2;
        let inside = Inside::of(layout, drawn);
        // Straight above or below the middle first, then anywhere else in the leaf: nearest first.
        let near = nearby(3).map(|down| (0, down));
        let (across, down) = ((inside.right - inside.left).clamp(0, 200), (inside.bottom - inside.top).clamp(0, 50));
        let mut far: Vec<(i32, i32)> =
            nearby(across / 2 + 1).flat_map(|step| nearby(down / 2 + 1).map(move |down| (step, down))).collect();
        far.sort_by_key(|(step, down)| step.abs() + down.abs() * 4);
        let place = near.chain(far).map(|(step, down)| (start + step, row + down)).find(|&(x, y)| {
            // A free column on each side keeps the name apart from a fraction.
            inside.holds(x, y, width) && paper.is_free(x - 1, y, width + 2)
        });
        // Where the leaf is full, a name on its line is better than a leaf without one; but nothing that was read
        // gives way to it, and the line must be the leaf's own.
        let others = leaves.iter().filter(|other| !std::ptr::eq(*other, drawn)).map(|other| Inside::of(layout, other));
        let own_line = others
            .into_iter()
            .all(|other| (inside.bottom + 1 < other.top - 1) || (inside.bottom + 1 > other.bottom + 1));
        let on_line = || {
            let rows = std::iter::once(row).chain(own_line.then_some(inside.bottom + 1));
            let all = rows.flat_map(|y| [1, 0].map(|room| (y, room)));
            let mut places = all.flat_map(|(y, room)| nearby(across / 2 + 1).map(move |step| (start + step, y, room)));
            let several = picture.leaves.len() > 1;
            let wordless = |&(x, y, room): &(i32, i32, i32)| {
                several && paper.is_wordless(x - room, y, width + 2 * room) && paper.is_apart(x, y, width)
            };
            places.find(wordless).map(|(x, y, _)| (x, y))
        };
        if let Some((x, y)) = place.or_else(on_line) {
            paper.put(x, y, name, style);
        }
    }
}
