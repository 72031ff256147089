//! How large the picture of an opening is drawn and where its frame lies within the area.

use super::labels::{self, Detail};
use super::opening::OpeningPicture;
use super::shape::{Across, facing};
use crate::fit::opening::Edge;

/// Fewest rows and columns inside the frame for which a picture is worth drawing.
const LEAST_ROWS: i32 = 5;
const LEAST_COLUMNS: i32 = 8;

/// The placed picture.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Layout {
    left: i32,
    top: i32,
    columns: i32,
    rows: i32,
    /// Inches of the opening.
    width: f64,
    height: f64,
    /// How much the labels beside the frame say.
    pub(super) detail: Detail,
    /// How much the labels along upper and lower edges say.
    pub(super) along_detail: Detail,
    /// Row of the caption, if there is room for one.
    pub(super) caption_row: Option<i32>,
}

impl Layout {
    /// The layout within `width` by `height` cells; none when there is no room for a picture.
    pub(super) fn of(picture: &OpeningPicture, width: i32, height: i32) -> Option<Self> {
        let caption = i32::from(height > LEAST_ROWS + 2);
        let most_rows = height - 2 - caption;
        if most_rows < LEAST_ROWS {
            return None;
        }
        let natural =
            |rows: i32| (f64::from(rows) * 2.0 * picture.width / picture.height).round().clamp(1.0, 2000.0) as i32;
        // The fullest wording that leaves the leaves room for the labels along their edges.
        let choices = [
            (Detail::Words, Detail::Words),
            (Detail::Words, Detail::Marks),
            (Detail::Words, Detail::Stacked),
            (Detail::Marks, Detail::Marks),
            (Detail::Marks, Detail::Stacked),
            (Detail::Marks, Detail::MarkOnly),
            (Detail::MarkOnly, Detail::MarkOnly),
        ];
        let stackable = picture.leaves.iter().all(|leaf| leaf.height / picture.height * f64::from(most_rows) >= 9.0);
        let mut chosen = None;
        for (beside, along) in choices {
            let (left, right) = margins(picture, beside);
            let most = width - left - right - 2;
            let need = needed_columns(picture, along).max(LEAST_COLUMNS);
            // Words along the edges only where they cost no stretching, a fraction before its mark only
            // where that costs little; two lines need a leaf tall enough for them.
            let fits = most >= need
                && match along {
                    Detail::Words => need <= natural(most_rows),
                    Detail::Marks => need <= natural(most_rows) * 2 || !stackable,
                    Detail::Stacked => stackable,
                    _ => true,
                };
            if fits {
                chosen = Some((beside, along, left, right, most, need));
                break;
            }
        }
        let (detail, along_detail, left, right, most, need) = chosen.unwrap_or({
            let most = width - 2;
            (Detail::None, Detail::None, 0, 0, most, LEAST_COLUMNS)
        });
        if most < LEAST_COLUMNS {
            return None;
        }
        let columns = natural(most_rows).max(need * 6 / 5).min(most);
        let ideal = (f64::from(columns) * picture.height / picture.width / 2.0).round().clamp(1.0, 2000.0) as i32;
        let rows = ideal.max(needed_rows(picture)).min(most_rows);
        let spare = width - left - right - 2 - columns;
        let frame_left = left + spare / 2;
        let above = (most_rows - rows) / 2;
        let caption_row = (caption == 1).then_some(above + rows + 2);
        Some(Self {
            left: frame_left,
            top: above,
            columns,
            rows,
            width: picture.width,
            height: picture.height,
            detail,
            along_detail,
            caption_row,
        })
    }

    /// Rows inside the frame.
    pub(super) fn inner_rows(&self) -> i32 {
        self.rows
    }

    /// Left, top, right and bottom cell of the frame.
    pub(super) fn frame(&self) -> (i32, i32, i32, i32) {
        (self.left, self.top, self.left + self.columns + 1, self.top + self.rows + 1)
    }

    /// A point of the opening in dots of the whole area.
    pub(super) fn dot(&self, (x, y): (f64, f64)) -> (f64, f64) {
        let across = f64::from(self.columns * 2) - 1.0;
        let down = f64::from(self.rows * 4) - 1.0;
        (
            f64::from((self.left + 1) * 2) + 0.5 + x / self.width * across,
            f64::from((self.top + 1) * 4) + 0.5 + (1.0 - y / self.height) * down,
        )
    }

    /// The cell that a point of the opening falls in.
    pub(super) fn cell(&self, point: (f64, f64)) -> (i32, i32) {
        let (x, y) = self.dot(point);
        // Far outside is as good as a little outside, and safe to add to.
        ((x / 2.0).floor().clamp(-5e3, 5e3) as i32, (y / 4.0).floor().clamp(-5e3, 5e3) as i32)
    }

    /// Columns to an inch.
    pub(super) fn columns_per_inch(&self) -> f64 {
        f64::from(self.columns) / self.width
    }

    /// Rows to an inch.
    pub(super) fn rows_per_inch(&self) -> f64 {
        f64::from(self.rows) / self.height
    }

    /// Says so when the picture could not be kept to proportion.
    pub(super) fn stretch_words(&self) -> Option<String> {
        let ratio = self.columns_per_inch() / (self.rows_per_inch() * 2.0);
        if ratio > 1.15 {
            Some(format!("widths stretched {ratio:.1}x"))
        } else if ratio < 1.0 / 1.15 {
            Some(format!("heights stretched {:.1}x", 1.0 / ratio))
        } else {
            None
        }
    }
}

/// Columns that the labels beside the frame take, left and right.
fn margins(picture: &OpeningPicture, detail: Detail) -> (i32, i32) {
    let widest = |edge: Edge| {
        picture
            .stations
            .iter()
            .filter(|station| station.edge == edge && facing(picture, station.leaf, edge) == Across::Frame)
            .map(|station| labels::beside_width(station, detail, picture.cursor.is_some()))
            .max()
            .unwrap_or(0)
    };
    (widest(Edge::Left), widest(Edge::Right))
}

/// Columns inside the frame that the labels along upper and lower edges, and those at meeting stiles, need.
fn needed_columns(picture: &OpeningPicture, detail: Detail) -> i32 {
    let mut need = 0.0_f64;
    for (index, leaf) in picture.leaves.iter().enumerate() {
        for edge in [Edge::Bottom, Edge::Top] {
            let total: i32 = picture
                .stations
                .iter()
                .filter(|station| station.leaf == index && station.edge == edge)
                .map(|station| labels::along_width(station, detail) + 1)
                .sum();
            if total > 0 {
                // Outline, and the enlarged gaps beside it.
                need = need.max((f64::from(total) + 2.0) * picture.width / leaf.width / 0.88);
            }
        }
    }
    need.clamp(0.0, 1000.0).ceil() as i32
}

/// Rows inside the frame without which labels would fall on each other.
fn needed_rows(picture: &OpeningPicture) -> i32 {
    let need =
        picture.leaves.iter().map(|leaf| 5.0 * picture.height / leaf.height).fold(f64::from(LEAST_ROWS), f64::max);
    need.clamp(1.0, 1000.0).ceil() as i32
}
