//! The store under power cuts, failing operations, truncation and bit flips.
//!
//! What every test asks: is each event that was called kept there afterwards, in order, and can the
//! opening be written to again?
//!
//! `python3 tests/faults/mutations.py` takes each guard of the store out in turn (13 of them: syncs,
//! cut-offs, refusals, comparisons) and checks that a test here fails without it.

#[path = "faults/model.rs"]
mod model;

use evenreveal::shop::event::{Event, Note};
use evenreveal::shop::files::Files;
use evenreveal::shop::log::{AppendError, Contents, Log, Notice, ReadOnly, Tail, Trouble};
use evenreveal::shop::settings::Settings;
use evenreveal::shop::{Access, EnterError, Holder, Shop};
use model::{Fault, ModelFiles, SURVIVALS};
use std::path::{Path, PathBuf};
use std::sync::Arc;

const AT: &str = "2026-03-02T14:05:11Z";
const FAILURES: [(&str, i32); 4] = [("EIO", 5), ("ENOSPC", 28), ("EROFS", 30), ("EDQUOT", 122)];

fn access() -> Access {
    Access::Write(Holder { pid: 1, host: "bench".to_owned(), since: AT.to_owned() })
}

fn note(text: &str) -> Event {
    Event::Note(Note { text: text.to_owned(), photo: String::new() })
}

fn shop_dir() -> PathBuf {
    PathBuf::from("/shop")
}

fn log_path() -> PathBuf {
    shop_dir().join("openings").join("door.jsonl")
}

fn texts(log: &Log) -> Vec<String> {
    let text = |event: &Event| match event {
        Event::Note(note) => note.text.clone(),
        other => other.word().to_owned(),
    };
    log.records().iter().map(|record| text(&record.event)).collect()
}

/// What a session asked for and what it was promised.
#[derive(Debug, Default)]
struct Promises {
    created: bool,
    asked: Vec<String>,
    kept: Vec<String>,
    settings_saved: Option<String>,
    settings_asked: Vec<String>,
}

/// A session: make the shop and an opening, keep notes, save settings twice, close, open again, keep
/// more. It goes on as far as it is let, as a user would who reopens after trouble.
fn session(files: &ModelFiles, start: usize) -> Promises {
    let mut promises = Promises::default();
    for visit in 0..3 {
        let Ok(mut shop) = Shop::open_on(Arc::new(files.clone()), &shop_dir(), &access()) else { continue };
        let name = format!("shop {start}.{visit}");
        promises.settings_asked.push(name.clone());
        if shop.save_settings(Settings { name: name.clone(), ..Settings::default() }).is_ok() {
            promises.settings_saved = Some(name);
        }
        let opening = match shop.opening("door") {
            Ok(opening) => Ok(opening),
            Err(_) => shop.create_opening("door"),
        };
        let Ok(mut opening) = opening else { continue };
        promises.created = true;
        for number in 0..3 {
            let text = format!("note {start}.{visit}.{number} {}", "x".repeat(number * 40));
            promises.asked.push(text.clone());
            if opening.append(note(&text), AT).is_ok() {
                promises.kept.push(text);
            }
        }
    }
    promises
}

/// Opens what is there and checks it against the promises, then checks that it can be used.
fn check_promises(files: &ModelFiles, earlier: &[String], promises: &Promises, context: &str) {
    let shop = Shop::open_on(Arc::new(files.clone()), &shop_dir(), &access())
        .unwrap_or_else(|error| panic!("{context}: the shop does not open: {error}"));
    if let Some(saved) = &promises.settings_saved {
        let found = &shop.settings().name;
        let place = |name: &String| promises.settings_asked.iter().position(|asked| asked == name);
        assert!(place(found) >= place(saved), "{context}: settings went back to '{found}' after '{saved}' was saved");
    }
    let mut opening = match shop.opening("door") {
        Ok(opening) => opening,
        Err(_) if !promises.created && earlier.is_empty() => return,
        Err(error) => panic!("{context}: the opening is gone: {error}"),
    };
    let found: Vec<String> = opening
        .records()
        .iter()
        .map(|record| match &record.event {
            Event::Note(note) => note.text.clone(),
            other => other.word().to_owned(),
        })
        .collect();
    let mut asked = promises.asked.iter();
    assert!(found.starts_with(earlier), "{context}: {found:?} does not begin with {earlier:?}");
    for text in &found[earlier.len()..] {
        assert!(asked.any(|other| other == text), "{context}: '{text}' was never asked for, or is out of order");
    }
    let mut there = found.iter();
    for text in &promises.kept {
        assert!(there.any(|other| other == text), "{context}: '{text}' was called kept and is not in {found:?}");
    }
    assert!(opening.read_only().is_none(), "{context}: {:?}", opening.read_only());
    opening.append(note("after"), AT).unwrap_or_else(|error| panic!("{context}: {error}"));
    let again = Log::open(files, opening.path(), Err(ReadOnly::Asked)).unwrap();
    assert_eq!(again.records().len(), found.len() + 1, "{context}");
}

