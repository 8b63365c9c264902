//! A signal in pieces, each a formula on its own clock.

type Piece = Box<dyn Fn(f64) -> f64>;

/// Formulas one after another.
#[derive(Default)]
pub struct Shape {
    pieces: Vec<(f64, Piece)>,
}

impl Shape {
    /// Nothing yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Then, for a time, a formula of the seconds since its start.
    #[must_use]
    pub fn then(mut self, duration_s: f64, formula: impl Fn(f64) -> f64 + 'static) -> Self {
        self.pieces.push((duration_s, Box::new(formula)));
        self
    }

    /// Then, for a time, a constant.
    #[must_use]
    pub fn hold(self, duration_s: f64, value: f64) -> Self {
        self.then(duration_s, move |_| value)
    }

    /// How long the whole lasts, seconds.
    pub fn duration_s(&self) -> f64 {
        self.pieces.iter().map(|(duration_s, _)| duration_s).sum()
    }

    /// Samples at a rate, from time zero to the end. A sample that falls on a jump is the mean of
    /// both sides, which makes the trapezoid rule exact there.
    pub fn sample(&self, rate_hz: f64) -> Vec<f64> {
        let count = (self.duration_s() * rate_hz + 1e-6).floor() as usize + 1;
        (0..count).map(|index| self.at(index as f64 / rate_hz)).collect()
    }

    /// The value at a time.
    pub fn at(&self, time_s: f64) -> f64 {
        // Sums of decimal durations miss their own borders by a rounding.
        const BORDER_S: f64 = 1e-9;
        let mut start_s = 0.0;
        for (index, (duration_s, formula)) in self.pieces.iter().enumerate() {
            let end_s = start_s + duration_s;
            if time_s < end_s - BORDER_S {
                return formula(time_s - start_s);
            }
            if time_s <= end_s + BORDER_S {
                let here = formula(*duration_s);
                return self
                    .pieces
                    .get(index + 1)
                    .map_or(here, |(_, next)| (here + next(0.0)) / 2.0);
            }
            start_s = end_s;
        }
        self.pieces.last().map_or(0.0, |(duration_s, formula)| formula(*duration_s))
    }
}
