//! Every sentence a session says, in one place, so that it can be read through, mended and one day
//! translated. Plain words of the trade.

use super::stations;
use crate::fit::length::{Inches, Show};
use crate::fit::opening::{Edge, Prefer};
use crate::fit::plan::Verdict;
use crate::shop::event::{Event, ReadingStored, TrimMeant};
use crate::shop::replay::{Stage, Unsound};

/// The program's name.
pub const PROGRAM: &str = "evenreveal";
/// No opening yet.
pub const NO_OPENINGS: &str = "no opening yet: press n to describe one";
/// Escape on the first screen.
pub const HOW_TO_QUIT: &str = "q leaves; everything is kept already";
/// Undo without an opening.
pub const OPEN_FIRST: &str = "go into an opening first: what is taken back belongs to one";
/// Undo with nothing to undo.
pub const NOTHING_TO_TAKE_BACK: &str =
    "nothing to take back here; to take back the description itself, strike it in the log";
/// Redo with nothing to redo.
pub const NOTHING_TO_PUT_BACK: &str = "nothing to put back";
/// A shop was made.
pub const SHOP_MADE: &str = "your shop is made (t in its list changes what is set). Now the first opening; Esc: later";
/// An opening without a description.
pub const DESCRIBE_FIRST: &str =
    "this opening is not described yet; make it anew with n in the shop, or with 'evenreveal enter'";
/// An opening whose leaf has no size.
pub const NO_LEAF_YET: &str = "no leaf has a size yet: measure the opening (s), then size the blank (b)";
/// No plan without readings.
pub const READ_FIRST: &str = "nothing is read yet: press r and go round the leaf";
/// No accepted plan.
pub const NOTHING_TO_RECORD: &str = "no accepted plan is waiting to be cut: press p for the plan";
/// The plan's round is over.
pub const ROUND_IS_CUT: &str = "wood came off since these readings: read the gaps again (r) before the next plan";
/// Nothing to cut, stations to read.
pub const READ_AGAIN_FIRST: &str = "nothing is to be cut yet: read the stations named once more (r)";
/// The plan that is shown is the one that was accepted.
pub const ACCEPTED_ALREADY: &str = "accepted already: c records what was cut; n works the plan out anew";
/// Nothing was accepted to go back to.
pub const NOTHING_STANDS: &str = "no plan of this round is accepted: this is the advice";
/// Cuts are recorded of a plan that the advice no longer agrees with.
pub const DIFFERS_NOW: &str = "the advice differs from this plan now: p shows how, and what to do about it";
/// Undo while a form is filled in.
pub const FORM_FIRST: &str = "no event is taken back or put back while a form is filled in: Esc leaves it";
/// Enter where cuts are recorded: it goes on elsewhere, and may bounce.
pub const DONE_BY_D: &str = "press d once it is done as shown, o if it was done otherwise";
/// A plan accepted before it is there.
pub const PLAN_TO_COME: &str = "this plan is still being worked out: look at it first";
/// Enter without a reading.
pub const ENTER_A_READING: &str = "press the key of the feeler that goes, or type the gap; Tab leaves this station out";
/// No feeler stops.
pub const THICKEST_GOES: &str =
    "the thickest feeler goes: type the gap instead (two feelers together, or a taper gauge)";
