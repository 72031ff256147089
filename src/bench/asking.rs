//! Screens that ask: a new shop's first questions, a new opening, a note.

use super::drafts::{DraftOf, Keeping, Page};
use super::form::{Entry, Field, Filled, Form, LengthAsked, Lengths};
use super::front_heights::{self, Height};
use super::home::Home;
pub use super::kinds::gaps_of;
use super::kinds::{KINDS, Kind, Leaf, STACKED};
use super::measuring;
use super::message::{Action, Effect, Said};
use super::session::{Screen, Step, World};
use super::words;
use crate::cut::job::Construction;
use crate::cut::tools::{self, Measured, ShimStock};
use crate::fit::length::{Length, Show, Unit};
use crate::fit::opening::{EdgeSet, Motion, Side};
use crate::shop::event::{Event, GapWanted, LeafDescribed, OpeningMeasured};
use crate::shop::making::LeafToCome;
use crate::shop::settings::Settings;

/// Help for the second question where lengths are decimal inches.
const HINT_FEELERS_DECIMAL: &str = "like 0.016, 0.031; empty: 1/64 to 9/64 in steps of 1/64";
/// The same in a metric shop.
const HINT_FEELERS_MM: &str = "like 0.4, 0.8, 1.2; empty: 0.4 to 3.6 mm in steps of 0.4";
/// Help for the third question in a metric shop.
const HINT_TAPE_MM: &str = "layers = what they measure, like 10 = 1.4; empty: later";

/// A new shop's three questions.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FirstStart {
    /// The questions.
    pub form: Form,
    /// Was Esc pressed once?
    leaving: bool,
}

const UNITS: [&str; 3] = ["inch fractions", "decimal inch", "millimetre"];

impl FirstStart {
    /// The questions with their defaults.
    pub fn new() -> Self {
        Self {
            leaving: false,
            form: Form::new(vec![
                Field::choice(words::ASK_UNIT, &UNITS, words::HINT_UNIT),
                Field::figures(words::ASK_FEELERS, "", words::HINT_FEELERS),
                Field::figures(words::ASK_TAPE, "", words::HINT_TAPE),
            ]),
        }
    }

    pub(super) fn act(&mut self, action: Action, world: World<'_>) -> Vec<Step> {
        let asked = std::mem::take(&mut self.leaving);
        // What is wrong is said before the next question, not after the last.
        if action == Action::Enter
            && let Err((field, why)) = self.settings(&world.shop.settings)
            && field <= self.form.at
        {
            return self.complain(field, &why);
        }
        match self.form.act(action) {
            Filled::Open => {
                self.hint();
                Vec::new()
            }
            // Nothing is kept that was not asked for.
            Filled::Left if asked => vec![Step::Leave, Step::Say(Said::hint(words::FIRST_START_LEFT))],
            Filled::Left => {
                self.leaving = true;
                vec![Step::Say(Said::hint(words::FIRST_START_ESC))]
            }
            Filled::Whole => match self.settings(&world.shop.settings) {
                Ok(settings) => save(settings),
                Err((field, why)) => self.complain(field, &why),
            },
        }
    }

    /// The question that was not answered well is named, and is the one that the keys act on.
    fn complain(&mut self, field: usize, why: &str) -> Vec<Step> {
        self.form.at = field;
        let label = self.form.fields.get(field).map_or("", |field| field.label);
        vec![Step::Say(Said::trouble(format!("{label}: {why}")))]
    }

    fn show(&self) -> Show {
        match self.form.value(0) {
            "decimal inch" => Show::DecimalInch(3),
            "millimetre" => Show::Millimetre(1),
            _ => Show::Fraction(64),
        }
    }

    /// Examples in the unit chosen.
    fn hint(&mut self) {
        let hints = match self.show() {
            Show::Millimetre(_) => [words::HINT_UNIT, HINT_FEELERS_MM, HINT_TAPE_MM],
            Show::DecimalInch(_) => [words::HINT_UNIT, HINT_FEELERS_DECIMAL, words::HINT_TAPE],
            Show::Fraction(_) => [words::HINT_UNIT, words::HINT_FEELERS, words::HINT_TAPE],
        };
        for (field, hint) in self.form.fields.iter_mut().zip(hints) {
            field.hint = hint;
        }
    }

