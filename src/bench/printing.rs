//! Where a card or the shop sheet is to be written.

use super::form::{Field, Filled, Form};
use super::message::{Action, Effect, Said};
use super::session::Step;
use crate::shop::name;

const ASK_FILE: &str = "file";
const HINT_FILE: &str = "ends in .pdf or .svg; a file of that name is replaced";

/// Asking for the file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PrintEntry {
    /// The opening whose card is printed; none for the shop sheet.
    pub opening: Option<String>,
    /// The one question.
    pub form: Form,
}

impl PrintEntry {
    /// For the card of an opening.
    pub fn card(opening: &str) -> Self {
        let file = format!("{} card.pdf", name::stem(opening));
        Self { opening: Some(opening.to_owned()), form: Form::new(vec![Field::text(ASK_FILE, file, HINT_FILE)]) }
    }

    /// For the shop sheet.
    pub fn sheet() -> Self {
        Self { opening: None, form: Form::new(vec![Field::text(ASK_FILE, "shop sheet.pdf", HINT_FILE)]) }
    }

    /// What is printed.
    pub fn title(&self) -> &'static str {
        if self.opening.is_some() { "fit card to print" } else { "shop sheet to print" }
    }

    pub(super) fn act(&mut self, action: Action) -> Vec<Step> {
        match self.form.act(action) {
            Filled::Open => Vec::new(),
            Filled::Left => vec![Step::Leave],
            Filled::Whole if self.form.value(0).trim().is_empty() => vec![Step::Say(Said::hint(HINT_FILE))],
            Filled::Whole => {
                let file = self.form.value(0).trim().to_owned();
                vec![Step::Run(Effect::Print { opening: self.opening.clone(), file })]
            }
        }
    }
}
