//! Where the shop is: the folder named, the user's data folder, or a copy of the sample shop.
//!
//! The sample shop that comes with the program is marked `"sample": true` in its `shop.json` and is
//! never written to. Whoever wants to work in it works in a copy in the user's data folder.

use super::files::{Files, RealFiles};
use super::store::{Access, Holder, ShopError};
use serde_json::Value;
use std::io;
use std::path::{Path, PathBuf};

/// The sample shop's files, as they come with the program.
const SAMPLE: [(&str, &str); 7] = [
    ("shop.json", include_str!("../../sample-shop/shop.json")),
    ("openings/Door_ middle left.jsonl", include_str!("../../sample-shop/openings/Door_ middle left.jsonl")),
    ("openings/Door_ middle right.jsonl", include_str!("../../sample-shop/openings/Door_ middle right.jsonl")),
    ("openings/Door_ top left.jsonl", include_str!("../../sample-shop/openings/Door_ top left.jsonl")),
    ("openings/Door_ top right.jsonl", include_str!("../../sample-shop/openings/Door_ top right.jsonl")),
    ("openings/Drawers.jsonl", include_str!("../../sample-shop/openings/Drawers.jsonl")),
    ("openings/Pair below.jsonl", include_str!("../../sample-shop/openings/Pair below.jsonl")),
];

/// Which folder is opened, and how.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShopChoice {
    /// The shop's folder.
    pub dir: PathBuf,
    /// Is it a sample shop (or a copy of one)?
    pub sample: bool,
    /// May only be looked at, whatever the system would allow.
    pub look_only: bool,
    /// What the user should be told about the choice.
    pub notice: Option<String>,
}

impl ShopChoice {
    /// A folder of the user's own.
    pub fn own(dir: PathBuf) -> Self {
        Self { dir, sample: false, look_only: false, notice: None }
    }

    /// What to open it for.
    pub fn access(&self, holder: Holder) -> Access {
        if self.look_only { Access::Look } else { Access::Write(holder) }
    }
}

/// What the folder is chosen for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Purpose {
    /// Reading: nothing is made.
    Look,
    /// Writing: a copy of the sample is made where one is needed.
    Work,
}

/// The user's data folder for this program.
pub fn data_dir() -> Option<PathBuf> {
    directories::ProjectDirs::from("", "", "evenreveal").map(|dirs| dirs.data_dir().to_owned())
}

/// `~/rest` as a path in the user's home.
pub fn at_home(path: &str) -> Option<PathBuf> {
    Some(directories::BaseDirs::new()?.home_dir().join(path.strip_prefix("~/")?))
}

/// The user's cache folder for this program: what is in it may be thrown away at any time.
pub fn cache_dir() -> Option<PathBuf> {
    directories::ProjectDirs::from("", "", "evenreveal").map(|dirs| dirs.cache_dir().to_owned())
}

/// Chooses the shop: `named`, else the one in the `data` folder.
pub fn choose(named: Option<&Path>, data: Option<&Path>, purpose: Purpose) -> Result<ShopChoice, ShopError> {
    match named {
        Some(dir) if is_original_sample(dir) => copy_of_sample(Some(dir), data, purpose),
        Some(dir) => Ok(ShopChoice { sample: is_sample(dir), ..ShopChoice::own(dir.to_owned()) }),
        None => data.map(|data| ShopChoice::own(data.join("shop"))).ok_or(ShopError::NoDataDir),
    }
}

/// The user's copy of the sample shop that comes with the program, made if it is not there.
pub fn sample(data: Option<&Path>) -> Result<ShopChoice, ShopError> {
    copy_of_sample(None, data, Purpose::Work)
}

/// Moves the user's copy of the sample shop out of the way, so that the next one is fresh; says where it is.
pub fn set_sample_aside(data: Option<&Path>) -> Result<Option<PathBuf>, ShopError> {
    let copy = data.ok_or(ShopError::NoDataDir)?.join("sample-shop");
    if !copy.exists() {
        return Ok(None);
    }
    let aside = (1..=9999).map(|n| copy.with_file_name(format!("sample-shop.old-{n}"))).find(|path| !path.exists());
    let aside =
        aside.ok_or_else(|| ShopError::Io { path: copy.clone(), source: io::ErrorKind::AlreadyExists.into() })?;
    std::fs::rename(&copy, &aside).map_err(|source| ShopError::Io { path: copy, source })?;
    Ok(Some(aside))
}

fn copy_of_sample(original: Option<&Path>, data: Option<&Path>, purpose: Purpose) -> Result<ShopChoice, ShopError> {
    let copy = data.map(|data| data.join("sample-shop"));
    let is_there = copy.as_deref().is_some_and(is_sample);
    let looked_at = |why: &str| {
        let dir = original.map_or_else(PathBuf::new, Path::to_owned);
        ShopChoice { dir, sample: true, look_only: true, notice: Some(format!("sample shop, for reading only{why}")) }
    };
    match (copy, purpose, original) {
        (Some(copy), _, _) if is_there => Ok(working_on(copy)),
        (_, Purpose::Look, Some(_)) => Ok(looked_at("")),
        (Some(copy), _, _) => match make_copy(&RealFiles, original, &copy) {
            Ok(()) => Ok(working_on(copy)),
            Err(error) if original.is_some() => {
                Ok(looked_at(&format!(": a copy at {} failed ({error})", copy.display())))
            }
            Err(source) => Err(ShopError::Io { path: copy, source }),
        },
        (None, _, Some(_)) => Ok(looked_at(": there is no data folder for a copy")),
        (None, _, None) => Err(ShopError::NoDataDir),
    }
}

fn working_on(copy: PathBuf) -> ShopChoice {
    let notice = format!("sample shop: this is your own copy, in {}", copy.display());
    ShopChoice { dir: copy, sample: true, look_only: false, notice: Some(notice) }
}

/// Copies the sample, `shop.json` last, since it is what makes the copy count as made.
fn make_copy(files: &dyn Files, original: Option<&Path>, copy: &Path) -> io::Result<()> {
    files.make_dir(&copy.join("openings"))?;
    let mut settings = String::new();
    match original {
        Some(dir) => {
            for name in files.names(&dir.join("openings"))?.iter().filter(|name| name.ends_with(super::name::ENDING)) {
                let bytes = files.read(&dir.join("openings").join(name))?;
                files.replace(&copy.join("openings").join(name), &bytes)?;
            }
            settings.push_str(&String::from_utf8_lossy(&files.read(&dir.join("shop.json"))?));
        }
        None => {
            for (name, text) in SAMPLE {
                if name == "shop.json" {
                    settings.push_str(text);
                } else {
                    files.replace(&copy.join(name), text.as_bytes())?;
                }
            }
        }
    }
    let mut whole: Value = serde_json::from_str(&settings)?;
    if let Some(map) = whole.as_object_mut() {
        map.insert("sample".to_owned(), Value::from("copy"));
    }
    files.replace(&copy.join("shop.json"), (serde_json::to_string_pretty(&whole)? + "\n").as_bytes())
}

fn marker(dir: &Path) -> Option<Value> {
    let bytes = RealFiles.read(&dir.join("shop.json")).ok()?;
    serde_json::from_slice::<Value>(&bytes).ok()?.get("sample").cloned()
}

fn is_original_sample(dir: &Path) -> bool {
    marker(dir) == Some(Value::Bool(true))
}

fn is_sample(dir: &Path) -> bool {
    marker(dir).is_some_and(|marker| marker != Value::Bool(false))
}
