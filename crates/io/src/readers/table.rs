//! Small tables as coaches keep them: one row a jump or rep, the unit in the name of the column.
//!
//! Cells are parted by commas, semicolons or tabs, whichever the line of names uses. A number has
//! a decimal point or a decimal comma; between commas it needs quotation marks for the latter.
//! Blank lines and lines that begin with `#` are passed over, columns nobody asks for are kept out
//! of the way, and nothing that should be a number is ever guessed or left out silently.

use cornerwork_core::exercise::Unit;

/// A quantity a table is asked for, and the units its column may be in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wanted {
    /// Plain name, which begins the name of the column: "load".
    pub quantity: &'static str,
    /// Units, one of which ends the name of the column.
    pub units: &'static [Unit],
}

impl Wanted {
    /// Names a column of it may have: `height_cm`, `height_m`.
    pub fn column_names(&self) -> Vec<String> {
        self.units.iter().map(|unit| self.column_name(*unit)).collect()
    }

    fn column_name(&self, unit: Unit) -> String {
        let unit = unit.symbol().replace(['/', ' '], "_").to_lowercase();
        let names = [self.quantity, unit.as_str()].into_iter().filter(|name| !name.is_empty());
        names.collect::<Vec<_>>().join("_")
    }
}

/// A table with its names and cells.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Table {
    columns: Vec<String>,
    rows: Vec<Row>,
}

#[derive(Clone, Debug, PartialEq, Eq)]
struct Row {
    line: usize,
    cells: Vec<String>,
}

/// The numbers of one column.
#[derive(Clone, Debug, PartialEq)]
pub struct Readings {
    /// Unit its name ends in.
    pub unit: Unit,
    /// One a row, in order.
    pub values: Vec<Reading>,
}

/// One number as it stands in the file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// Line of the file, from 1.
    pub line: usize,
    /// As written, in the column's unit; always finite.
    pub written: f64,
    /// The same in the SI unit.
    pub si: f64,
}

/// Why a text is no table, or lacks what is asked of it.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum TableError {
    /// Nothing but blank lines and comments.
    #[error("The table is empty: it needs a line of column names and then a row for each trial.")]
    Empty,
    /// Names and nothing under them.
    #[error("The table has column names ({columns}) and no row under them.")]
    NoRows {
        /// Names found.
        columns: String,
    },
    /// A column that is needed is not there.
    #[error("There is no column {wanted}: the columns found are {found}.")]
    MissingColumn {
        /// Names it may have.
        wanted: String,
        /// Names found.
        found: String,
    },
    /// A quantity stands there in two columns.
    #[error("The columns {one} and {other} say the same thing twice: keep one of them.")]
    TwoColumns {
        /// Name of the one.
        one: String,
        /// Name of the other.
        other: String,
    },
    /// A row with more or fewer cells than there are names.
    #[error(
        "Line {line} has {cells} cells where the line of names has {columns}; numbers with a \
         decimal comma need semicolons between the cells."
    )]
    Ragged {
        /// Line of the file.
        line: usize,
        /// Cells found.
        cells: usize,
        /// Cells expected.
        columns: usize,
    },
    /// Nothing where a number should be.
    #[error("Line {line} has nothing in column {column}: fill it in, or take the row out.")]
    EmptyCell {
        /// Line of the file.
        line: usize,
        /// Name of the column.
        column: String,
    },
    /// Something else where a number should be.
    #[error("Line {line} has '{text}' in column {column}, which is not a number.")]
    NotANumber {
        /// Line of the file.
        line: usize,
        /// Name of the column.
        column: String,
        /// What stands there.
        text: String,
    },
}

