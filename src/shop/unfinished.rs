//! What was typed and not kept: forms that were left, in one file beside the logs, so that they are there again
//! in the next session. What stands in it is the caller's; here it is only read and replaced.

use super::store::{Shop, ShopError};
use std::io;
use std::path::PathBuf;

/// The file, in the shop's folder.
pub const FILE: &str = "unfinished.json";
/// Where a file that cannot be read any more is kept.
const ASIDE: &str = "unfinished.damaged.json";

impl Shop {
    /// What was typed and not kept when the shop was left; empty where nothing was.
    ///
    /// # Errors
    /// [`ShopError::Io`] if the file is there and cannot be read.
    pub fn unfinished(&self) -> Result<String, ShopError> {
        let path = self.dir().join(FILE);
        match self.files().read(&path) {
            Ok(bytes) => Ok(String::from_utf8_lossy(&bytes).into_owned()),
            Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(String::new()),
            Err(source) => Err(ShopError::Io { path, source }),
        }
    }

    /// Replaces it by `text`; on the disk when this returns.
    ///
    /// # Errors
    /// [`ShopError::ReadOnly`] if the shop is, [`ShopError::Io`] if the file cannot be written.
    pub fn keep_unfinished(&self, text: &str) -> Result<(), ShopError> {
        self.write(FILE, text).map(|_| ())
    }

    /// Keeps `text`, which nobody can read, under another name; answers where.
    ///
    /// # Errors
    /// As [`Self::keep_unfinished`].
    pub fn set_unfinished_aside(&self, text: &str) -> Result<PathBuf, ShopError> {
        self.write(ASIDE, text)
    }

    fn write(&self, name: &str, text: &str) -> Result<PathBuf, ShopError> {
        self.may_write()?;
        let path = self.dir().join(name);
        match self.files().replace(&path, text.as_bytes()) {
            Ok(()) => Ok(path),
            Err(source) => Err(ShopError::Io { path, source }),
        }
    }
}
