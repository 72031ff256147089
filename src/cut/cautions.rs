//! Cautions: what is said wherever a cut is proposed, and with each set-up; in full, in a few words, in fewest.

use super::job::Method;
use crate::fit::length::Unit;
use serde::Serialize;

/// What must be said wherever a cut is proposed, whatever else is said: each is the point of at least one [`Caution`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Point {
    /// The maker's manual, local codes and qualified instruction come first.
    Manual,
    /// Unplug to adjust.
    Unplug,
    /// Riving knife or splitter, and guard.
    Guard,
    /// Blade stopped before hands move near it.
    BladeAtRest,
    /// Push blocks or a push stick.
    Push,
    /// Never shorter against the fence than wide from fence to blade.
    NeverShorter,
    /// Eyes and ears.
    EyesAndEars,
}

impl Point {
    /// All of them, as they hold for every saw.
    pub const ALL: [Self; 7] =
        [Self::Manual, Self::Unplug, Self::Guard, Self::BladeAtRest, Self::Push, Self::NeverShorter, Self::EyesAndEars];

    /// Those that apply to a method: a plane and a sanding block have no plug, no guard and no blade that runs on.
    pub fn of(method: Method) -> &'static [Self] {
        match method {
            Method::Rip | Method::Sled | Method::GuideLine => &Self::ALL,
            Method::Plane | Method::SandingBlock => &[Self::Manual, Self::EyesAndEars],
        }
    }
}

/// A caution that goes with a set-up. The machine's manual, local codes and qualified instruction
/// come before anything said here.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Caution {
    /// Defer to the manual, codes and instruction.
    ManualComesFirst,
    /// The same where no machine cuts.
    ToolManualComesFirst,
    /// Unplug while setting up.
    PowerOff,
    /// Guard, riving knife or splitter, anti-kickback.
    GuardAndKnife,
    /// The same for a saw that is led along a line.
    GuardOfSaw,
    /// The blade stands before hands come near it.
    BladeAtRest,
    /// Push stick or push block.
    PushStick,
    /// The same for a saw that is led along a line.
    HandsOnSaw,
    /// Never shorter against the fence than wide from fence to blade.
    NeverShorter,
    /// Stand aside.
    StandAside,
    /// Keep both bearings on the fence.
    KeepOnFence,
    /// Pads firm and inside.
    PadsFirm,
    /// Support a long leaf.
    Support,
    /// Try it on scrap.
    TryScrap,
    /// Stop the offcut wandering on the sled, hold the leaf down.
    ClampToSled,
    /// Clamp a small leaf to the sled.
    ClampSmallLeaf,
    /// Clamp the guide and the leaf.
    ClampGuide,
    /// Back up end grain.
    BackUpEndGrain,
    /// Nobody said how the leaf is made: end grain may be where none is expected.
    LookForEndGrain,
    /// Hold the leaf for planing.
    HoldForPlane,
    /// Hold the leaf for a sanding block.
    HoldForBlock,
    /// Eyes, ears, dust.
    EyesEarsDust,
    /// Wood does not go back.
    LookAgain,
}

