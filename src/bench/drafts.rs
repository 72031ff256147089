//! Nothing typed is ever lost: a form stays until what is in it is kept; left before that, it is set aside
//! and stands there again on return, in this session or a later one: the event loop keeps what [`Drafts::to_json`]
//! gives in the shop's folder, beside the logs.

use super::form::{Field, Form};
use super::leaf_facts::Fact;
use super::message::{Effect, Said};
use super::session::Step;
use super::sheets::Asked;
use crate::fit::opening::Edge;
use crate::shop::event::Event;
use serde::{Deserialize, Serialize};

/// Said when a form is left with something in it that was not kept.
pub const SET_ASIDE: &str = "not kept, but set aside: it is here again when you come back";
/// Added to a complaint about a form that stays.
pub const ESC_SETS_ASIDE: &str = "(Esc again sets it aside)";

/// Which kind of form.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Page {
    /// A new opening.
    NewOpening,
    /// A note.
    Note,
    /// The survey.
    Survey,
    /// How a leaf is made.
    Build,
    /// How high stacked fronts are.
    Heights,
    /// Flush corners.
    Flush,
    /// Where a hinge pin stands.
    Swing,
    /// How a leaf hangs.
    Hinges,
    /// A strip glued on, or a leaf made anew.
    Altered,
    /// Finish that went on.
    Finish,
    /// A cut or a pack done otherwise.
    Otherwise,
    /// Something measured at a set-up sheet.
    Measured(Fact),
    /// A row of the page of tools.
    Tools,
}

/// Which set-up sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetOf {
    /// The opening.
    pub opening: String,
    /// The round.
    pub round: u32,
    /// Short name of the leaf.
    pub leaf: String,
    /// The edge.
    pub edge: Edge,
}

/// Which form: of which opening, and of which leaf where there is one for each.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct DraftOf {
    /// The opening; empty for a new one.
    pub opening: String,
    /// The kind of form.
    pub page: Page,
    /// Short name of the leaf, or empty.
    pub leaf: String,
}

impl DraftOf {
    /// The form `page` of `opening` and, if not empty, of `leaf`.
    pub fn new(opening: &str, page: Page, leaf: &str) -> Self {
        Self { opening: opening.to_owned(), page, leaf: leaf.to_owned() }
    }
}

/// What stands in a field, under the field's label.
pub type Filling = (String, String);

/// One form that was left.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
struct Draft {
    #[serde(flatten)]
    of: DraftOf,
    fields: Vec<Filling>,
}

/// The file of forms that were left.
#[derive(Debug, Serialize, Deserialize)]
struct Kept {
    format: String,
    forms: Vec<Draft>,
}

/// Format word of that file.
const FORMAT: &str = "evenreveal-unfinished/1";

/// Forms that were left before what stood in them was kept, and what was asked of set-ups.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drafts {
    forms: Vec<Draft>,
    sheets: Vec<(SheetOf, Asked)>,
}

impl Drafts {
    /// Sets `fields` aside.
    pub fn set_aside(&mut self, of: DraftOf, fields: &[Field]) {
        self.forget(&of);
        let fields = fields.iter().map(|field| (field.label.to_owned(), field.value().to_owned())).collect();
        self.forms.push(Draft { of, fields });
    }

    /// It is kept, or no longer wanted.
    pub fn forget(&mut self, of: &DraftOf) {
        self.forms.retain(|known| known.of != *of);
    }

    /// What was set aside: label and value of each field.
    pub fn find(&self, of: &DraftOf) -> Option<&[Filling]> {
        self.forms.iter().find(|known| known.of == *of).map(|known| known.fields.as_slice())
    }

    /// Only those that `wanted` says are.
    pub fn retain(&mut self, wanted: impl Fn(&DraftOf) -> bool) {
        self.forms.retain(|known| wanted(&known.of));
    }

    /// Which forms were left.
    pub fn left(&self) -> impl Iterator<Item = &DraftOf> {
        self.forms.iter().map(|known| &known.of)
    }

