//! What is measured in an exercise: kind, unit of entry, decimals, which way is better, and the
//! limits that catch slips of typing. Values are SI inside; only entry and display know the unit.

use super::{Span, words::word_list};

word_list!(
    /// What a number is of.
    MeasureKind {
        JumpHeight = "jump-height", "jump height";
        ContactTime = "contact-time", "contact time";
        FlightTime = "flight-time", "flight time";
        ReactiveStrength = "reactive-strength", "reactive strength";
        TakeOffVelocity = "take-off-velocity", "take-off velocity";
        MeanVelocity = "mean-velocity", "mean velocity";
        PeakVelocity = "peak-velocity", "peak velocity";
        Momentum = "momentum", "momentum";
        Force = "force", "force";
        Grip = "grip", "grip";
        Power = "power", "power";
        Distance = "distance", "distance";
        Time = "time", "time";
        Load = "load", "load";
        Repetitions = "repetitions", "repetitions";
        Speed = "speed", "speed";
        Angle = "angle", "angle";
        HeartRate = "heart-rate", "heart rate";
        BoxHeight = "box-height", "box height";
        BodyMass = "body-mass", "body mass";
        ContractWeight = "contract-weight", "contract weight";
    }
);

impl MeasureKind {
    /// The dimension its unit must have.
    pub const fn dimension(self) -> Dimension {
        match self {
            Self::JumpHeight | Self::Distance | Self::BoxHeight => Dimension::Length,
            Self::ContactTime | Self::FlightTime | Self::Time => Dimension::Time,
            Self::TakeOffVelocity | Self::MeanVelocity | Self::PeakVelocity | Self::Speed => {
                Dimension::Velocity
            }
            Self::Momentum => Dimension::Momentum,
            Self::Force | Self::Grip => Dimension::Force,
            Self::Power => Dimension::Power,
            Self::Load | Self::BodyMass | Self::ContractWeight => Dimension::Mass,
            Self::Repetitions => Dimension::Count,
            Self::ReactiveStrength => Dimension::Index,
            Self::Angle => Dimension::Angle,
            Self::HeartRate => Dimension::Frequency,
        }
    }
}

/// What can be converted into each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dimension {
    /// SI: metre.
    Length,
    /// SI: second.
    Time,
    /// SI: metre per second.
    Velocity,
    /// SI: kilogram metre per second.
    Momentum,
    /// SI: newton.
    Force,
    /// SI: watt.
    Power,
    /// SI: kilogram.
    Mass,
    /// A number of things.
    Count,
    /// Height over contact time: metres per second by dimension, written without a unit.
    Index,
    /// SI: radian.
    Angle,
    /// SI: hertz.
    Frequency,
}

/// A unit that may be typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// m
    Metre,
    /// cm
    Centimetre,
    /// mm
    Millimetre,
    /// in
    Inch,
    /// s
    Second,
    /// ms
    Millisecond,
    /// m/s
    MetrePerSecond,
    /// km/h
    KilometrePerHour,
    /// kg m/s
    KilogramMetrePerSecond,
    /// N
    Newton,
    /// kN
    Kilonewton,
    /// kgf, as dynamometers print
    KilogramForce,
    /// W
    Watt,
    /// kg
    Kilogram,
    /// lb
    Pound,
    /// a count
    One,
    /// an index without a written unit
    Index,
    /// degrees
    Degree,
    /// beats a minute
    PerMinute,
}

