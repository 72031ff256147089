//! `batch`: everything for the saw, or for the plane, in one trip.

use super::logbook::Style;
use super::trouble::{Answer, Trouble};
use super::{put, say};
use crate::bench::batch::words::{self, edge, heading_after, is_assumed, notes, set_up};
use crate::bench::batch::{Batch, Row, Tool, Undecided, files, left_out, undecided};
use crate::bench::brief::Brief;
use crate::bench::sheet_words;
use crate::cut::setting::Setting;
use crate::cut::words::Caution;
use crate::fit::length::{Inches, Show};
use crate::shell::desk::Desk;
use crate::shell::here;
use crate::shop::Shop;
use crate::shop::name::ENDING;
use crate::shop::replay::Stage;
use crate::shop::summary::Summary;
use clap::Args;
use serde_json::{Value, json};
use std::collections::{BTreeSet, HashMap};
use std::io::Write;

/// What the command takes.
#[derive(Clone, Copy, Debug, Args)]
#[command(after_help = "\
Examples:
  evenreveal batch                       what waits for the saw, in the order that moves the fence least
  evenreveal batch --plane               what waits for the plane
  evenreveal batch --csv > saw.csv       a table for a spreadsheet, lengths in inches

Cuts of a plan are listed once the plan is accepted. Exit code 1: nothing waits.")]
pub(super) struct BatchArguments {
    /// For the plane instead of the saw
    #[arg(long)]
    plane: bool,
    /// Answer in JSON
    #[arg(long, conflicts_with = "csv")]
    json: bool,
    /// A table for a spreadsheet
    #[arg(long)]
    csv: bool,
}

/// Files, without their ending, of the openings on which the advice differs now from what was accepted.
type Differing<'a> = BTreeSet<&'a str>;

/// Writes the batch.
pub(super) fn batch(shop: &Shop, arguments: BatchArguments, out: &mut dyn Write) -> Result<Answer, Trouble> {
    let openings = shop.list()?;
    let to_cut = files(openings.iter());
    let mut desk = here::desk(shop);
    let waiting = desk.batch(&to_cut, shop.settings());
    let differing: Vec<String> = (desk.passes(&to_cut, shop.settings()).into_iter())
        .filter(|(_, brief)| brief.is_some_and(|brief| brief.differs))
        .map(|(file, _)| file)
        .collect();
    let differing: BTreeSet<&str> = differing.iter().map(|file| file.trim_end_matches(ENDING)).collect();
    let tool = if arguments.plane { Tool::Plane } else { Tool::Saw };
    let batch = Batch::of(&waiting, tool);
    let troubled = left_out(openings.iter());
    for (one, why) in &troubled {
        say(&format!("{}: {why}", one.name));
    }
    match Style::from_flags(arguments.json, arguments.csv) {
        Style::Json => put(out, &format!("{:#}", value(&batch, &differing, &troubled)))?,
        Style::Csv => table(&batch, &differing, &troubled, out)?,
        Style::Words => {
            let undecided = not_decided(&mut desk, shop, &openings);
            in_words(&batch, &differing, undecided, shop.settings().show, out)?;
            troubled.iter().try_for_each(|(one, why)| put(out, &words::left_out(&one.name, why)))?;
        }
    }
    desk.save();
    let answer = if batch.rows.is_empty() { Answer::No } else { Answer::Done };
    Ok(answer.unless(openings.iter().any(Summary::is_unsound)))
}

/// Openings that are read and not decided, with what the list says of each.
fn not_decided(desk: &mut Desk, shop: &Shop, openings: &[Summary]) -> Undecided {
    let open = |one: &&Summary| matches!(one.stage, Stage::Decide { .. });
    let files: Vec<String> = openings.iter().filter(open).map(|one| one.file.clone()).collect();
    let briefs: HashMap<String, Option<Brief>> = desk.passes(&files, shop.settings()).into_iter().collect();
    undecided(openings.iter().map(|one| (one, briefs.get(&one.file).and_then(Option::as_ref))))
}

fn in_words(
    batch: &Batch,
    differing: &Differing<'_>,
    undecided: Undecided,
    show: Show,
    out: &mut dyn Write,
) -> Result<(), Trouble> {
    let notes = |row: &Row| notes(row, differing.contains(row.file.as_str()));
    let nothing = batch.rows.is_empty();
    put(out, &if nothing { words::nothing(batch.tool) } else { words::summary(batch) })?;
    let mut before = None;
    if batch.rows.iter().any(|row| row.fence().is_some()) {
        put(out, "After each cut: the move from kissing the blade, then the pads.")?;
    }
    for (place, row) in batch.rows.iter().enumerate() {
        heading_after(before.replace(row), row, show)
            .into_iter()
            .try_for_each(|heading| put(out, &format!("\n{heading}")))?;
        let mark = if is_assumed(row) { " *" } else { "" };
        let trim = sheet_words::trim(&row.sheet, show);
        put(out, &format!("{:>3}. {}, {trim}: {}{mark}", place + 1, row.opening, set_up(row, show, None)))?;
        notes(row).iter().try_for_each(|note| put(out, &format!("       ! {note}")))?;
    }
    if !batch.kept_from_saw.is_empty() {
        put(out, "\nNOT AT THE SAW, although meant for it")?;
    }
    for row in &batch.kept_from_saw {
        let way = sheet_words::method(row.method());
        put(out, &format!("     {}, {}: {way} instead (--plane)", row.opening, edge(row)))?;
        notes(row).iter().try_for_each(|note| put(out, &format!("       ! {note}")))?;
    }
    for one in &batch.without {
        let (opening, trim, why) = (&one.opening, &one.trim, &one.why);
        put(out, &format!("     ! no set-up for {opening}, {} {}: {why}", trim.leaf, trim.edge))?;
    }
    if !nothing {
        put(out, "")?;
        if batch.rows.iter().any(is_assumed) {
            put(out, words::NOT_MEASURED)?;
        }
        if batch.shares_settings() {
            put(out, words::KISS_EACH)?;
        }
    }
    batch.cautions().iter().try_for_each(|caution| put(out, &format!("! {}", caution.text())))?;
    words::undecided(undecided).iter().try_for_each(|text| put(out, text))
}

