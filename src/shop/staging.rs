//! Files that come into a folder together: each is written whole and synced under a name that counts for nothing,
//! and only when all are there do they get their own names.

use super::files::{Files, RealFiles};
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Ends the name of a file that is not in place yet; it begins with a dot.
const ENDING: &str = ".coming";

/// A file, and what the system said of it.
pub type FileFault = (PathBuf, io::Error);

/// Files that are written and not in place yet. Dropped, they are taken away again.
#[derive(Debug)]
pub struct Staged {
    dir: PathBuf,
    /// Where each is, and what it will be called.
    files: Vec<(PathBuf, PathBuf)>,
}

impl Staged {
    /// Writes `files` (plain names in `dir`, and their content); `progress` is told how many are written. After an
    /// error nothing is left. Whoever calls this holds the shop's lock: what an earlier one left is taken away.
    pub fn write(dir: &Path, files: &[(String, String)], mut progress: impl FnMut(usize)) -> Result<Self, FileFault> {
        sweep(dir)?;
        let mut staged = Self { dir: dir.to_owned(), files: Vec::new() };
        for (place, (name, text)) in files.iter().enumerate() {
            let path = dir.join(format!(".{name}{ENDING}"));
            staged.files.push((path.clone(), dir.join(name)));
            let written = File::create(&path).and_then(|mut file| {
                file.write_all(text.as_bytes())?;
                file.sync_data()
            });
            written.map_err(|error| (path, error))?;
            progress(place + 1);
        }
        Ok(staged)
    }

    /// Gives them their names, one after the other; answers how many. An error says how many had theirs by then.
    /// None that is there is overwritten.
    pub fn put_in_place(mut self) -> Result<usize, (usize, FileFault)> {
        let files = std::mem::take(&mut self.files);
        let mut failed = None;
        let mut made = 0;
        for (from, to) in &files {
            let put = if to.symlink_metadata().is_ok() {
                Err(io::Error::from(io::ErrorKind::AlreadyExists))
            } else {
                fs::rename(from, to)
            };
            if let Err(error) = put {
                failed = Some((to.clone(), error));
                break;
            }
            made += 1;
        }
        self.files = files.into_iter().skip(made).collect();
        if let Some(fault) = failed {
            return Err((made, fault));
        }
        RealFiles.sync_dir(&self.dir).map_err(|error| (made, (self.dir.clone(), error)))?;
        Ok(made)
    }
}

impl Drop for Staged {
    fn drop(&mut self) {
        for (from, _) in &self.files {
            // One that stays counts for nothing, and the next import sweeps it away.
            let _ = fs::remove_file(from);
        }
    }
}

/// Takes away what a program that was killed left behind.
fn sweep(dir: &Path) -> Result<(), FileFault> {
    let names = RealFiles.names(dir).map_err(|error| (dir.to_owned(), error))?;
    for name in names.iter().filter(|name| name.starts_with('.') && name.ends_with(ENDING)) {
        let path = dir.join(name);
        fs::remove_file(&path).map_err(|error| (path, error))?;
    }
    Ok(())
}
