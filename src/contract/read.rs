//! From `evenreveal-fit/1` to a [`FitProblem`], naming the field of whatever is wrong.

use super::{FIT_FORMAT, LONGEST_TEXT};
use crate::fit::length::{Length, LengthError, Show, Unit};
use crate::fit::network::{MOST_GAPS, MOST_LEAVES, MOST_READINGS, Network, ProblemFault};
use crate::fit::opening::{
    Adjust, Edge, EdgeSet, Facing, FitProblem, GapLine, Hanging, Leaf, Motion, Prefer, Side, Travel,
};
use crate::fit::plan::PlanError;
use crate::fit::reading::{Reading, Value as Read};
use serde_json::{Map, Value};

/// A problem as it was asked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Asked {
    /// The problem.
    pub problem: FitProblem,
    /// The unit of its bare numbers, and of the answer's.
    pub unit: Unit,
    /// How its answer says lengths to people.
    pub show: Show,
}

/// Why a text is not a problem that can be planned: which field, what was found, what is allowed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ContractError {
    /// Not JSON.
    #[error("this is not JSON: {0}; a problem looks like {{\"format\": \"{FIT_FORMAT}\", \"unit\": \"in\", …}}")]
    NotJson(String),
    /// More than anyone writes.
    #[error("the problem is {found} bytes long; at most {LONGEST_TEXT} are allowed")]
    TooLong {
        /// Its length.
        found: usize,
    },
    /// A field that must be there.
    #[error("{field}: this is missing; allowed: {allowed}")]
    Missing {
        /// Path of the field.
        field: String,
        /// What may stand there.
        allowed: String,
    },
    /// A field that no problem has.
    #[error("{field}: there is no such field; allowed here: {allowed}")]
    Unknown {
        /// Path of the field.
        field: String,
        /// The fields that may stand there.
        allowed: String,
    },
    /// A field with the wrong thing in it.
    #[error("{field}: found {found}; allowed: {allowed}")]
    Wrong {
        /// Path of the field.
        field: String,
        /// What stands there.
        found: String,
        /// What may stand there.
        allowed: String,
    },
    /// A field that should be a length.
    #[error("{field}: {error}")]
    BadLength {
        /// Path of the field.
        field: String,
        /// What is wrong, where in the text.
        error: LengthError,
    },
    /// Each field is sound but together they contradict each other.
    #[error("{field}: {fault}")]
    Fault {
        /// Path of the field.
        field: String,
        /// The contradiction.
        fault: ProblemFault,
    },
    /// There is no plan.
    #[error("{0}")]
    Plan(#[from] PlanError),
}

/// Parses JSON text.
pub fn json(text: &str) -> Result<Value, ContractError> {
    if text.len() > LONGEST_TEXT {
        return Err(ContractError::TooLong { found: text.len() });
    }
    serde_json::from_str(text).map_err(|error| ContractError::NotJson(error.to_string()))
}

/// A value with the path that leads to it.
#[derive(Clone)]
struct At<'v> {
    value: &'v Value,
    path: String,
}

/// The fields of an object, checked against those that are allowed.
struct Fields<'v> {
    map: &'v Map<String, Value>,
    path: String,
}

fn found(value: &Value) -> String {
    let text = match value {
        Value::Array(items) => format!("a list of {}", items.len()),
        Value::Object(_) => "an object".to_owned(),
        other => other.to_string(),
    };
    if text.chars().count() > 60 { text.chars().take(57).chain("...".chars()).collect() } else { text }
}

impl<'v> At<'v> {
    fn wrong<T>(&self, allowed: impl Into<String>) -> Result<T, ContractError> {
        Err(ContractError::Wrong { field: self.path.clone(), found: found(self.value), allowed: allowed.into() })
    }

