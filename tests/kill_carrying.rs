//! Import and restore, killed at any moment or on a full disk: nothing half-imported, nothing half-restored, and
//! the same asked again goes on from there.
#![cfg(unix)]

#[path = "common/program.rs"]
#[allow(dead_code)]
mod program;

use program::Home;
use std::collections::BTreeSet;
use std::fmt::Write;
use std::path::Path;
use std::time::{Duration, Instant};

const OPENINGS: usize = 60;

fn table(openings: usize) -> String {
    let mut text = String::from("opening,width,height,hinge\n");
    for number in 0..openings {
        let _ = writeln!(text, "door no {number},13 7/8,22 {}/16,left", number % 15 + 1);
    }
    text
}

/// Names of the files in a shop's folder of logs, hidden ones too.
fn files(shop: &Path) -> BTreeSet<String> {
    let listed = std::fs::read_dir(shop.join("openings")).into_iter().flatten();
    listed.map(|one| one.unwrap().file_name().into_string().unwrap()).collect()
}

fn logs(shop: &Path) -> usize {
    files(shop).iter().filter(|name| !name.starts_with('.')).count()
}

/// How long it takes, to know when to kill; nothing is said of it.
fn taken(work: impl FnOnce()) -> Duration {
    let began = Instant::now();
    work();
    began.elapsed()
}

#[test]
fn an_import_killed_at_any_moment_leaves_whole_openings_and_goes_on() {
    let home = Home::new();
    home.write("doors.csv", &table(OPENINGS));
    let whole = taken(|| drop(home.run(&["--shop", "whole", "import", "doors.csv"], "").code(0)));
    let (mut killed, mut untouched, mut left_aside) = (0, 0, 0);
    for round in 0..12_u32 {
        let name = format!("shop-{round}");
        let shop = home.path().join(&name);
        let mut child = home.command(&["--shop", &name, "import", "doors.csv"]).spawn().unwrap();
        std::thread::sleep(whole * (round + 1) / 12);
        // SIGKILL: no chance to tidy up.
        let ended = child.try_wait().unwrap().is_some();
        child.kill().unwrap();
        child.wait().unwrap();
        killed += usize::from(!ended);
        let there = logs(&shop);
        untouched += usize::from(!ended && there == 0);
        left_aside += usize::from(files(&shop).iter().any(|name| name.ends_with(".coming")));
        if there > 0 {
            // Whatever is there is whole: two events each, none with a trouble.
            let list = home.run(&["--shop", &name, "list", "--json"], "").code(0).out;
            let list: serde_json::Value = serde_json::from_str(&list).unwrap();
            assert_eq!(list.as_array().unwrap().len(), there);
            for one in list.as_array().unwrap() {
                assert_eq!((&one["leaves"], one["trouble"].as_str()), (&serde_json::json!(["A"]), None), "{one}");
            }
        }
        let again = home.run(&["--shop", &name, "import", "doors.csv"], "").code(0).out;
        assert!(
            again.contains(&format!("{} openings made", OPENINGS - there)),
            "round {round}, {there} there: {again}"
        );
        assert_eq!(files(&shop).len(), OPENINGS, "round {round}: something was left aside");
    }
    println!("killed {killed} of 12; {untouched} left the shop as it was; {left_aside} left files aside");
    assert!(killed >= 3 && untouched >= 1, "killed {killed}, of those {untouched} before anything was in place");
}

#[test]
fn a_restore_killed_at_any_moment_leaves_no_shop_or_a_whole_one() {
    let home = Home::new();
    home.write("doors.csv", &table(OPENINGS));
    home.run(&["--shop", "from", "import", "doors.csv"], "").code(0);
    home.run(&["--shop", "from", "backup", "shop.tar"], "").code(0);
    let whole = taken(|| drop(home.run(&["--shop", "whole", "restore", "shop.tar"], "").code(0)));
    let (mut killed, mut none) = (0, 0);
    for round in 0..10_u32 {
        let name = format!("to-{round}");
        let mut child = home.command(&["--shop", &name, "restore", "shop.tar"]).spawn().unwrap();
        std::thread::sleep(whole * (round + 1) / 10);
        let ended = child.try_wait().unwrap().is_some();
        child.kill().unwrap();
        child.wait().unwrap();
        killed += usize::from(!ended);
        let shop = home.path().join(&name);
        let there = logs(&shop);
        assert!([0, OPENINGS].contains(&there), "round {round}: {there} logs: half a shop");
        if there == 0 {
            none += 1;
            home.run(&["--shop", &name, "restore", "shop.tar"], "").code(0);
        }
        assert_eq!(files(&shop), files(&home.path().join("from")));
        home.run(&["--shop", &name, "restore", "shop.tar"], "").code(2).says(&["has something in it"]);
    }
    assert!(killed >= 2 && none >= 1, "killed {killed}, of those {none} before the shop was in place");
}

#[test]
fn a_full_disk_leaves_the_shop_as_it_was() {
    let home = Home::new();
    home.write("doors.csv", &table(200));
    home.write("one.csv", &table(1));
    home.run(&["--shop", "from", "import", "doors.csv"], "").code(0);
    home.run(&["--shop", "from", "backup", "shop.tar"], "").code(0);
    let place = home.path().join("small");
    std::fs::create_dir(&place).unwrap();
    let mut mount = std::process::Command::new("mount");
    mount.args(["-t", "tmpfs", "-o", "size=200k", "tmpfs"]).arg(&place);
    if !mount.output().is_ok_and(|output| output.status.success()) {
        println!("skipped: a small file system cannot be mounted here (not root, or not allowed)");
        return;
    }
    // Everything is gathered before it is looked at: the file system must go away first.
    let shop = place.join("shop");
    home.run(&["--shop", "small/shop", "import", "one.csv"], "").code(0);
    let before = files(&shop);
    let import = home.run(&["--shop", "small/shop", "import", "doors.csv"], "");
    let after = files(&shop);
    let restore = home.run(&["--shop", "small/again", "restore", "shop.tar"], "");
    let left: Vec<_> = std::fs::read_dir(&place).unwrap().map(|one| one.unwrap().file_name()).collect();
    let list = home.run(&["--shop", "small/shop", "list"], "");
    let gone = std::process::Command::new("umount").arg(&place).output();
    assert!(gone.unwrap().status.success());
    let import = import.code(3).says(&["nothing was imported"]);
    assert!(import.err.contains("No space left"), "{}", import.err);
    assert_eq!(after, before);
    restore.code(3);
    assert_eq!(left, ["shop"], "something of the restore is left");
    assert!(list.code(0).out.contains("door no 0"));
}
