//! What is typed about a leaf at its set-up sheet: widths, a corner's square, bare stretches, straightness.
//! Each becomes an event, so that it outlives the screen and is tracked through the cuts that follow.

use super::form::{Field, Filled, Form};
use super::leaf_sizes::Sizes;
use super::measuring::near;
use super::message::Action;
use super::sheets::Sheet;
use super::words::width_labels;
use crate::contract::hinges::small;
use crate::cut::job::End;
use crate::cut::setup::Setup;
use crate::cut::sled::OnSled;
use crate::fit::length::{Inches, Length, LengthError, Show};
use crate::fit::opening::Edge;
use crate::shop::event::TrimMeant;
use crate::shop::measured::{BareEdge, CornerSquare, EdgeBow, LeafMeasured, past_the_end};
use serde::{Deserialize, Serialize};

/// Which of the facts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Fact {
    /// Widths at both ends of the edge.
    Widths,
    /// The corner on the sled's fence.
    Square,
    /// Stretches without wood to bear on.
    Bare,
    /// Straightness of an edge.
    Straight,
}

/// The form was left as it was found.
pub const NOTHING_NEW: &str = "nothing was typed that is not known already: nothing is kept";

/// What is asked about: an edge to trim, the leaf's sizes and shape as known now, and the set-up where there
/// is one.
#[derive(Clone, Copy, Debug)]
pub struct About<'a> {
    /// The edge.
    pub edge: Edge,
    /// What is known of the leaf.
    pub sizes: &'a Sizes,
    /// The set-up.
    pub sheet: Option<&'a Sheet>,
}

impl About<'_> {
    fn sled(&self) -> Option<&OnSled> {
        match self.sheet.map(|sheet| &sheet.sheet.setup) {
            Some(Setup::Sled(sled)) => Some(sled),
            _ => None,
        }
    }

    /// The edge that rides the fence, or would.
    fn reference(&self) -> Edge {
        self.sled().map_or_else(|| self.edge.opposite(), |sled| sled.reference)
    }
}

const EDGES: [Edge; 4] = [Edge::Left, Edge::Right, Edge::Bottom, Edge::Top];
const EDGE_WORDS: [&str; 4] = ["left", "right", "bottom", "top"];

