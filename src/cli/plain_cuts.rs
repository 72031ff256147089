//! Line by line: what was cut, as shown or otherwise; what was glued on where wood was missing.

use super::plain::{End, Stop, Talk};
use super::plain_words::record_lines;
use crate::bench::{Action, Screen, words};

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

    /// Was a strip glued on, or the leaf made anew? If so it is kept, and the gaps are read again.
    pub(super) fn wood_added(&mut self) -> Result<bool, End> {
        loop {
            match self.ask("Was a strip glued on since, or the leaf made anew? y or n")?.as_str() {
                "y" | "yes" => break,
                "n" | "no" => return Ok(false),
                _ => {}
            }
        }
        self.home();
        self.act(Action::Altered)?;
        if !self.form()? {
            return Ok(false);
        }
        self.walked = false;
        let said = self.session.said.as_ref().map(|said| words::without_keys(&said.text));
        self.line(&format!("{}.", said.unwrap_or_default()))?;
        Ok(true)
    }
}
