//! Where a signal passes a level, and whether it stays there.

use super::{Moment, Sampling};
use std::ops::Range;

/// First sample in `range` from which `holds` is true for `hold` samples in a row, all inside the
/// range.
pub fn first_held(
    range: Range<usize>,
    hold: usize,
    holds: impl Fn(usize) -> bool,
) -> Option<usize> {
    let mut run = 0;
    for index in range {
        run = if holds(index) { run + 1 } else { 0 };
        if run >= hold.max(1) {
            return Some(index + 1 - run);
        }
    }
    None
}

/// Last sample in `range` up to which `holds` is true for `hold` samples in a row.
pub fn last_held(range: Range<usize>, hold: usize, holds: impl Fn(usize) -> bool) -> Option<usize> {
    let mut run = 0;
    for index in range.rev() {
        run = if holds(index) { run + 1 } else { 0 };
        if run >= hold.max(1) {
            return Some(index + run - 1);
        }
    }
    None
}

/// First instant in `range` at which the signal comes up through `level`.
pub fn first_rise(values: &[f64], range: Range<usize>, level: f64) -> Option<Moment> {
    let above = range.clone().find(|&index| values[index] >= level)?;
    Some(if above == range.start {
        Moment::at(above)
    } else {
        Moment::crossing(values, above - 1, level)
    })
}

/// Longest stretches of samples for which `holds` is true, at least `shortest` samples each.
pub fn runs(count: usize, shortest: usize, holds: impl Fn(usize) -> bool) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    let mut index = 0;
    while index < count {
        if !holds(index) {
            index += 1;
            continue;
        }
        let start = index;
        while index < count && holds(index) {
            index += 1;
        }
        if index - start >= shortest {
            found.push(start..index);
        }
    }
    found
}

/// Parts of a step between which no difference is made.
const SAME_SAMPLE: f64 = 1e-6;

/// The instant at a time, or `None` outside the recording.
pub fn moment_at(sampling: &Sampling, count: usize, time_s: f64) -> Option<Moment> {
    let last = count.checked_sub(1)?;
    if time_s < sampling.time_s(0) || time_s > sampling.time_s(last) {
        return None;
    }
    match sampling {
        Sampling::Rate(hz) => {
            let position = time_s * hz;
            let before = position as usize;
            let fraction = position - before as f64;
            // A time that is a sample's own up to rounding is that sample.
            if !(SAME_SAMPLE..=1.0 - SAME_SAMPLE).contains(&fraction) {
                let nearest = if fraction < 0.5 { before } else { before + 1 };
                return Some(Moment::at(nearest.min(last)));
            }
            Some(Moment { before, fraction })
        }
        Sampling::Stamps(stamps) => {
            let after = stamps.partition_point(|&stamp| stamp <= time_s);
            if after > last {
                return Some(Moment::at(last));
            }
            Some(Moment::crossing(stamps, after - 1, time_s))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_spike_shorter_than_the_hold_is_passed_over() {
        let values = [0.0, 9.0, 0.0, 9.0, 9.0, 9.0, 0.0];
        assert_eq!(first_held(0..7, 2, |i| values[i] > 5.0), Some(3));
        assert_eq!(last_held(0..7, 2, |i| values[i] > 5.0), Some(5));
        assert_eq!(first_held(0..7, 4, |i| values[i] > 5.0), None);
    }

    #[test]
    fn runs_keep_only_long_stretches() {
        let values = [1, 0, 0, 0, 1, 0, 1, 0, 0];
        assert_eq!(runs(9, 2, |i| values[i] == 0), vec![1..4, 7..9]);
    }

    #[test]
    fn an_instant_is_found_on_either_clock() {
        let stamped = Sampling::stamps(vec![0.0, 0.1, 0.4]);
        assert_eq!(moment_at(&stamped, 3, 0.25).map(|m| m.before), Some(1));
        assert!((moment_at(&stamped, 3, 0.25).unwrap().fraction - 0.5).abs() < 1e-12);
        assert_eq!(moment_at(&stamped, 3, 0.4), Some(Moment::at(2)));
        assert_eq!(moment_at(&Sampling::Rate(10.0), 3, 0.2), Some(Moment::at(2)));
        assert_eq!(moment_at(&Sampling::Rate(10.0), 3, 0.3), None);
    }
}
