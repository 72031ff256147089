//! A batch in words.

use super::arrange::Fence;
use super::stock::ShortNames;
use super::{Batch, First, Row, Tool, Undecided};
use crate::bench::sheet_words::{self, exact, layers};
use crate::bench::words::counted;
use crate::cut::job::Method;
use crate::cut::rip::Pad;
use crate::cut::setup::Setup;
use crate::fit::length::Show;

/// Nothing was found yet.
pub const LOOKING: &str = "looking for cuts that wait";
/// Why a fence that stays is checked all the same.
pub const KISS_EACH: &str = "Kiss every leaf with the blade, even where the fence stays: its own move must agree.";
/// The fence is set by the move alone.
const BY_KISSING: &str = "kiss, then move; no step of the rule is near enough";
/// The mark of a row with something not measured.
pub const NOT_MEASURED: &str = "* not all measured: its set-up sheet says what.";

/// What was accepted is not what would be advised now.
const DIFFERS_NOW: &str = "DIFFERS NOW: see the plan of this opening before the cut";
/// It is not known yet whether it is.
pub const ASKING: &str = "still working out whether the advice on each door agrees with its accepted plan";

/// The sheet was reached past a hinge of its leaf that is still to be packed.
pub const PACK_FIRST: &str = "first pack its hinge, as its plan says (Up shows it)";

/// Nothing waits for this tool.
pub fn nothing(tool: Tool) -> String {
    format!("nothing for the {}: no accepted plan has a cut left for it", tool.word())
}

/// How many trims, where, and how often the fence is set.
pub fn summary(batch: &Batch) -> String {
    let cuts = format!("{} for the {}", counted(batch.rows.len(), "cut"), batch.tool.word());
    let cuts = format!("{cuts} in {}", counted(batch.openings(), "opening"));
    let (now, by_name) = (batch.changes, batch.changes_by_name);
    if now.fence == 0 {
        return cuts;
    }
    let pads = if now.pads > 0 { format!(", pads laid {}", times(now.pads)) } else { String::new() };
    format!("{cuts}: fence set {}{pads} (door by door: {})", times(now.fence), by_name.fence)
}

fn times(count: usize) -> String {
    match count {
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        many => format!("{many} times"),
    }
}

/// An opening of which nothing is listed, since something is wrong with its file.
pub fn left_out(name: &str, why: &str) -> String {
    format!("! {name}: no cut of it is listed: {why}")
}

/// Openings whose cuts are not in the batch yet.
pub fn undecided(found: Undecided) -> Option<String> {
    let verb = |count: usize, what: &str| {
        (count > 0).then(|| format!("{count} {} {what}", if count == 1 { "has" } else { "have" }))
    };
    let parts =
        [verb(found.read, "stations to be read again first"), verb(found.accept, "a plan to be accepted first")];
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    (!parts.is_empty()).then(|| format!("Of the other openings, {}; their cuts come here then", parts.join(", ")))
}

/// The heading over `row` when it comes after `before`; none where nothing is set otherwise than for that.
pub fn heading_after(before: Option<&Row>, row: &Row, show: Show) -> Option<String> {
    let text = heading(row, show);
    let stays = before.is_some_and(|before| before.fence() == row.fence());
    let said = before.is_some_and(|before| heading(before, show) == text);
    match (stays, said) {
        (true, true) => None,
        // Where the fence stays its error may be another one: that is said, and that nothing is moved.
        (true, false) if row.fence().is_some() => Some(format!("{text}; it stays")),
        _ => Some(text),
    }
}

/// What is set for a row.
fn heading(row: &Row, show: Show) -> String {
    let by_rule = |what: &str| match sheet_words::by_the_rule(&row.sheet, show) {
        Some(setting) => format!("{what} {setting}"),
        None => BY_KISSING.to_owned(),
    };
    match (row.fence(), &row.sheet.sheet.setup) {
        (Some(Fence::Rip { saw, .. }), _) => format!("RIP, {saw}: {}", by_rule("fence to blade")),
        (Some(Fence::Sled { sled, .. }), _) => format!("SLED, {sled}: {}", by_rule("stop to blade")),
        (None, Setup::Plane(planing)) => {
            format!("PLANE, {}: shaving {}", planing.plane, sheet_words::shaving(planing.shaving, show))
        }
        (None, setup) => sheet_words::method(setup.method()).to_uppercase(),
    }
}

