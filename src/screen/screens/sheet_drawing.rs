//! The drawing of a set-up sheet: the picture of [`crate::cut::picture`] with its words.

use crate::bench::sheet_facts::count;
use crate::bench::sheet_words::{ends, exact, layers};
use crate::bench::sheets::Sheet;
use crate::cut::job::End;
use crate::cut::picture::{Mark, Picture, Point, picture};
use crate::cut::rip::Pad;
use crate::cut::setup::Setup;
use crate::cut::strokes::Planing;
use crate::fit::length::Show;
use crate::screen::drawings::{PlanePicture, SetupEnd, SetupPad, SetupPicture, Stroke};
use crate::screen::theme::Theme;

/// How many times larger than it is wood may be drawn; round steps.
const LADDER: [f64; 11] = [1.0, 2.0, 5.0, 10.0, 20.0, 40.0, 80.0, 160.0, 320.0, 640.0, 1000.0];
/// What is drawn larger takes no more than this share of the leaf.
const SHARE: f64 = 0.2;

/// The drawing of a sheet.
pub fn setup_picture(sheet: &Sheet, show: Show, theme: Theme) -> SetupPicture {
    let setup = &sheet.sheet.setup;
    let k = exaggeration(sheet);
    let drawing = picture(&sheet.job, &sheet.sheet, k);
    let flat = !matches!(setup, Setup::Rip(_) | Setup::Sled(_));
    // Without a fence the longer side lies across: a short edge of a wide front stands upright.
    let turned = flat && sheet.job.length.get() < sheet.job.width_start.get();
    let at = |point: &Point| if turned { (point.y, point.x) } else { (point.x, point.y) };
    let all = |points: &[Point]| points.iter().map(at).collect::<Vec<_>>();
    let marked = |mark: &Mark| matches!(mark, Mark::Stroke(_) | Mark::Guide(_));
    let starts = drawing.marks.iter().filter(|(mark, _)| marked(mark)).map(|(_, point)| at(point)).collect();
    let words = Words::of(sheet, turned, show);
    let pads = drawing.pads.iter().zip(words.pads).map(|(pad, words)| SetupPad { outline: all(pad), words });
    SetupPicture {
        leaf: all(&drawing.leaf),
        wood: all(&drawing.waste),
        pads: pads.collect(),
        fence: drawing.fence.map(|[a, b]| (a.x.min(b.x), a.x.max(b.x))),
        fence_words: words.fence,
        blade: drawing.blade.each_ref().map(at),
        blade_words: words.blade.iter().map(|&word| word.to_owned()).collect(),
        starts,
        upright: turned || matches!(setup, Setup::Sled(_)),
        ends: words.ends,
        lead: words.lead,
        captions: captions(sheet, &drawing),
        theme,
    }
}

/// What stands at the parts of the drawing.
struct Words {
    pads: Vec<Vec<String>>,
    fence: Vec<String>,
    blade: &'static [&'static str],
    ends: [SetupEnd; 2],
    lead: Vec<String>,
}

impl Words {
    fn of(sheet: &Sheet, turned: bool, show: Show) -> Self {
        let edge = sheet.trim.edge;
        let (low, high) = ends(edge);
        let off = |end: End| if end == End::Start { sheet.trim.start } else { sheet.trim.end }.shown_down(show);
        let end = |end: End, kiss: Option<End>| SetupEnd {
            name: if end == End::Start { low } else { high }.to_owned(),
            off: off(end),
            kiss: kiss == Some(end),
        };
        let both = |kiss| [end(End::Start, kiss), end(End::End, kiss)];
        let leads = |which: End, marks: [&str; 2]| {
            let (at_end, word) = (which == End::End, which.word(edge));
            let said = |text: &str| match (at_end, marks) {
                (true, [_, mark]) => format!("{text} {mark}"),
                (false, [mark, _]) => format!("{mark} {text}"),
            };
            vec![said(&format!("{word} leads")), said("leads"), marks[usize::from(at_end)].to_owned()]
        };
        let flat = |blade, lead| Self { pads: Vec::new(), fence: Vec::new(), blade, ends: both(None), lead };
        match &sheet.sheet.setup {
            Setup::Rip(rip) => Self {
                pads: pads(&rip.pads, rip.pivot.word(edge), show),
                fence: vec![
                    format!("{} edge on the fence of the {}", rip.reference, rip.saw),
                    format!("{} edge on the fence", rip.reference),
                    "fence".to_owned(),
                ],
                blade: &["blade line", "blade"],
                ends: both(Some(rip.kiss)),
                lead: leads(rip.lead, ["◄", "►"]),
            },
            Setup::Sled(sled) => Self {
                pads: pads(&sled.pads, "corner away from the cut", show),
                fence: vec![
                    format!("{} edge on the fence of the {}", sled.reference, sled.sled),
                    format!("{} edge on the sled's fence", sled.reference),
                    "fence".to_owned(),
                ],
                blade: &["blade"],
                ends: [end(sled.at, Some(sled.kiss)), end(sled.at.other(), Some(sled.kiss))],
                lead: vec![format!("{} leads ▲", sled.at.other().word(edge)), "leads ▲".to_owned(), "▲".to_owned()],
            },
            Setup::Plane(planing) => {
                let marks = if turned { ["▼", "▲"] } else { ["◄", "►"] };
                let thick = planing.thin.other();
                let said = |text: String| {
                    if thick == End::End { format!("{text} {}", marks[1]) } else { format!("{} {text}", marks[0]) }
                };
                let out = format!("out at the {}", thick.word(edge));
                let lead = vec![said(format!("stopped strokes {out}")), said(out)];
                flat(&["line"], if planing.stopped.is_empty() { Vec::new() } else { lead })
            }
            Setup::GuideLine(_) | Setup::SandingBlock(_) => flat(&["line"], Vec::new()),
        }
    }
}

