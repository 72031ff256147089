//! `log`: everything that was kept of an opening.

use super::trouble::{Answer, Trouble};
use super::{put, say};
use crate::before::table;
use crate::bench::making_words;
use crate::bench::sheet_words;
use crate::bench::taken::by_event;
use crate::bench::words;
use crate::fit::estimate::{Belief, CutTaken};
use crate::fit::length::{Length, Show, Unit};
use crate::shell::here;
use crate::shop::depth::ScrewTurned;
use crate::shop::event::{Event, GapRead, GapWanted, Note, ReadingStored, Record, TrimMeant};
use crate::shop::heights::HeightWanted;
use crate::shop::{Opening, Shop};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::io::Write;

/// How the log is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Style {
    /// In words.
    Words,
    /// One JSON object a line.
    Json,
    /// A table.
    Csv,
}

impl Style {
    /// From the command's flags, of which at most one is given.
    pub(super) fn from_flags(json: bool, csv: bool) -> Self {
        match (json, csv) {
            (true, _) => Self::Json,
            (_, true) => Self::Csv,
            _ => Self::Words,
        }
    }
}

/// Writes the log of the opening `name`.
pub(super) fn log(shop: &Shop, name: &str, style: Style, out: &mut dyn Write) -> Result<Answer, Trouble> {
    let opening = shop.opening(name)?;
    for notice in opening.notices() {
        say(&notice.to_string());
    }
    if let Some(crate::shop::ReadOnly::Content(trouble)) = opening.read_only() {
        say(&format!("{}: {trouble}", opening.path().display()));
    }
    let show = shop.settings().show;
    match style {
        Style::Words => words(&opening, show, out)?,
        Style::Json => json(&opening, &taken(shop, &opening), out)?,
        Style::Csv => csv(&opening, show.unit(), Some(&taken(shop, &opening)), out)?,
    }
    Ok(Answer::Done)
}

fn words(opening: &Opening, show: Show, out: &mut dyn Write) -> Result<(), Trouble> {
    for record in opening.records() {
        let struck =
            opening.state().struck.get(&record.n).map_or_else(String::new, |by| format!("  [taken back by {by}]"));
        put(out, &format!("{:>4}  {}  {}{struck}", record.n, record.at, sentence(&record.event, show)))?;
    }
    Ok(())
}

fn sentence(event: &Event, show: Show) -> String {
    let text = |length: Length| length.shown(show);
    match event {
        Event::Opening(opening) => {
            let gaps: Vec<_> = opening
                .gaps
                .iter()
                .map(|gap| format!("{}-{} {}", gap.between[0], gap.between[1], text(gap.target)))
                .collect();
            format!("opening: {}{}", gaps.join(", "), making_words::to_come(&opening.leaves, show))
        }
        Event::Leaf(leaf) => format!("leaf {}: {} by {}", leaf.leaf, text(leaf.width), text(leaf.height)),
        Event::Readings(taken) => {
            let gaps: Vec<_> = taken.gaps.iter().map(|gap| gap_words(gap, show)).collect();
            format!("round {} read: {}", taken.round, gaps.join("; "))
        }
        Event::Plan(plan) => {
            let trims: Vec<_> = plan.trims.iter().map(|trim| words::trim(trim, show)).collect();
            let trims = if trims.is_empty() { String::new() } else { format!(": {}", trims.join(", ")) };
            format!("round {} plan '{}' accepted{trims}", plan.round, plan.verdict)
        }
        Event::Cut(cut) => {
            let what = if cut.more { "one pass of several" } else { "cut" };
            let means = sheet_words::means(&cut.method);
            let by = if means.starts_with("by ") { "" } else { "by " };
            format!("round {} {what} {by}{means}: {}", cut.round, words::trim(&cut.intended, show))
        }
        Event::Measured(_) | Event::Hung(_) | Event::Depth(_) | Event::Altered(_) | Event::Remade(_) => {
            words::event(event, show)
        }
        Event::Pack(pack) if !pack.up.is_zero() => words::event(event, show),
        Event::Pack(pack) => format!("hinge of {} at {} packed {}", pack.leaf, text(pack.hinge), text(pack.out)),
        Event::Flush(flush) => {
            let corners: Vec<_> = flush.corners.iter().map(|&corner| text(corner)).collect();
            format!(
                "flush of {}: {} (lower left, lower right, upper left, upper right)",
                flush.leaf,
                corners.join(", ")
            )
        }
        Event::Finish(finish) => format!("finish on {}: {}", finish.leaf, finish.schedule),
        Event::Survey(_) | Event::Build(_) | Event::Heights(_) | Event::Pin(_) | Event::Part(_) | Event::Reveal(_) => {
            making_words::event(event, show)
        }
        Event::Note(note) => Note { text: note.text.replace(['\n', '\r'], " / "), ..note.clone() }.line(),
        Event::Judged(judged) => crate::bench::rounds_words::judged(judged, show),
        Event::Strike(strike) if strike.why.is_empty() => format!("strike: takes back event {}", strike.strikes),
        Event::Strike(strike) => format!("strike: takes back event {} ({})", strike.strikes, strike.why),
    }
}

