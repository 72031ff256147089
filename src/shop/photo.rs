//! Photos that notes name. They are looked for, never opened, moved or kept.

use directories::BaseDirs;
use std::path::{Path, PathBuf};

/// Is there a file of that name: as it stands (from where the program was started), in the shop's folder, or,
/// after `~/`, at home?
pub fn is_there(shop: &Path, photo: &str) -> bool {
    let at_home = || -> Option<PathBuf> { Some(BaseDirs::new()?.home_dir().join(photo.strip_prefix("~/")?)) };
    Path::new(photo).is_file() || shop.join(photo).is_file() || at_home().is_some_and(|path| path.is_file())
}