    fn fields(&self, allowed: &[&str]) -> Result<Fields<'v>, ContractError> {
        let Value::Object(map) = self.value else {
            return self.wrong(format!("an object with the fields {}", allowed.join(", ")));
        };
        let fields = Fields { map, path: self.path.clone() };
        if let Some(strange) = map.keys().find(|key| !allowed.contains(&key.as_str())) {
            let shown: String = strange.chars().take(60).collect();
            return Err(ContractError::Unknown { field: fields.join(&shown), allowed: allowed.join(", ") });
        }
        Ok(fields)
    }

    fn list(&self, most: usize) -> Result<Vec<At<'v>>, ContractError> {
        match self.value {
            Value::Array(items) if items.len() <= most => Ok(items
                .iter()
                .enumerate()
                .map(|(place, value)| At { value, path: format!("{}[{place}]", self.path) })
                .collect()),
            _ => self.wrong(format!("a list of at most {most}")),
        }
    }

    fn text(&self, allowed: &str) -> Result<&'v str, ContractError> {
        match self.value {
            Value::String(text) => Ok(text),
            _ => self.wrong(allowed),
        }
    }

    fn word<T: Copy>(&self, words: &[(&str, T)]) -> Result<T, ContractError> {
        let all: Vec<String> = words.iter().map(|(word, _)| format!("\"{word}\"")).collect();
        let allowed = all.join(" or ");
        let text = self.text(&allowed)?;
        match words.iter().find(|(word, _)| *word == text) {
            Some(&(_, meaning)) => Ok(meaning),
            None => self.wrong(allowed),
        }
    }

    fn length(&self, unit: Unit, signed: bool) -> Result<Length, ContractError> {
        let example = match unit {
            Unit::Inch => "a length like \"3/32\", \"23 7/8\", 0.094 or \"2.4mm\"",
            Unit::Millimetre => "a length like \"2.4\", 597.5 or \"3/32\\\"\"",
        };
        match self.value {
            Value::String(text) => {
                let bare_fraction = unit == Unit::Millimetre
                    && text.contains(['/', '⁄', '½', '¼', '¾', '⅛', '⅜', '⅝', '⅞', '⅓', '⅔'])
                    && text.trim_end().ends_with(|c: char| c.is_numeric());
                if bare_fraction {
                    return self.wrong(format!(
                        "{example}; the unit is mm and a fraction goes with inches: write {text}\\\" if inches are meant"
                    ));
                }
                let read = if signed { Length::parse_signed(text, unit) } else { Length::parse(text, unit) };
                read.map_err(|error| ContractError::BadLength { field: self.path.clone(), error })
            }
            Value::Number(number) => match number.as_f64().and_then(|n| Length::from_number(n, unit)) {
                Some(length) if signed || !length.is_negative() => Ok(length),
                Some(_) => self.wrong(format!("{example}, not below zero (a lap is entered as \"lap\")")),
                None => self.wrong(format!("{example}, at most 100 ft")),
            },
            _ => self.wrong(example),
        }
    }
}

impl<'v> Fields<'v> {
    fn join(&self, name: &str) -> String {
        if self.path.is_empty() { name.to_owned() } else { format!("{}.{name}", self.path) }
    }

    fn get(&self, name: &str) -> Option<At<'v>> {
        self.map.get(name).map(|value| At { value, path: self.join(name) })
    }

    fn need(&self, name: &str, allowed: &str) -> Result<At<'v>, ContractError> {
        self.get(name).ok_or_else(|| ContractError::Missing { field: self.join(name), allowed: allowed.to_owned() })
    }
}

/// The problem that a JSON value describes.
pub fn to_problem(value: &Value) -> Result<Asked, ContractError> {
    let top = At { value, path: String::new() };
    if !value.is_object() {
        return At { path: "(the whole text)".to_owned(), ..top }.wrong("an object with the fields format, unit, …");
    }
    let fields = top.fields(&["format", "unit", "tolerance", "prefer", "leaves", "gaps"])?;
    fields.need("format", &format!("\"{FIT_FORMAT}\""))?.word(&[(FIT_FORMAT, ())])?;
    let unit = fields.need("unit", "\"in\" or \"mm\"")?.word(&[("in", Unit::Inch), ("mm", Unit::Millimetre)])?;
    let tolerance = fields.need("tolerance", "a length above zero like \"1/64\"")?.length(unit, false)?;
    let prefer = match fields.get("prefer") {
        None => Prefer::LeastWood,
        Some(at) => at.word(&[("least-wood", Prefer::LeastWood), ("even-stiles", Prefer::EvenStiles)])?,
    };
    let leaves = fields
        .need("leaves", "a list of leaves")?
        .list(MOST_LEAVES)?
        .iter()
        .map(|at| leaf(at, unit))
        .collect::<Result<Vec<_>, _>>()?;
    let gaps = fields
        .need("gaps", "a list of gap lines")?
        .list(MOST_GAPS)?
        .iter()
        .map(|at| gap_line(at, unit, &leaves))
        .collect::<Result<Vec<_>, _>>()?;
    let problem = FitProblem { leaves, gaps, tolerance, prefer };
    Network::new(&problem).map_err(|fault| ContractError::Fault { field: place(&fault, &problem), fault })?;
    let show = match unit {
        Unit::Inch => Show::Fraction(64),
        Unit::Millimetre => Show::Millimetre(1),
    };
    Ok(Asked { problem, unit, show })
}

