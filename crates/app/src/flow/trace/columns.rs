//! A first look into a file: what its columns are called, what stands in the first rows, and which
//! column is taken for what, to be confirmed by a person.

use super::source::{Chosen, SourceError};
use super::{Kind, sentence, source};
use cornerwork_core::session::trace::{ColumnUse, Reading};
use cornerwork_io::readers::delimited::{
    ColumnChoices, ColumnMapping, DelimitedError, Layout, Role, Unit, Wanted,
};

/// Rows shown beside a guess.
const SHOWN: usize = 4;

/// What a person needs to confirm the columns of a file.
#[derive(Clone, Debug, PartialEq)]
pub struct Glance {
    /// Names of the columns, in order; empty for a file of plates.
    pub heading: Vec<String>,
    /// The first rows; a blank where there is no number.
    pub rows: Vec<Vec<String>>,
    /// Which column is taken for what.
    pub guess: Vec<ColumnUse>,
    /// Why nothing could be guessed, or what should be looked at twice.
    pub doubt: Option<String>,
    /// Samples a second as the file itself states them.
    pub stated_rate_hz: Option<f64>,
    /// What its numbers were read with, `.` or `,`; `None` where they are no text.
    pub decimal_mark: Option<char>,
    /// Whether the file can be read with either mark, so that a person has to say.
    pub mark_in_doubt: bool,
}

impl Glance {
    /// Whether the file has columns to confirm; plates of C3D carry their own description.
    pub const fn has_columns(&self) -> bool {
        !self.heading.is_empty()
    }

    /// Whether the guess leaves the clock open: no time column and no rate stated.
    pub fn needs_rate(&self) -> bool {
        self.stated_rate_hz.is_none() && !self.guess.iter().any(|column| column.role == "time")
    }
}

/// Looks into a file.
///
/// # Errors
/// When it is no table of numbers and no file of plates.
pub fn glance(bytes: &[u8], kind: Kind, reading: &Reading) -> Result<Glance, SourceError> {
    let decimal_mark = reading.decimal_mark.map(|mark| mark as u8);
    let look_with = |decimal_mark| {
        source::look(bytes, wanted(kind), &Chosen { decimal_mark, ..Chosen::default() })
    };
    let (look, mark_in_doubt) = match look_with(decimal_mark) {
        Err(SourceError::Delimited(DelimitedError::AmbiguousComma { .. })) => {
            (look_with(Some(b'.'))?, true)
        }
        found => (found?, false),
    };
    let (guess, doubt) = match look.guess {
        Ok(mapping) => (uses(&mapping), notes_of(&mapping)),
        Err(error) => (Vec::new(), Some(sentence(error))),
    };
    Ok(Glance {
        heading: look.layout.heading(),
        rows: if look.rows_shown { first_rows(&look.layout) } else { Vec::new() },
        guess,
        doubt,
        stated_rate_hz: look.layout.stated_rate_hz,
        decimal_mark: look.rows_shown.then(|| char::from(look.layout.decimal_mark)),
        mark_in_doubt,
    })
}

const fn wanted(kind: Kind) -> Wanted {
    match kind {
        Kind::Bar => Wanted::Position,
        _ => Wanted::Force,
    }
}

/// The complete way of reading a file that follows from what was chosen; what was not is guessed.
///
/// # Errors
/// When the file cannot be read or nothing fits the choice.
pub fn reading_from(bytes: &[u8], kind: Kind, chosen: &Chosen) -> Result<Reading, SourceError> {
    let mapping = source::look(bytes, wanted(kind), chosen)?.guess?;
    let plates = || {
        let plates = chosen.columns.plates()?.into_iter();
        Ok(plates.map(|(place, number)| ColumnUse {
            role: Role::Force(place).word().to_owned(),
            column: number.to_string(),
            unit: None,
        }))
    };
    let mut columns = uses(&mapping);
    if columns.is_empty() {
        columns.extend(plates().map_err(SourceError::Plates)?);
    }
    Ok(Reading {
        columns,
        rate_hz: chosen.rate_hz,
        decimal_mark: chosen.decimal_mark.map(char::from),
        name: None,
    })
}

fn first_rows(layout: &Layout) -> Vec<Vec<String>> {
    let cell = |cell: &Option<f64>| cell.map_or_else(String::new, |number| number.to_string());
    let rows = layout.first_rows().iter().take(SHOWN);
    rows.map(|row| row.iter().map(cell).collect()).collect()
}

fn uses(mapping: &ColumnMapping) -> Vec<ColumnUse> {
    let columns = mapping.time.iter().chain(&mapping.signals);
    columns
        .map(|column| ColumnUse {
            role: column.role.word().to_owned(),
            column: column.name.clone(),
            unit: column.unit.map(|unit| unit.symbol.to_owned()),
        })
        .collect()
}

fn notes_of(mapping: &ColumnMapping) -> Option<String> {
    let notes: Vec<&str> = mapping.notes.iter().map(|note| note.text.as_str()).collect();
    (!notes.is_empty()).then(|| notes.join(" "))
}

/// What a reader is told by a way of reading that was confirmed.
///
/// # Errors
/// A sentence for a role or unit there is not.
pub fn chosen(reading: &Reading) -> Result<Chosen, String> {
    let column = |column: &ColumnUse| {
        let role = Role::from_word(&column.role)
            .ok_or_else(|| format!("A column cannot be \"{}\".", column.role))?;
        let unit = match column.unit.as_deref() {
            None => None,
            Some(symbol) => {
                let unknown = || format!("There is no unit \"{symbol}\" of force, time or length.");
                Some(Unit::find(symbol).ok_or_else(unknown)?)
            }
        };
        Ok((role, column.column.clone(), unit))
    };
    let columns = reading.columns.iter().map(column).collect::<Result<Vec<_>, String>>()?;
    let columns = match columns.as_slice() {
        [] => ColumnChoices::default(),
        _ => ColumnChoices::complete(columns),
    };
    let decimal_mark = reading.decimal_mark.map(|mark| mark as u8);
    Ok(Chosen { columns, rate_hz: reading.rate_hz, decimal_mark })
}

/// A way of reading in words: "time from Time, force from Fz in N, at 1000 Hz".
pub fn in_words(reading: &Reading) -> String {
    let column = |column: &ColumnUse| {
        let unit = column.unit.as_ref().map(|unit| format!(" in {unit}")).unwrap_or_default();
        format!("{} from {}{unit}", column.role, column.column)
    };
    let mut words: Vec<String> = reading.columns.iter().map(column).collect();
    if words.is_empty() {
        words.push("all plates of the file together".to_owned());
    }
    words.extend(reading.decimal_mark.map(|mark| match mark {
        ',' => "with decimal commas".to_owned(),
        _ => "with decimal points".to_owned(),
    }));
    words.extend(reading.rate_hz.map(|rate| format!("at {rate} samples a second")));
    words.join(", ")
}
