//! The terminal, taken for the screen and given back after quitting, an error, a panic or a signal.

use ratatui::DefaultTerminal;
use ratatui::Frame;
use ratatui::crossterm::cursor::Show;
use ratatui::crossterm::event::{DisableBracketedPaste, EnableBracketedPaste};
use ratatui::crossterm::execute;
use ratatui::crossterm::style::force_color_output;
use std::io::{self, IsTerminal};

/// Are input and output a terminal? Asked before anything is set up.
pub fn is_one() -> bool {
    io::stdin().is_terminal() && io::stdout().is_terminal()
}

/// The terminal while the screen has it. Dropping it gives the terminal back; so does a panic, before
/// its message is printed.
#[derive(Debug)]
pub struct Screen(DefaultTerminal);

impl Screen {
    /// Takes the terminal: raw mode, alternate screen, a panic hook.
    pub fn open() -> io::Result<Self> {
        // Colours are chosen by our theme, which reads NO_COLOR itself; crossterm's own reading of it
        // would take bold and reverse away, too.
        force_color_output(true);
        let terminal = ratatui::try_init()?;
        // Pasted text must not act as keys. A terminal that does not know this sends it as keys, as ever.
        let _ = execute!(io::stdout(), EnableBracketedPaste);
        let before = std::panic::take_hook();
        std::panic::set_hook(Box::new(move |info| {
            let _ = execute!(io::stdout(), DisableBracketedPaste);
            before(info);
        }));
        Ok(Self(terminal))
    }

    /// Draws one frame.
    pub fn draw(&mut self, view: impl FnOnce(&mut Frame<'_>)) -> io::Result<()> {
        self.0.draw(view).map(|_| ())
    }
}

impl Drop for Screen {
    fn drop(&mut self) {
        give_back();
    }
}

/// Gives the terminal back. If it is gone there is nobody to tell.
pub fn give_back() {
    let _ = execute!(io::stdout(), DisableBracketedPaste);
    let _ = ratatui::try_restore();
    let _ = execute!(io::stdout(), Show);
}

/// Gives the terminal back from another thread than the one that holds it. The command line holds the
/// lock of standard output as long as it runs, so waiting for that lock could last for ever.
pub fn give_back_from_aside() {
    let _ = ratatui::crossterm::terminal::disable_raw_mode();
    let _ = rustix::io::write(rustix::stdio::stdout(), LEAVE);
}

/// Lets pasted text come as keys again, leaves the alternate screen and shows the cursor.
const LEAVE: &[u8] = b"\x1b[?2004l\x1b[?1049l\x1b[?25h";
