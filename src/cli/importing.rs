//! `import`: openings and their leaves from a table.

use super::put;
use super::trouble::{Answer, Trouble};
use crate::bench::asking::gaps_of;
use crate::bench::words::counted;
use crate::cut::job::Construction;
use crate::fit::length::{Length, Unit};
use crate::fit::opening::{Edge, EdgeSet, Motion, Side};
use crate::shell::here;
use crate::shop::Shop;
use crate::shop::event::{Event, GapWanted, LeafDescribed, OpeningMeasured};
use crate::shop::importing::{self, ImportError, Wanted};
use clap::Args;
use std::collections::HashMap;
use std::io::{IsTerminal, Write};
use std::path::PathBuf;

/// From this many openings on, progress is shown.
const SHOW_FROM: usize = 1000;

/// A table in.
#[derive(Debug, Args)]
#[command(after_help = "\
The first row names the columns, in any order, with commas, semicolons or tabs between them; a row is one leaf:
  opening   the opening's name (needed); leaves of one opening share it
  width     the leaf's width (needed): 13 7/8, 352.4mm, or a number in the shop's unit
  height    its height (needed)
  leaf      its short name: A, B ... in the order of the rows if left out
  name      your words for it
  hinge     left, right, or none (a drawer front)
  reveal    the gap wanted all round: 3/32 if left out
  beside    how this leaf follows the one before: right (a pair) or above (stacked fronts)
  thickness its thickness, where known
  may_cut   the edges that may be cut, such as left right top, or none; all if left out
  solid     yes or level for a solid front with its grain level: its ends are end grain; upright for a slab with
            its grain upright: its top and bottom are; no for frame and panel

Everything is checked and written aside before the first opening is made: a bad row, a full disk or a kill leaves \
the shop as it was. An import that was stopped goes on when it is asked for again. 'export DIR' writes such a \
table, leaves.csv.

Example:
  opening,width,height,hinge,beside
  left door,13 7/8,22 1/4,left,
  pair,13 7/8,22 1/4,left,
  pair,13 7/8,22 1/4,right,right")]
pub(super) struct ImportArguments {
    /// The table, as CSV; - for standard input
    #[arg(value_name = "FILE.csv|-")]
    pub(super) file: PathBuf,
}

/// A place in the table that is wrong.
struct Fault {
    row: u64,
    column: String,
    why: String,
}

struct Gathered {
    wanted: Wanted,
    /// The line of the table on which it begins.
    row: u64,
    target: Length,
    ids: Vec<String>,
    next: Option<Edge>,
}

pub(super) const COLUMNS: [&str; 11] =
    ["opening", "leaf", "name", "width", "height", "hinge", "reveal", "beside", "thickness", "may_cut", "solid"];

/// Makes the openings in `text` (from `source`, for messages).
pub(super) fn import(shop: &Shop, text: &str, source: &str, out: &mut dyn Write) -> Result<Answer, Trouble> {
    let unit = shop.settings().show.unit();
    let gathered = read(text, unit).map_err(|fault| {
        Trouble::Input(format!(
            "{source}, line {}, column {}: {}; nothing was imported",
            fault.row, fault.column, fault.why
        ))
    })?;
    let wanted: Vec<Wanted> = gathered.iter().map(|one| one.wanted.clone()).collect();
    let shown = wanted.len() >= SHOW_FROM && std::io::stderr().is_terminal();
    let total = wanted.len();
    let progress = |done: usize| {
        if shown && (done.is_multiple_of(100) || done == total) {
            let end = if done == total { "\n" } else { "" };
            let _ = write!(std::io::stderr().lock(), "\r{done} of {total} openings{end}");
        }
    };
    let imported = importing::import(shop, &wanted, &here::now(), progress).map_err(|error| {
        let row = |index: usize| gathered.get(index).map_or(0, |one| one.row);
        let text = |index: usize| format!("{source}, line {}: {error}; nothing was imported", row(index));
        match &error {
            ImportError::Refused { index, .. } | ImportError::Exists { index, .. } => Trouble::Input(text(*index)),
            ImportError::Stopped { .. } | ImportError::Unwritten(_) => Trouble::Storage(error.to_string()),
            ImportError::Shop(_) => match error {
                ImportError::Shop(error) => error.into(),
                other => Trouble::Storage(other.to_string()),
            },
        }
    })?;
    put(out, &format!("{} made", counted(imported.made, "opening")))?;
    // Would it have been another table in another unit?
    let wanted = |one: &[Gathered]| one.iter().map(|one| one.wanted.clone()).collect::<Vec<_>>();
    let otherwise = read(text, Unit::Millimetre).map_or_else(|_| Vec::new(), |read| wanted(&read));
    if shop.is_new() && otherwise != wanted(&gathered) {
        super::say(
            "nobody set this shop's unit yet: numbers without a unit were taken as inches. Were they millimetres, \
             start anew in another folder and write 300mm, or set the unit first",
        );
    }
    if imported.there > 0 {
        put(out, &format!("{} were there already, with the same content", imported.there))?;
    }
    Ok(Answer::Done)
}

