//! Why no trial can be read from a capture.

/// A capture from which no number can be trusted.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum TrialError {
    /// No plate, or no sample.
    #[error("the recording holds no samples; choose a file with a force or position column")]
    Empty,
    /// Fewer instants than it takes to tell a rate.
    #[error("the recording holds one instant; export the whole trial")]
    OneInstant,
    /// A sample that is not a number.
    #[error("sample {sample} of {channel} is not a finite number; repair or cut the recording")]
    NotFinite {
        /// Name of the plate, or `time`, or `position`.
        channel: String,
        /// Index from zero.
        sample: usize,
    },
    /// Plates, or plate and clock, of different lengths.
    #[error(
        "{channel} has {found} samples where {expected} were expected; record all channels on one \
         clock"
    )]
    UnequalLengths {
        /// The channel that differs.
        channel: String,
        /// Samples in it.
        found: usize,
        /// Samples in the others.
        expected: usize,
    },
    /// A sampling rate that cannot be.
    #[error("a sampling rate of {hz} Hz cannot be used; state the samples a second as recorded")]
    ImpossibleRate {
        /// As stated.
        hz: f64,
    },
    /// Time runs backward.
    #[error("time runs backward at sample {sample} ({from_s} s, then {to_s} s)")]
    TimeRunsBackward {
        /// The later sample.
        sample: usize,
        /// Its predecessor's time.
        from_s: f64,
        /// Its own time.
        to_s: f64,
    },
    /// Sampled too slowly for anything.
    #[error("{hz} samples a second are too few; at least {least_hz} are needed")]
    TooSlow {
        /// Rate found.
        hz: f64,
        /// Rate needed.
        least_hz: f64,
    },
    /// A recording that ends before anything could happen.
    #[error("the recording lasts {duration_s} s; at least {least_s} s are needed")]
    TooShort {
        /// Length found.
        duration_s: f64,
        /// Length needed.
        least_s: f64,
    },
    /// Nobody stood on the plate, or the unit is wrong.
    #[error(
        "the force never reaches {least_n} N (largest {largest_n:.1}); look whether the column is \
         in newtons and whether someone stood on the plate"
    )]
    NeverLoaded {
        /// Largest sample.
        largest_n: f64,
        /// What a standing person reads at the least.
        least_n: f64,
    },
    /// More force than a person makes.
    #[error(
        "the force reaches {largest_n:.0} N, more than {most_n} N; look whether the column is in newtons"
    )]
    Overloaded {
        /// Largest sample.
        largest_n: f64,
        /// The most that is believed.
        most_n: f64,
    },
    /// No flight between two contacts.
    #[error(
        "no flight found: the force never stays under {threshold_n} N for {shortest_s} s between \
         two contacts"
    )]
    NoFlight {
        /// Level.
        threshold_n: f64,
        /// Duration.
        shortest_s: f64,
    },
    /// The plate was not empty before the drop.
    #[error("no landing from a box found: the plate must be empty for {shortest_s} s first")]
    NoDrop {
        /// Empty time needed.
        shortest_s: f64,
    },
    /// Too few hops for a series.
    #[error("{found} hops found; at least {least} are needed")]
    TooFewHops {
        /// Complete hops.
        found: usize,
        /// Needed.
        least: usize,
    },
    /// Nobody stood still.
    #[error("no quiet {window_s} s found before the effort; hold still before the signal")]
    NoBaseline {
        /// Window.
        window_s: f64,
    },
    /// Nothing happened after the baseline.
    #[error("no effort found: the force never stays {threshold_n:.1} N over the baseline")]
    NoOnset {
        /// Rise asked for.
        threshold_n: f64,
    },
    /// No rep in a bar recording.
    #[error(
        "no repetition found: no upward movement of at least {least_range_m} m faster than \
         {seed_m_s} m/s"
    )]
    NoReps {
        /// Least range.
        least_range_m: f64,
        /// Seed velocity.
        seed_m_s: f64,
    },
    /// An event put where there is no recording.
    #[error("{event} cannot be at {time_s:.3} s: the recording does not reach there")]
    EventOutside {
        /// Which.
        event: &'static str,
        /// Where it was put.
        time_s: f64,
    },
    /// A flight put where the plate bears somebody.
    #[error(
        "between take-off at {take_off_s:.3} s and landing at {landing_s:.3} s the plate bears \
         {mean_n:.0} N on average: nobody is in the air"
    )]
    NotInTheAir {
        /// Take-off.
        take_off_s: f64,
        /// Landing.
        landing_s: f64,
        /// Mean force between them.
        mean_n: f64,
    },
    /// Events in an order that cannot be.
    #[error("{first} at {first_s:.3} s must come before {second} at {second_s:.3} s")]
    EventsOutOfOrder {
        /// What comes first.
        first: &'static str,
        /// Its time.
        first_s: f64,
        /// What follows it.
        second: &'static str,
        /// Its time.
        second_s: f64,
    },
    /// Numbers that cannot be heights or times.
    #[error("{what} of {value} is outside {from} to {to}; check its unit")]
    Implausible {
        /// What was given.
        what: &'static str,
        /// As given, in SI.
        value: f64,
        /// Lower limit.
        from: f64,
        /// Upper limit.
        to: f64,
    },
}
