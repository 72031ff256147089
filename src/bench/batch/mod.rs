//! Everything for the saw in one trip: the trims that wait in all openings, with their set-ups, in the order
//! that changes the fence least; and, apart, those for the plane.
//!
//! - [`waiting`]: what waits in one opening. [`Batch::of`]: all of it for one tool, in order.
//! - [`arrange`]: the order, and how often the fence is set in it. [`words`]: rows and notes in words.
//! - [`stock`]: the names of pads, short. [`page`]: the screen.

pub mod arrange;
pub mod page;
pub mod stock;
pub mod words;

use super::sheets::{self, Sheet};
use crate::bench::brief::{Brief, Thing};
use crate::cut::job::Method;
use crate::cut::words::Caution;
use crate::fit::opening::Edge;
use crate::shop::OpeningState;
use crate::shop::event::TrimMeant;
use crate::shop::replay::Stage;
use crate::shop::settings::Settings;
use crate::shop::summary::Summary;
use arrange::Changes;

/// Where the work is done.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Tool {
    /// At the saw: against the fence, on the sled, to a line.
    #[default]
    Saw,
    /// At the bench: plane and sanding block.
    Plane,
}

impl Tool {
    /// Where `method` is done.
    pub fn of(method: Method) -> Self {
        match method {
            Method::Rip | Method::Sled | Method::GuideLine => Self::Saw,
            Method::Plane | Method::SandingBlock => Self::Plane,
        }
    }

    /// The word for it, as an accepted plan has it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Saw => "saw",
            Self::Plane => "plane",
        }
    }

    /// The other one.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Saw => Self::Plane,
            Self::Plane => Self::Saw,
        }
    }
}

/// What must be done on a leaf before a trim of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum First {
    /// A hinge is to be packed or let in.
    Pack,
    /// Another edge is cut first, with the other tool.
    Cut(Edge, Method),
}

/// One trim that waits, with its set-up.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// The opening's file, without its ending.
    pub file: String,
    /// The opening's name.
    pub opening: String,
    /// The set-up, for the leaf as the trims before it leave it.
    pub sheet: Sheet,
    /// By what means the plan meant it (`saw` or `plane`), where it says so.
    pub meant: Option<String>,
    /// What must be done on this leaf before.
    pub first: Vec<First>,
}

impl Row {
    /// Its method.
    pub fn method(&self) -> Method {
        self.sheet.sheet.setup.method()
    }

    /// Where it is done.
    pub fn tool(&self) -> Tool {
        Tool::of(self.method())
    }

    /// Was it meant for the saw, which is refused or of no use here?
    pub fn is_kept_from_the_saw(&self) -> bool {
        self.tool() == Tool::Plane && self.meant.as_deref() == Some(Tool::Saw.word())
    }
}

/// A trim that waits and for which no set-up can be worked out.
#[derive(Clone, Debug, PartialEq)]
pub struct Without {
    /// The opening's name.
    pub opening: String,
    /// The trim.
    pub trim: TrimMeant,
    /// Why not, and what to do.
    pub why: String,
}

/// What waits in one opening, each leaf's trims in the order they are cut.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Waiting {
    /// With a set-up.
    pub rows: Vec<Row>,
    /// Without one.
    pub without: Vec<Without>,
}

/// Files of the openings that have cuts to do next; the others need not be read.
pub fn files<'a>(openings: impl Iterator<Item = &'a Summary>) -> Vec<String> {
    let has_cuts =
        |one: &&Summary| one.trouble.is_none() && matches!(one.stage, Stage::Cut { .. }) && one.tools != [false; 2];
    openings.filter(has_cuts).map(|one| one.file.clone()).collect()
}

/// Openings of which the round is read and no plan is accepted yet: their cuts are not in a batch.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Undecided {
    /// So many have stations to be read again first.
    pub read: usize,
    /// So many have a plan to be accepted.
    pub accept: usize,
}

/// Openings with something wrong with their file, and what: whether they have cuts is not known, so none is listed.
pub fn left_out<'a>(openings: impl Iterator<Item = &'a Summary>) -> Vec<(&'a Summary, &'a str)> {
    openings.filter_map(|one| Some((one, one.trouble.as_deref()?))).collect()
}

