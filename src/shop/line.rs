//! One line of a log: JSON that ends in a checksum of its own text.
//!
//! `{"n":7,"at":"2026-03-02T14:05:11Z","event":"note","text":"…","crc":"9f3a01bc"}`
//!
//! The last 18 bytes are always `,"crc":"` + eight lower-case hex digits + `"}`. The checksum is the
//! CRC-32 (IEEE 802.3, as in zip and png) of all bytes of the line before that comma. It is compared
//! as text, before the JSON is looked at. The header carries one too.

use super::event::{Event, Header, Record};
use serde::Deserialize;
use serde::de::DeserializeOwned;
use serde_json::{Map, Value};
use std::borrow::Cow;

const BEFORE: &str = ",\"crc\":\"";
const TAIL: usize = BEFORE.len() + 8 + 2;

/// Why a line cannot be used.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LineError {
    /// It does not end in a checksum.
    #[error("it does not end in a checksum")]
    NoChecksum,
    /// The checksum is another one.
    #[error("its checksum is {found}, its text gives {computed}")]
    WrongChecksum {
        /// What the line says.
        found: String,
        /// What its text gives.
        computed: String,
    },
    /// It is not JSON.
    #[error("it is not JSON: {why}")]
    NotJson {
        /// What the reader of JSON says.
        why: String,
    },
    /// A whole line that goes on after its checksum.
    #[error("it goes on after its checksum: the line end is missing")]
    RunOn,
    /// A whole line whose content this build does not know.
    #[error(transparent)]
    Content(#[from] ContentError),
}

/// Why the content of an event cannot be used, although it is whole JSON.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ContentError {
    /// A field is missing, or has a value that it cannot have.
    #[error("{field}: {why}")]
    Field {
        /// Path of the field: `gaps[0].readings[2].at`.
        field: String,
        /// What is wrong, and what is allowed.
        why: String,
    },
    /// A kind of event that this build does not know.
    #[error("event: '{found}' is no kind of event; allowed are {}", KINDS.join(", "))]
    UnknownKind {
        /// The word found.
        found: String,
    },
}

/// The kinds of event that this build knows.
pub const KINDS: [&str; 22] = [
    "opening", "leaf", "readings", "plan", "cut", "hung", "pack", "flush", "finish", "note", "strike", "survey",
    "build", "part", "reveal", "judged", "measured", "pin", "depth", "altered", "remade", "heights",
];

/// `text` (a JSON object) with its checksum as the last field, without a line end.
fn sealed(text: String) -> String {
    let mut text = text;
    text.pop();
    let crc = crc32fast::hash(text.as_bytes());
    format!("{text}{BEFORE}{crc:08x}\"}}")
}

/// The text that the checksum covers, once it agrees.
pub(super) fn checked(line: &[u8]) -> Result<&[u8], LineError> {
    let covered = line.len().checked_sub(TAIL).ok_or(LineError::NoChecksum)?;
    let (text, tail) = line.split_at_checked(covered).ok_or(LineError::NoChecksum)?;
    let found = tail
        .strip_prefix(BEFORE.as_bytes())
        .and_then(|rest| rest.strip_suffix(b"\"}"))
        .and_then(|digits| std::str::from_utf8(digits).ok())
        .ok_or(LineError::NoChecksum)?;
    let computed = format!("{:08x}", crc32fast::hash(text));
    if computed != found {
        return Err(LineError::WrongChecksum { found: found.to_owned(), computed });
    }
    Ok(text)
}

fn object(line: &[u8]) -> Result<Map<String, Value>, LineError> {
    serde_json::from_slice(line).map_err(|error| LineError::NotJson { why: error.to_string() })
}

/// The first line of a log.
pub fn write_header(header: &Header) -> Result<String, serde_json::Error> {
    Ok(sealed(serde_json::to_string(header)?))
}

/// A later line of a log.
pub fn write_record(record: &Record) -> Result<String, serde_json::Error> {
    Ok(sealed(serde_json::to_string(record)?))
}

/// The format word of a first line, whole or not by this build's rules. Looked at before anything
/// else, since a newer format may have other rules.
pub fn format_word(line: &[u8]) -> Option<String> {
    match object(line).ok()?.get("format")? {
        Value::String(word) => Some(word.clone()),
        _ => None,
    }
}

/// Reads the first line of a log.
pub fn read_header(line: &[u8]) -> Result<Header, LineError> {
    checked(line)?;
    Ok(content(object(line)?, &mut Vec::new())?)
}

/// Reads a later line. Fields that this build does not know are passed over: a newer build of the
/// same format may have added them, and the line itself is never rewritten.
pub fn read_record(line: &[u8]) -> Result<Record, LineError> {
    checked(line)?;
    if let Some(record) = read_known(line) {
        return Ok(record);
    }
    // The long way, which names the field.
    let mut map = object(line)?;
    let n: u64 = taken(&mut map, "n")?;
    let at: String = taken(&mut map, "at")?;
    map.shift_remove("crc");
    Ok(Record { n, at, event: read_event(map, &mut Vec::new())? })
}

/// What an event's line begins with.
#[derive(Deserialize)]
struct Head<'a> {
    n: u64,
    #[serde(borrow)]
    at: Cow<'a, str>,
    #[serde(borrow)]
    event: Cow<'a, str>,
}

