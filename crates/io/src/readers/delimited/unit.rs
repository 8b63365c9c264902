//! Units as columns name them.

/// What a unit measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// Time.
    Time,
    /// Force.
    Force,
    /// Length.
    Length,
    /// Force as a multiple of body weight: of no use without the weight it was divided by.
    BodyWeights,
}

/// A unit and its size in SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unit {
    /// Symbol.
    pub symbol: &'static str,
    /// What it measures.
    pub quantity: Quantity,
    /// Multiplied by this and divided by the next: thousandths stay exact that way.
    times: f64,
    over: f64,
}

impl Unit {
    /// Seconds.
    pub const SECOND: Self = Self::new("s", Quantity::Time, 1.0, 1.0);
    /// Milliseconds.
    pub const MILLISECOND: Self = Self::new("ms", Quantity::Time, 1.0, 1000.0);
    /// Newtons.
    pub const NEWTON: Self = Self::new("N", Quantity::Force, 1.0, 1.0);
    /// Metres.
    pub const METRE: Self = Self::new("m", Quantity::Length, 1.0, 1.0);

    const fn new(symbol: &'static str, quantity: Quantity, times: f64, over: f64) -> Self {
        Self { symbol, quantity, times, over }
    }

    /// A value in this unit as a value in SI.
    pub fn in_si(&self, value: f64) -> f64 {
        value * self.times / self.over
    }

    /// Whether values need no conversion.
    pub(super) fn is_si(&self) -> bool {
        self.times == self.over
    }

    /// The unit a word stands for, in any case. A kilogram in a force column is what one kilogram
    /// weighs under standard gravity, as load cells show it.
    pub fn find(word: &str) -> Option<Self> {
        use Quantity::{BodyWeights, Force, Length};
        let word = word.to_lowercase();
        Some(match word.as_str() {
            "s" | "sec" | "secs" | "second" | "seconds" | "sek" | "sekunden" => Self::SECOND,
            "ms" | "msec" | "millisecond" | "milliseconds" => Self::MILLISECOND,
            "n" | "newton" | "newtons" => Self::NEWTON,
            "kn" => Self::new("kN", Force, 1000.0, 1.0),
            "kgf" | "kp" | "kg" => Self::new("kgf", Force, 9.806_65, 1.0),
            "lbf" | "lb" | "lbs" => Self::new("lbf", Force, 4.448_221_615_260_5, 1.0),
            "bw" | "xbw" => Self::new("BW", BodyWeights, 1.0, 1.0),
            "m" | "metre" | "metres" | "meter" | "meters" => Self::METRE,
            "cm" => Self::new("cm", Length, 1.0, 100.0),
            "mm" => Self::new("mm", Length, 1.0, 1000.0),
            "in" | "inch" | "inches" => Self::new("in", Length, 0.025_4, 1.0),
            _ => return None,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // The pound-force is 0.45359237 kg times 9.80665 m/s² by definition (NIST SP 811).
    #[test]
    fn sizes_are_those_of_the_definitions() {
        let size = |word| Unit::find(word).unwrap().in_si(1.0);
        assert_eq!(size("kN"), 1000.0);
        assert!((size("lbf") - 0.453_592_37 * 9.806_65).abs() < 1e-15);
        assert_eq!(size("ms"), 0.001);
        assert_eq!(size("cm"), 0.01);
        assert_eq!(Unit::find("furlong"), None);
    }
}
