//! The state of a session, and `update`.

mod filling;
mod taking;

use super::altering::AlteringEntry;
use super::asking::{FirstStart, NewOpening};
use super::batch::page::{self as batch, BatchPage};
use super::before_pages::{WholeShop, YearScreen};
use super::blanks::BlankScreen;
use super::corners::FlushEntry;
use super::counting;
use super::drafts::{DraftOf, Drafts, SheetOf};
use super::form::Field;
use super::hinging::HingeEntry;
use super::history::LogScreen;
use super::home::Home;
use super::knowing::Learned;
use super::learned::LearnedPage;
use super::message::{Action, Effect, Message, Said};
use super::next::Advised;
use super::noting::NoteEntry;
use super::pins::SwingScreen;
use super::planning::PlanScreen;
use super::practice::{self, Practice, page::PracticePage};
use super::printing::PrintEntry;
use super::readings::ReadingsEntry;
use super::recording::RecordCut;
use super::seen::{OpeningSeen, ShopSeen};
use super::sheets::Asked;
use super::shop_list::ShopList;
use super::surveying::SurveyEntry;
use super::tools_page::ToolsPage;
use super::undo;
use super::words;
pub use super::world::World;
pub use taking::update;

/// The screens, each with what belongs to it alone.
#[derive(Clone, Debug, PartialEq)]
pub enum Screen {
    /// The openings of the shop.
    Shop(ShopList),
    /// A new shop's three questions.
    FirstStart(FirstStart),
    /// A new opening.
    NewOpening(NewOpening),
    /// One opening, its picture and the next thing to do.
    Home(Home),
    /// Taking readings.
    Readings(Box<ReadingsEntry>),
    /// The plan.
    Plan(Box<PlanScreen>),
    /// Recording what was cut.
    Record(RecordCut),
    /// A strip glued on, or a leaf made anew.
    Altering(AlteringEntry),
    /// The log.
    Log(LogScreen),
    /// Writing a note.
    Note(NoteEntry),
    /// Printing a card or the shop sheet.
    Print(PrintEntry),
    /// Measuring the opening.
    Survey(SurveyEntry),
    /// The blank and its parts.
    Blank(BlankScreen),
    /// The gap through the year.
    Year(YearScreen),
    /// Swing and back-bevel.
    Swing(SwingScreen),
    /// Flush and wind.
    Flush(FlushEntry),
    /// How a leaf hangs.
    Hinges(HingeEntry),
    /// The whole shop's cut list, or which leaf goes where.
    Whole(WholeShop),
    /// Stock, tools and settings.
    Tools(Box<ToolsPage>),
    /// What was learned of the shop's tools.
    Learned(LearnedPage),
    /// Everything for the saw in one trip.
    Batch(Box<BatchPage>),
    /// A made-up door to practise on.
    Practice(Box<PracticePage>),
}

/// What lies over the screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Overlay {
    /// The keys.
    Help,
    /// Why the plan is what it is: which page of it, counted on from the first; the last is followed by the first.
    Why(i32),
    /// The next thing in large letters.
    Large,
}

/// A session.
#[derive(Clone, Debug, PartialEq)]
pub struct Session {
    /// The shop.
    pub shop: ShopSeen,
    /// The opening that is open.
    pub opened: Option<OpeningSeen>,
    /// The screens one came through; the last is shown.
    pub screens: Vec<Screen>,
    /// What lies over it.
    pub overlay: Option<Overlay>,
    /// What was said last.
    pub said: Option<Said>,
    /// What was typed and not kept.
    pub drafts: Drafts,
    /// What was learned of the shop's tools, once that is worked out.
    pub learned: Option<Learned>,
    /// What to do next in the opening that is open.
    pub advised: Advised,
    /// A made-up door, at work or left.
    pub practice: Option<Box<Practice>>,
}

