//! Blanks glued up: a leaf described after it was said how it is made is that blank, with its allowances on.

use super::event::LeafDescribed;
use super::making::BuildDescribed;
use super::replay::OpeningState;
use crate::fit::length::Length;
use crate::fit::opening::Edge;

impl BuildDescribed {
    /// The allowance on one edge of the blank.
    fn allowance_on(&self, edge: Edge) -> Length {
        if self.trimmed.has(edge) { self.allowance } else { Length::ZERO }
    }

    /// Width and height of a blank of this rough width and height when done: less its allowances. As it is where
    /// they leave nothing of it.
    fn finished(&self, [width, height]: [Length; 2]) -> [Length; 2] {
        let less = |size: Length, edges: [Edge; 2]| {
            let less = edges.into_iter().try_fold(size, |size, edge| size.checked_sub(self.allowance_on(edge)));
            less.filter(|left| *left > Length::ZERO).unwrap_or(size)
        };
        [less(width, [Edge::Left, Edge::Right]), less(height, [Edge::Bottom, Edge::Top])]
    }
}

impl OpeningState {
    /// Notes what a leaf's description makes of its finished size: as described, or, of a blank glued up, less the
    /// allowances that it was made with (a later build may have others).
    pub(super) fn size_described(&mut self, leaf: &LeafDescribed) {
        let (id, described) = (&leaf.leaf, [leaf.width, leaf.height]);
        let build = self.making.build(id).cloned();
        let size = build.as_ref().map_or(described, |build| build.finished(described));
        self.making.sizes.insert(id.clone(), size);
        match build {
            Some(build) => self.making.glued.insert(id.clone(), build),
            None => self.making.glued.remove(id),
        };
    }

    /// Is leaf `id` glued up, from the parts that it is now said to have? What is told anew of its wood, its finish or
    /// its allowances leaves it so; another frame, thickness or grain is another leaf, to be made.
    pub fn is_glued_up(&self, id: &str) -> bool {
        let of = |build: &BuildDescribed| (build.frame, build.thickness, build.made());
        let glued = self.making.glued.get(id).map(of);
        glued.is_some() && glued == self.making.build(id).map(of)
    }
}

#[cfg(test)]
mod tests {
    use crate::fit::length::Length;
    use crate::shop::OpeningState;
    use crate::shop::event::{Event, Record};
    use serde_json::{Value, json};

    fn size(events: &[Value]) -> Option<[String; 2]> {
        let record = |(n, event): (u64, &Value)| {
            let event: Event = serde_json::from_value(event.clone()).unwrap();
            Record { n, at: String::new(), event }
        };
        let state = OpeningState::replay(&(1..).zip(events).map(record).collect::<Vec<_>>());
        state.making.sizes.get("A").map(|size| size.map(Length::canonical))
    }

    #[test]
    fn allowances_are_of_the_build_that_the_blank_was_glued_up_by() {
        let opening = json!({"event": "opening", "gaps": [], "leaves": [{"leaf": "A"}]});
        let leaf = json!({"event": "leaf", "leaf": "A", "width": "16", "height": "7"});
        let build = |allowance: &str, trimmed: &[&str]| json!({"event": "build", "leaf": "A", "thickness": "3/4", "allowance": allowance, "trimmed": trimmed});
        let all = ["left", "right", "bottom", "top"];
        let text = |width: &str, height: &str| Some([width.to_owned(), height.to_owned()]);
        for (events, wanted) in [
            (vec![], None),
            // Described before anything was said of how it is made: that is its size.
            (vec![leaf.clone()], text("16\"", "7\"")),
            (vec![leaf.clone(), build("1/8", &all)], text("16\"", "7\"")),
            (vec![opening.clone(), build("1/8", &all), leaf.clone()], text("15 3/4\"", "6 3/4\"")),
            (vec![opening.clone(), build("1/8", &["left"]), leaf.clone()], text("15 7/8\"", "7\"")),
            // Said anew after it was glued up.
            (vec![opening.clone(), build("1/8", &["top"]), leaf.clone(), build("1/2", &all)], text("16\"", "6 7/8\"")),
            // Allowances that leave nothing are no allowances of this leaf.
            (vec![opening, build("7/2", &["bottom", "top"]), leaf], text("16\"", "7\"")),
        ] {
            assert_eq!(size(&events), wanted, "{events:?}");
        }
    }
}