/// A surprising reading is taken again.
pub const READ_IT_AGAIN: &str = "read it again";
/// A reading of an earlier round is doubted.
pub const CANNOT_BE_RETAKEN: &str = "wood came off since: it cannot be read again; keep it or strike it";
/// No reading is asked for.
pub const NOTHING_ASKED: &str = "no reading is asked for here";
/// After a leaf was hung whose gaps were read loose.
pub const HUNG_READ_AGAIN: &str = "kept: it hangs now; read the gaps again as it hangs (r)";
/// Where no leaf has a hinge side.
pub const NOTHING_HANGS: &str = "nothing hangs here: a drawer front has no hinges";
/// Label of a pack.
pub const PACKED_BY: &str = "hinge moved out by";
/// Help for a pack.
pub const HINT_PACKED: &str = "packed out; with - before it, let in";
/// Help for a removal.
pub const HINT_REALLY_CAME_OFF: &str = "what you set out to take off instead";
/// First question.
pub const ASK_UNIT: &str = "unit";
/// Its help.
pub const HINT_UNIT: &str = "left and right choose";
/// Second question.
pub const ASK_FEELERS: &str = "feelers you own";
/// Its help.
pub const HINT_FEELERS: &str = "like 1/64, 1/32, 3/64; empty: 1/64 to 9/64 in steps of 1/64";
/// Esc at the first questions.
pub const FIRST_START_ESC: &str = "nothing kept yet. Esc again leaves; to look round first: evenreveal sample";
/// The first questions were left.
pub const FIRST_START_LEFT: &str = "nothing was kept: the questions come again at the next start";
/// Third question.
pub const ASK_TAPE: &str = "tape";
/// Its help.
pub const HINT_TAPE: &str = "layers = what they measure, like 10 = 0.055; empty: later";
/// Wizard: name.
pub const ASK_NAME: &str = "name";
/// Its help.
pub const HINT_NAME: &str = "your words: left door, kitchen";
/// Wizard: kind.
pub const ASK_KIND: &str = "kind";
/// Its help.
pub const HINT_KIND: &str = "left and right choose";
/// Wizard: width.
pub const ASK_WIDTH: &str = "leaf width";
/// Its help.
pub const HINT_WIDTH: &str = "of each leaf, as near as the tape tells; empty: not made yet";
/// Wizard: height.
pub const ASK_HEIGHT: &str = "leaf height";
/// Its help.
pub const HINT_HEIGHT: &str = "of each leaf";
/// Wizard: hinge.
pub const ASK_HINGE: &str = "hinge side";
/// Its help.
pub const HINT_HINGE: &str = "of a single door; a pair hangs left and right";
/// Wizard: how made.
pub const ASK_MADE: &str = "made as";
/// Its help.
pub const HINT_MADE: &str = "left and right choose; it decides which edges are end grain";
/// Wizard: reveal.
pub const ASK_REVEAL: &str = "reveal wanted";
/// Its help.
pub const HINT_REVEAL: &str = "the gap you want all round";
/// Note.
pub const ASK_NOTE: &str = "note";
/// Its help.
pub const HINT_NOTE: &str = "Enter keeps it; Tab: a photo's file name with it";
/// Photo of a note.
pub const ASK_PHOTO: &str = "photo's file";
/// Its help.
pub const HINT_PHOTO: &str = "its name, as you will look for it; the photo itself stays where it is";
/// The photo that a note names is not where it was looked for.
pub fn no_photo(file: &str) -> String {
    format!("kept as typed; no such file here or in the shop's folder: {file}")
}
/// A leaf of no size.
pub const SIZE_ZERO: &str = "a leaf has a size: it must be more than 0";
/// The screen is too small.
pub const TOO_SMALL: &str = "window too small: at least 40 x 12, better 80 x 24";
/// A cut for which no set-up can be worked out.
pub const NO_SET_UP: &str = "there is no set-up to have been followed: press o and type what was done";
/// Widths are asked for a trim only.
pub const WIDTHS_OF_A_TRIM: &str = "widths are asked where an edge is trimmed";
/// Which end leads is asked for a rip only.
pub const LEAD_OF_A_RIP: &str = "which end goes first is chosen for a cut against the rip fence";
/// The other end cannot lead.
pub const LEAD_REFUSED: &str = "not the other end first: the fence would not hold two points of the leaf all the way";
/// Marks are for a guide line only.
pub const MARKS_OF_A_LINE: &str = "marks along the edge belong to a guide line: m until it is one";
/// Help for a width.
pub const HINT_WIDTH_MEASURED: &str = "from this edge to the one opposite, before the cut";
/// Of one pass of several.
pub const ASK_MORE: &str = "on this edge";
/// The next pass follows.
pub const MORE_TO_COME: &str = "more passes to come";
/// The edge is left as it is.
pub const NO_MORE: &str = "that is all for now";
/// Its help.
pub const HINT_MORE: &str = "left and right choose";
/// By what means.
pub const ASK_MEANS: &str = "by what means";
/// Its help.
pub const HINT_MEANS: &str = "left and right choose";

