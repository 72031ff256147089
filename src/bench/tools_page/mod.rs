//! The page of what the shop owns and prefers: unit, feelers, risk, methods, stock and tools.
//!
//! The page is a list of [`Section`]s, each a type of its own here; to add one, write its file and put
//! it into [`SECTIONS`]. A section makes rows from the settings and new settings from what is
//! done on a row; the page moves the cursor, shows the form, saves, and takes the last change back.

pub mod basics;
pub mod house;
pub mod looks;
pub mod machines;
pub mod methods;
pub mod stock;

use super::drafts::{DraftOf, Keeping, Page};
use super::form::{Filled, Form};
use super::message::{Action, Effect, Said};
use super::session::{Step, World};
use super::shop_list::moved;
use super::words;
use crate::cut::tools::Measured;
use crate::fit::length::{Length, Unit};
use crate::shop::settings::Settings;

/// One row of the page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// What it is.
    pub label: String,
    /// What stands in it.
    pub value: String,
    /// Is that a starting value that nobody in this shop has measured?
    pub starting: bool,
    /// More about it, shown while the cursor is on it: what it means, how it is known, what the keys do.
    pub detail: String,
}

impl Row {
    /// A row of a choice or a measure that needs no mark.
    pub fn new(label: impl Into<String>, value: impl Into<String>, detail: impl Into<String>) -> Self {
        Self { label: label.into(), value: value.into(), starting: false, detail: detail.into() }
    }

    /// The row that adds something to a list.
    pub fn add(what: &str) -> Self {
        Self::new(format!("+ add {what}"), "", format!("Enter adds {what}"))
    }

    /// Marked as a starting value, or not.
    #[must_use]
    pub fn starting(self, starting: bool) -> Self {
        Self { starting, ..self }
    }
}

/// What stands in a form that was not right: which field, and what is wrong with it.
pub type FieldFault = (usize, String);

/// One section of the page. `row` is the place of a row among those that [`Section::rows`] gave.
pub trait Section {
    /// Its heading.
    fn title(&self) -> &'static str;

    /// Its rows.
    fn rows(&self, settings: &Settings) -> Vec<Row>;

    /// Left (-1) or right (+1) on a row: the new settings and where the row is then. `None`: nothing to choose.
    fn step(&self, _settings: &Settings, _row: usize, _by: isize) -> Option<(Settings, usize)> {
        None
    }

    /// The fields to fill in for a row. `None`: nothing is typed there.
    fn form(&self, _settings: &Settings, _row: usize) -> Option<Form> {
        None
    }

    /// The new settings from a form filled in.
    fn take(&self, settings: &Settings, _row: usize, _form: &Form) -> Result<Settings, FieldFault> {
        Ok(settings.clone())
    }

    /// The settings without what stands on the row. `None`: it cannot be taken out.
    fn remove(&self, _settings: &Settings, _row: usize) -> Option<Settings> {
        None
    }
}

/// The sections, from the top. A new section is added here and nowhere else.
pub const SECTIONS: &[&dyn Section] = &[
    &basics::Basics,
    &stock::Stock,
    &machines::Planes,
    &machines::Saws,
    &machines::Sleds,
    &methods::Methods,
    &house::House,
    &house::Finishes,
    &looks::Looks,
];

/// The page.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ToolsPage {
    /// Which row the keys act on, counted over all sections.
    pub at: usize,
    /// What is being typed.
    pub typing: Option<Form>,
    /// How far that has come to being kept.
    /// How far it has come to being kept.
    pub keeping: Keeping,
    /// Which draft it is.
    draft: Option<DraftOf>,
    /// The settings before each change of this visit, and what the change was.
    before: Vec<(Settings, String)>,
    /// What is on its way to the disk.
    saving: Option<Saving>,
}

/// A change on its way to the disk.
#[derive(Clone, Debug, PartialEq)]
enum Saving {
    /// A new one: the settings before it, and what it is.
    Made(Settings, String),
    /// One taken back: what stays to be taken back if that fails.
    TakenBack(Settings, String),
}

/// Every row, with its section and its place in it.
pub fn all_rows(settings: &Settings) -> Vec<(usize, usize, Row)> {
    let sections = SECTIONS.iter().enumerate();
    let rows = sections.flat_map(|(number, section)| {
        section.rows(settings).into_iter().enumerate().map(move |(place, row)| (number, place, row))
    });
    rows.collect()
}

impl ToolsPage {
    pub(super) fn act(&mut self, action: Action, world: World<'_>) -> Vec<Step> {
        let settings = &world.shop.settings;
        let rows = all_rows(settings);
        self.at = self.at.min(rows.len().saturating_sub(1));
        let Some((number, place, row)) = rows.get(self.at).cloned() else { return vec![Step::Leave] };
        let Some(section) = SECTIONS.get(number) else { return vec![Step::Leave] };
        if let Some(form) = &mut self.typing {
            return match form.act(action) {
                Filled::Open => Vec::new(),
                Filled::Left => {
                    let steps = self.keeping.set_aside(form, of(*section, &row));
                    self.typing = None;
                    steps
                }
                Filled::Whole => match section.take(settings, place, form) {
                    // It stays open until it is on the disk.
                    Ok(changed) if changed != *settings => self.change(settings, changed, &row.label, world),
                    Ok(_) => {
                        self.typing = None;
                        vec![Step::Forget(of(*section, &row)), Step::Say(Said::hint(words::SETTINGS_SAME))]
                    }
                    Err((field, why)) => self.keeping.complain(form, field, &why),
                },
            };
        }
        if let Some(at) = moved(self.at, rows.len(), action) {
            self.at = at;
            return Vec::new();
        }
        match action {
            Action::Skip => {
                // To the next section, from the last to the first.
                let next = rows.iter().position(|(other, ..)| *other > number).unwrap_or(0);
                self.at = next;
                Vec::new()
            }
            Action::Left | Action::Right => {
                let by = if action == Action::Left { -1 } else { 1 };
                match section.step(settings, place, by) {
                    Some((changed, now)) => {
                        let steps = self.change(settings, changed, &row.label, world);
                        self.at = (self.at + now).saturating_sub(place);
                        steps
                    }
                    None => vec![Step::Say(Said::hint(words::ENTER_CHANGES))],
                }
            }
            Action::Enter => match section.form(settings, place) {
                Some(mut form) if world.shop.read_only.is_none() => {
                    self.keeping = Keeping::resumed(&mut form, &of(*section, &row), world.drafts);
                    self.draft = Some(of(*section, &row));
                    self.typing = Some(form);
                    Vec::new()
                }
                Some(_) => read_only(world),
                None => vec![Step::Say(Said::hint(words::LEFT_RIGHT_CHOOSE))],
            },
            Action::Remove => match section.remove(settings, place) {
                Some(changed) => self.change(settings, changed, &row.label, world),
                None => vec![Step::Say(Said::hint(words::NOT_TAKEN_OUT))],
            },
            Action::Undo => self.take_back(world),
            Action::Back => vec![Step::Leave],
            _ => Vec::new(),
        }
    }

