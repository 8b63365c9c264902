//! Areas by the trapezoid rule, on the real time steps.
//!
//! The rule is exact for signals made of straight lines between samples; for a smooth signal its
//! error over a stretch `T` is at most `T · step² · max|x''| / 12` (Davis & Rabinowitz, Methods of
//! Numerical Integration, 2nd ed., 1984, section 2.1).

use super::{Moment, Sampling};

/// Running area under `integrand(index)` for samples `from..to`, zero at `from`.
///
/// The result has one number a sample of the range.
pub fn cumulative(
    sampling: &Sampling,
    from: usize,
    to: usize,
    integrand: impl Fn(usize) -> f64,
) -> Vec<f64> {
    let mut area = 0.0;
    let mut areas = Vec::with_capacity(to.saturating_sub(from));
    if from >= to {
        return areas;
    }
    areas.push(area);
    let mut last = integrand(from);
    match sampling {
        Sampling::Rate(hz) => {
            let half_step = 0.5 / hz;
            for index in from + 1..to {
                let next = integrand(index);
                area += half_step * (last + next);
                areas.push(area);
                last = next;
            }
        }
        Sampling::Stamps(stamps) => {
            for index in from + 1..to {
                let next = integrand(index);
                area += 0.5 * (stamps[index] - stamps[index - 1]) * (last + next);
                areas.push(area);
                last = next;
            }
        }
    }
    areas
}

/// Running area under `integrand(index)` for samples `from..to`, begun at `at_start`, and the running
/// area under that one, zero at `from`. The same sums as twice [`cumulative`], side by side.
pub fn cumulative_twice(
    sampling: &Sampling,
    from: usize,
    to: usize,
    at_start: f64,
    integrand: impl Fn(usize) -> f64,
) -> (Vec<f64>, Vec<f64>) {
    if from >= to {
        return (Vec::new(), Vec::new());
    }
    let (mut area, mut second) = (0.0, 0.0);
    let (mut last, mut last_area) = (integrand(from), at_start);
    let mut step = |index: usize, half_step_s: f64| {
        let next = integrand(index);
        area += half_step_s * (last + next);
        last = next;
        let this_area = area + at_start;
        second += half_step_s * (last_area + this_area);
        last_area = this_area;
        (this_area, second)
    };
    let first = std::iter::once((at_start, 0.0));
    let others = from + 1..to;
    match sampling {
        Sampling::Rate(hz) => {
            let half_step_s = 0.5 / hz;
            first.chain(others.map(|index| step(index, half_step_s))).unzip()
        }
        Sampling::Stamps(stamps) => {
            let half_step_s = |index: usize| 0.5 * (stamps[index] - stamps[index - 1]);
            first.chain(others.map(|index| step(index, half_step_s(index)))).unzip()
        }
    }
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
            let inside: f64 = (first..=last).map(&at_sample).sum();
            (inside - 0.5 * (at_sample(first) + at_sample(last))) / hz
        }
        Sampling::Stamps(stamps) => (first..last)
            .map(|i| 0.5 * (stamps[i + 1] - stamps[i]) * (at_sample(i) + at_sample(i + 1)))
            .sum(),
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
        let running = cumulative(&sampling, 0, 5, |i| stamps[i]);
        assert!((running[4] - 0.5).abs() < 1e-15);
        let (from, to) = (Moment { before: 0, fraction: 0.5 }, Moment { before: 3, fraction: 0.5 });
        let area = between(&sampling, from, to, |m| m.of(&stamps), |i| stamps[i]);
        assert!((area - (0.7_f64.powi(2) - 0.05_f64.powi(2)) / 2.0).abs() < 1e-15);
    }

    #[test]
    fn side_by_side_the_sums_are_those_of_one_after_the_other() {
        let stamps: Vec<f64> =
            (0..500).map(|i| f64::from(i) * 0.001 + f64::from(i % 7) * 1e-5).collect();
        let wave = |i: usize| (i as f64 * 0.05).sin() * 30.0;
        for sampling in [Sampling::Rate(1000.0), Sampling::stamps(stamps)] {
            let mut once = cumulative(&sampling, 20, 480, wave);
            once.iter_mut().for_each(|area| *area += 0.3);
            let twice = cumulative(&sampling, 20, 480, |i| once[i - 20]);
            assert_eq!(cumulative_twice(&sampling, 20, 480, 0.3, wave), (once, twice));
        }
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