fn events(texts: &[&str]) -> Vec<u8> {
    let files = ModelFiles::default();
    let shop = Shop::open_on(Arc::new(files.clone()), &shop_dir(), &access()).unwrap();
    let mut opening = shop.create_opening("door").unwrap();
    for text in texts {
        opening.append(note(text), AT).unwrap();
    }
    files.get(&log_path()).unwrap()
}

/// The three ways a shop can be found: not there, in use, and torn by an earlier power cut.
fn starts() -> Vec<(&'static str, ModelFiles, Vec<String>)> {
    let fresh = ModelFiles::default();
    let used = ModelFiles::default();
    let earlier = vec!["a".to_owned(), "b".to_owned()];
    session_dirs(&used);
    used.put(&log_path(), &events(&["a", "b"]));
    let torn = ModelFiles::default();
    session_dirs(&torn);
    let mut bytes = events(&["a", "b", "c"]);
    bytes.truncate(bytes.len() - 9);
    torn.put(&log_path(), &bytes);
    let no_end = ModelFiles::default();
    session_dirs(&no_end);
    let mut bytes = events(&["a", "b"]);
    bytes.pop();
    no_end.put(&log_path(), &bytes);
    vec![
        ("fresh", fresh, Vec::new()),
        ("used", used, earlier.clone()),
        ("torn", torn, earlier.clone()),
        ("no line end", no_end, earlier),
    ]
}

fn session_dirs(files: &ModelFiles) {
    files.make_dir(&shop_dir().join("openings")).unwrap();
}

#[test]
fn the_power_may_go_at_any_operation() {
    let mut cases = 0;
    for number in 0..starts().len() {
        let whole = {
            let (_, files, _) = starts().swap_remove(number);
            let before = files.operations();
            session(&files, 0);
            files.operations() - before
        };
        for at in 0..whole {
            for fault in [Fault::PowerBefore, Fault::PowerAfter] {
                let (start, files, earlier) = starts().swap_remove(number);
                files.with_fault(at, fault);
                let promises = session(&files, 0);
                for survival in SURVIVALS {
                    for new_names in [false, true] {
                        let context = format!("{start}, operation {at}, {fault:?}, {survival:?}, names {new_names}");
                        let after = files.after_power_cut(survival, new_names);
                        if after.names(&shop_dir()).is_err() {
                            assert!(!promises.created, "{context}");
                            continue;
                        }
                        check_promises(&after, &earlier, &promises, &context);
                        cases += 1;
                    }
                }
            }
        }
    }
    println!("{cases} power cuts");
    assert!(cases > 3000, "only {cases} cases: the session shrank");
}

#[test]
fn every_operation_may_fail_once() {
    let mut cases = 0;
    for number in 0..starts().len() {
        let whole = {
            let (_, files, _) = starts().swap_remove(number);
            session(&files, 0);
            files.operations()
        };
        for at in 0..whole {
            for (name, code) in FAILURES {
                for fault in [Fault::Fails(code), Fault::HalfThenFails(code)] {
                    let (start, files, earlier) = starts().swap_remove(number);
                    files.with_fault(at, fault);
                    let promises = session(&files, 0);
                    let context = format!("{start}, operation {at}, {fault:?} {name}");
                    for (survival, new_names) in SURVIVALS.into_iter().flat_map(|one| [(one, true), (one, false)]) {
                        let after = files.after_power_cut(survival, new_names);
                        if after.names(&shop_dir()).is_ok() {
                            let context = format!("{context}, then {survival:?}, names {new_names}");
                            check_promises(&after, &earlier, &promises, &context);
                            cases += 1;
                        }
                    }
                    // Without a power cut: simply opened again.
                    files.without_fault();
                    check_promises(&files, &earlier, &promises, &context);
                    cases += 1;
                }
            }
        }
    }
    println!("{cases} failures");
    assert!(cases > 3000, "only {cases} cases: the session shrank");
}

