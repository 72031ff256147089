//! What a screen may see beyond its own data.

use super::drafts::Drafts;
use super::next::Advised;
use super::rounds::Look;
use super::seen::{OpeningSeen, ShopSeen};

/// What a screen may see beyond its own data.
#[derive(Clone, Copy, Debug)]
pub struct World<'a> {
    /// The shop.
    pub shop: &'a ShopSeen,
    /// The opening that is open.
    pub opened: Option<&'a OpeningSeen>,
    /// What was typed and not kept.
    pub drafts: &'a Drafts,
    /// What to do next in it.
    pub advised: &'a Advised,
}

impl<'a> World<'a> {
    /// The advice on the open opening as it is now, where it is known.
    pub fn look(&self) -> Option<&'a Look> {
        self.advised.look(self.opened?)
    }
}
