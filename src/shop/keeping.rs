//! Reading and writing `shop.json`. What a newer build of the same format added stays in it.

use super::files::Files;
use super::settings::{FORMAT, Settings};
use crate::fit::length::{Length, Show};
use serde::Deserialize;
use serde_json::{Map, Value};
use std::io;
use std::path::{Path, PathBuf};

/// Why the settings cannot be used. The file is never changed by this.
#[derive(Debug, thiserror::Error)]
pub enum SettingsError {
    /// A field has a value that it cannot have.
    #[error("{path}: {field}: {why}; the file is left as it is")]
    Field {
        /// The settings file.
        path: PathBuf,
        /// Path of the field: `saws[0].kerf`.
        field: String,
        /// What was found and what is allowed.
        why: String,
    },
    /// Not JSON.
    #[error("{path}: not JSON: {why}; the file is left as it is")]
    NotJson {
        /// The settings file.
        path: PathBuf,
        /// What the reader of JSON says.
        why: String,
    },
    /// A newer format.
    #[error("{path}: format '{found}' is newer than this build ('{FORMAT}'); use the newer build")]
    Newer {
        /// The settings file.
        path: PathBuf,
        /// The format word found.
        found: String,
    },
    /// The system refused.
    #[error("{path}: {source}")]
    Io {
        /// The settings file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
}

/// One step of the path to a key that this build does not know.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Step {
    Key(String),
    /// An item of a list: its place, and its name where it has one.
    Item(usize, Option<String>),
}

/// The settings as read, with what else stood in the file.
#[derive(Clone, Debug, Default)]
pub struct SettingsFile {
    settings: Settings,
    on_disk: bool,
    unknown: Vec<(Vec<Step>, Value)>,
}

/// Reads `shop.json`; without one, the settings are the defaults.
pub fn read(files: &dyn Files, path: &Path) -> Result<SettingsFile, SettingsError> {
    let bytes = match files.read(path) {
        Ok(bytes) => bytes,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(SettingsFile::default()),
        Err(source) => return Err(SettingsError::Io { path: path.to_owned(), source }),
    };
    let map: Map<String, Value> = serde_json::from_slice(&bytes)
        .map_err(|error| SettingsError::NotJson { path: path.to_owned(), why: error.to_string() })?;
    let bad = |field: &str, why: String| SettingsError::Field { path: path.to_owned(), field: field.to_owned(), why };
    match map.get("format") {
        Some(Value::String(word)) if word == FORMAT => {}
        Some(Value::String(word)) if word.starts_with("evenreveal-shop/") => {
            return Err(SettingsError::Newer { path: path.to_owned(), found: word.chars().take(60).collect() });
        }
        _ => return Err(bad("format", format!("must be \"{FORMAT}\""))),
    }
    let whole = Value::Object(map);
    let mut track = serde_path_to_error::Track::new();
    let tracked = serde_path_to_error::Deserializer::new(whole.clone(), &mut track);
    let mut paths = Vec::new();
    let mut passed_over = |ignored: serde_ignored::Path<'_>| paths.push(steps(&ignored));
    let read = Settings::deserialize(serde_ignored::Deserializer::new(tracked, &mut passed_over));
    let settings = read.map_err(|error| bad(&track.path().to_string(), error.to_string()))?;
    settings.check().map_err(|(field, why)| bad(&field, why))?;
    let unknown = paths.into_iter().filter_map(|steps| lookup(&whole, steps)).collect();
    Ok(SettingsFile { settings, on_disk: true, unknown })
}

impl SettingsFile {
    /// The settings.
    pub fn settings(&self) -> &Settings {
        &self.settings
    }

    /// Was there no file?
    pub fn is_new(&self) -> bool {
        !self.on_disk
    }

    /// Writes `settings`, and what this build does not know, to `path`.
    pub fn save(&mut self, files: &dyn Files, path: &Path, settings: Settings) -> Result<(), SettingsError> {
        settings.check().map_err(|(field, why)| SettingsError::Field { path: path.to_owned(), field, why })?;
        let json = |error: serde_json::Error| SettingsError::NotJson { path: path.to_owned(), why: error.to_string() };
        let mut whole = serde_json::to_value(&settings).map_err(json)?;
        for (steps, value) in &self.unknown {
            put_back(&mut whole, steps, value);
        }
        let text = serde_json::to_string_pretty(&whole).map_err(json)? + "\n";
        files.replace(path, text.as_bytes()).map_err(|source| SettingsError::Io { path: path.to_owned(), source })?;
        self.settings = settings;
        self.on_disk = true;
        Ok(())
    }
}

