//! Bring and take: tables in, everything out, one file and back, a salvaged copy; through the program itself.

#[path = "common/sample_copy.rs"]
mod sample_copy;

use sample_copy::sample;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn run(shop: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_evenreveal"))
        .arg("--shop")
        .arg(shop)
        .args(arguments)
        .env("HOME", shop.parent().unwrap())
        .output()
        .unwrap()
}

fn said(output: &Output) -> String {
    format!("{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr))
}

fn done(shop: &Path, arguments: &[&str]) -> String {
    let output = run(shop, arguments);
    assert!(output.status.success(), "{arguments:?}: {}", said(&output));
    String::from_utf8(output.stdout).unwrap()
}

fn refused(shop: &Path, arguments: &[&str], code: i32, wanted: &str) {
    let output = run(shop, arguments);
    assert_eq!(output.status.code(), Some(code), "{arguments:?}: {}", said(&output));
    assert!(said(&output).contains(wanted), "{arguments:?}: no '{wanted}' in: {}", said(&output));
}

/// Every file under `dir` with its bytes, but the lock.
fn tree(dir: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let mut found = Vec::new();
    for entry in fs::read_dir(dir).into_iter().flatten().map(Result::unwrap) {
        if entry.path().is_dir() {
            found.extend(tree(&entry.path()));
        } else if entry.file_name() != "shop.lock" {
            found.push((entry.path(), fs::read(entry.path()).unwrap()));
        }
    }
    found.sort();
    found
}

fn relative(dir: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    tree(dir).into_iter().map(|(path, bytes)| (path.strip_prefix(dir).unwrap().to_owned(), bytes)).collect()
}

const TABLE: &str = "opening,leaf,width,height,hinge,beside,reveal\n\
left door,,13 7/8,22 1/4,left,,\npair,L,300mm,22,left,,1/16\npair,R,12,22,right,right,\n\
drawers,,20,6,,,\ndrawers,,20,4 1/2,none,above,\n";

#[test]
fn a_table_makes_openings_that_can_be_planned() {
    let dir = tempfile::tempdir().unwrap();
    let (shop, table) = (dir.path().join("shop"), dir.path().join("leaves.csv"));
    fs::write(&table, TABLE).unwrap();
    assert_eq!(done(&shop, &["import", table.to_str().unwrap()]), "3 openings made\n");
    let list = done(&shop, &["list", "--json"]);
    let list: serde_json::Value = serde_json::from_str(&list).unwrap();
    let leaves = |name: &str| {
        list.as_array().unwrap().iter().find(|one| one["opening"] == name).map(|one| one["leaves"].clone()).unwrap()
    };
    assert_eq!(leaves("pair"), serde_json::json!(["L", "R"]));
    assert_eq!(leaves("drawers"), serde_json::json!(["A", "B"]));
    let log = done(&shop, &["log", "pair"]);
    assert!(log.contains("L.right-R.left 1/16") && log.contains("frame-L.left 1/16"), "{log}");
    // The same again: nothing doubled.
    let again = done(&shop, &["import", table.to_str().unwrap()]);
    assert!(again.contains("0 openings made") && again.contains("3 were there already"), "{again}");
    // One lost, as after a kill in the middle: it goes on.
    fs::remove_file(shop.join("openings/pair.jsonl")).unwrap();
    let on = done(&shop, &["import", table.to_str().unwrap()]);
    assert!(on.contains("1 opening made") && on.contains("2 were there already"), "{on}");
}

/// A spreadsheet whose decimal sign is the comma writes semicolons between the columns.
#[test]
fn a_table_with_semicolons_or_tabs_is_taken_as_well() {
    for between in [";", "\t"] {
        let dir = tempfile::tempdir().unwrap();
        let (shop, table) = (dir.path().join("shop"), dir.path().join("leaves.csv"));
        fs::write(&table, TABLE.replace(',', between)).unwrap();
        assert_eq!(done(&shop, &["import", table.to_str().unwrap()]), "3 openings made\n");
    }
}

#[test]
fn a_bad_row_is_named_and_nothing_is_imported() {
    let dir = tempfile::tempdir().unwrap();
    let (shop, table) = (sample(dir.path()), dir.path().join("leaves.csv"));
    let file = table.to_str().unwrap();
    let before = tree(&shop);
    for (text, wanted) in [
        ("opening,width,height\na,10,20\nb,ten,20\n", "line 3, column width"),
        ("opening,width,height\na,10,0\n", "line 2, column height"),
        ("opening,width,height\n,10,20\n", "line 2, column opening"),
        ("opening,width\na,10\n", "line 1, column height"),
        ("opening,width,height,colour\na,10,20,red\n", "line 1, column colour"),
        ("opening,width,height,hinge\na,10,20,top\n", "line 2, column hinge"),
        ("opening,width,height\na,10,20\na,10,20\n", "line 3, column beside"),
        ("opening,width,height\na,10,20\nb,10\n", "line 3"),
        ("opening,width,height\na,10,20\nDrawers,10,20\n", "line 3: there is an opening 'Drawers' already"),
        ("opening,width,height\n", "there is no row"),
    ] {
        fs::write(&table, text).unwrap();
        refused(&shop, &["import", file], 2, wanted);
        refused(&shop, &["import", file], 2, "nothing was imported");
        assert!(tree(&shop) == before, "something was kept of {text:?}");
    }
}

#[test]
fn everything_goes_out_as_json_and_csv() {
    let dir = tempfile::tempdir().unwrap();
    let shop = sample(dir.path());
    let whole: serde_json::Value = serde_json::from_str(&done(&shop, &["export", "--json"])).unwrap();
    let openings = whole["openings"].as_array().unwrap();
    assert_eq!(openings.len(), 6);
    let events: usize = openings.iter().map(|one| one["events"].as_array().unwrap().len()).sum();
    let table = done(&shop, &["export", "--csv"]);
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    assert_eq!(reader.headers().unwrap().get(0), Some("opening"));
    let numbers: std::collections::BTreeSet<(String, String)> =
        reader.records().map(Result::unwrap).map(|row| (row[0].to_owned(), row[1].to_owned())).collect();
    assert_eq!(numbers.len(), events, "every event has its row");
    let out = dir.path().join("out");
    done(&shop, &["export", out.to_str().unwrap()]);
    assert_eq!(tree(&out).len(), 3 + 2 * 6);
    refused(&shop, &["export", out.to_str().unwrap()], 2, "has something in it");
}

/// What `export` says of openings and leaves, `import` takes: the same leaves, gap lines and reveals come back.
#[test]
fn leaves_go_out_and_come_in_again() {
    let dir = tempfile::tempdir().unwrap();
    let (shop, again) = (sample(dir.path()), dir.path().join("again"));
    let metric = r#"{"event":"opening","gaps":[{"between":["frame","A.left"],"target":"2.4mm"},
        {"between":["A.right","frame"],"target":"2.4mm"},{"between":["frame","A.bottom"],"target":"2.4mm"},
        {"between":["A.top","frame"],"target":"2.4mm"}]}
        {"event":"leaf","leaf":"A","name":"the, \"third\"","width":"300.1mm","height":"=22222/777\"","thickness":"19mm","may_cut":["left","top"]}"#;
    fs::write(dir.path().join("metric.json"), metric).unwrap();
    done(&shop, &["enter", "m, 3", dir.path().join("metric.json").to_str().unwrap()]);
    let out = dir.path().join("out");
    done(&shop, &["export", out.to_str().unwrap()]);
    assert_eq!(done(&again, &["import", out.join("leaves.csv").to_str().unwrap()]), "7 openings made\n");
    let described = |shop: &Path| {
        let whole: serde_json::Value = serde_json::from_str(&done(shop, &["export", "--json"])).unwrap();
        let openings = whole["openings"].as_array().unwrap().clone();
        let of = |opening: &serde_json::Value| {
            let events = opening["events"].as_array().unwrap().iter();
            let kept = events.filter(|event| ["opening", "leaf"].contains(&event["event"].as_str().unwrap()));
            let plain = kept.map(|event| {
                let mut event = event.clone();
                let map = event.as_object_mut().unwrap();
                for field in ["n", "at", "survey"] {
                    map.remove(field);
                }
                if let Some(gaps) = map_of(&mut event, "gaps") {
                    gaps.sort_by_key(ToString::to_string);
                }
                event
            });
            (opening["opening"].clone(), plain.collect::<Vec<_>>())
        };
        openings.iter().map(of).collect::<Vec<_>>()
    };
    assert_eq!(described(&again), described(&shop));
    let third = dir.path().join("third");
    done(&again, &["export", third.to_str().unwrap()]);
    assert_eq!(fs::read(third.join("leaves.csv")).unwrap(), fs::read(out.join("leaves.csv")).unwrap());
}

