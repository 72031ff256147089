//! The whole shop as one file and back, a folder for an export, and a salvaged copy of a damaged log.
//!
//! # What it promises
//! - Nothing that is there is overwritten, and nothing is written outside the folder named.
//! - A folder is made whole under another name beside its own and then renamed: a program that is killed,
//!   or a full disk, leaves at most a folder `.NAME.partial-PID` that counts for nothing.
//! - Every file of a backup is read back and looked at before a folder is made of it.

use super::event::{Event, FORMAT, Header, Record};
use super::files::Files;
use super::line;
use super::log::{Contents, Trouble};
use super::name::{self, ENDING};
use super::store::{Shop, ShopError};
use super::{keeping, place_dir};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

/// Why something was not carried. Nothing is half done then.
#[derive(Debug, thiserror::Error)]
pub enum ArchiveError {
    /// The shop itself.
    #[error(transparent)]
    Shop(#[from] ShopError),
    /// The system refused.
    #[error("{path}: {source}; nothing was kept of it")]
    Io {
        /// Which file or folder.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// Not a backup of ours, or not whole.
    #[error("this is no whole backup of a shop: {0}; nothing was restored")]
    NoBackup(String),
    /// The folder has something in it.
    #[error("{0} has something in it already; name a folder that is empty or not there yet")]
    Occupied(PathBuf),
    /// Nothing to put into a backup.
    #[error(
        "there is no shop in {0}: neither settings nor an opening; name its folder with --shop DIR. Nothing was written"
    )]
    NoShop(PathBuf),
    /// The file is there.
    #[error("{0} is there already and is not overwritten; give another name")]
    Exists(PathBuf),
    /// Not damaged, but newer than this build.
    #[error("{0}")]
    Newer(String),
    /// Nothing to mend.
    #[error("the file of '{0}' is not damaged; there is nothing to mend")]
    Sound(String),
}

fn io_at(path: &Path) -> impl FnOnce(io::Error) -> ArchiveError + use<> {
    let path = path.to_owned();
    move |source| ArchiveError::Io { path, source }
}

/// Puts settings, logs and what was set aside beside them into the tar file `to`; answers how many files.
pub fn backup(files: &dyn Files, dir: &Path, to: &Path) -> Result<usize, ArchiveError> {
    if to.symlink_metadata().is_ok() {
        return Err(ArchiveError::Exists(to.to_owned()));
    }
    let mut tar = tar::Builder::new(Vec::new());
    let mut count = 0;
    for folder in ["", "openings"] {
        let from = dir.join(folder);
        let names = match files.names(&from) {
            Err(error) if error.kind() == io::ErrorKind::NotFound => continue,
            names => names.map_err(io_at(&from))?,
        };
        for name in names.iter().filter(|name| belongs(folder, name)) {
            let path = from.join(name);
            let bytes = files.read(&path).map_err(io_at(&path))?;
            let mut header = tar::Header::new_gnu();
            header.set_size(bytes.len() as u64);
            header.set_mode(0o644);
            let within = Path::new(folder).join(name);
            tar.append_data(&mut header, within, bytes.as_slice()).map_err(io_at(&path))?;
            count += 1;
        }
    }
    if count == 0 {
        return Err(ArchiveError::NoShop(dir.to_owned()));
    }
    let bytes = tar.into_inner().map_err(io_at(to))?;
    files.replace(to, &bytes).map_err(io_at(to))?;
    Ok(count)
}

/// Files of a shop; the lock and hidden files are not.
fn belongs(folder: &str, name: &str) -> bool {
    if folder.is_empty() { name == "shop.json" } else { !name.starts_with('.') && name.contains(ENDING) }
}

/// What a backup gave.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Restored {
    /// How many files.
    pub files: usize,
    /// Logs that are as damaged, or as new, as they were when they were backed up, and what is wrong with each.
    pub troubled: Vec<(String, String)>,
}

