//! Stretches of a signal: mean, spread, slope, and the quietest one.

use super::Moment;
use super::sums::{self, BLOCK, RunningSum};
use std::ops::Range;

/// Mean and sample standard deviation (divisor n - 1) in two passes. `None` below two samples.
pub fn mean_and_sd(values: &[f64]) -> Option<(f64, f64)> {
    if values.len() < 2 {
        return None;
    }
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    let squares: f64 = values.iter().map(|value| (value - mean).powi(2)).sum();
    Some((mean, (squares / (count - 1.0)).sqrt()))
}

/// Smallest and largest of a stretch, infinite and the wrong way round when it is empty.
///
/// Several at a time: one after the other, each would wait for the comparison before it.
pub fn extremes(values: &[f64]) -> (f64, f64) {
    const LANES: usize = 8;
    let smaller = |one: f64, other: f64| if other < one { other } else { one };
    let larger = |one: f64, other: f64| if other > one { other } else { one };
    let (chunks, rest) = values.as_chunks::<LANES>();
    let (mut low, mut high) = ([f64::INFINITY; LANES], [f64::NEG_INFINITY; LANES]);
    for chunk in chunks {
        for lane in 0..LANES {
            low[lane] = smaller(low[lane], chunk[lane]);
            high[lane] = larger(high[lane], chunk[lane]);
        }
    }
    (
        low.iter().chain(rest).copied().fold(f64::INFINITY, smaller),
        high.iter().chain(rest).copied().fold(f64::NEG_INFINITY, larger),
    )
}

/// The largest value between two instants and where it is; `None` when no sample lies between.
pub fn peak(values: &[f64], from: Moment, to: Moment) -> Option<(usize, f64)> {
    best(values, from.after()..to.before + 1, |candidate, best| candidate > best)
}

/// The smallest value between two instants and where it is.
pub fn trough(values: &[f64], from: Moment, to: Moment) -> Option<(usize, f64)> {
    best(values, from.after()..to.before + 1, |candidate, best| candidate < best)
}

fn best(
    values: &[f64],
    range: Range<usize>,
    better: impl Fn(f64, f64) -> bool,
) -> Option<(usize, f64)> {
    let end = range.end.min(values.len());
    let mut indices = range.start..end;
    let first = indices.next()?;
    Some(indices.fold((first, values[first]), |best, index| {
        if better(values[index], best.1) { (index, values[index]) } else { best }
    }))
}

/// Median of a stretch; `None` when empty.
pub fn median(values: &[f64]) -> Option<f64> {
    let mut sorted = values.to_vec();
    let middle = sorted.len() / 2;
    if sorted.is_empty() {
        return None;
    }
    Some(*sorted.select_nth_unstable_by(middle, f64::total_cmp).1)
}

/// Least-squares slope of the signal a sample. `None` below two samples.
pub fn slope_per_sample(values: &[f64]) -> Option<f64> {
    if values.len() < 2 {
        return None;
    }
    let count = values.len() as f64;
    let centre = (count - 1.0) / 2.0;
    let lever: f64 = values.iter().enumerate().map(|(i, v)| (i as f64 - centre) * v).sum();
    Some(lever * 12.0 / (count * (count * count - 1.0)))
}

/// Standard error of the mean of a signal whose neighbouring samples are alike: the spread of
/// the means of `batches` equal stretches, over the root of their number (method of batch means:
/// Law, Simulation Modeling and Analysis, 5th ed., 2015, section 9.5.3).
///
/// `None` when a batch would hold no sample or there are fewer than two batches.
pub fn standard_error_of_mean(values: &[f64], batches: usize) -> Option<f64> {
    let size = values.len().checked_div(batches).filter(|&size| size > 0)?;
    let means: Vec<f64> =
        values.chunks_exact(size).map(|batch| batch.iter().sum::<f64>() / size as f64).collect();
    mean_and_sd(&means).map(|(_, sd)| sd / (means.len() as f64).sqrt())
}

/// How windows are compared in [`quietest`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quietest {
    /// Samples in a window, two or more.
    pub width: usize,
    /// Means a window may have.
    pub mean_from: f64,
    /// Means a window may have, upper end.
    pub mean_to: f64,
    /// Windows within this factor of the smallest spread count as equally quiet.
    pub tie_factor: f64,
    /// Or within this much of it: above the rounding of running sums, below what a sensor
    /// resolves.
    pub tie_margin: f64,
}

