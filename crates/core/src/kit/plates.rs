//! Plates as weighed and as stamped, and the racks they stand on.

use super::{KitError, grams, mass_of};
use crate::units::Mass;

/// Lightest and heaviest mass taken for one plate.
const PLATE_GRAMS: std::ops::RangeInclusive<i64> = 100..=60_000;
/// Heaviest mass taken for one collar; none at all is allowed.
const COLLAR_GRAMS: std::ops::RangeInclusive<i64> = 0..=5_000;

/// One plate.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Plate {
    label: String,
    grams: i64,
}

impl Plate {
    /// A plate by what is stamped on it and what it weighs: `("45 lb", Mass::pounds(45.0))`.
    ///
    /// # Errors
    /// [`KitError::PlateMass`] outside 0.1 to 60 kg, or not a number.
    pub fn new(label: impl Into<String>, mass: Mass) -> Result<Self, KitError> {
        let plate = Self { label: label.into(), grams: grams(mass) };
        if PLATE_GRAMS.contains(&plate.grams) {
            Ok(plate)
        } else {
            Err(KitError::PlateMass { label: plate.label, kilograms: mass.in_kilograms() })
        }
    }

    /// A plate stamped with the kilograms it weighs.
    ///
    /// # Errors
    /// As [`Plate::new`].
    pub fn kilograms(kilograms: f64) -> Result<Self, KitError> {
        Self::new(format!("{kilograms}"), Mass::kilograms(kilograms))
    }

    /// Mass to the gram.
    pub fn mass(&self) -> Mass {
        mass_of(self.grams)
    }

    /// What is stamped on it.
    pub fn label(&self) -> &str {
        &self.label
    }

    pub(super) const fn grams(&self) -> i64 {
        self.grams
    }
}

/// Plates of one size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlateStack {
    /// The size.
    pub plate: Plate,
    /// How many single plates.
    pub count: u32,
}

/// Plates and collars within reach: of one station, or of the whole floor.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PlateRack {
    /// Heaviest first, each size once.
    stacks: Vec<PlateStack>,
    collar_grams: i64,
}

impl PlateRack {
    /// A rack of these stacks, with collars of no mass. Stacks of one size are joined.
    pub fn of(stacks: impl IntoIterator<Item = PlateStack>) -> Self {
        let mut rack = Self::default();
        stacks.into_iter().for_each(|stack| rack.add(stack));
        rack
    }

    /// The same rack with collars of this mass each: 2.5 kg in competition, about 0.1 kg for a
    /// clip (typical gym, no source).
    ///
    /// # Errors
    /// [`KitError::PlateMass`] below zero or above 5 kg.
    pub fn with_collars(self, each: Mass) -> Result<Self, KitError> {
        let collar_grams = grams(each);
        if COLLAR_GRAMS.contains(&collar_grams) && each.is_finite() {
            Ok(Self { collar_grams, ..self })
        } else {
            Err(KitError::PlateMass { label: "collar".into(), kilograms: each.in_kilograms() })
        }
    }

    /// The plates of two racks together: a station's own and the shared ones. The collars are
    /// those of the first.
    #[must_use]
    pub fn joined(mut self, other: &Self) -> Self {
        other.stacks.iter().cloned().for_each(|stack| self.add(stack));
        self
    }

    /// What is left when these plates hang elsewhere.
    ///
    /// # Errors
    /// [`KitError::NotOnTheRack`] when more hang than the rack ever held.
    pub fn without<'a>(
        mut self,
        hung: impl IntoIterator<Item = &'a Plate>,
    ) -> Result<Self, KitError> {
        for plate in hung {
            match self.stacks.iter_mut().find(|stack| stack.plate == *plate) {
                Some(stack) if stack.count > 0 => stack.count -= 1,
                found => {
                    let held = found.map_or(0, |stack| stack.count);
                    return Err(KitError::NotOnTheRack {
                        label: plate.label.clone(),
                        taken: held + 1,
                        held,
                    });
                }
            }
        }
        self.stacks.retain(|stack| stack.count > 0);
        Ok(self)
    }

    /// The plates, heaviest first.
    pub fn stacks(&self) -> &[PlateStack] {
        &self.stacks
    }

    /// Mass of one collar.
    pub fn collar(&self) -> Mass {
        mass_of(self.collar_grams)
    }

    pub(super) const fn collar_grams(&self) -> i64 {
        self.collar_grams
    }

    fn add(&mut self, new: PlateStack) {
        match self.stacks.iter_mut().find(|stack| stack.plate == new.plate) {
            Some(stack) => stack.count = stack.count.saturating_add(new.count),
            None => self.stacks.push(new),
        }
        self.stacks.sort_by(|one, other| {
            (other.plate.grams, &one.plate.label).cmp(&(one.plate.grams, &other.plate.label))
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stack(label: &str, kilograms: f64, count: u32) -> PlateStack {
        PlateStack { plate: Plate::new(label, Mass::kilograms(kilograms)).unwrap(), count }
    }

    #[test]
    fn what_hangs_elsewhere_is_not_there() {
        // Two 20s at another station: a shared rack with one pair of them has none left.
        let rack = PlateRack::of([stack("10", 10.0, 4), stack("20", 20.0, 2)]);
        let twenty = Plate::kilograms(20.0).unwrap();
        let left = rack.clone().without([&twenty, &twenty]).unwrap();
        assert_eq!(left.stacks(), [stack("10", 10.0, 4)]);
        assert_eq!(
            rack.without([&twenty, &twenty, &twenty]),
            Err(KitError::NotOnTheRack { label: "20".into(), taken: 1, held: 0 })
        );
    }

    #[test]
    fn a_stations_own_plates_join_the_shared_ones() {
        let own = PlateRack::of([stack("2.5", 2.5, 2)]);
        let shared = PlateRack::of([stack("45 lb", 20.412, 2), stack("2.5", 2.5, 4)]);
        assert_eq!(own.joined(&shared).stacks(), [stack("45 lb", 20.412, 2), stack("2.5", 2.5, 6)]);
    }

    #[test]
    fn an_impossible_plate_or_collar_is_refused() {
        assert!(Plate::kilograms(f64::NAN).is_err());
        assert!(Plate::kilograms(-5.0).is_err());
        assert!(PlateRack::default().with_collars(Mass::kilograms(-0.1)).is_err());
        assert!(PlateRack::default().with_collars(Mass::kilograms(f64::NAN)).is_err());
    }
}
