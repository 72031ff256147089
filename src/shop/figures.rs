//! Figures worked out from logs, noted so that they need not be worked out again: a file beside no shop (in the
//! user's cache folder) that may be thrown away at any time.
//!
//! A figure stands under a key: a fingerprint of everything it rests on, the log's bytes and the program itself
//! included. Where the key differs the figure is as good as not there. A file that is damaged, of another build or of
//! another format is as good as empty. That it cannot be written is nobody's trouble.

use super::files::Files;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};
use std::hash::{DefaultHasher, Hasher};
use std::path::PathBuf;
use std::sync::Arc;

/// Format word of the file.
const FORMAT: &str = "evenreveal-figures/1";

/// A fingerprint of `parts`, in their order.
pub fn fingerprint<'a>(parts: impl IntoIterator<Item = &'a [u8]>) -> u64 {
    let mut hasher = DefaultHasher::new();
    for part in parts {
        hasher.write_usize(part.len());
        hasher.write(part);
    }
    hasher.finish()
}

/// First line of the file.
#[derive(Serialize, Deserialize)]
struct Head {
    format: String,
    /// The build that worked the figures out.
    program: String,
    /// CRC-32 of the rest.
    crc: String,
}

/// By kind, then by file: the key, and the figures under it.
type Known = BTreeMap<String, BTreeMap<String, (u64, Vec<u64>)>>;

/// The figures of one shop.
#[derive(Debug, Default)]
pub struct Figures {
    place: Option<(Arc<dyn Files>, PathBuf)>,
    program: String,
    known: Known,
    changed: bool,
}

impl Figures {
    /// Noted for this run of the program only.
    pub fn unkept() -> Self {
        Self::default()
    }

    /// Those in the file `path`, as far as `program` (which build, in words) has written them.
    pub fn kept(files: Arc<dyn Files>, path: PathBuf, program: &str) -> Self {
        let known = files.read(&path).ok().and_then(|bytes| read(&bytes, program)).unwrap_or_default();
        Self { place: Some((files, path)), program: program.to_owned(), known, changed: false }
    }

    /// The figures of `kind` of the log `file`, if they rest on what `key` is the fingerprint of.
    pub fn get(&self, kind: &str, file: &str, key: u64) -> Option<&[u64]> {
        let (noted, figures) = self.known.get(kind)?.get(file)?;
        (*noted == key).then_some(figures.as_slice())
    }

    /// Notes figures in the place of those that were noted before.
    pub fn put(&mut self, kind: &str, file: &str, key: u64, figures: Vec<u64>) {
        self.known.entry(kind.to_owned()).or_default().insert(file.to_owned(), (key, figures));
        self.changed = true;
    }

    /// Forgets the figures of logs that are not among `files`.
    pub fn retain(&mut self, files: &[String]) {
        let there: BTreeSet<&String> = files.iter().collect();
        for kind in self.known.values_mut() {
            let before = kind.len();
            kind.retain(|file, _| there.contains(file));
            self.changed |= kind.len() != before;
        }
    }

    /// Writes them, if any changed since they were read or written.
    pub fn save(&mut self) {
        let Some((files, path)) = self.place.as_ref().filter(|_| self.changed) else { return };
        let Ok(body) = serde_json::to_string(&self.known) else { return };
        let crc = format!("{:08x}", crc32fast::hash(body.as_bytes()));
        let head = Head { format: FORMAT.to_owned(), program: self.program.clone(), crc };
        let Ok(head) = serde_json::to_string(&head) else { return };
        let made = path.parent().is_none_or(|dir| files.make_dir(dir).is_ok());
        self.changed = !(made && files.replace(path, format!("{head}\n{body}\n").as_bytes()).is_ok());
    }
}

fn read(bytes: &[u8], program: &str) -> Option<Known> {
    let end = bytes.iter().position(|&byte| byte == b'\n')?;
    let (head, body) = (bytes.get(..end)?, bytes.get(end + 1..)?.strip_suffix(b"\n")?);
    let head: Head = serde_json::from_slice(head).ok()?;
    let sound = head.format == FORMAT && head.program == program;
    let whole = sound && head.crc == format!("{:08x}", crc32fast::hash(body));
    whole.then(|| serde_json::from_slice(body).ok()).flatten()
}

#[cfg(test)]
mod tests {
    use super::super::files::RealFiles;
    use super::*;

    fn at(path: &std::path::Path, program: &str) -> Figures {
        Figures::kept(Arc::new(RealFiles), path.to_owned(), program)
    }

    #[test]
    fn figures_are_read_again_under_their_key_only() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("deep/er/figures.json");
        let mut figures = at(&path, "build 1");
        figures.put("row", "door.jsonl", 7, vec![1, u64::MAX]);
        figures.put("row", "gone.jsonl", 8, vec![]);
        figures.retain(&["door.jsonl".to_owned()]);
        figures.save();
        let again = at(&path, "build 1");
        assert_eq!(again.get("row", "door.jsonl", 7), Some(&[1, u64::MAX][..]));
        assert_eq!(again.get("row", "door.jsonl", 6), None, "another log");
        assert_eq!(again.get("note", "door.jsonl", 7), None, "another kind");
        assert_eq!(again.get("row", "gone.jsonl", 8), None, "not retained");
        assert_eq!(at(&path, "build 2").get("row", "door.jsonl", 7), None, "another build");
    }

    #[test]
    fn a_damaged_file_is_as_good_as_empty() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("figures.json");
        let mut figures = at(&path, "build");
        figures.put("row", "door.jsonl", 7, vec![3]);
        figures.save();
        let bytes = std::fs::read(&path).unwrap();
        for place in 0..bytes.len() {
            let mut damaged = bytes.clone();
            damaged[place] ^= 1;
            std::fs::write(&path, &damaged).unwrap();
            assert_eq!(at(&path, "build").get("row", "door.jsonl", 7), None, "byte {place}");
            std::fs::write(&path, &bytes[..place]).unwrap();
            assert_eq!(at(&path, "build").get("row", "door.jsonl", 7), None, "cut at {place}");
        }
    }

    #[test]
    fn a_place_that_cannot_be_written_is_no_trouble() {
        let dir = tempfile::tempdir().unwrap();
        let mut figures = at(&dir.path().join("\0/figures.json"), "build");
        figures.put("row", "door.jsonl", 7, vec![3]);
        figures.save();
        assert_eq!(figures.get("row", "door.jsonl", 7), Some(&[3][..]));
    }

    #[test]
    fn parts_are_told_apart() {
        assert_ne!(fingerprint([&b"ab"[..], b"c"]), fingerprint([&b"a"[..], b"bc"]));
        assert_eq!(fingerprint([&b"ab"[..]]), fingerprint([&b"ab"[..]]));
    }
}
