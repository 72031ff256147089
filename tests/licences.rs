//! Every library that goes into the program may be used in it, and asks for no newer Rust than we state.

use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::process::Command;

/// Licences that ask no more than a notice (MPL-2.0: changes to its own files stay open; WTFPL: nothing).
const ALLOWED: [&str; 14] = [
    "MIT",
    "MIT-0",
    "Apache-2.0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "ISC",
    "Zlib",
    "Unicode-3.0",
    "Unicode-DFS-2016",
    "MPL-2.0",
    "CC0-1.0",
    "Unlicense",
    "BSL-1.0",
    "WTFPL",
];

/// Why a licence expression does not do; nothing if it does.
fn fault(expression: Option<&str>) -> Option<String> {
    let Some(text) = expression.filter(|text| !text.trim().is_empty()) else {
        return Some("names no licence".to_owned());
    };
    // Old packages write MIT/Apache-2.0.
    let text = text.replace('/', " OR ");
    match spdx::Expression::parse(&text) {
        Err(error) => Some(format!("'{text}' is no licence expression: {error}")),
        Ok(parsed) => {
            let known = |wanted: &spdx::LicenseReq| wanted.license.id().is_some_and(|id| ALLOWED.contains(&id.name));
            (!parsed.evaluate(known)).then(|| format!("'{text}' is not allowed"))
        }
    }
}

fn metadata() -> Value {
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned());
    let ask = |more: &[&str]| {
        let arguments = ["metadata", "--locked", "--format-version", "1"].iter().chain(more);
        Command::new(&cargo).args(arguments).current_dir(env!("CARGO_MANIFEST_DIR")).output().unwrap()
    };
    // On a machine where nothing was built before, what other systems need is not there yet: it is fetched.
    let offline = ask(&["--offline"]);
    let output = if offline.status.success() { offline } else { ask(&[]) };
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

/// The packages that are built into the program: what it needs, and what those need; no test or build tools.
fn built_in(metadata: &Value) -> Vec<&Value> {
    let packages: BTreeMap<&str, &Value> = metadata["packages"]
        .as_array()
        .unwrap()
        .iter()
        .map(|package| (package["id"].as_str().unwrap(), package))
        .collect();
    let nodes: BTreeMap<&str, &Value> = metadata["resolve"]["nodes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|node| (node["id"].as_str().unwrap(), node))
        .collect();
    let root = metadata["resolve"]["root"].as_str().unwrap();
    let (mut met, mut next) = (BTreeSet::from([root]), VecDeque::from([root]));
    while let Some(id) = next.pop_front() {
        for dependency in nodes[id]["deps"].as_array().unwrap() {
            let normal = dependency["dep_kinds"].as_array().unwrap().iter().any(|kind| kind["kind"].is_null());
            let id = dependency["pkg"].as_str().unwrap();
            if normal && met.insert(id) {
                next.push_back(id);
            }
        }
    }
    met.into_iter().map(|id| packages[id]).collect()
}

#[test]
fn every_licence_is_allowed() {
    let metadata = metadata();
    let packages = built_in(&metadata);
    assert!(packages.len() > 50, "only {} packages found", packages.len());
    let faults: Vec<String> = packages
        .iter()
        .filter_map(|package| {
            let fault = fault(package["license"].as_str())?;
            Some(format!("{} {}: {fault}", package["name"], package["version"]))
        })
        .collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

fn release(version: &str) -> Vec<u32> {
    let mut parts: Vec<u32> = version.split('.').map(|part| part.parse().unwrap()).collect();
    parts.resize(3, 0);
    parts
}

#[test]
fn no_library_asks_for_a_newer_rust_than_we_state() {
    let stated = env!("CARGO_PKG_RUST_VERSION");
    let metadata = metadata();
    let newer: Vec<String> = built_in(&metadata)
        .iter()
        .filter_map(|package| {
            let asked = package["rust_version"].as_str()?;
            (release(asked) > release(stated)).then(|| format!("{} asks for Rust {asked}", package["name"]))
        })
        .collect();
    assert!(newer.is_empty(), "we state {stated}, but:\n{}", newer.join("\n"));
    let readme = include_str!("../README.md");
    assert!(readme.contains(&format!("({stated} or newer)")), "the README states another version than {stated}");
}

#[test]
fn the_checker_can_fail() {
    for bad in ["GPL-3.0-only", "MIT AND GPL-2.0-or-later", "AGPL-3.0-only", "LGPL-2.1-only", "No-Such-Licence", ""] {
        assert!(fault(Some(bad)).is_some(), "'{bad}' was let through");
    }
    assert!(fault(None).is_some());
    for good in ["MIT", "MIT/Apache-2.0", "GPL-3.0-only OR MIT", "(MIT OR Apache-2.0) AND Unicode-3.0"] {
        assert_eq!(fault(Some(good)), None);
    }
    assert!(release("1.90") > release("1.89.0"));
}
