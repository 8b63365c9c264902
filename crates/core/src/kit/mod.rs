//! What hangs in the gym: bars and plates as objects with a weighed mass, and what they can make.
//!
//! Masses are whole grams here. A load is what was put together, never what was wished for: it is
//! found among the plates present, and a fit uses its actual mass.

mod bar;
pub mod landmine;
mod loadable;
mod plates;

pub use bar::{Bar, BarKind, Sides};
pub use loadable::{Loadable, loadable, nearest, nearest_at_most};
pub use plates::{Plate, PlateRack, PlateStack};

use crate::units::Mass;

/// Why a bar, plate or rack cannot be taken as entered.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum KitError {
    /// A bar whose mass is no mass of a bar.
    #[error("The bar '{name}' cannot weigh {kilograms} kg. Weigh it and enter 1 to 60 kg.")]
    BarMass {
        /// Name of the bar.
        name: String,
        /// Mass as entered.
        kilograms: f64,
    },
    /// A plate or collar whose mass is no mass of a plate.
    #[error("'{label}' cannot weigh {kilograms} kg. Weigh it and enter 0.1 to 60 kg.")]
    PlateMass {
        /// What is stamped on it.
        label: String,
        /// Mass as entered.
        kilograms: f64,
    },
    /// More plates are out than the rack holds.
    #[error(
        "{taken} of '{label}' are asked for and the rack holds {held}. Count the plates again."
    )]
    NotOnTheRack {
        /// What is stamped on the plate.
        label: String,
        /// How many are asked for.
        taken: u32,
        /// How many the rack holds.
        held: u32,
    },
}

/// A mass as whole grams: the resolution of any gym scale, and exact to add.
fn grams(mass: Mass) -> i64 {
    // Far beyond any kit, so differences of two masses stay exact; not-a-number becomes nothing.
    (mass.in_kilograms() * 1000.0).round().clamp(-1e12, 1e12) as i64
}

fn mass_of(grams: i64) -> Mass {
    Mass::kilograms(grams as f64 / 1000.0)
}
