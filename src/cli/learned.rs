//! What the shop's history teaches of its tools.

use crate::bench::{knowing, rounds};
use crate::fit::estimate::Spreads;
use crate::fit::learn::{Evidence, learn_from};
use crate::shop::{OpeningState, Shop};
use std::sync::atomic::AtomicBool;

/// What is assumed of reading and cutting in `opening`: what every other opening of the shop taught (its own
/// rounds speak for themselves in its estimate).
pub fn spreads(shop: &Shop, opening: &str) -> Spreads {
    let since = shop.settings().learning_resets.last().map(String::as_str);
    let note = |_: &str, name: &str, state: &OpeningState| {
        if name == opening { None } else { knowing::evidence(state, since) }
    };
    let shelf = shop.shelf();
    let files = shelf.log_names().unwrap_or_default();
    let noted = shelf.each(&files, &AtomicBool::new(false), &note);
    let evidence: Vec<Evidence> = noted.into_iter().filter_map(|(_, evidence)| evidence).collect();
    rounds::spreads(Some(&learn_from(&rounds::spreads(None), evidence.iter())))
}
