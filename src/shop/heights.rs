//! Heights wanted of leaves that are still to be made: each a length, or a share of what the others leave.

use super::check::{CheckError, above_zero, clipped, refuse};
use super::making::{LeafToCome, Making};
use super::replay::OpeningState;
use crate::fit::length::Length;
use serde::{Deserialize, Serialize};

/// Largest share: beyond that nobody divides an opening.
const MOST_SHARE: u32 = 1000;

/// The finished height wanted of one leaf.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct HeightWanted {
    /// Which leaf.
    pub leaf: String,
    /// Its height when done; none: its share of what the others leave.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height: Option<Length>,
    /// Its share of what is left, against the other leaves without a height; none: 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub share: Option<u32>,
}

/// Heights of the leaves still to come, said anew: a leaf that is not named takes its share of what is left.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct HeightsTold {
    /// The leaves.
    pub leaves: Vec<HeightWanted>,
}

impl Making {
    /// The height wanted of leaf `id`, or its share of what the leaves with a height leave; none where the opening
    /// does not name it as one to be made.
    pub fn wanted_height(&self, id: &str) -> Option<Result<Length, u32>> {
        let leaf = self.to_come.iter().find(|leaf| leaf.leaf == id)?;
        Some(leaf.height.ok_or(leaf.share.unwrap_or(1)))
    }

    pub(super) fn heights_told(&mut self, told: &HeightsTold) {
        for leaf in &mut self.to_come {
            let wanted = told.leaves.iter().find(|wanted| wanted.leaf == leaf.leaf);
            leaf.height = wanted.and_then(|wanted| wanted.height);
            leaf.share = wanted.and_then(|wanted| wanted.share);
        }
    }
}

/// One height or share, at `path` of the event.
fn one(path: &str, height: Option<Length>, share: Option<u32>) -> Result<(), CheckError> {
    if let Some(height) = height {
        above_zero(&format!("{path}.height"), height)?;
    }
    match share {
        Some(share) if !(1..=MOST_SHARE).contains(&share) => {
            refuse(format!("{path}.share"), format!("{share} is no share: a whole number from 1 to {MOST_SHARE}"))
        }
        Some(_) if height.is_some() => {
            refuse(format!("{path}.share"), "a leaf has either a height, or a share of what the others leave")
        }
        _ => Ok(()),
    }
}

/// Heights within the description of an opening.
pub(super) fn to_come(leaves: &[LeafToCome]) -> Result<(), CheckError> {
    let each = leaves.iter().enumerate();
    each.into_iter().try_for_each(|(place, leaf)| one(&format!("leaves[{place}]"), leaf.height, leaf.share))
}

/// Heights said anew: of leaves that are to be made here, each once.
pub(super) fn check(state: &OpeningState, told: &HeightsTold) -> Result<(), CheckError> {
    if told.leaves.is_empty() {
        return refuse("leaves", "no leaf is named");
    }
    for (place, wanted) in told.leaves.iter().enumerate() {
        let path = format!("leaves[{place}]");
        if state.making.wanted_height(&wanted.leaf).is_none() {
            let known: Vec<_> = state.making.to_come.iter().map(|leaf| leaf.leaf.as_str()).collect();
            let known = if known.is_empty() { "none".to_owned() } else { known.join(", ") };
            let leaf = clipped(&wanted.leaf);
            return refuse(format!("{path}.leaf"), format!("no leaf '{leaf}' is to be made here; there is: {known}"));
        }
        if let Some(first) = told.leaves.iter().take(place).position(|other| other.leaf == wanted.leaf) {
            return refuse(format!("{path}.leaf"), format!("leaves[{first}] has the same short name"));
        }
        one(&path, wanted.height, wanted.share)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::event::{Event, Record};
    use serde_json::{Value, json};

    fn record(n: u64, event: Value) -> Record {
        let mut event = event;
        (event["n"], event["at"]) = (json!(n), json!("2026-03-02T14:05:11Z"));
        serde_json::from_value(event).unwrap()
    }

    fn opening() -> Record {
        let leaves = json!([{"leaf": "A", "height": "9"}, {"leaf": "B"}, {"leaf": "C", "share": 2}]);
        record(1, json!({"event": "opening", "gaps": [], "leaves": leaves}))
    }

    #[test]
    fn heights_are_those_said_last() {
        let wanted = |records: &[Record]| {
            let state = OpeningState::replay(records);
            ["A", "B", "C", "D"].map(|id| state.making.wanted_height(id))
        };
        let inch = |n| Some(Ok(Length::ratio(n, 1)));
        assert_eq!(wanted(&[opening()]), [inch(9), Some(Err(1)), Some(Err(2)), None]);
        // Who is not named takes a share of what is left.
        let told = record(2, json!({"event": "heights", "leaves": [{"leaf": "C", "height": "5"}]}));
        assert_eq!(wanted(&[opening(), told.clone()]), [Some(Err(1)), Some(Err(1)), inch(5), None]);
        // Taken back, they are what they were.
        let strike = record(3, json!({"event": "strike", "strikes": 2}));
        assert_eq!(wanted(&[opening(), told, strike]), [inch(9), Some(Err(1)), Some(Err(2)), None]);
    }

    #[test]
    fn what_is_no_height_is_refused_with_its_field() {
        let state = OpeningState::replay(&[opening()]);
        for (leaves, field, why) in [
            (json!([]), "leaves", "no leaf"),
            (json!([{"leaf": "D"}]), "leaves[0].leaf", "there is: A, B, C"),
            (json!([{"leaf": "A"}, {"leaf": "A"}]), "leaves[1].leaf", "same short name"),
            (json!([{"leaf": "A", "height": "0"}]), "leaves[0].height", "0"),
            (json!([{"leaf": "A", "share": 0}]), "leaves[0].share", "no share"),
            (json!([{"leaf": "A", "share": 1001}]), "leaves[0].share", "no share"),
            (json!([{"leaf": "A", "share": 1, "height": "2"}]), "leaves[0].share", "either"),
        ] {
            let Event::Heights(told) = record(2, json!({"event": "heights", "leaves": leaves})).event else { panic!() };
            let error = check(&state, &told).unwrap_err();
            assert!(error.field == field && error.why.contains(why), "{error}");
        }
    }
}
