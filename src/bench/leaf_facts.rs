//! What is typed about a leaf at its set-up sheet: widths, a corner's square, bare stretches, straightness.
//! Each becomes an event, so that it outlives the screen and is tracked through the cuts that follow.

use super::form::{Entry, Field, Filled, Form};
use super::leaf_sizes::Sizes;
use super::message::Action;
use super::sheets::Sheet;
use super::words::width_labels;
use crate::cut::job::End;
use crate::cut::setup::Setup;
use crate::cut::sled::OnSled;
use crate::fit::length::{Inches, Length, LengthError, Show, Unit};
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
        match self {
            Self::Widths => {
                let (low, high) = width_labels(about.edge);
                let hint = super::words::HINT_WIDTH_MEASURED;
                let [at_low, at_high] = widths(about, show);
                Form::new(vec![Field::figures(low, at_low, hint), Field::figures(high, at_high, hint)])
            }
            Self::Square => {
                let at = about.sled().map_or(End::Start, |sled| sled.at);
                Form::new(vec![
                    choice(
                        "square held at",
                        &[End::Start.word(about.edge), End::End.word(about.edge)],
                        usize::from(at == End::End),
                        "its stock on the edge that meets the cut there",
                    ),
                    Field::figures(
                        "other end stands",
                        square(about, at, show),
                        "beyond square by this; short of it with - before it; 0: square",
                    ),
                ])
            }
            Self::Bare => Form::new(vec![
                edge_field(about.reference()),
                Field::figures(
                    "no wood",
                    bare(about, about.reference(), show),
                    "from its lower or left end, like 2 to 5 1/2; 9 to 10. Empty: wood all along",
                ),
            ]),
            Self::Straight => Form::new(vec![
                edge_field(about.reference()),
                Field::figures(
                    "hollow by",
                    bow(about, about.reference(), show),
                    "at its middle; round with - before it; 0: straight",
                ),
            ]),
        }
    }

    /// What is known of the corner or the edge that `form` has picked, as it would be typed.
    fn known(self, form: &Form, about: &About<'_>, show: Show) -> Option<String> {
        match self {
            Self::Widths => None,
            Self::Square => Some(square(about, picked_end(form, about.edge), show)),
            Self::Bare => Some(bare(about, picked_edge(form, about.edge), show)),
            Self::Straight => Some(bow(about, picked_edge(form, about.edge), show)),
        }
    }

    /// Takes an action on `form`. When another corner or edge is picked and nothing was typed, what is known of
    /// that one stands there.
    pub fn act(self, form: &mut Form, action: Action, about: &About<'_>, show: Show) -> Filled {
        let before = self.known(form, about, show);
        let untouched = before.as_deref() == Some(form.value(1));
        let filled = form.act(action);
        let after = self.known(form, about, show);
        if untouched
            && before != after
            && let (Some(known), Some(Entry::Text(text))) =
                (after, form.fields.get_mut(1).map(|field| &mut field.entry))
        {
            *text = known;
        }
        filled
    }

    /// Does `form` say nothing that is not known already?
    pub fn is_known(self, form: &Form, about: &About<'_>, show: Show) -> bool {
        match self {
            Self::Widths => widths(about, show).iter().enumerate().all(|(at, known)| form.value(at) == known),
            Self::Square | Self::Bare | Self::Straight => {
                self.known(form, about, show).as_deref() == Some(form.value(1).trim())
            }
        }
    }

    /// What the fields say of the leaf.
    pub fn read(self, form: &Form, trim: &TrimMeant, sizes: &Sizes, show: Show) -> Result<LeafMeasured, String> {
        let unit = show.unit();
        let leaf = LeafMeasured { leaf: trim.leaf.clone(), ..LeafMeasured::default() };
        let said = |error: LengthError| error.to_string();
        let edge = picked_edge(form, trim.edge);
        Ok(match self {
            Self::Widths => {
                let pair = [form.value(0), form.value(1)].map(|text| Length::parse(text, unit));
                let [low, high] = pair;
                let pair = Some([low.map_err(said)?, high.map_err(said)?]);
                if trim.edge.is_upright() {
                    LeafMeasured { widths: pair, ..leaf }
                } else {
                    LeafMeasured { heights: pair, ..leaf }
                }
            }
            Self::Square => {
                let at = picked_end(form, trim.edge);
                let beyond = Length::parse_signed(form.value(1).trim(), unit).map_err(said)?;
                LeafMeasured { square: Some(CornerSquare { edge: trim.edge, at, beyond }), ..leaf }
            }
            Self::Bare => {
                let stretches = stretches(form.value(1), unit)?;
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
            Self::Straight => {
                let bow = Length::parse_signed(form.value(1).trim(), unit).map_err(said)?;
                LeafMeasured { bow: Some(EdgeBow { edge, bow }), ..leaf }
            }
        })
    }
}

/// As it would be typed: to the ten-thousandth of an inch or the hundredth of a millimetre where a fraction of
/// the shop's does not say it.
fn typed(inches: Inches, show: Show) -> String {
    let length = inches.length();
    let fine = match show.unit() {
        Unit::Inch => Show::DecimalInch(4),
        Unit::Millimetre => Show::Millimetre(2),
    };
    let exact = length.rounded(show).1.abs() < Length::ratio(1, 100_000);
    length.shown(if exact { show } else { fine })
}

fn widths(about: &About<'_>, show: Show) -> [String; 2] {
    let known = about.sizes.are_widths_known(about.edge);
    about.sizes.widths_from(about.edge).map(|width| if known { typed(width, show) } else { String::new() })
}

fn square(about: &About<'_>, at: End, show: Show) -> String {
    about.sizes.beyond_square(about.edge, at).map_or_else(String::new, |beyond| typed(beyond, show))
}

fn bare(about: &About<'_>, edge: Edge, show: Show) -> String {
    let one = |[from, to]: [Inches; 2]| format!("{} to {}", typed(from, show), typed(to, show));
    about.sizes.bare(edge).map(one).collect::<Vec<_>>().join("; ")
}

fn bow(about: &About<'_>, edge: Edge, show: Show) -> String {
    about.sizes.bow(edge).map_or_else(String::new, |bow| typed(bow, show))
}

/// The edge that a form has picked; of a form without one, the edge opposite the cut.
fn picked_edge(form: &Form, cut: Edge) -> Edge {
    EDGES.into_iter().find(|edge| edge.word() == form.value(0)).unwrap_or(cut.opposite())
}

/// The end of the cut edge that a form has picked.
fn picked_end(form: &Form, cut: Edge) -> End {
    if form.value(0) == End::End.word(cut) { End::End } else { End::Start }
}

fn choice(label: &'static str, options: &[&'static str], now: usize, hint: &'static str) -> Field {
    let mut field = Field::choice(label, options, hint);
    if let Entry::Choice { picked, .. } = &mut field.entry {
        *picked = now;
    }
    field
}

fn edge_field(edge: Edge) -> Field {
    let now = EDGES.iter().position(|known| *known == edge).unwrap_or(0);
    choice("edge", &EDGE_WORDS, now, "left and right choose")
}

/// `2 to 5 1/2; 9 to 10`.
fn stretches(text: &str, unit: Unit) -> Result<Vec<[Length; 2]>, String> {
    let parts = text.split(';').map(str::trim).filter(|part| !part.is_empty());
    let one = |part: &str| {
        let (from, to) = part
            .split_once(" to ")
            .ok_or_else(|| format!("'{part}' is no stretch: write it like 2 to 5 1/2, with ; between several"))?;
        let length = |text: &str| Length::parse(text.trim(), unit).map_err(|error| error.to_string());
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