/// The window of least standard deviation inside `range`; of equally quiet ones the latest.
///
/// Running sums about a value of the signal: one pass whatever the width. The spread of the
/// window found should be computed anew by [`mean_and_sd`] where its digits matter.
pub fn quietest(values: &[f64], range: Range<usize>, rule: &Quietest) -> Option<Range<usize>> {
    let width = rule.width;
    if width < 2 || range.end > values.len() || range.len() < width {
        return None;
    }
    let records = falling_records(&values[range.clone()], rule);
    let spread = |scatter: f64| (scatter.max(0.0) / (width as f64 - 1.0)).sqrt();
    let &(_, least) = records.last()?;
    let bound = spread(least) * rule.tie_factor + rule.tie_margin;
    let latest = records.partition_point(|&(_, scatter)| spread(scatter) > bound);
    let start = range.start + records.get(latest)?.0;
    Some(start..start + width)
}

/// Windows quieter than all that were looked at before them: where each starts, and the sum of
/// squares about its mean.
struct FallingRecords {
    found: Vec<(usize, f64)>,
    least: f64,
}

impl FallingRecords {
    fn look_at(&mut self, start: usize, scatter: f64) {
        if scatter < self.least {
            self.least = scatter;
            self.found.push((start, scatter));
        }
    }
}

/// Going from the latest window to the earliest, every window quieter than all before it. The
/// latest window within a bound of the minimum is always one of these.
fn falling_records(values: &[f64], rule: &Quietest) -> Vec<(usize, f64)> {
    let mut start = values.len() - rule.width;
    let mut window = SlidingWindow::over(&values[start..], rule);
    let mut records = FallingRecords { found: Vec::new(), least: f64::INFINITY };
    records.look_at(start, window.scatter(window.sum.0, window.squares.0));
    let (first_entering, entering) = values[..start].as_rchunks();
    let (first_leaving, leaving) = values[rule.width..].as_rchunks();
    for (entering, leaving) in entering.iter().zip(leaving).rev() {
        let scatters = window.step_back_by_block(entering, leaving);
        // Few blocks hold a record, and a block is asked as a whole.
        if scatters.iter().fold(false, |any, &scatter| any | (scatter < records.least)) {
            for (back, &scatter) in scatters.iter().enumerate() {
                records.look_at(start - 1 - back, scatter);
            }
        }
        start -= BLOCK;
    }
    for (&entering, &leaving) in first_entering.iter().zip(first_leaving).rev() {
        start -= 1;
        records.look_at(start, window.step_back(entering, leaving));
    }
    records.found
}

/// Running sums over a window that moves backward, about a value of the signal.
struct SlidingWindow {
    centre: f64,
    /// One over the number of values in it, divided once for all windows.
    share: f64,
    /// Sums a window may have.
    sum_from: f64,
    sum_to: f64,
    sum: RunningSum,
    squares: RunningSum,
}

impl SlidingWindow {
    fn over(values: &[f64], rule: &Quietest) -> Self {
        let (count, centre) = (values.len() as f64, values[values.len() - 1]);
        let offset = |index: usize| values[index] - centre;
        Self {
            centre,
            share: 1.0 / count,
            sum_from: count * (rule.mean_from - centre),
            sum_to: count * (rule.mean_to - centre),
            sum: RunningSum(sums::total(0..values.len(), offset)),
            squares: RunningSum(sums::total(0..values.len(), |index| offset(index).powi(2))),
        }
    }

    /// Sum of squares about the mean of a window with these sums; infinite when its mean is none
    /// a window may have.
    fn scatter(&self, sum: f64, squares: f64) -> f64 {
        let allowed = (sum >= self.sum_from) & (sum <= self.sum_to);
        if allowed { squares - sum * sum * self.share } else { f64::INFINITY }
    }

    /// What a step to the window before adds to its sum and to its sum of squares.
    fn change(&self, entering: f64, leaving: f64) -> (f64, f64) {
        let (entering, leaving) = (entering - self.centre, leaving - self.centre);
        (entering - leaving, entering * entering - leaving * leaving)
    }

    /// The scatter of the window before.
    fn step_back(&mut self, entering: f64, leaving: f64) -> f64 {
        let (of_sum, of_squares) = self.change(entering, leaving);
        let (sum, squares) = (self.sum.add(of_sum), self.squares.add(of_squares));
        self.scatter(sum, squares)
    }

