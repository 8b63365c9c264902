//! The table of repeats: who, which trial, what was measured; perhaps which method and group.

use crate::cli::input;
use crate::cli::values::Values;
use cornerwork_core::stats::analysis_of_variance::Cell;
use cornerwork_io::readers::table::Table;
use std::path::Path;

/// Repeats that may be judged together.
pub(super) struct Repeats {
    /// What they have in common: "women, flight time"; empty where nothing parts the table.
    pub(super) name: String,
    /// Names of the athletes, by their place in the cells.
    pub(super) athletes: Vec<String>,
    /// The values.
    pub(super) cells: Vec<Cell>,
}

/// All repeats of a file, parted by method and whatever else was asked for.
pub(super) struct RepeatTable {
    /// One at least.
    pub(super) parts: Vec<Repeats>,
    /// Unit of every value; empty where the column states none.
    pub(super) unit: &'static str,
}

struct Row<'a> {
    line: usize,
    name: String,
    athlete: &'a str,
    trial: &'a str,
    value: f64,
}

impl RepeatTable {
    /// Reads `athlete`, `trial` and `value`, parted by the columns named in `by`.
    ///
    /// # Errors
    /// A sentence that names the line and what is wrong there; two methods that nobody parted.
    pub(super) fn read(file: &Path, by: &[String]) -> Result<Self, String> {
        Self::parse(&input::text(file)?, by)
    }

    fn parse(text: &str, by: &[String]) -> Result<Self, String> {
        let table = Table::parse(text).map_err(|error| error.to_string())?;
        let needed = |name: &str| table.needed_texts(name).map_err(|error| error.to_string());
        let (athletes, trials) = (needed("athlete")?, needed("trial")?);
        let Values { readings, unit } = Values::of(&table)?;
        one_method_unless_parted(&table, by)?;
        let names = names(&table, by)?;
        let rows: Vec<Row<'_>> = names
            .into_iter()
            .zip(athletes)
            .zip(trials)
            .zip(&readings)
            .map(|(((name, (line, athlete)), (_, trial)), reading)| Row {
                line,
                name,
                athlete,
                trial,
                value: reading.written,
            })
            .collect();
        let parts = distinct(rows.iter().map(|row| row.name.as_str()))
            .into_iter()
            .map(|name| Repeats::of(name, &rows))
            .collect::<Result<_, _>>()?;
        Ok(Self { parts, unit })
    }
}

impl Repeats {
    fn of(name: &str, rows: &[Row<'_>]) -> Result<Self, String> {
        let rows: Vec<&Row<'_>> = rows.iter().filter(|row| row.name == name).collect();
        let athletes = distinct(rows.iter().map(|row| row.athlete));
        let mut trials = distinct(rows.iter().map(|row| row.trial));
        in_order(&mut trials);
        let place = |all: &[&str], one: &str| all.iter().position(|name| *name == one).unwrap_or(0);
        let mut cells: Vec<Cell> = Vec::with_capacity(rows.len());
        for row in rows {
            let cell = Cell {
                subject: place(&athletes, row.athlete),
                trial: place(&trials, row.trial),
                value: row.value,
            };
            if cells.iter().any(|one| one.subject == cell.subject && one.trial == cell.trial) {
                return Err(format!(
                    "Line {}: {} has trial {} twice: number the trials apart, or take one out.",
                    row.line, row.athlete, row.trial
                ));
            }
            cells.push(cell);
        }
        let athletes = athletes.into_iter().map(str::to_owned).collect();
        Ok(Self { name: name.to_owned(), athletes, cells })
    }

    /// The values of one athlete in the order of the trials.
    pub(super) fn of_athlete(&self, subject: usize) -> Vec<f64> {
        let mut own: Vec<&Cell> =
            self.cells.iter().filter(|cell| cell.subject == subject).collect();
        own.sort_by_key(|cell| cell.trial);
        own.iter().map(|cell| cell.value).collect()
    }
}

/// Numbers by size; anything else, dates among it, by the alphabet.
fn in_order(trials: &mut [&str]) {
    let numbers: Option<Vec<f64>> = trials.iter().map(|text| text.parse().ok()).collect();
    if numbers.is_some() {
        let number = |text: &str| text.parse::<f64>().unwrap_or(f64::NAN);
        trials.sort_by(|one, other| number(one).total_cmp(&number(other)));
    } else {
        trials.sort_unstable();
    }
}

/// Each text once, in the order it came.
fn distinct<'a>(texts: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    let mut found: Vec<&str> = Vec::new();
    for text in texts {
        if !found.contains(&text) {
            found.push(text);
        }
    }
    found
}

/// What the rows are parted by, a row each.
fn names(table: &Table, by: &[String]) -> Result<Vec<String>, String> {
    let mut columns = Vec::new();
    for name in by {
        let cells = table.needed_texts(&name.to_lowercase()).map_err(|error| error.to_string())?;
        columns.push(cells);
    }
    let name =
        |place: usize| columns.iter().map(|cells| cells[place].1).collect::<Vec<_>>().join(", ");
    Ok((0..table.row_count()).map(name).collect())
}

/// Refuses two methods in one table of repeats: their difference would count as noise.
fn one_method_unless_parted(table: &Table, by: &[String]) -> Result<(), String> {
    if by.iter().any(|name| name.eq_ignore_ascii_case("method")) {
        return Ok(());
    }
    let Some(cells) = table.texts("method") else { return Ok(()) };
    let (first_line, first) = cells[0];
    match cells.iter().find(|(_, text)| !text.eq_ignore_ascii_case(first)) {
        None => Ok(()),
        Some((line, other)) => Err(format!(
            "Line {line}: method is '{other}' where line {first_line} says '{first}': their \
             difference is no noise of the test. Part them with --by method, or take one out."
        )),
    }
}
