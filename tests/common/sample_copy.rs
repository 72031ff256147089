//! A copy of the sample shop that may be written to.

use std::fs;
use std::path::{Path, PathBuf};

/// Makes it in `dir/shop`, which is not there yet.
pub fn sample(dir: &Path) -> PathBuf {
    let copy = dir.join("shop");
    let original = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-shop");
    fs::create_dir_all(copy.join("openings")).unwrap();
    for one in fs::read_dir(original.join("openings")).unwrap().map(Result::unwrap) {
        fs::copy(one.path(), copy.join("openings").join(one.file_name())).unwrap();
    }
    let settings = fs::read_to_string(original.join("shop.json")).unwrap();
    fs::write(copy.join("shop.json"), settings.replace("\"sample\": true", "\"sample\": \"copy\"")).unwrap();
    copy
}