/// What a screen wants after an action.
#[derive(Clone, Debug, PartialEq)]
pub enum Step {
    /// Back to the screen before.
    Leave,
    /// Another screen on top.
    Open(Screen),
    /// Another screen instead.
    Replace(Screen),
    /// Something lies over the screen.
    Overlay(Overlay),
    /// Something done.
    Run(Effect),
    /// Something said.
    Say(Said),
    /// What was typed is set aside.
    SetAside(DraftOf, Vec<Field>),
    /// What was set aside is kept now, or no longer wanted.
    Forget(DraftOf),
    /// This was asked of a set-up.
    Choose(SheetOf, Asked),
}

impl Session {
    /// A session on `shop`.
    pub fn new(shop: ShopSeen) -> Self {
        // Openings may be there before anybody was asked: imported, or entered by a command.
        let asks = shop.is_new && shop.read_only.is_none();
        let mut screens = vec![Screen::Shop(ShopList::default())];
        if asks {
            screens.push(Screen::FirstStart(FirstStart::new()));
        }
        let said = shop.notice.clone().map(Said::hint);
        Self {
            shop,
            opened: None,
            screens,
            overlay: None,
            said,
            drafts: Drafts::default(),
            learned: None,
            advised: Advised::default(),
            practice: None,
        }
    }

    /// The screen that is shown.
    pub fn screen(&self) -> Option<&Screen> {
        self.screens.last()
    }

