//! What was learned of this shop's tools, and setting it back.

use super::message::{Action, Effect, Said};
use super::session::{Step, World};
use super::words;

/// Said when it is to be set back, before it is done.
pub const SURE: &str = "Press r again to set back what was learned: cuts before now teach nothing; nothing is deleted";
/// Said when it is set back.
pub const SET_BACK: &str = "set back: what is assumed is the starting guess again, until new cuts teach";

/// The page; `sure`: setting back was asked for once.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct LearnedPage {
    /// Was setting back asked for once?
    pub sure: bool,
}

impl LearnedPage {
    pub(super) fn act(&mut self, action: Action, world: World<'_>) -> Vec<Step> {
        let was_sure = std::mem::take(&mut self.sure);
        match action {
            Action::Reset => match &world.shop.read_only {
                Some(why) => vec![Step::Say(Said::trouble(words::read_only(why)))],
                None if was_sure => vec![Step::Run(Effect::ResetLearning), Step::Say(Said::done(SET_BACK))],
                None => {
                    self.sure = true;
                    vec![Step::Say(Said::hint(SURE))]
                }
            },
            Action::Back | Action::Left | Action::Enter => vec![Step::Leave],
            _ => Vec::new(),
        }
    }
}