/// The leaf's short name and the edge.
pub fn edge(row: &Row) -> String {
    format!("{} {}", row.sheet.trim.leaf, row.sheet.trim.edge)
}

/// What the columns of a row are.
pub const HEADS: [&str; 5] = ["opening", "edge", "off", "each end", "move from kissing, pads"];

/// The set-up, short: what the heading does not say. Every pad by its whole name, or the last of them by `short` names.
pub fn set_up(row: &Row, show: Show, short: Option<&ShortNames>) -> String {
    let moved = |by, pads: &[Pad]| {
        let pad = |pad: &Pad| {
            let layers = short.map_or_else(|| layers(pad), |short| short.layers(pad));
            format!("{layers} at {}", exact(pad.at, show))
        };
        let pads = match pads {
            [] => "no pad".to_owned(),
            [one] => pad(one),
            many if short.is_none() => many.iter().map(pad).collect::<Vec<_>>().join(", "),
            [.., last] => format!("{} pads to {}", pads.len(), pad(last)),
        };
        format!("{}, {pads}", exact(by, show))
    };
    match &row.sheet.sheet.setup {
        Setup::Rip(rip) => moved(rip.fence_move.value, &rip.pads),
        Setup::Sled(sled) => moved(sled.stop_move.value, &sled.pads),
        Setup::GuideLine(line) => {
            let marks: Vec<String> = line.marks.iter().map(|mark| exact(mark.shown, show)).collect();
            format!("marks {} in", marks.join(" and "))
        }
        Setup::Plane(planing) => {
            let (full, stopped) = (planing.full as usize, planing.stopped.len());
            format!("{}, {stopped} stopped", counted(full, "full stroke"))
        }
        Setup::SandingBlock(sanding) => format!("most at the {}", sanding.more_at.word(row.sheet.trim.edge)),
    }
}

/// Which pass of the edge a row is, where there are several.
pub fn pass(row: &Row) -> Option<String> {
    row.sheet.pass.as_ref().map(|pass| format!("pass {} of {}", pass.number, pass.of))
}

/// What must be known of a row before it is cut: that the advice on its opening differs now from the accepted plan,
/// what comes first, what was refused and what is done instead.
pub fn notes(row: &Row, differs: bool) -> Vec<String> {
    let mut notes: Vec<String> = differs.then(|| DIFFERS_NOW.to_owned()).into_iter().collect();
    notes.extend(row.first.iter().map(|first| match first {
        First::Pack => "first: pack its hinge, as its plan says".to_owned(),
        First::Cut(edge, method) => format!("first: its {edge} edge, with the {}", sheet_words::method(*method)),
    }));
    let chosen = row.method();
    let at_the_saw = |method: Method| matches!(method, Method::Rip | Method::Sled);
    // A safe way by the saw is only refused out loud where another way is taken instead of it.
    let asked_of_the_saw = row.tool() == Tool::Saw || row.is_kept_from_the_saw();
    for refused in row.sheet.sheet.refused.iter().filter(|one| at_the_saw(one.method) && asked_of_the_saw) {
        if chosen == Method::Rip {
            break;
        }
        let (not, way) = (sheet_words::method(refused.method), sheet_words::method(chosen));
        notes.push(format!("REFUSED, {not}: {}. Instead: {way}", refused.why.text()));
    }
    notes
}

/// A note without its reason, where there is no room: `REFUSED, rip. Instead: sled`. The row under the cursor has it.
pub fn brief(note: &str) -> String {
    match (note.split_once(": "), note.rsplit_once("Instead: ")) {
        (Some((what, _)), Some((_, way))) if what.starts_with("REFUSED") => format!("{what}. Instead: {way}"),
        _ => note.to_owned(),
    }
}

/// Is anything of this set-up not measured?
pub fn is_assumed(row: &Row) -> bool {
    !row.sheet.sheet.assumptions.is_empty()
}
