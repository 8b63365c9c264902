//! How a number came about: what 'why?' on a page and `--explain` on the command line both print.

/// The working of one derived number.
#[derive(Clone, Debug, PartialEq)]
pub struct Working {
    /// What the number is, in plain words: "load where momentum peaks".
    pub title: String,
    /// Stable id of the method, in kebab-case, and its version: a changed method is recomputed.
    pub method: &'static str,
    /// Version of the method.
    pub version: u32,
    /// What went in, in the order a reader would ask: name and value with unit.
    pub inputs: Vec<Input>,
    /// The formula with the values put in, one line a step.
    pub steps: Vec<String>,
    /// Where the method is from: paper, textbook, standard, or "common practice, no source".
    pub source: &'static str,
    /// How sure, in plain words.
    pub doubt: String,
}

/// One input of a working.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Input {
    /// Plain name.
    pub name: String,
    /// Value with its unit.
    pub value: String,
}

impl Input {
    /// An input by name and value with unit.
    pub fn new(name: impl Into<String>, value: impl Into<String>) -> Self {
        Self { name: name.into(), value: value.into() }
    }
}