fn map_of<'a>(value: &'a mut serde_json::Value, field: &str) -> Option<&'a mut Vec<serde_json::Value>> {
    value.get_mut(field)?.as_array_mut()
}

#[test]
fn a_backup_of_nothing_is_refused_and_writes_nothing() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("shop.tar");
    fs::create_dir_all(dir.path().join("empty/openings")).unwrap();
    for (shop, wanted) in [("absent", "there is no shop at"), ("empty", "neither settings nor an opening")] {
        refused(&dir.path().join(shop), &["backup", file.to_str().unwrap()], 2, wanted);
        assert!(!file.exists());
    }
}

#[test]
fn a_backup_comes_back_to_the_byte_and_overwrites_nothing() {
    let dir = tempfile::tempdir().unwrap();
    let shop = sample(dir.path());
    let file = dir.path().join("shop.tar");
    done(&shop, &["backup", file.to_str().unwrap()]);
    refused(&shop, &["backup", file.to_str().unwrap()], 2, "is there already");
    let again = dir.path().join("deep/again");
    done(&again, &["restore", file.to_str().unwrap()]);
    assert!(relative(&again) == relative(&shop), "it came back otherwise");
    refused(&again, &["restore", file.to_str().unwrap()], 2, "has something in it");
    assert_eq!(done(&again, &["list"]), done(&shop, &["list"]));
    // Cut short anywhere: refused, and no folder made.
    let whole = fs::read(&file).unwrap();
    for end in cuts(&whole) {
        let part = dir.path().join("part.tar");
        fs::write(&part, &whole[..end]).unwrap();
        let to = dir.path().join(format!("from-part-{end}"));
        let output = run(&to, &["restore", part.to_str().unwrap()]);
        assert_eq!(output.status.code(), Some(2), "cut at {end}: {}", said(&output));
        assert!(!to.exists(), "half a shop was left");
    }
    assert!(
        !fs::read_dir(dir.path()).unwrap().any(|one| one.unwrap().file_name().to_string_lossy().contains("partial"))
    );
}

