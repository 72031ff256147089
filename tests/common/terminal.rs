//! The program in a pseudo-terminal: real keys in, the real screen out.

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};
use std::io::{Read, Write};
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};
use vt100::Parser;

/// Longest wait for something to show; only a hang takes this long.
const LIMIT: Duration = Duration::from_secs(60);

/// Rows or columns: never none.
pub fn some(count: u16) -> std::num::NonZero<u16> {
    std::num::NonZero::new(count).unwrap()
}

pub struct Terminal {
    pub parser: Arc<Mutex<Parser>>,
    pub keys: Box<dyn Write + Send>,
    pub child: Box<dyn Child + Send + Sync>,
    pub master: Option<Box<dyn MasterPty + Send>>,
    reader: Option<JoinHandle<()>>,
    stop: Arc<AtomicBool>,
}

impl Terminal {
    pub fn start(shop: &Path, rows: u16, cols: u16, environment: &[(&str, &str)]) -> Self {
        let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_evenreveal"));
        command.args(["--shop", &shop.display().to_string()]);
        Self::run(command, shop, rows, cols, environment)
    }

    pub fn run(mut command: CommandBuilder, home: &Path, rows: u16, cols: u16, environment: &[(&str, &str)]) -> Self {
        let pair = native_pty_system().openpty(PtySize { rows, cols, pixel_width: 0, pixel_height: 0 }).unwrap();
        command.env_clear();
        for (name, value) in [("TERM", "xterm-256color"), ("LANG", "C.UTF-8")].iter().chain(environment) {
            command.env(name, value);
        }
        command.env("HOME", home);
        command.cwd(home);
        let child = pair.slave.spawn_command(command).unwrap();
        drop(pair.slave);
        let parser = Arc::new(Mutex::new(Parser::new(some(rows), some(cols), 0)));
        let mut output = pair.master.try_clone_reader().unwrap();
        let keys = pair.master.take_writer().unwrap();
        let fed = Arc::clone(&parser);
        let stop = Arc::new(AtomicBool::new(false));
        let stopped = Arc::clone(&stop);
        let reader = std::thread::spawn(move || {
            let mut bytes = [0; 4096];
            while let Ok(count) = output.read(&mut bytes) {
                if count == 0 || stopped.load(Ordering::Relaxed) {
                    break;
                }
                fed.lock().unwrap().process(&bytes[..count]);
            }
        });
        Self { parser, keys, child, master: Some(pair.master), reader: Some(reader), stop }
    }

    pub fn screen(&self) -> String {
        self.parser.lock().unwrap().screen().contents()
    }

    /// Waits until `wanted` stands on the screen.
    pub fn sees(&self, wanted: &str) {
        let until = Instant::now() + LIMIT;
        while !self.screen().contains(wanted) {
            assert!(Instant::now() < until, "never saw '{wanted}' on\n{}", self.screen());
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    pub fn press(&mut self, keys: &str) {
        self.keys.write_all(keys.as_bytes()).unwrap();
        self.keys.flush().unwrap();
    }

    /// Closes our whole end, as a closed window does. The reader holds one, too: it goes after one more output.
    pub fn vanish(&mut self) {
        self.stop.store(true, Ordering::Relaxed);
        self.press("?");
        self.reader.take().unwrap().join().unwrap();
        self.keys = Box::new(std::io::sink());
        drop(self.master.take());
    }

    /// Waits for the end of the program; answers whether it ended well.
    pub fn ended(&mut self) -> bool {
        let until = Instant::now() + LIMIT;
        loop {
            if let Some(status) = self.child.try_wait().unwrap() {
                return status.success();
            }
            if Instant::now() > until {
                let screen = self.screen();
                self.child.kill().unwrap();
                panic!("still running:\n{screen}");
            }
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    /// The terminal is as it was: main screen, cursor shown.
    pub fn is_given_back(&self) {
        let until = Instant::now() + LIMIT;
        loop {
            let parser = self.parser.lock().unwrap();
            let screen = parser.screen();
            if !(screen.alternate_screen() || screen.hide_cursor() || screen.bracketed_paste()) {
                return;
            }
            drop(parser);
            assert!(Instant::now() < until, "the terminal was not given back:\n{}", self.screen());
            std::thread::sleep(Duration::from_millis(10));
        }
    }
}
