//! The real program, run with arguments and input in a folder of its own.

use serde_json::Value;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Output, Stdio};

pub struct Home(pub tempfile::TempDir);

pub struct Ended {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Home {
    pub fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    pub fn path(&self) -> &Path {
        self.0.path()
    }

    pub fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_evenreveal"));
        command.args(arguments).current_dir(self.path()).env_clear().env("HOME", self.path());
        command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
        command
    }

    pub fn run(&self, arguments: &[&str], input: &str) -> Ended {
        let mut child = self.command(arguments).spawn().unwrap();
        // A program that refuses its arguments does not read.
        let _ = child.stdin.take().unwrap().write_all(input.as_bytes());
        let Output { status, stdout, stderr } = child.wait_with_output().unwrap();
        let text = |bytes| String::from_utf8(bytes).unwrap();
        Ended { code: status.code().expect("it ends by itself"), out: text(stdout), err: text(stderr) }
    }

    pub fn write(&self, name: &str, text: &str) {
        std::fs::write(self.path().join(name), text).unwrap();
    }
}

impl Ended {
    #[track_caller]
    pub fn code(self, expected: i32) -> Self {
        assert_eq!(self.code, expected, "\nout: {}\nerr: {}", self.out, self.err);
        assert!(!self.err.contains("panicked"), "{}", self.err);
        if expected == 2 || expected == 3 {
            assert!(self.err.len() > 20, "no message");
        }
        self
    }

    #[track_caller]
    pub fn says(self, words: &[&str]) -> Self {
        for word in words {
            assert!(self.err.contains(word), "'{word}' is not in the message: {}", self.err);
        }
        self
    }

    #[track_caller]
    pub fn gives(self, words: &[&str]) -> Self {
        for word in words {
            assert!(self.out.contains(word), "'{word}' is not in the result: {}", self.out);
        }
        self
    }

    #[track_caller]
    pub fn json(&self) -> Value {
        serde_json::from_str(&self.out).unwrap_or_else(|error| panic!("{error}: {}", self.out))
    }
}
