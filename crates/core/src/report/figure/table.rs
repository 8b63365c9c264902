//! The data of a figure as rows of text, for the table that stands beside every picture.

/// Columns and rows of text, ready to be read aloud or set in HTML.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Table {
    /// Headings, with units.
    pub columns: Vec<String>,
    /// One text a column; empty where there is nothing.
    pub rows: Vec<Vec<String>>,
}

impl Table {
    /// A table of these columns, without rows yet.
    pub fn new(columns: impl IntoIterator<Item = impl Into<String>>) -> Self {
        Self { columns: columns.into_iter().map(Into::into).collect(), rows: Vec::new() }
    }
    /// Adds a row.
    pub fn row(&mut self, cells: impl IntoIterator<Item = impl Into<String>>) {
        self.rows.push(cells.into_iter().map(Into::into).collect());
    }
}
