//! The order that changes the fence least. The trims of one leaf keep their own order; which leaf comes next is
//! free.

use super::Row;
use crate::cut::rip::Pad;
use crate::cut::setting::Setting;
use crate::cut::setup::Setup;
use crate::fit::length::{Inches, Length};
use std::collections::HashMap;

/// Where fence or stop stand for a cut. Two cuts with the same setting need no move between them.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fence {
    /// The rip fence of a saw, fence to near face of the blade.
    Rip {
        /// The saw.
        saw: String,
        /// Where it stands.
        at: Standing,
    },
    /// The stop of a sled, stop to blade.
    Sled {
        /// The sled.
        sled: String,
        /// Where it stands.
        at: Standing,
    },
}

/// How the place of a fence or stop is found.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Standing {
    /// By the rule: this far from the blade, which is true for every cut made at it.
    OnTheRule(Length),
    /// Only by the move from kissing: no step of the rule comes near enough. The place that follows from it,
    /// to the nearest ten-thousandth of an inch, tells whether the next cut finds it there already.
    ByKissing(Length),
}

/// Places found by kissing are compared in steps of which an inch has so many.
const COMPARED: f64 = 10_000.0;

fn standing(absolute: Option<Setting>, place: f64) -> Standing {
    match absolute {
        Some(setting) => Standing::OnTheRule(setting.value),
        None => Standing::ByKissing(Inches((place * COMPARED).round() / COMPARED).length()),
    }
}

impl Row {
    /// Where fence or stop stand; none where neither is used.
    pub fn fence(&self) -> Option<Fence> {
        match &self.sheet.sheet.setup {
            Setup::Rip(rip) => {
                let at = standing(rip.fence_absolute, rip.fence_distance().get());
                Some(Fence::Rip { saw: rip.saw.clone(), at })
            }
            Setup::Sled(sled) => {
                let stop = sled.line(&sled.bearings()).kiss().0 - sled.stop_move.value.inches();
                Some(Fence::Sled { sled: sled.sled.clone(), at: standing(sled.stop_absolute, stop) })
            }
            Setup::GuideLine(_) | Setup::Plane(_) | Setup::SandingBlock(_) => None,
        }
    }

    /// The pads laid for it.
    pub fn pads(&self) -> &[Pad] {
        match &self.sheet.sheet.setup {
            Setup::Rip(rip) => &rip.pads,
            Setup::Sled(sled) => &sled.pads,
            Setup::GuideLine(_) | Setup::Plane(_) | Setup::SandingBlock(_) => &[],
        }
    }

    /// Against the fence first, then on the sled, then to a line; the plane before the sanding block.
    fn rank(&self) -> u8 {
        match &self.sheet.sheet.setup {
            Setup::Rip(_) | Setup::Plane(_) => 0,
            Setup::Sled(_) | Setup::SandingBlock(_) => 1,
            Setup::GuideLine(_) => 2,
        }
    }
}

/// How often something is set, the first time counted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Changes {
    /// Fence or stop.
    pub fence: usize,
    /// Pads laid, where there are any.
    pub pads: usize,
}

/// How often fence and pads are set when `rows` are done in this order.
pub fn changes(rows: &[&Row]) -> Changes {
    let mut changes = Changes::default();
    let mut now: Option<(Fence, &[Pad])> = None;
    for (fence, pads) in rows.iter().filter_map(|row| Some((row.fence()?, row.pads()))) {
        if now.as_ref().is_none_or(|(before, _)| *before != fence) {
            changes.fence += 1;
        }
        if !pads.is_empty() && now.as_ref().is_none_or(|(_, before)| *before != pads) {
            changes.pads += 1;
        }
        now = Some((fence, pads));
    }
    changes
}

/// One leaf's rows that are still to be placed, first to last.
struct Chain<'a> {
    rows: Vec<&'a Row>,
    fences: Vec<Option<Fence>>,
    at: usize,
}

impl<'a> Chain<'a> {
    fn head(&self) -> Option<(&'a Row, Option<&Fence>)> {
        Some((*self.rows.get(self.at)?, self.fences.get(self.at)?.as_ref()))
    }

    /// Does a row that needs the fence wait behind the head?
    fn holds_up(&self) -> bool {
        self.fences.iter().skip(self.at + 1).any(Option::is_some)
    }
}

/// The rows in the order that sets the fence least: next comes what needs no move at all, then what no later
/// row will need again. Never more fence settings than in the order given.
pub fn arranged<'a>(rows: &[&'a Row]) -> Vec<&'a Row> {
    let mut chains: Vec<Chain<'a>> = Vec::new();
    let mut places: HashMap<(&str, &str), usize> = HashMap::new();
    let mut behind: HashMap<Fence, usize> = HashMap::new();
    for row in rows {
        let place = *places.entry((&row.file, &row.sheet.trim.leaf)).or_insert_with(|| {
            chains.push(Chain { rows: Vec::new(), fences: Vec::new(), at: 0 });
            chains.len() - 1
        });
        let Some(chain) = chains.get_mut(place) else { continue };
        let fence = row.fence();
        if let Some(fence) = fence.clone().filter(|_| !chain.rows.is_empty()) {
            *behind.entry(fence).or_default() += 1;
        }
        chain.rows.push(row);
        chain.fences.push(fence);
    }
    let mut order: Vec<&Row> = Vec::with_capacity(rows.len());
    let mut now: Option<(Fence, &[Pad])> = None;
    while let Some(place) = next(&chains, now.as_ref(), &behind) {
        let Some(chain) = chains.get_mut(place) else { break };
        let Some((row, fence)) = chain.head() else { break };
        if let Some(fence) = fence {
            now = Some((fence.clone(), row.pads()));
        }
        order.push(row);
        chain.at += 1;
        if let Some(count) = chain.head().and_then(|(_, fence)| behind.get_mut(fence?)) {
            *count = count.saturating_sub(1);
        }
    }
    if changes(&order) <= changes(rows) { order } else { rows.to_vec() }
}

/// The chain whose head comes next.
fn next(chains: &[Chain<'_>], now: Option<&(Fence, &[Pad])>, behind: &HashMap<Fence, usize>) -> Option<usize> {
    let cost = |place: usize, chain: &Chain<'_>| {
        let (row, fence) = chain.head()?;
        let moves = match (fence, now) {
            (None, _) => !chain.holds_up(),
            (Some(fence), Some((set, _))) => fence != set,
            (Some(_), None) => true,
        };
        let lays = fence.is_some() && now.is_none_or(|(_, pads)| *pads != row.pads());
        let again = fence.is_some_and(|fence| behind.get(fence).is_some_and(|count| *count > 0));
        Some((moves, lays && !moves, row.rank(), again, fence.cloned(), place))
    };
    let costs = chains.iter().enumerate().filter_map(|(place, chain)| cost(place, chain));
    costs.min().map(|(.., place)| place)
}