/// The field that a contradiction is at.
fn place(fault: &ProblemFault, problem: &FitProblem) -> String {
    match fault {
        ProblemFault::NoLeaf => "leaves".to_owned(),
        ProblemFault::TooMany { .. } => "gaps".to_owned(),
        ProblemFault::DuplicateLeaf(id) => {
            let place = problem.leaves.iter().rposition(|leaf| leaf.id == *id).unwrap_or(0);
            format!("leaves[{place}].id")
        }
        ProblemFault::LeafSize { leaf, what } => {
            let place = problem.leaves.iter().position(|other| other.id == *leaf).unwrap_or(0);
            format!("leaves[{place}].{what}")
        }
        ProblemFault::Hanging { leaf, .. } => {
            let place = problem.leaves.iter().position(|other| other.id == *leaf).unwrap_or(0);
            format!("leaves[{place}].motion.hung")
        }
        ProblemFault::Tolerance => "tolerance".to_owned(),
        ProblemFault::Target { gap } => format!("gaps[{gap}].target"),
        ProblemFault::NotFacing { gap }
        | ProblemFault::NoSuchLeaf { gap, .. }
        | ProblemFault::SameGapTwice { gap, .. } => format!("gaps[{gap}].between"),
        ProblemFault::OutsideEdge { gap, reading, .. } => format!("gaps[{gap}].readings[{reading}].at"),
        ProblemFault::StopsNotAboveGoes { gap, reading } => format!("gaps[{gap}].readings[{reading}].stops"),
    }
}

const EDGES: [(&str, Edge); 4] =
    [("left", Edge::Left), ("right", Edge::Right), ("bottom", Edge::Bottom), ("top", Edge::Top)];

fn leaf(at: &At<'_>, unit: Unit) -> Result<Leaf, ContractError> {
    let fields = at.fields(&["id", "width", "height", "hinge", "may_cut", "motion"])?;
    let id_at = fields.need("id", "a short name like \"A\"")?;
    let id = id_at.text("a short name like \"A\"")?;
    if id.is_empty() || id.contains('.') || id == "frame" || id.chars().count() > 60 || id.chars().any(char::is_control)
    {
        return id_at.wrong("a short name (at most 60 characters) without a point, and not \"frame\"");
    }
    let size = |name| fields.need(name, "a length above zero")?.length(unit, false);
    let hinge = match fields.get("hinge") {
        None | Some(At { value: Value::Null, .. }) => None,
        Some(at) => Some(at.word(&[("left", Side::Left), ("right", Side::Right)])?),
    };
    let may_cut = match fields.get("may_cut") {
        None => EdgeSet::ALL,
        Some(at) => {
            let mut set = EdgeSet::NONE;
            for item in at.list(8)? {
                set = set.with(item.word(&EDGES)?);
            }
            set
        }
    };
    let motion = fields.get("motion").map_or(Ok(Motion::Free), |at| motion(&at, unit))?;
    Ok(Leaf { id: id.to_owned(), width: size("width")?, height: size("height")?, hinge, may_cut, motion })
}

fn motion(at: &At<'_>, unit: Unit) -> Result<Motion, ContractError> {
    if !at.value.is_object() {
        return match at.value.as_str() {
            Some("free") => Ok(Motion::Free),
            Some("fixed") => Ok(Motion::Fixed),
            _ => at.wrong("\"free\", \"fixed\" or {\"hung\": {\"hinges\": [\"3\", \"23\"], …}}"),
        };
    }
    let hung = at.fields(&["hung"])?.need("hung", "an object with hinges, pack, let_in and stock")?;
    let fields = hung.fields(&["hinges", "pack", "let_in", "stock", "adjust"])?;
    let lengths = |name, most| -> Result<Vec<Length>, ContractError> {
        fields.need(name, "a list of lengths")?.list(most)?.iter().map(|item| item.length(unit, false)).collect()
    };
    let hinges = lengths("hinges", 8)?;
    let most = |name| fields.get(name).map_or(Ok(Length::ZERO), |at| at.length(unit, false));
    let adjust = fields.get("adjust").map(|at| self::adjust(&at, unit)).transpose()?.map(Box::new);
    let stock = if fields.get("stock").is_none() { Vec::new() } else { lengths("stock", 8)? };
    Ok(Motion::Hung(Hanging {
        hinges,
        pack: most("pack")?,
        let_in: most("let_in")?,
        stock,
        adjust,
        there: Vec::new(),
        up: Length::ZERO,
    }))
}

