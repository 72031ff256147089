//! What comes before hanging as JSON and CSV. Bare numbers are inches.

use crate::before::spare::Lack;
use crate::before::table;
use crate::bench::prepare::assigning::SizeGroup;
use crate::bench::prepare::flushness::LeafFlush;
use crate::bench::prepare::sizes::{LeafBlank, Surveyed};
use crate::bench::prepare::sparing::OpeningShort;
use crate::bench::prepare::stacked;
use crate::bench::prepare::swinging::LeafSwing;
use crate::bench::prepare::told::line_name;
use crate::bench::prepare::year::{GapYear, OpeningYear};
use crate::fit::length::{Inches, Length, Show};
use crate::shop::OpeningState;
use serde_json::{Value, json};

/// A survey. Of one whose readings contradict each other there is no shape: `corners`, `bows` and all sizes are null.
/// `passage` is what a straight leaf passes, `smallest` what finished sizes are reckoned from. `heights_over` is what
/// heights said of stacked fronts and their gaps are too much (below zero: too little), null where they add up or none
/// was said.
pub(super) fn survey_json(state: &OpeningState, survey: &Surveyed, show: Show) -> Value {
    let shape = &survey.shape;
    let over = stacked::misfit(state, survey).map(|misfit| Inches(misfit.over.inches()));
    let suspects: Vec<Value> = shape
        .suspects
        .iter()
        .map(|one| json!({ "reading": one.reading.to_string(), "read": one.read, "expected": one.expected }))
        .collect();
    let sound = Some(survey).filter(|_| suspects.is_empty());
    let findings = sound.map_or_else(Vec::new, |sound| sound.shape.findings(Inches(1.0 / 64.0)));
    let findings: Vec<String> = findings.iter().map(|finding| finding.says(show)).collect();
    let corners = sound.map(|sound| sound.shape.corners.map(|corner| json!([corner.x, corner.y])));
    json!({
        "format": "evenreveal-survey/1", "unit": "in", "corners": corners,
        "bows": sound.map(|sound| sound.shape.bows),
        "widths": sound.map(|sound| sound.shape.widths()), "heights": sound.map(|sound| sound.shape.heights()),
        "smallest": sound.map(Surveyed::smallest), "passage": sound.map(Surveyed::passage),
        "findings": findings, "suspects": suspects, "heights_over": over,
        "assumed": { "square": shape.assumed.square, "sides_parallel": shape.assumed.sides_parallel,
                     "ends_parallel": shape.assumed.ends_parallel },
    })
}

/// One leaf's blank. `allowance_short` has its trimmed edges of which one, with as much to spare as it `needs`,
/// would do; `allowance_needed` what would do on every trimmed edge, null where the blank is enough as it is.
pub(super) fn blank_json(leaf: &LeafBlank, lacking: Option<&OpeningShort>) -> Value {
    let mine = |lacking: &OpeningShort| -> Vec<Value> {
        let own = lacking.short.lacks.iter().filter(|lack| lacking.leaves.get(lack.leaf) == Some(&leaf.leaf));
        let needs = |lack: &Lack| Inches(lack.has.inches() + lack.by.get());
        own.map(|lack| json!({ "edge": lack.edge, "has": lack.has, "needs": needs(lack) })).collect()
    };
    let short = lacking.map(mine).unwrap_or_default();
    match &leaf.blank {
        Ok(blank) => json!({
            "leaf": leaf.leaf, "finished": blank.finished, "rough": blank.rough, "parts": blank.parts,
            "enough": lacking.is_none(), "allowance_short": short,
            "allowance_needed": lacking.and_then(|lacking| lacking.short.allowance),
        }),
        Err(why) => json!({ "leaf": leaf.leaf, "error": why.to_string() }),
    }
}

fn raw(gap: &GapYear) -> Option<Length> {
    gap.raw.as_ref().ok().copied()
}

pub(super) fn year_json(year: &OpeningYear, show: Show) -> Value {
    let gap = |gap: &GapYear| {
        json!({
            "between": gap.between, "wanted": gap.wanted, "films": gap.films, "sanding": gap.sanding,
            "season": gap.season, "raw": raw(gap), "fits_to": gap.fits_to,
            "damp": gap.year.map(|year| year.damp), "dry": gap.year.map(|year| year.dry),
            "binds": gap.binds(), "gapes": gap.gapes(), "shown": year_line(gap, show),
            "error": gap.raw.as_ref().err().map(ToString::to_string),
        })
    };
    json!({
        "format": "evenreveal-year/1", "unit": "in", "gaps": year.gaps.iter().map(gap).collect::<Vec<_>>(),
        "moisture": { "damp": year.moisture.damp(), "fitting": year.moisture.fitting(), "dry": year.moisture.dry() },
        "climate_is_starting": year.starting_spells.contains(&true), "unknown": year.unknown,
    })
}