    /// What a screen may see.
    pub fn world(&self) -> World<'_> {
        World { shop: &self.shop, opened: self.opened.as_ref(), drafts: &self.drafts, advised: &self.advised }
    }

    fn apply(&mut self, steps: Vec<Step>) -> Vec<Effect> {
        let mut effects = Vec::new();
        for step in steps {
            match step {
                Step::Leave => {
                    if self.screens.len() > 1
                        && let Some(Screen::Practice(_)) = self.screens.pop()
                    {
                        self.opened = None;
                    }
                    match self.screens.last() {
                        Some(Screen::Shop(_)) => {
                            self.opened = None;
                            effects.push(Effect::LoadShop);
                        }
                        // A cut may have been kept: both the list and the batch are read anew.
                        Some(Screen::Batch(_)) => effects.push(Effect::LoadShop),
                        _ => {}
                    }
                }
                Step::Open(screen) => self.screens.push(screen),
                Step::Replace(screen) => {
                    if self.screens.len() > 1 {
                        self.screens.pop();
                    }
                    self.screens.push(screen);
                }
                Step::Overlay(overlay) => self.overlay = Some(overlay),
                Step::Run(effect) => effects.push(effect),
                Step::Say(said) => self.said = Some(said),
                Step::SetAside(of, fields) => self.drafts.set_aside(of, &fields),
                Step::Forget(of) => self.drafts.forget(&of),
                Step::Choose(of, asked) => self.drafts.choose(of, asked),
            }
        }
        effects
    }

    fn act(&mut self, action: Action) -> Vec<Effect> {
        self.said = None;
        if action == Action::Quit {
            return vec![Effect::Quit];
        }
        if let Some(overlay) = self.overlay.take() {
            // Only where it is longer than the screen is known what a page is: the view turns them.
            let turned = match action {
                Action::Down | Action::PageDown => 1,
                Action::Up | Action::PageUp => -1,
                _ => 0,
            };
            if let (Overlay::Why(page), true) = (overlay, turned != 0) {
                self.overlay = Some(Overlay::Why(page.saturating_add(turned)));
                return Vec::new();
            }
            // Any other key closes it. What hides the screen keeps the key from it: nothing is done unseen.
            let hides = matches!(overlay, Overlay::Help | Overlay::Why(_));
            // At a station the feelers act under the large letters, too: both hands are at the door.
            let works = matches!(self.screen(), Some(Screen::Readings(readings)) if readings.station().is_some());
            if overlay == Overlay::Large && works && !matches!(action, Action::Large | Action::Back | Action::Help) {
                self.overlay = Some(Overlay::Large);
            } else if hides || matches!(action, Action::Large | Action::Back | Action::Enter) {
                return Vec::new();
            }
        }
        if action == Action::Large {
            self.overlay = Some(Overlay::Large);
            return Vec::new();
        }
        if action == Action::Help {
            self.overlay = Some(Overlay::Help);
            return Vec::new();
        }
        // On the page of tools it is a setting that is taken back, not an event.
        let settings = matches!(self.screen(), Some(Screen::Tools(_)));
        if matches!(action, Action::Undo | Action::Redo) && !settings {
            if undo::waits_for_a_form(self.screen()) {
                self.said = Some(Said::hint(words::FORM_FIRST));
                return Vec::new();
            }
            let steps = undo::steps(action == Action::Undo, self.opened.as_ref(), self.shop.show());
            return self.apply(steps);
        }
        let Self { shop, opened, screens, drafts, advised, .. } = self;
        let world = World { shop, opened: opened.as_ref(), drafts, advised };
        let Some(screen) = screens.last_mut() else { return vec![Effect::Quit] };
        let steps = match screen {
            Screen::Shop(list) => list.act(action, world),
            Screen::FirstStart(first) => first.act(action, world),
            Screen::NewOpening(new) => new.act(action, world),
            Screen::Home(_) => Home::act(action, world),
            Screen::Readings(readings) => readings.act(action, world),
            Screen::Plan(plan) => plan.act(action, world),
            Screen::Record(record) => record.act(action, world),
            Screen::Altering(entry) => entry.act(action, world),
            Screen::Log(log) => log.act(action, world),
            Screen::Note(note) => note.act(action, world),
            Screen::Print(print) => print.act(action),
            Screen::Survey(entry) => entry.act(action, world),
            Screen::Blank(blank) => blank.act(action, world),
            Screen::Year(page) => page.act(action, world),
            Screen::Swing(swing) => swing.act(action, world),
            Screen::Flush(entry) => entry.act(action, world),
            Screen::Hinges(entry) => entry.act(action, world),
            Screen::Whole(page) => page.act(action, world),
            Screen::Tools(page) => page.act(action, world),
            Screen::Learned(page) => page.act(action, world),
            Screen::Batch(page) => page.act(action),
            Screen::Practice(page) => page.act(action, world),
        };
        // What is asked about a reading takes more words than large letters have room for.
        if matches!(self.screen(), Some(Screen::Readings(readings)) if readings.asked.is_some() || readings.station().is_none())
        {
            self.overlay = None;
        }
        if self.form().is_some_and(|form| form.full) {
            self.said = Some(Said::trouble(super::left_words::field_full()));
        }
        self.apply(steps)
    }

    pub(super) fn kept(&mut self, opening: OpeningSeen, numbers: &[u64]) -> Vec<Effect> {
        self.opened = Some(opening);
        let Self { shop, opened, screens, drafts, advised, .. } = self;
        let world = World { shop, opened: opened.as_ref(), drafts, advised };
        let back = BatchPage::cut_is_done(screens, opened.as_ref());
        let steps = match screens.last_mut() {
            Some(Screen::Record(_)) if back => vec![Step::Leave],
            Some(Screen::Readings(readings)) => readings.kept(numbers, world),
            Some(Screen::Plan(_)) => PlanScreen::kept(numbers, world),
            Some(Screen::Record(record)) => record.kept(numbers, world),
            Some(Screen::NewOpening(new)) => new.kept(),
            Some(Screen::Note(note)) => note.kept(world),
            Some(Screen::Survey(entry)) => entry.kept(world),
            Some(Screen::Blank(blank)) => blank.kept(world),
            Some(Screen::Flush(entry)) => entry.kept(world),
            Some(Screen::Hinges(entry)) => entry.kept(world),
            Some(Screen::Swing(swing)) => swing.kept(world),
            Some(Screen::Altering(entry)) => entry.kept(world),
            Some(Screen::Log(log)) => log.kept(world),
            Some(Screen::Practice(page)) => page.kept(world),
            _ => Vec::new(),
        };
        if self.said.is_none() {
            self.said = Some(Said::done(words::kept(numbers)));
        }
        self.apply(steps)
    }
}
