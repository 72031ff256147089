//! The line-by-line mode through a pipe, and through a terminal: no cursor movement, no colour, everything kept.

use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

fn program(dir: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_evenreveal"));
    command.arg("--shop").arg(dir.join("shop")).env("HOME", dir).env_remove("NO_COLOR");
    command
}

/// A shop with one door, made by the program's own import.
fn shop() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    std::fs::write(dir.path().join("door.csv"), "opening,width,height,hinge\nleft door,11,26,left\n").unwrap();
    let made = program(dir.path()).arg("import").arg(dir.path().join("door.csv")).output().unwrap();
    assert!(made.status.success());
    dir
}

fn talk(dir: &Path, answers: &str) -> String {
    let mut child = program(dir)
        .args(["fit", "left door", "--plain"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child.stdin.take().unwrap().write_all(answers.as_bytes()).unwrap();
    let output = child.wait_with_output().unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    assert!(output.status.success(), "{text}{}", String::from_utf8_lossy(&output.stderr));
    assert!(!text.contains(['\u{1b}', '\r', '\u{8}', '\u{7}']), "no control characters: {text:?}");
    text
}

fn log(dir: &Path) -> String {
    String::from_utf8(program(dir).args(["log", "left door"]).output().unwrap().stdout).unwrap()
}

#[test]
fn a_round_goes_through_a_pipe_and_is_kept() {
    let dir = shop();
    // The hinge side's top, then clockwise: feelers by number and lengths; one mistake, one way back.
    let readings = "2\n3\n3\n2\n?\nnonsense\n2\n2\nback\n2\n2\n4\n4\n3\n2\n2\n";
    let text = talk(dir.path(), &format!("{readings}y\ny\n"));
    for wanted in [
        "Station 1 of 12: left edge, top",
        "Feelers: 1 is 1/64",
        "'nonsense' is no feeler",
        "Station 12 of 12",
        "Plan of round 1",
        "Accept this plan?",
        "Caution: ",
        "Done as shown?",
        "Everything said so far is kept.",
    ] {
        assert!(text.contains(wanted), "no '{wanted}' in:\n{text}");
    }
    let log = log(dir.path());
    assert!(log.contains("goes") && log.contains("plan"), "{log}");
    assert!(log.contains("cut by"), "'y' records the cut: {log}");
}

#[test]
fn what_was_read_before_the_input_ends_is_kept_and_asked_no_more() {
    let dir = shop();
    let text = talk(dir.path(), "1/16\n3/32\n");
    assert!(text.contains("Station 3 of 12") && text.ends_with("Everything said so far is kept.\n"), "{text}");
    let text = talk(dir.path(), "");
    assert!(text.contains("Station 3 of 12") && !text.contains("Station 2 of 12"), "{text}");
    assert_eq!(log(dir.path()).matches("read:").count(), 2);
}

#[test]
fn a_surprising_reading_is_asked_about() {
    let dir = shop();
    let text = talk(dir.path(), "1/16\nskip\n1/16\n1/16\n1/16\n1/16\n1/4\nagain\n1/16\n");
    assert!(text.contains("Check it: expected about 1/16, you read 1/4."), "{text}");
    let log = log(dir.path());
    assert!(log.contains("1/4"), "the first look stays in the log, nothing is dropped silently: {log}");
    assert_eq!(log.matches("struck").count(), 1, "and is struck, since the second look differs: {log}");
}

#[test]
fn an_opening_that_is_not_there_is_named() {
    let dir = shop();
    let output = program(dir.path()).args(["fit", "right door", "--plain"]).output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("right door"));
}

#[cfg(unix)]
#[test]
fn a_terminal_gets_plain_lines_too() {
    use portable_pty::{CommandBuilder, PtySize, native_pty_system};
    use std::io::Read;
    let dir = shop();
    let pair = native_pty_system().openpty(PtySize { rows: 24, cols: 80, pixel_width: 0, pixel_height: 0 }).unwrap();
    let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_evenreveal"));
    command.args(["--shop", &dir.path().join("shop").display().to_string(), "fit", "left door", "--plain"]);
    command.env("HOME", dir.path());
    command.env("TERM", "xterm-256color");
    let mut child = pair.slave.spawn_command(command).unwrap();
    drop(pair.slave);
    let mut output = pair.master.try_clone_reader().unwrap();
    let mut keys = pair.master.take_writer().unwrap();
    keys.write_all(b"1/16\nquit\n").unwrap();
    let reader = std::thread::spawn(move || {
        let (mut text, mut bytes) = (Vec::new(), [0; 1024]);
        while let Ok(count) = output.read(&mut bytes) {
            if count == 0 {
                break;
            }
            text.extend_from_slice(&bytes[..count]);
        }
        String::from_utf8_lossy(&text).into_owned()
    });
    assert!(child.wait().unwrap().success());
    drop((keys, pair.master));
    let text = reader.join().unwrap();
    assert!(text.contains("Station 2 of 12"), "{text}");
    assert!(!text.contains('\u{1b}'), "no cursor movement, no colour: {text:?}");
}