/// Where a tar file is cut: between any two of its files, before its very end, and anywhere.
fn cuts(whole: &[u8]) -> Vec<usize> {
    let mut tar = tar::Archive::new(whole);
    let starts: Vec<u64> = tar.entries().unwrap().map(|entry| entry.unwrap().raw_header_position()).collect();
    assert!(starts.len() > 2, "{starts:?}");
    let between = starts.into_iter().map(|start| usize::try_from(start).unwrap());
    between.chain([whole.len() - 512, whole.len() - 1, whole.len() / 40, whole.len() / 3]).collect()
}

#[test]
fn a_mistyped_folder_does_not_become_a_shop_and_a_folder_is_no_file_to_write() {
    let dir = tempfile::tempdir().unwrap();
    let shop = sample(dir.path());
    let mistyped = dir.path().join("smaple");
    for command in [&["fit", "Pair below", "--plain"][..], &["mend", "Pair below"]] {
        refused(&mistyped, command, 2, "there is no shop at");
        assert!(!mistyped.exists(), "{command:?} made a shop");
    }
    let folder = dir.path().join("card.pdf");
    fs::create_dir(&folder).unwrap();
    refused(&shop, &["card", "Pair below", "--out", folder.to_str().unwrap()], 3, "is a directory");
    let beside: Vec<_> = fs::read_dir(dir.path()).unwrap().map(|one| one.unwrap().file_name()).collect();
    assert!(!beside.iter().any(|name| name.to_string_lossy().starts_with(".card")), "{beside:?}");
}

