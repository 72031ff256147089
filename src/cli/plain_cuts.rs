//! Line by line: what was cut, as shown or otherwise.

use super::plain::{End, Stop, Talk};
use super::plain_words::record_lines;
use crate::bench::{Action, Screen};

impl Talk<'_> {
    pub(super) fn cuts(&mut self) -> Result<(), End> {
        if !matches!(self.session.screen(), Some(Screen::Record(_))) {
            self.home();
            self.act(Action::Cut)?;
        }
        let Some(Screen::Record(record)) = self.session.screen().cloned() else { return Err(Stop.into()) };
        for line in record_lines(&record, self.show()) {
            self.line(&line)?;
        }
        loop {
            match self.ask("Done as shown? y, n (say what was done), or quit to do it later")?.as_str() {
                "y" | "yes" => {
                    self.act(Action::AsShown)?;
                    let said = self.session.said.as_ref().map(|said| said.text.clone());
                    self.line(&said.unwrap_or_default())?;
                }
                "n" | "no" => {
                    self.act(Action::Otherwise)?;
                    self.form()?;
                }
                // The sheet was read out once: only the question comes again.
                _ => continue,
            }
            return Ok(());
        }
    }
}
