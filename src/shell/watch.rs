//! Signals, and a terminal that vanishes.
//!
//! The event loop looks at a flag. If it does not (crossterm 0.29 spins for ever inside its own wait
//! when the terminal vanishes: its issue 793), a watching thread ends the program after a short grace.
//! Nothing is lost by that: an event is on the disk before the screen calls it kept.

use rustix::event::{PollFd, PollFlags, Timespec, poll};
use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM};
use std::io;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::Duration;

/// How often the watching thread looks at the flags.
const LOOK_EVERY: Duration = Duration::from_millis(200);
/// How long the event loop has to end by itself; a sync of a slow disk fits in.
const GRACE: Duration = Duration::from_secs(2);
/// Exit code when the watching thread had to end the program.
const ENDED_BY_WATCH: i32 = 1;

/// The flags.
#[derive(Debug)]
pub struct Watch {
    wanted: Arc<AtomicBool>,
    ended: Arc<AtomicBool>,
}

impl Watch {
    /// Listens to SIGTERM, SIGHUP and SIGINT, and watches the terminal.
    pub fn start() -> io::Result<Self> {
        let wanted = Arc::new(AtomicBool::new(false));
        let ended = Arc::new(AtomicBool::new(false));
        for signal in [SIGTERM, SIGHUP, SIGINT] {
            signal_hook::flag::register(signal, Arc::clone(&wanted))?;
        }
        let (in_wanted, in_ended) = (Arc::clone(&wanted), Arc::clone(&ended));
        thread::Builder::new().name("watch".to_owned()).spawn(move || watch(&in_wanted, &in_ended))?;
        Ok(Self { wanted, ended })
    }

    /// Should the event loop end?
    pub fn wants_end(&self) -> bool {
        self.wanted.load(Ordering::Relaxed)
    }

    /// The event loop has ended.
    pub fn ended(&self) {
        self.ended.store(true, Ordering::Relaxed);
    }
}

fn watch(wanted: &AtomicBool, ended: &AtomicBool) {
    while !wanted.load(Ordering::Relaxed) {
        if ended.load(Ordering::Relaxed) {
            return;
        }
        if is_gone() {
            wanted.store(true, Ordering::Relaxed);
        }
    }
    thread::sleep(GRACE);
    if !ended.load(Ordering::Relaxed) {
        super::terminal::give_back_from_aside();
        std::process::exit(ENDED_BY_WATCH);
    }
}

/// Waits a moment; answers whether the terminal hung up meanwhile.
fn is_gone() -> bool {
    let stdin = io::stdin();
    // No events asked for: a hang-up and an error are reported all the same.
    let mut watched = [PollFd::new(&stdin, PollFlags::empty())];
    let wait = Timespec { tv_sec: 0, tv_nsec: i64::from(LOOK_EVERY.subsec_nanos()) };
    match poll(&mut watched, Some(&wait)) {
        Ok(count) if count > 0 => {
            let seen = watched.iter().map(PollFd::revents).fold(PollFlags::empty(), |all, some| all | some);
            seen.intersects(PollFlags::HUP | PollFlags::ERR | PollFlags::NVAL)
        }
        _ => false,
    }
}