fn read(text: &str, unit: Unit) -> Result<Vec<Gathered>, Fault> {
    let fault = |row: u64, column: &str, why: String| Fault { row, column: column.to_owned(), why };
    let text = text.trim_start_matches('\u{feff}');
    let mut reader =
        csv::ReaderBuilder::new().delimiter(delimiter(text)).trim(csv::Trim::All).from_reader(text.as_bytes());
    let not_csv = |error: &csv::Error| {
        let row = error.position().map_or(1, csv::Position::line);
        fault(row, "(any)", error.to_string())
    };
    let heads = reader.headers().map_err(|error| not_csv(&error))?.clone();
    let places: HashMap<&str, usize> = heads.iter().enumerate().map(|(place, head)| (head, place)).collect();
    if let Some(unknown) = heads.iter().find(|head| !COLUMNS.contains(head)) {
        return Err(fault(1, unknown, format!("no such column; there are {}", COLUMNS.join(", "))));
    }
    if let Some((_, twice)) = heads.iter().enumerate().find(|(place, head)| places.get(head) != Some(place)) {
        return Err(fault(1, twice, "this column is there twice; keep one of them".to_owned()));
    }
    if let Some(missing) = ["opening", "width", "height"].into_iter().find(|head| !places.contains_key(head)) {
        return Err(fault(1, missing, "this column is needed".to_owned()));
    }
    let mut gathered: Vec<Gathered> = Vec::new();
    let mut known: HashMap<String, usize> = HashMap::new();
    for record in reader.records() {
        let record = record.map_err(|error| not_csv(&error))?;
        let row = record.position().map_or(0, csv::Position::line);
        let cell = |head: &str| places.get(head).and_then(|place| record.get(*place)).unwrap_or("");
        let length = |head: &str| -> Result<Option<Length>, Fault> {
            if cell(head).is_empty() {
                return Ok(None);
            }
            let length = Length::parse(cell(head), unit).map_err(|error| fault(row, head, error.to_string()))?;
            if length <= Length::ZERO {
                return Err(fault(row, head, format!("'{}' must be more than 0", cell(head))));
            }
            Ok(Some(length))
        };
        let needed = |head: &str| length(head)?.ok_or_else(|| fault(row, head, "is empty".to_owned()));
        let name = crate::shop::name::checked_name(cell("opening"))
            .map_err(|error| fault(row, "opening", error.to_string()))?
            .to_owned();
        let target = length("reveal")?;
        let place = *known.entry(name.clone()).or_insert(gathered.len());
        if place == gathered.len() {
            let wanted = Wanted { name, events: Vec::new() };
            let target = target.unwrap_or(Length::ratio(3, 32));
            gathered.push(Gathered { wanted, row, target, ids: Vec::new(), next: None });
        }
        let Some(one) = gathered.get_mut(place) else { continue };
        if target.is_some_and(|target| target != one.target) {
            return Err(fault(
                row,
                "reveal",
                "leaves of one opening have one reveal; change it on the screen".to_owned(),
            ));
        }
        let beside = match cell("beside") {
            "" if one.ids.is_empty() => None,
            "right" if !one.ids.is_empty() => Some(Edge::Right),
            "above" if !one.ids.is_empty() => Some(Edge::Top),
            "" => return Err(fault(row, "beside", "a second leaf needs right or above".to_owned())),
            other => {
                return Err(fault(row, "beside", format!("'{other}': right or above, and empty for the first leaf")));
            }
        };
        if beside.is_some() && one.next.is_some() && beside != one.next {
            return Err(fault(row, "beside", "leaves stand either side by side or one above the other".to_owned()));
        }
        one.next = one.next.or(beside);
        let id = match cell("leaf") {
            "" => letter(one.ids.len()),
            id => id.to_owned(),
        };
        if one.ids.contains(&id) {
            return Err(fault(row, "leaf", format!("'{id}' is there already")));
        }
        let hinge = match cell("hinge") {
            "" | "none" => None,
            "left" => Some(Side::Left),
            "right" => Some(Side::Right),
            other => return Err(fault(row, "hinge", format!("'{other}': left, right or none"))),
        };
        let (solid, made) = match cell("solid") {
            "" => (false, None),
            "no" => (false, Some(Construction::Framed)),
            "yes" => (true, None),
            "level" => (true, Some(Construction::SolidAcross)),
            "upright" => (true, Some(Construction::SolidUpright)),
            other => return Err(fault(row, "solid", format!("'{other}': yes or level, upright, or no"))),
        };
        one.wanted.events.push(Event::Leaf(LeafDescribed {
            leaf: id.clone(),
            name: cell("name").to_owned(),
            width: needed("width")?,
            height: needed("height")?,
            hinge,
            may_cut: may_cut(cell("may_cut")).map_err(|why| fault(row, "may_cut", why))?,
            motion: Motion::Free,
            thickness: length("thickness")?,
            solid,
            made,
        }));
        one.ids.push(id);
    }
    if gathered.is_empty() {
        return Err(fault(2, "opening", "there is no row in it".to_owned()));
    }
    for one in &mut gathered {
        let ids: Vec<&str> = one.ids.iter().map(String::as_str).collect();
        let wanted = |between| GapWanted { between, target: one.target, offset: Length::ZERO };
        let gaps = gaps_of(&ids, one.next.unwrap_or(Edge::Right)).into_iter().map(wanted).collect();
        let opening = OpeningMeasured { gaps, tolerance: None, survey: None, leaves: Vec::new() };
        one.wanted.events.insert(0, Event::Opening(opening));
    }
    Ok(gathered)
}

/// What stands between the columns: a comma, or what a spreadsheet puts where the comma is the decimal sign. No column's
/// name has any of them in it.
fn delimiter(text: &str) -> u8 {
    let head = text.lines().next().unwrap_or_default();
    let others = [b';', b'\t'].into_iter();
    others.filter(|_| !head.contains(',')).find(|other| head.contains(char::from(*other))).unwrap_or(b',')
}

/// Edges by their words, spaces between.
fn may_cut(text: &str) -> Result<EdgeSet, String> {
    if text.is_empty() {
        return Ok(EdgeSet::ALL);
    }
    let mut set = EdgeSet::default();
    for word in text.split_whitespace().filter(|word| *word != "none") {
        let edge = Edge::ALL.into_iter().find(|edge| edge.word() == word);
        set = set.with(edge.ok_or_else(|| format!("'{word}': left, right, bottom or top, or none"))?);
    }
    Ok(set)
}

/// `A`, `B` ... and after `Z` numbers.
fn letter(place: usize) -> String {
    match u8::try_from(place) {
        Ok(place) if place < 26 => char::from(b'A' + place).to_string(),
        _ => (place + 1).to_string(),
    }
}
