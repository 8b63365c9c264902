//! A paper as a model: what stands on it and in which order, without a font or a margin.
//!
//! Every paper of the gym (floor sheet, page for the meeting, plan of a camp, hand-over, squad) is
//! made of the same few blocks. The figures are those of the pages.

use crate::report::figure::Figure;

/// One paper.
#[derive(Clone, Debug, PartialEq)]
pub struct Document {
    /// What it is: "Oriel Tamsquith".
    pub title: String,
    /// About what and when, under the title.
    pub subtitle: String,
    /// At the foot of every sheet: who made it, when, from how much; that people are invented.
    pub foot: String,
    /// Which way the sheet lies.
    pub lies: Lies,
    /// What stands on it, top to bottom.
    pub blocks: Vec<Block>,
}

/// Which way a sheet of A4 lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lies {
    /// Upright, for reading at a table.
    Upright,
    /// Across, for a wall.
    Across,
}

/// A part of a paper.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// A heading over what follows.
    Heading(String),
    /// The sentence the paper is read for, set large.
    Answer(String),
    /// A plain sentence.
    Sentence(String),
    /// A caution, marked by word and rule.
    Caution(String),
    /// Figures side by side, each with its finding below it.
    Figures(Vec<Figure>),
    /// Rows and columns; never broken across sheets unless longer than one.
    Grid(Grid),
    /// What follows begins on a new sheet, under a title of its own.
    NewSheet {
        /// Title of the new sheet.
        title: String,
        /// Under the title.
        subtitle: String,
    },
}

/// A table.
#[derive(Clone, Debug, PartialEq)]
pub struct Grid {
    /// Columns, left to right.
    pub columns: Vec<Column>,
    /// Rows of as many cells as there are columns.
    pub rows: Vec<Vec<Cell>>,
    /// How large it is set.
    pub size: Size,
}

/// A column of a table.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// Its heading, with the unit.
    pub title: String,
    /// Its share of the width; `None` for as wide as what stands in it.
    pub share: Option<u8>,
    /// Whether it holds numbers, set to the right.
    pub numbers: bool,
}

impl Column {
    /// A column of words, as wide as it needs.
    pub fn words(title: impl Into<String>) -> Self {
        Self { title: title.into(), share: None, numbers: false }
    }
    /// A column of numbers, as wide as it needs.
    pub fn numbers(title: impl Into<String>) -> Self {
        Self { numbers: true, ..Self::words(title) }
    }
    /// The same, taking a share of the width that is left.
    #[must_use]
    pub fn share(self, share: u8) -> Self {
        Self { share: Some(share), ..self }
    }
}

/// What stands in a table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Cell {
    /// Usual text.
    Text(String),
    /// What is read from afar: a name, a load.
    Strong(String),
    /// Room for a hand-written number.
    Blank,
}

/// How large a table is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Size {
    /// For a table one sits at.
    Table,
    /// For a sheet on the wall, read at a metre.
    Wall,
}
