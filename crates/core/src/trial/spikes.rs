//! Single samples that no body and no plate can have made.

use super::recording::Recording;
use crate::note::Note;
use std::ops::Range;

/// Samples looked at together.
const STRETCH: usize = 64;

/// How a spike is told from an impact. Engineering choices.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rules {
    /// A spike stands out from both neighbours by more than this, newtons. One this high, left in
    /// for a step of 1 ms, is 0.2 N s: 0.6 mm of a jump of 0.25 m by 75 kg.
    pub height_n: f64,
    /// And by this many times what the neighbours differ from theirs. On the round top of an
    /// impact the outer steps are the larger ones, so the ratio is under one.
    pub ratio: f64,
    /// Under this rate an impact may itself be a single sample, and nothing is bridged.
    pub least_rate_hz: f64,
}

impl Default for Rules {
    fn default() -> Self {
        Self { height_n: 200.0, ratio: 5.0, least_rate_hz: 500.0 }
    }
}

/// Bridges spikes by the mean of their neighbours, as a missing sample is bridged, and says so.
pub(super) fn bridge(recording: &mut Recording, rules: &Rules) {
    if recording.rate_hz < rules.least_rate_hz {
        return;
    }
    let found = find(&recording.total.values, rules);
    let Some(largest_n) = found.iter().map(|&(_, height)| height).max_by(f64::total_cmp) else {
        return;
    };
    for &(sample, _) in &found {
        level(&mut recording.total.values, sample);
        if let Some(sides) = &mut recording.sides {
            level(&mut sides.left_n, sample);
            level(&mut sides.right_n, sample);
        }
    }
    recording.notes.push(Note::new(
        "spike-bridged",
        format!(
            "{} single samples stand out by up to {largest_n:.0} N and were bridged; look at the \
             cable.",
            found.len()
        ),
    ));
}

fn level(values: &mut [f64], sample: usize) {
    values[sample] = f64::midpoint(values[sample - 1], values[sample + 1]);
}

/// Samples that stand out, and by how much.
fn find(values: &[f64], rules: &Rules) -> Vec<(usize, f64)> {
    let height = |sample: usize| {
        let (before, after) =
            (values[sample] - values[sample - 1], values[sample] - values[sample + 1]);
        if before * after > 0.0 { before.abs().min(after.abs()) } else { 0.0 }
    };
    let outer = |sample: usize| {
        let before = sample.checked_sub(2).map_or(0.0, |far| values[far] - values[sample - 1]);
        let after = values.get(sample + 2).map_or(0.0, |far| far - values[sample + 1]);
        before.abs().max(after.abs())
    };
    // A stretch is asked as a whole: one sample after the other would each be a question.
    let last = values.len().saturating_sub(1);
    let jumps = |samples: &Range<usize>| {
        let steps = values[samples.start - 1..samples.end].windows(2);
        steps.fold(false, |any, pair| any | ((pair[1] - pair[0]).abs() > rules.height_n))
    };
    (1..last)
        .step_by(STRETCH)
        .map(|first| first..(first + STRETCH).min(last))
        .filter(jumps)
        .flatten()
        .map(|sample| (sample, height(sample)))
        .filter(|&(sample, height)| height > rules.height_n && height > rules.ratio * outer(sample))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_spike_stands_out_and_an_impact_does_not() {
        // The sharpest impact that is sampled at all: a half-sine of 10 ms and 6 kN at 1000 Hz.
        let impact: Vec<f64> = (0..60)
            .map(|i| f64::from(i - 20))
            .map(|ms| if (0.0..10.0).contains(&ms) { (ms * 0.314_16).sin() * 6000.0 } else { 0.0 })
            .collect();
        assert_eq!(find(&impact, &Rules::default()), vec![]);
        let mut spiked = impact;
        spiked[50] = 900.0;
        spiked[5] = -1e5;
        assert_eq!(find(&spiked, &Rules::default()), vec![(5, 1e5), (50, 900.0)]);
    }

    #[test]
    fn too_short_a_signal_has_no_spikes() {
        for count in 0..3 {
            assert_eq!(find(&vec![1e6; count], &Rules::default()), vec![]);
        }
    }

    #[test]
    fn a_spike_is_found_wherever_it_stands_between_the_ends() {
        for sample in 1..3 * STRETCH {
            let mut values = vec![700.0; 3 * STRETCH + 1];
            values[sample] = 1000.0;
            assert_eq!(find(&values, &Rules::default()), vec![(sample, 300.0)]);
        }
    }
}