impl Table {
    /// The table in a text.
    ///
    /// # Errors
    /// [`TableError::Empty`], [`TableError::NoRows`], [`TableError::Ragged`].
    pub fn parse(text: &str) -> Result<Self, TableError> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let mut lines = (1..).zip(text.lines()).filter(|(_, line)| says_something(line));
        let (_, names) = lines.next().ok_or(TableError::Empty)?;
        let delimiter = delimiter_of(names);
        let columns: Vec<String> =
            cells_of(names, delimiter).iter().map(|name| name.to_lowercase()).collect();
        let rows = lines
            .map(|(line, text)| Row::of(line, cells_of(text, delimiter), columns.len()))
            .filter(|row| row.as_ref().map_or(true, Row::says_something))
            .collect::<Result<Vec<_>, _>>()?;
        let table = Self { columns, rows };
        if table.rows.is_empty() {
            return Err(TableError::NoRows { columns: table.column_names() });
        }
        Ok(table)
    }

    /// How many rows it has: one at least.
    pub const fn row_count(&self) -> usize {
        self.rows.len()
    }

    /// The numbers of a quantity, whichever of its units they are in.
    ///
    /// # Errors
    /// [`TableError::MissingColumn`], [`TableError::TwoColumns`] when it stands there in two units,
    /// [`TableError::EmptyCell`], [`TableError::NotANumber`].
    pub fn readings(&self, wanted: Wanted) -> Result<Readings, TableError> {
        let (at, unit) = self.one_of(&[wanted])?;
        let column = &self.columns[at];
        let reading = |row: &Row| {
            let written = number(row.line, column, &row.cells[at])?;
            Ok(Reading { line: row.line, written, si: written * unit.in_si() })
        };
        Ok(Readings { unit, values: self.rows.iter().map(reading).collect::<Result<_, _>>()? })
    }

    /// Which of several quantities the table holds.
    ///
    /// # Errors
    /// [`TableError::MissingColumn`] when it holds none, [`TableError::TwoColumns`] when it holds
    /// more than one, or one in two units.
    pub fn which(&self, wanted: &[Wanted]) -> Result<Wanted, TableError> {
        let (at, _) = self.one_of(wanted)?;
        let holds = |wanted: &&Wanted| wanted.column_names().contains(&self.columns[at]);
        let found = wanted.iter().find(holds).copied();
        found.ok_or_else(|| self.missing(wanted))
    }

    /// The text of a column that may be there, with the line of each cell.
    pub fn texts(&self, column: &str) -> Option<Vec<(usize, &str)>> {
        let at = self.columns.iter().position(|name| name == column)?;
        Some(self.rows.iter().map(|row| (row.line, row.cells[at].as_str())).collect())
    }

    /// The text of a column that must be there and be filled in, with the line of each cell.
    ///
    /// # Errors
    /// [`TableError::MissingColumn`], [`TableError::EmptyCell`].
    pub fn needed_texts(&self, column: &str) -> Result<Vec<(usize, &str)>, TableError> {
        let missing =
            || TableError::MissingColumn { wanted: column.to_owned(), found: self.column_names() };
        let cells = self.texts(column).ok_or_else(missing)?;
        match cells.iter().find(|(_, text)| text.is_empty()) {
            Some(&(line, _)) => Err(TableError::EmptyCell { line, column: column.to_owned() }),
            None => Ok(cells),
        }
    }

    /// Place and unit of the one column that holds one of these quantities.
    fn one_of(&self, wanted: &[Wanted]) -> Result<(usize, Unit), TableError> {
        let unit_of = |name: &String| {
            let named = |wanted: &Wanted| {
                wanted.units.iter().copied().find(|unit| wanted.column_name(*unit) == *name)
            };
            wanted.iter().find_map(named)
        };
        let mut found =
            self.columns.iter().enumerate().filter_map(|(at, name)| Some((at, unit_of(name)?)));
        let first = found.next().ok_or_else(|| self.missing(wanted))?;
        match found.next() {
            None => Ok(first),
            Some(second) => Err(TableError::TwoColumns {
                one: self.columns[first.0].clone(),
                other: self.columns[second.0].clone(),
            }),
        }
    }

    fn missing(&self, wanted: &[Wanted]) -> TableError {
        let names: Vec<String> = wanted.iter().flat_map(Wanted::column_names).collect();
        TableError::MissingColumn { wanted: either(&names), found: self.column_names() }
    }

    fn column_names(&self) -> String {
        self.columns.join(", ")
    }
}

impl Row {
    /// A row of as many cells as there are columns. Spreadsheets end rows with empty cells, which
    /// are no harm.
    fn of(line: usize, mut cells: Vec<String>, columns: usize) -> Result<Self, TableError> {
        while cells.len() > columns && cells.last().is_some_and(String::is_empty) {
            cells.pop();
        }
        let row = Self { line, cells };
        if row.cells.len() == columns || !row.says_something() {
            Ok(row)
        } else {
            Err(TableError::Ragged { line, cells: row.cells.len(), columns })
        }
    }

    fn says_something(&self) -> bool {
        self.cells.iter().any(|cell| !cell.is_empty())
    }
}

fn says_something(line: &str) -> bool {
    let line = line.trim();
    !line.is_empty() && !line.starts_with('#')
}

fn delimiter_of(names: &str) -> u8 {
    [b';', b'\t'].into_iter().find(|sign| names.as_bytes().contains(sign)).unwrap_or(b',')
}

fn cells_of(line: &str, delimiter: u8) -> Vec<String> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .trim(csv::Trim::All)
        .from_reader(line.as_bytes());
    // A line of text in memory has one record, which neither fails to be read nor to be text.
    let record = reader.records().next().and_then(Result::ok).unwrap_or_default();
    record.iter().map(|cell| cell.trim().to_owned()).collect()
}

fn number(line: usize, column: &str, text: &str) -> Result<f64, TableError> {
    let column = || column.to_owned();
    if text.is_empty() {
        return Err(TableError::EmptyCell { line, column: column() });
    }
    let value: Option<f64> = text.replace(',', ".").parse().ok();
    value.filter(|value| value.is_finite()).ok_or_else(|| TableError::NotANumber {
        line,
        column: column(),
        text: text.to_owned(),
    })
}

