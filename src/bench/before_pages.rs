//! Pages that are looked at: the year; and the whole shop's cut list and assignment.

use super::message::{Action, Effect, Said};
use super::prepare::cutting::{self, ShopList};
use super::prepare::year;
use super::seen::OpeningSeen;
use super::session::{Step, World};
use super::shop_list::moved;
use crate::before::blank::Part;
use crate::before::blank::tick::{SawnTo, Tick};
use crate::fit::length::Show;
use crate::shop::event::Event;
use crate::shop::making::{GapTarget, PartChecked, RevealDecided};
use crate::shop::settings::Settings;
use crate::shop::summary::WholeOpening;

/// The gaps through the year.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct YearScreen {
    /// Which page of it, where the screen has no room for all; the first follows the last.
    pub page: i32,
}

impl YearScreen {
    pub(super) fn act(&mut self, action: Action, world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened else { return vec![Step::Leave] };
        match action {
            // How many pages there are only the view knows.
            Action::Down | Action::PageDown => {
                self.page = self.page.saturating_add(1);
                Vec::new()
            }
            Action::Up | Action::PageUp => {
                self.page = self.page.saturating_sub(1);
                Vec::new()
            }
            Action::Back | Action::Left => vec![Step::Leave],
            Action::Accept => {
                let Ok(year) = year::year(&opened.state, &world.shop.settings) else { return Vec::new() };
                let gaps = year.gaps.iter().filter_map(|gap| {
                    let target = *gap.raw.as_ref().ok()?;
                    let between = gap.between.clone();
                    (target != gap.fits_to).then_some(GapTarget { between, target, finished: gap.wanted })
                });
                let gaps: Vec<_> = gaps.collect();
                if gaps.is_empty() {
                    return vec![Step::Say(Said::hint("the raw reveals are what is fitted to already"))];
                }
                if let Some(why) = &opened.read_only {
                    return vec![Step::Say(Said::trouble(super::words::read_only(why)))];
                }
                let events = vec![Event::Reveal(RevealDecided { gaps })];
                vec![Step::Run(Effect::Keep { opening: opened.name.clone(), events })]
            }
            Action::Finish => finish_is_on(opened, &world.shop.settings),
            _ => Vec::new(),
        }
    }
}

/// What is said where no finish waits to go on.
const NO_FINISH: &str = "no finish waits to go on: say which one each leaf gets (b, then m)";

/// The finish of every leaf went on: kept, with the reveals that are fitted to from now on where raw ones were
/// decided, since the film is in the gap and no longer to come.
fn finish_is_on(opened: &OpeningSeen, settings: &Settings) -> Vec<Step> {
    if let Some(why) = &opened.read_only {
        return vec![Step::Say(Said::trouble(super::words::read_only(why)))];
    }
    let mut events = year::finishes_to_come(&opened.state);
    if events.is_empty() {
        return vec![Step::Say(Said::hint(NO_FINISH))];
    }
    let gaps = year::reveals_with_finish_on(&opened.records, &events, settings);
    if !gaps.is_empty() {
        events.push(Event::Reveal(RevealDecided { gaps }));
    }
    vec![Step::Run(Effect::Keep { opening: opened.name.clone(), events })]
}

/// What of the whole shop is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Whole {
    /// The cut list.
    CutList,
    /// Which leaf goes where.
    Assign,
}

/// A page over the whole shop.
#[derive(Clone, Debug, PartialEq)]
pub struct WholeShop {
    /// Which page.
    pub what: Whole,
    /// Every opening, once read.
    pub openings: Option<Vec<WholeOpening>>,
    /// Place in the cut list.
    pub at: usize,
}

impl WholeShop {
    /// Before it is read.
    pub fn new(what: Whole) -> Self {
        Self { what, openings: None, at: 0 }
    }

    /// The cut list, lengths shown as `show` says.
    pub fn list(&self, show: Show) -> ShopList {
        cutting::shop_list(self.openings.as_deref().unwrap_or_default(), show)
    }

    pub(super) fn act(&mut self, action: Action, world: World<'_>) -> Vec<Step> {
        if action == Action::Back {
            return vec![Step::Leave];
        }
        if self.what == Whole::Assign {
            return Vec::new();
        }
        let list = self.list(world.shop.show());
        let keys: Vec<&str> =
            list.list.groups.iter().flat_map(|group| &group.lines).map(|line| line.key.as_str()).collect();
        if let Some(at) = moved(self.at, keys.len(), action) {
            self.at = at;
            return Vec::new();
        }
        match (action, keys.get(self.at).and_then(|key| list.parts.get(*key))) {
            (Action::Enter | Action::Tick, Some(part)) => {
                if let Some(why) = &world.shop.read_only {
                    return vec![Step::Say(Said::trouble(super::words::read_only(why)))];
                }
                match ticked(&part.leaf, &part.made, part.tick) {
                    Ok(event) => vec![Step::Run(Effect::KeepIn { file: part.file.clone(), events: vec![event] })],
                    Err(why) => vec![Step::Say(why)],
                }
            }
            _ => Vec::new(),
        }
    }
}

/// A part of leaf `id` is ticked at the size that it has, or is not sawn after all.
pub(super) fn ticked(id: &str, part: &Part, tick: Tick) -> Result<Event, Said> {
    if tick == Tick::GluedUp {
        return Err(Said::hint("it is glued up: its parts are sawn"));
    }
    let done = !tick.is_done();
    let size = done.then(|| SawnTo::from(part));
    Ok(Event::Part(PartChecked { leaf: id.to_owned(), part: part.kind, done, size }))
}