/// Makes a shop in `dir` of the bytes of a backup. `dir` must be empty or absent. A log that was damaged when it was
/// backed up comes back as it was.
pub fn restore(bytes: &[u8], dir: &Path) -> Result<Restored, ArchiveError> {
    let bad = |why: String| ArchiveError::NoBackup(why);
    if !ends_whole(bytes) {
        return Err(bad("its end is missing; copy it once more from where it was made".to_owned()));
    }
    let mut troubled = Vec::new();
    let mut found: Vec<(String, Vec<u8>)> = Vec::new();
    let mut tar = tar::Archive::new(bytes);
    for entry in tar.entries().map_err(|error| bad(error.to_string()))? {
        let mut entry = entry.map_err(|error| bad(error.to_string()))?;
        let path = entry.path().map_err(|error| bad(error.to_string()))?.to_string_lossy().into_owned();
        let (folder, file) = path.rsplit_once('/').unwrap_or(("", &path));
        // Plain names in the two folders of a shop, and nothing else: no way out of the folder.
        let plain = !file.contains(['\\', ':', '\0']) && entry.header().entry_type().is_file();
        if !plain || !matches!(folder, "" | "openings") || !belongs(folder, file) {
            return Err(bad(format!("'{}' does not belong in a shop", path.escape_debug())));
        }
        let mut content = Vec::new();
        let size = entry.size();
        entry.read_to_end(&mut content).map_err(|error| bad(format!("{path}: {error}")))?;
        if content.len() as u64 != size {
            return Err(bad(format!("{path} is cut short")));
        }
        if folder == "openings"
            && file.ends_with(ENDING)
            && let Some(trouble) = Contents::read(&content).trouble
        {
            troubled.push((path.clone(), trouble.to_string()));
        }
        if found.iter().any(|(known, _)| known.to_lowercase() == path.to_lowercase()) {
            return Err(bad(format!("{path} is in it twice")));
        }
        found.push((path, content));
    }
    if found.is_empty() {
        return Err(bad("there is no file in it".to_owned()));
    }
    let files: Vec<(&str, &[u8])> = found.iter().map(|(path, content)| (path.as_str(), content.as_slice())).collect();
    make(dir, &files, |staged| {
        keeping::read(&super::files::RealFiles, &staged.join("shop.json"))
            .map(|_| ())
            .map_err(|error| bad(error.to_string()))
    })?;
    Ok(Restored { files: found.len(), troubled })
}

/// Two blocks of nothing end such a file (POSIX.1-1988, ustar): cut between two files it lacks them.
fn ends_whole(bytes: &[u8]) -> bool {
    const END: usize = 2 * 512;
    bytes.len().is_multiple_of(512)
        && bytes.len() >= END
        && bytes.get(bytes.len() - END..).is_some_and(|end| end.iter().all(|&byte| byte == 0))
}

/// Makes the folder `dir` with `files` (paths within it, plain names) in it.
pub fn make_folder(dir: &Path, files: &[(String, String)]) -> Result<(), ArchiveError> {
    let files: Vec<(&str, &[u8])> = files.iter().map(|(path, text)| (path.as_str(), text.as_bytes())).collect();
    make(dir, &files, |_| Ok(()))
}

fn make(
    dir: &Path,
    files: &[(&str, &[u8])],
    whole: impl FnOnce(&Path) -> Result<(), ArchiveError>,
) -> Result<(), ArchiveError> {
    place_dir::make_whole(dir, files, whole).map_err(|error| match error {
        place_dir::MakeError::Occupied(path) => ArchiveError::Occupied(path),
        place_dir::MakeError::Io { path, source } => ArchiveError::Io { path, source },
        place_dir::MakeError::NotWhole(error) => error,
    })
}

/// A salvaged copy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mended {
    /// The new opening's name.
    pub name: String,
    /// How many events it has.
    pub kept: usize,
    /// Lines that cannot be used, counted from 1, and why.
    pub bad: Vec<(usize, String)>,
    /// Where those lines are now, as they were.
    pub aside: Option<PathBuf>,
}

