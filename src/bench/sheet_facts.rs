//! What a set-up sheet says beside its drawing: everything that is set, marked or checked, in few words. The
//! same at length is in [`super::sheet_words`].

use super::sheet_words::{errors, exact, layers, left_after, not_measured, shaving};
use super::sheets::Sheet;
use super::words::counted;
use crate::cut::job::End;
use crate::cut::rip::{Pad, Setting};
use crate::cut::setup::Setup;
use crate::cut::strokes::{GuideMark, PlaneRule, Planing, StoppedStroke};
use crate::fit::length::{Length, Show, Unit};
use crate::fit::opening::Edge;

/// What keeps two words on one row.
const GLUE: &str = "\u{a0}";

/// The facts, each a sentence of its own. `tight` says long lists in fewer letters, every number still there.
pub fn facts(sheet: &Sheet, show: Show, tight: bool) -> Vec<String> {
    let edge = sheet.trim.edge;
    let mut lines = match &sheet.sheet.setup {
        Setup::Rip(rip) => {
            let (pivot, lead) = (rip.pivot.word(edge), rip.lead.word(edge));
            let touching =
                if pivot == lead { "touching it and first".to_owned() } else { format!("touching it; {lead} first") };
            let on = format!("{}: {} edge on the fence, {pivot} {touching}", rip.saw, rip.reference);
            let fence = kiss(rip.kiss, edge, &rip.fence_move, "", show);
            vec![on, pads(&rip.pads, pivot, show), format!("{fence}{}", by_the_rule(sheet, "fence", show))]
        }
        Setup::Sled(sled) => {
            let lead = sled.at.other().word(edge);
            let on = format!("{}: {} edge on the sled's fence; {lead} first", sled.sled, sled.reference);
            let stop = kiss(sled.kiss, edge, &sled.stop_move, "the leaf ", show);
            let corner = "corner away from the cut";
            vec![on, pads(&sled.pads, corner, show), format!("{stop}{}", by_the_rule(sheet, "stop", show))]
        }
        Setup::GuideLine(line) => vec![marks(&line.marks, edge, show)],
        Setup::Plane(planing) => planed(planing, edge, show, tight),
        Setup::SandingBlock(sanding) => {
            vec![format!("rub the edge down, most at the {}; look often", sanding.more_at.word(edge))]
        }
    };
    lines.extend(left_after(sheet, show));
    let mut left = vec![errors(sheet, show).replace("rounding leaves", &format!("rounding{GLUE}leaves"))];
    left.extend(not_measured(sheet));
    lines.push(left.join("; "));
    lines
}

fn kiss(end: End, edge: Edge, by: &Setting, what: &str, show: Show) -> String {
    format!("kiss the {}, then move {what}{} toward it", end.word(edge), exact(by.value, show))
}

/// The setting by the rule and what it takes less than is wanted; nothing where no step of it comes near enough.
fn by_the_rule(sheet: &Sheet, what: &str, show: Show) -> String {
    let rule = super::sheet_words::by_the_rule(sheet, show);
    rule.map_or_else(String::new, |rule| format!("; or {what} to blade {rule}"))
}

/// Layers of each stock, in the order in which they are named: `3+2`.
pub fn count(pad: &Pad) -> String {
    let all: Vec<String> = pad.layers.iter().map(|layer| layer.count.to_string()).collect();
    all.join("+")
}

/// The stock of a pad, in the order of [`count`].
fn stock(pad: &Pad) -> Vec<&str> {
    pad.layers.iter().map(|layer| layer.stock.as_str()).collect()
}

fn pads(pads: &[Pad], from: &str, show: Show) -> String {
    match pads {
        [] => "no pad: the edge lies flat".to_owned(),
        [pad] => format!("pad: {}, near edge {} from the {from}", layers(pad), exact(pad.at, show)),
        [first, rest @ ..] => {
            let alike = rest.iter().all(|pad| stock(pad) == stock(first));
            let one = |(place, pad): (usize, &Pad)| {
                let what = if alike { count(pad) } else { layers(pad) };
                format!("{}:{GLUE}{what}{GLUE}at{GLUE}{}", place + 1, exact(pad.at, show))
            };
            let each: Vec<String> = pads.iter().enumerate().map(one).collect();
            let of = if alike { format!(" of {}", stock(first).join(" + ")) } else { String::new() };
            format!("pads{of}, near edges from the {from}: {}", each.join("; "))
        }
    }
}

