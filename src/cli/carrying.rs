//! `export`, `backup`, `restore`, `mend`: what goes out of the shop as files, and comes back.

use super::trouble::{Answer, Trouble};
use super::{leaves, logbook, put, say};
use crate::shop::archive::{self, ArchiveError};
use crate::shop::files::{Files, RealFiles};
use crate::shop::{Shop, name};
use clap::Args;
use serde_json::{Value, json};
use std::io::Write;
use std::path::{Path, PathBuf};

/// Everything, for other programs.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  evenreveal export --json > shop.json     everything, on standard output\n  \
evenreveal export --csv                  one table: a row for each event\n  \
evenreveal export ~/out                  all of it in a new folder: shop.json, events.csv, JSON and CSV of each\n  \
                                         opening, and leaves.csv, which import takes (sizes as they were described,\n  \
                                         before any cut)")]
pub(super) struct ExportArguments {
    /// A folder to make; it must not be there yet
    #[arg(value_name = "DIR", required_unless_present_any = ["json", "csv"], conflicts_with_all = ["json", "csv"])]
    dir: Option<PathBuf>,
    /// Everything in one JSON object
    #[arg(long, conflicts_with = "csv")]
    json: bool,
    /// Everything in one table
    #[arg(long)]
    csv: bool,
}

/// One file out.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  evenreveal backup ~/shop-2026-03-02.tar")]
pub(super) struct BackupArguments {
    /// The file to make; it must not be there yet
    file: PathBuf,
}

/// One file in.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  evenreveal --shop ~/shop-again restore ~/shop-2026-03-02.tar\n\n\
The shop's folder must be empty, or not there: nothing is ever overwritten.")]
pub(super) struct RestoreArguments {
    /// A file that 'backup' made
    file: PathBuf,
}

/// A damaged log.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  evenreveal mend \"left door\"\n\n\
The damaged file stays as it is. A new opening is made from its good lines; the others are named, and set \
aside in a file beside it.")]
pub(super) struct MendArguments {
    /// The damaged opening's name, or its file's
    opening: String,
}

impl From<ArchiveError> for Trouble {
    fn from(error: ArchiveError) -> Self {
        let text = error.to_string();
        match error {
            ArchiveError::Shop(error) => error.into(),
            ArchiveError::Io { .. } => Self::Storage(text),
            ArchiveError::NoBackup(_)
            | ArchiveError::Occupied(_)
            | ArchiveError::NoShop(_)
            | ArchiveError::Exists(_)
            | ArchiveError::Sound(_)
            | ArchiveError::Newer(_) => Self::Input(text),
        }
    }
}

/// Every opening with every event.
fn everything(shop: &Shop) -> Result<Vec<(String, Value, String)>, Trouble> {
    let listed = shop.list()?;
    let each = listed.iter().map(|listed| {
        let opening = shop.opening(listed.file.trim_end_matches(name::ENDING))?;
        let events = serde_json::to_value(opening.records()).map_err(|error| Trouble::Storage(error.to_string()))?;
        let mut table = Vec::new();
        logbook::table(&opening, &mut table)?;
        let value = json!({ "opening": opening.name(), "file": listed.file, "events": events });
        Ok((listed.file.clone(), value, String::from_utf8_lossy(&table).into_owned()))
    });
    each.collect()
}

/// Writes everything as JSON or CSV.
pub(super) fn export(shop: &Shop, arguments: &ExportArguments, out: &mut dyn Write) -> Result<Answer, Trouble> {
    let everything = everything(shop)?;
    let settings = serde_json::to_value(shop.settings()).map_err(|error| Trouble::Storage(error.to_string()))?;
    let openings: Vec<&Value> = everything.iter().map(|(_, value, _)| value).collect();
    let whole = json!({ "format": "evenreveal-export/1", "settings": settings, "openings": openings });
    let Some(dir) = &arguments.dir else {
        if arguments.json {
            put(out, &format!("{whole:#}"))?;
        } else {
            put(out, one_table(&everything)?.trim_end())?;
        }
        return Ok(Answer::Done);
    };
    let (leaves, remarks) = leaves::table(&shop.all()?).map_err(Trouble::Storage)?;
    for remark in &remarks {
        say(remark);
    }
    let mut files = vec![
        ("shop.json".to_owned(), format!("{whole:#}\n")),
        ("events.csv".to_owned(), one_table(&everything)?),
        ("leaves.csv".to_owned(), leaves),
    ];
    for (file, value, table) in &everything {
        let stem = file.trim_end_matches(name::ENDING);
        files.push((format!("openings/{stem}.json"), format!("{value:#}\n")));
        files.push((format!("openings/{stem}.csv"), table.clone()));
    }
    archive::make_folder(dir, &files)?;
    put(out, &format!("written {} files to {}", files.len(), dir.display()))?;
    Ok(Answer::Done)
}

/// The tables of all openings in one, the opening's name in the first column.
fn one_table(everything: &[(String, Value, String)]) -> Result<String, Trouble> {
    let bad = |error: String| Trouble::Storage(format!("the table cannot be written: {error}"));
    let mut writer = csv::Writer::from_writer(Vec::new());
    for (place, (_, value, table)) in everything.iter().enumerate() {
        let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(table.as_bytes());
        for (row, record) in reader.records().enumerate() {
            let record = record.map_err(|error| bad(error.to_string()))?;
            if row == 0 && place > 0 {
                continue;
            }
            let first = if row == 0 { "opening" } else { value["opening"].as_str().unwrap_or("") };
            let whole = std::iter::once(first).chain(record.iter());
            writer.write_record(whole).map_err(|error| bad(error.to_string()))?;
        }
    }
    let bytes = writer.into_inner().map_err(|error| bad(error.to_string()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// Puts the whole shop into one file.
pub(super) fn backup(shop: &Shop, arguments: &BackupArguments, out: &mut dyn Write) -> Result<Answer, Trouble> {
    let count = archive::backup(&RealFiles, shop.dir(), &arguments.file)?;
    put(out, &format!("{count} files are in {}", arguments.file.display()))?;
    Ok(Answer::Done)
}

/// Makes a shop of such a file, in `dir`.
pub(super) fn restore(dir: &Path, arguments: &RestoreArguments, out: &mut dyn Write) -> Result<Answer, Trouble> {
    let bytes = RealFiles
        .read(&arguments.file)
        .map_err(|error| Trouble::Input(format!("{}: {error}", arguments.file.display())))?;
    let restored = archive::restore(&bytes, dir)?;
    put(out, &format!("{} files are in {}", restored.files, dir.display()))?;
    for (file, trouble) in &restored.troubled {
        put(out, &format!("{file} is as it was backed up: {trouble}"))?;
    }
    Ok(Answer::Done)
}

/// Makes a new opening of the good lines of a damaged one.
pub(super) fn mend(shop: &Shop, arguments: &MendArguments, out: &mut dyn Write) -> Result<Answer, Trouble> {
    let mended = archive::mend(shop, &arguments.opening)?;
    for (line, why) in &mended.bad {
        put(out, &format!("line {line} cannot be used: {why}"))?;
    }
    if let Some(aside) = &mended.aside {
        put(out, &format!("those lines are set aside in {}", aside.display()))?;
    }
    put(
        out,
        &format!("{} events are in the new opening '{}'; the damaged file is as it was", mended.kept, mended.name),
    )?;
    put(out, "What those lines said is not in it, and a cut may be among them: read the gaps again before any cut.")?;
    Ok(Answer::Done)
}