    /// What the answers come to, or the question whose answer does not do, and why.
    fn settings(&self, before: &Settings) -> Result<Settings, (usize, String)> {
        let show = self.show();
        let mut settings = Settings { show, ..before.clone() };
        let typed = self.form.value(1).trim();
        if typed.is_empty() {
            if show.unit() == Unit::Millimetre {
                // 0.4 mm to 3.6 mm in steps of 0.4 mm, near the 64ths.
                settings.feelers = (1..=9).map(|n| Length::ratio(4 * n, 254)).collect();
            }
        } else {
            settings.feelers = measuring::feelers(typed, show.unit()).map_err(|why| (1, why))?;
        }
        // Starting values that nobody has touched are whole in the shop's own unit.
        if settings.saws == tools::starting_saws(before.show.unit()) {
            settings.saws = tools::starting_saws(show.unit());
        }
        if settings.sleds == tools::starting_sleds(before.show.unit()) {
            settings.sleds = tools::starting_sleds(show.unit());
        }
        let stack = measuring::stack(self.form.value(2), show.unit()).map_err(|why| (2, why))?;
        if let Some((thickness, measured)) = stack {
            // What the shop measured stands in for the tape that nobody here has measured.
            settings.stock.retain(|known| !(known.measured == Measured::StartingValue && known.name.contains("tape")));
            settings.stock.insert(0, ShimStock { name: "tape".to_owned(), thickness, measured });
        }
        Ok(settings)
    }
}

impl Default for FirstStart {
    fn default() -> Self {
        Self::new()
    }
}

fn save(settings: Settings) -> Vec<Step> {
    vec![Step::Run(Effect::SaveSettings(Box::new(settings)))]
}

/// A new opening.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewOpening {
    /// The questions.
    pub form: Form,
    /// How far they have come to being kept.
    pub keeping: Keeping,
}

const HINGES: [&str; 2] = ["left", "right"];
/// How a leaf is made: where its end grain is.
pub(super) const MADE: [(&str, Construction); 3] = [
    ("frame and panel", Construction::Framed),
    ("solid, grain level", Construction::SolidAcross),
    ("solid, grain upright", Construction::SolidUpright),
];
/// The field that asks for it.
const MADE_AT: usize = 5;
/// The field that asks for the height, or the heights.
const HEIGHT_AT: usize = 3;

/// Doors are usually framed, drawer fronts solid with their grain level (common practice, no published source).
fn usually_made(kind: &str) -> usize {
    usize::from(kind.contains("front"))
}

impl NewOpening {
    /// The questions with their defaults, or with what was typed and set aside.
    pub fn new(world: World<'_>) -> Self {
        let show = world.shop.show();
        let (unit, reveal) = (show.unit(), Length::ratio(3, 32).shown(show));
        let mut form = Form::new(vec![
            Field::text(words::ASK_NAME, "", words::HINT_NAME),
            Field::choice(words::ASK_KIND, &KINDS, words::HINT_KIND),
            Field::length(words::ASK_WIDTH, "", unit, words::HINT_WIDTH),
            Field::length(words::ASK_HEIGHT, "", unit, words::HINT_HEIGHT),
            Field::choice(words::ASK_HINGE, &HINGES, words::HINT_HINGE),
            Field::choice(words::ASK_MADE, &MADE.map(|(word, _)| word), words::HINT_MADE),
            Field::length(words::ASK_REVEAL, reveal, unit, words::HINT_REVEAL),
        ]);
        let keeping = Keeping::resumed(&mut form, &new_opening(), world.drafts);
        let mut new = Self { form, keeping };
        new.ask_for_kind(show);
        new
    }

    /// Asks for one height, or for those of stacked fronts; says what was understood of them.
    fn ask_for_kind(&mut self, show: Show) {
        let (stacked, unit) = (self.is_stacked(), show.unit());
        let made = !self.form.value(2).trim().is_empty();
        let heights = front_heights::read(self.form.value(HEIGHT_AT), unit).ok().filter(|_| stacked);
        let reveal = Length::parse(self.form.value(6), unit).ok();
        let Some(field) = self.form.fields.get_mut(HEIGHT_AT) else { return };
        field.told = heights.map_or_else(String::new, |heights| front_heights::told(&heights, reveal, show));
        if stacked {
            let hints = if made { front_heights::HINT_MADE } else { front_heights::HINT_TO_COME };
            field.hint = hints[usize::from(unit == Unit::Millimetre)];
            field.length = Some(LengthAsked { unit, what: Lengths::Heights { each: made } });
        } else {
            field.hint = words::HINT_HEIGHT;
            field.length = Some(LengthAsked { unit, what: Lengths::One });
        }
    }

    fn is_stacked(&self) -> bool {
        self.form.value(1) == STACKED
    }

    /// Once it is made, it is open.
    pub(super) fn kept(&mut self) -> Vec<Step> {
        if !self.keeping.was_asked() {
            return Vec::new();
        }
        vec![Step::Forget(new_opening()), Step::Replace(Screen::Home(Home))]
    }

