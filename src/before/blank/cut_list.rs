//! The cut list of many leaves: grouped by thickness and width, with a key for ticking each part off,
//! and written as text, CSV and JSON (pure: the caller puts it where it belongs).

use super::super::table;
use super::tick::Tick;
use super::{Blank, Grain, LENGTHS, Part, PartKind};
use crate::fit::length::{Length, Show, Unit};
use serde::Serialize;
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// One line of a cut list: parts of one leaf that are alike.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Line {
    /// Key for checking off, the same while leaf and part are: `LEAF/part`.
    pub key: String,
    /// Which leaf.
    pub leaf: String,
    /// What it is.
    pub kind: PartKind,
    /// How many.
    pub count: u32,
    /// Length.
    pub length: Length,
    /// Which way the grain runs in the leaf; none: of a panel nobody said.
    pub grain: Option<Grain>,
}

/// Parts of one thickness and width: one setting of planer and fence.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Group {
    /// Thickness.
    pub thickness: Length,
    /// Width.
    pub width: Length,
    /// Its lines, longest first.
    pub lines: Vec<Line>,
}

impl Group {
    /// The part of one of its lines.
    pub fn part(&self, line: &Line) -> Part {
        let Line { kind, count, length, grain, .. } = *line;
        Part { kind, count, length, width: self.width, thickness: self.thickness, grain }
    }
}

/// A cut list.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct CutList {
    /// Thickest and widest first.
    pub groups: Vec<Group>,
}

/// How much wood a list needs, net: as thick and wide as the parts, no waste.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wood {
    /// Board feet (144 in³ each).
    pub board_feet: f64,
    /// Square metres of face.
    pub square_metres: f64,
}

impl Wood {
    /// In the shop's own unit: `4.25 board feet, net`, or square metres of face.
    pub fn words(&self, unit: Unit) -> String {
        match unit {
            Unit::Inch => format!("{:.2} board feet, net", self.board_feet),
            Unit::Millimetre => format!("{:.3} m² of face, net", self.square_metres),
        }
    }
}

impl CutList {
    /// The list for leaves by name, in any order.
    pub fn of<'b>(leaves: impl IntoIterator<Item = (&'b str, &'b Blank)>) -> Self {
        let mut groups: BTreeMap<(Length, Length), Vec<Line>> = BTreeMap::new();
        for (leaf, blank) in leaves {
            for part in &blank.parts {
                let Part { kind, count, length, width, thickness, grain } = *part;
                let line = Line { key: Self::key(leaf, kind), leaf: leaf.to_owned(), kind, count, length, grain };
                groups.entry((thickness, width)).or_default().push(line);
            }
        }
        let sorted = groups.into_iter().rev().map(|((thickness, width), mut lines)| {
            lines.sort_by(|a, b| b.length.cmp(&a.length).then_with(|| a.key.cmp(&b.key)));
            Group { thickness, width, lines }
        });
        Self { groups: sorted.collect() }
    }

    /// The key of a part of the leaf of that name.
    pub fn key(leaf: &str, kind: PartKind) -> String {
        format!("{leaf}/{}", kind.word().replace(' ', "-"))
    }

    /// The wood in it.
    pub fn wood(&self) -> Wood {
        let (mut cubic, mut square) = (0.0, 0.0);
        for group in &self.groups {
            for line in &group.lines {
                let face = f64::from(line.count) * line.length.inches() * group.width.inches();
                square += face;
                cubic += face * group.thickness.inches();
            }
        }
        Wood { board_feet: cubic / 144.0, square_metres: square * 0.0254 * 0.0254 }
    }

    /// For people: a box to tick before each line; `tick` says how far the line of a key is.
    pub fn text(&self, show: Show, tick: impl Fn(&str) -> Tick) -> String {
        let mut out = String::new();
        for group in &self.groups {
            // Writing into a String cannot fail.
            let _ = writeln!(out, "{} thick, {} wide", group.thickness.sized(show), group.width.sized(show));
            for line in &group.lines {
                let (tick, part) = (tick(&line.key), group.part(line));
                let _ = write!(
                    out,
                    "  [{}] {:>3} of {:<12} {:<12} {}",
                    tick.mark(),
                    line.count,
                    line.length.sized(show),
                    part.words(),
                    line.leaf
                );
                let note = tick.note(&part, show);
                let _ = if note.is_empty() { writeln!(out) } else { writeln!(out, "  ! {note}") };
            }
        }
        let _ = writeln!(out, "{}; {LENGTHS}", self.wood().words(show.unit()));
        out
    }

    /// For spreadsheets (RFC 4180): a header, one line a part; lengths as shown and in exact text.
    /// `grain` is how it, and the length, runs in the leaf; `sawn` what a line was sawn to that is to be sawn anew.
    pub fn csv(&self, show: Show, tick: impl Fn(&str) -> Tick) -> String {
        let mut out = String::from(
            "key,leaf,part,count,length,width,thickness,length_exact,width_exact,thickness_exact,done,grain,sawn\r\n",
        );
        for group in &self.groups {
            for line in &group.lines {
                let sizes = [line.length, group.width, group.thickness];
                let mut fields =
                    vec![line.key.clone(), line.leaf.clone(), line.kind.word().to_owned(), line.count.to_string()];
                fields.extend(sizes.map(|size| size.shown_size(show)));
                fields.extend(sizes.map(Length::canonical));
                let tick = tick(&line.key);
                fields.push(if tick.is_done() { "yes" } else { "no" }.to_owned());
                fields.push(line.grain.map_or("", Grain::word).to_owned());
                fields.push(tick.note(&group.part(line), show));
                let _ = write!(out, "{}\r\n", table::record(&fields));
            }
        }
        out
    }

    /// For programs: `{"format":"evenreveal-cut-list/1","groups":[…],"board_feet":…,"square_metres":…}`. `length` runs
    /// along the grain; `grain` is how that runs in the leaf (null: a panel, its length its height); `sawn_to` is what a
    /// line was sawn to that is to be sawn anew.
    pub fn json(&self, tick: impl Fn(&str) -> Tick) -> String {
        let wood = self.wood();
        let line = |line: &Line| {
            let tick = tick(&line.key);
            let sawn_to = if let Tick::Unlike(was) = tick { Some(was) } else { None };
            serde_json::json!({
                "key": line.key, "leaf": line.leaf, "kind": line.kind, "count": line.count, "length": line.length,
                "grain": line.grain, "done": tick.is_done(), "glued_up": tick == Tick::GluedUp, "sawn_to": sawn_to,
            })
        };
        let group = |group: &Group| {
            let lines: Vec<_> = group.lines.iter().map(line).collect();
            serde_json::json!({ "thickness": group.thickness, "width": group.width, "lines": lines })
        };
        serde_json::json!({
            "format": "evenreveal-cut-list/1",
            "groups": self.groups.iter().map(group).collect::<Vec<_>>(),
            "board_feet": wood.board_feet,
            "square_metres": wood.square_metres,
        })
        .to_string()
    }
}
