//! Writing a note, with a photo's file name where there is one.

use super::drafts::{DraftOf, Keeping, Page};
use super::form::{Field, Filled, Form};
use super::message::{Action, Effect};
use super::seen::OpeningSeen;
use super::session::{Step, World};
use super::words;
use crate::shop::event::{Event, Note};

/// Place of the note's text in the form, and of the photo.
const TEXT: usize = 0;
const PHOTO: usize = 1;

/// Writing a note.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoteEntry {
    /// The text and the photo's file.
    pub form: Form,
    /// How far it has come to being kept.
    pub keeping: Keeping,
}

impl NoteEntry {
    /// An empty note, or what was typed and set aside.
    pub fn new(opened: &OpeningSeen, world: World<'_>) -> Self {
        let mut form = Form::new(vec![
            Field::text(words::ASK_NOTE, "", words::HINT_NOTE),
            Field::text(words::ASK_PHOTO, "", words::HINT_PHOTO),
        ]);
        let keeping = Keeping::resumed(&mut form, &draft(opened), world.drafts);
        Self { form, keeping }
    }

    fn note(&self) -> Note {
        let value = |place| self.form.value(place).trim().to_owned();
        Note { text: value(TEXT), photo: value(PHOTO) }
    }

    pub(super) fn act(&mut self, action: Action, world: World<'_>) -> Vec<Step> {
        let Some(opened) = world.opened else { return vec![Step::Leave] };
        let filled = if action == Action::Enter { Filled::Whole } else { self.form.act(action) };
        match filled {
            Filled::Open => Vec::new(),
            Filled::Left => {
                let mut steps = self.keeping.set_aside(&self.form, draft(opened));
                steps.push(Step::Leave);
                steps
            }
            Filled::Whole => {
                let note = self.note();
                if note.text.is_empty() && note.photo.is_empty() {
                    return vec![Step::Forget(draft(opened)), Step::Leave];
                }
                self.keeping.ask(&opened.name, vec![Event::Note(note)])
            }
        }
    }

    /// Only once the note is kept the screen is left; then its photo is looked for.
    pub(super) fn kept(&mut self, world: World<'_>) -> Vec<Step> {
        match world.opened {
            Some(opened) if self.keeping.was_asked() => {
                let photo = self.note().photo;
                let mut steps = vec![Step::Forget(draft(opened)), Step::Leave];
                if !photo.is_empty() {
                    steps.push(Step::Run(Effect::SeekPhoto(photo)));
                }
                steps
            }
            _ => Vec::new(),
        }
    }
}

fn draft(opened: &OpeningSeen) -> DraftOf {
    DraftOf::new(&opened.name, Page::Note, "")
}
