//! Photos that notes name. They are looked for, never opened, moved or kept.

use super::place;
use std::path::Path;

/// Is there a file of that name: as it stands (from where the program was started), in the shop's folder, or,
/// after `~/`, at home?
pub fn is_there(shop: &Path, photo: &str) -> bool {
    let home = || place::at_home(photo).is_some_and(|path| path.is_file());
    Path::new(photo).is_file() || shop.join(photo).is_file() || home()
}
