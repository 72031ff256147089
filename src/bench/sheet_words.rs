//! A set-up sheet in words. Cautions, reasons and refusals have theirs in [`crate::cut::words`].

use super::sheet_facts::count;
use super::sheets::Sheet;
use crate::cut::job::{End, JobError, Method};
use crate::cut::rip::{Pad, Setting};
use crate::cut::setup::Setup;
use crate::cut::strokes::{PlaneRule, Planing};
use crate::cut::words::{Assumption, Refusal};
use crate::fit::length::{Inches, Length, Show, Unit};
use crate::fit::opening::Edge;

/// A method's name.
pub fn method(method: Method) -> String {
    means(method.word())
}

/// The word of a log for the means of a cut, as one says it: `by hand`, `guide line`.
pub fn means(word: &str) -> String {
    word.replace('-', " ")
}

/// In place of its means, of an edge that is cut.
pub const DONE: &str = "done";

/// The method of the sheet of a cut, with the passes that are left where it takes several.
pub fn by(setups: &[Result<Sheet, JobError>], leaf: &str, edge: Edge) -> String {
    let means = super::sheets::method_for(setups, leaf, edge).map_or_else(|| "no set-up".to_owned(), method);
    let mut own = setups.iter().flatten().filter(|sheet| sheet.trim.leaf == leaf && sheet.trim.edge == edge);
    match own.find_map(|sheet| sheet.pass.as_ref()) {
        Some(pass) if pass.is_last() => format!("{means}, the last of {} passes", pass.of),
        Some(pass) if pass.number > 1 => format!("{means}, passes {} to {}", pass.number, pass.of),
        Some(pass) => format!("{means}, {} passes", pass.of),
        None => means,
    }
}

/// `length` in the shop's own style, finer where that would hide a part of it (a fence move of 1/128): one number that
/// can be set. Where no step of a rule says it (1/128 in millimetres), to the thousandth of an inch or the hundredth of
/// a millimetre.
pub fn exact(length: Length, show: Show) -> String {
    let (finer, fine) = match show {
        Show::Fraction(n) => {
            (vec![show, Show::Fraction(n.saturating_mul(2)), Show::Fraction(n.saturating_mul(4))], Show::DecimalInch(3))
        }
        Show::DecimalInch(places) => (vec![show, Show::DecimalInch(places.saturating_add(1))], show),
        Show::Millimetre(places) => (vec![show], Show::Millimetre(places.max(2))),
    };
    let fits = finer.into_iter().find(|&style| length.rounded(style).1.is_zero());
    length.shown(fits.unwrap_or(fine))
}

/// A shaving, fine enough that strokes times it come to what is taken: ten-thousandths of an inch or thousandths of a
/// millimetre where coarser ones would hide a part of it.
pub fn shaving(length: Length, show: Show) -> String {
    let [coarse, fine] = match show.unit() {
        Unit::Inch => [3, 4].map(Show::DecimalInch),
        Unit::Millimetre => [2, 3].map(Show::Millimetre),
    };
    length.shown(if length.rounded(coarse).1.is_zero() { coarse } else { fine })
}

/// Thousandths of an inch or hundredths of a millimetre, with a sign.
pub fn small(inches: Inches, show: Show) -> String {
    let (number, places, unit) = match show.unit() {
        Unit::Inch => (inches.get(), 3, ""),
        Unit::Millimetre => (inches.get() * 25.4, 2, " mm"),
    };
    let nothing = number.abs() < 0.5 * 10.0_f64.powi(-places);
    let places = usize::try_from(places).unwrap_or(3);
    if nothing { format!("0{unit}") } else { format!("{number:+.places$}{unit}") }
}

/// `3 tape + 1 card`.
pub fn layers(pad: &Pad) -> String {
    let each: Vec<String> = pad.layers.iter().map(|layer| format!("{} {}", layer.count, layer.stock)).collect();
    each.join(" + ")
}

/// `left edge: off the lower corner 7/64, off the upper 1/16`; with its pass where there are several.
pub fn trim(sheet: &Sheet, show: Show) -> String {
    let trim = &sheet.trim;
    let (low, high) = super::words::corner_labels(trim.edge);
    let pass = sheet.pass.as_ref().map_or_else(String::new, |pass| format!(", pass {} of {}", pass.number, pass.of));
    let [start, end] = [trim.start, trim.end].map(|removal| removal.shown_down(show));
    format!("{} {} edge{pass}: {start} {low}, {end} {high}", trim.leaf, trim.edge)
}

