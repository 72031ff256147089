//! How a leaf is made, as far as cutting and season go: which of its edges are end grain.

use super::check::{CheckError, refuse};
use super::event::LeafDescribed;
use super::making::{BuildDescribed, Grain};
use super::replay::OpeningState;
use crate::cut::job::Construction;

impl LeafDescribed {
    /// How it is made, where the description says so.
    pub fn said_made(&self) -> Option<Construction> {
        self.made.or(self.solid.then_some(Construction::SolidAcross))
    }
}

impl BuildDescribed {
    /// How the leaf is made: framed, or solid with its grain.
    pub fn made(&self) -> Construction {
        match (&self.frame, self.grain) {
            (Some(_), _) => Construction::Framed,
            (None, Grain::Level) => Construction::SolidAcross,
            (None, Grain::Upright) => Construction::SolidUpright,
        }
    }
}

impl OpeningState {
    /// How leaf `id` is made: as its build or its description says, whichever was said last. A description that
    /// says "solid" and no more does not turn the grain that a build told. Where nobody said, a leaf that hangs is
    /// taken as framed, as face-frame doors are (common practice, no published source); a front is
    /// [`Construction::Unsaid`].
    pub fn made(&self, id: &str) -> Construction {
        let usual = if self.hinge_of(id).is_some() { Construction::Framed } else { Construction::Unsaid };
        self.said_made(id).unwrap_or(usual)
    }

    /// How leaf `id` is made, as far as somebody said; [`Construction::Unsaid`] where nobody did. A set-up asks this: a
    /// door may be a slab as well as a front may.
    pub fn made_as_said(&self, id: &str) -> Construction {
        self.said_made(id).unwrap_or(Construction::Unsaid)
    }

    fn said_made(&self, id: &str) -> Option<Construction> {
        let leaf = self.leaves.iter().find(|leaf| leaf.what.leaf == id);
        let told = leaf.and_then(|leaf| leaf.what.said_made().map(|made| (leaf.n, made)));
        let build = self.making.builds.iter().find(|build| build.what.leaf == id);
        let build = build.map(|build| (build.n, build.what.made()));
        let says_grain = leaf.is_some_and(|leaf| leaf.what.made.is_some());
        match (told, build) {
            (Some((later, told)), Some((n, build))) if later > n => {
                Some(if says_grain || build == Construction::Framed { told } else { build })
            }
            (_, Some((_, build))) => Some(build),
            (Some((_, told)), None) => Some(told),
            (None, None) => self.making.to_come.iter().find(|leaf| leaf.leaf == id).and_then(|leaf| leaf.made),
        }
    }
}

/// A description must not say both "framed" and "solid".
pub(super) fn check(leaf: &LeafDescribed) -> Result<(), CheckError> {
    if leaf.solid && leaf.made == Some(Construction::Framed) {
        return refuse("made", "'framed' beside \"solid\": true; leave one of them out");
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::event::{Event, Record};
    use serde_json::{Value, json};

    fn made(events: &[Value]) -> Construction {
        let record = |(n, event): (u64, &Value)| {
            let event: Event = serde_json::from_value(event.clone()).unwrap();
            Record { n, at: String::new(), event }
        };
        OpeningState::replay(&(1..).zip(events).map(record).collect::<Vec<_>>()).made("A")
    }

    fn leaf(more: Value) -> Value {
        let mut leaf = json!({"event": "leaf", "leaf": "A", "width": "16", "height": "7"});
        let (Some(all), Value::Object(more)) = (leaf.as_object_mut(), more) else { return leaf };
        all.extend(more);
        leaf
    }

    fn build(more: Value) -> Value {
        let mut build = json!({"event": "build", "leaf": "A", "thickness": "3/4", "allowance": "1/16"});
        let (Some(all), Value::Object(more)) = (build.as_object_mut(), more) else { return build };
        all.extend(more);
        build
    }

    #[test]
    fn what_was_said_last_decides() {
        use Construction::{Framed, SolidAcross, SolidUpright, Unsaid};
        let opening = json!({"event": "opening", "gaps": [], "leaves": [{"leaf": "A"}]});
        let to_come = json!({"event": "opening", "gaps": [], "leaves": [{"leaf": "A", "made": "solid-upright"}]});
        let frame = json!({"frame": {"stiles": ["2", "2"], "rails": ["2", "2"], "joint": "stub-tenon", "groove": "3/8",
            "float": "1/8", "panel_thickness": "1/4"}});
        let none = || json!({});
        let cases = [
            (vec![leaf(none())], Unsaid),
            (vec![leaf(json!({"hinge": "left"}))], Framed),
            (vec![leaf(json!({"made": "framed"}))], Framed),
            (vec![leaf(json!({"solid": true}))], SolidAcross),
            (vec![leaf(json!({"hinge": "left", "made": "solid-upright"}))], SolidUpright),
            (vec![leaf(none()), build(none())], SolidAcross),
            (vec![leaf(json!({"hinge": "left"})), build(json!({"grain": "upright"}))], SolidUpright),
            // As the blank page wrote it: the build first, then the leaf, which said "solid" only.
            (vec![opening.clone(), build(json!({"grain": "upright"})), leaf(json!({"solid": true}))], SolidUpright),
            (vec![opening.clone(), build(frame.clone()), leaf(none())], Framed),
            (vec![opening.clone(), build(frame.clone()), leaf(json!({"solid": true}))], SolidAcross),
            (vec![leaf(json!({"solid": true})), build(frame)], Framed),
            (vec![opening.clone(), build(none()), leaf(json!({"made": "solid-upright"}))], SolidUpright),
            (vec![to_come.clone()], SolidUpright),
            (vec![to_come, build(none())], SolidAcross),
            (vec![opening], Unsaid),
        ];
        for (events, wanted) in cases {
            assert_eq!(made(&events), wanted, "{events:?}");
        }
    }
}