fn gap_words(gap: &GapRead, show: Show) -> String {
    let read: Vec<_> = gap
        .readings
        .iter()
        .map(|reading| {
            let at = reading.at.shown(show);
            let of = |length: Option<Length>| length.unwrap_or(Length::ZERO).shown(show);
            match (reading.gap, reading.lap) {
                (Some(gap), _) => format!("{} at {at}", gap.shown_with_error(show)),
                (None, Some(lap)) => format!("laps {} at {at}", lap.shown(show)),
                (None, None) => format!("{} goes {} stops at {at}", of(reading.goes), of(reading.stops)),
            }
        })
        .collect();
    format!("{}-{} {}", gap.between[0], gap.between[1], read.join(", "))
}

/// What each cut took, by the number of its event, as far as the leaf was read again since.
type Taken = BTreeMap<u64, CutTaken>;

fn taken(shop: &Shop, opening: &Opening) -> Taken {
    let spreads = here::desk(shop).spreads(opening.name(), shop.settings());
    by_event(opening.state(), spreads)
}

fn json(opening: &Opening, taken: &Taken, out: &mut dyn Write) -> Result<(), Trouble> {
    for record in opening.records() {
        let mut value = serde_json::to_value(record).map_err(|error| Trouble::Storage(error.to_string()))?;
        if let (Some(by), Some(map)) = (opening.state().struck.get(&record.n), value.as_object_mut()) {
            map.insert("struck_by".to_owned(), Value::from(*by));
        }
        if let (Some(cut), Some(map)) = (taken.get(&record.n), value.as_object_mut()) {
            let end = |belief: Belief| json!({ "mean": belief.mean.0, "sd": belief.sd.0 });
            let found = json!({ "start": end(cut.start), "end": end(cut.end), "unit": "in" });
            map.insert("taken".to_owned(), found);
        }
        put(out, &value.to_string())?;
    }
    Ok(())
}

/// One row of the table: its cells after `n, at, event, struck_by`.
#[derive(Default)]
struct Row {
    round: String,
    leaf: String,
    edge: String,
    between: String,
    station: String,
    gap: String,
    goes: String,
    stops: String,
    start: String,
    end: String,
    word: String,
    text: String,
}

impl Row {
    fn cells(self) -> [String; 12] {
        let Self { round, leaf, edge, between, station, gap, goes, stops, start, end, word, text } = self;
        [round, leaf, edge, between, station, gap, goes, stops, start, end, word, text]
    }
}

/// The table of one opening, in inches whatever the shop shows.
pub(super) fn table(opening: &Opening, out: &mut dyn Write) -> Result<(), Trouble> {
    csv(opening, Unit::Inch, None, out)
}

/// `taken`: with columns of what each cut took (mean and standard deviation), beside what was meant.
fn csv(opening: &Opening, unit: Unit, taken: Option<&Taken>, out: &mut dyn Write) -> Result<(), Trouble> {
    let u = if unit == Unit::Inch { "in" } else { "mm" };
    let more = taken
        .map_or_else(String::new, |_| format!(",taken_start_{u},taken_end_{u},taken_start_sd_{u},taken_end_sd_{u}"));
    put(
        out,
        &format!(
            "n,at,event,struck_by,round,leaf,edge,between,station_{u},gap_{u},goes_{u},stops_{u},start_{u},end_{u},word,text{more}"
        ),
    )?;
    for record in opening.records() {
        let struck = opening.state().struck.get(&record.n).map_or_else(String::new, ToString::to_string);
        for row in rows(record, unit) {
            let first = [record.n.to_string(), record.at.clone(), record.event.word().to_owned(), struck.clone()];
            let took = taken.map_or_else(Vec::new, |taken| taken_cells(taken.get(&record.n), unit));
            put(out, &table::record(first.into_iter().chain(row.cells()).chain(took)))?;
        }
    }
    Ok(())
}

