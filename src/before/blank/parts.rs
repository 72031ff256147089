//! From a leaf to its parts.

use super::{Blank, BlankError, Construction, Frame, Grain, Joint, LeafToMake, Part, PartKind};
use crate::fit::length::Length;
use crate::fit::opening::Edge;

/// Sums that know which leaf they are for.
struct Sums<'l> {
    leaf: &'l LeafToMake,
}

impl Sums<'_> {
    fn name(&self) -> String {
        self.leaf.name.clone()
    }

    fn too_large(&self) -> BlankError {
        BlankError::TooLarge { leaf: self.name() }
    }

    /// First size, plus the second list, less the third.
    fn sum(&self, first: Length, plus: &[Length], less: &[Length]) -> Result<Length, BlankError> {
        let up = plus.iter().try_fold(first, |sum, l| sum.checked_add(*l));
        less.iter()
            .try_fold(up.ok_or_else(|| self.too_large())?, |sum, l| sum.checked_sub(*l))
            .ok_or_else(|| self.too_large())
    }

    fn times(&self, length: Length, count: u32) -> Result<Length, BlankError> {
        length.checked_scale(i64::from(count), 1).ok_or_else(|| self.too_large())
    }

    fn share(&self, length: Length, among: u32) -> Result<Length, BlankError> {
        length.checked_scale(1, i64::from(among)).ok_or_else(|| self.too_large())
    }

    fn positive(&self, what: &'static str, found: Length, check: &'static str) -> Result<Length, BlankError> {
        if found > Length::ZERO {
            Ok(found)
        } else {
            Err(BlankError::NotPositive { leaf: self.name(), what, found, check })
        }
    }

    fn not_negative(&self, what: &'static str, found: Length) -> Result<(), BlankError> {
        if found.is_negative() { Err(BlankError::Negative { leaf: self.name(), what }) } else { Ok(()) }
    }
}

pub(super) fn blank(leaf: &LeafToMake) -> Result<Blank, BlankError> {
    let sums = Sums { leaf };
    sums.positive("width", leaf.width, "the opening and the reveals")?;
    sums.positive("height", leaf.height, "the opening and the reveals")?;
    sums.positive("thickness", leaf.thickness, "the stock")?;
    sums.not_negative("allowance", leaf.allowance)?;
    let on = |edge| leaf.allowance_on(edge);
    let width = sums.sum(leaf.width, &[on(Edge::Left), on(Edge::Right)], &[])?;
    let height = sums.sum(leaf.height, &[on(Edge::Bottom), on(Edge::Top)], &[])?;
    let parts = match &leaf.construction {
        Construction::Solid(grain) => {
            let (length, width) = if *grain == Grain::Upright { (height, width) } else { (width, height) };
            let (thickness, grain) = (leaf.thickness, Some(*grain));
            vec![Part { kind: PartKind::Solid, count: 1, length, width, thickness, grain }]
        }
        Construction::Framed(frame) => framed(&sums, frame, height)?,
    };
    Ok(Blank { finished: [leaf.width, leaf.height], rough: [width, height], parts })
}

