//! A plan on the picture: as it is with the wood to remove, and as it will be.

use super::opening::OpeningPicture;
use super::paper::Paper;
use crate::screen::theme::Role;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::widgets::Widget;

/// Columns below which two pictures side by side cannot be read.
const LEAST_BESIDE: u16 = 64;
/// Rows from which one picture above the other can be read.
const LEAST_ABOVE: u16 = 22;

/// Two pictures of one opening (their cursors are not shown). Both are drawn with the same factor, so that they compare.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BeforeAfter {
    /// As it is; its removals are shaded.
    pub before: OpeningPicture,
    /// As the plan leaves it; no removals.
    pub after: OpeningPicture,
}

impl Widget for &BeforeAfter {
    fn render(self, area: Rect, buffer: &mut Buffer) {
        let area = area.intersection(buffer.area);
        let factor = self.before.factor();
        let mut before = OpeningPicture { exaggeration: Some(factor), cursor: None, ..self.before.clone() };
        let mut after = OpeningPicture { exaggeration: Some(factor), cursor: None, ..self.after.clone() };
        if before.title.is_empty() {
            before.title = if before.removals.is_empty() { "now" } else { "now, ▒ off" }.to_string();
        }
        after.title = "after".to_string();
        let halves = halves(area, self.is_wide());
        let Some((first, second)) = halves else { return self.words(area, buffer) };
        before.render(first, buffer);
        after.render(second, buffer);
    }
}

/// The two areas: the way round that gives each the better room; none when there is room for neither.
fn halves(area: Rect, wide: bool) -> Option<(Rect, Rect)> {
    let beside = area.width >= LEAST_BESIDE && area.height >= 9;
    let above = area.height >= LEAST_ABOVE && area.width >= 24;
    if above && (!beside || (wide && area.height >= 40)) {
        let half = area.height / 2;
        let first = Rect { height: half, ..area };
        return Some((first, Rect { y: area.y + half, height: area.height - half, ..area }));
    }
    beside.then(|| {
        // Two columns between them keep the one's fractions from the other's.
        let half = (area.width - 2) / 2;
        let first = Rect { width: half, ..area };
        (first, Rect { x: area.x + area.width - half, width: half, ..area })
    })
}

impl BeforeAfter {
    fn is_wide(&self) -> bool {
        self.before.width > 1.2 * self.before.height
    }

    /// Each station in a line: now and after.
    fn words(&self, area: Rect, buffer: &mut Buffer) {
        let theme = self.before.theme;
        let mut paper = Paper::new(area, buffer);
        let height = paper.height();
        let mut row = 0;
        let several = self.before.leaves.len() > 1;
        for removal in &self.before.removals {
            let leaf = self.before.leaves.get(removal.leaf).filter(|_| several);
            let leaf = leaf.map_or(String::new(), |leaf| format!("{} ", leaf.name));
            let line = format!("{leaf}{} edge: off {} to {}", removal.edge, removal.shown_start, removal.shown_end);
            paper.put(0, row, &line, theme.style(Role::Next));
            row += 1;
        }
        for (now, then) in self.before.stations.iter().zip(&self.after.stations) {
            if row >= height {
                return;
            }
            let leaf = self.before.leaves.get(now.leaf).map_or("", |leaf| leaf.name.as_str());
            let leaf = if several { format!(" {leaf}") } else { String::new() };
            let line = format!(
                "{} {} -> {} {} {} edge{leaf}",
                now.shown,
                now.standing.mark(),
                then.shown,
                then.standing.word(),
                now.edge
            );
            paper.put(0, row, &line, theme.style(now.standing.role()));
            row += 1;
        }
    }
}