/// The same in one row of `columns`, where there is such a row, with its place among the cuts and why it has it, or
/// which cuts it takes as made: `1 of 3: end grain first. A top edge: 1/16 off left, 3/32 off right`.
pub fn headline(sheet: &Sheet, (at, of): (usize, usize), columns: usize, show: Show) -> String {
    let why = || sheet.order.first().filter(|_| of > 1).map(|why| why.short().to_owned());
    let said = super::after_words::short(sheet).or_else(why);
    let place = format!("{} of {of}: {}", at + 1, said.map_or_else(String::new, |said| format!("{said}. ")));
    let long = format!("{place}{}", trim(sheet, show));
    let short = long.replace(" off the ", " off ").replace(" corner", "");
    let all = [long, short.clone(), short.replace(" off ", " ")];
    let [.., least] = &all;
    all.iter().find(|text| text.chars().count() <= columns).unwrap_or(least).clone()
}

/// Why it takes several passes, and what is left after this one.
pub fn passes(sheet: &Sheet, show: Show) -> Option<String> {
    let pass = sheet.pass.as_ref()?;
    let Some(left) = left_after(sheet, show) else { return Some(last_pass(pass)) };
    let why = Refusal::MoreThanAKerf.text();
    Some(format!("REFUSED, all in one pass: {why}. Instead: {} passes; {left}", pass.of))
}

fn last_pass(pass: &super::sheets::Pass) -> String {
    format!("the last of {} passes", pass.of)
}

/// What is left after this pass; none on the last, and where one pass does it.
pub fn left_after(sheet: &Sheet, show: Show) -> Option<String> {
    let pass = sheet.pass.as_ref().filter(|pass| !pass.is_last())?;
    let (low, high) = ends(sheet.trim.edge);
    let [start, end] = [pass.rest.start, pass.rest.end].map(|removal| removal.shown_down(show));
    Some(format!("after this one {start} more {low}, {end} more {high}"))
}

/// Passes, method and why in rows of `columns`, as few as they can be; what was `asked` and is refused, and the
/// safe way instead.
pub fn in_brief(sheet: &Sheet, asked: Option<Method>, columns: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut method_and_why = chosen(sheet, asked);
    match &sheet.pass {
        Some(pass) if pass.is_last() => {
            let now = method(sheet.sheet.setup.method()).to_uppercase();
            let said = format!("{now}, {}", last_pass(pass));
            let told = |line: String| {
                let long = line.replace(&now, &said);
                if long.chars().count() <= columns { long } else { line }
            };
            method_and_why = method_and_why.into_iter().map(told).collect();
        }
        Some(pass) => {
            lines.push(format!("REFUSED, all in one pass: it is more than one kerf. Instead: {} passes", pass.of));
        }
        None => {}
    }
    lines.extend(method_and_why);
    lines
}

/// That a straightedge is wanted before a fence can be trusted, where readings ask for it.
pub fn doubt(sheet: &Sheet) -> Option<String> {
    let refused = sheet.sheet.refused.iter().find(|refused| refused.why == Refusal::ReferenceInDoubt)?;
    Some(format!("! {} (t). Until then: {}", refused.why.text(), method(sheet.sheet.setup.method())))
}

/// What is read from arm's length.
pub fn large(sheet: &Sheet, show: Show) -> String {
    let moved = |word: &str, by: &Setting, pads: &[Pad]| match pads.last() {
        Some(pad) => format!("{word} {} pad {} at {}", exact(by.value, show), count(pad), exact(pad.at, show)),
        None => format!("{word} {} no pad", exact(by.value, show)),
    };
    match &sheet.sheet.setup {
        Setup::Rip(rip) => moved("fence", &rip.fence_move, &rip.pads),
        Setup::Sled(sled) => moved("move", &sled.stop_move, &sled.pads),
        Setup::GuideLine(line) => {
            let end = |mark: Option<&crate::cut::strokes::GuideMark>| {
                mark.map_or(String::new(), |mark| exact(mark.shown, show))
            };
            let (low, high) = ends(sheet.trim.edge);
            format!("{low} {} {high} {}", end(line.marks.first()), end(line.marks.last()))
        }
        Setup::Plane(planing) => format!("{} full {} stopped", planing.full, planing.stopped.len()),
        Setup::SandingBlock(_) => "sand and look".to_owned(),
    }
}

