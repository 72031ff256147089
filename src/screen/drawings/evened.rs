//! A stack of many fronts on few rows: the low ones are drawn higher and the high ones lower, so that each has rows of
//! its own for its name and its gaps.

use super::opening::OpeningPicture;

/// Fronts from which a stack is evened out: fewer have rows enough.
pub(super) const MANY: usize = 4;
/// Rows that the lowest front should have.
const LEAST: f64 = 2.0;

/// The picture with heights evened out as far as `rows` ask for it; none where they do not, or where the leaves are no
/// single stack.
pub(super) fn evened(picture: &OpeningPicture, rows: i32) -> Option<OpeningPicture> {
    let count = picture.leaves.len();
    let first = picture.leaves.first().filter(|_| count >= MANY)?;
    let beside = |x: f64, width: f64| x >= first.x + first.width || x + width <= first.x;
    if picture.leaves.iter().any(|leaf| beside(leaf.x, leaf.width)) {
        return None;
    }
    let least = picture.leaves.iter().map(|leaf| leaf.height).fold(f64::INFINITY, f64::min);
    let mean = picture.leaves.iter().map(|leaf| leaf.height).sum::<f64>() / count as f64;
    let wanted = LEAST * picture.height / f64::from(rows.max(1));
    if least >= wanted || mean <= least {
        return None;
    }
    // All are drawn nearer to their mean by one share: their sum stays, and so does their order.
    let share = ((mean - wanted) / (mean - least)).clamp(0.0, 1.0);
    let mut evened = picture.clone();
    let mut order: Vec<usize> = (0..count).collect();
    order.sort_by(|a, b| picture.leaves[*a].y.total_cmp(&picture.leaves[*b].y));
    let mut moved = 0.0;
    for place in order {
        let leaf = &mut evened.leaves[place];
        let height = mean - share * (mean - leaf.height);
        leaf.y += moved;
        moved += height - leaf.height;
        leaf.height = height;
    }
    for station in evened.stations.iter_mut().filter(|station| station.edge.is_upright()) {
        let (before, after) = (picture.leaves.get(station.leaf)?, evened.leaves.get(station.leaf)?);
        station.at *= after.height / before.height;
    }
    Some(evened)
}

#[cfg(test)]
mod tests {
    use super::super::opening::{LeafShape, OpeningPicture, Station};
    use super::evened;
    use crate::fit::opening::Edge;

    fn stack(heights: &[f64]) -> OpeningPicture {
        let mut picture = OpeningPicture { width: 16.0, ..OpeningPicture::default() };
        let mut y = 0.1;
        for (leaf, &height) in heights.iter().enumerate() {
            picture.leaves.push(LeafShape { x: 0.1, y, width: 15.8, height, ..LeafShape::default() });
            let (edge, shown, standing) = (Edge::Left, String::new(), super::super::standing::Standing::Unread);
            picture.stations.push(Station { leaf, edge, at: height - 1.0, gap: None, shown, standing });
            y += height + 0.1;
        }
        picture.height = y;
        picture
    }

    #[test]
    fn low_fronts_get_their_rows_and_the_stack_stays_as_high() {
        let picture = stack(&[3.0, 3.5, 4.0, 5.0, 5.0, 9.0]);
        let drawn = evened(&picture, 12).unwrap();
        let rows = |picture: &OpeningPicture, leaf: usize| picture.leaves[leaf].height / picture.height * 12.0;
        assert!(rows(&picture, 0) < 1.3 && rows(&drawn, 0) > 1.9, "{} {}", rows(&picture, 0), rows(&drawn, 0));
        assert!(drawn.leaves.windows(2).all(|pair| pair[0].height <= pair[1].height + 1e-9), "their order stays");
        let top = |picture: &OpeningPicture| picture.leaves[5].y + picture.leaves[5].height;
        assert!((top(&picture) - top(&drawn)).abs() < 1e-9);
        for pair in drawn.leaves.windows(2) {
            assert!((pair[1].y - pair[0].y - pair[0].height - 0.1).abs() < 1e-9, "the gaps stay");
        }
        let share = |picture: &OpeningPicture| picture.stations[0].at / picture.leaves[0].height;
        assert!((share(&picture) - share(&drawn)).abs() < 1e-9, "stations go along");
    }

    #[test]
    fn what_has_rows_enough_or_is_no_stack_stays_as_it_is() {
        assert_eq!(evened(&stack(&[3.0, 3.5, 4.0, 5.0, 5.0, 9.0]), 40), None);
        assert_eq!(evened(&stack(&[3.0, 5.0, 9.0]), 6), None);
        assert_eq!(evened(&stack(&[4.0; 6]), 6), None);
        let mut pairs = stack(&[3.0, 5.0, 9.0, 9.0]);
        pairs.leaves[0].x = 20.0;
        assert_eq!(evened(&pairs, 6), None);
    }
}