    /// The forms that were left, as they are kept from one session to the next; nothing where none was.
    pub fn to_json(&self) -> String {
        if self.forms.is_empty() {
            return String::new();
        }
        let kept = Kept { format: FORMAT.to_owned(), forms: self.forms.clone() };
        serde_json::to_string(&kept).unwrap_or_default()
    }

    /// The forms that [`Self::to_json`] gave; nothing where the text is something else.
    pub fn from_json(text: &str) -> Option<Self> {
        if text.trim().is_empty() {
            return Some(Self::default());
        }
        let kept: Kept = serde_json::from_str(text).ok()?;
        (kept.format == FORMAT).then(|| Self { forms: kept.forms, sheets: Vec::new() })
    }

    /// Remembers what was asked of a set-up.
    pub fn choose(&mut self, of: SheetOf, asked: Asked) {
        self.sheets.retain(|(known, _)| *known != of);
        self.sheets.push((of, asked));
    }

    /// What was asked of a set-up: nothing, if it never was.
    pub fn chosen(&self, of: &SheetOf) -> Asked {
        self.sheets.iter().find(|(known, _)| known == of).map(|(_, asked)| *asked).unwrap_or_default()
    }
}

/// How far a form has come to being kept.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Keeping {
    of: Option<DraftOf>,
    fresh: Vec<Field>,
    asked: bool,
    refused: Option<Vec<Field>>,
}

impl Keeping {
    /// For the fresh `form`; fills in what was set aside.
    pub fn resumed(form: &mut Form, of: &DraftOf, drafts: &Drafts) -> Self {
        let fresh = form.fields.clone();
        let fields = drafts.find(of).filter(|fields| fields.iter().map(|(label, _)| label).eq(labels(&fresh)));
        for (field, (_, value)) in form.fields.iter_mut().zip(fields.unwrap_or_default()) {
            field.refill(value);
        }
        Self { of: Some(of.clone()), fresh, asked: false, refused: None }
    }

    /// Which form it is, if something was typed in `form` that is not kept.
    pub fn unfinished(&self, form: &Form) -> Option<&DraftOf> {
        self.of.as_ref().filter(|_| !self.is_fresh(form))
    }

    /// Was nothing in `form` changed since it was fresh?
    pub fn is_fresh(&self, form: &Form) -> bool {
        self.fresh == form.fields
    }

    /// Was exactly what stands in `form` refused?
    pub fn was_refused(&self, form: &Form) -> bool {
        self.refused.as_ref() == Some(&form.fields)
    }

    /// The form stays at `field` with the complaint `why`.
    pub fn complain(&mut self, form: &mut Form, field: usize, why: &str) -> Vec<Step> {
        form.at = field;
        self.refused = Some(form.fields.clone());
        vec![Step::Say(Said::trouble(format!("{why} {ESC_SETS_ASIDE}")))]
    }

    /// Asks that `events` be kept; the form stays until they are.
    pub fn ask(&mut self, opening: &str, events: Vec<Event>) -> Vec<Step> {
        self.asked = true;
        vec![Step::Run(Effect::Keep { opening: opening.to_owned(), events })]
    }

    /// As [`Self::ask`], for a new opening.
    pub fn ask_to_create(&mut self, opening: &str, events: Vec<Event>) -> Vec<Step> {
        self.asked = true;
        vec![Step::Run(Effect::Create { opening: opening.to_owned(), events })]
    }

    /// Something was kept: was it this form?
    pub fn was_asked(&mut self) -> bool {
        std::mem::take(&mut self.asked)
    }

    /// Something was refused: if it was this form, it stays as it is.
    pub fn failed(&mut self, form: &Form) {
        if self.was_asked() {
            self.refused = Some(form.fields.clone());
        }
    }

    /// The form is closed without being kept: what is in it is set aside, unless nobody typed anything.
    pub fn set_aside(&self, form: &Form, of: DraftOf) -> Vec<Step> {
        if self.is_fresh(form) {
            return vec![Step::Forget(of)];
        }
        vec![Step::SetAside(of, form.fields.clone()), Step::Say(Said::hint(SET_ASIDE))]
    }
}

fn labels(fields: &[Field]) -> impl Iterator<Item = &str> {
    fields.iter().map(|field| field.label)
}
