//! Planes, saws and sleds.

use super::{FieldFault, Row, Section, free_name, shifted, stacked, with_item, without_item};
use crate::bench::form::{Field, Form};
use crate::bench::measuring::{self, StackWords, owned, typed};
use crate::cut::tools::{Measured, Plane, Saw, Sled};
use crate::shop::settings::Settings;

/// Planes.
#[derive(Clone, Copy, Debug)]
pub struct Planes;

/// Table saws.
#[derive(Clone, Copy, Debug)]
pub struct Saws;

/// Sleds.
#[derive(Clone, Copy, Debug)]
pub struct Sleds;

const STROKES: StackWords = StackWords {
    name: "what you call it: block plane, low angle jack",
    count: "strokes taken",
    count_hint: "full strokes over the whole edge; twenty measure well",
    total: "they took",
    total_hint: "how much narrower the piece is, like 1/32 or 0.020",
};

const FIRST_IS_USED: &str = "The first that can do the cut is used: left and right move it. Enter changes it.";

fn known_how(measured: bool, what: &str) -> String {
    if measured {
        format!("{what} as you measured. {FIRST_IS_USED}")
    } else {
        format!("starting values of no particular machine, not measured: Enter puts in yours. {FIRST_IS_USED}")
    }
}

impl Section for Planes {
    fn title(&self) -> &'static str {
        "planes"
    }

    fn rows(&self, settings: &Settings) -> Vec<Row> {
        let show = settings.show;
        let row = |plane: &Plane| {
            let shaving = measuring::thin(plane.shaving, show);
            let how = measuring::provenance(plane.shaving, plane.measured, "strokes", show);
            Row::new(plane.name.clone(), format!("shaving {shaving}"), how)
                .starting(plane.measured == Measured::StartingValue)
        };
        settings.planes.iter().map(row).chain([Row::add("a plane")]).collect()
    }

    fn step(&self, settings: &Settings, row: usize, by: isize) -> Option<(Settings, usize)> {
        let (planes, now) = shifted(&settings.planes, row, by)?;
        Some((Settings { planes, ..settings.clone() }, now))
    }

    fn form(&self, settings: &Settings, row: usize) -> Option<Form> {
        let known = settings.planes.get(row);
        let name = known.map_or("", |plane| plane.name.as_str());
        Some(measuring::fields(name, known.map(|plane| plane.measured), &STROKES, settings.show))
    }

    fn take(&self, settings: &Settings, row: usize, form: &Form) -> Result<Settings, FieldFault> {
        let known = settings.planes.get(row).map(|plane| (plane.shaving, plane.measured));
        let names = settings.planes.iter().map(|plane| plane.name.as_str());
        let Some((name, shaving, measured)) = stacked(form, row, known, names, settings.show.unit())? else {
            return Ok(settings.clone());
        };
        let planes = with_item(&settings.planes, row, Plane { name, shaving, measured });
        Ok(Settings { planes, ..settings.clone() })
    }

    fn remove(&self, settings: &Settings, row: usize) -> Option<Settings> {
        Some(Settings { planes: without_item(&settings.planes, row)?, ..settings.clone() })
    }
}