impl Fact {
    /// The heading over its fields.
    pub fn title(self) -> &'static str {
        match self {
            Self::Widths => "widths of the leaf",
            Self::Square => "a square at the corner",
            Self::Bare => "where an edge has no wood to bear on",
            Self::Straight => "a straightedge on an edge",
        }
    }

    /// The fields, filled with what is known; empty where nothing is, so that nobody declares by looking.
    pub fn form(self, about: &About<'_>, show: Show) -> Form {
        let at = about.sled().map_or(End::Start, |sled| sled.at);
        let ends = [End::Start.word(about.edge), End::End.word(about.edge)];
        let choice = match self {
            Self::Widths => None,
            Self::Square => {
                let hint = "its stock on the edge that meets the cut there";
                Some(Field::choice("square held at", &ends, hint).picked(usize::from(at == End::End)))
            }
            Self::Bare | Self::Straight => Some(edge_field(about.reference())),
        };
        Form::new(choice.into_iter().chain(self.known(about, about.reference(), at, show)).collect())
    }

    /// Its fields but for the choice, as they stand there for this edge or for the corner at this end: lengths as the
    /// shop says them, exactly what is known while nobody touches them.
    fn known(self, about: &About<'_>, edge: Edge, at: End, show: Show) -> Vec<Field> {
        let signed = |label, known: Option<Inches>, hint| {
            let known = known.map(Inches::length);
            let shown = known.map_or_else(String::new, |length| off(length, show));
            Field { exact: known, ..Field::signed_length(label, shown, show.unit(), hint) }
        };
        match self {
            Self::Widths => {
                let known = about.sizes.are_widths_known(about.edge);
                let [low, high] = about.sizes.widths_from(about.edge).map(|width| known.then(|| width.length()));
                let ((at_low, at_high), hint) = (width_labels(about.edge), super::words::HINT_WIDTH_MEASURED);
                [(at_low, low), (at_high, high)]
                    .map(|(label, known)| Field::exact_length(label, known, show, hint))
                    .into()
            }
            Self::Square => {
                let hint = "beyond square by this; short of it with - before it; 0: square";
                vec![signed("other end stands", about.sizes.beyond_square(about.edge, at), hint)]
            }
            Self::Bare => {
                let hint = "from its lower or left end, like 2 to 5 1/2; 9 to 10. Empty: wood all along";
                vec![Field::figures("no wood", bare(about.sizes, edge, show), hint)]
            }
            Self::Straight => {
                let hint = "at its middle; round with - before it; 0: straight";
                vec![signed("hollow by", about.sizes.bow(edge), hint)]
            }
        }
    }

    /// What is known of the corner or the edge that `form` has picked, and the fields that stand for it.
    fn beside<'a>(self, form: &'a Form, about: &About<'_>, show: Show) -> (Vec<Field>, &'a [Field]) {
        let known = self.known(about, picked_edge(form, about.edge), picked_end(form, about.edge), show);
        let from = form.fields.len().saturating_sub(known.len());
        (known, form.fields.get(from..).unwrap_or_default())
    }

    /// Takes an action on `form`. When another corner or edge is picked and nothing was typed, what is known of
    /// that one stands there.
    pub fn act(self, form: &mut Form, action: Action, about: &About<'_>, show: Show) -> Filled {
        let (before, fields) = self.beside(form, about, show);
        let untouched = before == fields;
        let filled = form.act(action);
        let (after, _) = self.beside(form, about, show);
        if untouched && before != after {
            let from = form.fields.len().saturating_sub(after.len());
            form.fields.splice(from.., after);
        }
        filled
    }

    /// Does `form` say nothing that is not known already?
    pub fn is_known(self, form: &Form, about: &About<'_>, show: Show) -> bool {
        let same = |(field, known): (&Field, &Field)| match (field.length, known.exact) {
            (Some(_), Some(exact)) => field.read() == Ok(exact),
            _ => field.value().trim() == known.value().trim(),
        };
        let (known, fields) = self.beside(form, about, show);
        fields.iter().zip(&known).all(same)
    }

    /// What the fields say of the leaf.
    pub fn read(self, form: &Form, trim: &TrimMeant, sizes: &Sizes, show: Show) -> Result<LeafMeasured, String> {
        let leaf = LeafMeasured { leaf: trim.leaf.clone(), ..LeafMeasured::default() };
        let length = |place: usize| match form.fields.get(place).map(Field::read) {
            Some(read) => read.map_err(|error| error.to_string()),
            None => Ok(Length::ZERO),
        };
        let edge = picked_edge(form, trim.edge);
        Ok(match self {
            Self::Widths => {
                let pair = Some([length(0)?, length(1)?]);
                if trim.edge.is_upright() {
                    LeafMeasured { widths: pair, ..leaf }
                } else {
                    LeafMeasured { heights: pair, ..leaf }
                }
            }
            Self::Square => {
                let at = picked_end(form, trim.edge);
                LeafMeasured { square: Some(CornerSquare { edge: trim.edge, at, beyond: length(1)? }), ..leaf }
            }
            Self::Bare => {
                let stretches = stretches(form.value(1), &|text| as_known(sizes, edge, text, show))?;
                let long = sizes.edge_length(edge);
                if let Some([from, to]) =
                    stretches.iter().find(|[_, to]| to.inches() > long.get() + past_the_end().inches())
                {
                    let [from, to, long] = [from.shown(show), to.shown(show), long.shown(show)];
                    return Err(format!(
                        "'{from} to {to}' runs past the end: the {edge} edge is {long} long; count from its lower or \
                         left end"
                    ));
                }
                LeafMeasured { no_contact: Some(BareEdge { edge, stretches }), ..leaf }
            }
            Self::Straight => LeafMeasured { bow: Some(EdgeBow { edge, bow: length(1)? }), ..leaf },
        })
    }
}

