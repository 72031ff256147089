//! The drawing of a set-up sheet: the picture of [`crate::cut::picture`] on the screen.

use crate::bench::sheet_words::{ends, exact, layers};
use crate::bench::sheets::Sheet;
use crate::cut::job::End;
use crate::cut::picture::{Mark, Picture, Point, picture};
use crate::cut::rip::Rip;
use crate::cut::setup::Setup;
use crate::cut::strokes::Planing;
use crate::fit::length::Show;
use crate::screen::drawings::{Leads, PlanePicture, SetupPad, SetupPicture, Stroke};
use crate::screen::theme::{Role, Theme};
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::style::Color;
use ratatui::symbols::Marker;
use ratatui::text::Line as Words;
use ratatui::widgets::canvas::{Canvas, Line};

/// Draws it; nothing where there is no room.
pub fn draw(sheet: &Sheet, show: Show, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    if area.height < 3 || area.width < 12 {
        return;
    }
    match &sheet.sheet.setup {
        Setup::Rip(rip) => frame.render_widget(&rip_picture(sheet, rip, show, theme), area),
        Setup::Plane(planing) => frame.render_widget(&plane_picture(sheet, planing, show, theme), area),
        Setup::Sled(_) | Setup::GuideLine(_) | Setup::SandingBlock(_) => from_above(sheet, show, theme, frame, area),
    }
}

/// Does the drawing with so many columns and rows carry every number of the set-up?
pub fn tells_all(sheet: &Sheet, show: Show, columns: u16, rows: u16) -> bool {
    match &sheet.sheet.setup {
        Setup::Rip(rip) => rip_picture(sheet, rip, show, Theme::default()).tells_all(columns, rows),
        Setup::Plane(planing) => PlanePicture::rows_for(planing.stopped.len()) <= usize::from(rows),
        Setup::Sled(_) | Setup::GuideLine(_) | Setup::SandingBlock(_) => false,
    }
}

fn pair(point: Point) -> (f64, f64) {
    (point.x, point.y)
}

fn rip_picture(sheet: &Sheet, rip: &Rip, show: Show, theme: Theme) -> SetupPicture {
    let drawing = picture(&sheet.job, &sheet.sheet, 1.0);
    let corner = |place: usize| drawing.leaf.get(place).copied().map_or((f64::NAN, f64::NAN), pair);
    // The picture goes round from the pivot; the drawing wants the left end first.
    let leaf = if rip.pivot == End::End {
        [corner(1), corner(0), corner(3), corner(2)]
    } else {
        [corner(0), corner(1), corner(2), corner(3)]
    };
    let (low, high) = ends(sheet.trim.edge);
    let from = rip.pivot.word(sheet.trim.edge);
    let pads = rip.pads.iter().zip(&drawing.pads).map(|(pad, drawn)| {
        let along = drawn.iter().map(|point| point.x);
        SetupPad {
            span: (along.clone().fold(f64::INFINITY, f64::min), along.fold(f64::NEG_INFINITY, f64::max)),
            thickness: pad.thickness.inches(),
            layers: layers(pad),
            distance: format!("{} from the {from}", exact(pad.at, show)),
        }
    });
    let fence = drawing.fence.map_or((0.0, rip.length.get()), |[a, b]| (a.x.min(b.x), a.x.max(b.x)));
    SetupPicture {
        leaf,
        blade: rip.fence_distance().get(),
        blade_words: format!(
            "kiss the {}, then move {}",
            rip.kiss.word(sheet.trim.edge),
            exact(rip.fence_move.value, show)
        ),
        fence,
        fence_word: format!("{} edge on the fence of the {}", rip.reference, rip.saw),
        pads: pads.collect(),
        off: (sheet.trim.start.shown_down(show), sheet.trim.end.shown_down(show)),
        leads: if rip.lead == End::Start { Leads::Left } else { Leads::Right },
        ends: (low.to_owned(), high.to_owned()),
        theme,
    }
}

fn plane_picture(sheet: &Sheet, planing: &Planing, show: Show, theme: Theme) -> PlanePicture {
    let (low, high) = ends(sheet.trim.edge);
    let (start, end) = (sheet.trim.start, sheet.trim.end);
    let by_thin = |at_start: String, at_end: String| {
        if planing.thin == End::Start { (at_start, at_end) } else { (at_end, at_start) }
    };
    let (thin, thick) = if planing.thin == End::Start { (start, end) } else { (end, start) };
    let strokes =
        planing.stopped.iter().map(|stroke| Stroke { from: stroke.start.get(), shown: exact(stroke.mark, show) });
    PlanePicture {
        length: planing.length.get(),
        removal: (thin.inches(), thick.inches()),
        shown: by_thin(start.shown_down(show), end.shown_down(show)),
        full_strokes: planing.full as usize,
        strokes: strokes.collect(),
        ends: by_thin(low.to_owned(), high.to_owned()),
        theme,
    }
}