#[test]
fn short_writes_are_carried_on_with() {
    let files = ModelFiles::default();
    session(&files, 0);
    let whole = files.operations();
    for at in 0..whole {
        let files = ModelFiles::default();
        files.with_fault(at, Fault::HalfDone);
        let promises = session(&files, 0);
        assert_eq!(promises.kept.len(), 9, "operation {at}: {promises:?}");
        check_promises(&files, &[], &promises, &format!("operation {at}"));
    }
}

#[test]
fn after_a_failure_nothing_is_kept_until_it_is_opened_again() {
    for (name, code) in FAILURES {
        // Operation 0 asks for the length, 1 writes, 2 syncs.
        for at in 0..3 {
            let files = ModelFiles::default();
            session_dirs(&files);
            files.put(&log_path(), &events(&["a"]));
            let mut log = Log::open(&files, &log_path(), Ok(())).unwrap();
            files.with_fault(at, Fault::Fails(code));
            let failed = log.append(note("b"), AT);
            assert!(matches!(failed, Err(AppendError::Failed { .. })), "{name} at {at}: {failed:?}");
            let syncs = files.syncs();
            let refused = log.append(note("c"), AT);
            assert!(matches!(refused, Err(AppendError::ReadOnly(ReadOnly::Failed(_)))), "{name} at {at}: {refused:?}");
            assert_eq!(files.syncs(), syncs, "{name} at {at}: a sync was tried again");
            assert_eq!(files.get(&log_path()).unwrap(), events(&["a"]), "{name} at {at}: not rolled back");
            drop(log);
            let mut log = Log::open(&files, &log_path(), Ok(())).unwrap();
            log.append(note("d"), AT).unwrap();
            assert_eq!(texts(&log), ["a", "d"]);
        }
    }
}

#[test]
fn every_truncation_keeps_the_whole_lines_before_it() {
    let whole = events(&["one", "two", "three", "four"]);
    let ends: Vec<usize> = (0..whole.len()).filter(|&at| whole[at] == b'\n').map(|at| at + 1).collect();
    for length in 0..whole.len() {
        let contents = Contents::read(&whole[..length]);
        // A line counts when all of it but perhaps its line end is there.
        let lines = ends.iter().filter(|&&end| end - 1 <= length).count();
        if lines == 0 {
            assert!(matches!(contents.trouble, Some(Trouble::NoHeader { .. })), "{length}: {contents:?}");
            continue;
        }
        assert_eq!(contents.records.len(), lines - 1, "length {length}");
        assert_eq!(contents.trouble, None, "length {length}");
        let expected = if ends.contains(&length) {
            Tail::Clean
        } else if ends.contains(&(length + 1)) {
            Tail::NoLineEnd
        } else {
            Tail::Torn
        };
        assert_eq!(contents.tail, expected, "length {length}");
    }
}