impl Unit {
    /// Every unit.
    pub const ALL: &'static [Self] = &[
        Self::Metre,
        Self::Centimetre,
        Self::Millimetre,
        Self::Inch,
        Self::Second,
        Self::Millisecond,
        Self::MetrePerSecond,
        Self::KilometrePerHour,
        Self::KilogramMetrePerSecond,
        Self::Newton,
        Self::Kilonewton,
        Self::KilogramForce,
        Self::Watt,
        Self::Kilogram,
        Self::Pound,
        Self::One,
        Self::Index,
        Self::Degree,
        Self::PerMinute,
    ];

    /// As written beside a number; empty where nothing is written.
    pub const fn symbol(self) -> &'static str {
        self.spellings()[0]
    }

    /// As typed after a number, without spaces and in lower case; the first but for case and
    /// spaces is the symbol.
    pub(crate) const fn spellings(self) -> &'static [&'static str] {
        match self {
            Self::Metre => &["m", "metre", "metres", "meter", "meters"],
            Self::Centimetre => &["cm"],
            Self::Millimetre => &["mm"],
            Self::Inch => &["in", "inch", "inches", "\"", "″", "''"],
            Self::Second => &["s", "sec", "seconds"],
            Self::Millisecond => &["ms"],
            Self::MetrePerSecond => &["m/s", "mps"],
            Self::KilometrePerHour => &["km/h", "kmh", "kph"],
            Self::KilogramMetrePerSecond => &["kg m/s", "kgm/s", "n s", "ns"],
            Self::Newton => &["N", "n"],
            Self::Kilonewton => &["kN", "kn"],
            Self::KilogramForce => &["kgf"],
            Self::Watt => &["W", "w"],
            Self::Kilogram => &["kg", "kgs", "kilo", "kilos"],
            Self::Pound => &["lb", "lbs", "pound", "pounds"],
            Self::One | Self::Index => &[""],
            Self::Degree => &["°", "deg"],
            Self::PerMinute => &["bpm", "/min"],
        }
    }

    /// What it is a unit of.
    pub const fn dimension(self) -> Dimension {
        match self {
            Self::Metre | Self::Centimetre | Self::Millimetre | Self::Inch => Dimension::Length,
            Self::Second | Self::Millisecond => Dimension::Time,
            Self::MetrePerSecond | Self::KilometrePerHour => Dimension::Velocity,
            Self::KilogramMetrePerSecond => Dimension::Momentum,
            Self::Newton | Self::Kilonewton | Self::KilogramForce => Dimension::Force,
            Self::Watt => Dimension::Power,
            Self::Kilogram | Self::Pound => Dimension::Mass,
            Self::One => Dimension::Count,
            Self::Index => Dimension::Index,
            Self::Degree => Dimension::Angle,
            Self::PerMinute => Dimension::Frequency,
        }
    }

    /// How many SI units one of it is. Inch and pound: international agreement of 1959, exact;
    /// kilogram-force: standard gravity, exact.
    pub const fn in_si(self) -> f64 {
        match self {
            Self::Centimetre => 0.01,
            Self::Millimetre | Self::Millisecond => 0.001,
            Self::Inch => 0.025_4,
            Self::KilometrePerHour => 1.0 / 3.6,
            Self::Kilonewton => 1000.0,
            Self::KilogramForce => 9.806_65,
            Self::Pound => 0.453_592_37,
            Self::Degree => std::f64::consts::PI / 180.0,
            Self::PerMinute => 1.0 / 60.0,
            Self::Metre
            | Self::Second
            | Self::MetrePerSecond
            | Self::KilogramMetrePerSecond
            | Self::Newton
            | Self::Watt
            | Self::Kilogram
            | Self::One
            | Self::Index => 1.0,
        }
    }

    /// The unit a text names, whatever its case and spaces; `None` for an unknown or an empty one.
    pub fn named(text: &str) -> Option<Self> {
        let wanted = squeezed(text);
        if wanted.is_empty() {
            return None;
        }
        Self::ALL
            .iter()
            .copied()
            .find(|unit| unit.spellings().iter().any(|name| squeezed(name) == wanted))
    }
}

fn squeezed(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).flat_map(char::to_lowercase).collect()
}

word_list!(
    /// Which way is better.
    Direction {
        /// A jump, a throw.
        HigherIsBetter = "higher", "higher is better";
        /// A sprint, a contact.
        LowerIsBetter = "lower", "lower is better";
    }
);

/// A measured quantity of an exercise, and how it is typed and shown.
#[derive(Clone, Debug, PartialEq)]
pub struct Measure {
    /// What the number is of.
    pub kind: MeasureKind,
    /// Which way is better.
    pub direction: Direction,
    /// The unit it is typed and shown in.
    pub unit: Unit,
    /// Decimals shown in that unit.
    pub decimals: usize,
    /// Outside this, in SI units, nothing is ever accepted.
    pub hard_si: Span<f64>,
    /// Outside this, in SI units, a value is asked about.
    pub usual_si: Span<f64>,
}

