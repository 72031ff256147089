//! A thread for what may take longer than a frame: looking, learning, counting passes. It only reads logs.

use super::desk::Desk;
use super::desk::practice;
use crate::bench::knowing::LookAsked;
use crate::bench::practice::Ask;
use crate::bench::{Effect, Message};
use crate::shop::settings::Settings;
use std::collections::VecDeque;
use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};
use std::time::Duration;

/// What the worker is given.
#[derive(Debug)]
enum Job {
    Look(Box<LookAsked>),
    Learn(Settings),
    Passes(Vec<String>, Settings),
    Batch(Vec<String>, Settings),
    Practice(Ask),
    Listed(Vec<(String, u64)>),
}

/// The worker, as the event loop holds it. It ends once this is dropped.
#[derive(Debug)]
pub struct Worker {
    jobs: Sender<Job>,
    answers: Receiver<Message>,
}

impl Worker {
    /// Starts it; nothing if no thread can be had.
    pub fn start(desk: Desk) -> Option<Self> {
        let (jobs, to_do) = channel();
        let (done, answers) = channel();
        std::thread::Builder::new().name("worker".to_owned()).spawn(move || work(desk, &to_do, &done)).ok()?;
        Some(Self { jobs, answers })
    }

    /// Gives it `effect`, if it is work for it and it lives; the effect comes back if not.
    pub fn give(&self, effect: Effect, settings: &Settings) -> Option<Effect> {
        let job = match effect {
            Effect::Look(asked) => Job::Look(asked),
            Effect::Learn => Job::Learn(settings.clone()),
            Effect::Passes(files) => Job::Passes(files, settings.clone()),
            Effect::Batch(files) => Job::Batch(files, settings.clone()),
            Effect::Practice(ask) => Job::Practice(ask),
            other => return Some(other),
        };
        match self.jobs.send(job) {
            Ok(()) => None,
            Err(back) => match back.0 {
                Job::Look(asked) => Some(Effect::Look(asked)),
                Job::Learn(_) => Some(Effect::Learn),
                Job::Passes(files, _) => Some(Effect::Passes(files)),
                Job::Batch(files, _) => Some(Effect::Batch(files)),
                Job::Practice(ask) => Some(Effect::Practice(ask)),
                Job::Listed(_) => None,
            },
        }
    }

    /// The openings were listed anew.
    pub fn listed(&self, openings: Vec<(String, u64)>) {
        // A worker that ended has nothing to forget.
        let _ = self.jobs.send(Job::Listed(openings));
    }

    /// An answer, if there is one within `wait`.
    pub fn answered(&self, wait: Duration) -> Option<Message> {
        self.answers.recv_timeout(wait).ok()
    }
}

/// Rows that are counted at a time, on a few threads.
const FEW: usize = 4;

/// Counts a few of the rows that wait, all under the same settings.
fn few(desk: &mut Desk, rows: &mut VecDeque<(String, Settings)>) -> Message {
    let Some((first, settings)) = rows.pop_front() else { return Message::Passes(Vec::new()) };
    let mut files = vec![first];
    while files.len() < FEW && rows.front().is_some_and(|(_, other)| *other == settings) {
        files.extend(rows.pop_front().map(|(file, _)| file));
    }
    let mut found = desk.passes(&files, &settings);
    // One that cannot be read has none.
    let left_out: Vec<String> = files.into_iter().filter(|file| !found.iter().any(|(one, _)| one == file)).collect();
    found.extend(left_out.into_iter().map(|file| (file, None)));
    Message::Passes(found)
}

/// Rows are counted a few at a time, so that what the user waits for need not wait for them.
fn work(mut desk: Desk, jobs: &Receiver<Job>, done: &Sender<Message>) {
    let mut rows: VecDeque<(String, Settings)> = VecDeque::new();
    loop {
        let job = if rows.is_empty() {
            match jobs.recv() {
                Ok(job) => Some(job),
                Err(_) => return,
            }
        } else {
            match jobs.try_recv() {
                Ok(job) => Some(job),
                Err(TryRecvError::Empty) => None,
                Err(TryRecvError::Disconnected) => return,
            }
        };
        let answer = match job {
            Some(Job::Look(asked)) => Message::Looked(Box::new(desk.look(&asked))),
            Some(Job::Learn(settings)) => Message::Learned(Box::new(desk.learn(&settings))),
            Some(Job::Practice(ask)) => practice(ask),
            Some(Job::Batch(files, settings)) => Message::Batched(desk.batch(&files, &settings)),
            Some(Job::Listed(openings)) => {
                desk.listed(&openings);
                continue;
            }
            Some(Job::Passes(files, settings)) => {
                // Those asked for last are looked at now.
                for file in files.into_iter().rev() {
                    rows.push_front((file, settings.clone()));
                }
                continue;
            }
            None => {
                let answer = few(&mut desk, &mut rows);
                if rows.is_empty() {
                    desk.save();
                }
                answer
            }
        };
        if done.send(answer).is_err() {
            return;
        }
    }
}
