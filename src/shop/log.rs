//! The append-only log of one opening.
//!
//! # What it promises
//! - [`Log::append`] returns only when the event lasts ("kept").
//! - Bytes of kept events are never rewritten. A failed write or sync is rolled back to the last good
//!   length, and the log then refuses until it is reopened; a sync is never asked for twice.
//! - A file is changed on opening in two cases only, both with the shop's lock held: a torn last line
//!   is set aside in a file of its own and cut off; a whole last line without its line end gets one.

pub use super::contents::{Contents, Tail, Trouble};
use super::event::{Event, Record};
use super::files::{Files, Growing};
use super::line;
use std::io;
use std::path::{Path, PathBuf};

/// Something that happened to the file on opening and that the user is told.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Notice {
    /// A torn last line was moved to a file of its own.
    #[error(
        "the last line of {file} was torn ({bytes} bytes, as a power cut leaves it); it is set aside in {aside}; every event that was called kept is there"
    )]
    TornLineSetAside {
        /// The log's file name.
        file: String,
        /// Where the torn bytes are now.
        aside: String,
        /// How many there are.
        bytes: usize,
    },
    /// A torn last line was passed over, since nothing may be written here.
    #[error("the last line of {file} is not whole ({bytes} bytes); it is passed over")]
    TornLinePassedOver {
        /// The log's file name.
        file: String,
        /// How many bytes there are.
        bytes: usize,
    },
}

/// Why a log cannot be written to.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ReadOnly {
    /// Another program has the shop.
    #[error("{0}")]
    Held(String),
    /// The folder or the file cannot be written to.
    #[error("it cannot be written to ({0}); it is open for reading only")]
    Media(String),
    /// Opened for reading only because that was asked for.
    #[error("it was opened for reading only")]
    Asked,
    /// What the file holds.
    #[error("{0}")]
    Content(#[from] Trouble),
    /// A write or a sync failed; what was written was taken back.
    #[error("writing failed ({0}); nothing more is kept until the opening is opened again")]
    Failed(String),
}

