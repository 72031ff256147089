//! The house rules that a test can check: who may import whom, how long a file may be, and what the
//! pure parts never touch. The rules stand in `src/lib.rs`.

use std::fs;
use std::path::{Path, PathBuf};

const LONGEST_FILE: usize = 420;

/// Which modules of ours a module may name (besides itself).
const MAY_IMPORT: [(&str, &[&str]); 11] = [
    ("fit", &[]),
    ("cut", &["fit"]),
    ("before", &["fit"]),
    // A made-up door: it knows edges, lengths and readings, and no plan.
    ("practice", &["fit"]),
    ("contract", &["fit", "cut", "before"]),
    ("shop", &["fit", "cut", "before"]),
    ("bench", &["fit", "cut", "before", "practice", "shop", "contract"]),
    ("screen", &["fit", "cut", "before", "practice", "shop", "contract", "bench"]),
    // Of the screen, paper takes the picture of an opening as plain values, not the widgets.
    ("paper", &["fit", "cut", "before", "practice", "shop", "contract", "bench", "screen"]),
    ("shell", &["fit", "cut", "before", "practice", "shop", "contract", "bench", "screen", "paper"]),
    ("cli", &["fit", "cut", "before", "practice", "shop", "contract", "bench", "screen", "paper", "shell"]),
];

/// Words of source text that stand for an effect, and the only places (prefixes) where they may stand.
const EFFECTS: [(&str, &[&str]); 17] = [
    ("std::fs", &["shop/files.rs", "shop/place.rs", "shop/place_dir.rs", "shop/staging.rs", "cli", "shell"]),
    ("fs::File", &["shop/files.rs", "cli", "shell"]),
    ("File::open", &["shop/files.rs", "cli", "shell"]),
    ("atomic_write_file", &["shop/files.rs"]),
    ("SystemTime", &["cli", "shell"]),
    ("Instant::now", &["shell"]),
    ("Timestamp::now", &["shell/here.rs"]),
    ("Zoned::now", &[]),
    ("std::env", &["main.rs", "cli", "shell"]),
    ("env::var", &["cli", "shell"]),
    ("directories::", &["shop/place.rs"]),
    ("rand::", &[]),
    ("println!", &[]),
    ("eprintln!", &[]),
    ("dbg!", &[]),
    ("io::stdout", &["cli", "shell"]),
    ("process::exit", &["shell"]),
];

/// What may stand at the top of the repository.
const TOP: [&str; 16] = [
    ".ci",
    ".git",
    ".gitattributes",
    ".gitignore",
    "Cargo.lock",
    "Cargo.toml",
    "DEVELOPERS.md",
    "LICENSE",
    "README.md",
    "assets",
    "deny.toml",
    "rustfmt.toml",
    "sample-shop",
    "src",
    "target",
    "tests",
];

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn rust_files(dir: &Path, into: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(dir).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            rust_files(&path, into);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            into.push(path);
        }
    }
}

/// Every file under `src`: its path from there, and its text.
fn sources() -> Vec<(String, String)> {
    let src = root().join("src");
    let mut files = Vec::new();
    rust_files(&src, &mut files);
    files.sort();
    let read = |path: PathBuf| {
        let name = path.strip_prefix(&src).unwrap().to_string_lossy().replace('\\', "/");
        (name, fs::read_to_string(&path).unwrap())
    };
    files.into_iter().map(read).collect()
}

/// The text without comments, and without the parts that are compiled for tests only.
fn code(text: &str) -> String {
    let body = text.split("\n#[cfg(test)]\nmod ").next().unwrap_or(text);
    let no_comment = |line: &str| line.split("//").next().unwrap_or("").to_owned();
    body.lines().map(no_comment).collect::<Vec<_>>().join("\n")
}

fn is_test_file(name: &str) -> bool {
    name.ends_with("tests.rs") || name.contains("/tests/")
}

fn module_of(name: &str) -> &str {
    name.split(['/', '.']).next().unwrap_or(name)
}