/// How far something is off: as the shop says it, or as small as it is.
fn off(length: Length, show: Show) -> String {
    let exact = length.rounded(show).1.abs() < Length::ratio(1, 100_000);
    if exact { length.shown(show) } else { small(length, show) }
}

fn bare(sizes: &Sizes, edge: Edge, show: Show) -> String {
    let one = |[from, to]: [Inches; 2]| format!("{} to {}", near(from.length(), show), near(to.length(), show));
    sizes.bare(edge).map(one).collect::<Vec<_>>().join("; ")
}

/// An end of a stretch: what stands there as it was known is exactly that.
fn as_known(sizes: &Sizes, edge: Edge, text: &str, show: Show) -> Result<Length, LengthError> {
    let known = sizes.bare(edge).flatten().find(|end| near(end.length(), show) == text);
    known.map_or_else(|| Length::parse(text, show.unit()), |end| Ok(end.length()))
}

/// The edge that a form has picked; of a form without one, the edge opposite the cut.
fn picked_edge(form: &Form, cut: Edge) -> Edge {
    EDGES.into_iter().find(|edge| edge.word() == form.value(0)).unwrap_or(cut.opposite())
}

/// The end of the cut edge that a form has picked.
fn picked_end(form: &Form, cut: Edge) -> End {
    if form.value(0) == End::End.word(cut) { End::End } else { End::Start }
}

fn edge_field(edge: Edge) -> Field {
    let now = EDGES.iter().position(|known| *known == edge).unwrap_or(0);
    Field::choice("edge", &EDGE_WORDS, "left and right choose").picked(now)
}

/// `2 to 5 1/2; 9 to 10`.
fn stretches(text: &str, read: &dyn Fn(&str) -> Result<Length, LengthError>) -> Result<Vec<[Length; 2]>, String> {
    let parts = text.split(';').map(str::trim).filter(|part| !part.is_empty());
    let one = |part: &str| {
        let (from, to) = part
            .split_once(" to ")
            .ok_or_else(|| format!("'{part}' is no stretch: write it like 2 to 5 1/2, with ; between several"))?;
        let length = |text: &str| read(text.trim()).map_err(|error| error.to_string());
        let (from, to) = (length(from)?, length(to)?);
        if to <= from {
            Err(format!("'{part}' ends before it begins: the smaller length comes first"))
        } else {
            Ok([from, to])
        }
    };
    parts.map(one).collect()
}

/// A measurement in words.
pub fn words(measured: &LeafMeasured, show: Show) -> String {
    let mut parts = Vec::new();
    let signed = |length: Length, over: &str, under: &str, none: &str| {
        if length.is_zero() {
            none.to_owned()
        } else {
            format!("{} {}", if length.is_negative() { under } else { over }, length.abs().shown_with_error(show))
        }
    };
    if let Some([bottom, top]) = measured.widths {
        parts.push(format!("width {} at the bottom, {} at the top", bottom.shown(show), top.shown(show)));
    }
    if let Some([left, right]) = measured.heights {
        parts.push(format!("height {} at the left, {} at the right", left.shown(show), right.shown(show)));
    }
    if let Some(CornerSquare { edge, at, beyond }) = measured.square {
        let how = signed(beyond, "beyond square by", "short of square by", "square");
        parts.push(format!("{edge} edge, square at its {}: {how}", at.word(edge)));
    }
    if let Some(bare) = &measured.no_contact {
        let all: Vec<_> =
            bare.stretches.iter().map(|[from, to]| format!("{} to {}", from.shown(show), to.shown(show))).collect();
        let what =
            if all.is_empty() { "wood all along".to_owned() } else { format!("no wood from {}", all.join(", ")) };
        parts.push(format!("{} edge: {what}", bare.edge));
    }
    if let Some(EdgeBow { edge, bow }) = measured.bow {
        parts.push(format!("{edge} edge {}", signed(bow, "hollow by", "round by", "straight")));
    }
    format!("{} measured: {}", measured.leaf, parts.join("; "))
}