/// Makes a new opening of the good lines of the damaged one called `name`. The damaged file stays as it is.
pub fn mend(shop: &Shop, name: &str) -> Result<Mended, ArchiveError> {
    let opening = shop.opening(name)?;
    let path = opening.path().to_owned();
    let files = shop.files();
    let bytes = files.read(&path).map_err(io_at(&path))?;
    match Contents::read(&bytes).trouble {
        None => return Err(ArchiveError::Sound(opening.name().to_owned())),
        Some(newer @ (Trouble::NewerFormat { .. } | Trouble::NewerContent { .. })) => {
            return Err(ArchiveError::Newer(newer.to_string()));
        }
        Some(_) => {}
    }
    let salvage = Salvage::of(&bytes);
    shop.may_write()?;
    let (new, file) = free_name(shop, opening.name())?;
    let dir = path.parent().unwrap_or(Path::new(".")).to_owned();
    let mut aside = Vec::new();
    for (_, text, _) in &salvage.bad {
        aside.extend_from_slice(text);
        aside.push(b'\n');
    }
    // The bad lines first: the new opening, one file put in place at once, is what makes it done.
    let aside_at = dir.join(format!("{file}.bad-lines"));
    files.replace(&aside_at, &aside).map_err(io_at(&aside_at))?;
    let json = |error: serde_json::Error| ArchiveError::Shop(ShopError::Json(error));
    let header = Header { format: FORMAT.to_owned(), opening: new.clone() };
    let mut text = line::write_header(&header).map_err(json)? + "\n";
    for record in &salvage.records {
        text += &(line::write_record(record).map_err(json)? + "\n");
    }
    let new_at = dir.join(&file);
    files.replace(&new_at, text.as_bytes()).map_err(io_at(&new_at))?;
    let bad = salvage.bad.into_iter().map(|(line, _, why)| (line, why)).collect();
    Ok(Mended { name: new, kept: salvage.records.len(), bad, aside: Some(aside_at) })
}

fn free_name(shop: &Shop, name: &str) -> Result<(String, String), ArchiveError> {
    let taken = shop.names()?;
    let short: String = name.chars().take(name::LONGEST_NAME - 20).collect();
    let mut number = 1_u32;
    loop {
        let new = if number == 1 { format!("{short} (mended)") } else { format!("{short} (mended {number})") };
        if matches!(shop.opening(&new), Err(ShopError::NoOpening { .. })) {
            let file = name::free_file_name(&new, &taken);
            return Ok((new, file));
        }
        number += 1;
    }
}

/// Good and bad lines of a log, all the way through.
struct Salvage {
    records: Vec<Record>,
    bad: Vec<(usize, Vec<u8>, String)>,
}

impl Salvage {
    /// Good events are numbered anew, and what speaks of an event by its number with them; what speaks of one
    /// that is lost is itself left out.
    fn of(bytes: &[u8]) -> Self {
        let mut salvage = Self { records: Vec::new(), bad: Vec::new() };
        let mut numbers: Vec<(u64, u64)> = Vec::new();
        let body = bytes.strip_suffix(b"\n").unwrap_or(bytes);
        for (place, text) in body.split(|&byte| byte == b'\n').enumerate() {
            let mut bad = |why: String| salvage.bad.push((place + 1, text.to_vec(), why));
            if place == 0 {
                if let Err(why) = line::read_header(text) {
                    bad(why.to_string());
                }
                continue;
            }
            let mut record = match line::read_record(text) {
                Ok(record) => record,
                Err(why) => {
                    bad(why.to_string());
                    continue;
                }
            };
            if numbers.iter().any(|(old, _)| *old == record.n) {
                bad(format!("event {} is there already", record.n));
                continue;
            }
            if let Some((named, what)) = names_an_event(&mut record.event) {
                let Some((_, new)) = numbers.iter().find(|(old, _)| old == named) else {
                    bad(format!("{what} event {named}, which is lost"));
                    continue;
                };
                *named = *new;
            }
            let new = salvage.records.len() as u64 + 1;
            numbers.push((record.n, new));
            // A gap in the numbers is damage, too, though no line is bad.
            record.n = new;
            salvage.records.push(record);
        }
        salvage
    }
}

/// The number of the earlier event that `event` speaks of, and how.
fn names_an_event(event: &mut Event) -> Option<(&mut u64, &'static str)> {
    match event {
        Event::Strike(strike) => Some((&mut strike.strikes, "it takes back")),
        Event::Judged(judged) => Some((&mut judged.reading, "it judges a reading of")),
        _ => None,
    }
}
