//! Caveats that travel with an answer, from where they are found to the page, the JSON and the PDF.

/// One caveat: a stable id that programs can match and a plain sentence for people.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Note {
    /// Stable, in kebab-case: `peak-beyond-tested-loads`.
    pub id: &'static str,
    /// One or two plain sentences, saying what is the matter and what to do.
    pub text: String,
}

impl Note {
    /// A note with its id and sentence.
    pub fn new(id: &'static str, text: impl Into<String>) -> Self {
        Self { id, text: text.into() }
    }
}

/// An answer that stands, with the caveats it stands under.
#[derive(Clone, Debug, PartialEq)]
pub struct Noted<T> {
    /// The answer.
    pub value: T,
    /// Its caveats, most important first; empty when there is nothing to say.
    pub notes: Vec<Note>,
}

impl<T> Noted<T> {
    /// An answer without caveats.
    pub const fn clean(value: T) -> Self {
        Self { value, notes: Vec::new() }
    }
    /// The same caveats around another answer.
    pub fn map<R>(self, f: impl FnOnce(T) -> R) -> Noted<R> {
        Noted { value: f(self.value), notes: self.notes }
    }
    /// Whether a caveat of this id is carried.
    pub fn has(&self, id: &str) -> bool {
        self.notes.iter().any(|note| note.id == id)
    }
}
