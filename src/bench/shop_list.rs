//! The first screen: the openings of the shop.

use super::asking::NewOpening;
use super::before_pages::{Whole, WholeShop};
use super::learned::LearnedPage;
use super::message::{Action, Effect, Said};
use super::printing::PrintEntry;
use super::seen::Listed;
use super::session::{Screen, Step, World};
use super::words;
use crate::shop::replay::Stage;

/// Rows that a page key moves.
const PAGE: usize = 10;

/// Which opening the keys act on.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ShopList {
    /// Its place among those shown.
    pub at: usize,
    /// Which are shown.
    pub part: Part,
    /// What their names are searched for; empty: not at all.
    pub search: String,
    /// Is the search being typed?
    pub typing: bool,
}

/// A part of the list.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Part {
    /// Every opening.
    #[default]
    All,
    /// Those that do not fit yet.
    Unfinished,
    /// Those with a trim for the saw.
    Saw,
    /// Those with a trim for the plane.
    Plane,
}

impl Part {
    fn next(self) -> Self {
        match self {
            Self::All => Self::Unfinished,
            Self::Unfinished => Self::Saw,
            Self::Saw => Self::Plane,
            Self::Plane => Self::All,
        }
    }

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::All => "all",
            Self::Unfinished => "unfinished",
            Self::Saw => "needs the saw",
            Self::Plane => "needs the plane",
        }
    }

    fn has(self, listed: &Listed) -> bool {
        let [saw, plane] = listed.summary.tools;
        match self {
            Self::All => true,
            Self::Unfinished => !matches!(listed.summary.stage, Stage::Fitted { .. }),
            Self::Saw => saw,
            Self::Plane => plane,
        }
    }
}

/// Most characters of a search.
const LONGEST: usize = 60;

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

    /// Places of the openings that are shown, in the whole list.
    pub fn shown(&self, openings: &[Listed]) -> Vec<usize> {
        let wanted = self.search.to_lowercase();
        let is_shown = |listed: &Listed| {
            self.part.has(listed) && (wanted.is_empty() || listed.summary.name.to_lowercase().contains(&wanted))
        };
        openings.iter().enumerate().filter(|(_, listed)| is_shown(listed)).map(|(place, _)| place).collect()
    }

    /// The opening that the keys act on.
    pub fn chosen<'o>(&self, openings: &'o [Listed]) -> Option<&'o Listed> {
        openings.get(*self.shown(openings).get(self.at)?)
    }

    /// What of the list is shown, if not all of it.
    pub fn part_words(&self) -> Option<String> {
        let cursor = if self.typing { "_" } else { "" };
        match (self.part, self.search.is_empty() && !self.typing) {
            (Part::All, true) => None,
            (part, true) => Some(format!("shown: {} (f: another part)", part.words())),
            (part, false) => Some(format!("shown: {}, name with: {}{cursor}", part.words(), self.search)),
        }
    }

    fn search(&mut self, action: Action) -> bool {
        match action {
            Action::Type(letter) if self.search.chars().count() < LONGEST => self.search.push(letter),
            Action::Erase => drop(self.search.pop()),
            Action::Enter => self.typing = false,
            Action::Back => {
                self.typing = false;
                self.search.clear();
            }
            _ => return false,
        }
        self.at = 0;
        true
    }

    pub(super) fn act(&mut self, action: Action, world: World<'_>) -> Vec<Step> {
        if self.typing && self.search(action) {
            return Vec::new();
        }
        let openings = &world.shop.openings;
        if let Some(at) = moved(self.at, self.shown(openings).len(), action) {
            self.at = at;
            return Vec::new();
        }
        match action {
            Action::Search => {
                self.typing = true;
                Vec::new()
            }
            Action::Filter => {
                self.part = self.part.next();
                self.at = 0;
                Vec::new()
            }
            Action::Back if !self.search.is_empty() || self.part != Part::All => {
                *self = Self::default();
                Vec::new()
            }
            Action::Enter | Action::Right => match self.chosen(openings) {
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
            Action::Batch => super::batch::page::open(world.shop),
            Action::Practice => vec![Step::Run(Effect::Practice(super::practice::Ask::Open))],
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