/// Screws: `{"side": {"from": "-1/16", "to": "1/16", "step": "1/64"}, "height": …, "depth": …}`.
fn adjust(at: &At<'_>, unit: Unit) -> Result<Adjust, ContractError> {
    let fields = at.fields(&["side", "height", "depth"])?;
    let travel = |name| -> Result<Option<Travel>, ContractError> {
        let Some(at) = fields.get(name) else { return Ok(None) };
        let ends = at.fields(&["from", "to", "step"])?;
        let end = |name, allowed| ends.need(name, allowed)?.length(unit, true);
        let from = end("from", "the farthest one way, zero or below, like \"-1/16\"")?;
        let to = end("to", "the farthest the other way, zero or above, like \"1/16\"")?;
        let step = ends.get("step").map(|at| at.length(unit, false)).transpose()?;
        Ok(Some(Travel { from, to, step }))
    };
    Ok(Adjust { side: travel("side")?, height: travel("height")?, depth: travel("depth")? })
}

fn gap_line(at: &At<'_>, unit: Unit, leaves: &[Leaf]) -> Result<GapLine, ContractError> {
    let fields = at.fields(&["between", "target", "offset", "readings"])?;
    let between_at = fields.need("between", "two of \"frame\" and \"ID.edge\"")?;
    let sides = between_at.list(2)?;
    let [first, second] = sides.as_slice() else {
        return between_at.wrong("two of \"frame\" and \"ID.edge\"");
    };
    let between = [facing(first, leaves)?, facing(second, leaves)?];
    let target = fields.need("target", "the reveal wanted, like \"3/32\"")?.length(unit, false)?;
    let offset = fields.get("offset").map_or(Ok(Length::ZERO), |at| at.length(unit, true))?;
    let readings = match fields.get("readings") {
        None => Vec::new(),
        Some(at) => at.list(MOST_READINGS)?.iter().map(|item| reading(item, unit)).collect::<Result<_, _>>()?,
    };
    Ok(GapLine { between, target, offset, readings })
}

fn facing(at: &At<'_>, leaves: &[Leaf]) -> Result<Facing, ContractError> {
    let allowed = || {
        let ids: Vec<&str> = leaves.iter().take(8).map(|leaf| leaf.id.as_str()).collect();
        format!("\"frame\" or ID.left, ID.right, ID.bottom, ID.top with ID one of {}", ids.join(", "))
    };
    let text = at.text(&allowed())?;
    if text == "frame" {
        return Ok(Facing::Frame);
    }
    let named = text.rsplit_once('.').and_then(|(id, edge)| {
        let leaf = leaves.iter().position(|leaf| leaf.id == id)?;
        Some(Facing::Leaf { leaf, edge: edge.parse().ok()? })
    });
    named.map_or_else(|| at.wrong(allowed()), Ok)
}

fn reading(at: &At<'_>, unit: Unit) -> Result<Reading, ContractError> {
    let fields = at.fields(&["at", "gap", "goes", "stops", "lap"])?;
    let place = fields.need("at", "the station, from the edge's lower or left end")?.length(unit, false)?;
    let one = |name| fields.get(name).map(|at| at.length(unit, false)).transpose();
    let value = match (one("gap")?, one("goes")?, one("stops")?, one("lap")?) {
        (Some(gap), None, None, None) => Read::Gap(gap),
        (None, None, None, Some(lap)) => Read::Lap(lap),
        (None, Some(goes), Some(stops), None) if goes < stops => Read::GoNoGo { goes, stops },
        (None, Some(goes), Some(_), None) => {
            let at = fields.need("stops", "a length")?;
            return at.wrong(format!("a feeler thicker than the one that goes ({} in)", goes.inches()));
        }
        _ => return at.wrong("one of {\"gap\"}, {\"goes\", \"stops\"} or {\"lap\"} beside \"at\""),
    };
    Ok(Reading { at: place, value })
}
