//! The page of the batch: which tool, which row, and the way to its set-up sheet.

use super::{Batch, Tool, Waiting, files};
use crate::bench::message::{Action, Effect, Said};
use crate::bench::recording::{Job, RecordCut};
use crate::bench::seen::{Listed, OpeningSeen, PassesSeen, ShopSeen};
use crate::bench::session::{Screen, Session, Step};
use crate::bench::shop_list::moved;
use crate::bench::words;
use crate::bench::world::World;
use crate::fit::opening::Edge;
use crate::shop::event::Event;
use std::collections::BTreeSet;

/// The page.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BatchPage {
    /// What waits, once it is worked out.
    pub waiting: Option<Vec<Waiting>>,
    /// What is shown of it.
    pub batch: Batch,
    /// Which row the keys act on.
    pub at: usize,
    /// The leaf and edge whose sheet was asked for.
    going: Option<(String, Edge)>,
}

/// The steps that open the page.
pub(in crate::bench) fn open(shop: &ShopSeen) -> Vec<Step> {
    vec![Step::Open(Screen::Batch(Box::default())), Step::Run(ask(shop))]
}

/// Looks only at openings that have cuts to do next.
pub(in crate::bench) fn ask(shop: &ShopSeen) -> Effect {
    Effect::Batch(files(shop.openings.iter().map(|listed| &listed.summary)))
}

impl BatchPage {
    /// Takes what was found.
    pub(in crate::bench) fn found(&mut self, waiting: Vec<Waiting>) {
        self.waiting = Some(waiting);
        self.show(self.batch.tool);
    }

    fn show(&mut self, tool: Tool) {
        self.batch = Batch::of(self.waiting.as_deref().unwrap_or_default(), tool);
        self.at = self.at.min(self.batch.rows.len().saturating_sub(1));
    }

    /// Is it still worked out, of any opening here, whether the advice agrees with what was accepted?
    pub fn is_asking(&self, shop: &ShopSeen) -> bool {
        let shown: BTreeSet<&str> = self.batch.rows.iter().map(|row| row.file.as_str()).collect();
        let open = |listed: &Listed| !matches!(listed.passes, PassesSeen::Known(_));
        shop.openings.iter().any(|listed| open(listed) && shown.contains(listed.file()))
    }

    /// Files of the openings in which anything waits.
    pub(in crate::bench) fn waiting_in(&self) -> BTreeSet<&str> {
        let rows = self.waiting.iter().flatten().flat_map(|one| &one.rows);
        rows.map(|row| row.file.as_str()).collect()
    }

    /// How many trims there are for the other tool.
    pub fn others(&self) -> usize {
        let rows = self.waiting.iter().flatten().flat_map(|one| &one.rows);
        rows.filter(|row| row.tool() != self.batch.tool).count()
    }

    pub(in crate::bench) fn act(&mut self, action: Action) -> Vec<Step> {
        if let Some(at) = moved(self.at, self.batch.rows.len(), action) {
            self.at = at;
            return Vec::new();
        }
        match action {
            Action::Skip => {
                self.at = 0;
                self.show(self.batch.tool.other());
                Vec::new()
            }
            Action::Enter | Action::Right => match self.batch.rows.get(self.at) {
                Some(row) => {
                    let trim = &row.sheet.trim;
                    self.going = Some((trim.leaf.clone(), trim.edge));
                    vec![Step::Run(Effect::LoadOpening(row.file.clone()))]
                }
                None => vec![Step::Say(Said::hint(super::words::nothing(self.batch.tool)))],
            },
            Action::Back | Action::Left => vec![Step::Leave],
            _ => Vec::new(),
        }
    }

    /// Was the sheet on top opened from this page, and its cut kept? Then the page comes back.
    pub(in crate::bench) fn cut_is_done(screens: &[Screen], opened: Option<&OpeningSeen>) -> bool {
        let last = opened.and_then(|opened| opened.records.last());
        matches!(screens, [.., Screen::Batch(_), Screen::Record(_)])
            && last.is_some_and(|record| matches!(record.event, Event::Cut(_)))
    }

    /// Where an opening was loaded for one of its sheets: that sheet, over the page. Answers whether it was.
    pub(in crate::bench) fn arrive(session: &mut Session) -> bool {
        let Session { shop, opened, screens, drafts, advised, said, .. } = session;
        let Some(Screen::Batch(page)) = screens.last_mut() else { return false };
        let Some((leaf, edge)) = page.going.take() else { return false };
        let world = World { shop, opened: opened.as_ref(), drafts, advised };
        let Some(opened) = world.opened else { return false };
        let mut record = RecordCut::new(opened, world);
        let is_it = |job: &Job| matches!(job, Job::Trim(trim) if trim.leaf == leaf && trim.edge == edge);
        match record.jobs.iter().position(is_it) {
            Some(place) => {
                let to_pack = |job: &Job| matches!(job, Job::Pack(pack) if pack.leaf == leaf);
                if record.jobs.iter().any(to_pack) {
                    *said = Some(Said::hint(super::words::PACK_FIRST));
                }
                record.choose(place, opened, world);
                screens.push(Screen::Record(record));
            }
            None => {
                *said = Some(match &opened.state.trouble {
                    Some(trouble) => Said::trouble(words::read_only(&trouble.to_string())),
                    None => Said::hint(words::NOTHING_TO_RECORD),
                });
            }
        }
        true
    }
}