#[test]
fn no_bit_flip_goes_unnoticed() {
    let whole = events(&["one", "two", "three"]);
    let good = Contents::read(&whole);
    assert_eq!((good.records.len(), &good.trouble, good.tail), (3, &None, Tail::Clean));
    let lines: Vec<usize> = (0..whole.len()).filter(|&at| whole[at] == b'\n').collect();
    let last_line = lines[lines.len() - 2] + 1;
    for at in 0..whole.len() {
        for bit in 0..8 {
            let mut bytes = whole.clone();
            bytes[at] ^= 1 << bit;
            let contents = Contents::read(&bytes);
            let line = lines.iter().filter(|&&end| end < at).count() + 1;
            let context = format!("byte {at} (line {line}), bit {bit}: {:?} {:?}", contents.trouble, contents.tail);
            match contents.records.len() {
                // All three events: only the very last line end can have changed.
                3 => assert!(at == whole.len() - 1 && contents.tail == Tail::Torn, "{context}"),
                // A lost line end runs two lines together.
                _ if bytes[at] != b'\n' && lines.contains(&at) && line > 1 => {
                    assert_eq!(contents.records.len(), line - 2, "{context}");
                    assert!(
                        matches!(contents.trouble, Some(Trouble::Damaged { line: named, .. }) if named == line),
                        "{context}"
                    );
                }
                // A last line that ends in a checksum and a line end was written whole and may have been called kept:
                // it is not torn. Where these themselves are harmed nobody can tell.
                _ if at >= last_line => {
                    assert_eq!(contents.records.len(), 2, "{context}");
                    let named = matches!(contents.trouble, Some(Trouble::Damaged { line: 4, .. }));
                    assert_ne!(named, contents.tail == Tail::Torn, "{context}");
                    let text = ..whole.len() - ",\"crc\":\"00000000\"}\n".len();
                    assert!(named || !text.contains(&at) || bytes[at] == 0, "{context}");
                }
                0 if line == 1 => assert!(contents.trouble.is_some(), "{context}"),
                found => {
                    assert_eq!(found, line - 2, "{context}");
                    assert!(
                        matches!(contents.trouble, Some(Trouble::Damaged { line: named, .. }) if named == line),
                        "{context}"
                    );
                }
            }
            assert_eq!(contents.records, good.records[..contents.records.len()], "{context}");
        }
    }
}

#[test]
fn a_torn_line_is_set_aside_and_said() {
    let files = ModelFiles::default();
    session_dirs(&files);
    let mut bytes = events(&["a", "b"]);
    let torn = br#"{"n":3,"at":"2026"#;
    bytes.extend_from_slice(torn);
    files.put(&log_path(), &bytes);
    let mut log = Log::open(&files, &log_path(), Ok(())).unwrap();
    assert_eq!(texts(&log), ["a", "b"]);
    assert!(
        matches!(log.notices(), [Notice::TornLineSetAside { aside, bytes, .. }] if aside == "door.jsonl.torn-1" && *bytes == torn.len()),
        "{:?}",
        log.notices()
    );
    assert_eq!(files.get(&log_path().with_file_name("door.jsonl.torn-1")).unwrap(), torn);
    log.append(note("c"), AT).unwrap();
    assert_eq!(files.get(&log_path()).unwrap(), events(&["a", "b", "c"]));
    // A second torn line does not overwrite the first.
    let mut bytes = files.get(&log_path()).unwrap();
    bytes.extend_from_slice(b"\0\0\0\0");
    files.put(&log_path(), &bytes);
    drop(Log::open(&files, &log_path(), Ok(())).unwrap());
    assert_eq!(files.get(&log_path().with_file_name("door.jsonl.torn-2")).unwrap(), b"\0\0\0\0");
    assert_eq!(files.get(&log_path().with_file_name("door.jsonl.torn-1")).unwrap(), torn);
}

#[test]
fn a_damaged_middle_line_is_named_and_nothing_is_changed() {
    let files = ModelFiles::default();
    session_dirs(&files);
    let mut bytes = events(&["a", "b", "c"]);
    let place = bytes.windows(3).position(|part| part == b"\"b\"").unwrap();
    bytes[place + 1] = b'B';
    files.put(&log_path(), &bytes);
    let mut log = Log::open(&files, &log_path(), Ok(())).unwrap();
    assert_eq!(texts(&log), ["a"]);
    let why = log.read_only().unwrap().to_string();
    assert!(why.contains("line 3 is damaged"), "{why}");
    assert!(log.append(note("d"), AT).is_err());
    assert_eq!(files.get(&log_path()).unwrap(), bytes);
    assert_eq!(Contents::read(&bytes).beyond.len(), 1, "the good line after it can be salvaged");
}

#[test]
fn a_missing_or_doubled_line_is_named() {
    let whole = String::from_utf8(events(&["a", "b", "c"])).unwrap();
    let lines: Vec<&str> = whole.split_inclusive('\n').collect();
    let missing = [lines[0], lines[1], lines[3]].concat();
    let doubled = [lines[0], lines[1], lines[2], lines[2], lines[3]].concat();
    let read = |text: &str| Contents::read(text.as_bytes()).trouble;
    assert_eq!(read(&missing), Some(Trouble::OutOfOrder { line: 3, found: 3, expected: 2 }));
    assert_eq!(read(&doubled), Some(Trouble::OutOfOrder { line: 4, found: 2, expected: 3 }));
}

