//! A set-up sheet as JSON: lengths as numbers in the unit of the document, unrounded, and beside those that
//! are set or marked the shop's own writing.

use crate::bench::sheet_words::exact;
use crate::bench::sheets::Sheet;
use crate::cut::job::JobError;
use crate::fit::length::{Length, Show, Unit};
use serde_json::{Map, Number, Value, json};

/// Millimetres in an inch (International Yard and Pound Agreement, 1959).
const MM: f64 = 25.4;
/// Keys of a set-up whose text is a length with its unit. What the shop reads of them goes to `KEY_shown`.
const SET: [&str; 6] = ["at", "each", "thickness", "value", "shaving", "mark"];
/// The key that is the shop's own writing already.
const SHOWN: &str = "shown";

/// The set-up, or why there is none.
pub(super) fn of(setup: &Result<Sheet, JobError>, show: Show) -> Value {
    let sheet = match setup {
        Ok(sheet) => sheet,
        Err(why) => return json!({ "error": why.to_string() }),
    };
    let unit = match show.unit() {
        Unit::Inch => "in",
        Unit::Millimetre => "mm",
    };
    let mut json = json!({ "leaf": sheet.trim.leaf, "unit": unit, "order": sheet.order, "after": sheet.after });
    if let Value::Object(keys) = &mut json {
        keys.extend(sheet.pass.as_ref().map(|pass| ("pass".to_owned(), json!([pass.number, pass.of]))));
        if let Ok(Value::Object(shown)) = serde_json::to_value(&sheet.sheet) {
            keys.extend(converted(shown, show));
        }
    }
    json
}

fn converted(keys: Map<String, Value>, show: Show) -> Map<String, Value> {
    let mut all = Map::new();
    for (key, value) in keys {
        let length = value.as_str().and_then(|text| Length::parse_signed(text, Unit::Inch).ok());
        match length {
            Some(length) if key == SHOWN => {
                all.insert(key, Value::from(exact(length, show)));
            }
            Some(length) if SET.contains(&key.as_str()) => {
                all.insert(format!("{key}_{SHOWN}"), Value::from(exact(length, show)));
                all.insert(key, number(length.inches(), show));
            }
            _ => {
                all.insert(key, within(value, show));
            }
        }
    }
    all
}

/// Every number with a point is inches: counts have none.
fn within(value: Value, show: Show) -> Value {
    match value {
        Value::Object(keys) => Value::Object(converted(keys, show)),
        Value::Array(list) => list.into_iter().map(|value| within(value, show)).collect(),
        Value::Number(one) if one.is_f64() => one.as_f64().map_or(Value::Null, |inches| number(inches, show)),
        other => other,
    }
}

fn number(inches: f64, show: Show) -> Value {
    let number = match show.unit() {
        Unit::Inch => inches,
        Unit::Millimetre => inches * MM,
    };
    Number::from_f64(number).map_or(Value::Null, Value::Number)
}
