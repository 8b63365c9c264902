//! What was recorded, as it was received: the ground state every trial is derived from.
//!
//! A capture holds numbers in SI units and says where they came from. It promises nothing about
//! their quality: a reader fills it, and the trial that reads it checks it.

use crate::note::Note;
pub use crate::signal::Sampling;

/// Vertical ground reaction force from one plate or several.
#[derive(Clone, Debug, PartialEq)]
pub struct ForceCapture {
    /// When the samples were taken; one clock for all plates.
    pub time: Sampling,
    /// The plates, in the order of the file.
    pub plates: Vec<Plate>,
    /// What the reader had to say: a guessed unit, a skipped header.
    pub notes: Vec<Note>,
}

/// One force plate: its force in newtons, the push of the body on the ground counted positive.
#[derive(Clone, Debug, PartialEq)]
pub struct Plate {
    /// Name in the file, or one given by hand.
    pub name: String,
    /// What stands on it.
    pub place: PlatePlace,
    /// Vertical force in newtons, one a sample.
    pub vertical_force_n: Vec<f64>,
}

/// What stands on a plate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlatePlace {
    /// Both feet, or whatever there is: the only plate, or a part of the whole.
    Whole,
    /// The left foot or hand.
    Left,
    /// The right foot or hand.
    Right,
    /// The box an athlete drops from.
    Box,
}

/// Position of a bar along the vertical, from a linear encoder or a camera.
#[derive(Clone, Debug, PartialEq)]
pub struct BarCapture {
    /// When the samples were taken.
    pub time: Sampling,
    /// Height in metres above any fixed level, up positive, one a sample.
    pub position_m: Vec<f64>,
    /// What the reader had to say.
    pub notes: Vec<Note>,
}

impl ForceCapture {
    /// A capture from a single plate.
    pub fn single(time: Sampling, vertical_force_n: Vec<f64>) -> Self {
        let plate = Plate { name: "force".into(), place: PlatePlace::Whole, vertical_force_n };
        Self { time, plates: vec![plate], notes: Vec::new() }
    }

    /// A capture from a plate under each foot.
    pub fn sides(time: Sampling, left_n: Vec<f64>, right_n: Vec<f64>) -> Self {
        let plate = |name: &str, place, vertical_force_n| Plate {
            name: name.into(),
            place,
            vertical_force_n,
        };
        Self {
            time,
            plates: vec![
                plate("left", PlatePlace::Left, left_n),
                plate("right", PlatePlace::Right, right_n),
            ],
            notes: Vec::new(),
        }
    }

    /// The plate at a place, when exactly one stands there.
    pub fn plate(&self, place: PlatePlace) -> Option<&Plate> {
        let mut there = self.plates.iter().filter(|plate| plate.place == place);
        there.next().filter(|_| there.next().is_none())
    }
}