/// Labels for the widths at both ends of an edge.
pub fn width_labels(edge: Edge) -> (&'static str, &'static str) {
    if edge.is_upright() {
        ("width at the bottom", "width at the top")
    } else {
        ("height at the left", "height at the right")
    }
}

/// The mark of what nobody in this shop has measured.
pub const STARTING_VALUE: &str = "* starting value, not measured";
/// Nothing to choose by left and right.
pub const ENTER_CHANGES: &str = "nothing to choose here: Enter changes it";
/// Nothing to type.
pub const LEFT_RIGHT_CHOOSE: &str = "nothing to type here: left and right choose";
/// A row that must stay.
pub const NOT_TAKEN_OUT: &str = "this row stays; Enter, or left and right, changes it";
/// Nothing was changed.
pub const SETTINGS_SAME: &str = "that is how it was; nothing changed";
/// Nothing to take back on the page of tools.
pub const NOTHING_CHANGED_HERE: &str = "nothing was changed on this visit";

/// A setting is on the disk.
pub fn settings_kept(what: &str) -> String {
    format!("kept: {what} (u takes it back)")
}

/// A setting is as it was before.
pub fn setting_taken_back(what: &str) -> String {
    format!("taken back: {what} is as it was")
}

/// Kept on the disk.
pub fn kept(numbers: &[u64]) -> String {
    match numbers {
        [] => "kept".to_owned(),
        [one] => format!("kept, event {one}"),
        [first, .., last] => format!("kept, events {first} to {last}"),
    }
}

/// A plan was kept.
pub fn plan_kept(numbers: &[u64]) -> String {
    format!("plan accepted, {}", kept(numbers))
}

/// Pages were printed.
pub fn printed(files: &[String]) -> String {
    format!("written {}", files.join(", "))
}

/// The last cut of a round was kept.
pub fn all_done(numbers: &[u64]) -> String {
    format!("{}; all done: put the leaf back and read the gaps again", kept(numbers))
}

/// Nothing can be kept.
pub fn read_only(why: &str) -> String {
    format!("for reading only: {why}")
}

/// An event was taken back.
pub fn taken_back(n: u64, what: &str) -> String {
    format!("taken back: event {n}, {what} (Ctrl-Y puts it back)")
}

/// An event was put back.
pub fn put_back(n: u64, what: &str) -> String {
    format!("put back: event {n}, {what}")
}

/// Labels for the two ends of a removal.
pub fn corner_labels(edge: Edge) -> (&'static str, &'static str) {
    if edge.is_upright() {
        ("off the lower corner", "off the upper corner")
    } else {
        ("off the left corner", "off the right corner")
    }
}

/// What one stored reading said.
pub fn reading_words(reading: &ReadingStored, show: Show) -> String {
    match (reading.gap, reading.goes, reading.stops, reading.lap) {
        (Some(gap), ..) => gap.shown_with_error(show),
        (_, Some(goes), Some(stops), _) => format!("{} goes, {} stops", goes.shown(show), stops.shown(show)),
        (.., Some(lap)) => format!("laps {}", lap.shown_with_error(show)),
        _ => "nothing".to_owned(),
    }
}

/// `A left (bottom 0.018, top 1/32)`: short, so that a row of the log has room for both ends.
pub fn trim(trim: &TrimMeant, show: Show) -> String {
    let [start, end] = [trim.start, trim.end].map(|removal| removal.shown_down(show));
    let (low, high) = if trim.edge.is_upright() { ("bottom", "top") } else { ("left", "right") };
    format!("{} {} ({low} {start}, {high} {end})", trim.leaf, trim.edge)
}

