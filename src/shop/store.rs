//! The shop folder: `shop.json`, `shop.lock`, and one file for each opening under `openings/`.

use super::event::{FORMAT, Header};
use super::files::{Files, LockGuard, Locked, RealFiles};
use super::keeping::{self, SettingsError, SettingsFile};
use super::line;
use super::log::{Contents, Log, ReadOnly};
use super::name::{self, ENDING, NameError};
use super::opening::Opening;
use super::settings::Settings;
use super::shelf::{Shelf, in_parallel};
use super::summary::{Summary, WholeOpening};
use serde::{Deserialize, Serialize};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// What a program says of itself in the lock file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Holder {
    /// Its process number.
    pub pid: u32,
    /// The machine that it runs on.
    pub host: String,
    /// Since when (UTC, RFC 3339).
    pub since: String,
}

/// What the shop is opened for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Access {
    /// For reading only: nothing on the disk changes, no lock is taken.
    Look,
    /// For writing, if nobody else has it.
    Write(Holder),
}

/// What went wrong with the shop's files.
#[derive(Debug, thiserror::Error)]
pub enum ShopError {
    /// There is no such folder.
    #[error("there is no shop at {0}; give another with --shop DIR, or start evenreveal to make one there")]
    NotThere(PathBuf),
    /// The system names no folder for a user's data.
    #[error("this system names no folder for your data; say where the shop is with --shop DIR")]
    NoDataDir,
    /// The system refused.
    #[error("{path}: {source}")]
    Io {
        /// Which file or folder.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// The settings cannot be used; the file stays as it is.
    #[error(transparent)]
    Settings(#[from] SettingsError),
    /// Not a name.
    #[error("'{name}' cannot be the name of an opening: {error}")]
    Name {
        /// As given.
        name: String,
        /// Why not.
        error: NameError,
    },
    /// No opening of this name.
    #[error("there is no opening '{name}'{}", like(near))]
    NoOpening {
        /// As given.
        name: String,
        /// Names that are much like it.
        near: Vec<String>,
    },
    /// There is one already.
    #[error("there is an opening '{0}' already")]
    Exists(String),
    /// Two files say that they are the same opening.
    #[error("'{name}' is the name in two files, {} and {}; use the file's name, or move one away", files[0], files[1])]
    Twice {
        /// As given.
        name: String,
        /// The files.
        files: [String; 2],
    },
    /// The shop is open for reading only.
    #[error("the shop is not changed: {0}")]
    ReadOnly(ReadOnly),
    /// Our fault: the header could not be written as JSON.
    #[error("the header could not be written as JSON: {0}")]
    Json(#[from] serde_json::Error),
}

fn like(near: &[String]) -> String {
    if near.is_empty() {
        "; 'evenreveal list' shows those there are".to_owned()
    } else {
        format!("; did you mean {}?", near.join(" or "))
    }
}

/// A shop that is open.
#[derive(Debug)]
pub struct Shop {
    dir: PathBuf,
    files: Arc<dyn Files>,
    settings: SettingsFile,
    writing: Result<Box<dyn LockGuard>, ReadOnly>,
}

impl Shop {
    /// Opens the shop in `dir` on the machine's own file system.
    pub fn open(dir: &Path, access: &Access) -> Result<Self, ShopError> {
        Self::open_on(Arc::new(RealFiles), dir, access)
    }

    /// Opens the shop in `dir`. For writing, the folder is made where it is missing; where it cannot
    /// be written to, or another program has it, the shop is open for reading only and says why
    /// ([`Shop::read_only`]).
    pub fn open_on(files: Arc<dyn Files>, dir: &Path, access: &Access) -> Result<Self, ShopError> {
        let openings = dir.join("openings");
        let writing = match access {
            Access::Look => Err(ReadOnly::Asked),
            Access::Write(holder) => take_lock(files.as_ref(), dir, &openings, holder),
        };
        // A shop has its settings, or a folder of openings: some other folder is none, and is not an empty one either.
        let there = match files.names(dir) {
            Ok(names) => names.iter().any(|name| name == "shop.json") || files.names(&openings).is_ok(),
            Err(error) if error.kind() == io::ErrorKind::NotFound => false,
            Err(source) => return Err(ShopError::Io { path: dir.to_owned(), source }),
        };
        if !there {
            return Err(ShopError::NotThere(dir.to_owned()));
        }
        let settings = keeping::read(files.as_ref(), &dir.join("shop.json"))?;
        Ok(Self { dir: dir.to_owned(), files, settings, writing })
    }

    /// Its folder.
    pub fn dir(&self) -> &Path {
        &self.dir
    }

    /// What it owns and prefers.
    pub fn settings(&self) -> &Settings {
        self.settings.settings()
    }

    /// Has it no settings on disk yet?
    pub fn is_new(&self) -> bool {
        self.settings.is_new()
    }

    /// Why nothing can be kept, if so.
    pub fn read_only(&self) -> Option<&ReadOnly> {
        self.writing.as_ref().err()
    }

    /// Replaces the settings. What a newer build added to them stays.
    pub fn save_settings(&mut self, settings: Settings) -> Result<(), ShopError> {
        self.may_write()?;
        Ok(self.settings.save(self.files.as_ref(), &self.dir.join("shop.json"), settings)?)
    }

    /// Its logs, to be read from another thread.
    pub fn shelf(&self) -> Shelf {
        Shelf::new(Arc::clone(&self.files), self.openings())
    }

    /// Every opening, by name: what a list shows of it.
    pub fn list(&self) -> Result<Vec<Summary>, ShopError> {
        self.shelf().list()
    }

    /// Every opening as it stands, by name, for what looks over the whole shop (a cut list, a sheet). Read
    /// only: no torn line is set aside by this.
    pub fn all(&self) -> Result<Vec<WholeOpening>, ShopError> {
        let dir = self.openings();
        let files = self.log_names()?;
        let read = |file: &String| match self.files.read(&dir.join(file)) {
            Ok(bytes) => WholeOpening::of(Contents::read(&bytes), file),
            Err(error) => WholeOpening::of(Contents::unreadable(&error), file),
        };
        let mut all: Vec<WholeOpening> = in_parallel(&files, &read);
        all.sort_by(|a, b| (a.name.to_lowercase(), &a.file).cmp(&(b.name.to_lowercase(), &b.file)));
        Ok(all)
    }

    /// Makes a new opening, without any event yet.
    pub fn create_opening(&self, name: &str) -> Result<Opening, ShopError> {
        self.may_write()?;
        let name = checked(name)?;
        let files = self.log_names()?;
        if !self.files_named(name, &files).is_empty() {
            return Err(ShopError::Exists(name.to_owned()));
        }
        let taken = self.names()?;
        let path = self.openings().join(name::free_file_name(name, &taken));
        let header = Header { format: FORMAT.to_owned(), opening: name.to_owned() };
        let text = line::write_header(&header)? + "\n";
        let io = |source| ShopError::Io { path: path.clone(), source };
        self.files.make_dir(&self.openings()).map_err(io)?;
        self.files.replace(&path, text.as_bytes()).map_err(io)?;
        self.open_file(&path)
    }

    /// Opens the opening that the user calls `name` (or whose file is called so).
    pub fn opening(&self, name: &str) -> Result<Opening, ShopError> {
        let name = checked(name)?;
        let files = self.log_names()?;
        let found = self.files_named(name, &files);
        let by_file = || files.iter().find(|file| file.strip_suffix(ENDING) == Some(name)).cloned();
        let file = match found.as_slice() {
            [] => by_file(),
            [one] => Some(one.clone()),
            [a, b, ..] => match by_file() {
                Some(file) => Some(file),
                None => return Err(ShopError::Twice { name: name.to_owned(), files: [a.clone(), b.clone()] }),
            },
        };
        match file {
            Some(file) => self.open_file(&self.openings().join(file)),
            None => Err(ShopError::NoOpening { name: name.to_owned(), near: self.near(name, &files) }),
        }
    }

    fn open_file(&self, path: &Path) -> Result<Opening, ShopError> {
        let writing = self.writing.as_ref().map(|_| ()).map_err(Clone::clone);
        let log = Log::open(self.files.as_ref(), path, writing)
            .map_err(|source| ShopError::Io { path: path.to_owned(), source })?;
        Ok(Opening::new(log))
    }

    /// What it stands on.
    pub(super) fn files(&self) -> &dyn Files {
        self.files.as_ref()
    }

    pub(super) fn may_write(&self) -> Result<(), ShopError> {
        self.writing.as_ref().map(|_| ()).map_err(|why| ShopError::ReadOnly(why.clone()))
    }

    pub(super) fn openings(&self) -> PathBuf {
        self.dir.join("openings")
    }

    pub(super) fn names(&self) -> Result<Vec<String>, ShopError> {
        self.shelf().names()
    }

    pub(super) fn log_names(&self) -> Result<Vec<String>, ShopError> {
        self.shelf().log_names()
    }

    /// Files whose header says `name`.
    fn files_named(&self, name: &str, files: &[String]) -> Vec<String> {
        let names = in_parallel(files, &|file: &String| self.name_in(file));
        files
            .iter()
            .zip(names)
            .filter(|(_, found)| found.as_deref() == Some(name))
            .map(|(file, _)| file.clone())
            .collect()
    }

    pub(super) fn name_in(&self, file: &str) -> Option<String> {
        let bytes = self.files.read(&self.openings().join(file)).ok()?;
        let first = bytes.split(|&byte| byte == b'\n').next()?;
        line::read_header(first).ok().map(|header| header.opening)
    }

    fn near(&self, name: &str, files: &[String]) -> Vec<String> {
        let wanted = name.to_lowercase();
        let is_near = |other: &String| {
            let other = other.to_lowercase();
            other == wanted || other.starts_with(&wanted) || wanted.starts_with(&other)
        };
        files
            .iter()
            .filter_map(|file| self.name_in(file))
            .filter(is_near)
            .take(3)
            .map(|near| format!("'{near}'"))
            .collect()
    }
}

fn checked(name: &str) -> Result<&str, ShopError> {
    name::checked_name(name).map_err(|error| ShopError::Name { name: name.chars().take(60).collect(), error })
}

fn take_lock(files: &dyn Files, dir: &Path, openings: &Path, holder: &Holder) -> Result<Box<dyn LockGuard>, ReadOnly> {
    let media = |error: io::Error| ReadOnly::Media(error.to_string());
    files.make_dir(openings).map_err(media)?;
    let note = serde_json::to_string(holder).unwrap_or_default();
    match files.lock(&dir.join("shop.lock"), &note).map_err(media)? {
        Locked::Ours(guard) => Ok(guard),
        Locked::Taken(note) => Err(ReadOnly::Held(match serde_json::from_str::<Holder>(&note) {
            Ok(Holder { pid, host, since }) => {
                format!(
                    "another evenreveal has this shop (process {pid} on {host}, since {since}); close it there first"
                )
            }
            Err(_) => "another program has this shop; close it there first".to_owned(),
        })),
    }
}

/// What a file holds, for a salvaged copy or a check; nothing is changed.
pub fn contents(files: &dyn Files, path: &Path) -> io::Result<Contents> {
    Ok(Contents::read(&files.read(path)?))
}