#[test]
fn a_column_that_is_there_twice_is_refused() {
    let dir = tempfile::tempdir().unwrap();
    let table = dir.path().join("leaves.csv");
    fs::write(&table, "opening,width,width,height\nx,12,99,20\n").unwrap();
    refused(&dir.path().join("shop"), &["import", table.to_str().unwrap()], 2, "twice");
}

#[test]
fn a_damaged_log_is_backed_up_and_restored_as_it_is() {
    let dir = tempfile::tempdir().unwrap();
    let shop = sample(dir.path());
    let openings = shop.join("openings");
    fs::write(openings.join("broken.jsonl"), "no header\n").unwrap();
    let file = dir.path().join("shop.tar");
    done(&shop, &["backup", file.to_str().unwrap()]);
    let again = dir.path().join("again");
    let told = done(&again, &["restore", file.to_str().unwrap()]);
    assert!(told.contains("openings/broken.jsonl is as it was backed up: line 1 is not the start"), "{told}");
    assert_eq!(fs::read(again.join("openings/broken.jsonl")).unwrap(), b"no header\n");
}

#[test]
fn a_backup_cannot_write_outside_its_folder() {
    let dir = tempfile::tempdir().unwrap();
    for name in ["../evil.jsonl", "openings/../../evil.jsonl", "/tmp/evil.jsonl", "openings/.hidden.jsonl", "evil.sh"] {
        let mut tar = tar::Builder::new(Vec::new());
        let mut header = tar::Header::new_gnu();
        header.set_size(2);
        header.set_mode(0o644);
        // Written by hand: the library refuses such names itself.
        header.as_mut_bytes()[..name.len()].copy_from_slice(name.as_bytes());
        header.set_cksum();
        tar.append(&header, &b"{}"[..]).unwrap();
        let file = dir.path().join("evil.tar");
        fs::write(&file, tar.into_inner().unwrap()).unwrap();
        let to = dir.path().join("in/shop");
        refused(&to, &["restore", file.to_str().unwrap()], 2, "does not belong in a shop");
        assert!(!to.exists() && !dir.path().join("in/evil.jsonl").exists() && !dir.path().join("evil.jsonl").exists());
    }
}

#[test]
fn a_damaged_log_gives_a_salvaged_copy_and_stays_as_it_was() {
    let dir = tempfile::tempdir().unwrap();
    let shop = sample(dir.path());
    let path = shop.join("openings/Pair below.jsonl");
    let whole = fs::read_to_string(&path).unwrap();
    refused(&shop, &["mend", "Pair below"], 2, "is not damaged");
    let lines: Vec<&str> = whole.lines().collect();
    let mut damaged: Vec<String> = lines.iter().map(|line| (*line).to_owned()).collect();
    damaged[3] = damaged[3].replace("22", "23");
    fs::write(&path, damaged.join("\n") + "\n").unwrap();
    let said = done(&shop, &["mend", "Pair below"]);
    assert!(said.contains("line 4 cannot be used") && said.contains("'Pair below (mended)'"), "{said}");
    assert_eq!(fs::read_to_string(&path).unwrap(), damaged.join("\n") + "\n", "the damaged file was touched");
    let log = done(&shop, &["log", "Pair below (mended)", "--json"]);
    assert_eq!(log.lines().count(), lines.len() - 2, "one event lost");
    let aside = shop.join("openings/Pair below (mended).jsonl.bad-lines");
    let aside = if aside.exists() { aside } else { shop.join("openings/Pair below _mended_.jsonl.bad-lines") };
    assert_eq!(fs::read_to_string(aside).unwrap(), format!("{}\n", damaged[3]));
    // Never overwrites: the next copy has a name of its own.
    assert!(done(&shop, &["mend", "Pair below"]).contains("'Pair below (mended 2)'"));
}