impl Measure {
    /// A value in the measure's own unit.
    pub fn from_si(&self, value_si: f64) -> f64 {
        value_si / self.unit.in_si()
    }

    /// A value typed in the measure's own unit, in SI.
    pub fn to_si(&self, value: f64) -> f64 {
        value * self.unit.in_si()
    }

    /// The number alone, in the measure's unit and decimals: "38.5".
    pub fn number(&self, value_si: f64) -> String {
        let text = format!("{:.*}", self.decimals, self.from_si(value_si));
        // A small negative rounds to "-0.0", which nobody means.
        match text.strip_prefix('-') {
            Some(rest) if rest.bytes().all(|b| b == b'0' || b == b'.') => rest.to_owned(),
            _ => text,
        }
    }

    /// The number with its unit: "38.5 cm".
    pub fn with_unit(&self, value_si: f64) -> String {
        format!("{} {}", self.number(value_si), self.unit.symbol()).trim_end().to_owned()
    }

    /// Whether `one` is better than `other`.
    pub fn is_better(&self, one: f64, other: f64) -> bool {
        match self.direction {
            Direction::HigherIsBetter => one > other,
            Direction::LowerIsBetter => one < other,
        }
    }

    /// How much worse than the best, as a fraction of the best; negative when better.
    pub fn drop_from_best(&self, best_si: f64, value_si: f64) -> f64 {
        match self.direction {
            Direction::HigherIsBetter => (best_si - value_si) / best_si,
            Direction::LowerIsBetter => (value_si - best_si) / best_si,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const JUMP: Measure = Measure {
        kind: MeasureKind::JumpHeight,
        direction: Direction::HigherIsBetter,
        unit: Unit::Centimetre,
        decimals: 1,
        hard_si: Span { low: 0.05, high: 0.90 },
        usual_si: Span { low: 0.15, high: 0.65 },
    };

    #[test]
    fn shown_in_its_own_unit_and_decimals() {
        assert_eq!(JUMP.with_unit(0.385), "38.5 cm");
        assert_eq!(JUMP.number(-0.000_1), "0.0");
        let sprint = Measure { unit: Unit::Second, decimals: 2, ..JUMP };
        assert_eq!(sprint.with_unit(4.218), "4.22 s");
    }

    #[test]
    fn a_drop_counts_the_way_that_is_worse() {
        // 40.1 after 44.2: a fall of 4.1 in 44.2.
        assert!((JUMP.drop_from_best(0.442, 0.401) - 4.1 / 44.2).abs() < 1e-12);
        let contact = Measure { direction: Direction::LowerIsBetter, ..JUMP };
        assert!((contact.drop_from_best(0.20, 0.25) - 0.25).abs() < 1e-12);
        assert!(contact.is_better(0.20, 0.25) && JUMP.is_better(0.25, 0.20));
    }

    #[test]
    fn every_unit_is_named_by_each_of_its_spellings_and_by_no_other_unit() {
        for unit in Unit::ALL {
            for name in unit.spellings().iter().filter(|name| !name.is_empty()) {
                assert_eq!(Unit::named(name), Some(*unit), "{name}");
            }
        }
        assert_eq!(Unit::named("furlong"), None);
        assert_eq!(Unit::named(""), None);
    }

    #[test]
    fn units_convert_by_their_definitions() {
        // NIST SP 811 (2008), appendix B: km/h to m/s 2.777 778 E-01, lb to kg 4.535 924 E-01,
        // kgf to N 9.806 65, degree to radian 1.745 329 E-02.
        for (unit, factor) in [
            (Unit::KilometrePerHour, 0.277_777_8),
            (Unit::Pound, 0.453_592_4),
            (Unit::KilogramForce, 9.806_65),
            (Unit::Degree, 0.017_453_29),
        ] {
            assert!((unit.in_si() - factor).abs() < 5e-8, "{unit:?}");
        }
    }
}
