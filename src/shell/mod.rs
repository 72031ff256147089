//! The event loop: terminal, clock, effects.
//!
//! - [`terminal`]: the terminal taken and given back, whatever happens. [`watch`]: signals, and a
//!   terminal that vanishes. [`runner`]: effects on the shop's files.
//! - [`worker`]: a thread for what may take longer than a frame. [`desk`]: what it does.
//! - [`typed`]: what is typed and not kept yet, on the disk.
//! - [`printing`]: cards and the shop sheet as files. [`here`]: the clock, and who this program is.
//!
//! Nothing here knows of [`crate::cli`], which takes from here what a command needs without a screen.

pub mod desk;
pub mod here;
pub mod printing;
pub mod runner;
pub mod terminal;
pub mod typed;
pub mod watch;
pub mod worker;

use crate::bench::{Effect, Message, Session, update};
use crate::screen::{self, keymap, theme};
use crate::shop::{ShopChoice, ShopError};
use ratatui::crossterm::event::{self, Event};
use runner::Runner;
use std::collections::VecDeque;
use std::time::Duration;
use terminal::Screen;
use theme::Theme;
use typed::Typed;
use watch::Watch;

/// Longest wait for a key before the signals are looked at.
const LOOK_EVERY: Duration = Duration::from_millis(50);
/// The same while the worker is at work.
const LOOK_SOON: Duration = Duration::from_millis(10);
/// Wait for what has come in already. (Told to wait for nothing at all, the reader of the terminal does not look.)
const AT_ONCE: Duration = Duration::from_micros(500);
/// Longest wait of a key for a plan that is being worked out: keys typed ahead find it there.
const KEY_WAITS: Duration = Duration::from_millis(40);

/// Why the screen ended early.
#[derive(Debug, thiserror::Error)]
pub enum ShellError {
    /// Input or output is no terminal.
    #[error("the screen needs a terminal; 'evenreveal --help' lists the commands that do without one")]
    NoTerminal,
    /// The shop cannot be opened.
    #[error(transparent)]
    Shop(#[from] ShopError),
    /// The terminal failed.
    #[error("the terminal failed: {0}")]
    Terminal(#[from] std::io::Error),
}

/// Opens the screen on the shop `choice`; returns when the user quits, or when a signal or a vanished
/// terminal ends it. `first` is fed in before anything is shown. Everything is on the disk before the screen says so, so nothing is lost then.
pub fn run(choice: &ShopChoice, contrast: bool, first: Option<Message>) -> Result<(), ShellError> {
    if !terminal::is_one() {
        return Err(ShellError::NoTerminal);
    }
    let mut runner = Runner::open(choice)?;
    let mut session = Session::new(runner.seen()?);
    let mut typed = Typed::resume(&mut session, &runner);
    runner.aside();
    if let Some(first) = first {
        deal(first, &mut session, &mut runner);
    }
    let looks = Looks { no_color: std::env::var("NO_COLOR").ok(), contrast };
    let watch = Watch::start()?;
    let mut screen = Screen::open()?;
    let ended = session_loop(&mut session, &mut runner, &mut typed, &watch, &looks, &mut screen);
    typed.save(&mut session, &runner);
    watch.ended();
    drop(screen);
    ended
}

/// What decides which palette is used.
struct Looks {
    no_color: Option<String>,
    /// Asked for on the command line.
    contrast: bool,
}

impl Looks {
    /// The settings may change it at any time.
    fn theme(&self, session: &Session) -> Theme {
        let high = self.contrast || session.shop.settings.contrast;
        let otherwise = if high { theme::Palette::HighContrast } else { theme::Palette::default() };
        Theme::from_no_color(self.no_color.as_deref(), otherwise)
    }
}

fn session_loop(
    session: &mut Session,
    runner: &mut Runner,
    typed: &mut Typed,
    watch: &Watch,
    looks: &Looks,
    screen: &mut Screen,
) -> Result<(), ShellError> {
    screen.draw(|frame| screen::view(session, looks.theme(session), frame))?;
    deal(Message::Shown, session, runner);
    loop {
        if watch.wants_end() {
            return Ok(());
        }
        let mut answered = false;
        while let Some(answer) = runner.answered(Duration::ZERO) {
            deal(answer, session, runner);
            answered = true;
        }
        if typed.rest(session, runner) || answered {
            screen.draw(|frame| screen::view(session, looks.theme(session), frame))?;
        }
        if !event::poll(if runner.waits() { LOOK_SOON } else { LOOK_EVERY })? {
            continue;
        }
        typed.touched();
        // All that has come in is dealt with before the screen is drawn again.
        loop {
            if take(&event::read()?, session, runner) {
                return Ok(());
            }
            if watch.wants_end() || !event::poll(AT_ONCE)? {
                break;
            }
        }
        screen.draw(|frame| screen::view(session, looks.theme(session), frame))?;
    }
}

/// Deals with one event of the terminal; answers whether the user leaves.
fn take(event: &Event, session: &mut Session, runner: &mut Runner) -> bool {
    let key = match event {
        Event::Key(key) => key,
        Event::Paste(text) => return deal(Message::Pasted(text.clone()), session, runner),
        _ => return false,
    };
    let plan_awaited =
        |session: &Session| matches!(session.screen(), Some(crate::bench::Screen::Plan(plan)) if plan.answer.is_none());
    if plan_awaited(session)
        && let Some(answer) = runner.answered(KEY_WAITS)
    {
        deal(answer, session, runner);
    }
    keymap::action(keymap::place(session), *key).is_some_and(|action| deal(Message::Action(action), session, runner))
}

/// Feeds `message` in, runs what it wants done, feeds the answers in; answers whether the user leaves.
pub fn deal(message: Message, session: &mut Session, runner: &mut Runner) -> bool {
    let mut effects: VecDeque<Effect> = update(session, message).into();
    while let Some(effect) = effects.pop_front() {
        let Some(effect) = runner.give(effect) else { continue };
        match runner.run(effect) {
            Some(answer) => effects.extend(update(session, answer)),
            None => return true,
        }
    }
    false
}