    /// The scatters of as many windows before, the latest first.
    fn step_back_by_block(
        &mut self,
        entering: &[f64; BLOCK],
        leaving: &[f64; BLOCK],
    ) -> [f64; BLOCK] {
        let (mut of_sum, mut of_squares) = ([0.0; BLOCK], [0.0; BLOCK]);
        for place in 0..BLOCK {
            let back = BLOCK - 1 - place;
            (of_sum[place], of_squares[place]) = self.change(entering[back], leaving[back]);
        }
        let (sums, squares) = (self.sum.add_block(of_sum), self.squares.add_block(of_squares));
        let mut scatters = [0.0; BLOCK];
        for place in 0..BLOCK {
            scatters[place] = self.scatter(sums[place], squares[place]);
        }
        scatters
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const RULE: Quietest =
        Quietest { width: 4, mean_from: 0.0, mean_to: 100.0, tie_factor: 1.01, tie_margin: 1e-3 };

    #[test]
    fn mean_spread_and_slope_are_those_of_the_textbook() {
        // NIST StRD univariate NumAcc1 holds 10000001, 10000003, 10000002: mean 10000002, SD 1.
        assert_eq!(
            mean_and_sd(&[10_000_001.0, 10_000_003.0, 10_000_002.0]),
            Some((10_000_002.0, 1.0))
        );
        let line: Vec<f64> = (0..50).map(|i| 3.0 - 0.25 * f64::from(i)).collect();
        assert!((slope_per_sample(&line).unwrap() + 0.25).abs() < 1e-14);
        assert_eq!(mean_and_sd(&[1.0]), None);
    }

    #[test]
    fn extremes_are_found_wherever_they_stand() {
        for count in 1..40 {
            for place in 0..count {
                let mut values = vec![1.0; count];
                values[place] = -3.0;
                assert_eq!(extremes(&values), (-3.0, if count > 1 { 1.0 } else { -3.0 }));
                values[place] = 7.0;
                assert_eq!(extremes(&values).1, 7.0);
            }
        }
        assert_eq!(extremes(&[]), (f64::INFINITY, f64::NEG_INFINITY));
    }

    #[test]
    fn the_quietest_window_is_found_and_of_equals_the_latest() {
        let values = [9.0, 1.0, 5.0, 5.0, 5.0, 5.0, 2.0, 5.0, 5.0, 5.0, 5.0, 9.0];
        assert_eq!(quietest(&values, 0..12, &RULE), Some(7..11));
        assert_eq!(quietest(&values, 0..10, &RULE), Some(2..6));
        assert_eq!(quietest(&values, 0..3, &RULE), None);
        assert_eq!(quietest(&values, 0..12, &Quietest { mean_from: 7.0, ..RULE }), None);
    }

    #[test]
    fn the_single_pass_agrees_with_computing_every_window() {
        // Lengths of every remainder in a block.
        for count in (290..310).chain(40..60) {
            let values: Vec<f64> =
                (0..count).map(|i| 700.0 + 9.0 * ((i * i) % 37) as f64 + (i % 7) as f64).collect();
            let rule = Quietest { width: 40, mean_to: 1e6, ..RULE };
            let spread = |start: usize| mean_and_sd(&values[start..start + 40]).unwrap().1;
            let least = (0..=count - 40).map(spread).fold(f64::INFINITY, f64::min);
            let latest =
                (0..=count - 40).rev().find(|&s| spread(s) <= 1.01 * least + 1e-3).unwrap();
            assert_eq!(quietest(&values, 0..count, &rule), Some(latest..latest + 40));
        }
    }

    #[test]
    fn alike_neighbours_do_not_shrink_the_standard_error() {
        // Each value repeated ten times: ten values' worth of information, not a hundred.
        let fresh = [3.0, 1.0, 4.0, 1.0, 5.0, 9.0, 2.0, 6.0, 5.0, 3.0];
        let repeated: Vec<f64> = fresh.iter().flat_map(|&v| [v; 10]).collect();
        let (_, sd) = mean_and_sd(&fresh).unwrap();
        let error = standard_error_of_mean(&repeated, 10).unwrap();
        assert!((error - sd / 10.0_f64.sqrt()).abs() < 1e-12);
    }
}
