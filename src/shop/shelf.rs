//! The logs of a shop, only to be read: what a worker may do beside the one that writes.

use super::files::Files;
use super::log::Contents;
use super::name::ENDING;
use super::replay::OpeningState;
use super::store::ShopError;
use super::summary::Summary;
use std::io;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

/// The folder of logs.
#[derive(Clone, Debug)]
pub struct Shelf {
    files: Arc<dyn Files>,
    dir: PathBuf,
}

impl Shelf {
    pub(super) fn new(files: Arc<dyn Files>, dir: PathBuf) -> Self {
        Self { files, dir }
    }

    /// Every opening, by name: what a list shows of it.
    pub fn list(&self) -> Result<Vec<Summary>, ShopError> {
        let files = self.log_names()?;
        let read = |file: &String| Summary::read(self.files.as_ref(), &self.dir.join(file), file);
        let mut listed: Vec<Summary> = in_parallel(&files, &read);
        listed.sort_by_cached_key(|one| (one.name.to_lowercase(), one.file.clone()));
        Ok(listed)
    }

    /// What one log amounts to, as far as it can be trusted: the opening's name and its state.
    pub fn state(&self, file: &str) -> io::Result<(String, OpeningState)> {
        let log = self.log(file)?;
        Ok((log.name(), log.state()))
    }

    fn log<'a>(&self, file: &'a str) -> io::Result<LogRead<'a>> {
        Ok(LogRead { file, bytes: self.files.read(&self.dir.join(file))? })
    }

    /// `work` for each of `files` that can be read, on a few threads; those left when `stop` is set are
    /// left out.
    pub fn each<R: Send>(
        &self,
        files: &[String],
        stop: &AtomicBool,
        work: &(dyn Fn(&LogRead<'_>) -> R + Sync),
    ) -> Vec<(String, R)> {
        let one = |file: &String| {
            if stop.load(Ordering::Relaxed) {
                return None;
            }
            Some((file.clone(), work(&self.log(file).ok()?)))
        };
        in_parallel_from(2, files, &one).into_iter().flatten().collect()
    }

    pub(super) fn names(&self) -> Result<Vec<String>, ShopError> {
        match self.files.names(&self.dir) {
            Ok(names) => Ok(names),
            Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(Vec::new()),
            Err(source) => Err(ShopError::Io { path: self.dir.clone(), source }),
        }
    }

    /// Names of the logs.
    pub fn log_names(&self) -> Result<Vec<String>, ShopError> {
        Ok(self.names()?.into_iter().filter(|name| name.ends_with(ENDING) && !name.starts_with('.')).collect())
    }
}

/// One log, read but not looked into yet.
#[derive(Debug)]
pub struct LogRead<'a> {
    /// Its file's name.
    pub file: &'a str,
    bytes: Vec<u8>,
}

impl LogRead<'_> {
    /// The fingerprint of its whole content.
    pub fn fingerprint(&self) -> u64 {
        super::figures::fingerprint([self.bytes.as_slice()])
    }

    /// The opening's name; its file's, where the header cannot be read.
    pub fn name(&self) -> String {
        let first = self.bytes.split(|&byte| byte == b'\n').next().unwrap_or_default();
        super::line::read_header(first).map_or_else(|_| self.file.to_owned(), |header| header.opening)
    }

    /// What it amounts to, as far as it can be trusted.
    pub fn state(&self) -> OpeningState {
        OpeningState::of(&Contents::read(&self.bytes))
    }
}

/// Applies `work` to every item on a few threads; results in the order of the items.
pub(super) fn in_parallel<T: Sync, R: Send>(items: &[T], work: &(dyn Fn(&T) -> R + Sync)) -> Vec<R> {
    in_parallel_from(32, items, work)
}

/// The same from `least` items on: work that takes long is worth a thread sooner. Each thread takes the next item
/// that is left, so that uneven work is shared evenly.
fn in_parallel_from<T: Sync, R: Send>(least: usize, items: &[T], work: &(dyn Fn(&T) -> R + Sync)) -> Vec<R> {
    let threads = std::thread::available_parallelism().map_or(1, usize::from).min(8).min(items.len());
    if items.len() < least || threads < 2 {
        return items.iter().map(work).collect();
    }
    let next = AtomicUsize::new(0);
    let share = || {
        let mut done = Vec::with_capacity(items.len() / threads + 1);
        loop {
            let place = next.fetch_add(1, Ordering::Relaxed);
            let Some(item) = items.get(place) else { return done };
            done.push((place, work(item)));
        }
    };
    let mut done: Vec<(usize, R)> = std::thread::scope(|scope| {
        let running: Vec<_> = (0..threads).map(|_| scope.spawn(share)).collect();
        running
            .into_iter()
            .flat_map(|thread| match thread.join() {
                Ok(results) => results,
                Err(panic) => std::panic::resume_unwind(panic),
            })
            .collect()
    });
    done.sort_unstable_by_key(|(place, _)| *place);
    done.into_iter().map(|(_, result)| result).collect()
}