fn pads(pads: &[Pad], from: &str, show: Show) -> Vec<Vec<String>> {
    let words = |(place, pad): (usize, &Pad)| {
        let at = exact(pad.at, show);
        if pads.len() == 1 {
            let layers = layers(pad);
            return vec![
                format!("▲ {layers}, {at} from the {from}"),
                format!("▲ {layers} at {at}"),
                format!("▲ {} at {at}", count(pad)),
                "▲ pad".to_owned(),
            ];
        }
        let number = place + 1;
        vec![
            format!("▲ {number}: {} at {at}", layers(pad)),
            format!("▲ {number}: {} at {at}", count(pad)),
            format!("▲{number}"),
            number.to_string(),
        ]
    };
    pads.iter().enumerate().map(words).collect()
}

/// How many times larger than it is the wood is drawn, so that it shows.
fn exaggeration(sheet: &Sheet) -> f64 {
    let job = &sheet.job;
    let across = job.width_start.get().min(job.length.get());
    let lift = |pads: &[Pad], length: f64| {
        pads.last().map_or(0.0, |pad| pad.thickness.inches() * length / pad.at.inches().max(0.1))
    };
    let (lift, out) = match &sheet.sheet.setup {
        Setup::Rip(rip) => (lift(&rip.pads, rip.length.get()), job.width_start.get() - job.width_end.get()),
        Setup::Sled(sled) => (lift(&sled.pads, sled.reference_length.get()), sled.out_of_square.get()),
        _ => (0.0, job.width_start.get() - job.width_end.get()),
    };
    let most = job.most().max(lift).max(out.abs());
    LADDER.into_iter().take_while(|k| k * most <= across * SHARE).last().unwrap_or(1.0)
}

/// What is drawn larger, and how many times.
fn captions(sheet: &Sheet, drawing: &Picture) -> Vec<String> {
    let k = drawing.exaggeration;
    if k <= 1.0 {
        return vec!["to scale".to_owned()];
    }
    let job = &sheet.job;
    let parallel = (job.width_start.get() - job.width_end.get()).abs() < 1e-6;
    let (pads, out) = match &sheet.sheet.setup {
        Setup::Rip(rip) => (!rip.pads.is_empty(), !parallel),
        Setup::Sled(sled) => (!sled.pads.is_empty(), sled.out_of_square.get().abs() >= 1e-6),
        _ => (false, !parallel),
    };
    let out = if out { ", what it is out" } else { "" };
    let what = if pads { "wood, pads, tilt" } else { "wood" };
    vec![
        format!("{what}{out} drawn {k:.0}x, the rest to scale"),
        format!("{what}{out} drawn {k:.0}x"),
        format!("{what} drawn {k:.0}x"),
        format!("drawn {k:.0}x"),
    ]
}

/// The strokes of a plane one under the other, for a screen with room for all of them; none where the set-up has
/// no stopped strokes.
pub fn strokes_picture(sheet: &Sheet, show: Show, theme: Theme) -> Option<PlanePicture> {
    match &sheet.sheet.setup {
        Setup::Plane(planing) if !planing.stopped.is_empty() => Some(plane_picture(sheet, planing, show, theme)),
        _ => None,
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
