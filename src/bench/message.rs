//! What comes into a session and what it wants done.

use super::batch::Waiting;
use super::brief::Brief;
use super::knowing::{Learned, LookAnswer, LookAsked};
use super::practice;
use super::seen::{OpeningSeen, ShopSeen};
use crate::shop::event::Event;
use crate::shop::settings::Settings;
use crate::shop::summary::WholeOpening;

/// What the user asked for, whatever key it was.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Action {
    /// One up, or one station back.
    Up,
    /// One down, or one station on.
    Down,
    /// To the left: an earlier choice.
    Left,
    /// To the right: a later choice.
    Right,
    /// A page up.
    PageUp,
    /// A page down.
    PageDown,
    /// To the first.
    First,
    /// To the last.
    Last,
    /// Go on: open, keep, do the next thing.
    Enter,
    /// Back to where one came from.
    Back,
    /// Take away the last character, or go back a station.
    Erase,
    /// Leave this one out.
    Skip,
    /// A character of a text, or a feeler's key.
    Type(char),
    /// No feeler goes.
    NothingGoes,
    /// Stock, tools and settings of the shop.
    Tools,
    /// Take what the cursor is on out of the list.
    Remove,
    /// Leave the program.
    Quit,
    /// The keys of this screen.
    Help,
    /// Why the plan is what it is.
    Why,
    /// Take readings.
    Readings,
    /// Take readings at every station, whatever the advice asks for.
    AllReadings,
    /// See the plan.
    Plan,
    /// Record what was cut.
    Cut,
    /// A strip was glued on, or a leaf made anew.
    Altered,
    /// See the log.
    Log,
    /// Print a card, or the shop sheet.
    Print,
    /// Look for openings by their names.
    Search,
    /// Show another part of the list.
    Filter,
    /// The next thing in large letters.
    Large,
    /// Write a note.
    Note,
    /// A new opening.
    NewOpening,
    /// Take back the last event.
    Undo,
    /// Put back what was taken back last.
    Redo,
    /// Take back the chosen event.
    Strike,
    /// Accept the plan.
    Accept,
    /// The other choice between equally good plans.
    Prefer,
    /// The plan that may use every edge.
    EveryEdge,
    /// From the accepted plan to the advice as it is now, and back.
    Anew,
    /// It was done as shown.
    AsShown,
    /// It was done otherwise.
    Otherwise,
    /// Another way to do it.
    Method,
    /// Type the widths of the leaf.
    Widths,
    /// A square at a corner of the leaf.
    Square,
    /// Stretches of an edge without wood.
    BareEdge,
    /// A straightedge on an edge of the leaf.
    Straightedge,
    /// The other end first past the blade.
    OtherEndFirst,
    /// More marks along a guide line.
    GuideMarks,
    /// What was learned of the shop's tools.
    Learned,
    /// Set back what was learned.
    Reset,
    /// Read it again.
    Retake,
    /// Keep it although it surprises.
    KeepAnyway,
    /// Leave the reading out.
    StrikeReading,
    /// Measure the opening.
    Survey,
    /// The blank and its parts.
    Blank,
    /// The gap through the year.
    Year,
    /// Swing and back-bevel.
    Swing,
    /// Flush and wind.
    Flush,
    /// How the leaves hang.
    Hinges,
    /// The cut list of the whole shop.
    CutList,
    /// Which leaf goes where.
    Assign,
    /// Everything for the saw in one trip.
    Batch,
    /// A made-up door to practise on.
    Practice,
    /// See how it really ended.
    HowItEnded,
    /// This part is sawn, or is not after all.
    Tick,
    /// Say how the leaf is made, or where its pin stands.
    Build,
    /// The other leaves are made like this one.
    Likewise,
    /// Say how high the fronts are.
    Heights,
    /// The finish is on.
    Finish,
}