fn marks(marks: &[GuideMark], edge: Edge, show: Show) -> String {
    let one = |mark: &GuideMark| format!("{}{GLUE}at{GLUE}{}", exact(mark.shown, show), mark.at.shown(show));
    let each: Vec<String> = marks.iter().map(one).collect();
    format!("mark in from the edge, so far from the {}: {}", End::Start.word(edge), each.join("; "))
}

fn planed(planing: &Planing, edge: Edge, show: Show, tight: bool) -> Vec<String> {
    let full = counted(planing.full as usize, "full stroke");
    let mut strokes = format!("{}, shaving {}: {full}", planing.plane, shaving(planing.shaving, show));
    if !planing.stopped.is_empty() {
        let (how, starts) = if tight {
            let (how, starts) = in_groups(&planing.stopped, show);
            (format!("({how}) "), starts)
        } else {
            let starts: Vec<String> = planing.stopped.iter().map(|stroke| exact(stroke.mark, show)).collect();
            (String::new(), starts.join(", "))
        };
        let stopped = counted(planing.stopped.len(), "stopped stroke");
        strokes = format!("{strokes}, then {stopped} starting from the {} at {how}{starts}", planing.thin.word(edge));
    }
    let mut lines = vec![strokes];
    let (stopped, out) = (!planing.stopped.is_empty(), planing.thin.other().word(edge));
    lines.push(match planing.rule {
        PlaneRule::WithTheGrain if stopped => format!("with the grain, out at the {out}"),
        PlaneRule::WithTheGrain => "with the grain".to_owned(),
        PlaneRule::BackUpAndInward if stopped && planing.full == 0 => {
            format!("end grain: strokes out at the {out} against a backing scrap")
        }
        PlaneRule::BackUpAndInward if stopped => format!(
            "end grain: full strokes from both corners inward, stopped ones out at the {out} against a backing scrap"
        ),
        PlaneRule::BackUpAndInward => "end grain: full strokes from both corners inward".to_owned(),
    });
    lines
}

/// Many starts in few letters: whole inches once, then the parts; millimetres without their unit.
fn in_groups(strokes: &[StoppedStroke], show: Show) -> (String, String) {
    let plain = |length: Length| exact(length, show).trim_end_matches("mm").trim_end().to_owned();
    if show.unit() == Unit::Millimetre {
        let starts: Vec<String> = strokes.iter().map(|stroke| plain(stroke.mark)).collect();
        let short = |text: &String| text.strip_suffix(".0").map_or_else(|| text.clone(), str::to_owned);
        return ("mm".to_owned(), starts.iter().map(short).collect::<Vec<_>>().join(", "));
    }
    let mut groups: Vec<(i64, Vec<String>)> = Vec::new();
    for stroke in strokes {
        let whole = stroke.mark.inches().floor() as i64;
        let part = stroke.mark.checked_sub(Length::ratio(whole, 1)).unwrap_or(Length::ZERO);
        // A start to the hundredth of an inch is finer than any rule is read to.
        let part = match show {
            Show::DecimalInch(_) => part.shown(Show::DecimalInch(2)).trim_start_matches('0').to_owned(),
            _ => plain(part),
        };
        match groups.last_mut() {
            Some((last, parts)) if *last == whole => parts.push(part),
            _ => groups.push((whole, vec![part])),
        }
    }
    let each: Vec<String> = groups.iter().map(|(whole, parts)| format!("{whole}+{GLUE}{}", parts.join(" "))).collect();
    let how = if matches!(show, Show::Fraction(_)) { "2+ 1/4 is 2 1/4" } else { "2+ .25 is 2.25" };
    (how.to_owned(), each.join(", "))
}
