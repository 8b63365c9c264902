//! When the samples were taken.

/// The clock of a recording: a stated rate, or a stamp for every sample.
#[derive(Clone, Debug, PartialEq)]
pub enum Sampling {
    /// Samples a second, the first at time zero.
    Rate(f64),
    /// One time in seconds a sample, as recorded.
    Stamps(Vec<f64>),
}

impl Sampling {
    /// Time of sample `index`, in seconds.
    pub fn time_s(&self, index: usize) -> f64 {
        match self {
            Self::Rate(hz) => index as f64 / hz,
            Self::Stamps(stamps) => stamps[index],
        }
    }

    /// Time between sample `index` and the one after it, in seconds.
    pub fn step_s(&self, index: usize) -> f64 {
        match self {
            Self::Rate(hz) => 1.0 / hz,
            Self::Stamps(stamps) => stamps[index + 1] - stamps[index],
        }
    }

    /// Samples a second: as stated, or from the median step between stamps (a median, so that a
    /// gap does not change it). `None` when there are no two stamps to take a step from.
    pub fn rate_hz(&self) -> Option<f64> {
        match self {
            Self::Rate(hz) => Some(*hz),
            Self::Stamps(stamps) => median_step_s(stamps).map(|step| 1.0 / step),
        }
    }

    /// Whole samples in a stretch of time, rounded to the nearest and at least one.
    pub fn samples_in(&self, duration_s: f64) -> usize {
        self.rate_hz().map_or(1, |hz| (duration_s * hz).round().max(1.0) as usize)
    }
}

fn median_step_s(stamps: &[f64]) -> Option<f64> {
    let mut steps: Vec<f64> = stamps.windows(2).map(|pair| pair[1] - pair[0]).collect();
    if steps.is_empty() {
        return None;
    }
    let middle = steps.len() / 2;
    Some(*steps.select_nth_unstable_by(middle, f64::total_cmp).1)
}