/// A table of bare numbers in a shop without a unit is taken as inches, and that is said; with units there is nothing
/// to say.
#[test]
fn bare_numbers_are_questioned_where_no_unit_is_set() {
    let dir = tempfile::tempdir().unwrap();
    let complaint = |name: &str, table: &str| {
        let shop = dir.path().join(name);
        let file = dir.path().join(format!("{name}.csv"));
        fs::write(&file, format!("opening,width,height\n{table}\n")).unwrap();
        let output = run(&shop, &["import", file.to_str().unwrap()]);
        assert_eq!(output.status.code(), Some(0), "{}", said(&output));
        String::from_utf8(output.stderr).unwrap()
    };
    assert!(complaint("bare", "Met,300,500").contains("numbers without a unit were taken as inches"));
    assert_eq!(complaint("told", "Met,300mm,500mm"), "");
    assert_eq!(complaint("inches", "Met,12 in,20 in"), "");
}

#[test]
fn man_page_and_completions_know_every_command() {
    let dir = tempfile::tempdir().unwrap();
    let man = done(dir.path(), &["man"]);
    let bash = done(dir.path(), &["completions", "bash"]);
    for command in ["solve", "plan", "card", "sheet", "import", "export", "backup", "restore", "mend", "completions"] {
        assert!(man.contains(&format!("COMMAND {}", command.to_uppercase())), "{command} is not in the man page");
        assert!(bash.contains(command), "{command} is not completed");
    }
    // Its tables stand line for line, and it points at no page that is not there.
    assert!(man.contains("\n  may_cut   the edges that may be cut") && !man.contains("(1)\n"), "{man}");
    for command in ["card", "sheet", "import", "export", "backup", "restore", "mend"] {
        let help = done(dir.path(), &[command, "--help"]);
        assert!(help.contains("Example"), "{command} --help has no example: {help}");
    }
    refused(dir.path(), &["completions", "teletype"], 2, "teletype");
}

/// What was judged stays judged in a salvaged copy, whose events have other numbers; what judges a reading that is
/// lost is set aside and said.
#[test]
fn a_salvaged_copy_keeps_what_was_struck() {
    use evenreveal::fit::estimate::Standing;
    use evenreveal::shop::{Access, Holder, Shop};
    let events = r#"{"event":"opening","gaps":[{"between":["frame","A.left"],"target":"3/32"}]}
{"event":"leaf","leaf":"A","name":"door","width":"11","height":"26","hinge":"left"}
{"event":"note","text":"lost"}
{"event":"readings","round":1,"gaps":[{"between":["frame","A.left"],"readings":[{"at":"1","gap":"1/4"}]}]}
{"event":"readings","round":1,"gaps":[{"between":["frame","A.left"],"readings":[{"at":"25","gap":"1/16"}]}]}
{"event":"judged","reading":4,"between":["frame","A.left"],"station":"1","verdict":"struck"}"#;
    let at = "2026-03-02T14:05:11Z";
    for (lost, gone) in [("lost", "gone"), ("1/4", "1/8")] {
        let dir = tempfile::tempdir().unwrap();
        let shop_dir = dir.path().join("shop");
        let holder = Holder { pid: 1, host: "bench".to_owned(), since: at.to_owned() };
        let shop = Shop::open(&shop_dir, &Access::Write(holder)).unwrap();
        let events = serde_json::Deserializer::from_str(events).into_iter().map(Result::unwrap).collect();
        shop.create_opening("door").unwrap().enter(events, at).unwrap();
        drop(shop);
        let path = shop_dir.join("openings/door.jsonl");
        let whole = fs::read_to_string(&path).unwrap();
        fs::write(&path, whole.replacen(lost, gone, 1)).unwrap();
        let said = done(&shop_dir, &["mend", "door"]);
        let shop = Shop::open(&shop_dir, &Access::Look).unwrap();
        let mended = shop.opening("door (mended)").unwrap();
        let taken = &mended.state().round(1).unwrap().taken;
        let standing: Vec<_> = taken.iter().map(|one| one.taken.standing).collect();
        if lost == "lost" {
            assert_eq!(standing, [Standing::Struck, Standing::Plain], "{said}");
            assert_eq!(mended.records().len(), 5);
        } else {
            assert_eq!(standing, [Standing::Plain]);
            assert!(said.contains("it judges a reading of event 4, which is lost"), "{said}");
            assert_eq!(mended.records().len(), 4);
        }
    }
}