/// Parts of a framed leaf. Daylight (what shows of the panels) comes from the finished sizes: the
/// allowances lie outside it, on the outer edges.
fn framed(sums: &Sums<'_>, frame: &Frame, rough_height: Length) -> Result<Vec<Part>, BlankError> {
    let leaf = sums.leaf;
    let (mid_rails, mid_rail_width) = frame.mid_rails;
    let (mid_stiles, mid_stile_width) = frame.mid_stiles;
    if mid_rails > 50 || mid_stiles > 50 {
        return Err(BlankError::TooMany { leaf: sums.name() });
    }
    let [left, right] = frame.stiles;
    let [bottom, top] = frame.rails;
    for (what, width) in [
        ("left stile's width", left),
        ("right stile's width", right),
        ("bottom rail's width", bottom),
        ("top rail's width", top),
    ] {
        sums.positive(what, width, "the stile and rail widths")?;
    }
    for (what, count, width) in
        [("mid rail's width", mid_rails, mid_rail_width), ("mid stile's width", mid_stiles, mid_stile_width)]
    {
        if count > 0 {
            sums.positive(what, width, "the stile and rail widths")?;
        }
    }
    sums.not_negative("groove", frame.groove)?;
    sums.not_negative("float", frame.float)?;
    sums.positive("panel's thickness", frame.panel_thickness, "the panel stock")?;
    let tenon = match frame.joint {
        Joint::Butt => Length::ZERO,
        Joint::StubTenon => sums.positive("stub tenon", frame.groove, "the groove's depth: the stub fills it")?,
        Joint::MortiseTenon { tenon } => sums.positive("tenon", tenon, "the tenon's length")?,
    };
    goes_in(sums, frame, tenon)?;
    // Between the outer stiles, and between the outer rails.
    let between_stiles = sums.sum(leaf.width, &[], &[left, right])?;
    sums.positive("distance between the stiles", between_stiles, "the stile widths against the leaf's width")?;
    let between_rails = sums.sum(leaf.height, &[], &[bottom, top])?;
    let day_across =
        sums.share(sums.sum(between_stiles, &[], &[sums.times(mid_stile_width, mid_stiles)?])?, mid_stiles + 1)?;
    let day_up = sums.share(sums.sum(between_rails, &[], &[sums.times(mid_rail_width, mid_rails)?])?, mid_rails + 1)?;
    sums.positive("daylight across", day_across, "stile widths against the leaf's width")?;
    sums.positive("daylight up and down", day_up, "rail widths against the leaf's height")?;
    let rail = sums.sum(between_stiles, &[tenon, tenon], &[])?;
    let on = |edge| leaf.allowance_on(edge);
    let part = |kind, count, length, width| {
        let upright = matches!(kind, PartKind::LeftStile | PartKind::RightStile | PartKind::MidStile);
        let grain = Some(if upright { Grain::Upright } else { Grain::Level });
        Part { kind, count, length, width, thickness: leaf.thickness, grain }
    };
    let mut parts = vec![
        part(PartKind::LeftStile, 1, rough_height, sums.sum(left, &[on(Edge::Left)], &[])?),
        part(PartKind::RightStile, 1, rough_height, sums.sum(right, &[on(Edge::Right)], &[])?),
        part(PartKind::BottomRail, 1, rail, sums.sum(bottom, &[on(Edge::Bottom)], &[])?),
        part(PartKind::TopRail, 1, rail, sums.sum(top, &[on(Edge::Top)], &[])?),
    ];
    if mid_rails > 0 {
        parts.push(part(PartKind::MidRail, mid_rails, rail, mid_rail_width));
    }
    if mid_stiles > 0 {
        let length = sums.sum(day_up, &[tenon, tenon], &[])?;
        parts.push(part(PartKind::MidStile, mid_stiles * (mid_rails + 1), length, mid_stile_width));
    }
    let panel = |day| sums.sum(day, &[frame.groove, frame.groove], &[frame.float]);
    parts.push(Part {
        kind: PartKind::Panel,
        count: (mid_rails + 1) * (mid_stiles + 1),
        length: sums.positive("panel's height", panel(day_up)?, "the float against the daylight")?,
        width: sums.positive("panel's width", panel(day_across)?, "the float against the daylight")?,
        thickness: frame.panel_thickness,
        grain: None,
    });
    Ok(parts)
}

/// Tenons end within the stiles and rails that they go into, grooves leave wood behind them, and the panel goes into
/// its groove: what no bench could make otherwise.
fn goes_in(sums: &Sums<'_>, frame: &Frame, tenon: Length) -> Result<(), BlankError> {
    let refuse = |what, found, room, into, field| {
        let (found, room) = (Box::new(found), Box::new(room));
        Err(BlankError::NotInside { leaf: sums.name(), what, found, room, into, field })
    };
    let within = |what, found: Length, (room, into): (Length, &'static str), field| {
        if found <= room { Ok(()) } else { refuse(what, found, room, into, field) }
    };
    let stile = (frame.stiles[0].min(frame.stiles[1]), "the narrowest stile's width");
    let rail = (frame.rails[0].min(frame.rails[1]), "the narrowest rail's width");
    let mid_rail = (frame.mid_rails.0 > 0).then_some((frame.mid_rails.1, "a mid rail's width"));
    let mid_stile = (frame.mid_stiles.0 > 0).then_some((frame.mid_stiles.1, "a mid stile's width"));
    if matches!(frame.joint, Joint::MortiseTenon { .. }) {
        within("the tenon", tenon, stile, "frame.joint.tenon")?;
        if mid_stile.is_some() {
            within("a mid stile's tenon", tenon, rail, "frame.joint.tenon")?;
        }
        if let (Some(mid_rail), Some(_)) = (mid_rail, mid_stile) {
            let both = sums.times(tenon, 2)?;
            within("a mid stile's tenon from either side", both, mid_rail, "frame.joint.tenon")?;
        }
    }
    let once = [stile, rail].map(|member| (member, 1, "the panel groove"));
    let twice = [mid_rail, mid_stile].into_iter().flatten();
    for ((width, into), sides, what) in
        once.into_iter().chain(twice.map(|member| (member, 2, "the panel groove from either side")))
    {
        let grooves = sums.times(frame.groove, sides)?;
        if grooves >= width {
            return refuse(what, grooves, width, into, "frame.groove");
        }
    }
    let thickness = (sums.leaf.thickness, "the frame's thickness");
    within("the panel's thickness", frame.panel_thickness, thickness, "frame.panel_thickness")?;
    if frame.groove > Length::ZERO && frame.float >= sums.times(frame.groove, 2)? {
        // The panel would fall out of its grooves.
        return refuse(
            "the panel's float",
            frame.float,
            sums.times(frame.groove, 2)?,
            "its two grooves",
            "frame.float",
        );
    }
    Ok(())
}
