//! The first screen: the openings of the shop.

use super::asking::NewOpening;
use super::before_pages::{Whole, WholeShop};
use super::learned::LearnedPage;
use super::message::{Action, Effect, Said};
use super::printing::PrintEntry;
use super::session::{Screen, Step, World};
use super::words;

/// Rows that a page key moves.
const PAGE: usize = 10;

/// Which opening the keys act on.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ShopList {
    /// Its place in the list.
    pub at: usize,
}

/// The place after moving in a list of `count`; `None` if `action` does not move.
pub fn moved(at: usize, count: usize, action: Action) -> Option<usize> {
    let last = count.saturating_sub(1);
    Some(match action {
        Action::Up => at.saturating_sub(1),
        Action::Down => at + 1,
        Action::PageUp => at.saturating_sub(PAGE),
        Action::PageDown => at + PAGE,
        Action::First => 0,
        Action::Last => last,
        _ => return None,
    })
    .map(|place| place.min(last))
}

impl ShopList {
    /// Keeps the place within a list of `count`.
    pub fn clamp(&mut self, count: usize) {
        self.at = self.at.min(count.saturating_sub(1));
    }

    pub(super) fn act(&mut self, action: Action, world: World<'_>) -> Vec<Step> {
        if let Some(at) = moved(self.at, world.shop.openings.len(), action) {
            self.at = at;
            return Vec::new();
        }
        match action {
            Action::Enter | Action::Right => match world.shop.openings.get(self.at) {
                // The file's name serves even where the header cannot be read or two have one name.
                Some(listed) => {
                    let file = listed.summary.file.trim_end_matches(crate::shop::name::ENDING);
                    vec![Step::Run(Effect::LoadOpening(file.to_owned()))]
                }
                None => vec![Step::Say(Said::hint(words::NO_OPENINGS))],
            },
            Action::NewOpening => match &world.shop.read_only {
                Some(why) => vec![Step::Say(Said::trouble(words::read_only(why)))],
                None => vec![Step::Open(Screen::NewOpening(NewOpening::new(world)))],
            },
            Action::CutList | Action::Assign => {
                let what = if action == Action::Assign { Whole::Assign } else { Whole::CutList };
                vec![Step::Open(Screen::Whole(WholeShop::new(what))), Step::Run(Effect::LoadAll)]
            }
            Action::Print => vec![Step::Open(Screen::Print(PrintEntry::sheet()))],
            Action::Learned => {
                vec![Step::Open(Screen::Learned(LearnedPage::default())), Step::Run(Effect::Learn)]
            }
            Action::Tools => vec![Step::Open(Screen::Tools(Box::default()))],
            Action::Back => vec![Step::Say(Said::hint(words::HOW_TO_QUIT))],
            _ => Vec::new(),
        }
    }
}