fn taken_cells(cut: Option<&CutTaken>, unit: Unit) -> Vec<String> {
    let Some(cut) = cut else { return vec![String::new(); 4] };
    let all = [cut.start.mean, cut.end.mean, cut.start.sd, cut.end.sd];
    all.map(|inches| decimal(inches.length(), unit)).to_vec()
}

fn rows(record: &Record, unit: Unit) -> Vec<Row> {
    let number = |length: Length| decimal(length, unit);
    let trim_row = |trim: &TrimMeant| Row {
        leaf: trim.leaf.clone(),
        edge: trim.edge.to_string(),
        start: number(trim.start),
        end: number(trim.end),
        ..Row::default()
    };
    match &record.event {
        Event::Opening(opening) => {
            let gap = |gap: &GapWanted| Row {
                between: gap.between.join(" / "),
                gap: number(gap.target),
                word: "target".into(),
                ..Row::default()
            };
            let heights =
                opening.leaves.iter().filter_map(|leaf| height_row(&leaf.leaf, leaf.height, leaf.share, unit));
            opening.gaps.iter().map(gap).chain(heights).collect()
        }
        Event::Leaf(leaf) => vec![Row {
            leaf: leaf.leaf.clone(),
            text: format!("{} {} x {}", leaf.name, number(leaf.width), number(leaf.height)).trim().to_owned(),
            ..Row::default()
        }],
        Event::Readings(taken) => {
            let row = |gap: &GapRead, reading: &ReadingStored| Row {
                round: taken.round.to_string(),
                between: gap.between.join(" / "),
                station: number(reading.at),
                gap: reading.gap.or(reading.lap.map(Length::negated)).map_or_else(String::new, number),
                goes: reading.goes.map_or_else(String::new, number),
                stops: reading.stops.map_or_else(String::new, number),
                word: if reading.lap.is_some() { "lap".to_owned() } else { String::new() },
                ..Row::default()
            };
            taken.gaps.iter().flat_map(|gap| gap.readings.iter().map(move |reading| row(gap, reading))).collect()
        }
        Event::Plan(plan) => {
            let with = |row: Row| Row { round: plan.round.to_string(), word: plan.verdict.clone(), ..row };
            if plan.trims.is_empty() {
                vec![with(Row::default())]
            } else {
                plan.trims.iter().map(|trim| with(trim_row(trim))).collect()
            }
        }
        Event::Cut(cut) => {
            vec![Row { round: cut.round.to_string(), word: cut.method.clone(), ..trim_row(&cut.intended) }]
        }
        Event::Measured(measured) => vec![Row {
            leaf: measured.leaf.clone(),
            text: words::event(&record.event, Show::DecimalInch(6)),
            ..Row::default()
        }],
        Event::Altered(altered) => vec![Row {
            leaf: altered.leaf.clone(),
            edge: altered.edge.to_string(),
            start: number(altered.added),
            end: number(altered.added),
            word: if altered.added.is_negative() { "taken off" } else { "strip glued on" }.into(),
            ..Row::default()
        }],
        Event::Remade(remade) => vec![Row {
            leaf: remade.leaf.clone(),
            word: "made anew".into(),
            text: format!("{} x {}", number(remade.width), number(remade.height)),
            ..Row::default()
        }],
        Event::Hung(hung) => vec![Row {
            leaf: hung.leaf.clone(),
            text: words::event(&record.event, Show::DecimalInch(6)),
            ..Row::default()
        }],
        Event::Pack(pack) if !pack.up.is_zero() => vec![Row {
            leaf: pack.leaf.clone(),
            start: number(pack.up),
            word: "height screws".into(),
            ..Row::default()
        }],
        Event::Pack(pack) => vec![Row {
            leaf: pack.leaf.clone(),
            station: number(pack.hinge),
            start: number(pack.out),
            word: if pack.out.is_negative() { "let in" } else { "packed" }.into(),
            ..Row::default()
        }],
        Event::Flush(flush) => {
            let names = ["lower left", "lower right", "upper left", "upper right"];
            let row = |(name, corner): (&str, &Length)| Row {
                leaf: flush.leaf.clone(),
                gap: number(*corner),
                word: name.to_owned(),
                ..Row::default()
            };
            names.into_iter().zip(&flush.corners).map(row).collect()
        }
        Event::Depth(turned) => {
            let row = |screw: &ScrewTurned| Row {
                leaf: turned.leaf.clone(),
                station: number(screw.hinge),
                start: number(screw.forward),
                word: "depth screw".into(),
                ..Row::default()
            };
            turned.screws.iter().map(row).collect()
        }
        Event::Finish(finish) => {
            vec![Row { leaf: finish.leaf.clone(), text: finish.schedule.clone(), ..Row::default() }]
        }
        Event::Survey(_) | Event::Build(_) | Event::Heights(_) | Event::Pin(_) | Event::Part(_) | Event::Reveal(_) => {
            before_rows(&record.event, unit)
        }
        Event::Note(note) => vec![Row { word: note.photo.clone(), text: note.text.clone(), ..Row::default() }],
        Event::Judged(judged) => vec![Row {
            between: judged.between.join(" / "),
            station: number(judged.at),
            word: crate::bench::rounds_words::verdict_word(judged.verdict).to_owned(),
            text: format!("the reading of event {}", judged.reading),
            ..Row::default()
        }],
        Event::Strike(strike) => {
            vec![Row { word: format!("takes back {}", strike.strikes), text: strike.why.clone(), ..Row::default() }]
        }
    }
}

