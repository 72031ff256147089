//! The few things the shop asks of a file system, as a trait, so that tests can put a power-cut
//! model in its place. [`RealFiles`] is the one that programs use.

use std::fmt;
use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, Read, Write};
use std::path::Path;

/// Largest file that is read at all: a log of a hundred thousand events is under half of it.
pub const LARGEST_FILE: u64 = 64 << 20;

/// What the shop asks of a file system.
pub trait Files: Send + Sync + fmt::Debug {
    /// The whole file.
    fn read(&self, path: &Path) -> io::Result<Vec<u8>>;
    /// Names of the regular files in `dir`, sorted.
    fn names(&self, dir: &Path) -> io::Result<Vec<String>>;
    /// Makes `dir` and its parents, and makes their names last.
    fn make_dir(&self, dir: &Path) -> io::Result<()>;
    /// An existing file, for growing at its end.
    fn grow(&self, path: &Path) -> io::Result<Box<dyn Growing>>;
    /// The file has `bytes` as its whole content, or stays as it was: never anything between.
    /// When this returns, content and name both last.
    fn replace(&self, path: &Path, bytes: &[u8]) -> io::Result<()>;
    /// The names in `dir` last when this returns without an error.
    fn sync_dir(&self, dir: &Path) -> io::Result<()>;
    /// Takes the lock that `path` stands for and writes `note` into it, or says that it is taken.
    fn lock(&self, path: &Path, note: &str) -> io::Result<Locked>;
}

/// A file that grows at its end.
pub trait Growing: Send + fmt::Debug {
    /// Its length in bytes.
    fn len(&self) -> io::Result<u64>;
    /// Has it no byte at all?
    fn is_empty(&self) -> io::Result<bool> {
        Ok(self.len()? == 0)
    }
    /// Puts some of `bytes` at its end; says how many.
    fn append(&mut self, bytes: &[u8]) -> io::Result<usize>;
    /// Cuts it off at `length`.
    fn cut_off(&mut self, length: u64) -> io::Result<()>;
    /// What was appended lasts when this returns without an error. Never asked twice for the same
    /// bytes: after a failed sync the system may report success for bytes it has dropped.
    fn sync(&mut self) -> io::Result<()>;
}

/// Outcome of asking for a lock.
#[derive(Debug)]
pub enum Locked {
    /// Ours until the guard is dropped.
    Ours(Box<dyn LockGuard>),
    /// Another program's; what it wrote about itself.
    Taken(String),
}

/// Holds a lock as long as it lives.
pub trait LockGuard: Send + Sync + fmt::Debug {}

impl LockGuard for Held {}

/// The file system of the machine.
#[derive(Clone, Copy, Debug, Default)]
pub struct RealFiles;

impl Files for RealFiles {
    fn read(&self, path: &Path) -> io::Result<Vec<u8>> {
        let file = File::open(path)?;
        let length = file.metadata()?.len();
        if length > LARGEST_FILE {
            return Err(io::Error::new(io::ErrorKind::FileTooLarge, "the file is over 64 MiB"));
        }
        let mut bytes = Vec::with_capacity(usize::try_from(length).unwrap_or(0) + 1);
        (&file).take(LARGEST_FILE).read_to_end(&mut bytes)?;
        Ok(bytes)
    }

    fn names(&self, dir: &Path) -> io::Result<Vec<String>> {
        let mut names = Vec::new();
        for entry in fs::read_dir(dir)? {
            let entry = entry?;
            if entry.file_type()?.is_file()
                && let Ok(name) = entry.file_name().into_string()
            {
                names.push(name);
            }
        }
        names.sort_unstable();
        Ok(names)
    }

    fn make_dir(&self, dir: &Path) -> io::Result<()> {
        if dir.is_dir() {
            return Ok(());
        }
        let parent = dir.parent().filter(|parent| !parent.as_os_str().is_empty());
        if let Some(parent) = parent {
            self.make_dir(parent)?;
        }
        match fs::create_dir(dir) {
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists && dir.is_dir() => {}
            other => other?,
        }
        sync_dir(parent.unwrap_or(Path::new(".")))
    }

    fn grow(&self, path: &Path) -> io::Result<Box<dyn Growing>> {
        Ok(Box::new(OpenOptions::new().read(true).append(true).open(path)?))
    }

    fn replace(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        // Found out only when it is put in place, what was written would be left beside it.
        if path.is_dir() {
            return Err(io::ErrorKind::IsADirectory.into());
        }
        let mut file = atomic_write_file::AtomicWriteFile::open(path)?;
        file.write_all(bytes)?;
        file.commit()
    }

    fn sync_dir(&self, dir: &Path) -> io::Result<()> {
        sync_dir(dir)
    }

    fn lock(&self, path: &Path, note: &str) -> io::Result<Locked> {
        let mut file = OpenOptions::new().read(true).write(true).create(true).truncate(false).open(path)?;
        match file.try_lock() {
            Ok(()) => {
                file.set_len(0)?;
                file.write_all(note.as_bytes())?;
                Ok(Locked::Ours(Box::new(Held(file))))
            }
            Err(TryLockError::WouldBlock) => {
                let mut note = Vec::new();
                // What the holder says of itself is a kindness, not a condition.
                let _ = file.take(4096).read_to_end(&mut note);
                Ok(Locked::Taken(String::from_utf8_lossy(&note).into_owned()))
            }
            Err(TryLockError::Error(error)) => Err(error),
        }
    }
}

/// A lock that ends when it is let go. Closing alone is not enough: a child just forked has the file open too until
/// it runs its own program, and the lock would last with it.
#[derive(Debug)]
struct Held(File);

impl Drop for Held {
    fn drop(&mut self) {
        // Where it cannot be unlocked, closing does it.
        let _ = self.0.unlock();
    }
}

impl Growing for File {
    fn len(&self) -> io::Result<u64> {
        Ok(self.metadata()?.len())
    }

    fn append(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.write(bytes)
    }

    fn cut_off(&mut self, length: u64) -> io::Result<()> {
        self.set_len(length)
    }

    fn sync(&mut self) -> io::Result<()> {
        self.sync_data()
    }
}

#[cfg(unix)]
fn sync_dir(dir: &Path) -> io::Result<()> {
    File::open(dir)?.sync_all()
}

#[cfg(not(unix))]
#[expect(clippy::unnecessary_wraps, reason = "same shape as on Unix; other systems cannot sync a folder")]
fn sync_dir(_: &Path) -> io::Result<()> {
    Ok(())
}
