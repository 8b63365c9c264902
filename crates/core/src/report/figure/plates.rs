//! The plates to hang, as a drawing of the bar.

use super::{Axis, Decimals, Table};
use crate::units::Mass;

/// A bar with its plates, from the collar outwards.
#[derive(Clone, Debug, PartialEq)]
pub struct PlateStack {
    /// Heading.
    pub title: String,
    /// What to hang, in words.
    pub description: String,
    /// Shape of the bar.
    pub bar: BarKind,
    /// Mass of the bar, collars included.
    pub bar_mass: Mass,
    /// The plates of one end, from the inside out; a landmine has one end only.
    pub plates: Vec<Plate>,
}

/// Shape of a bar.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BarKind {
    /// A straight barbell.
    Straight,
    /// A hexagonal frame to stand in.
    Hex,
    /// A bar held at the floor by one end and loaded at the other.
    Landmine,
}

/// One plate.
#[derive(Clone, Debug, PartialEq)]
pub struct Plate {
    /// What it weighs.
    pub mass: Mass,
    /// What is written on it: "20", "45 lb".
    pub label: String,
}

impl PlateStack {
    /// How many ends carry plates.
    pub const fn ends(&self) -> u8 {
        match self.bar {
            BarKind::Straight | BarKind::Hex => 2,
            BarKind::Landmine => 1,
        }
    }
    /// Bar and plates together.
    pub fn total(&self) -> Mass {
        let one_end: Mass = self.plates.iter().map(|plate| plate.mass).sum();
        self.bar_mass + one_end * f64::from(self.ends())
    }
    /// The axis masses are written on: up to a hundredth, for the half-kilo and quarter plates.
    pub fn axis(&self) -> Axis {
        Axis::new("mass", "kg", Decimals::UpTo(2))
    }
    /// The bar, each plate from the inside out, the total.
    pub fn table(&self) -> Table {
        let kilograms = |mass: Mass| self.axis().number(mass.in_kilograms());
        let where_ = if self.ends() == 2 { "plate, each end" } else { "plate" };
        let mut table = Table::new(["what", "label", "mass, kg"]);
        table.row(["bar", "", &kilograms(self.bar_mass)]);
        for plate in &self.plates {
            table.row([where_, &plate.label, &kilograms(plate.mass)]);
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
        let plate = |kg: f64| Plate { mass: Mass::kilograms(kg), label: kg.to_string() };
        let mut stack = PlateStack {
            title: String::new(),
            description: String::new(),
            bar: BarKind::Straight,
            bar_mass: Mass::kilograms(20.0),
            plates: vec![plate(15.0), plate(1.25)],
        };
        assert_eq!(stack.total(), Mass::kilograms(52.5));
        stack.bar = BarKind::Landmine;
        assert_eq!(stack.total(), Mass::kilograms(36.25));
        assert_eq!(stack.table().rows[2], ["plate", "1.25", "1.25"]);
    }
}