/// Rows of an event from before hanging: one for each length of a survey and each reveal decided.
fn before_rows(event: &Event, unit: Unit) -> Vec<Row> {
    let words = |leaf: &str| {
        let style = if unit == Unit::Inch { Show::DecimalInch(6) } else { Show::Millimetre(4) };
        Row { leaf: leaf.to_owned(), text: making_words::event(event, style), ..Row::default() }
    };
    match event {
        Event::Survey(survey) => {
            let tape = survey.tape();
            let names: [(&[Option<Length>], &[&str]); 4] = [
                (&tape.widths, &["width bottom", "width middle", "width top"]),
                (&tape.heights, &["height left", "height middle", "height right"]),
                (&tape.diagonals, &["diagonal rising", "diagonal falling"]),
                (&tape.bows, &["bow left", "bow right", "bow bottom", "bow top"]),
            ];
            let each = names.into_iter().flat_map(|(lengths, names)| lengths.iter().zip(names));
            each.filter_map(|(length, name)| {
                Some(Row { gap: decimal((*length)?, unit), word: (*name).to_owned(), ..Row::default() })
            })
            .collect()
        }
        Event::Reveal(reveal) => reveal
            .gaps
            .iter()
            .map(|gap| Row {
                between: gap.between.join(" / "),
                gap: decimal(gap.target, unit),
                word: "target".into(),
                text: format!("finished {}", decimal(gap.finished, unit)),
                ..Row::default()
            })
            .collect(),
        Event::Heights(told) => {
            let row = |leaf: &HeightWanted| height_row(&leaf.leaf, leaf.height, leaf.share.or(Some(1)), unit);
            told.leaves.iter().filter_map(row).collect()
        }
        Event::Build(build) => vec![words(&build.leaf)],
        Event::Pin(told) => vec![words(&told.leaf)],
        Event::Part(part) => vec![words(&part.leaf)],
        _ => Vec::new(),
    }
}

/// The height wanted of a leaf, or its share; nothing where neither was said.
fn height_row(leaf: &str, height: Option<Length>, share: Option<u32>, unit: Unit) -> Option<Row> {
    let (gap, word) = match (height, share) {
        (Some(height), _) => (decimal(height, unit), "height"),
        (None, share) => (share?.to_string(), "share"),
    };
    Some(Row { leaf: leaf.to_owned(), gap, word: word.to_owned(), ..Row::default() })
}

fn decimal(length: Length, unit: Unit) -> String {
    let shown = match unit {
        Unit::Inch => length.shown(Show::DecimalInch(6)),
        Unit::Millimetre => length.shown(Show::Millimetre(4)),
    };
    shown.trim_end_matches("mm").to_owned()
}
