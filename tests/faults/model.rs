//! A file system in memory that can lose its power, and whose operations can fail.
//!
//! What it assumes of a disk: bytes appended since the last good sync survive a power cut as a
//! prefix, or as zeros in place of a prefix, or not at all; a cut-off that was not synced may be
//! undone; a name that was not synced may be the old one. After a failed sync the bytes stay visible
//! until the power goes, but no later sync makes them last (what Linux does with dirty pages).

use evenreveal::shop::files::{Files, Growing, LockGuard, Locked};
use std::collections::BTreeMap;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard};

/// How an operation goes wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    /// The power goes before the operation has any effect.
    PowerBefore,
    /// The power goes after its effect, before the program hears of it.
    PowerAfter,
    /// The operation fails with this system error, once; nothing is done.
    Fails(i32),
    /// Half the bytes are written, then the operation fails with this system error, once.
    HalfThenFails(i32),
    /// Half the bytes are written and that is said: no error.
    HalfDone,
}

#[derive(Clone, Debug, Default)]
struct Inode {
    /// What a reader sees.
    now: Vec<u8>,
    /// What lasts for certain.
    synced: Vec<u8>,
    /// States that the unsynced operations passed through, oldest first (`now` is the last).
    passed: Vec<Vec<u8>>,
    /// Bytes dropped by a failed sync: visible, but a hole once the power goes.
    dropped: Option<std::ops::Range<usize>>,
}

#[derive(Debug, Default)]
struct Disk {
    files: BTreeMap<PathBuf, Inode>,
    /// Replacements whose names do not last yet, oldest first: the path, and the file that was there before.
    renamed: Vec<(PathBuf, Option<Inode>)>,
    dirs: Vec<PathBuf>,
    locked: Arc<AtomicBool>,
    operations: usize,
    fault: Option<(usize, Fault)>,
    dark: bool,
    syncs: usize,
}

/// The model, shared by everything that has a file open.
#[derive(Clone, Debug, Default)]
pub struct ModelFiles(Arc<Mutex<Disk>>);

/// Which of the possible states a power cut leaves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Survival {
    /// This share (in quarters) of the unsynced bytes survives.
    Prefix(usize),
    /// All but the last byte survive.
    AllButOne,
    /// The length survives, the unsynced bytes are zeros.
    Zeros,
    /// An earlier state that unsynced operations passed through.
    Earlier,
}

pub const SURVIVALS: [Survival; 7] = [
    Survival::Prefix(0),
    Survival::Prefix(1),
    Survival::Prefix(2),
    Survival::Prefix(4),
    Survival::AllButOne,
    Survival::Zeros,
    Survival::Earlier,
];

impl Disk {
    fn names_last(&mut self, dir: Option<&Path>) {
        self.renamed.retain(|(path, _)| path.parent() != dir);
    }
}

impl ModelFiles {
    /// With `fault` at operation number `at` (from 0).
    pub fn with_fault(&self, at: usize, fault: Fault) {
        let mut disk = self.disk();
        disk.operations = 0;
        disk.fault = Some((at, fault));
    }

    /// Nothing goes wrong any more.
    pub fn without_fault(&self) {
        self.disk().fault = None;
    }

    /// How many operations were asked for.
    pub fn operations(&self) -> usize {
        self.disk().operations
    }

    /// How many syncs succeeded.
    pub fn syncs(&self) -> usize {
        self.disk().syncs
    }

    /// Puts a file there as if it had always been.
    pub fn put(&self, path: &Path, bytes: &[u8]) {
        let inode = Inode { now: bytes.to_vec(), synced: bytes.to_vec(), ..Inode::default() };
        self.disk().files.insert(path.to_owned(), inode);
    }

    /// What a reader sees in the file.
    pub fn get(&self, path: &Path) -> Option<Vec<u8>> {
        self.disk().files.get(path).map(|inode| inode.now.clone())
    }