impl Section for Saws {
    fn title(&self) -> &'static str {
        "table saws"
    }

    fn rows(&self, settings: &Settings) -> Vec<Row> {
        let show = settings.show;
        let row = |saw: &Saw| {
            let value = format!(
                "fence {} before, {} behind; kerf {}; move {}",
                owned(saw.fence_before, show),
                owned(saw.fence_behind, show),
                owned(saw.kerf, show),
                owned(saw.finest_move, show)
            );
            Row::new(saw.name.clone(), value, known_how(saw.measured, "fence, kerf and smallest fence move"))
                .starting(!saw.measured)
        };
        settings.saws.iter().map(row).chain([Row::add("a saw")]).collect()
    }

    fn step(&self, settings: &Settings, row: usize, by: isize) -> Option<(Settings, usize)> {
        let (saws, now) = shifted(&settings.saws, row, by)?;
        Some((Settings { saws, ..settings.clone() }, now))
    }

    fn form(&self, settings: &Settings, row: usize) -> Option<Form> {
        let known = settings.saws.get(row);
        let shown = |length: fn(&Saw) -> crate::fit::length::Length| {
            known.map_or_else(String::new, |saw| typed(length(saw), settings.show))
        };
        Some(Form::new(vec![
            Field::text("name", known.map_or("", |saw| saw.name.as_str()), "what you call it"),
            Field::figures(
                "fence before the blade",
                shown(|saw| saw.fence_before),
                "from the blade's front teeth toward you",
            ),
            Field::figures(
                "fence behind the blade",
                shown(|saw| saw.fence_behind),
                "from the blade's front teeth away from you",
            ),
            Field::figures("kerf", shown(|saw| saw.kerf), "width of the groove that this blade cuts"),
            Field::figures(
                "smallest fence move",
                shown(|saw| saw.finest_move),
                "the smallest you trust, like 1/128 or 0.2mm",
            ),
        ]))
    }

    fn take(&self, settings: &Settings, row: usize, form: &Form) -> Result<Settings, FieldFault> {
        let unit = settings.show.unit();
        let name = measuring::named(form, 0)?;
        free_name(&name, settings.saws.iter().map(|saw| saw.name.as_str()).enumerate(), row)?;
        let mut saw = Saw {
            name,
            fence_before: measuring::size(form, 1, unit)?,
            fence_behind: measuring::size(form, 2, unit)?,
            kerf: measuring::size(form, 3, unit)?,
            finest_move: measuring::size(form, 4, unit)?,
            measured: true,
        };
        let figures = |saw: &Saw| [saw.fence_before, saw.fence_behind, saw.kerf, saw.finest_move];
        if let Some(known) = settings.saws.get(row).filter(|known| figures(known) == figures(&saw)) {
            // Another name measures nothing.
            saw.measured = known.measured;
        }
        Ok(Settings { saws: with_item(&settings.saws, row, saw), ..settings.clone() })
    }

    fn remove(&self, settings: &Settings, row: usize) -> Option<Settings> {
        Some(Settings { saws: without_item(&settings.saws, row)?, ..settings.clone() })
    }
}

impl Section for Sleds {
    fn title(&self) -> &'static str {
        "sleds"
    }

    fn rows(&self, settings: &Settings) -> Vec<Row> {
        let row = |sled: &Sled| {
            let value = format!("fence {}", owned(sled.fence, settings.show));
            Row::new(sled.name.clone(), value, known_how(sled.measured, "longest edge that fits against its fence,"))
                .starting(!sled.measured)
        };
        settings.sleds.iter().map(row).chain([Row::add("a sled")]).collect()
    }

    fn step(&self, settings: &Settings, row: usize, by: isize) -> Option<(Settings, usize)> {
        let (sleds, now) = shifted(&settings.sleds, row, by)?;
        Some((Settings { sleds, ..settings.clone() }, now))
    }

    fn form(&self, settings: &Settings, row: usize) -> Option<Form> {
        let known = settings.sleds.get(row);
        let fence = known.map_or_else(String::new, |sled| typed(sled.fence, settings.show));
        Some(Form::new(vec![
            Field::text(
                "name",
                known.map_or("", |sled| sled.name.as_str()),
                "what you call it: crosscut sled, mitre gauge",
            ),
            Field::figures("fence", fence, "the longest edge that fits against it"),
        ]))
    }

    fn take(&self, settings: &Settings, row: usize, form: &Form) -> Result<Settings, FieldFault> {
        let name = measuring::named(form, 0)?;
        free_name(&name, settings.sleds.iter().map(|sled| sled.name.as_str()).enumerate(), row)?;
        let fence = measuring::size(form, 1, settings.show.unit())?;
        let known = settings.sleds.get(row).filter(|known| known.fence == fence);
        let sled = Sled { name, fence, measured: known.is_none_or(|known| known.measured) };
        Ok(Settings { sleds: with_item(&settings.sleds, row, sled), ..settings.clone() })
    }

    fn remove(&self, settings: &Settings, row: usize) -> Option<Settings> {
        Some(Settings { sleds: without_item(&settings.sleds, row)?, ..settings.clone() })
    }
}