/// Why an event was not kept.
#[derive(Debug, thiserror::Error)]
pub enum AppendError {
    /// The log is open for reading only.
    #[error("not kept: {0}")]
    ReadOnly(ReadOnly),
    /// The write or the sync failed; what was written was taken back.
    #[error("not kept: {path}: {source}; the log is as it was and refuses until it is opened again")]
    Failed {
        /// Which file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// Another program changed the file.
    #[error("not kept: {path} was changed by another program; open it again")]
    ChangedBelow {
        /// Which file.
        path: PathBuf,
    },
    /// Our fault: the event could not be written as JSON.
    #[error("not kept: the event could not be written as JSON: {0}")]
    Json(#[from] serde_json::Error),
}

/// An open log.
#[derive(Debug)]
pub struct Log {
    path: PathBuf,
    name: String,
    records: Vec<Record>,
    good_length: u64,
    writer: Result<Box<dyn Growing>, ReadOnly>,
    notices: Vec<Notice>,
}

impl Log {
    /// Opens the log at `path`. With `writing` an error, nothing is changed, whatever is found.
    pub fn open(files: &dyn Files, path: &Path, writing: Result<(), ReadOnly>) -> io::Result<Self> {
        let bytes = files.read(path)?;
        let contents = Contents::read(&bytes);
        let fallback = || path.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
        let mut log = Self {
            path: path.to_owned(),
            name: contents.header.map_or_else(fallback, |header| header.opening),
            records: contents.records,
            good_length: contents.good_length as u64,
            writer: Err(ReadOnly::Asked),
            notices: Vec::new(),
        };
        log.writer = match (contents.trouble, writing) {
            (Some(trouble), _) => Err(ReadOnly::Content(trouble)),
            (None, Err(why)) => Err(why),
            (None, Ok(())) => {
                log.mend(files, &bytes, contents.tail).map_err(|error| ReadOnly::Media(error.to_string()))
            }
        };
        if contents.tail == Tail::Torn && log.notices.is_empty() {
            let torn = bytes.len() - contents.good_length;
            log.notices.push(Notice::TornLinePassedOver { file: log.file_name(), bytes: torn });
        }
        Ok(log)
    }

    /// Makes the end of the file fit to be written to, and everything in it last.
    fn mend(&mut self, files: &dyn Files, bytes: &[u8], tail: Tail) -> io::Result<Box<dyn Growing>> {
        let mut file = files.grow(&self.path)?;
        let (good, torn) = bytes.split_at_checked(self.good_length as usize).unwrap_or((bytes, &[]));
        if tail == Tail::Torn {
            let aside = self.set_aside(files, torn)?;
            file.cut_off(self.good_length)?;
            self.notices.push(Notice::TornLineSetAside { file: self.file_name(), aside, bytes: torn.len() });
        }
        let line_end: &[u8] = if good.ends_with(b"\n") { b"" } else { b"\n" };
        // A program that was killed may have left whole lines, or a name, that do not last yet.
        if let Err(error) = write_whole(file.as_mut(), line_end).and_then(|()| file.sync()) {
            // What a failed sync dropped must not be there to build on.
            let _ = file.cut_off(self.good_length);
            return Err(error);
        }
        self.good_length += line_end.len() as u64;
        files.sync_dir(self.path.parent().unwrap_or(Path::new(".")))?;
        Ok(file)
    }

    fn set_aside(&self, files: &dyn Files, torn: &[u8]) -> io::Result<String> {
        let dir = self.path.parent().unwrap_or(Path::new("."));
        let taken = files.names(dir)?;
        let mut number = 1_u64;
        let mut aside = format!("{}.torn-{number}", self.file_name());
        while taken.contains(&aside) {
            number += 1;
            aside = format!("{}.torn-{number}", self.file_name());
        }
        files.replace(&dir.join(&aside), torn)?;
        Ok(aside)
    }

    /// Keeps `event`, said to have happened at `at` (UTC, RFC 3339). When this returns without an
    /// error, the event is on the disk.
    pub fn append(&mut self, event: Event, at: &str) -> Result<&Record, AppendError> {
        let file = self.writer.as_mut().map_err(|why| AppendError::ReadOnly(why.clone()))?;
        let record = Record { n: self.records.len() as u64 + 1, at: at.to_owned(), event };
        let text = line::write_record(&record)? + "\n";
        match file.len() {
            Ok(length) if length == self.good_length => {}
            Ok(_) => {
                self.writer = Err(ReadOnly::Failed("another program changed the file".to_owned()));
                return Err(AppendError::ChangedBelow { path: self.path.clone() });
            }
            Err(source) => return Err(self.failed(source)),
        }
        if let Err(source) = write_whole(file.as_mut(), text.as_bytes()).and_then(|()| file.sync()) {
            // Taking back may fail too; then the next opening finds a torn line, or a whole one that
            // was never called kept.
            let _ = file.cut_off(self.good_length);
            return Err(self.failed(source));
        }
        self.good_length += text.len() as u64;
        self.records.push(record);
        let kept = self.records.len() - 1;
        Ok(&self.records[kept])
    }

    fn failed(&mut self, source: io::Error) -> AppendError {
        self.writer = Err(ReadOnly::Failed(source.to_string()));
        AppendError::Failed { path: self.path.clone(), source }
    }

    /// The user's name for the opening.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Every event, oldest first.
    pub fn records(&self) -> &[Record] {
        &self.records
    }

    /// What happened on opening.
    pub fn notices(&self) -> &[Notice] {
        &self.notices
    }

    /// Why nothing can be appended, if so.
    pub fn read_only(&self) -> Option<&ReadOnly> {
        self.writer.as_ref().err()
    }

    fn file_name(&self) -> String {
        self.path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default()
    }
}

fn write_whole(file: &mut dyn Growing, mut bytes: &[u8]) -> io::Result<()> {
    while !bytes.is_empty() {
        match file.append(bytes) {
            Ok(0) => return Err(io::ErrorKind::WriteZero.into()),
            Ok(written) => bytes = bytes.get(written..).unwrap_or_default(),
            Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
            Err(error) => return Err(error),
        }
    }
    Ok(())
}
