//! Quantities as types: the unit stands in the constructor and in the accessor, SI inside.
//!
//! Only the products the field uses exist, so a force cannot be added to a mass. Pounds, inches
//! and centimetres are conversions at the edge, spelled out in their constructors.

use std::ops::{Add, Div, Mul, Neg, Sub};

/// Standard gravity in m/s², the 3rd CGPM of 1901 (ISO 80000-3). Functions that published
/// examples compute with another value take gravity as an argument.
pub const STANDARD_GRAVITY: Acceleration = Acceleration::metres_per_second_squared(9.806_65);

/// Any quantity, seen as its SI number and the symbol of its unit.
pub trait Quantity: Copy + PartialOrd {
    /// Symbol of the SI unit, as written beside a number.
    const UNIT: &'static str;
    /// The value in the SI unit.
    fn si(self) -> f64;
    /// The quantity of this many SI units.
    fn from_si(value: f64) -> Self;
}

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $constructor:ident, $accessor:ident, $unit:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);
            #[doc = concat!("This many ", $unit, ".")]
            pub const fn $constructor(value: f64) -> Self {
                Self(value)
            }
            #[doc = concat!("The value in ", $unit, ".")]
            pub const fn $accessor(self) -> f64 {
                self.0
            }
            /// Neither infinite nor not-a-number.
            pub const fn is_finite(self) -> bool {
                self.0.is_finite()
            }
            /// Size without sign.
            pub const fn abs(self) -> Self {
                Self(self.0.abs())
            }
            /// The smaller of two.
            pub const fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }
            /// The larger of two.
            pub const fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }
        }
        impl Quantity for $name {
            const UNIT: &'static str = $unit;
            fn si(self) -> f64 {
                self.0
            }
            fn from_si(value: f64) -> Self {
                Self(value)
            }
        }
        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }
        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }
        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }
        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }
        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }
        impl Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }
        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(items: I) -> Self {
                items.fold(Self::ZERO, Add::add)
            }
        }
    };
}

quantity!(
    /// Mass: of a body, a bar, a plate.
    Mass, kilograms, in_kilograms, "kg"
);
quantity!(
    /// Length: a jump height, a lever arm, a range of motion.
    Length, metres, in_metres, "m"
);
quantity!(
    /// A stretch of time.
    Duration, seconds, in_seconds, "s"
);
quantity!(
    /// Speed with a sign; up is positive.
    Velocity, metres_per_second, in_metres_per_second, "m/s"
);
quantity!(
    /// Rate of change of velocity.
    Acceleration, metres_per_second_squared, in_metres_per_second_squared, "m/s²"
);
quantity!(
    /// Force, up positive.
    Force, newtons, in_newtons, "N"
);
quantity!(
    /// Momentum, and net impulse, which is the same number: 1 kg m/s = 1 N s.
    Momentum, kilogram_metres_per_second, in_kilogram_metres_per_second, "kg m/s"
);
quantity!(
    /// Rate of work.
    Power, watts, in_watts, "W"
);
quantity!(
    /// Work and energy.
    Energy, joules, in_joules, "J"
);

macro_rules! product {
    ($left:ident * $right:ident = $result:ident) => {
        impl Mul<$right> for $left {
            type Output = $result;
            fn mul(self, other: $right) -> $result {
                $result(self.0 * other.0)
            }
        }
        impl Div<$right> for $result {
            type Output = $left;
            fn div(self, other: $right) -> $left {
                $left(self.0 / other.0)
            }
        }
    };
}

product!(Velocity * Duration = Length);
product!(Acceleration * Duration = Velocity);
product!(Mass * Acceleration = Force);
product!(Mass * Velocity = Momentum);
product!(Force * Duration = Momentum);
product!(Force * Velocity = Power);
product!(Force * Length = Energy);
product!(Power * Duration = Energy);

/// The international avoirdupois pound, exactly (International Yard and Pound Agreement, 1959).
const KILOGRAMS_PER_POUND: f64 = 0.453_592_37;
/// The international inch, exactly (same agreement).
const METRES_PER_INCH: f64 = 0.025_4;

impl Mass {
    /// This many pounds.
    pub const fn pounds(value: f64) -> Self {
        Self(value * KILOGRAMS_PER_POUND)
    }
    /// The value in pounds.
    pub const fn in_pounds(self) -> f64 {
        self.0 / KILOGRAMS_PER_POUND
    }
}

impl Length {
    /// This many centimetres.
    pub const fn centimetres(value: f64) -> Self {
        Self(value / 100.0)
    }
    /// The value in centimetres.
    pub const fn in_centimetres(self) -> f64 {
        self.0 * 100.0
    }
    /// This many inches.
    pub const fn inches(value: f64) -> Self {
        Self(value * METRES_PER_INCH)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn products_follow_the_definitions_of_the_si() {
        // SI Brochure, 9th edition: 1 N = 1 kg m/s², 1 J = 1 N m, 1 W = 1 J/s.
        let weight = Mass::kilograms(80.0) * STANDARD_GRAVITY;
        assert!((weight.in_newtons() - 784.532).abs() < 1e-9);
        assert_eq!(weight / STANDARD_GRAVITY, Mass::kilograms(80.0));
        let work = Force::newtons(250.0) * Length::metres(0.5);
        assert_eq!(work.in_joules(), 125.0);
    }

    #[test]
    fn contract_weights_in_pounds_are_the_printed_kilograms() {
        // Professional limits as printed beside their pounds: 147 lb 66.678 kg, 160 lb 72.575 kg.
        assert!((Mass::pounds(147.0).in_kilograms() - 66.678).abs() < 5e-4);
        assert!((Mass::pounds(160.0).in_kilograms() - 72.575).abs() < 5e-4);
        assert!((Length::inches(24.0).in_centimetres() - 60.96).abs() < 1e-9);
    }
}
