//! The smallest things a body is made of: finite numbers, and names, dates and moments as text.

use cornerwork_core::exercise::{ExerciseId, FaultTag};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::operation::OperationId;
use cornerwork_core::session::program::SessionId;
use cornerwork_core::session::trace::RecordingHash;
use jiff::Timestamp;
use jiff::civil::{Date, DateTime, Time};
use serde::de::{Unexpected, Visitor};
use serde::ser::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt::{self, Display};
use std::marker::PhantomData;

/// A finite number. JSON has no other, and its writer would turn not-a-number into `null`, which
/// reads back as "no number": so such a number is refused before it is written.
#[derive(Clone, Copy, Deserialize)]
pub(super) struct Number(pub f64);

impl Serialize for Number {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        if self.0.is_finite() {
            serializer.serialize_f64(self.0)
        } else {
            Err(S::Error::custom(format!("{} is no number to keep", self.0)))
        }
    }
}

/// A value written as text and checked when it is read.
#[derive(Clone)]
pub(super) struct Text<T>(pub T);

/// What can stand as text.
pub(super) trait Written: Display + Sized {
    /// What it is, for the error.
    const WHAT: &'static str;
    /// The value, or `None` when the text is none.
    fn read(text: &str) -> Option<Self>;
}

macro_rules! written {
    ($($type:ty, $what:literal, $read:expr;)*) => {$(
        impl Written for $type {
            const WHAT: &'static str = $what;
            fn read(text: &str) -> Option<Self> {
                $read(text)
            }
        }
    )*};
}

written! {
    AthleteId, "the code of an athlete", AthleteId::new;
    ExerciseId, "the name of an exercise", ExerciseId::new;
    FaultTag, "the name of a fault", FaultTag::new;
    OperationId, "the id of an operation", |text: &str| text.parse().ok();
    RecordingHash, "the hash of a recording", |text: &str| text.parse().ok();
    Timestamp, "a moment as 2026-09-23T18:30:00Z", |text: &str| text.parse().ok();
    SessionId, "the name of a session", SessionId::new;
    Time, "a time as 18:20:00", |text: &str| text.parse().ok();
    Date, "a date as 2026-09-23", |text: &str| text.parse().ok();
    DateTime, "a day and a time as 2026-11-17T09:30:00", |text: &str| text.parse().ok();
}

impl<T> From<T> for Text<T> {
    fn from(value: T) -> Self {
        Self(value)
    }
}

impl<T: Written> Serialize for Text<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(&self.0)
    }
}

impl<'de, T: Written> Deserialize<'de> for Text<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_str(TextVisitor(PhantomData))
    }
}

struct TextVisitor<T>(PhantomData<T>);

impl<T: Written> Visitor<'_> for TextVisitor<T> {
    type Value = Text<T>;
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(T::WHAT)
    }
    fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<Self::Value, E> {
        T::read(text).map(Text).ok_or_else(|| E::invalid_value(Unexpected::Str(text), &self))
    }
}

/// Each of a list in its other form.
pub(super) fn each<A: Into<B>, B>(items: Vec<A>) -> Vec<B> {
    items.into_iter().map(Into::into).collect()
}

/// Each of a list as text.
pub(super) fn as_texts<T>(items: Vec<T>) -> Vec<Text<T>> {
    each(items)
}

/// Each of a list of texts as the value it is.
pub(super) fn values<T>(items: Vec<Text<T>>) -> Vec<T> {
    items.into_iter().map(|item| item.0).collect()
}

/// A record of plain words that stands for an enum of plain words, both ways.
macro_rules! words {
    ($record:ident, $domain:ty { $($word:ident),* }) => {
        #[derive(Clone, Copy, Serialize, Deserialize)]
        #[serde(rename_all = "kebab-case")]
        pub(super) enum $record { $($word),* }

        impl From<$domain> for $record {
            fn from(value: $domain) -> Self {
                match value { $(<$domain>::$word => Self::$word),* }
            }
        }
        impl From<$record> for $domain {
            fn from(record: $record) -> Self {
                match record { $($record::$word => Self::$word),* }
            }
        }
    };
}
pub(super) use words;