/// What a row's fence or stop is set to by the rule, if a step of it comes near enough.
fn to_blade(row: &Row) -> Option<Setting> {
    row.sheet.sheet.setup.absolute()
}

fn value(batch: &Batch, differing: &Differing<'_>, troubled: &[(&Summary, &str)]) -> Value {
    let differs = |row: &Row| differing.contains(row.file.as_str());
    let row = |row: &Row| {
        json!({
            "opening": row.opening, "file": row.file, "leaf": row.sheet.trim.leaf, "edge": row.sheet.trim.edge,
            "start": row.sheet.sheet.start, "end": row.sheet.sheet.end, "method": row.method(),
            "fence_to_blade": to_blade(row).map(|set| set.value.inches()),
            "fence_to_blade_error": to_blade(row).map(|set| json!({ "start": set.error_start, "end": set.error_end })),
            "pass": row.sheet.pass.as_ref().map(|pass| json!({ "number": pass.number, "of": pass.of })),
            "advice_differs": differs(row), "set_up": row.sheet.sheet, "notes": notes(row, differs(row)),
        })
    };
    let rows = |list: &[Row]| list.iter().map(row).collect::<Vec<Value>>();
    let without: Vec<Value> = batch
        .without
        .iter()
        .map(|one| json!({ "opening": one.opening, "leaf": one.trim.leaf, "edge": one.trim.edge, "why": one.why }))
        .collect();
    let cautions: Vec<&str> = batch.cautions().into_iter().map(Caution::text).collect();
    let troubled: Vec<Value> =
        troubled.iter().map(|(one, why)| json!({ "opening": one.name, "file": one.file, "trouble": why })).collect();
    let changes =
        |changes: crate::bench::batch::arrange::Changes| json!({ "fence": changes.fence, "pads": changes.pads });
    json!({
        "format": "evenreveal-batch/1", "unit": "in", "tool": batch.tool.word(), "cuts": rows(&batch.rows),
        "kept_from_saw": rows(&batch.kept_from_saw), "no_set_up": without, "left_out": troubled,
        "cautions": cautions,
        "set": changes(batch.changes), "set_door_by_door": changes(batch.changes_by_name),
    })
}

/// One row for each cut, in order, lengths in inches. What was refused and what comes first stands in the notes,
/// the cautions in the last column: a table that is printed alone has them, too. An opening with something wrong with
/// its file has a row without a place in the order and without figures.
fn table(
    batch: &Batch,
    differing: &Differing<'_>,
    troubled: &[(&Summary, &str)],
    out: &mut dyn Write,
) -> Result<(), Trouble> {
    let bad = |error: &dyn ToString| Trouble::Storage(format!("the table cannot be written: {}", error.to_string()));
    let mut writer = csv::Writer::from_writer(Vec::new());
    let heads = [
        "order",
        "opening",
        "leaf",
        "edge",
        "start_in",
        "end_in",
        "method",
        "fence_to_blade_in",
        "fence_error_start_in",
        "fence_error_end_in",
        "set_up",
        "notes",
        "cautions",
    ];
    writer.write_record(heads).map_err(|error| bad(&error))?;
    let inches = Show::DecimalInch(4);
    let error = |inches: Inches| format!("{:.4}", inches.get());
    let set = |cell: Option<String>| cell.unwrap_or_default();
    for (place, row) in batch.rows.iter().enumerate() {
        let trim = &row.sheet.trim;
        let cautions: Vec<&str> = row.sheet.sheet.cautions.iter().map(|caution| caution.short()).collect();
        let cells = [
            (place + 1).to_string(),
            row.opening.clone(),
            trim.leaf.clone(),
            trim.edge.to_string(),
            trim.start.shown(inches),
            trim.end.shown(inches),
            row.method().word().to_owned(),
            set(to_blade(row).map(|set| set.value.shown(inches))),
            set(to_blade(row).map(|set| error(set.error_start))),
            set(to_blade(row).map(|set| error(set.error_end))),
            set_up(row, inches, None),
            words::pass(row)
                .into_iter()
                .chain(notes(row, differing.contains(row.file.as_str())))
                .collect::<Vec<_>>()
                .join("; "),
            cautions.join("; "),
        ];
        writer.write_record(cells).map_err(|error| bad(&error))?;
    }
    for (one, why) in troubled {
        let mut cells = heads.map(|_| String::new());
        for (head, cell) in heads.iter().zip(&mut cells) {
            match *head {
                "opening" => cell.clone_from(&one.name),
                "notes" => *cell = format!("no cut of it is listed: {why}"),
                _ => {}
            }
        }
        writer.write_record(cells).map_err(|error| bad(&error))?;
    }
    let bytes = writer.into_inner().map_err(|error| bad(&error))?;
    put(out, String::from_utf8_lossy(&bytes).trim_end())
}