    /// The disk after a power cut.
    pub fn after_power_cut(&self, survival: Survival, new_names: bool) -> Self {
        let disk = self.disk();
        let mut files = BTreeMap::new();
        for (path, inode) in &disk.files {
            let mut inode = inode;
            let pending = disk.renamed.iter().find(|(renamed, _)| renamed == path && !new_names);
            if let Some((_, before)) = pending {
                match before {
                    Some(before) => inode = before,
                    None => continue,
                }
            }
            let bytes = inode.survivors(survival);
            files.insert(path.clone(), Inode { now: bytes.clone(), synced: bytes, ..Inode::default() });
        }
        Self(Arc::new(Mutex::new(Disk { files, dirs: disk.dirs.clone(), ..Disk::default() })))
    }

    fn disk(&self) -> MutexGuard<'_, Disk> {
        self.0.lock().unwrap()
    }

    /// Runs one operation with what was planned for it.
    fn operate<T>(&self, act: impl FnOnce(&mut Disk, Extent) -> io::Result<T>) -> io::Result<T> {
        let mut disk = self.disk();
        if disk.dark {
            return Err(io::Error::other("the power is off"));
        }
        let number = disk.operations;
        disk.operations += 1;
        let fault = disk.fault.filter(|(at, _)| *at == number).map(|(_, fault)| fault);
        match fault {
            None => act(&mut disk, Extent::Whole),
            Some(Fault::PowerBefore) => {
                disk.dark = true;
                Err(io::Error::other("the power is off"))
            }
            Some(Fault::PowerAfter) => {
                let _ = act(&mut disk, Extent::Whole);
                disk.dark = true;
                Err(io::Error::other("the power is off"))
            }
            Some(Fault::Fails(code)) => act(&mut disk, Extent::Nothing(code)),
            Some(Fault::HalfThenFails(code)) => {
                act(&mut disk, Extent::Half)?;
                Err(io::Error::from_raw_os_error(code))
            }
            Some(Fault::HalfDone) => act(&mut disk, Extent::Half),
        }
    }
}

/// How much of an operation is done.
#[derive(Clone, Copy)]
enum Extent {
    Whole,
    Half,
    Nothing(i32),
}

impl Extent {
    fn refused(self) -> io::Result<()> {
        match self {
            Self::Nothing(code) => Err(io::Error::from_raw_os_error(code)),
            Self::Whole | Self::Half => Ok(()),
        }
    }
}

impl Inode {
    fn change(&mut self, new: Vec<u8>) {
        self.passed.push(std::mem::replace(&mut self.now, new));
        let length = self.now.len();
        self.dropped =
            self.dropped.take().map(|range| range.start..range.end.min(length)).filter(|range| !range.is_empty());
    }

    fn sync(&mut self) {
        self.synced = self.now.clone();
        self.punch(&mut self.synced.clone()).clone_into(&mut self.synced);
        self.passed.clear();
    }

    /// `bytes` with a hole where a failed sync dropped some.
    fn punch<'a>(&self, bytes: &'a mut Vec<u8>) -> &'a Vec<u8> {
        if let Some(range) = &self.dropped {
            let end = range.end.min(bytes.len());
            bytes[range.start.min(end)..end].fill(0);
        }
        bytes
    }

    fn survivors(&self, survival: Survival) -> Vec<u8> {
        let state = match survival {
            Survival::Earlier => self.passed.get(self.passed.len() / 2).unwrap_or(&self.synced),
            _ => &self.now,
        };
        if state.len() <= self.synced.len() {
            // Nothing grew: either the cut-off lasts, or the synced state is back.
            return if survival == Survival::Prefix(0) { self.synced.clone() } else { state.clone() };
        }
        let base = self.synced.len();
        let grown = state.len() - base;
        let mut state = state.clone();
        match survival {
            Survival::Prefix(quarters) => state.truncate(base + grown * quarters / 4),
            Survival::AllButOne => state.truncate(base + grown - 1),
            Survival::Zeros => state[base..].fill(0),
            Survival::Earlier => {}
        }
        self.punch(&mut state).clone()
    }
}

fn missing() -> io::Error {
    io::ErrorKind::NotFound.into()
}

impl Files for ModelFiles {
    fn read(&self, path: &Path) -> io::Result<Vec<u8>> {
        self.operate(|disk, extent| {
            extent.refused()?;
            disk.files.get(path).map(|inode| inode.now.clone()).ok_or_else(missing)
        })
    }

