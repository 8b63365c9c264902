//! Areas by the trapezoid rule, on the real time steps.
//!
//! The rule is exact for signals made of straight lines between samples; for a smooth signal its
//! error over a stretch `T` is at most `T · step² · max|x''| / 12` (Davis & Rabinowitz, Methods of
//! Numerical Integration, 2nd ed., 1984, section 2.1).

use super::{Moment, Sampling, sums};

/// Running area under `values`, of which the first stands at sample `from`: zero there, and one
/// number a value.
pub fn cumulative(sampling: &Sampling, from: usize, values: &[f64]) -> Vec<f64> {
    if values.is_empty() {
        return Vec::new();
    }
    let both_ends = values.windows(2).map(|pair| pair[0] + pair[1]);
    match sampling {
        Sampling::Rate(hz) => {
            let half_step_s = 0.5 / hz;
            sums::running(both_ends.map(|both| half_step_s * both))
        }
        Sampling::Stamps(stamps) => {
            let steps_s = stamps[from..].windows(2).map(|pair| pair[1] - pair[0]);
            sums::running(both_ends.zip(steps_s).map(|(both, step_s)| 0.5 * step_s * both))
        }
    }
}

/// Area under `values` between two instants.
pub fn under(sampling: &Sampling, values: &[f64], from: Moment, to: Moment) -> f64 {
    between(sampling, from, to, |moment| moment.of(values), |sample| values[sample])
}

/// Area under a signal between two instants: whole steps, and the part steps at both ends.
///
/// `at_moment` and `at_sample` give the integrand at an instant and at a sample, so products of
/// signals (force times velocity) need no array of their own.
pub fn between(
    sampling: &Sampling,
    from: Moment,
    to: Moment,
    at_moment: impl Fn(Moment) -> f64,
    at_sample: impl Fn(usize) -> f64,
) -> f64 {
    if to <= from {
        return 0.0;
    }
    let (first, last) = (from.after(), to.before);
    let (start_s, end_s) = (from.time_s(sampling), to.time_s(sampling));
    if first > last {
        return 0.5 * (at_moment(from) + at_moment(to)) * (end_s - start_s);
    }
    let head = 0.5 * (at_moment(from) + at_sample(first)) * (sampling.time_s(first) - start_s);
    let tail = 0.5 * (at_sample(last) + at_moment(to)) * (end_s - sampling.time_s(last));
    head + whole_steps(sampling, first, last, at_sample) + tail
}

fn whole_steps(
    sampling: &Sampling,
    first: usize,
    last: usize,
    at_sample: impl Fn(usize) -> f64,
) -> f64 {
    match sampling {
        Sampling::Rate(hz) => {
            let inside = sums::total(first..last + 1, &at_sample);
            (inside - 0.5 * (at_sample(first) + at_sample(last))) / hz
        }
        Sampling::Stamps(stamps) => sums::total(first..last, |i| {
            0.5 * (stamps[i + 1] - stamps[i]) * (at_sample(i) + at_sample(i + 1))
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_straight_line_is_integrated_exactly_on_even_and_uneven_steps() {
        // The integral of t from a to b is (b² - a²)/2; the trapezoid rule is exact on lines.
        let stamps = vec![0.0, 0.1, 0.35, 0.4, 1.0];
        let sampling = Sampling::stamps(stamps.clone());
        let running = cumulative(&sampling, 0, &stamps);
        assert!((running[4] - 0.5).abs() < 1e-15);
        let (from, to) = (Moment { before: 0, fraction: 0.5 }, Moment { before: 3, fraction: 0.5 });
        let area = between(&sampling, from, to, |m| m.of(&stamps), |i| stamps[i]);
        assert!((area - (0.7_f64.powi(2) - 0.05_f64.powi(2)) / 2.0).abs() < 1e-15);
    }

    #[test]
    fn part_steps_within_one_step_are_counted_once() {
        let line = [0.0, 2.0];
        let (from, to) =
            (Moment { before: 0, fraction: 0.25 }, Moment { before: 0, fraction: 0.75 });
        let area = between(&Sampling::Rate(1.0), from, to, |m| m.of(&line), |i| line[i]);
        assert!((area - 0.5).abs() < 1e-15);
    }
}
