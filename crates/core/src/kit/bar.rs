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
    /// How else the same bar is held: a straight one may stand in the pivot of the landmine.
    pub also: Vec<BarKind>,
    /// Where this is another way to hold a bar: the id of that bar.
    pub other_way_of: Option<String>,
    grams: i64,
}

/// How a bar is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum BarKind {
    /// A straight bar, loaded on both sleeves.
    Straight,
    /// A hex bar, loaded on both sleeves; jumps with it are a profile of their own.
    Hex,
    /// A straight bar with one end in a pivot on the floor, loaded on the free sleeve only.
    Landmine,
}

impl BarKind {
    /// Every way to hold a bar.
    pub const ALL: [Self; 3] = [Self::Straight, Self::Hex, Self::Landmine];

    /// Plain word, as it is typed and shown.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Straight => "straight",
            Self::Hex => "hex",
            Self::Landmine => "landmine",
        }
    }

    /// The way of this word.
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.word() == word)
    }
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
        let bar = Self {
            id: id.into(),
            name: name.into(),
            kind,
            assumed: false,
            also: Vec::new(),
            other_way_of: None,
            grams: grams(mass),
        };
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

    /// The same bar, held in these ways too.
    #[must_use]
    pub fn held_also(self, ways: impl IntoIterator<Item = BarKind>) -> Self {
        let mut also: Vec<BarKind> = ways.into_iter().filter(|way| *way != self.kind).collect();
        also.sort_unstable();
        also.dedup();
        Self { also, ..self }
    }

    /// Every way this bar is held, each as a bar of its own: itself first. Another way has an id of
    /// its own, so that a load says how its plates hung.
    pub fn ways(&self) -> Vec<Self> {
        let other = |kind: &BarKind| Self {
            id: format!("{}+{}", self.id, kind.word()),
            kind: *kind,
            also: Vec::new(),
            other_way_of: Some(self.id.clone()),
            ..self.clone()
        };
        std::iter::once(self.clone()).chain(self.also.iter().map(other)).collect()
    }

    /// The id of the bar itself, however it is held.
    pub fn own_id(&self) -> &str {
        self.other_way_of.as_deref().unwrap_or(&self.id)
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
    fn a_straight_bar_in_the_pivot_is_the_same_bar_loaded_on_one_end() {
        let bar = Bar::weighed("bar-20", "20 kg bar", Mass::kilograms(20.0), BarKind::Straight);
        let bar = bar.unwrap().held_also([BarKind::Landmine, BarKind::Straight, BarKind::Landmine]);
        assert_eq!(bar.also, [BarKind::Landmine]);
        let [straight, landmine] = &bar.ways()[..] else { panic!("two ways") };
        assert_eq!((straight, straight.sides()), (&bar, Sides::Two));
        assert_eq!((landmine.kind, landmine.sides()), (BarKind::Landmine, Sides::One));
        assert_eq!((landmine.own_id(), landmine.mass()), ("bar-20", bar.mass()));
        assert_ne!(landmine.id, bar.id, "a load says how its plates hung");
    }

    #[test]
    fn an_impossible_bar_is_refused_with_its_number() {
        for kilograms in [-20.0, 0.0, 200.0, f64::NAN, f64::INFINITY] {
            let refused = Bar::weighed("b", "bar", Mass::kilograms(kilograms), BarKind::Straight);
            assert!(matches!(refused, Err(KitError::BarMass { .. })), "{kilograms}");
        }
    }
}