    fn names(&self, dir: &Path) -> io::Result<Vec<String>> {
        self.operate(|disk, extent| {
            extent.refused()?;
            if !disk.dirs.iter().any(|known| known == dir) {
                return Err(missing());
            }
            let inside = disk.files.keys().filter(|path| path.parent() == Some(dir));
            Ok(inside.filter_map(|path| path.file_name()).map(|name| name.to_string_lossy().into_owned()).collect())
        })
    }

    fn make_dir(&self, dir: &Path) -> io::Result<()> {
        self.operate(|disk, extent| {
            extent.refused()?;
            let parents = dir.ancestors().map(Path::to_owned);
            disk.dirs.extend(parents);
            Ok(())
        })
    }

    fn grow(&self, path: &Path) -> io::Result<Box<dyn Growing>> {
        self.operate(|disk, extent| {
            extent.refused()?;
            disk.files.get(path).map(|_| ()).ok_or_else(missing)
        })?;
        Ok(Box::new(ModelGrowing { files: self.clone(), path: path.to_owned() }))
    }

    fn replace(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        // The content lasts before the name does: first the rename, then the folder's sync.
        self.operate(|disk, extent| {
            extent.refused()?;
            let before = disk.files.remove(path);
            let new = Inode { now: bytes.to_vec(), synced: bytes.to_vec(), ..Inode::default() };
            disk.files.insert(path.to_owned(), new);
            disk.renamed.push((path.to_owned(), before));
            Ok(())
        })?;
        self.operate(|disk, extent| {
            extent.refused()?;
            disk.names_last(path.parent());
            Ok(())
        })
    }

    fn sync_dir(&self, dir: &Path) -> io::Result<()> {
        self.operate(|disk, extent| {
            extent.refused()?;
            disk.names_last(Some(dir));
            Ok(())
        })
    }

    fn lock(&self, _: &Path, _: &str) -> io::Result<Locked> {
        self.operate(|disk, extent| {
            extent.refused()?;
            if disk.locked.swap(true, Ordering::SeqCst) {
                return Ok(Locked::Taken("{}".to_owned()));
            }
            Ok(Locked::Ours(Box::new(ModelLock(disk.locked.clone()))))
        })
    }
}

#[derive(Debug)]
struct ModelLock(Arc<AtomicBool>);

impl LockGuard for ModelLock {}

impl Drop for ModelLock {
    fn drop(&mut self) {
        self.0.store(false, Ordering::SeqCst);
    }
}

#[derive(Debug)]
struct ModelGrowing {
    files: ModelFiles,
    path: PathBuf,
}

impl ModelGrowing {
    fn on_inode<T>(&self, act: impl FnOnce(&mut Inode, Extent) -> io::Result<T>) -> io::Result<T> {
        self.files.operate(|disk, extent| act(disk.files.get_mut(&self.path).ok_or_else(missing)?, extent))
    }
}

impl Growing for ModelGrowing {
    fn len(&self) -> io::Result<u64> {
        self.on_inode(|inode, extent| {
            extent.refused()?;
            Ok(inode.now.len() as u64)
        })
    }

    fn append(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.on_inode(|inode, extent| {
            extent.refused()?;
            let taken = if matches!(extent, Extent::Half) { bytes.len() / 2 } else { bytes.len() };
            let grown = [inode.now.as_slice(), &bytes[..taken]].concat();
            inode.change(grown);
            Ok(taken)
        })
    }

    fn cut_off(&mut self, length: u64) -> io::Result<()> {
        self.on_inode(|inode, extent| {
            extent.refused()?;
            let cut = inode.now[..(length as usize).min(inode.now.len())].to_vec();
            inode.change(cut);
            Ok(())
        })
    }

    fn sync(&mut self) -> io::Result<()> {
        let done = self.on_inode(|inode, extent| {
            if let Err(error) = extent.refused() {
                // The system drops the dirty bytes and will not tell again.
                let dirty = inode.synced.len()..inode.now.len();
                if !dirty.is_empty() {
                    inode.dropped = Some(dirty);
                }
                return Err(error);
            }
            inode.sync();
            Ok(())
        });
        if done.is_ok() {
            self.files.disk().syncs += 1;
        }
        done
    }
}
