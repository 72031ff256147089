//! `leaves.csv`: openings and leaves in the columns that `import` takes. Sizes are those told last; what was read,
//! cut and noted is in the other files.

use crate::bench::asking::gaps_of;
use crate::cut::job::Construction;
use crate::fit::length::Length;
use crate::fit::opening::{Edge, EdgeSet, Side};
use crate::shop::event::LeafDescribed;
use crate::shop::replay::OpeningState;
use crate::shop::summary::WholeOpening;

/// The table, and what could not be said in it.
pub(super) fn table(openings: &[WholeOpening]) -> Result<(String, Vec<String>), String> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let mut remarks = Vec::new();
    writer.write_record(super::importing::COLUMNS).map_err(|error| error.to_string())?;
    for opening in openings {
        let state = &opening.state;
        if let Some(trouble) = &opening.trouble {
            remarks.push(format!("'{}' is in leaves.csv as far as its log can be read: {trouble}", opening.name));
        }
        let Some(beside) = standing(state) else {
            remarks.push(format!("'{}' is not in leaves.csv: {}", opening.name, why(state)));
            continue;
        };
        let Some(reveal) = state.gaps.first().map(|gap| gap.target) else { continue };
        if state.gaps.iter().any(|gap| gap.target != reveal) {
            remarks.push(format!("'{}' has several reveals; leaves.csv has the first, {reveal}", opening.name));
        }
        for (place, leaf) in state.leaves.iter().enumerate() {
            let leaf = &leaf.what;
            let (width, height) = state.size_told(&leaf.leaf).unwrap_or((leaf.width, leaf.height));
            let hinge = match leaf.hinge {
                None => "none",
                Some(Side::Left) => "left",
                Some(Side::Right) => "right",
            };
            let row = [
                opening.name.clone(),
                leaf.leaf.clone(),
                leaf.name.clone(),
                width.canonical(),
                height.canonical(),
                hinge.to_owned(),
                reveal.canonical(),
                if place == 0 { String::new() } else { beside.to_owned() },
                leaf.thickness.map_or_else(String::new, Length::canonical),
                edges(leaf.may_cut),
                solid(leaf, state.made(&leaf.leaf)).to_owned(),
            ];
            writer.write_record(row).map_err(|error| error.to_string())?;
        }
    }
    let bytes = writer.into_inner().map_err(|error| error.to_string())?;
    Ok((String::from_utf8_lossy(&bytes).into_owned(), remarks))
}

/// How its leaves stand, where `import` makes the same gap lines of it.
fn standing(state: &OpeningState) -> Option<&'static str> {
    let ids: Vec<&str> = state.leaves.iter().map(|leaf| leaf.what.leaf.as_str()).collect();
    let lines: Vec<&[String; 2]> = state.gaps.iter().map(|gap| &gap.between).collect();
    let made = |next| {
        let wanted = gaps_of(&ids, next);
        !ids.is_empty() && wanted.len() == lines.len() && wanted.iter().all(|line| lines.contains(&line))
    };
    if made(Edge::Right) {
        Some("right")
    } else if made(Edge::Top) {
        Some("above")
    } else {
        None
    }
}

fn edges(set: EdgeSet) -> String {
    if set.is_empty() { "none".to_owned() } else { set.edges().map(Edge::word).collect::<Vec<_>>().join(" ") }
}

/// How it is made, as `import` takes it; empty where its description says nothing and nothing else was said.
fn solid(leaf: &LeafDescribed, made: Construction) -> &'static str {
    let usual = if leaf.hinge.is_some() { Construction::Framed } else { Construction::Unsaid };
    if leaf.said_made().unwrap_or(usual) == made && leaf.made.is_none() {
        return if leaf.solid { "yes" } else { "" };
    }
    match made {
        Construction::Framed => "no",
        Construction::SolidAcross => "level",
        Construction::SolidUpright => "upright",
        Construction::Unsaid => "",
    }
}

fn why(state: &OpeningState) -> &'static str {
    if state.leaves.is_empty() { "no leaf has a size yet" } else { "its gap lines are not those of a row or a stack" }
}