fn steps(path: &serde_ignored::Path<'_>) -> Vec<Step> {
    use serde_ignored::Path;
    let (parent, step) = match path {
        Path::Root => return Vec::new(),
        Path::Seq { parent, index } => (parent, Some(Step::Item(*index, None))),
        Path::Map { parent, key } => (parent, Some(Step::Key(key.clone()))),
        Path::Some { parent } | Path::NewtypeStruct { parent } | Path::NewtypeVariant { parent } => (parent, None),
    };
    let mut steps = steps(parent);
    steps.extend(step);
    steps
}

/// The value at `steps`, with the names of the list items on the way filled in.
fn lookup(whole: &Value, mut steps: Vec<Step>) -> Option<(Vec<Step>, Value)> {
    let mut here = whole;
    for step in &mut steps {
        here = match step {
            Step::Key(key) => here.get(key.as_str())?,
            Step::Item(place, name) => {
                let item = here.get(*place)?;
                *name = item.get("name").and_then(Value::as_str).map(str::to_owned);
                item
            }
        };
    }
    Some((steps, here.clone()))
}

/// Puts `value` back where it was, if the place is still there and nothing stands in it.
fn put_back(whole: &mut Value, steps: &[Step], value: &Value) {
    let mut here = whole;
    for (number, step) in steps.iter().enumerate() {
        let last = number + 1 == steps.len();
        let next = match (step, here) {
            (Step::Key(key), Value::Object(map)) if last => {
                map.entry(key.clone()).or_insert_with(|| value.clone());
                return;
            }
            (Step::Key(key), Value::Object(map)) => map.get_mut(key),
            (Step::Item(_, Some(name)), Value::Array(items)) => {
                items.iter_mut().find(|item| item.get("name").and_then(Value::as_str) == Some(name))
            }
            (Step::Item(place, None), Value::Array(items)) => items.get_mut(*place),
            _ => None,
        };
        match next {
            Some(next) => here = next,
            None => return,
        }
    }
}

impl Settings {
    /// Checks that every value can be used; otherwise the field and what is allowed.
    pub fn check(&self) -> Result<(), (String, String)> {
        let bad = |field: &str, why: &str| Err((field.to_owned(), why.to_owned()));
        match self.show {
            Show::Fraction(n) if !(n.is_power_of_two() && (2..=1024).contains(&n)) => {
                return bad("show.fraction", "must be a power of two from 2 to 1024 (64 for 1/64)");
            }
            Show::DecimalInch(places) | Show::Millimetre(places) if places > 6 => {
                return bad("show", "at most 6 places");
            }
            _ => {}
        }
        for (place, &feeler) in self.feelers.iter().enumerate() {
            if feeler <= Length::ZERO || feeler > Length::ratio(1, 1) {
                return bad(&format!("feelers[{place}]"), "must be more than 0 and at most 1\"");
            }
            if place > 0 && self.feelers.get(place - 1).is_some_and(|&thinner| thinner >= feeler) {
                return bad(&format!("feelers[{place}]"), "feelers are listed thinnest first, each once");
            }
        }
        for (place, stock) in self.stock.iter().enumerate() {
            if stock.thickness <= Length::ZERO {
                return bad(&format!("stock[{place}].thickness"), "must be more than 0");
            }
        }
        for (place, plane) in self.planes.iter().enumerate() {
            if plane.shaving <= Length::ZERO {
                return bad(&format!("planes[{place}].shaving"), "must be more than 0");
            }
        }
        for (place, saw) in self.saws.iter().enumerate() {
            let amounts = [
                ("fence_before", saw.fence_before),
                ("fence_behind", saw.fence_behind),
                ("finest_move", saw.finest_move),
            ];
            if let Some((field, _)) = amounts.into_iter().find(|(_, length)| length.is_negative()) {
                return bad(&format!("saws[{place}].{field}"), "must not be below 0");
            }
            if saw.kerf <= Length::ZERO {
                return bad(&format!("saws[{place}].kerf"), "must be more than 0");
            }
        }
        super::house::check(self)?;
        if self.tolerance <= Length::ZERO || self.tolerance > Length::ratio(1, 4) {
            return bad("tolerance", "must be more than 0 and at most 1/4");
        }
        if !self.risk_k.is_finite() || !(0.0..=6.0).contains(&self.risk_k) {
            return bad("risk_k", "must be from 0 to 6 (2 is about one cut in forty over the line)");
        }
        Ok(())
    }
}
