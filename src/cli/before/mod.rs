//! Commands for what comes before hanging: survey, blank, cut list, year, swing, flush, assignment.

mod tables;

use super::trouble::{Answer, Trouble};
use super::{put, say, unsound};
use crate::before::blank::LENGTHS;
use crate::before::blank::cut_list::CutList;
use crate::before::blank::tick::Tick;
use crate::bench::prepare::told::{self, Told};
use crate::bench::prepare::{Missing, assigning, cutting, flushness, sizes, sparing, stacked, swinging, ticks, year};
use crate::contract::write;
use crate::cut::words::Caution;
use crate::fit::length::Show;
use crate::shop::summary::WholeOpening;
use crate::shop::{OpeningState, Shop};
use serde_json::{Value, json};
use std::io::Write;

pub(super) use super::logbook::Style;

fn lines(out: &mut dyn Write, told: &[Told]) -> Result<(), Trouble> {
    told.iter().try_for_each(|line| put(out, &line.text))
}

fn no(why: &Missing, show: Show) -> Answer {
    say(&why.told(show));
    Answer::No
}

fn state_of(shop: &Shop, name: &str) -> Result<(String, OpeningState), Trouble> {
    let opening = shop.opening(name)?;
    for notice in opening.notices() {
        say(&notice.to_string());
    }
    if let Some(trouble) = &opening.state().trouble {
        return Err(Trouble::Storage(unsound(&opening, trouble)));
    }
    Ok((opening.name().to_owned(), opening.state().clone()))
}

/// The opening's true shape.
pub(super) fn survey(shop: &Shop, name: &str, style: Style, out: &mut dyn Write) -> Result<Answer, Trouble> {
    let (_, state) = state_of(shop, name)?;
    let show = shop.settings().show;
    let survey = match sizes::surveyed(&state) {
        Ok(survey) => survey,
        Err(why) => return Ok(no(&why, show)),
    };
    if style == Style::Json {
        put(out, &format!("{:#}", tables::survey_json(&state, &survey, show)))?;
    } else {
        lines(out, &told::survey(&survey, show))?;
        lines(out, &stacked::told(&state, &survey, show))?;
    }
    let sound = survey.shape.suspects.is_empty() && stacked::misfit(&state, &survey).is_none();
    Ok(if sound { Answer::Done } else { Answer::No })
}

/// The blanks of an opening's leaves.
pub(super) fn blank(shop: &Shop, name: &str, style: Style, out: &mut dyn Write) -> Result<Answer, Trouble> {
    let (name, state) = state_of(shop, name)?;
    let (settings, show) = (shop.settings(), shop.settings().show);
    let mut blanks = Vec::new();
    for id in state.leaf_ids() {
        match sizes::blank(&name, &state, id) {
            Ok(blank) => blanks.push(blank),
            Err(why) => return Ok(no(&why, show)),
        }
    }
    if blanks.is_empty() {
        return Ok(no(&Missing::NoLeaf, show));
    }
    let lacking = sparing::short(&state, settings).ok().flatten();
    let sound = blanks.iter().filter_map(|leaf| Some((leaf.make.name.as_str(), leaf.blank.as_ref().ok()?)));
    let list = CutList::of(sound);
    let tick = |key: &str| {
        let each =
            blanks.iter().flat_map(|leaf| leaf.blank.iter().flat_map(|b| &b.parts).map(move |part| (leaf, part)));
        let mut of = each.filter(|(leaf, part)| CutList::key(&leaf.make.name, part.kind) == key);
        of.next().map_or(Tick::Open, |(leaf, part)| ticks::tick(&state, &leaf.leaf, part, show))
    };
    match style {
        Style::Json => {
            let leaf = |leaf| tables::blank_json(leaf, lacking.as_ref());
            let leaves: Vec<Value> = blanks.iter().map(leaf).collect();
            let list: Value = serde_json::from_str(&list.json(tick)).unwrap_or_default();
            let cautions =
                write::cautions(!blanks.iter().flat_map(|leaf| &leaf.blank).all(|blank| blank.parts.is_empty()));
            let all = json!({
                "format": "evenreveal-blank/1", "leaves": leaves, "cut_list": list, "cautions": cautions,
            });
            put(out, &format!("{all:#}"))?;
        }
        Style::Csv => write!(out, "{}", list.csv(show, tick)).map_err(|error| Trouble::output(&error))?,
        Style::Words => {
            for leaf in &blanks {
                lines(out, &told::blank(leaf, &state, show))?;
                for part in leaf.blank.iter().flat_map(|blank| &blank.parts) {
                    put(out, &format!("  {}", told::part(part, ticks::tick(&state, &leaf.leaf, part, show), show)))?;
                }
            }
            if let Some(lacking) = &lacking {
                lines(out, &sparing::told(lacking, show))?;
            }
            put(out, &format!("{}; {LENGTHS}", list.wood().words(show.unit())))?;
            if !list.groups.is_empty() {
                put(out, &cautions(show))?;
            }
        }
    }
    let sound = blanks.iter().all(|leaf| leaf.blank.is_ok()) && lacking.is_none();
    Ok(if sound { Answer::Done } else { Answer::No })
}