    pub(super) fn act(&mut self, action: Action, world: World<'_>) -> Vec<Step> {
        let (usual, show) = (usually_made(self.form.value(1)), world.shop.show());
        // How many fronts there are is said here or nowhere.
        let unsaid = self.is_stacked() && self.form.at == HEIGHT_AT && self.form.value(HEIGHT_AT).trim().is_empty();
        if unsaid && action == Action::Enter {
            let why = front_heights::HeightsError::Empty.to_string();
            return self.keeping.complain(&mut self.form, HEIGHT_AT, &why);
        }
        let filled = self.form.act(action);
        self.ask_for_kind(show);
        let now = usually_made(self.form.value(1));
        // As its kind is usually made, until somebody says otherwise.
        if let Some(Field { entry: Entry::Choice { picked, .. }, .. }) = self.form.fields.get_mut(MADE_AT)
            && *picked == usual
        {
            *picked = now;
        }
        match filled {
            Filled::Open => Vec::new(),
            Filled::Left => {
                let mut steps = self.keeping.set_aside(&self.form, new_opening());
                steps.push(Step::Leave);
                steps
            }
            Filled::Whole => match self.events(show.unit()) {
                Ok(events) => self.keeping.ask_to_create(self.form.value(0).trim(), events),
                Err((field, why)) => self.keeping.complain(&mut self.form, field, &why),
            },
        }
    }

    fn events(&self, unit: Unit) -> Result<Vec<Event>, (usize, String)> {
        let length =
            |place: usize| Length::parse(self.form.value(place), unit).map_err(|error| (place, error.to_string()));
        crate::shop::name::checked_name(self.form.value(0)).map_err(|error| (0, error.to_string()))?;
        let target = length(6)?;
        // Without a size the opening is measured first, and the blank gives the leaf its size.
        let empty = |place: usize| self.form.value(place).trim().is_empty();
        let unsized_yet = empty(2) && (empty(HEIGHT_AT) || self.is_stacked());
        let size = |place: usize| match length(place)? {
            size if size.is_zero() => Err((place, words::SIZE_ZERO.to_owned())),
            size => Ok(size),
        };
        let width = if unsized_yet { Length::ZERO } else { size(2)? };
        let hinge = if self.form.value(4) == "right" { Side::Right } else { Side::Left };
        let bad = |error: front_heights::HeightsError| (HEIGHT_AT, error.to_string());
        // From the bottom up, as the leaves are named.
        let mut fronts = if self.is_stacked() {
            front_heights::read(self.form.value(HEIGHT_AT), unit).map_err(bad)?
        } else {
            Vec::new()
        };
        if !unsized_yet {
            front_heights::all_given(&fronts).map_err(bad)?;
        }
        fronts.reverse();
        let height = if unsized_yet || self.is_stacked() { Length::ZERO } else { size(HEIGHT_AT)? };
        let kind = if self.is_stacked() { Kind::stack(fronts.len()) } else { Kind::of(self.form.value(1), hinge) };
        let made = MADE.iter().find(|(word, _)| *word == self.form.value(MADE_AT)).map(|(_, made)| *made);
        let leaf = |(place, (id, name, hinge)): (usize, &Leaf)| {
            let height = match fronts.get(place) {
                Some(Height::Given(front)) => *front,
                _ => height,
            };
            Event::Leaf(LeafDescribed {
                leaf: (*id).to_owned(),
                name: (*name).to_owned(),
                width,
                height,
                hinge: *hinge,
                may_cut: EdgeSet::ALL,
                motion: Motion::Free,
                thickness: None,
                solid: made.is_some_and(|made| made != Construction::Framed),
                made,
            })
        };
        let gaps = kind.gaps().into_iter().map(|between| GapWanted { between, target, offset: Length::ZERO }).collect();
        let to_come = |(place, (id, name, hinge)): (usize, &Leaf)| {
            let (height, share) = match fronts.get(place) {
                Some(Height::Given(front)) => (Some(*front), None),
                Some(Height::Rest(share)) => (None, Some(*share).filter(|share| *share != 1)),
                None => (None, None),
            };
            let (leaf, name) = ((*id).to_owned(), (*name).to_owned());
            LeafToCome { leaf, name, hinge: *hinge, made, height, share }
        };
        let each = kind.leaves.iter().enumerate();
        let leaves = if unsized_yet { each.clone().map(to_come).collect() } else { Vec::new() };
        let mut events = vec![Event::Opening(OpeningMeasured { gaps, tolerance: None, survey: None, leaves })];
        if !unsized_yet {
            events.extend(each.map(leaf));
        }
        Ok(events)
    }
}

fn new_opening() -> DraftOf {
    DraftOf::new("", Page::NewOpening, "")
}
