//! A set-up for the depth that fits its means, with what is known of the shop's tools allowed for in the strokes
//! and layers that it counts, and nowhere else.

use super::rounds;
use super::sheets::Sheet;
use crate::cut::job::{JobError, Method};
use crate::cut::words::Reason;
use crate::fit::estimate;
use crate::fit::length::Length;
use crate::fit::opening::FitProblem;
use crate::fit::plan::Trim;
use crate::fit::policy::CutAdvice;
use crate::shop::event::TrimMeant;
use crate::shop::reckoned::{By, FACTORS, Reckoned, WHOLE};
use crate::shop::settings::Settings;

/// Which of the two means a method of a set-up errs like.
pub fn by(method: Method) -> By {
    of(rounds::method(method.word()))
}

fn of(method: estimate::Method) -> By {
    match method {
        estimate::Method::Saw => By::Saw,
        estimate::Method::Plane => By::Plane,
    }
}

/// A cut of the advice as events have it, with what its depth was reckoned for; `None` if there is no such leaf.
pub fn trim(problem: &FitProblem, cut: &CutAdvice) -> Option<TrimMeant> {
    let ends = |ends: [crate::fit::length::Inches; 2]| {
        super::sheets::trim_meant(problem, cut.leaf, &Trim { edge: cut.edge, start: ends[0], end: ends[1] })
    };
    let otherwise = ends(cut.aim_otherwise)?;
    let reckoned = Reckoned {
        by: of(cut.method),
        plane: thousandths(cut.plane),
        tape: thousandths(cut.tape),
        otherwise: [otherwise.start, otherwise.end],
    };
    ends(cut.aim).map(|trim| TrimMeant { reckoned: Some(reckoned), ..trim })
}

fn thousandths(factor: f64) -> u32 {
    let near = (factor * f64::from(WHOLE)).round();
    if near.is_finite() { (near as u32).clamp(*FACTORS.start(), *FACTORS.end()) } else { WHOLE }
}

/// The shop's tools with strokes and layers as they are known to come out.
pub fn as_known(settings: &Settings, reckoned: &Reckoned) -> Settings {
    let mut known = settings.clone();
    let scaled =
        |length: Length, factor: u32| length.checked_scale(i64::from(factor), i64::from(WHOLE)).unwrap_or(length);
    for plane in &mut known.planes {
        plane.shaving = scaled(plane.shaving, reckoned.plane);
    }
    for stock in &mut known.stock {
        stock.thickness = scaled(stock.thickness, reckoned.tape);
    }
    known
}

/// How a set-up is made of a trim, with these tools, by a method that was asked for or the best of the ranking.
pub type Make<'a> = dyn Fn(&TrimMeant, &Settings, Option<Method>) -> Result<Sheet, JobError> + 'a;

/// The set-up that `make` makes of `trim`: by the means its depth was reckoned for, or as deep as the other means
/// may go, where that one was asked for or is the only one there is.
pub fn sheet(settings: &Settings, trim: &TrimMeant, asked: Option<Method>, make: &Make<'_>) -> Result<Sheet, JobError> {
    let Some(reckoned) = &trim.reckoned else { return make(trim, settings, asked) };
    let tools = as_known(settings, reckoned);
    let other = TrimMeant {
        start: reckoned.otherwise[0],
        end: reckoned.otherwise[1],
        reckoned: Some(Reckoned {
            by: if reckoned.by == By::Saw { By::Plane } else { By::Saw },
            otherwise: [trim.start, trim.end],
            ..reckoned.clone()
        }),
        ..trim.clone()
    };
    let own = |sheet: &Sheet| {
        let meant = sheet.trim.reckoned.as_ref().map(|reckoned| reckoned.by);
        meant == Some(by(sheet.sheet.setup.method()))
    };
    let whole = if asked.is_some_and(|method| by(method) != reckoned.by) { &other } else { trim };
    let first = make(whole, &tools, asked)?;
    if own(&first) {
        return Ok(first);
    }
    // The shop's ranking would have it by the other means: the depth was not reckoned for that.
    let same = first.sheet.others.iter().copied().find(|&method| by(method) == reckoned.by);
    if let Some(method) = same.filter(|_| asked.is_none()) {
        let mut again = make(trim, &tools, Some(method))?;
        if own(&again) {
            if method == Method::Plane {
                again.sheet.reason = Reason::FewShavings;
            }
            return Ok(again);
        }
    }
    let swapped = make(if std::ptr::eq(whole, trim) { &other } else { trim }, &tools, asked)?;
    if own(&swapped) {
        return Ok(swapped);
    }
    // Deeper or less deep, it comes out by the means it was not meant for: the lesser depth is safe by both.
    let least = TrimMeant { start: trim.start.min(other.start), end: trim.end.min(other.end), ..trim.clone() };
    make(&least, &tools, asked)
}
