//! The loaded bar: the plates to hang, as a drawing.

use super::{Axis, Decimals, Table};
use crate::kit::{BarKind, Plate, Sides};
use crate::units::Mass;

/// A bar with its plates, from the collar outwards.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadedBar {
    /// Heading.
    pub title: String,
    /// What to hang, in words.
    pub description: String,
    /// How the bar is held.
    pub bar: BarKind,
    /// Mass of the bar, collars included.
    pub bar_mass: Mass,
    /// The plates of one sleeve, from the inside out.
    pub plates: Vec<Plate>,
}

impl LoadedBar {
    /// How many sleeves carry plates.
    pub const fn sides(&self) -> Sides {
        match self.bar {
            BarKind::Straight | BarKind::Hex => Sides::Two,
            BarKind::Landmine => Sides::One,
        }
    }
    /// Bar and plates together.
    pub fn total(&self) -> Mass {
        let one_side: Mass = self.plates.iter().map(Plate::mass).sum();
        self.bar_mass + one_side * f64::from(self.sides().count())
    }
    /// How masses are written: to a hundredth where it takes one, for the small plates.
    pub fn axis(&self) -> Axis {
        Axis::new("mass", "kg", Decimals::UpTo(2))
    }
    /// The bar, each plate from the inside out, the total.
    pub fn table(&self) -> Table {
        let kilograms = |mass: Mass| self.axis().number(mass.in_kilograms());
        let what = match self.sides() {
            Sides::Two => "plate, each side",
            Sides::One => "plate",
        };
        let mut table = Table::new(["what", "label", "mass, kg"]);
        table.row(["bar", "", &kilograms(self.bar_mass)]);
        for plate in &self.plates {
            table.row([what, plate.label(), &kilograms(plate.mass())]);
        }
        table.row(["together", "", &kilograms(self.total())]);
        table
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_landmine_is_loaded_at_one_end() {
        let mut loaded = LoadedBar {
            title: String::new(),
            description: String::new(),
            bar: BarKind::Straight,
            bar_mass: Mass::kilograms(20.0),
            plates: [15.0, 1.25].map(|kg| Plate::kilograms(kg).unwrap()).to_vec(),
        };
        assert_eq!(loaded.total(), Mass::kilograms(52.5));
        loaded.bar = BarKind::Landmine;
        assert_eq!(loaded.total(), Mass::kilograms(36.25));
        assert_eq!(loaded.table().rows[2], ["plate", "1.25", "1.25"]);
    }
}