/// The numbers to set, each with what it is: two or three.
pub fn figures(sheet: &Sheet, show: Show) -> Vec<(String, String)> {
    let bare = |text: String| text.trim_end_matches("mm").trim_end().to_owned();
    let plain = |length: Length| bare(exact(length, show));
    let unit = if show.unit() == Unit::Millimetre { ", mm" } else { "" };
    let one = |what: &str, value: String| (what.to_owned(), value);
    let moved = |what: &str, by: &Setting, pads: &[Pad]| {
        let mut all = vec![one(&format!("{what}{unit}"), plain(by.value))];
        let name = if pads.len() > 1 { format!("pad {}", pads.len()) } else { "pad".to_owned() };
        match pads.last() {
            Some(pad) => {
                all.extend([
                    one(&format!("{name}, layers"), count(pad)),
                    one(&format!("{name} at{unit}"), plain(pad.at)),
                ]);
            }
            None => all.push(one("pad", "none".to_owned())),
        }
        all
    };
    match &sheet.sheet.setup {
        Setup::Rip(rip) => moved("move fence", &rip.fence_move, &rip.pads),
        Setup::Sled(sled) => moved("move leaf", &sled.stop_move, &sled.pads),
        Setup::GuideLine(line) => {
            let (low, high) = ends(sheet.trim.edge);
            let mark = |end: &str, mark: Option<&crate::cut::strokes::GuideMark>| {
                mark.map(|mark| (format!("line in, {end}{unit}"), plain(mark.shown)))
            };
            [mark(low, line.marks.first()), mark(high, line.marks.last())].into_iter().flatten().collect()
        }
        Setup::Plane(planing) => vec![
            one("full strokes", planing.full.to_string()),
            one("stopped strokes", planing.stopped.len().to_string()),
        ],
        Setup::SandingBlock(_) => {
            let (low, high) = ends(sheet.trim.edge);
            let off = |end: &str, off: Length| one(&format!("off, {end}{unit}"), bare(off.shown_down(show)));
            vec![off(low, sheet.trim.start), off(high, sheet.trim.end)]
        }
    }
}

/// What the two ends of an edge are called.
pub fn ends(edge: Edge) -> (&'static str, &'static str) {
    if edge.is_upright() { ("lower", "upper") } else { ("left", "right") }
}

/// The set-up, step by step. Nothing here is of a refused set-up.
pub fn steps(sheet: &Sheet, show: Show) -> Vec<String> {
    let edge = sheet.trim.edge;
    match &sheet.sheet.setup {
        Setup::Rip(rip) => {
            let mut lines = vec![format!(
                "{}: {} edge on the fence, its {} touching it; the {} goes first",
                rip.saw,
                rip.reference,
                rip.pivot.word(edge),
                rip.lead.word(edge)
            )];
            lines.extend(pads(&rip.pads, &format!("from the {}", rip.pivot.word(edge)), show));
            let or = by_the_rule(sheet, show).map_or_else(String::new, |rule| format!("; or fence to blade {rule}"));
            lines.push(format!(
                "fence: kiss the {} with the blade, then {} toward it{or}",
                rip.kiss.word(edge),
                exact(rip.fence_move.value, show)
            ));
            lines
        }
        Setup::Sled(sled) => {
            let mut lines = vec![format!("{}: {} edge on the sled's fence", sled.sled, sled.reference)];
            lines.extend(pads(&sled.pads, "from its corner away from the cut", show));
            lines.push(format!(
                "kiss the {} with the blade, then move the leaf {} toward it",
                sled.kiss.word(edge),
                exact(sled.stop_move.value, show)
            ));
            lines
        }
        Setup::GuideLine(line) => {
            let from = End::Start.word(edge);
            let mark = |mark: &crate::cut::strokes::GuideMark| {
                format!("mark {} in, at {} from the {from}", exact(mark.shown, show), mark.at.shown(show))
            };
            line.marks.iter().map(mark).collect()
        }
        Setup::Plane(planing) => planing_steps(planing, edge, show),
        Setup::SandingBlock(sanding) => {
            vec![format!("rub the edge down, most at the {}; look often", sanding.more_at.word(edge))]
        }
    }
}

fn pads(pads: &[Pad], from: &str, show: Show) -> Vec<String> {
    if pads.is_empty() {
        return vec!["no pad: the edge lies flat".to_owned()];
    }
    pads.iter().map(|pad| format!("pad: {}, its near edge {} {from}", layers(pad), exact(pad.at, show))).collect()
}

fn planing_steps(planing: &Planing, edge: Edge, show: Show) -> Vec<String> {
    let mut lines = vec![format!(
        "{}: {}, shaving {}",
        planing.plane,
        super::words::counted(planing.full as usize, "full stroke"),
        shaving(planing.shaving, show)
    )];
    if !planing.stopped.is_empty() {
        let starts: Vec<String> = planing.stopped.iter().map(|stroke| exact(stroke.mark, show)).collect();
        lines.push(format!(
            "then {} starting from the {} at {}",
            super::words::counted(starts.len(), "stopped stroke"),
            planing.thin.word(edge),
            starts.join(", ")
        ));
    }
    lines.push(match planing.rule {
        PlaneRule::WithTheGrain => format!("with the grain, out at the {}", planing.thin.other().word(edge)),
        PlaneRule::BackUpAndInward => {
            "end grain: full strokes from both corners inward, stopped ones out against a backing scrap".to_owned()
        }
    });
    lines
}

