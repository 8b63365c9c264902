//! An exercise as the coach knows it: what it trains, what is measured, how much of it, what to
//! say, when to stop, who may not do it and what they do instead.
//!
//! The entries themselves are data (`data/exercises.toml` and a gym's own file); these are only
//! their types. Ids are kebab-case and stable: they are what the store keeps.

mod measure;
mod words;

pub use measure::{Dimension, Direction, Measure, MeasureKind, Unit};
pub(crate) use words::word_list;
pub use words::{BodyPart, Family, LoadModel, Pattern, Quality, Sides};

use crate::kit::BarKind;
use crate::units::{Duration, Length, Mass};

/// A lowest and a highest value, both included.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Span<T> {
    /// The lowest.
    pub low: T,
    /// The highest.
    pub high: T,
}

impl<T: Copy + PartialOrd> Span<T> {
    /// From `low` to `high`, or `None` where they stand in the wrong order.
    pub fn new(low: T, high: T) -> Option<Self> {
        (low <= high).then_some(Self { low, high })
    }
    /// Whether a value lies inside, ends included.
    pub fn contains(&self, value: T) -> bool {
        self.low <= value && value <= self.high
    }
}

macro_rules! kebab_name {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub struct $name(String);

        impl $name {
            /// The name, or `None` unless it is lower-case words and digits joined by hyphens.
            pub fn new(name: &str) -> Option<Self> {
                $crate::exercise::is_kebab_case(name).then(|| Self(name.to_owned()))
            }
            /// The name as text.
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }
        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(&self.0)
            }
        }
    };
}

pub(crate) use kebab_name;

kebab_name!(
    /// Stable name of an exercise: `landmine-split-jerk`.
    ExerciseId
);
kebab_name!(
    /// Stable name of a fault a coach may tag on a repetition: `heels-slap`.
    FaultTag
);

pub(crate) fn is_kebab_case(name: &str) -> bool {
    !name.is_empty()
        && name.split('-').all(|word| {
            !word.is_empty() && word.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit())
        })
}

/// Where exercises are looked up.
pub trait Library {
    /// The exercise of this id.
    fn exercise(&self, id: &ExerciseId) -> Option<&Exercise>;
}

impl Library for [Exercise] {
    fn exercise(&self, id: &ExerciseId) -> Option<&Exercise> {
        self.iter().find(|one| one.id == *id)
    }
}

/// One entry of the exercise library.
#[derive(Clone, Debug, PartialEq)]
pub struct Exercise {
    /// Stable name.
    pub id: ExerciseId,
    /// Name for people.
    pub name: String,
    /// Other names heard for it.
    pub also_called: Vec<String>,
    /// Chapter of the library.
    pub family: Family,
    /// Movements it is made of, the main one first.
    pub patterns: Vec<Pattern>,
    /// What it trains, the main one first.
    pub qualities: Vec<Quality>,
    /// Whether it also serves as a test.
    pub test: bool,
    /// Whether the two sides are logged apart, and by which names.
    pub sides: Sides,
    /// What is called out and judged after each repetition.
    pub measure: Measure,
    /// What may be noted beside it.
    pub also_measured: Vec<Measure>,
    /// What 'the load' means.
    pub load_model: LoadModel,
    /// Where a repetition should land, by measure.
    pub targets: Vec<TargetWindow>,
    /// Usual sets, repetitions and rest.
    pub dose: Dose,
    /// What ends a set early.
    pub stop: Option<StopRule>,
    /// What to say: the default first, then others, some for one fault only.
    pub cues: Vec<Cue>,
    /// What may be tagged on a repetition.
    pub faults: Vec<Fault>,
    /// What to watch.
    pub cautions: Vec<String>,
    /// What has to be in the room.
    pub kit: Vec<String>,
    /// Who may do it, and when.
    pub permissions: Permissions,
    /// What to do instead when a part of the body is hurt.
    pub swaps: Vec<Swap>,
    /// What is known about it, each with its source.
    pub facts: Vec<Fact>,
    /// Where dose, cautions and limits come from.
    pub source: String,
}

/// Most words a cue may have: it is shouted across a gym and heard once.
pub const MOST_CUE_WORDS: usize = 8;

impl Exercise {
    /// Every measure, the primary one first.
    pub fn measures(&self) -> impl Iterator<Item = &Measure> {
        std::iter::once(&self.measure).chain(&self.also_measured)
    }

    /// The kind of bar it is done with; `None` where nothing is put together of bar and plates.
    pub fn bar_kind(&self) -> Option<BarKind> {
        let on_hex_bar = self.id.as_str().contains("trap-bar");
        match self.load_model {
            LoadModel::LandmineLever => Some(BarKind::Landmine),
            LoadModel::BarPlusPlates | LoadModel::SystemMass if on_hex_bar => Some(BarKind::Hex),
            LoadModel::BarPlusPlates => Some(BarKind::Straight),
            LoadModel::SystemMass if self.id.as_str().contains("dumbbell") => None,
            LoadModel::SystemMass => Some(BarKind::Straight),
            _ => None,
        }
    }

    /// Whether one steps off a box, whose height is then noted beside what is measured.
    pub fn steps_off_a_box(&self) -> bool {
        self.measure.kind != MeasureKind::BoxHeight
            && self.measure_of(MeasureKind::BoxHeight).is_some()
            && self.bar_kind().is_none()
    }

    /// The measure of this kind, when the exercise has it.
    pub fn measure_of(&self, kind: MeasureKind) -> Option<&Measure> {
        self.measures().find(|measure| measure.kind == kind)
    }

