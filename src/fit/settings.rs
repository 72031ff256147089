//! Settings of the hinges of hung leaves, and the list of all of them.

use super::hung::{AXES, Step, Way};
use super::length::Length;
use super::network::Network;

/// One setting of all hung leaves.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// Axes of each leaf, in (zeros where it is not hung).
    pub axes: Vec<[f64; AXES]>,
    /// For each leaf its hinges, lowest first, with their steps; empty where nothing is stepped.
    pub hinges: Vec<Vec<(Length, Step)>>,
    /// Clicks of the height screws of each leaf.
    pub raised: Vec<Step>,
    /// Hinges changed, pieces, hinges let in.
    pub effort: (u32, u32, u32),
}

impl Setting {
    /// The setting of these steps: for each leaf low hinge, raised, high hinge.
    pub fn of(network: &Network, steps: &[[Step; AXES]]) -> Self {
        let mut setting = Self { axes: Vec::new(), hinges: Vec::new(), raised: Vec::new(), effort: (0, 0, 0) };
        for (frame, &[low, raise, high]) in network.leaves.iter().zip(steps) {
            let hinges = frame.hung.as_ref().map_or_else(Vec::new, |hung| hung.all_hinges(low, high));
            let moved = hinges.iter().map(|(_, step)| step).chain([&raise]).filter(|step| !step.out.is_zero());
            for step in moved {
                setting.effort.0 += 1;
                setting.effort.1 += step.pieces();
                setting.effort.2 += u32::from(step.out.is_negative());
            }
            setting.axes.push([low.out.inches(), raise.out.inches(), high.out.inches()]);
            setting.hinges.push(hinges);
            setting.raised.push(raise);
        }
        setting
    }

    /// How far out one axis of a leaf is, in.
    pub fn value(&self, leaf: usize, axis: usize) -> f64 {
        self.axes.get(leaf).and_then(|axes| axes.get(axis)).copied().unwrap_or(0.0)
    }
}

/// Least effort first.
pub fn in_order(mut settings: Vec<Setting>) -> Vec<Setting> {
    settings.sort_by_key(|setting| setting.effort);
    settings
}

/// Only "nothing".
const ONE: &[Step] = &[Step::NOTHING];

/// Steps of each axis of each leaf; only "nothing" where an axis has none.
fn ways(network: &Network) -> impl Iterator<Item = [&[Step]; AXES]> {
    fn of(way: &Way) -> &[Step] {
        match way {
            Way::Steps(steps) => steps,
            Way::Locked | Way::Range(..) => ONE,
        }
    }
    network.leaves.iter().map(|frame| frame.hung.as_ref().map_or([ONE; AXES], |hung| hung.ways.each_ref().map(of)))
}

/// How many settings there are.
pub fn count(network: &Network) -> usize {
    ways(network).flatten().map(<[Step]>::len).fold(1, usize::saturating_mul)
}

/// All settings of an opening (of more than `most`, those with the fewest pieces at each hinge), least effort first;
/// and whether some had to be left out.
pub fn every_setting(network: &Network, most: usize) -> (Vec<Setting>, bool) {
    let mut cropped = network.leaves.iter().filter_map(|frame| frame.hung.as_ref()).any(|hung| hung.cropped);
    let axes = network.leaves.iter().filter_map(|frame| frame.hung.as_ref()).flat_map(|hung| &hung.ways);
    let stepped = axes.filter(|way| matches!(way, Way::Steps(_))).count();
    let each = (most as f64).powf(1.0 / stepped.max(1) as f64).floor().max(1.0) as usize;
    let mut all: Vec<Vec<[Step; AXES]>> = vec![Vec::new()];
    for leaf in ways(network) {
        cropped |= leaf.iter().any(|steps| steps.len() > each);
        let [low, raise, high] = leaf.map(|steps| steps.get(..each).unwrap_or(steps));
        let mut wider = Vec::with_capacity(all.len() * low.len() * raise.len() * high.len());
        for one in &all {
            for &high in high {
                for &low in low {
                    for &raise in raise {
                        let mut one = one.clone();
                        one.push([low, raise, high]);
                        wider.push(one);
                    }
                }
            }
        }
        all = wider;
    }
    (in_order(all.iter().map(|steps| Setting::of(network, steps)).collect()), cropped)
}
