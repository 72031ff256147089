//! `enter`: events from a script into an opening's log.

use super::trouble::{Answer, Trouble};
use super::{put, say};
use crate::shell::here;
use crate::shop::event::Event;
use crate::shop::line::{self, ContentError};
use crate::shop::opening::check_batch;
use crate::shop::photo;
use crate::shop::{EnterError, Opening, Shop, ShopError};
use serde_json::{Map, Value};
use std::io::Write;

/// Ends the help of the command.
pub(super) const EXAMPLES: &str = "\
Examples, one event to a line of FILE:
  {\"event\":\"note\",\"text\":\"wax the runners\"}
  {\"event\":\"altered\",\"leaf\":\"A\",\"edge\":\"left\",\"added\":\"1/16\"}   a strip 1/16 thick was glued on
  {\"event\":\"altered\",\"leaf\":\"A\",\"edge\":\"top\",\"added\":\"-1/32\"}   wood came off outside the rounds
  {\"event\":\"remade\",\"leaf\":\"A\",\"width\":\"11\",\"height\":\"26\"}      a new leaf in its place
After 'altered' and 'remade' what was read of that leaf before holds no more, and the accepted plan has ended.";

/// An event as given, with the line of the input on which it starts.
struct Given {
    line: usize,
    event: Event,
}

/// Keeps the events in `text` (from `source`, for messages) in the opening `name`, which is made if
/// the first one is an `opening`. Each is checked before any is kept.
pub(super) fn enter(shop: &Shop, name: &str, text: &str, source: &str, out: &mut dyn Write) -> Result<Answer, Trouble> {
    let given = read_events(text).map_err(|(line, why)| Trouble::Input(format!("{source}, line {line}: {why}")))?;
    if given.is_empty() {
        return Err(Trouble::Input(format!("{source}: there is no event in it")));
    }
    let lines: Vec<usize> = given.iter().map(|given| given.line).collect();
    let events: Vec<Event> = given.into_iter().map(|given| given.event).collect();
    let refused = |error: EnterError| match error {
        EnterError::Refused { index, error } => {
            Trouble::Input(format!("{source}, line {}: {error}; nothing was kept", lines.get(index).unwrap_or(&0)))
        }
        append @ EnterError::Append { .. } => append.into(),
    };
    let mut opening = opened_or_made(shop, name, &events, &refused)?;
    for notice in opening.notices() {
        say(&notice.to_string());
    }
    let mut output = Ok(());
    for photo in events.iter().filter_map(photo_of).filter(|photo| !photo::is_there(shop.dir(), photo)) {
        say(&format!("there is no file '{photo}' here or in the shop's folder now; the name is kept as given"));
    }
    let kept = opening.enter_each(events, &here::now(), |record| {
        // Said at once: whoever reads this line may rely on the event being on the disk.
        let word = record.event.word();
        output = put(out, &format!("kept {} {word}", record.n))
            .and_then(|()| out.flush().map_err(|error| Trouble::output(&error)));
    });
    kept.map_err(refused)?;
    output?;
    Ok(Answer::Done)
}

fn photo_of(event: &Event) -> Option<&str> {
    match event {
        Event::Note(note) if !note.photo.is_empty() => Some(&note.photo),
        _ => None,
    }
}

fn opened_or_made(
    shop: &Shop,
    name: &str,
    events: &[Event],
    refused: &dyn Fn(EnterError) -> Trouble,
) -> Result<Opening, Trouble> {
    match shop.opening(name) {
        Err(ShopError::NoOpening { .. }) if matches!(events.first(), Some(Event::Opening(_))) => {
            // Checked before the file is made, so that a bad batch leaves nothing behind.
            check_batch(&[], events).map_err(refused)?;
            Ok(shop.create_opening(name)?)
        }
        Err(error @ ShopError::NoOpening { .. }) => {
            Err(Trouble::Input(format!("{error}; to make it, begin with an 'opening' event")))
        }
        other => Ok(other?),
    }
}

/// Reads events: JSON objects one after another (on a line each, or not), or arrays of them.
fn read_events(text: &str) -> Result<Vec<Given>, (usize, String)> {
    let mut given = Vec::new();
    let mut values = serde_json::Deserializer::from_str(text).into_iter::<Value>();
    loop {
        let start = values.byte_offset();
        let start = start + text.get(start..).map_or(0, |rest| rest.len() - rest.trim_start().len());
        let line = text.get(..start).map_or(0, |before| before.matches('\n').count()) + 1;
        match values.next() {
            None => return Ok(given),
            Some(Err(error)) => return Err((error.line().max(1), format!("not JSON: {error}"))),
            Some(Ok(Value::Array(items))) => {
                for (place, item) in items.into_iter().enumerate() {
                    let event = read_event(item).map_err(|why| (line, format!("[{place}]: {why}")))?;
                    given.push(Given { line, event });
                }
            }
            Some(Ok(value)) => given.push(Given { line, event: read_event(value).map_err(|why| (line, why))? }),
        }
    }
}

fn read_event(value: Value) -> Result<Event, String> {
    let map: Map<String, Value> = match value {
        Value::Object(map) => map,
        other => return Err(format!("an event is a JSON object, not {}", kind_of(&other))),
    };
    if let Some(given) = ["n", "at", "crc"].into_iter().find(|field| map.contains_key(*field)) {
        return Err(format!("{given}: the log gives it itself; leave it out"));
    }
    let mut unknown = Vec::new();
    let event = line::read_event(map, &mut unknown).map_err(|error| match error {
        ContentError::Field { field, why } if field == "event" && why == "is missing" => {
            format!("event: is missing; allowed are {}", line::KINDS.join(", "))
        }
        other => other.to_string(),
    })?;
    match unknown.first() {
        Some(field) => Err(format!("{field}: no such field in a '{}' event", event.word())),
        None => Ok(event),
    }
}

fn kind_of(value: &Value) -> &'static str {
    match value {
        Value::Null => "null",
        Value::Bool(_) => "true or false",
        Value::Number(_) => "a number",
        Value::String(_) => "a text",
        Value::Array(_) => "a list",
        Value::Object(_) => "an object",
    }
}