#[test]
fn a_newer_format_is_not_touched_even_with_a_torn_tail() {
    let files = ModelFiles::default();
    session_dirs(&files);
    let bytes = b"{\"format\":\"evenreveal-opening/2\",\"opening\":\"door\",\"sum\":\"x\"}\n{\"n\":1,\"at\":\"20";
    files.put(&log_path(), bytes);
    let mut log = Log::open(&files, &log_path(), Ok(())).unwrap();
    let why = log.read_only().unwrap().to_string();
    assert!(why.contains("evenreveal-opening/2") && why.contains("newer"), "{why}");
    assert!(log.append(note("a"), AT).is_err());
    assert_eq!(files.get(&log_path()).unwrap(), bytes);
    assert_eq!(files.names(&shop_dir().join("openings")).unwrap(), ["door.jsonl"]);
}

#[test]
fn a_file_changed_by_another_program_is_not_written_over() {
    let files = ModelFiles::default();
    session_dirs(&files);
    files.put(&log_path(), &events(&["a"]));
    let mut log = Log::open(&files, &log_path(), Ok(())).unwrap();
    let mut other = Log::open(&files, &log_path(), Ok(())).unwrap();
    other.append(note("b"), AT).unwrap();
    let refused = log.append(note("c"), AT);
    assert!(matches!(refused, Err(AppendError::ChangedBelow { .. })), "{refused:?}");
    assert_eq!(files.get(&log_path()).unwrap(), events(&["a", "b"]));
}

#[test]
fn on_read_only_media_all_can_be_read() {
    let files = ModelFiles::default();
    session_dirs(&files);
    files.put(&log_path(), &events(&["a", "b"]));
    // Making the folder, the lock file and opening for writing all fail, as on a write-protected disk.
    files.with_fault(0, Fault::Fails(30));
    let shop = Shop::open_on(Arc::new(files.clone()), &shop_dir(), &access()).unwrap();
    assert!(matches!(shop.read_only(), Some(ReadOnly::Media(_))), "{:?}", shop.read_only());
    let mut opening = shop.opening("door").unwrap();
    assert_eq!(opening.records().len(), 2);
    let refused = opening.append(note("c"), AT);
    assert!(
        matches!(refused, Err(EnterError::Append { kept: 0, error: AppendError::ReadOnly(ReadOnly::Media(_)) })),
        "{refused:?}"
    );
    assert_eq!(files.get(&log_path()).unwrap(), events(&["a", "b"]));
}

#[test]
fn the_second_program_changes_nothing_not_even_a_torn_line() {
    let files = ModelFiles::default();
    let first = Shop::open_on(Arc::new(files.clone()), &shop_dir(), &access()).unwrap();
    let mut bytes = events(&["a"]);
    bytes.extend_from_slice(b"{\"n\":2");
    files.put(&log_path(), &bytes);
    let second = Shop::open_on(Arc::new(files.clone()), &shop_dir(), &access()).unwrap();
    assert!(matches!(second.read_only(), Some(ReadOnly::Held(_))));
    let opening = second.opening("door").unwrap();
    assert!(matches!(opening.notices(), [Notice::TornLinePassedOver { .. }]), "{:?}", opening.notices());
    assert_eq!(files.get(&log_path()).unwrap(), bytes);
    drop(first);
}

#[test]
fn checksum_rule_is_the_one_documented() {
    let whole = String::from_utf8(events(&["a"])).unwrap();
    for line in whole.lines() {
        let (text, tail) = line.rsplit_once(",\"crc\":\"").unwrap();
        // CRC-32 of IEEE 802.3, bit by bit, apart from the library that the program uses.
        let crc = !text.bytes().fold(u32::MAX, |crc, byte| {
            (0..8).fold(crc ^ u32::from(byte), |crc, _| if crc & 1 == 1 { (crc >> 1) ^ 0xEDB8_8320 } else { crc >> 1 })
        });
        assert_eq!(tail, format!("{crc:08x}\"}}"));
    }
    assert!(Path::new("/shop").is_absolute());
}
