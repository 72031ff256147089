//! An opening with one door as the shop describes it: what the truth tells and no more.

use super::truth::{TARGET, Truth};
use evenreveal::fit::length::Length;
use evenreveal::fit::opening::{Edge, Facing, GapLine, Leaf, Motion, Side};
use evenreveal::shop::event::{Event, GapWanted, LeafDescribed, OpeningMeasured};

/// The opening as its log describes it.
pub struct Desk {
    pub leaf: Leaf,
    pub gaps: Vec<GapLine>,
    pub stations: Vec<[Length; 3]>,
}

impl Desk {
    pub fn new(truth: &Truth) -> Self {
        let sixty_fourth = |x: f64| Length::ratio((x * 64.0).round() as i64, 64);
        let leaf = Leaf {
            id: "A".into(),
            width: sixty_fourth(truth.width),
            height: sixty_fourth(truth.height),
            hinge: Some(Side::Left),
            may_cut: truth.may_cut,
            motion: Motion::Free,
        };
        let line = |edge| {
            let facing = Facing::Leaf { leaf: 0, edge };
            let between = match edge {
                Edge::Left | Edge::Bottom => [Facing::Frame, facing],
                Edge::Right | Edge::Top => [facing, Facing::Frame],
            };
            GapLine {
                between,
                target: Length::from_inches_near(TARGET).unwrap(),
                offset: Length::ZERO,
                readings: vec![],
            }
        };
        let stations = Edge::ALL.map(|edge| truth.stations(edge).map(|s| Length::from_inches_near(s).unwrap()));
        Self { leaf, gaps: Edge::ALL.map(line).to_vec(), stations: stations.to_vec() }
    }

    /// The events that describe it.
    pub fn events(&self) -> [Event; 2] {
        let side = |facing: &Facing| match facing {
            Facing::Frame => "frame".to_owned(),
            Facing::Leaf { edge, .. } => format!("{}.{edge}", self.leaf.id),
        };
        let wanted = |line: &GapLine| GapWanted {
            between: line.between.each_ref().map(side),
            target: line.target,
            offset: line.offset,
        };
        let gaps = self.gaps.iter().map(wanted).collect();
        let Leaf { id, width, height, hinge, may_cut, motion } = self.leaf.clone();
        [
            Event::Opening(OpeningMeasured { gaps, tolerance: None, survey: None, leaves: vec![] }),
            Event::Leaf(LeafDescribed {
                leaf: id,
                name: "door".to_owned(),
                width,
                height,
                hinge,
                may_cut,
                motion,
                thickness: None,
                solid: false,
                made: None,
            }),
        ]
    }
}