/// Faults of one file against the direction of imports.
fn wrong_imports(name: &str, text: &str) -> Vec<String> {
    let module = module_of(name);
    let Some((_, allowed)) = MAY_IMPORT.iter().find(|(known, _)| *known == module) else {
        return match module {
            "lib" | "main" => Vec::new(),
            _ => vec![format!("{name}: module '{module}' is not in the table of tests/houserules.rs")],
        };
    };
    let code = code(text);
    let others =
        MAY_IMPORT.iter().map(|(other, _)| *other).filter(|other| *other != module && !allowed.contains(other));
    let mut faults = Vec::new();
    for other in others {
        // `crate::other`, also inside `crate::{…}`.
        let grouped = code.split("crate::{").skip(1).any(|rest| {
            let group = rest.split(';').next().unwrap_or("");
            group.split([',', '{', '}']).any(|part| part.trim().split("::").next() == Some(other))
        });
        let direct = code
            .match_indices(&format!("crate::{other}"))
            .any(|(at, found)| !code[at + found.len()..].starts_with(|c: char| c.is_alphanumeric() || c == '_'));
        if direct || grouped {
            faults.push(format!("{name}: '{module}' must not import '{other}'"));
        }
    }
    faults
}

/// Faults of one file against the table of effects.
fn stray_effects(name: &str, text: &str) -> Vec<String> {
    let code = code(text);
    let allowed = |places: &[&str]| places.iter().any(|place| name == *place || module_of(name) == *place);
    let found = EFFECTS.iter().filter(|(word, places)| {
        !allowed(places)
            && code.match_indices(word).any(|(at, _)| !code[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_'))
    });
    found.map(|(word, _)| format!("{name}: '{word}' has no place here")).collect()
}

#[test]
fn imports_go_one_way() {
    let faults: Vec<_> = sources().iter().flat_map(|(name, text)| wrong_imports(name, text)).collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn effects_stay_where_they_belong() {
    let faults: Vec<_> = sources()
        .iter()
        .filter(|(name, _)| !is_test_file(name))
        .flat_map(|(name, text)| stray_effects(name, text))
        .collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn files_stay_short() {
    let faults: Vec<_> = sources()
        .iter()
        .map(|(name, text)| (name, text.split("\n#[cfg(test)]\nmod ").next().unwrap_or(text).lines().count()))
        .filter(|(_, lines)| *lines > LONGEST_FILE)
        .map(|(name, lines)| format!("src/{name} has {lines} lines; {LONGEST_FILE} is the most"))
        .collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn no_user_data_can_panic_by_unwrap() {
    let words = [".unwrap()", ".expect(", "panic!(", "unreachable!(", "todo!(", "unimplemented!("];
    let mut faults = Vec::new();
    for (name, text) in sources().iter().filter(|(name, _)| !is_test_file(name)) {
        let code = code(text);
        for word in words {
            if code.contains(word) {
                faults.push(format!("src/{name}: {word}"));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn the_top_of_the_repository_holds_what_the_card_says() {
    let strays: Vec<_> = fs::read_dir(root())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .filter(|name| !TOP.contains(&name.as_str()))
        .collect();
    assert!(strays.is_empty(), "not allowed at the top: {strays:?}");
}

#[test]
fn these_rules_can_fail() {
    assert_eq!(wrong_imports("fit/x.rs", "use crate::cut::tools::Saw;").len(), 1);
    assert_eq!(wrong_imports("fit/x.rs", "use crate::{fit::length, shop::{log, name}};").len(), 1);
    assert_eq!(wrong_imports("cut/x.rs", "use crate::fit::length;\n// crate::shop is not used").len(), 0);
    assert_eq!(wrong_imports("nowhere.rs", "").len(), 1);
    assert_eq!(stray_effects("fit/x.rs", "let now = std::time::SystemTime::now();").len(), 1);
    assert_eq!(stray_effects("bench/x.rs", "println!(\"x\")").len(), 1);
    assert_eq!(stray_effects("shop/log.rs", "std::fs::read(path)").len(), 1);
    assert_eq!(stray_effects("shop/files.rs", "use std::fs;").len(), 0);
    assert_eq!(stray_effects("fit/x.rs", "let operand::x = 1; // println!").len(), 0);
}
