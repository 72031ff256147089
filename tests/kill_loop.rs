//! The real program: killed in mid-write, failing syncs, a full disk, a second instance. After each,
//! every event that it called kept must be there.

use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::time::Duration;

const OPENING: &str = r#"{"event":"opening","gaps":[{"between":["frame","A.left"],"target":"3/32"}]}"#;

fn evenreveal(shop: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_evenreveal"));
    command.arg("--shop").arg(shop).args(arguments).env_clear().env("HOME", shop);
    command
}

fn output(mut command: Command, input: &str) -> Output {
    let mut child = command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    // The program may end before it has read all: that is its right.
    let _ = child.stdin.take().unwrap().write_all(input.as_bytes());
    child.wait_with_output().unwrap()
}

fn enter(shop: &Path, input: &str) -> Output {
    output(evenreveal(shop, &["enter", "door", "-"]), input)
}

fn notes(round: usize, count: usize) -> String {
    let note = |number| format!("{{\"event\":\"note\",\"text\":\"note {round}.{number}\"}}\n");
    (0..count).map(note).collect::<Vec<_>>().concat()
}

/// The texts of the notes in the log, by number.
fn kept(shop: &Path) -> Vec<(u64, String)> {
    let log = output(evenreveal(shop, &["log", "door", "--json"]), "");
    assert!(log.status.success(), "{}", String::from_utf8_lossy(&log.stderr));
    let lines = String::from_utf8(log.stdout).unwrap();
    let read = |line: &str| {
        let value: serde_json::Value = serde_json::from_str(line).unwrap();
        (value["n"].as_u64().unwrap(), value["text"].as_str().unwrap_or("opening").to_owned())
    };
    lines.lines().map(read).collect()
}

/// Numbers in the answer `kept N note`.
fn said(text: &str) -> Vec<u64> {
    text.lines().filter_map(|line| line.strip_prefix("kept ")?.split(' ').next()?.parse().ok()).collect()
}

fn new_shop() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    let made = enter(dir.path(), OPENING);
    assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
    dir
}