/// A line without any fault, read straight into its event.
fn read_known(line: &[u8]) -> Option<Record> {
    fn read<T: DeserializeOwned>(line: &[u8], event: fn(T) -> Event) -> Option<Event> {
        serde_json::from_slice(line).ok().map(event)
    }
    let head: Head<'_> = serde_json::from_slice(line).ok()?;
    let event = match head.event.as_ref() {
        "opening" => read(line, Event::Opening),
        "leaf" => read(line, Event::Leaf),
        "readings" => read(line, Event::Readings),
        "plan" => read(line, Event::Plan),
        "cut" => read(line, Event::Cut),
        "pack" => read(line, Event::Pack),
        "hung" => read(line, Event::Hung),
        "altered" => read(line, Event::Altered),
        "remade" => read(line, Event::Remade),
        "flush" => read(line, Event::Flush),
        "finish" => read(line, Event::Finish),
        "note" => read(line, Event::Note),
        "judged" => read(line, Event::Judged),
        "strike" => read(line, Event::Strike),
        "survey" => read(line, Event::Survey),
        "build" => read(line, Event::Build),
        "part" => read(line, Event::Part),
        "reveal" => read(line, Event::Reveal),
        "measured" => read(line, Event::Measured),
        "heights" => read(line, Event::Heights),
        "pin" => read(line, Event::Pin),
        "depth" => read(line, Event::Depth),
        _ => None,
    };
    Some(Record { n: head.n, at: head.at.into_owned(), event: event? })
}

/// Length of the whole line that `text` begins with, if anything follows it without a line end.
pub fn whole_line_within(text: &[u8]) -> Option<usize> {
    let mut from = 0;
    while let Some(found) = text.get(from..)?.windows(BEFORE.len()).position(|part| part == BEFORE.as_bytes()) {
        let end = from + found + TAIL;
        if end < text.len() && checked(&text[..end]).is_ok() {
            return Some(end);
        }
        from += found + 1;
    }
    None
}

fn taken<T: DeserializeOwned>(map: &mut Map<String, Value>, field: &str) -> Result<T, ContentError> {
    let why = |why: String| ContentError::Field { field: field.to_owned(), why };
    let value = map.shift_remove(field).ok_or_else(|| why("is missing".to_owned()))?;
    serde_json::from_value(value).map_err(|error| why(error.to_string()))
}

/// An event from the fields of a JSON object without `n`, `at` and `crc`. Paths of fields that no
/// event of its kind has are added to `unknown`.
pub fn read_event(mut map: Map<String, Value>, unknown: &mut Vec<String>) -> Result<Event, ContentError> {
    let kind: String = taken(&mut map, "event")?;
    Ok(match kind.as_str() {
        "opening" => Event::Opening(content(map, unknown)?),
        "leaf" => Event::Leaf(content(map, unknown)?),
        "readings" => Event::Readings(content(map, unknown)?),
        "plan" => Event::Plan(content(map, unknown)?),
        "cut" => {
            // `flatten` hides what it passes over, so its fields are listed here.
            let fields = ["round", "leaf", "edge", "start", "end", "reckoned", "method", "more", "settings"];
            unknown.extend(map.keys().filter(|key| !fields.contains(&key.as_str())).cloned());
            Event::Cut(content(map, &mut Vec::new())?)
        }
        "pack" => Event::Pack(content(map, unknown)?),
        "hung" => Event::Hung(content(map, unknown)?),
        "altered" => Event::Altered(content(map, unknown)?),
        "remade" => Event::Remade(content(map, unknown)?),
        "flush" => Event::Flush(content(map, unknown)?),
        "finish" => Event::Finish(content(map, unknown)?),
        "note" => Event::Note(content(map, unknown)?),
        "judged" => Event::Judged(content(map, unknown)?),
        "strike" => Event::Strike(content(map, unknown)?),
        "survey" => Event::Survey(content(map, unknown)?),
        "build" => Event::Build(content(map, unknown)?),
        "part" => Event::Part(content(map, unknown)?),
        "reveal" => Event::Reveal(content(map, unknown)?),
        "measured" => Event::Measured(content(map, unknown)?),
        "heights" => Event::Heights(content(map, unknown)?),
        "pin" => Event::Pin(content(map, unknown)?),
        "depth" => Event::Depth(content(map, unknown)?),
        _ => return Err(ContentError::UnknownKind { found: kind.chars().take(40).collect() }),
    })
}

fn content<T: DeserializeOwned>(map: Map<String, Value>, unknown: &mut Vec<String>) -> Result<T, ContentError> {
    let mut track = serde_path_to_error::Track::new();
    let tracked = serde_path_to_error::Deserializer::new(Value::Object(map), &mut track);
    let mut passed_over = |path: serde_ignored::Path<'_>| unknown.push(path_text(&path));
    let result = T::deserialize(serde_ignored::Deserializer::new(tracked, &mut passed_over));
    result.map_err(|error| {
        let path = track.path().to_string();
        let why = error.to_string();
        // A missing field is reported by its parent: name it itself.
        match why.strip_prefix("missing field `").and_then(|rest| rest.strip_suffix('`')) {
            Some(missing) if path == "." => ContentError::Field { field: missing.to_owned(), why: "is missing".into() },
            Some(missing) => ContentError::Field { field: format!("{path}.{missing}"), why: "is missing".into() },
            None => ContentError::Field { field: path, why },
        }
    })
}

/// The path of a field in the style of the other messages: `gaps[0].readings[2].at`.
fn path_text(path: &serde_ignored::Path<'_>) -> String {
    use serde_ignored::Path;
    match path {
        Path::Root => String::new(),
        Path::Seq { parent, index } => format!("{}[{index}]", path_text(parent)),
        Path::Map { parent, key } => match path_text(parent).as_str() {
            "" => key.clone(),
            before => format!("{before}.{key}"),
        },
        Path::Some { parent } | Path::NewtypeStruct { parent } | Path::NewtypeVariant { parent } => path_text(parent),
    }
}
