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
use std::sync::atomic::{AtomicBool, Ordering};

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
        let contents = Contents::read(&self.files.read(&self.dir.join(file))?);
        let name = contents.header.as_ref().map_or_else(|| file.to_owned(), |header| header.opening.clone());
        Ok((name, OpeningState::replay(&contents.records)))
    }

    /// `work` for each of `files` that can be read, on a few threads; those left when `stop` is set are
    /// left out.
    pub fn each<R: Send>(
        &self,
        files: &[String],
        stop: &AtomicBool,
        work: &(dyn Fn(&str, &str, &OpeningState) -> R + Sync),
    ) -> Vec<(String, R)> {
        let one = |file: &String| {
            if stop.load(Ordering::Relaxed) {
                return None;
            }
            let (name, state) = self.state(file).ok()?;
            Some((file.clone(), work(file, &name, &state)))
        };
        in_parallel(files, &one).into_iter().flatten().collect()
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

/// Applies `work` to every item on a few threads; results in the order of the items.
pub(super) fn in_parallel<T: Sync, R: Send>(items: &[T], work: &(dyn Fn(&T) -> R + Sync)) -> Vec<R> {
    let threads = std::thread::available_parallelism().map_or(1, usize::from).min(8);
    if items.len() < 32 || threads < 2 {
        return items.iter().map(work).collect();
    }
    let share = items.len().div_ceil(threads);
    std::thread::scope(|scope| {
        let running: Vec<_> =
            items.chunks(share).map(|chunk| scope.spawn(move || chunk.iter().map(work).collect::<Vec<_>>())).collect();
        running
            .into_iter()
            .flat_map(|thread| match thread.join() {
                Ok(results) => results,
                Err(panic) => std::panic::resume_unwind(panic),
            })
            .collect()
    })
}
