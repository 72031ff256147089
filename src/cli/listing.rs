//! `list`: every opening and what is to be done next.

use super::trouble::{Answer, Trouble};
use super::{advice_json, put};
use crate::bench::rounds::PassesLeft;
use crate::bench::rounds_words;
use crate::shell::desk::Desk;
use crate::shop::Shop;
use crate::shop::replay::Stage;
use crate::shop::summary::Summary;
use serde_json::{Value, json};
use std::collections::HashMap;
use std::io::Write;
use unicode_width::UnicodeWidthStr;

/// Writes the list of openings.
pub(super) fn list(shop: &Shop, as_json: bool, out: &mut dyn Write) -> Result<Answer, Trouble> {
    let openings = shop.list()?;
    // Where nothing was read, nothing can be said.
    let read = openings.iter().filter(|one| one.worst.is_some()).map(|one| one.file.clone());
    let passes: HashMap<String, Option<PassesLeft>> =
        Desk::new(shop.shelf()).passes(&read.collect::<Vec<_>>(), shop.settings()).into_iter().collect();
    let left = |one: &Summary| passes.get(&one.file).copied().flatten();
    if as_json {
        let values: Vec<Value> = openings.iter().map(|one| value(one, left(one))).collect();
        put(out, &format!("{:#}", Value::Array(values)))?;
        return Ok(Answer::Done);
    }
    if openings.is_empty() {
        put(out, "no opening yet")?;
    }
    let width = openings.iter().map(|opening| opening.name.width()).max().unwrap_or(0).min(40);
    for opening in &openings {
        let pad = " ".repeat(width.saturating_sub(opening.name.width()));
        let left = left(opening).map_or_else(String::new, |left| format!("; {}", rounds_words::trips_left(left)));
        put(out, &format!("{}{pad}  {}", opening.name, words(opening, &left)))?;
    }
    Ok(Answer::Done)
}

fn words(opening: &Summary, left: &str) -> String {
    let next = format!("{}{left}", next_words(opening.stage));
    match &opening.trouble {
        Some(trouble) => format!("{next}   ! {trouble}"),
        None => next,
    }
}

/// What is to be done next, in words.
pub(super) fn next_words(stage: Stage) -> String {
    match stage {
        Stage::Describe => "describe the opening and its leaves".to_owned(),
        Stage::Survey => "measure the opening".to_owned(),
        Stage::Blank => "size the blank".to_owned(),
        Stage::Read { round } => format!("take the readings of round {round}"),
        Stage::Decide { round } => format!("round {round} is read: decide"),
        Stage::Cut { left: 1, round } => format!("round {round}: 1 edge to cut"),
        Stage::Cut { left, round } => format!("round {round}: {left} edges to cut"),
        Stage::Fitted { round } => format!("fitted after round {round}"),
        Stage::Settled { round } => format!("as good as it gets after round {round}"),
    }
}

fn value(opening: &Summary, passes: Option<PassesLeft>) -> Value {
    let (next, left) = match opening.stage {
        Stage::Describe => ("describe", None),
        Stage::Survey => ("survey", None),
        Stage::Blank => ("blank", None),
        Stage::Read { .. } => ("read", None),
        Stage::Decide { .. } => ("decide", None),
        Stage::Cut { left, .. } => ("cut", Some(left)),
        Stage::Fitted { .. } => ("fitted", None),
        Stage::Settled { .. } => ("as-good", None),
    };
    json!({
        "opening": opening.name, "file": opening.file, "leaves": opening.leaves, "events": opening.events,
        "round": opening.round, "next": next, "edges_left": left, "verdict": opening.verdict,
        "last_at": opening.last_at, "trouble": opening.trouble,
        "passes": passes.map(advice_json::passes_json),
    })
}
