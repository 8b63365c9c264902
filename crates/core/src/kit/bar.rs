//! A bar with the mass the scale gave it.

use super::{KitError, grams, mass_of};
use crate::units::Mass;

/// Lightest and heaviest mass taken for a bar: technique bars to loaded hex bars with room left.
const BAR_GRAMS: std::ops::RangeInclusive<i64> = 1_000..=60_000;

/// One bar of the gym.
#[derive(Clone, Debug, PartialEq)]
pub struct Bar {
    /// Stable id.
    pub id: String,
    /// What people call it: "hex blue".
    pub name: String,
    /// How it is held, and so how many sleeves are loaded.
    pub kind: BarKind,
    /// The mass was taken from a stamp or a default, not from a scale. Hex bars have no standard
    /// mass, so theirs is doubtful until weighed.
    pub assumed: bool,
    grams: i64,
}

/// How a bar is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BarKind {
    /// A straight bar, loaded on both sleeves.
    Straight,
    /// A hex bar, loaded on both sleeves; jumps with it are a profile of their own.
    Hex,
    /// A straight bar with one end in a pivot on the floor, loaded on the free sleeve only.
    Landmine,
}

/// How many sleeves carry plates.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sides {
    /// The free end of a landmine.
    One,
    /// Both ends alike.
    Two,
}

impl Sides {
    /// One or two.
    pub const fn count(self) -> u32 {
        match self {
            Self::One => 1,
            Self::Two => 2,
        }
    }
}

impl Bar {
    /// A bar that stood on a scale.
    ///
    /// # Errors
    /// [`KitError::BarMass`] outside 1 to 60 kg, or not a number.
    pub fn weighed(
        id: impl Into<String>,
        name: impl Into<String>,
        mass: Mass,
        kind: BarKind,
    ) -> Result<Self, KitError> {
        let bar =
            Self { id: id.into(), name: name.into(), kind, assumed: false, grams: grams(mass) };
        if BAR_GRAMS.contains(&bar.grams) {
            Ok(bar)
        } else {
            Err(KitError::BarMass { name: bar.name, kilograms: mass.in_kilograms() })
        }
    }

    /// A bar whose mass is only believed, from a stamp or a default.
    ///
    /// # Errors
    /// As [`Bar::weighed`].
    pub fn assumed(
        id: impl Into<String>,
        name: impl Into<String>,
        mass: Mass,
        kind: BarKind,
    ) -> Result<Self, KitError> {
        Self::weighed(id, name, mass, kind).map(|bar| Self { assumed: true, ..bar })
    }

    /// Mass to the gram.
    pub fn mass(&self) -> Mass {
        mass_of(self.grams)
    }

    pub(super) const fn grams(&self) -> i64 {
        self.grams
    }

    /// How many sleeves carry plates.
    pub const fn sides(&self) -> Sides {
        match self.kind {
            BarKind::Straight | BarKind::Hex => Sides::Two,
            BarKind::Landmine => Sides::One,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bar_keeps_its_weighed_mass_to_the_gram() {
        let blue = Bar::weighed("hex-blue", "hex blue", Mass::kilograms(27.4), BarKind::Hex);
        assert_eq!(blue.map(|bar| (bar.mass(), bar.assumed)), Ok((Mass::kilograms(27.4), false)));
    }

    #[test]
    fn an_impossible_bar_is_refused_with_its_number() {
        for kilograms in [-20.0, 0.0, 200.0, f64::NAN, f64::INFINITY] {
            let refused = Bar::weighed("b", "bar", Mass::kilograms(kilograms), BarKind::Straight);
            assert!(matches!(refused, Err(KitError::BarMass { .. })), "{kilograms}");
        }
    }
}
