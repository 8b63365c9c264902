//! The table of tests of one athlete: a date and a value a row, and what the day was done under.

use crate::cli::input;
use crate::cli::values::Values;
use cornerwork_core::exercise::Unit;
use cornerwork_core::profile::test_day::{Conditions, TestDay};
use cornerwork_io::readers::table::{Table, Wanted};
use jiff::civil::Date;
use std::path::Path;

/// Columns that say what a day was done under, wherever they stand.
const CONDITIONS: [&str; 4] = ["method", "device", "arms", "box"];
const BODY_MASS: Wanted = Wanted { quantity: "body_mass", units: &[Unit::Kilogram, Unit::Pound] };

/// Days with their dates, in order.
pub(super) struct TestDays {
    /// One a date, earliest first; days are counted from the first.
    pub(super) days: Vec<TestDay>,
    /// The date of each.
    pub(super) dates: Vec<Date>,
    /// Unit of every value; empty where the column states none.
    pub(super) unit: &'static str,
}

/// One row.
struct Row {
    line: usize,
    date: Date,
    value: f64,
    conditions: Conditions,
    body_mass_kg: Option<f64>,
}

impl TestDays {
    /// Reads `date` and `value`, and what further columns say of the conditions.
    ///
    /// # Errors
    /// A sentence that names the line and what is wrong there.
    pub(super) fn read(file: &Path, conditions: &[String]) -> Result<Self, String> {
        Self::parse(&input::text(file)?, conditions)
    }

    fn parse(text: &str, conditions: &[String]) -> Result<Self, String> {
        let table = Table::parse(text).map_err(|error| error.to_string())?;
        let dates = table.needed_texts("date").map_err(|error| error.to_string())?;
        let Values { readings, unit } = Values::of(&table)?;
        let body_masses = body_masses(&table)?;
        let mut rows = Vec::with_capacity(readings.len());
        for (place, (&(line, text), reading)) in dates.iter().zip(&readings).enumerate() {
            rows.push(Row {
                line,
                date: date(line, text)?,
                value: reading.written,
                conditions: stated(&table, conditions, place)?,
                body_mass_kg: body_masses.as_ref().map(|masses| masses[place]),
            });
        }
        rows.sort_by_key(|row| row.date);
        Self::gathered(&rows, unit)
    }

    /// Rows of one date are trials of one day.
    fn gathered(rows: &[Row], unit: &'static str) -> Result<Self, String> {
        let mut found = Self { days: Vec::new(), dates: Vec::new(), unit };
        for day in rows.chunk_by(|one, other| one.date == other.date) {
            let first = &day[0];
            for row in day {
                if let Some((name, one, other)) = first.conditions.difference(&row.conditions) {
                    return Err(format!(
                        "Line {}: {name} is '{other}' where line {} of the same day says '{one}': \
                         trials of one day are of one {name}. Take one of them out.",
                        row.line, first.line
                    ));
                }
            }
            let begin = rows[0].date;
            let trials: Vec<f64> = day.iter().map(|row| row.value).collect();
            found.days.push(TestDay {
                body_mass_kg: first.body_mass_kg,
                ..TestDay::new(f64::from((first.date - begin).get_days()), trials)
                    .under(first.conditions.clone())
            });
            found.dates.push(first.date);
        }
        Ok(found)
    }
}

/// A date as it must be written.
///
/// # Errors
/// A sentence that names the line.
fn date(line: usize, text: &str) -> Result<Date, String> {
    text.parse().map_err(|_| {
        format!("Line {line}: '{text}' is no date; write year, month and day, such as 2026-09-14.")
    })
}

/// What the columns of conditions say in one row; an empty cell states nothing.
fn stated(table: &Table, more: &[String], place: usize) -> Result<Conditions, String> {
    let mut conditions = Conditions::none();
    for name in CONDITIONS {
        if let Some(cells) = table.texts(name) {
            conditions = with(conditions, name, cells[place].1);
        }
    }
    for name in more {
        let cells = table.texts(&name.to_lowercase());
        let cells =
            cells.ok_or_else(|| format!("There is no column {name} to tell days apart."))?;
        conditions = with(conditions, name, cells[place].1);
    }
    Ok(conditions)
}

fn with(conditions: Conditions, name: &str, text: &str) -> Conditions {
    if text.is_empty() { conditions } else { conditions.with(name, text.to_lowercase()) }
}

/// Masses in kg where the table has them.
fn body_masses(table: &Table) -> Result<Option<Vec<f64>>, String> {
    let named = BODY_MASS.column_names();
    if !named.iter().any(|name| table.texts(name).is_some()) {
        return Ok(None);
    }
    let masses = table.readings(BODY_MASS).map_err(|error| error.to_string())?.values;
    match masses.iter().find(|mass| mass.si <= 0.0) {
        Some(mass) => {
            Err(format!("Line {}: a body mass of {} is not above zero.", mass.line, mass.written))
        }
        None => Ok(Some(masses.iter().map(|mass| mass.si).collect())),
    }
}