/// What rounding leaves at both ends.
pub fn errors(sheet: &Sheet, show: Show) -> String {
    let (start, end) = sheet.sheet.setup.errors();
    let (low, high) = ends(sheet.trim.edge);
    format!("rounding leaves {} {low}, {} {high}", small(start, show), small(end, show))
}

/// The setting of fence or stop by the rule and by how much it takes less than is wanted at both ends:
/// `10 31/32 (takes 0.003 less lower, 0 less upper)`. None where no step of the rule comes near enough.
pub fn by_the_rule(sheet: &Sheet, show: Show) -> Option<String> {
    let setting = sheet.sheet.setup.absolute()?;
    let (low, high) = ends(sheet.trim.edge);
    let off = |error: Inches| match small(error, show).split_at_checked(1) {
        Some(("+", more)) => format!("{more} more"),
        Some(("-", less)) => format!("{less} less"),
        _ => "0 less".to_owned(),
    };
    let (start, end) = (off(setting.error_start), off(setting.error_end));
    let takes = match start == end {
        true if start == "0 less" => "just what is wanted".to_owned(),
        true => format!("{start} at both ends"),
        false => format!("{start} {low}, {end} {high}"),
    };
    Some(format!("{} (takes {takes})", exact(setting.value, show)))
}

/// What was taken for granted, in a word each; the whole stands in [`assumptions`].
pub fn not_measured(sheet: &Sheet) -> Option<String> {
    let word = |assumed: &Assumption| match assumed {
        Assumption::WidthsNominal => "widths w",
        Assumption::CornersSquare => "corner s",
        Assumption::EdgeStraight => "edge t",
        Assumption::StartingValue if matches!(sheet.sheet.setup, Setup::Plane(_)) => "shaving",
        Assumption::StartingValue => "stock",
    };
    let words: Vec<_> = sheet.sheet.assumptions.iter().map(word).collect();
    (!words.is_empty()).then(|| format!("measure {}", words.join(", ")))
}

/// What was taken for granted.
pub fn assumptions(sheet: &Sheet) -> Vec<String> {
    let upright = sheet.trim.edge.is_upright();
    sheet.sheet.assumptions.iter().map(|assumed| assumed.text(upright).to_owned()).collect()
}

/// Method and reason; where `asked` is refused, that and the safe way instead.
pub fn chosen(sheet: &Sheet, asked: Option<Method>) -> Vec<String> {
    let now = method(sheet.sheet.setup.method()).to_uppercase();
    let refused = sheet.sheet.refused.iter().filter(|refused| Some(refused.method) == asked);
    let mut lines: Vec<String> = refused
        .map(|refused| {
            format!("REFUSED, {}: {}. Instead: {now}, the safe way.", method(refused.method), refused.why.text())
        })
        .collect();
    if lines.is_empty() {
        lines.push(format!("{now}: {}", sheet.sheet.reason.text()));
    }
    lines
}

/// Every method refused, and why.
pub fn refusals(sheet: &Sheet) -> Vec<String> {
    let words =
        |refused: &crate::cut::setup::Refused| format!("not {}: {}", method(refused.method), refused.why.text());
    sheet.sheet.refused.iter().map(words).collect()
}

/// Why the edge is cut when it is.
pub fn order(sheet: &Sheet) -> Option<&'static str> {
    sheet.order.first().map(|reason| reason.text())
}

/// Cautions in full, the order and what was refused: what the drawing has no room for.
pub fn in_full(sheet: &Sheet) -> Vec<String> {
    let mut lines = cautions(sheet);
    lines.extend(sheet.order.iter().map(|reason| format!("order: {}", reason.text())));
    lines.extend(assumptions(sheet).into_iter().map(|line| format!("not measured: {line}")));
    lines.extend(refusals(sheet));
    lines
}

fn cautions(sheet: &Sheet) -> Vec<String> {
    sheet.sheet.cautions.iter().map(|caution| format!("! {}", caution.text())).collect()
}

/// The whole sheet as lines of text.
pub fn whole(sheet: &Sheet, show: Show) -> Vec<String> {
    let mut lines = vec![trim(sheet, show)];
    lines.extend(super::after_words::once_cut(sheet));
    lines.extend(passes(sheet, show));
    lines.extend(chosen(sheet, None));
    lines.extend(doubt(sheet));
    lines.extend(steps(sheet, show));
    lines.push(errors(sheet, show));
    lines.extend(in_full(sheet));
    lines
}