/// How many times larger than it is the wood is drawn, so that it shows; round steps.
fn exaggeration(sheet: &Sheet) -> f64 {
    let most = sheet.job.most();
    let across = sheet.job.width_start.get().min(sheet.job.length.get());
    let ladder = [1.0, 2.0, 5.0, 10.0, 20.0, 40.0, 80.0];
    ladder.into_iter().take_while(|k| k * most < across * 0.2).last().unwrap_or(1.0)
}

/// Leaf, fence, pads, blade or line from above, to proportion.
fn from_above(sheet: &Sheet, show: Show, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let k = exaggeration(sheet);
    let drawing = picture(&sheet.job, &sheet.sheet, k);
    let place = Rect { height: area.height - 1, ..area };
    let Some((x, y)) = bounds(&drawing, place) else { return };
    let ink = |role: Role| theme.style(role).fg.unwrap_or(Color::Reset);
    let canvas = Canvas::default().marker(Marker::Braille).x_bounds(x).y_bounds(y).paint(|context| {
        let mut line = |[a, b]: [Point; 2], role: Role| {
            context.draw(&Line { x1: a.x, y1: a.y, x2: b.x, y2: b.y, color: ink(role) });
        };
        for [a, b] in shading(&drawing.waste) {
            line([a, b], Role::Wood);
        }
        for (corners, role) in drawing.pads.iter().map(|pad| (pad, Role::Next)).chain([(&drawing.leaf, Role::Leaf)]) {
            for (a, b) in corners.iter().zip(corners.iter().cycle().skip(1)) {
                line([*a, *b], role);
            }
        }
        if let Some(fence) = drawing.fence {
            line(fence, Role::Frame);
        }
        line(drawing.blade, Role::Blade);
        for (text, at, role) in labels(sheet, &drawing, show) {
            context.print(at.x, at.y, Words::styled(text, theme.style(role)));
        }
    });
    frame.render_widget(canvas, place);
    let caption = if k > 1.0 { format!(" wood, pads and tilt drawn {k:.0}x") } else { " to scale".to_owned() };
    let row = Rect { y: area.bottom() - 1, height: 1, ..area };
    frame.render_widget(Words::styled(caption, theme.style(Role::Quiet)), row);
}

/// What the drawing spans, made as wide and as high as the room: a dot is as wide as it is high.
fn bounds(drawing: &Picture, area: Rect) -> Option<([f64; 2], [f64; 2])> {
    let ends = drawing.fence.iter().flatten().chain(&drawing.blade);
    let all = || ends.clone().chain(&drawing.leaf).chain(drawing.pads.iter().flatten());
    if !all().all(|point| point.x.is_finite() && point.y.is_finite()) {
        return None;
    }
    let span = |values: &mut dyn Iterator<Item = f64>| {
        values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)))
    };
    let (left, right) = span(&mut all().map(|point| point.x));
    let (low, high) = span(&mut all().map(|point| point.y));
    let (columns, rows) = (f64::from(area.width) * 2.0, f64::from(area.height) * 4.0);
    let per_dot = ((right - left) / columns).max((high - low) / rows) * 1.05;
    let centred = |low: f64, high: f64, dots: f64| {
        let middle = f64::midpoint(low, high);
        [middle - per_dot * dots / 2.0, middle + per_dot * dots / 2.0]
    };
    (per_dot > 0.0).then(|| (centred(left, right, columns), centred(low, high, rows)))
}

/// Strokes from the new edge to the old one.
fn shading(waste: &[Point]) -> Vec<[Point; 2]> {
    let &[a, b, c, d] = waste else { return Vec::new() };
    // Two sides run along the edge; on the sled they are the first and the third as well.
    let between = |from: Point, to: Point, share: f64| Point {
        x: from.x + (to.x - from.x) * share,
        y: from.y + (to.y - from.y) * share,
    };
    (0..=60_u32).map(|step| f64::from(step) / 60.0).map(|share| [between(a, b, share), between(d, c, share)]).collect()
}

fn labels(sheet: &Sheet, drawing: &Picture, show: Show) -> Vec<(String, Point, Role)> {
    let mut labels = Vec::new();
    // The last said wins a place: pads are said after where to kiss.
    for &(mark, at) in drawing.marks.iter().rev() {
        let text = match (mark, &sheet.sheet.setup) {
            (Mark::Pad(place), Setup::Sled(sled)) => {
                sled.pads.get(place).map(|pad| format!("{} at {}", layers(pad), exact(pad.at, show)))
            }
            (Mark::Guide(place), Setup::GuideLine(line)) => {
                line.marks.get(place).map(|mark| format!("-{}", exact(mark.shown, show)))
            }
            (Mark::Kiss, _) => Some("kiss".to_owned()),
            _ => None,
        };
        let role = if matches!(mark, Mark::Pad(_) | Mark::Guide(_)) { Role::Next } else { Role::Quiet };
        labels.extend(text.map(|text| (text, at, role)));
    }
    labels
}