/// "a", "a or b", "a, b or c".
fn either(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [firsts @ .., last] => format!("{} or {last}", firsts.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LOAD: Wanted = Wanted { quantity: "load", units: &[Unit::Kilogram, Unit::Pound] };
    const HEIGHT: Wanted =
        Wanted { quantity: "height", units: &[Unit::Centimetre, Unit::Metre, Unit::Inch] };
    const VELOCITY: Wanted =
        Wanted { quantity: "take_off_velocity", units: &[Unit::MetrePerSecond] };

    fn si(text: &str, wanted: Wanted) -> Vec<f64> {
        let readings = Table::parse(text).unwrap().readings(wanted).unwrap();
        readings.values.iter().map(|reading| reading.si).collect()
    }

    fn refused(text: &str) -> TableError {
        Table::parse(text).and_then(|table| table.readings(HEIGHT)).unwrap_err()
    }

    #[test]
    fn every_way_coaches_write_the_same_table_reads_the_same() {
        let ways = [
            "load_kg,height_cm\n0,38\n40,22.5\n",
            "load_kg;height_cm\r\n0;38,0\r\n40;22,5\r\n",
            "load_kg\theight_cm\n0\t38\n40\t22,5\n",
            "\u{feff}Load_kg, Height_cm\n\n# warm-up left out\n0, 38\n,\n 40 ,\"22,5\"",
            "date,height_cm,load_kg,remark\n2031-05-04,38,0,\n2031-05-04,22.5,40,slow,,\n",
        ];
        for way in ways {
            assert_eq!(si(way, LOAD), [0.0, 40.0], "{way:?}");
            assert_eq!(si(way, HEIGHT), [0.38, 0.225], "{way:?}");
        }
    }

    #[test]
    fn units_stand_in_the_names_of_the_columns() {
        // 1 lb = 0.45359237 kg, 1 in = 2.54 cm, exactly (international agreement of 1959).
        assert_eq!(si("load_lb,height_in\n100,10\n", LOAD), [45.359_237]);
        assert_eq!(si("load_lb,height_in\n100,10\n", HEIGHT), [0.254]);
        assert_eq!(si("load_kg,take_off_velocity_m_s\n0,2.73\n", VELOCITY), [2.73]);
        let bare = Wanted { quantity: "value", units: &[Unit::One, Unit::Centimetre] };
        assert_eq!(bare.column_names(), ["value", "value_cm"]);
    }

    #[test]
    fn lines_are_counted_as_an_editor_counts_them() {
        let error = refused("# one\n\nload_kg,height_cm\n0,38\n\n40,high\n");
        let expected =
            TableError::NotANumber { line: 6, column: "height_cm".into(), text: "high".into() };
        assert_eq!(error, expected);
    }

    #[test]
    fn what_is_no_number_is_named_and_never_guessed() {
        for text in ["NaN", "inf", "1.234,5", "38 cm", "3 8", "--", "٣٨"] {
            let error = refused(&format!("load_kg;height_cm\n0;{text}\n"));
            assert!(matches!(error, TableError::NotANumber { line: 2, .. }), "{text}: {error}");
        }
        assert!(matches!(
            refused("load_kg,height_cm\n0,\n"),
            TableError::EmptyCell { line: 2, .. }
        ));
    }

    #[test]
    fn what_is_missing_is_said_with_what_is_there() {
        let error = refused("load,jump\n0,38\n").to_string();
        assert_eq!(
            error,
            "There is no column height_cm, height_m or height_in: the columns found are load, jump."
        );
        assert_eq!(refused(" \n# nothing\n"), TableError::Empty);
        assert!(matches!(refused("load_kg,height_cm\n"), TableError::NoRows { .. }));
        let ragged = refused("load_kg,height_cm\n0,38,5\n");
        assert_eq!(ragged, TableError::Ragged { line: 2, cells: 3, columns: 2 });
    }

    #[test]
    fn a_quantity_in_two_columns_is_refused() {
        let two = "load_kg,height_cm,height_m\n0,38,0.38\n";
        assert!(matches!(refused(two), TableError::TwoColumns { .. }));
        let table = Table::parse("load_kg,height_cm,take_off_velocity_m_s\n0,38,2.7\n").unwrap();
        assert!(matches!(table.which(&[HEIGHT, VELOCITY]), Err(TableError::TwoColumns { .. })));
        let table = Table::parse("load_kg,take_off_velocity_m_s\n0,2.7\n").unwrap();
        assert_eq!(table.which(&[HEIGHT, VELOCITY]), Ok(VELOCITY));
    }

    #[test]
    fn other_columns_are_there_for_who_asks() {
        let table = Table::parse("load_kg,method\n0,flight time\n").unwrap();
        assert_eq!(table.texts("method"), Some(vec![(2, "flight time")]));
        assert_eq!(table.texts("date"), None);
        assert_eq!(table.needed_texts("method"), Ok(vec![(2, "flight time")]));
        assert!(matches!(table.needed_texts("date"), Err(TableError::MissingColumn { .. })));
        let table = Table::parse("load_kg,method\n0,\n").unwrap();
        let empty = TableError::EmptyCell { line: 2, column: "method".into() };
        assert_eq!(table.needed_texts("method"), Err(empty));
    }
}