/// One gap line in words: wanted, raw, through the year.
pub(super) fn year_line(gap: &GapYear, show: Show) -> String {
    let through = gap.year.map_or_else(
        || "season not known".to_owned(),
        |year| format!("damp end {}, dry end {}", year.damp.shown(show), year.dry.shown(show)),
    );
    let raw = raw(gap).map_or_else(|| "none".to_owned(), |raw| raw.shown_with_error(show));
    format!(
        "{:<16} wanted {}, raw reveal {raw}, fitted to {}; {through}",
        line_name(&gap.between),
        gap.wanted.shown_with_error(show),
        gap.fits_to.shown_with_error(show)
    )
}

pub(super) fn year_csv(year: &OpeningYear) -> Vec<String> {
    let mut lines =
        vec!["gap,wanted_in,films_in,sanding_in,season_in,raw_in,fits_to_in,damp_in,dry_in,binds,gapes".to_owned()];
    let number = |length: Length| length.shown(Show::DecimalInch(6));
    for gap in &year.gaps {
        let fine = |value: Option<Inches>| value.map_or_else(String::new, |value| value.shown(Show::DecimalInch(6)));
        let word = |is: bool| if is { "yes" } else { "no" };
        lines.push(table::record([
            line_name(&gap.between),
            number(gap.wanted),
            number(gap.films),
            number(gap.sanding),
            fine(Some(gap.season)),
            raw(gap).map_or_else(String::new, number),
            number(gap.fits_to),
            fine(gap.year.map(|year| year.damp)),
            fine(gap.year.map(|year| year.dry)),
            word(gap.binds()).to_owned(),
            word(gap.gapes()).to_owned(),
        ]));
    }
    lines
}

pub(super) fn swing_json(swings: &[LeafSwing]) -> Value {
    let leaf = |leaf: &LeafSwing| {
        let case = |case: &crate::bench::prepare::swinging::PinCase| {
            let pin = json!({ "name": case.name, "own": case.own, "off_edge": case.pin.off_edge, "in_front": case.pin.in_front });
            match &case.swing {
                Ok(swing) => json!({
                    "pin": pin, "clears": swing.clears(), "least_reveal": swing.least_reveal,
                    "bevel": swing.bevel.as_ref().map(|bevel| json!({ "depth": bevel.depth, "radians": bevel.angle })),
                    "least_hinge_reveal": swing.least_hinge_reveal,
                }),
                Err(why) => json!({ "pin": pin, "error": why.to_string() }),
            }
        };
        json!({
            "leaf": leaf.leaf, "hinge": leaf.hinge, "width": leaf.width, "thickness": leaf.thickness,
            "thickness_assumed": leaf.thickness_assumed,
            "latch_gap": leaf.latch_gap, "hinge_gap": leaf.hinge_gap,
            "pins": leaf.cases.iter().map(case).collect::<Vec<_>>(),
        })
    };
    json!({ "format": "evenreveal-swing/1", "unit": "in", "leaves": swings.iter().map(leaf).collect::<Vec<_>>() })
}

pub(super) fn flush_json(flushes: &[LeafFlush]) -> Value {
    let leaf = |leaf: &LeafFlush| match &leaf.flush {
        Ok(flush) => json!({
            "leaf": leaf.leaf, "corners": leaf.read.corners,
            "expected": leaf.expected.as_ref().and_then(|corners| corners.as_ref().ok()).map(|corners| corners.each()),
            "wind": flush.wind, "off_three": flush.off_three,
            "advice": match flush.advice {
                crate::before::flush::FlushAdvice::Leave => "leave",
                crate::before::flush::FlushAdvice::MoveAndShare => "move-and-share",
                crate::before::flush::FlushAdvice::Correct => "correct",
            },
            "hinges": flush.hinges.iter().map(|step| json!({ "at": step.hinge, "forward": step.forward })).collect::<Vec<_>>(),
            "catch": flush.catch,
        }),
        Err(why) => json!({ "leaf": leaf.leaf, "corners": leaf.read.corners, "error": why.to_string() }),
    };
    json!({ "format": "evenreveal-flush/1", "unit": "in", "leaves": flushes.iter().map(leaf).collect::<Vec<_>>() })
}

pub(super) fn assign_json(groups: &[SizeGroup]) -> Value {
    let group = |group: &SizeGroup| {
        let name = |place: usize| group.openings.get(place).cloned().unwrap_or_default();
        let moves: Vec<Value> = group
            .leaves
            .iter()
            .zip(&group.best.opening)
            .zip(&group.best.pairings)
            .map(|((from, to), pairing)| {
                json!({ "leaf_of": name(*from), "into": name(*to), "wood": pairing.wood.0,
                        "short": pairing.short, "stuck": pairing.stuck })
            })
            .collect();
        json!({ "moves": moves, "wood": group.best.wood.0, "stays": group.stays(),
                "wood_as_is": group.as_is.iter().map(|pairing| pairing.wood.0).sum::<f64>() })
    };
    json!({ "format": "evenreveal-assign/1", "unit": "in", "sizes": groups.iter().map(group).collect::<Vec<_>>() })
}