/// An event in words.
pub fn event(event: &Event, show: Show) -> String {
    match event {
        Event::Opening(opening) => {
            let first =
                opening.gaps.first().map_or(String::new(), |gap| format!(", reveal {}", gap.target.shown(show)));
            let to_come = super::making_words::to_come(&opening.leaves, show);
            format!("opening with {}{first}{to_come}", counted(opening.gaps.len(), "gap"))
        }
        Event::Leaf(leaf) => {
            let name = if leaf.name.is_empty() { String::new() } else { format!(" ({})", leaf.name) };
            let made = leaf.said_made().map_or("", super::making_words::made);
            let size = format!("{} x {}", leaf.width.shown(show), leaf.height.shown(show));
            format!("leaf {}{name}, {size}{made}", leaf.leaf)
        }
        Event::Readings(taken) => {
            let count: usize = taken.gaps.iter().map(|gap| gap.readings.len()).sum();
            match taken.gaps.as_slice() {
                [gap] if count == 1 => {
                    let read = gap
                        .readings
                        .first()
                        .map(|reading| (stations::shown(reading.at, show), reading_words(reading, show)));
                    let (at, read) = read.unwrap_or_default();
                    format!("round {}: {} at {at}: {read}", taken.round, between(&gap.between))
                }
                _ => format!("round {}: {}", taken.round, counted(count, "reading")),
            }
        }
        Event::Plan(plan) => {
            let trims: Vec<_> = plan.trims.iter().map(|trim| self::trim(trim, show)).collect();
            let trims = if trims.is_empty() { String::new() } else { format!(": {}", trims.join("; ")) };
            format!("round {}: plan accepted, {}{trims}", plan.round, plan.verdict)
        }
        Event::Cut(cut) => {
            let what = if cut.more { "one pass of several" } else { "cut" };
            format!(
                "round {}: {what} ({}): {}",
                cut.round,
                super::sheet_words::means(&cut.method),
                trim(&cut.intended, show)
            )
        }
        Event::Measured(measured) => super::leaf_facts::words(measured, show),
        Event::Hung(hung) => super::hinge_words::hung(hung, show),
        Event::Altered(_) | Event::Remade(_) => super::altering::event(event, show),
        Event::Pack(pack) => super::hinge_words::bare(pack, show),
        Event::Flush(flush) => {
            let corners: Vec<_> = flush.corners.iter().map(|corner| corner.shown(show)).collect();
            format!("flush of {}: {}", flush.leaf, corners.join(", "))
        }
        Event::Depth(turned) => super::hinge_words::turned(turned, show),
        Event::Finish(finish) => format!("finish on {}: {}", finish.leaf, finish.schedule),
        Event::Survey(_) | Event::Build(_) | Event::Heights(_) | Event::Pin(_) | Event::Part(_) | Event::Reveal(_) => {
            super::making_words::event(event, show)
        }
        Event::Note(note) => note.line(),
        Event::Judged(judged) => super::rounds_words::judged(judged, show),
        Event::Strike(strike) => {
            let why = if strike.why.is_empty() { String::new() } else { format!(" ({})", strike.why) };
            format!("takes back event {}{why}", strike.strikes)
        }
    }
}

/// `A.right to frame`.
fn between(sides: &[String; 2]) -> String {
    match sides {
        [frame, leaf] | [leaf, frame] if frame == "frame" => leaf.clone(),
        [a, b] => format!("{a} to {b}"),
    }
}

/// `1 gap`, `4 gaps`.
pub fn counted(count: usize, what: &str) -> String {
    if count == 1 { format!("1 {what}") } else { format!("{count} {what}s") }
}

