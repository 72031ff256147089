//! One session as a state machine: `update(state, message) -> effects`. No terminal, no files, no clock.
//!
//! Keys become named [`Action`]s before they come here (the keymap of the screen). What the session
//! wants done comes out as an [`Effect`]; whoever runs it (the shell, or a test) answers with a
//! [`Message`]. So a session can be recorded and replayed.
//!
//! - [`message`]: actions, messages, effects. [`seen`]: what was loaded, as plain data.
//! - [`session`]: the state, its screens, and `update`.
//! - [`shop_list`], [`home`], [`readings`], [`planning`], [`recording`], [`history`], [`asking`], [`printing`]: one screen each.
//! - [`stations`]: the walk round the leaves. [`surprise`]: readings to ask about. [`form`]: fields to fill in.
//! - [`knowing`]: questions worked out as effects. [`rounds`]: from a log to what is believed and what to do next; [`rounds_words`]: the same in words.
//! - [`altering`]: a strip glued on, a leaf made anew.
//! - [`accepted`]: the plan that was accepted, which stands until its round is over.
//! - [`sheets`]: set-ups for the trims of a plan; [`sheet_words`]: the same in words; [`after_words`]: which cuts they take as made; [`sheet_choices`]: what may be asked of one.
//! - [`counting`]: passes that remain, asked for where they are looked at. [`brief`]: the next thing to do, named in one place. [`learned`]: the page of what was learned.
//! - [`passes_left`]: the forecast, less what is done.
//! - [`taken`]: what each round left and each cut took.
//! - [`tools_page`]: stock, tools, settings, a section each; [`measuring`]: what a shop measures of its own.
//! - [`surveying`], [`blanks`], [`before_pages`], [`corners`], [`hinging`]: before hanging and on the hinges, worked out by [`prepare`].
//! - [`batch`]: everything for the saw in one trip, across openings.
//! - [`practice`]: a made-up door to practise on, in memory only.
//! - [`short_words`]: what would help where wood is missing.
//! - [`gap_words`]: a reading as it was felt, a miss to its nearest step, the same everywhere.
//! - [`front_heights`]: heights of stacked fronts, typed in one field.
//! - [`drafts`]: what was typed and not kept yet. [`left_words`]: what is said of it.
//! - [`undo`]: what is taken back, what is put back. [`words`]: every sentence, in one place.

pub mod accepted;
pub mod after_words;
pub mod allowing;
pub mod altering;
pub mod asking;
pub mod batch;
pub mod before_pages;
pub mod blanks;
pub mod brief;
pub mod corners;
pub mod counting;
pub mod drafts;
pub mod form;
pub mod front_heights;
pub mod gap_words;
pub mod height_form;
pub mod hinge_words;
pub mod hinging;
pub mod history;
pub mod home;
mod kinds;
pub mod knowing;
pub mod leaf_facts;
pub mod leaf_sizes;
pub mod learned;
pub mod left_words;
pub mod making_words;
pub mod measuring;
pub mod message;
pub mod next;
pub mod next_words;
pub mod noting;
pub mod passes_left;
pub mod pins;
pub mod planning;
pub mod practice;
pub mod prepare;
pub mod printing;
pub mod readings;
pub mod recording;
pub mod rounds;
pub mod rounds_words;
pub mod seen;
pub mod session;
pub mod sheet_choices;
pub mod sheet_facts;
pub mod sheet_words;
pub mod sheets;
pub mod shop_list;
pub mod short_words;
pub mod sight_words;
pub mod stations;
pub mod surprise;
pub mod surveying;
pub mod taken;
pub mod tools_page;
pub mod undo;
pub mod words;
pub mod world;

pub use message::{Action, Effect, Message, Said, Tone};
pub use seen::{Listed, OpeningSeen, ShopSeen};
pub use session::{Overlay, Screen, Session, Step, update};
