//! What is worked out aside, after the first frame: passes that remain and what to do next, a row of the list at a
//! time where it is looked at; all of it for the opening that is open.

use super::brief::Brief;
use super::message::Effect;
use super::seen::{Listed, PassesSeen, ShopSeen};
use super::session::{Screen, Session};
use std::collections::HashMap;

/// Rows before and after the cursor that may be on a screen.
const NEAR: usize = 60;

/// What is to be worked out for what is shown now and was not asked for yet.
pub(super) fn ask(session: &mut Session) -> Vec<Effect> {
    match session.screens.last() {
        Some(Screen::Shop(list)) => {
            let shown = list.shown(&session.shop.openings).into_iter();
            let near = shown.take(list.at.saturating_add(NEAR + 1)).skip(list.at.saturating_sub(NEAR));
            ask_rows(&mut session.shop.openings, near)
        }
        // Whether the advice still agrees with what was accepted.
        Some(Screen::Batch(page)) => {
            let waiting = page.waiting_in();
            let openings = session.shop.openings.iter().enumerate();
            let places = openings.filter(|(_, listed)| waiting.contains(listed.file()));
            let places: Vec<usize> = places.map(|(place, _)| place).collect();
            ask_rows(&mut session.shop.openings, places.into_iter())
        }
        Some(Screen::Home(_) | Screen::Log(_) | Screen::Practice(_)) => {
            let Session { opened, shop, advised, .. } = session;
            opened.as_ref().and_then(|opened| advised.question(opened, &shop.settings)).into_iter().collect()
        }
        _ => Vec::new(),
    }
}

/// Asks for the rows at these places of the whole list.
fn ask_rows(openings: &mut [Listed], places: impl Iterator<Item = usize>) -> Vec<Effect> {
    let mut files = Vec::new();
    for place in places {
        let Some(listed) = openings.get_mut(place).filter(|listed| listed.passes == PassesSeen::NotYet) else {
            continue;
        };
        // Where nothing was read, nothing can be counted.
        if listed.summary.worst.is_none() {
            listed.passes = PassesSeen::Known(None);
            continue;
        }
        listed.passes = PassesSeen::Asked;
        files.push(listed.summary.file.clone());
    }
    if files.is_empty() { Vec::new() } else { vec![Effect::Passes(files)] }
}

/// Takes in what was counted.
pub(super) fn counted(shop: &mut ShopSeen, found: Vec<(String, Option<Brief>)>) {
    let mut found: HashMap<String, Option<Brief>> = found.into_iter().collect();
    for listed in &mut shop.openings {
        if let Some(passes) = found.remove(&listed.summary.file) {
            listed.passes = PassesSeen::Known(passes);
        }
    }
}

/// What was counted holds on for openings in which nothing was kept since, under the same settings.
pub(super) fn carry_over(old: &ShopSeen, new: &mut ShopSeen) {
    if old.settings != new.settings {
        return;
    }
    let known: HashMap<&str, &Listed> = old.openings.iter().map(|one| (one.summary.file.as_str(), one)).collect();
    for listed in &mut new.openings {
        if let Some(before) = known.get(listed.summary.file.as_str())
            && before.summary.events == listed.summary.events
        {
            listed.passes = before.passes;
        }
    }
}