/// Which openings are not decided, with what the list says of each.
pub fn undecided<'a>(openings: impl Iterator<Item = (&'a Summary, Option<&'a Brief>)>) -> Undecided {
    let mut found = Undecided::default();
    for (one, brief) in openings {
        if one.trouble.is_some() || !matches!(one.stage, Stage::Decide { .. }) {
            continue;
        }
        match brief.map(|brief| brief.thing) {
            None | Some(Thing::Cut | Thing::Pack) => found.accept += 1,
            // No cut comes of these.
            Some(Thing::Fits | Thing::Short | Thing::AsGood) => {}
            Some(_) => found.read += 1,
        }
    }
    found
}

/// What waits in an opening.
pub fn waiting(file: &str, opening: &str, state: &OpeningState, settings: &Settings) -> Waiting {
    let mut waiting = Waiting::default();
    let left = state.waiting();
    let trims: Vec<TrimMeant> = left.iter().map(|(trim, _)| trim.clone()).collect();
    let each = sheets::by_trim(state, settings, &trims).into_iter();
    // One for each pass that a trim still takes.
    for (trim, made) in each.flat_map(|(trim, all)| all.into_iter().map(move |made| (trim.clone(), made))) {
        let sheet = match made {
            Ok(sheet) => sheet,
            Err(why) => {
                waiting.without.push(Without { opening: opening.to_owned(), trim, why: why.to_string() });
                continue;
            }
        };
        let tool = Tool::of(sheet.sheet.setup.method());
        let packs = state.packs_left().iter().any(|pack| pack.leaf == trim.leaf);
        let before = waiting.rows.iter().filter(|row| row.sheet.trim.leaf == trim.leaf && row.tool() != tool);
        let mut first: Vec<First> = packs.then_some(First::Pack).into_iter().collect();
        for edge in before.map(|row| First::Cut(row.sheet.trim.edge, row.method())) {
            if !first.contains(&edge) {
                first.push(edge);
            }
        }
        let meant = left.iter().find(|(other, _)| *other == trim).and_then(|(_, means)| means.clone());
        let (file, opening) = (file.trim_end_matches(crate::shop::name::ENDING).to_owned(), opening.to_owned());
        waiting.rows.push(Row { file, opening, sheet, meant, first });
    }
    waiting
}

/// Everything for one tool, in order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Batch {
    /// Which tool.
    pub tool: Tool,
    /// What is done with it, in the order that changes the fence least.
    pub rows: Vec<Row>,
    /// At the saw: trims that were meant for it and are kept from it, with the safe way instead.
    pub kept_from_saw: Vec<Row>,
    /// Trims for which there is no set-up.
    pub without: Vec<Without>,
    /// How often fence and pads are set in this order.
    pub changes: Changes,
    /// The same in the order of the openings' names.
    pub changes_by_name: Changes,
}

impl Batch {
    /// Of what waits in the openings, in the order of the list.
    pub fn of(waiting: &[Waiting], tool: Tool) -> Self {
        let rows = || waiting.iter().flat_map(|one| &one.rows);
        let own: Vec<&Row> = rows().filter(|row| row.tool() == tool).collect();
        let changes_by_name = arrange::changes(&own);
        let arranged = arrange::arranged(&own);
        Self {
            tool,
            changes: arrange::changes(&arranged),
            changes_by_name,
            rows: arranged.into_iter().cloned().collect(),
            kept_from_saw: rows().filter(|row| tool == Tool::Saw && row.is_kept_from_the_saw()).cloned().collect(),
            without: waiting.iter().flat_map(|one| &one.without).cloned().collect(),
        }
    }

    /// Does one setting of fence or stop serve several cuts?
    pub fn shares_settings(&self) -> bool {
        self.changes.fence < self.rows.iter().filter(|row| row.fence().is_some()).count()
    }

    /// In how many openings.
    pub fn openings(&self) -> usize {
        let mut files: Vec<&str> = self.rows.iter().map(|row| row.file.as_str()).collect();
        files.sort_unstable();
        files.dedup();
        files.len()
    }

    /// The cautions of everything that it names to be cut, each once, most pressing first.
    pub fn cautions(&self) -> Vec<Caution> {
        // What is kept from the saw is only named here: it has its own in the batch for the plane.
        let rows = if self.rows.is_empty() { &self.kept_from_saw } else { &self.rows };
        let mut all: Vec<Caution> = rows.iter().flat_map(|row| row.sheet.sheet.cautions.iter().copied()).collect();
        // A cut without a set-up is a cut all the same.
        if !self.without.is_empty() {
            all.extend(Caution::WHEREVER_CUT);
        }
        all.sort_unstable();
        all.dedup();
        all
    }
}