/// What comes into a session.
#[derive(Clone, Debug, PartialEq)]
pub enum Message {
    /// The user asked for something.
    Action(Action),
    /// Text came in one piece: it goes where text is typed, and is no key anywhere else.
    Pasted(String),
    /// The first frame is on the screen: work may begin.
    Shown,
    /// The shop was read.
    ShopLoaded(Box<ShopSeen>),
    /// An opening was read.
    OpeningLoaded(Box<OpeningSeen>),
    /// Events are on the disk: these numbers, in this opening as it now is.
    Kept {
        /// The opening as it now is.
        opening: Box<OpeningSeen>,
        /// Numbers of the events kept.
        numbers: Vec<u64>,
    },
    /// Every opening of the shop was read, and the numbers of what was kept on the way.
    AllLoaded {
        /// The openings, by name.
        openings: Vec<WholeOpening>,
        /// Numbers of the events kept, if any.
        numbers: Vec<u64>,
    },
    /// What is believed of an opening, and what to do next.
    Looked(Box<LookAnswer>),
    /// Pages were printed to these files.
    Printed(Vec<String>),
    /// What was learned of the shop's tools.
    Learned(Box<Learned>),
    /// Passes that remain and what to do next, by the openings' files; none where nothing can be said.
    Passes(Vec<(String, Option<Brief>)>),
    /// What waits for saw and plane, opening by opening.
    Batched(Vec<Waiting>),
    /// What practice asked for.
    Practice(practice::Answer),
    /// An effect failed; nothing was changed.
    Failed(String),
    /// The file of a photo was looked for.
    PhotoSought {
        /// The file, as typed.
        photo: String,
        /// Is it there?
        found: bool,
    },
}

/// What a session wants done. Each is answered by one message.
#[derive(Clone, Debug, PartialEq)]
pub enum Effect {
    /// Read the shop; answered by [`Message::ShopLoaded`].
    LoadShop,
    /// Read an opening; answered by [`Message::OpeningLoaded`].
    LoadOpening(String),
    /// Keep events; answered by [`Message::Kept`] when they are on the disk.
    Keep {
        /// Name of the opening.
        opening: String,
        /// What to keep.
        events: Vec<Event>,
    },
    /// Read every opening; answered by [`Message::AllLoaded`].
    LoadAll,
    /// Keep events in an opening that is not the one worked on; answered by [`Message::AllLoaded`].
    KeepIn {
        /// Its file's name without ending.
        file: String,
        /// What to keep.
        events: Vec<Event>,
    },
    /// Make an opening and keep its first events; answered by [`Message::Kept`].
    Create {
        /// Name of the opening.
        opening: String,
        /// What to keep.
        events: Vec<Event>,
    },
    /// Replace the settings; answered by [`Message::ShopLoaded`].
    SaveSettings(Box<Settings>),
    /// Work out what to do next; answered by [`Message::Looked`].
    Look(Box<LookAsked>),
    /// Print the opening's card, or the shop sheet without one, to a file; answered by [`Message::Printed`].
    Print {
        /// Name of the opening.
        opening: Option<String>,
        /// The file, as the user named it.
        file: String,
    },
    /// Look for the file of a photo that a note names; answered by [`Message::PhotoSought`].
    SeekPhoto(String),
    /// Learn from the shop's history; answered by [`Message::Learned`].
    Learn,
    /// Work out the passes that remain and what to do next for these files; answered by one or more [`Message::Passes`].
    Passes(Vec<String>),
    /// Work out the set-ups of what waits to be cut in these files; answered by [`Message::Batched`].
    Batch(Vec<String>),
    /// What practice asks for: nothing of it is written; answered by [`Message::Practice`] or [`Message::Looked`].
    Practice(practice::Ask),
    /// Set back what was learned, from now on; answered by [`Message::ShopLoaded`].
    ResetLearning,
    /// Leave the program; not answered.
    Quit,
}

/// How something said is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tone {
    /// It is done, and safe.
    Done,
    /// A hint.
    Hint,
    /// It was not done.
    Trouble,
}

/// A line said to the user until the next action.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Said {
    /// How it is meant.
    pub tone: Tone,
    /// The words.
    pub text: String,
}

impl Said {
    /// It is done.
    pub fn done(text: impl Into<String>) -> Self {
        Self { tone: Tone::Done, text: text.into() }
    }

    /// A hint.
    pub fn hint(text: impl Into<String>) -> Self {
        Self { tone: Tone::Hint, text: text.into() }
    }

    /// It was not done.
    pub fn trouble(text: impl Into<String>) -> Self {
        Self { tone: Tone::Trouble, text: text.into() }
    }
}
