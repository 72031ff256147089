//! Ticks of a cut list: a tick belongs to the sizes that it was given at.

use super::Part;
use crate::fit::length::{Length, Show};
use serde::{Deserialize, Serialize};

/// What parts that are alike were sawn to: how many, and their rough sizes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SawnTo {
    /// How many.
    pub count: u32,
    /// Length, joints included.
    pub length: Length,
    /// Width.
    pub width: Length,
    /// Thickness.
    pub thickness: Length,
}

impl From<&Part> for SawnTo {
    fn from(part: &Part) -> Self {
        let Part { count, length, width, thickness, .. } = *part;
        Self { count, length, width, thickness }
    }
}

impl SawnTo {
    /// Does it still do for `part`: enough of them, no size out by more than half of the step that the shop shows?
    pub fn does(&self, part: &Part, show: Show) -> bool {
        self.count >= part.count && self.unlike(part, show).is_empty()
    }

    /// Sizes out by more than that, with the word for each.
    fn unlike(&self, part: &Part, show: Show) -> Vec<(Length, Length, &'static str)> {
        let mut each = vec![
            (self.length, part.length, "long"),
            (self.width, part.width, "wide"),
            (self.thickness, part.thickness, "thick"),
        ];
        each.retain(|(was, is, _)| was.checked_sub(*is).is_none_or(|off| off.abs() > show.half_step()));
        each
    }

    /// What it was sawn to, where that does not do for `part`: `sawn 2 1/16 wide, 14 9/16 long`, `1 sawn`.
    pub fn words(&self, part: &Part, show: Show) -> String {
        let fine = match show {
            Show::Fraction(_) => show,
            Show::DecimalInch(places) => Show::DecimalInch(places.saturating_add(1)),
            Show::Millimetre(places) => Show::Millimetre(places.saturating_add(1)),
        };
        let one = |(was, is, word): (Length, Length, &str)| {
            // Two sizes that the shop writes alike are told apart.
            let alike = was.sized(show) == is.sized(show);
            format!("{} {word}", was.sized(if alike { fine } else { show }))
        };
        let each: Vec<_> = self.unlike(part, show).into_iter().map(one).collect();
        let count = if self.count < part.count { format!("{} sawn", self.count) } else { "sawn".to_owned() };
        format!("{count} {}", each.join(", ")).trim_end().to_owned()
    }
}

/// How far the parts of one line are.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Tick {
    /// To be sawn.
    #[default]
    Open,
    /// Sawn.
    Sawn,
    /// In the leaf, which is glued up; whoever ticked nothing has sawn it all the same.
    GluedUp,
    /// Sawn to other sizes than these.
    Unlike(SawnTo),
}

impl Tick {
    /// Is nothing left to saw?
    pub fn is_done(self) -> bool {
        matches!(self, Self::Sawn | Self::GluedUp)
    }

    /// In the box before the line.
    pub fn mark(self) -> char {
        if self.is_done() { 'x' } else { ' ' }
    }

    /// What the parts were sawn to, where that is not what they are to be; empty otherwise.
    pub fn note(self, part: &Part, show: Show) -> String {
        if let Self::Unlike(was) = self { was.words(part, show) } else { String::new() }
    }
}

#[cfg(test)]
mod tests {
    use super::super::PartKind;
    use super::*;

    #[test]
    fn a_tick_holds_within_half_of_the_step_that_the_shop_shows() {
        let part = |count, length, width| Part {
            kind: PartKind::MidRail,
            count,
            length: Length::parse(length, crate::fit::length::Unit::Inch).unwrap(),
            width: Length::parse(width, crate::fit::length::Unit::Inch).unwrap(),
            thickness: Length::ratio(3, 4),
            grain: None,
        };
        let (inch, metric, thousandths) = (Show::Fraction(64), Show::Millimetre(1), Show::DecimalInch(3));
        for (sawn, now, show, words) in [
            (part(1, "20", "2 1/16"), part(1, "20", "2 1/16"), inch, None),
            (part(1, "20", "2 1/16"), part(1, "20", "3 1/16"), inch, Some("sawn 2 1/16 wide")),
            (part(1, "20", "2 1/16"), part(1, "19 1/2", "3"), inch, Some("sawn 20 long, 2 1/16 wide")),
            // 1/128 is half of 1/64.
            (part(1, "20", "2"), part(1, "20 1/128", "2"), inch, None),
            (part(1, "20", "2"), part(1, "20.008", "2"), inch, Some("sawn 20 long")),
            (part(1, "20.006", "2"), part(1, "19.995", "2"), inch, Some("sawn 20 +0.006 long")),
            (part(1, "508.04mm", "2"), part(1, "508mm", "2"), metric, None),
            (part(1, "508.06mm", "2"), part(1, "508mm", "2"), metric, Some("sawn 508.1mm long")),
            (part(1, "508.04mm", "2"), part(1, "507.96mm", "2"), metric, Some("sawn 508.04mm long")),
            (part(1, "20.001", "2"), part(1, "20", "2"), thousandths, Some("sawn 20.0010 long")),
            // More of them than were sawn; fewer are no trouble.
            (part(1, "20", "2"), part(2, "20", "2"), inch, Some("1 sawn")),
            (part(1, "20", "2"), part(2, "20", "3"), inch, Some("1 sawn 2 wide")),
            (part(3, "20", "2"), part(2, "20", "2"), inch, None),
        ] {
            let was = SawnTo::from(&sawn);
            assert_eq!(was.does(&now, show), words.is_none(), "{sawn:?} {now:?}");
            if let Some(words) = words {
                assert_eq!(was.words(&now, show), words);
                assert_eq!(Tick::Unlike(was).note(&now, show), words);
            }
        }
    }
}