impl Caution {
    /// In plain words. Riving knife, push stick: UK HSE rip-saw guidance; hood guard, spreader and
    /// anti-kickback: US 29 CFR 1910.213(c); the rest is common practice, no published source.
    pub fn text(self) -> &'static str {
        match self {
            Self::ManualComesFirst => {
                "Your machine's manual, local codes and qualified instruction come before anything said here."
            }
            Self::ToolManualComesFirst => {
                "Your tool's manual, local codes and qualified instruction come before anything said here."
            }
            Self::PowerOff => "Unplug the saw while you set it up, and before you touch the blade.",
            Self::GuardAndKnife => {
                "Guard down, riving knife (or splitter, that is spreader, and anti-kickback) on: knife within 8 mm \
                 (5/16) of the blade, thinner than the kerf, thicker than the plate."
            }
            Self::GuardOfSaw => "Guard on and free to close; riving knife or splitter on, where the saw has one.",
            Self::BladeAtRest => {
                "Switch off and wait until the blade has stopped before hands move near it, for the offcut too."
            }
            Self::PushStick => {
                "Push stick at least 450 mm (18 in) long, or push blocks, always for the last 300 mm (12 in) of the \
                 cut."
            }
            Self::HandsOnSaw => "Both hands on the saw's grips, or on push blocks: none in the line of the blade.",
            Self::NeverShorter => {
                "Never run a piece against a fence on an edge that is shorter than the piece is wide from fence to \
                 blade: it pivots and kicks back."
            }
            Self::StandAside => "Stand out of line with the blade. Never reach over or behind it.",
            Self::KeepOnFence => "Corner and pads on the fence from start to end; if one leaves it, stop the saw.",
            Self::PadsFirm => "Stick the pads fast, and look at them again before every pass.",
            Self::Support => "Support a long leaf before and behind the table.",
            Self::TryScrap => "Try the set-up on scrap of the same length first.",
            Self::ClampToSled => "Hold the leaf down and against the sled's fence; hands outside the blade's path.",
            Self::ClampSmallLeaf => {
                "Clamp so small a leaf to the sled, never hold it by hand; where no clamp holds it, plane it."
            }
            Self::ClampGuide => "Clamp guide and leaf; keep the line on the wood that stays.",
            Self::BackUpEndGrain => "Back up the end grain with scrap, or work from both corners inward.",
            Self::LookForEndGrain => {
                "Nobody said how this leaf is made, so it is taken as frame and panel. If it is solid, say so before \
                 you cut: its end grain, and with it the order and the strokes, is elsewhere."
            }
            Self::HoldForPlane => "Fix the leaf in a vice or against a stop; both hands behind the iron.",
            Self::HoldForBlock => "Fix the leaf in a vice or against a stop.",
            Self::EyesEarsDust => "Eye and ear protection, dust extraction.",
            Self::LookAgain => "Wood cannot be put back: hold the leaf in its opening again after each cut.",
        }
    }

    /// [`Self::short`] in the shop's own unit.
    pub fn short_for(self, unit: Unit) -> &'static str {
        match (self, unit) {
            (Self::PushStick, Unit::Millimetre) => "push stick, last 300 mm",
            _ => self.short(),
        }
    }

    /// In a few words, where there is little room; the whole stands in [`Caution::text`].
    pub fn short(self) -> &'static str {
        match self {
            Self::ManualComesFirst | Self::ToolManualComesFirst => "manual, local codes, instruction first",
            Self::PowerOff => "unplug to set up",
            Self::GuardAndKnife | Self::GuardOfSaw => "guard+knife",
            Self::BladeAtRest => "stop blade before hands move",
            Self::PushStick => "push stick, last 12 in",
            Self::HandsOnSaw => "hands on grips, push block",
            Self::NeverShorter => "never shorter than wide to blade",
            Self::StandAside => "stand aside, never reach over",
            Self::KeepOnFence => "corner, pads on fence",
            Self::PadsFirm => "pads fast",
            Self::Support => "support long leaf",
            Self::TryScrap => "try scrap",
            Self::ClampToSled => "leaf held to sled, hands clear",
            Self::ClampSmallLeaf => "clamp so small a leaf",
            Self::ClampGuide => "clamp guide and leaf",
            Self::BackUpEndGrain => "back up end grain",
            Self::LookForEndGrain => "taken as framed: if solid, say so first",
            Self::HoldForPlane => "fix the leaf, both hands behind the iron",
            Self::HoldForBlock => "fix the leaf",
            Self::EyesEarsDust => "eyes, ears",
            Self::LookAgain => "wood cannot be put back",
        }
    }

    /// In fewest words, for two rows of a small screen under letters that fill it.
    pub fn terse(self) -> &'static str {
        match self {
            Self::ManualComesFirst | Self::ToolManualComesFirst => "manual, codes, instruction first",
            Self::PushStick => "push stick",
            Self::HandsOnSaw => "push block",
            _ => self.short(),
        }
    }

    /// What of [`Point`] it says.
    pub fn point(self) -> Option<Point> {
        Some(match self {
            Self::ManualComesFirst | Self::ToolManualComesFirst => Point::Manual,
            Self::PowerOff => Point::Unplug,
            Self::GuardAndKnife | Self::GuardOfSaw => Point::Guard,
            Self::BladeAtRest => Point::BladeAtRest,
            Self::PushStick | Self::HandsOnSaw => Point::Push,
            Self::NeverShorter => Point::NeverShorter,
            Self::EyesEarsDust => Point::EyesAndEars,
            _ => return None,
        })
    }

    /// Those that hold wherever wood comes off, before a set-up says more: each [`Point`], then what else is usual.
    pub const WHEREVER_CUT: [Self; 9] = [
        Self::ManualComesFirst,
        Self::PowerOff,
        Self::GuardAndKnife,
        Self::BladeAtRest,
        Self::PushStick,
        Self::NeverShorter,
        Self::EyesEarsDust,
        Self::StandAside,
        Self::LookAgain,
    ];

    /// `all` in a few words each, in one line that begins with a mark.
    pub fn in_short(all: &[Self], unit: Unit) -> String {
        format!("! {}.", each_once(all.iter().map(|caution| caution.short_for(unit))))
    }

    /// Those of `all` that make a [`Point`] or say how the leaf is held, in fewest words, in one line that begins with
    /// a mark.
    pub fn in_fewest(all: &[Self]) -> String {
        let holds = |caution: &Self| matches!(caution, Self::ClampGuide | Self::HoldForPlane | Self::HoldForBlock);
        let kept = all.iter().filter(|caution| caution.point().is_some() || holds(caution));
        format!("! {}", each_once(kept.map(|caution| caution.terse())))
    }
}

/// Two cautions may be one in a few words.
fn each_once(words: impl Iterator<Item = &'static str>) -> String {
    let mut said: Vec<&str> = Vec::new();
    for word in words {
        if !said.contains(&word) {
            said.push(word);
        }
    }
    said.join("; ")
}
