//! A folder that is there whole or not at all.

use super::files::{Files, RealFiles};
use std::io;
use std::path::{Path, PathBuf};

/// Why a folder was not made.
#[derive(Debug)]
pub enum MakeError<E> {
    /// Something is in it.
    Occupied(PathBuf),
    /// The system refused.
    Io {
        /// Which file or folder.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// The caller found it not whole.
    NotWhole(E),
}

/// Makes `dir` with `files` in it: under another name beside it first, looked at by `whole`, then renamed.
/// An empty folder of that name may be there. After an error nothing is left.
pub fn make_whole<E>(
    dir: &Path,
    files: &[(&str, &[u8])],
    whole: impl FnOnce(&Path) -> Result<(), E>,
) -> Result<(), MakeError<E>> {
    let dir = std::path::absolute(dir).map_err(|source| MakeError::Io { path: dir.to_owned(), source })?;
    let there = match std::fs::read_dir(&dir).map(std::iter::Iterator::count) {
        Ok(entries) if entries > 0 => return Err(MakeError::Occupied(dir)),
        Ok(_) => true,
        Err(error) if error.kind() == io::ErrorKind::NotFound => false,
        Err(source) => return Err(MakeError::Io { path: dir, source }),
    };
    let name = dir.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let parent = dir.parent().unwrap_or(Path::new(".")).to_owned();
    let staged = parent.join(format!(".{name}.partial-{}", std::process::id()));
    let made = stage(&staged, &parent, files).map_err(|(path, source)| MakeError::Io { path, source });
    let made = made.and_then(|()| whole(&staged).map_err(MakeError::NotWhole)).and_then(|()| {
        let io = |source| MakeError::Io { path: dir.clone(), source };
        // Only an empty folder goes: a file that came meanwhile keeps it, and the rename then fails.
        if there {
            std::fs::remove_dir(&dir).map_err(io)?;
        }
        std::fs::rename(&staged, &dir).and_then(|()| RealFiles.sync_dir(&parent)).map_err(io)
    });
    if made.is_err() {
        let _ = std::fs::remove_dir_all(&staged);
    }
    made
}

fn stage(staged: &Path, parent: &Path, files: &[(&str, &[u8])]) -> Result<(), (PathBuf, io::Error)> {
    let at = |path: &Path| {
        let path = path.to_owned();
        move |error| (path, error)
    };
    RealFiles.make_dir(parent).map_err(at(parent))?;
    // Left by a program that was killed under the same number.
    match std::fs::remove_dir_all(staged) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => return Err((staged.to_owned(), error)),
        _ => {}
    }
    RealFiles.make_dir(staged).map_err(at(staged))?;
    for (within, bytes) in files {
        let path = staged.join(within);
        let folder = path.parent().unwrap_or(staged);
        RealFiles.make_dir(folder).map_err(at(folder))?;
        RealFiles.replace(&path, bytes).map_err(at(&path))?;
    }
    Ok(())
}