#[test]
fn killed_at_any_moment_nothing_kept_is_lost() {
    let rounds: usize = std::env::var("EVENREVEAL_KILLS").ok().and_then(|text| text.parse().ok()).unwrap_or(40);
    let shop = new_shop();
    let mut promised: Vec<(u64, String)> = vec![(1, "opening".to_owned())];
    let (mut killed, mut said_in_all) = (0, 0);
    for round in 0..rounds {
        let input = notes(round, 400);
        let mut child = evenreveal(shop.path(), &["enter", "door", "-"])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        child.stdin.take().unwrap().write_all(input.as_bytes()).unwrap();
        let mut answers = BufReader::new(child.stdout.take().unwrap());
        // Killed after so many answers, and a little later, so that it is in the middle of something.
        let mut heard = String::new();
        for _ in 0..(round * 7) % 60 {
            if answers.read_line(&mut heard).unwrap() == 0 {
                break;
            }
        }
        std::thread::sleep(Duration::from_micros((round as u64 * 37) % 300));
        child.kill().unwrap();
        let by_signal = child.wait().unwrap().code().is_none();
        killed += usize::from(by_signal);
        while answers.read_line(&mut heard).unwrap() > 0 {}
        let before = promised.len() as u64;
        // An answer may itself be cut in half by the kill: only whole lines count.
        let whole = heard.rfind('\n').map_or("", |end| &heard[..end]);
        for n in said(whole) {
            said_in_all += 1;
            let number = n - before - 1;
            promised.push((n, format!("note {round}.{number}")));
        }
        let there = kept(shop.path());
        assert_eq!(there[..promised.len().min(there.len())], promised[..], "round {round}");
        // What was kept but not yet said counts from here on.
        promised = there;
        let mended = enter(shop.path(), r#"{"event":"note","text":"mended"}"#);
        assert!(mended.status.success(), "round {round}: {}", String::from_utf8_lossy(&mended.stderr));
        promised.push((promised.len() as u64 + 1, "mended".to_owned()));
    }
    println!("{killed} of {rounds} killed in mid-work, {said_in_all} events said to be kept");
    assert!(killed * 2 > rounds, "only {killed} of {rounds} were killed before they were done");
}

/// Runs `enter` under strace with `options`; `None` where strace is not there or may not trace.
fn traced(shop: &Path, options: &[&str], input: &str) -> Option<(Output, String)> {
    let trace = tempfile::NamedTempFile::new().unwrap();
    let mut command = Command::new("strace");
    command.arg("-f").arg("-o").arg(trace.path()).args(options).arg(env!("CARGO_BIN_EXE_evenreveal"));
    command.arg("--shop").arg(shop).args(["enter", "door", "-"]).env("HOME", shop);
    let works = Command::new("strace").args(["-o", "/dev/null", "true"]).output();
    if !works.is_ok_and(|output| output.status.success()) {
        println!("skipped: strace is not installed, or tracing is not allowed here");
        return None;
    }
    let ended = output(command, input);
    let text = std::fs::read_to_string(trace.path()).unwrap();
    Some((ended, text))
}

#[test]
fn a_sync_that_fails_is_not_called_kept_nor_tried_again() {
    for which in 1..=5 {
        let shop = new_shop();
        let options = ["-e", "trace=fdatasync", "-e", &format!("inject=fdatasync:error=EIO:when={which}")];
        let Some((ended, trace)) = traced(shop.path(), &options, &notes(0, 6)) else { return };
        let answers = said(&String::from_utf8_lossy(&ended.stdout));
        // The first sync is the one on opening, then one for each event.
        let expected: Vec<u64> = (2..which as u64).collect();
        assert_eq!(answers, expected, "sync {which}");
        assert_eq!(ended.status.code(), Some(3), "sync {which}: {}", String::from_utf8_lossy(&ended.stderr));
        assert_eq!(trace.matches("fdatasync(").count(), which, "sync {which} was tried again:\n{trace}");
        assert_eq!(kept(shop.path()).len(), 1 + expected.len(), "sync {which}: rolled back to what was kept");
        assert!(enter(shop.path(), &notes(1, 1)).status.success());
        assert_eq!(kept(shop.path()).len(), 2 + expected.len());
    }
}

#[test]
fn a_write_that_fails_is_rolled_back() {
    for which in 1..=4 {
        let shop = new_shop();
        let log = shop.path().join("openings").join("door.jsonl");
        // Only writes to the log are counted and spoiled.
        let options = [
            "-P",
            &log.display().to_string(),
            "-e",
            "trace=write",
            "-e",
            &format!("inject=write:error=ENOSPC:when={which}"),
        ];
        let Some((ended, _)) = traced(shop.path(), &options, &notes(0, 6)) else { return };
        let message = String::from_utf8_lossy(&ended.stderr).into_owned();
        assert_eq!(ended.status.code(), Some(3), "write {which}: {message}");
        assert!(message.contains("No space left") && message.contains("not kept"), "{message}");
        assert_eq!(kept(shop.path()).len(), which, "write {which}");
        assert!(enter(shop.path(), &notes(1, 1)).status.success());
    }
}

#[test]
fn every_answer_comes_after_its_sync() {
    let shop = new_shop();
    let options = ["-e", "trace=write,fdatasync"];
    let Some((ended, trace)) = traced(shop.path(), &options, &notes(0, 5)) else { return };
    assert!(ended.status.success());
    let mut unsynced = 0_u32;
    let mut answers = 0;
    for line in trace.lines() {
        if line.contains("fdatasync(") && line.ends_with("= 0") {
            unsynced = 0;
        } else if line.contains("write(1, \"kept") {
            assert_eq!(unsynced, 0, "an answer before its sync:\n{trace}");
            answers += 1;
        } else if line.contains(r#"{\"n\":"#) {
            unsynced += 1;
        }
    }
    assert_eq!(answers, 5, "{trace}");
}

#[test]
fn a_full_disk_and_a_write_protected_one() {
    let place = tempfile::tempdir().unwrap();
    let mount = |options: &str| {
        let mut command = Command::new("mount");
        command.args(["-t", "tmpfs", "-o", options, "tmpfs"]).arg(place.path());
        command.output().is_ok_and(|output| output.status.success())
    };
    if !mount("size=24k") {
        println!("skipped: a small file system cannot be mounted here (not root, or not allowed)");
        return;
    }
    let shop = place.path().join("shop");
    let filled = (|| {
        let mut answers = 0;
        assert!(enter(&shop, OPENING).status.success());
        for round in 0..100 {
            let ended = enter(&shop, &notes(round, 50));
            answers += said(&String::from_utf8_lossy(&ended.stdout)).len();
            if !ended.status.success() {
                let message = String::from_utf8_lossy(&ended.stderr).into_owned();
                return (answers, ended.status.code(), message, kept(&shop).len());
            }
        }
        (answers, Some(0), String::new(), 0)
    })();
    let protected = mount("remount,ro").then(|| {
        let refused = enter(&shop, &notes(0, 1));
        (refused.status.code(), String::from_utf8_lossy(&refused.stderr).into_owned(), kept(&shop).len())
    });
    let _ = Command::new("umount").arg(place.path()).output();
    let (answers, code, message, there) = filled;
    assert_eq!(code, Some(3), "{message}");
    assert_eq!(there, answers + 1, "{message}");
    if let Some((code, message, there)) = protected {
        assert_eq!((code, there), (Some(3), answers + 1), "{message}");
        assert!(message.contains("Read-only") || message.contains("read-only"), "{message}");
    }
}

#[test]
fn the_second_program_is_told_who_has_the_shop() {
    let shop = new_shop();
    let holder =
        evenreveal::shop::Holder { pid: 4711, host: "bench".to_owned(), since: "2026-03-02T14:05:11Z".to_owned() };
    let held = evenreveal::shop::Shop::open(shop.path(), &evenreveal::shop::Access::Write(holder)).unwrap();
    let refused = enter(shop.path(), &notes(0, 1));
    let message = String::from_utf8_lossy(&refused.stderr).into_owned();
    assert_eq!(refused.status.code(), Some(3), "{message}");
    assert!(message.contains("process 4711 on bench, since 2026-03-02"), "{message}");
    assert_eq!(kept(shop.path()).len(), 1, "reading still works");
    drop(held);
    assert!(enter(shop.path(), &notes(0, 1)).status.success());
}
