//! The cut list of the whole shop, with what is sawn.

use super::Missing;
use super::sizes::{self, LeafBlank};
use super::ticks;
use crate::before::blank::Part;
use crate::before::blank::cut_list::CutList;
use crate::before::blank::tick::Tick;
use crate::fit::length::Show;
use crate::shop::summary::WholeOpening;
use std::collections::BTreeMap;

/// Where a line of the list belongs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartOf {
    /// File of the opening, without its ending.
    pub file: String,
    /// Which leaf there.
    pub leaf: String,
    /// The part itself.
    pub made: Part,
    /// How far it is.
    pub tick: Tick,
}

/// A cut list over openings.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ShopList {
    /// Grouped by thickness and width.
    pub list: CutList,
    /// For each line's key, where it belongs.
    pub parts: BTreeMap<String, PartOf>,
    /// Leaves that are left out, and why.
    pub left_out: Vec<(String, String)>,
}

impl ShopList {
    /// How far the line with this key is.
    pub fn tick(&self, key: &str) -> Tick {
        self.parts.get(key).map_or(Tick::Open, |part| part.tick)
    }
}

/// The list for `openings`. A leaf of which nothing says how it is made is not to be made here: it is
/// passed over; one that lacks anything else is listed with the reason. A tick holds to what `show` tells apart, and
/// lengths in a reason are shown so.
pub fn shop_list(openings: &[WholeOpening], show: Show) -> ShopList {
    let mut blanks: Vec<(&WholeOpening, LeafBlank)> = Vec::new();
    let mut left_out = Vec::new();
    for opening in openings {
        if let Some(trouble) = &opening.trouble {
            left_out.push((opening.name.clone(), trouble.clone()));
            continue;
        }
        for id in opening.state.leaf_ids() {
            match sizes::blank(&opening.name, &opening.state, id) {
                Ok(blank) => blanks.push((opening, blank)),
                Err(Missing::Build(_)) => {}
                Err(_) if opening.state.making.build(id).is_none() => {}
                // Heights that do not add up are those of all fronts of the opening.
                Err(why @ Missing::Heights(_)) => {
                    let why = (opening.name.clone(), why.told(show));
                    if !left_out.contains(&why) {
                        left_out.push(why);
                    }
                }
                Err(why) => left_out.push((sizes::list_name(&opening.name, &opening.state, id), why.told(show))),
            }
        }
    }
    let mut list = ShopList { left_out, ..ShopList::default() };
    let mut sound = Vec::new();
    // Two openings may have one name: the second is told apart by its file.
    let mut names: BTreeMap<String, usize> = BTreeMap::new();
    for (opening, blank) in &blanks {
        let used = names.entry(blank.make.name.clone()).or_insert(0);
        *used += 1;
        let name = if *used > 1 { format!("{} ({})", blank.make.name, opening.file) } else { blank.make.name.clone() };
        match &blank.blank {
            Ok(parts) => {
                for part in &parts.parts {
                    let place = PartOf {
                        file: opening.file.clone(),
                        leaf: blank.leaf.clone(),
                        made: *part,
                        tick: ticks::tick(&opening.state, &blank.leaf, part, show),
                    };
                    list.parts.insert(CutList::key(&name, part.kind), place);
                }
                sound.push((name, parts));
            }
            Err(why) => list.left_out.push((name, why.to_string())),
        }
    }
    list.list = CutList::of(sound.iter().map(|(name, blank)| (name.as_str(), *blank)));
    list
}