/// What to do next, short enough for large letters.
pub fn next(stage: Stage) -> String {
    match stage {
        Stage::Unsound(Unsound::Damaged) => "Log damaged: mend".to_owned(),
        Stage::Unsound(Unsound::Newer) => "Newer build needed".to_owned(),
        Stage::Unsound(Unsound::Unreadable) => "Log unreadable".to_owned(),
        Stage::Describe => "Describe it".to_owned(),
        Stage::Survey => "Measure it".to_owned(),
        Stage::Resurvey => "Measure it again".to_owned(),
        Stage::Blank => "Size the blank".to_owned(),
        Stage::Read { round: 1 } => "Read the gaps".to_owned(),
        Stage::Read { .. } => "Read it again".to_owned(),
        Stage::Decide { .. } => "See the plan".to_owned(),
        // Hinges come before edges.
        Stage::Cut { packs: 1, .. } => "Pack one hinge".to_owned(),
        Stage::Cut { packs, .. } if packs > 0 => format!("Pack {packs} hinges"),
        Stage::Cut { left: 1, .. } => "Cut one edge".to_owned(),
        Stage::Cut { left, .. } => format!("Cut {left} edges"),
        Stage::Fitted { .. } => "It fits".to_owned(),
        Stage::Settled { .. } => "As good as it gets".to_owned(),
        Stage::Short { .. } => "Wood is missing".to_owned(),
    }
}

/// What to do about a log on which nothing may be built.
pub fn unsound(kind: Unsound) -> &'static str {
    match kind {
        Unsound::Damaged => "no cut is advised: its log is damaged; 'evenreveal mend' makes a sound copy",
        Unsound::Newer => "no cut is advised: a newer build wrote its log; use that build",
        Unsound::Unreadable => "no cut is advised: its log cannot be read; see to the file first",
    }
}

/// What an accepted plan leaves: `1 hinge to pack, 2 edges to cut`.
pub fn to_do(edges: usize, packs: usize) -> String {
    match (edges, packs) {
        (edges, 0) => format!("{} to cut", counted(edges, "edge")),
        (0, packs) => format!("{} to pack", counted(packs, "hinge")),
        (edges, packs) => format!("{} to pack, {} to cut", counted(packs, "hinge"), counted(edges, "edge")),
    }
}

/// What to do next, with its round.
pub fn next_long(stage: Stage) -> String {
    match stage {
        Stage::Unsound(kind) => unsound(kind).to_owned(),
        Stage::Describe => "describe the opening and its leaves".to_owned(),
        Stage::Survey => "measure the opening (s)".to_owned(),
        Stage::Resurvey => "measure the opening again (s): its readings contradict each other".to_owned(),
        Stage::Blank => "size the blank (b)".to_owned(),
        Stage::Read { round } => format!("round {round}: read the gaps (r)"),
        Stage::Decide { round } => format!("round {round}: see the plan (p)"),
        Stage::Cut { round, left, packs } => format!("round {round}: {} (c)", to_do(left, packs)),
        Stage::Fitted { .. } => "nothing: it fits".to_owned(),
        Stage::Settled { .. } => "nothing: it is as good as it gets".to_owned(),
        Stage::Short { .. } => format!("wood is missing: see what would help (p); {}", super::altering::TELL),
    }
}

/// The verdict, as a sentence.
pub fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Fitted => "It fits",
        Verdict::Move => "Move it",
        Verdict::Pack => "Pack a hinge",
        Verdict::Cut => "Trim it",
        Verdict::Short => "Too short",
    }
}

/// The preference.
pub fn prefer(prefer: Prefer) -> &'static str {
    match prefer {
        Prefer::LeastWood => "least wood",
        Prefer::EvenStiles => "even stiles",
    }
}

/// By what means a removal of this much is done, until a set-up sheet says more. Common practice,
/// no published source.
pub fn means(most: Inches) -> &'static str {
    if most.0 > 1.0 / 32.0 { "saw" } else { "plane" }
}

/// Words of the screen without the keys that they name, ` (r)`: paper and speech have none.
pub fn without_keys(text: &str) -> String {
    let keys = ["r", "p", "c", "n", "s", "b", "k", "l", "a", "m"];
    keys.iter().fold(text.to_owned(), |text, key| text.replace(&format!(" ({key})"), ""))
}
