//! Line by line: what was cut, as shown or otherwise.

use super::plain::{End, Stop, Talk};
use super::plain_words::record_lines;
use crate::bench::form::{Entry, Field};
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
        match self.ask("Done as shown? y, n (say what was done), or quit to do it later")?.as_str() {
            "y" | "yes" => {
                self.act(Action::AsShown)?;
                let said = self.session.said.as_ref().map(|said| said.text.clone());
                self.line(&said.unwrap_or_default())?;
            }
            "n" | "no" => self.otherwise()?,
            _ => {}
        }
        Ok(())
    }

    /// Asks each field of the form that the screen would show.
    fn otherwise(&mut self) -> Result<(), End> {
        self.act(Action::Otherwise)?;
        while let Some(field) = self.field() {
            let answer = self.ask(&format!("{}? (empty for {}; back to leave it)", field.label, field.value()))?;
            match answer.as_str() {
                "back" => return self.act(Action::Back).map(drop),
                "" => {}
                text if self.fill(&field, text)? => {}
                _ => continue,
            }
            if let Some(why) = self.field().and_then(|field| field.unread()) {
                self.line(&format!("Not done: {why}."))?;
                continue;
            }
            self.act(Action::Enter)?;
        }
        Ok(())
    }

    /// The field of the cut's form that is asked for; none once it is kept.
    fn field(&self) -> Option<Field> {
        let Some(Screen::Record(record)) = self.session.screen() else { return None };
        let form = record.typing.as_ref()?.form();
        form.fields.get(form.at).cloned()
    }

    /// Puts `text` into the field; false, and what there is to choose from, where it is none of its choices.
    fn fill(&mut self, field: &Field, text: &str) -> Result<bool, End> {
        if let Entry::Choice { options, picked } = &field.entry {
            let Some(place) = options.iter().position(|option| *option == text) else {
                self.line(&format!("Not done: there is {}.", options.join(", ")))?;
                return Ok(false);
            };
            for _ in 0..(place + options.len() - picked) % options.len().max(1) {
                self.act(Action::Right)?;
            }
            return Ok(true);
        }
        for _ in field.value().chars() {
            self.act(Action::Erase)?;
        }
        text.chars().try_for_each(|letter| self.act(Action::Type(letter)).map(drop))?;
        Ok(true)
    }
}