    /// The target window of this kind, when there is one.
    pub fn target_of(&self, kind: MeasureKind) -> Option<&TargetWindow> {
        self.targets.iter().find(|target| target.kind == kind)
    }

    /// The fault behind a tag, when it may be tagged on this exercise.
    pub fn fault(&self, tag: &FaultTag) -> Option<&Fault> {
        self.faults.iter().find(|fault| fault.tag == *tag)
    }

    /// What to say when a fault repeats: a cue made for it before a general one, and never one of
    /// `said` while another is left.
    pub fn cue_for(&self, fault: Option<&FaultTag>, said: &[&str]) -> Option<&Cue> {
        let made_for_it = |cue: &&Cue| fault.is_some() && cue.for_fault.as_ref() == fault;
        let general = |cue: &&Cue| cue.for_fault.is_none();
        let fresh = |cue: &&Cue| !said.contains(&cue.text.as_str());
        let ordered: Vec<&Cue> =
            self.cues.iter().filter(made_for_it).chain(self.cues.iter().filter(general)).collect();
        ordered.iter().copied().find(|cue| fresh(cue)).or(ordered.first().copied())
    }

    /// What to do instead while a part of the body is hurt, best first.
    pub fn swaps_for(&self, part: BodyPart) -> impl Iterator<Item = &Swap> {
        self.swaps.iter().filter(move |swap| swap.injured == part)
    }
}

/// Where the repetitions of an exercise should land.
#[derive(Clone, Debug, PartialEq)]
pub struct TargetWindow {
    /// Which measure the window is of.
    pub kind: MeasureKind,
    /// The window, in SI units.
    pub window_si: Span<f64>,
    /// Where it comes from.
    pub source: String,
}

/// Usual amount of an exercise.
#[derive(Clone, Debug, PartialEq)]
pub struct Dose {
    /// Sets.
    pub sets: Span<u16>,
    /// Repetitions of a set, each side where sides are logged apart.
    pub repetitions: Span<u16>,
    /// How long one repetition is held or lasts, where that is prescribed.
    pub hold: Option<Span<Duration>>,
    /// How far one repetition goes, where that is prescribed.
    pub distance: Option<Span<Length>>,
    /// Rest between sets, or between single efforts of a test.
    pub rest: Span<Duration>,
    /// How hard, in words: "80 to 92 % of one-repetition maximum".
    pub intensity: Option<String>,
}

/// What ends a set before its planned repetitions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum StopRule {
    /// Worse than the set's best by more than this fraction, this many times in a row.
    DropFromBest {
        /// Fraction of the set's best: 0.08 is eight percent.
        fraction: f64,
        /// How many repetitions in a row.
        in_a_row: u16,
    },
    /// On the wrong side of the exercise's target window this many times in a row.
    UnderWindow {
        /// How many repetitions in a row.
        in_a_row: u16,
    },
}

/// A few words to say, about the effect on the world and not about the body.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cue {
    /// At most [`MOST_CUE_WORDS`] words.
    pub text: String,
    /// The fault it answers, or none for a general one.
    pub for_fault: Option<FaultTag>,
}

/// Something a coach sees go wrong in a repetition.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Stable name.
    pub tag: FaultTag,
    /// The button's words.
    pub words: String,
    /// Whether the number of such a repetition is not to be believed: it is kept, counted as
    /// work, and left out of bests and models.
    pub spoils_measure: bool,
    /// Whether the set should end with it.
    pub stops_set: bool,
}

/// Who may do an exercise, and when; everything absent is unrestricted.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Permissions {
    /// Younger athletes do not do it.
    pub barred_under_years: Option<u8>,
    /// Younger athletes do it only when the coach confirms with a reason.
    pub confirm_under_years: Option<u8>,
    /// Up to this box the two age rules do not apply.
    pub box_free_of_age_rules: Option<Length>,
    /// Highest boxes by body mass.
    pub box_caps: Vec<BoxCap>,
    /// Not closer to a bout than this many days.
    pub days_before_bout: Option<u16>,
    /// Not closer to open sparring than this many hours.
    pub hours_from_sparring: Option<u16>,
}

/// Highest box for heavy athletes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BoxCap {
    /// Applies above this body mass.
    pub above_body_mass: Mass,
    /// No box higher than this.
    pub highest_box: Length,
}

/// What to do instead while a part of the body is hurt.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Swap {
    /// The hurt part.
    pub injured: BodyPart,
    /// The exercise to do: the same one only with [`Swap::other_side`].
    pub to: ExerciseId,
    /// Only with the side that is not hurt.
    pub other_side: bool,
    /// How: "light", "with straps".
    pub note: Option<String>,
}

/// Something known about an exercise.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fact {
    /// The statement.
    pub text: String,
    /// Paper, or "common practice, no source", or "from memory".
    pub source: String,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_kebab_case_or_refused() {
        assert_eq!(ExerciseId::new("pogo-hops").map(|id| id.to_string()), Some("pogo-hops".into()));
        for bad in ["", "-", "Pogo", "pogo hops", "pogo--hops", "pogo-", "pogo_hops"] {
            assert_eq!(ExerciseId::new(bad), None, "{bad}");
        }
    }

    #[test]
    fn spans_refuse_the_wrong_order() {
        assert_eq!(Span::new(3, 1), None);
        assert!(Span::new(1, 3).is_some_and(|span| span.contains(3) && !span.contains(4)));
    }
}
