//! Many openings at once: all checked, then all written under names that count for nothing, then put in place.
//!
//! A full disk, or a program that is killed while it writes, leaves the shop as it was. One that is killed in the
//! moment when the names are put in place leaves whole openings only, and asking for the same again goes on from
//! there: an opening that is there and begins with the very same events is passed over.

use super::event::{Event, FORMAT, Header, Record};
use super::line;
use super::name;
use super::opening::{EnterError, check_batch};
use super::staging::Staged;
use super::store::{Shop, ShopError};
use std::collections::HashMap;

/// An opening to make.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// The user's name for it.
    pub name: String,
    /// Its first events.
    pub events: Vec<Event>,
}

/// What became of an import.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Imported {
    /// Openings made.
    pub made: usize,
    /// Openings that were there already, from an import that was stopped.
    pub there: usize,
}

/// Why an import was refused, or stopped.
#[derive(Debug, thiserror::Error)]
pub enum ImportError {
    /// One of those wanted cannot be; nothing was made.
    #[error("{error}")]
    Refused {
        /// Which of those wanted, from 0.
        index: usize,
        /// Why.
        error: Box<EnterError>,
    },
    /// There is another opening of this name; nothing was made.
    #[error("there is an opening '{name}' already, with another content")]
    Exists {
        /// Which of those wanted, from 0.
        index: usize,
        /// Its name.
        name: String,
    },
    /// The disk refused, most likely because it is full; nothing was made.
    #[error("{0}; nothing was imported")]
    Unwritten(ShopError),
    /// The shop refused; `made` were made before, whole. The same import goes on from there.
    #[error("{error}; {made} openings were made before, whole: the same import goes on from there")]
    Stopped {
        /// How many were made.
        made: usize,
        /// Why it stopped.
        error: ShopError,
    },
    /// The shop cannot be read, or not be written to; nothing was made.
    #[error(transparent)]
    Shop(#[from] ShopError),
}

/// Makes the openings `wanted`; `progress` is told how many are done. `at` is when (UTC, RFC 3339).
pub fn import(
    shop: &Shop,
    wanted: &[Wanted],
    at: &str,
    mut progress: impl FnMut(usize),
) -> Result<Imported, ImportError> {
    shop.may_write()?;
    let files = shop.log_names()?;
    let mut named: HashMap<String, &String> = HashMap::new();
    for file in &files {
        if let Some(known) = shop.name_in(file) {
            named.insert(known, file);
        }
    }
    let mut there = vec![false; wanted.len()];
    let mut met: HashMap<&str, usize> = HashMap::new();
    for (index, one) in wanted.iter().enumerate() {
        check_batch(&[], &one.events).map_err(|error| ImportError::Refused { index, error: Box::new(error) })?;
        let exists = || ImportError::Exists { index, name: one.name.clone() };
        name::checked_name(&one.name)
            .map_err(|error| ShopError::Name { name: one.name.chars().take(60).collect(), error })?;
        if met.insert(&one.name, index).is_some() {
            return Err(exists());
        }
        if let Some(file) = named.get(&one.name) {
            let opening = shop.opening(file.trim_end_matches(name::ENDING))?;
            let begins = opening.records().iter().map(|record| &record.event).take(one.events.len());
            if !begins.eq(one.events.iter()) {
                return Err(exists());
            }
            if let Some(place) = there.get_mut(index) {
                *place = true;
            }
        }
    }
    let mut taken = shop.names()?;
    let mut staged = Vec::new();
    for (one, _) in wanted.iter().zip(&there).filter(|(_, there)| !**there) {
        let file = name::free_file_name(&one.name, &taken);
        staged.push((file.clone(), text(one, at).map_err(ShopError::Json)?));
        taken.push(file);
    }
    let was_there = wanted.len() - staged.len();
    let io = |(path, source)| ShopError::Io { path, source };
    shop.files().make_dir(&shop.openings()).map_err(|source| io((shop.openings(), source)))?;
    let staged = Staged::write(&shop.openings(), &staged, |done| progress(was_there + done))
        .map_err(|error| ImportError::Unwritten(io(error)))?;
    match staged.put_in_place() {
        Ok(made) => Ok(Imported { made, there: was_there }),
        Err((made, error)) => Err(ImportError::Stopped { made, error: io(error) }),
    }
}

/// The whole log of one opening.
fn text(wanted: &Wanted, at: &str) -> Result<String, serde_json::Error> {
    let header = Header { format: FORMAT.to_owned(), opening: wanted.name.trim().to_owned() };
    let mut text = line::write_header(&header)? + "\n";
    for (n, event) in (1_u64..).zip(&wanted.events) {
        text += &(line::write_record(&Record { n, at: at.to_owned(), event: event.clone() })? + "\n");
    }
    Ok(text)
}