/// The cut list of the whole shop.
pub(super) fn cut_list(shop: &Shop, style: Style, out: &mut dyn Write) -> Result<Answer, Trouble> {
    let show = shop.settings().show;
    let openings = shop.all()?;
    let list = cutting::shop_list(&openings, show);
    for (leaf, why) in &list.left_out {
        say(&format!("{leaf} is left out: {why}"));
    }
    let tick = |key: &str| list.tick(key);
    let text = match style {
        Style::Json => {
            let mut json: Value = serde_json::from_str(&list.list.json(tick)).unwrap_or_default();
            if let Value::Object(keys) = &mut json {
                keys.insert("cautions".to_owned(), json!(write::cautions(!list.list.groups.is_empty())));
            }
            format!("{json}\n")
        }
        Style::Csv => list.list.csv(show, tick),
        Style::Words if list.list.groups.is_empty() => "nothing to cut: no leaf is measured and described\n".to_owned(),
        Style::Words => format!("{}{}\n", list.list.text(show, tick), cautions(show)),
    };
    write!(out, "{text}").map_err(|error| Trouble::output(&error))?;
    Ok(Answer::Done.unless(any_unsound(&openings)))
}

/// Raw reveals and gaps through the year.
pub(super) fn year(shop: &Shop, name: &str, style: Style, out: &mut dyn Write) -> Result<Answer, Trouble> {
    let (_, state) = state_of(shop, name)?;
    let show = shop.settings().show;
    // The settings were checked when they were read.
    let year = year::year(&state, shop.settings()).map_err(|error| Trouble::Input(format!("climate: {error}")))?;
    if year.gaps.is_empty() {
        return Ok(no(&Missing::NoLeaf, show));
    }
    match style {
        Style::Json => put(out, &format!("{:#}", tables::year_json(&year, show)))?,
        Style::Csv => tables::year_csv(&year).iter().try_for_each(|line| put(out, line))?,
        Style::Words => {
            for gap in &year.gaps {
                put(out, &tables::year_line(gap, show))?;
            }
            lines(out, &told::year_notes(&year, show))?;
        }
    }
    let troubled = year.gaps.iter().any(|gap| gap.binds() || gap.raw.is_err());
    Ok(if troubled { Answer::No } else { Answer::Done })
}

/// Whether the leaves swing clear.
pub(super) fn swing(shop: &Shop, name: &str, style: Style, out: &mut dyn Write) -> Result<Answer, Trouble> {
    let (_, state) = state_of(shop, name)?;
    let (swings, missing) = swinging::swings(&state);
    for (leaf, why) in &missing {
        say(&format!("{leaf} {why}"));
    }
    if style == Style::Json {
        put(out, &format!("{:#}", tables::swing_json(&swings)))?;
    } else {
        for leaf in &swings {
            lines(out, &told::swing(leaf, shop.settings().show))?;
        }
        let mut cases = swings.iter().flat_map(|leaf| &leaf.cases);
        if cases.any(|case| case.swing.as_ref().is_ok_and(|swing| swing.bevel.is_some())) {
            put(out, &cautions(shop.settings().show))?;
        }
        if swings.iter().any(|leaf| !leaf.cases.iter().any(|case| case.own)) {
            put(out, told::PINS_ARE_STARTING)?;
        }
    }
    Ok(if swings.is_empty() { Answer::No } else { Answer::Done })
}

/// Proud, shy and wind.
pub(super) fn flush(shop: &Shop, name: &str, style: Style, out: &mut dyn Write) -> Result<Answer, Trouble> {
    let (_, state) = state_of(shop, name)?;
    let flushes = flushness::flushes(&state, shop.settings());
    if flushes.is_empty() {
        say("no corner was read yet: press f there, or enter a 'flush' event");
        return Ok(Answer::No);
    }
    match style {
        Style::Json => put(out, &format!("{:#}", tables::flush_json(&flushes)))?,
        _ => {
            for leaf in &flushes {
                lines(out, &told::flush(leaf, shop.settings().show))?;
            }
        }
    }
    let correct = |leaf: &flushness::LeafFlush| {
        leaf.flush.as_ref().map_or(true, |flush| flush.advice == crate::before::flush::FlushAdvice::Correct)
    };
    Ok(if flushes.iter().any(correct) { Answer::No } else { Answer::Done })
}

/// Which leaf goes where, as a suggestion.
pub(super) fn assign(shop: &Shop, style: Style, out: &mut dyn Write) -> Result<Answer, Trouble> {
    let openings = shop.all()?;
    let (groups, left_out) = assigning::suggest(&openings, shop.settings());
    for (opening, why) in &left_out {
        say(&format!("{opening} is left out: {why}"));
    }
    match style {
        Style::Json => put(out, &format!("{:#}", tables::assign_json(&groups)))?,
        _ if groups.is_empty() => put(out, "no two leaves of one size are measured and waiting to be fitted")?,
        _ => {
            for group in &groups {
                lines(out, &told::assignment(group, shop.settings().show))?;
            }
        }
    }
    let answer = if groups.is_empty() { Answer::No } else { Answer::Done };
    Ok(answer.unless(any_unsound(&openings)))
}

/// What holds wherever wood is sawn or planed: of parts and of bevels, too.
fn cautions(show: Show) -> String {
    Caution::in_short(&Caution::WHEREVER_CUT, show.unit())
}

/// Is there a log that cannot be trusted? What rests on it is left out, and said.
fn any_unsound(openings: &[WholeOpening]) -> bool {
    openings.iter().any(|opening| opening.trouble.is_some())
}
