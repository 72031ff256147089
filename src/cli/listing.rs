//! `list`: every opening and what is to be done next.

use super::trouble::{Answer, Trouble};
use super::{advice_json, put, say};
use crate::bench::brief::{self, Brief};
use crate::bench::rounds_words;
use crate::contract::write;
use crate::cut::words::Caution;
use crate::shell::here;
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
    let mut desk = here::desk(shop);
    let briefs: HashMap<String, Option<Brief>> =
        desk.passes(&read.collect::<Vec<_>>(), shop.settings()).into_iter().collect();
    desk.save();
    let brief = |one: &Summary| briefs.get(&one.file).copied().flatten();
    if as_json {
        let values: Vec<Value> = openings.iter().map(|one| value(one, brief(one))).collect();
        put(out, &format!("{:#}", Value::Array(values)))?;
        return Ok(answer(&openings));
    }
    if openings.is_empty() {
        put(out, "no opening yet")?;
    }
    let width = openings.iter().map(|opening| opening.name.width()).max().unwrap_or(0).min(40);
    for opening in &openings {
        let pad = " ".repeat(width.saturating_sub(opening.name.width()));
        put(out, &format!("{}{pad}  {}", opening.name, words(opening, brief(opening).as_ref())))?;
    }
    if openings.iter().any(|one| brief::proposes_a_cut(one.stage, brief(one).as_ref())) {
        put(out, &Caution::in_short(&Caution::WHEREVER_CUT, shop.settings().show.unit()))?;
    }
    Ok(answer(&openings))
}

/// Says which logs cannot be trusted, where there are any.
fn answer(openings: &[Summary]) -> Answer {
    let unsound: Vec<&Summary> = openings.iter().filter(|one| one.is_unsound()).collect();
    for one in &unsound {
        say(&format!("{}: {}", one.name, one.trouble.as_deref().unwrap_or_default()));
    }
    Answer::Done.unless(!unsound.is_empty())
}

fn words(opening: &Summary, brief: Option<&Brief>) -> String {
    let left = brief.and_then(|brief| brief.passes).filter(|left| left.trips.most > 0);
    let left = left.map_or_else(String::new, |left| format!("; {}", rounds_words::trips_left(left)));
    let next = format!("{}{left}", brief::line(opening.stage, brief));
    match &opening.trouble {
        Some(trouble) => format!("{next}   ! {trouble}"),
        None => next,
    }
}

fn value(opening: &Summary, brief: Option<Brief>) -> Value {
    let (next, left, packs) = match opening.stage {
        Stage::Unsound(kind) => (advice_json::unsound(kind), None, None),
        Stage::Describe => ("describe", None, None),
        Stage::Survey => ("survey", None, None),
        Stage::Resurvey => ("resurvey", None, None),
        Stage::Blank => ("blank", None, None),
        Stage::Read { .. } => ("read", None, None),
        Stage::Decide { .. } => ("decide", None, None),
        Stage::Cut { left, packs, .. } => (if packs > 0 { "pack" } else { "cut" }, Some(left), Some(packs)),
        Stage::Fitted { .. } => ("fitted", None, None),
        Stage::Settled { .. } => ("as-good", None, None),
        Stage::Short { .. } => ("short", None, None),
    };
    json!({
        "opening": opening.name, "file": opening.file, "leaves": opening.leaves, "events": opening.events,
        "round": opening.round, "next": next, "edges_left": left, "hinges_left": packs, "verdict": opening.verdict,
        "last_at": opening.last_at, "trouble": opening.trouble,
        "advice": brief.map(|brief| brief.thing.word()),
        "cautions": write::cautions(brief::proposes_a_cut(opening.stage, brief.as_ref())),
        "passes": brief.and_then(|brief| brief.passes).map(advice_json::passes_json),
    })
}