    fn change(&mut self, before: &Settings, changed: Settings, what: &str, world: World<'_>) -> Vec<Step> {
        if world.shop.read_only.is_some() {
            return read_only(world);
        }
        if changed == *before {
            return vec![Step::Say(Said::hint(words::SETTINGS_SAME))];
        }
        if let Err((field, why)) = changed.check() {
            return vec![Step::Say(Said::trouble(format!("{field}: {why}; nothing was changed")))];
        }
        self.saving = Some(Saving::Made(before.clone(), what.to_owned()));
        vec![Step::Run(Effect::SaveSettings(Box::new(changed)))]
    }

    fn take_back(&mut self, world: World<'_>) -> Vec<Step> {
        if world.shop.read_only.is_some() {
            return read_only(world);
        }
        let Some((before, what)) = self.before.pop() else {
            return vec![Step::Say(Said::hint(words::NOTHING_CHANGED_HERE))];
        };
        self.saving = Some(Saving::TakenBack(before.clone(), what));
        vec![Step::Run(Effect::SaveSettings(Box::new(before)))]
    }

    /// The settings are on the disk: the form that brought them is done, and what to say.
    pub(super) fn saved(&mut self, settings: &Settings) -> Vec<Step> {
        self.at = self.at.min(all_rows(settings).len().saturating_sub(1));
        let said = match self.saving.take() {
            Some(Saving::Made(before, what)) => {
                let said = words::settings_kept(&what);
                self.before.push((before, what));
                said
            }
            Some(Saving::TakenBack(_, what)) => words::setting_taken_back(&what),
            None => return Vec::new(),
        };
        let done = self.typing.take().and(self.draft.take()).map(Step::Forget);
        done.into_iter().chain([Step::Say(Said::done(said))]).collect()
    }

    /// Saving failed: nothing was changed, so what could be taken back is what could be before.
    pub(super) fn failed(&mut self) {
        if let Some(Saving::TakenBack(before, what)) = self.saving.take() {
            self.before.push((before, what));
        }
    }
}

/// The form of a row, among the drafts.
fn of(section: &dyn Section, row: &Row) -> DraftOf {
    DraftOf::new("", Page::Tools, &format!("{}: {}", section.title(), row.label))
}

fn read_only(world: World<'_>) -> Vec<Step> {
    let why = world.shop.read_only.as_deref().unwrap_or_default();
    vec![Step::Say(Said::trouble(words::read_only(why)))]
}

/// `list` with item `place` one nearer the front or the back, and where it is then.
pub fn shifted<T: Clone>(list: &[T], place: usize, by: isize) -> Option<(Vec<T>, usize)> {
    let to = place.checked_add_signed(by)?;
    let mut list = list.to_vec();
    if place >= list.len() || to >= list.len() {
        return None;
    }
    list.swap(place, to);
    Some((list, to))
}

/// `list` with `item` at `place`, or at its end.
pub fn with_item<T: Clone>(list: &[T], place: usize, item: T) -> Vec<T> {
    let mut list = list.to_vec();
    match list.get_mut(place) {
        Some(slot) => *slot = item,
        None => list.push(item),
    }
    list
}

/// `list` without the item at `place`.
pub fn without_item<T: Clone>(list: &[T], place: usize) -> Option<Vec<T>> {
    let mut list = list.to_vec();
    (place < list.len()).then(|| {
        list.remove(place);
        list
    })
}

/// The name and the thickness of one in a form of a stack, for the item on `row` of a list of such items;
/// `known` is what it has now. `None` where nothing was measured of a new one.
pub fn stacked<'a>(
    form: &Form,
    row: usize,
    known: Option<(Length, Measured)>,
    names: impl Iterator<Item = &'a str>,
    unit: Unit,
) -> Result<Option<(String, Length, Measured)>, FieldFault> {
    let (name, measured) = super::measuring::filled(form, known.is_some(), unit)?;
    free_name(&name, names.enumerate(), row)?;
    Ok(measured.or(known).map(|(one, how)| (name, one, how)))
}

/// Refuses a name that another item of the list has.
pub fn free_name<'a>(
    name: &str,
    mut others: impl Iterator<Item = (usize, &'a str)>,
    place: usize,
) -> Result<(), FieldFault> {
    if others.any(|(other, known)| other != place && known == name) {
        return Err((super::measuring::NAME, format!("you have a '{name}' already: give this one another name")));
    }
    Ok(())
}
