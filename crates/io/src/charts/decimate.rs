//! A hundred thousand samples on a few hundred pixels: each pixel keeps its lowest and highest.

/// Cuts samples `(time, value)` in order of time into unbroken runs, and thins each so that a
/// bucket of time keeps its first, lowest, highest and last sample, in order. A value that is not
/// finite ends a run: a gap stays a gap.
pub(super) fn decimate(
    samples: impl Iterator<Item = (f64, f64)>,
    start: f64,
    bucket: f64,
) -> Vec<Vec<(f64, f64)>> {
    let mut runs = Vec::new();
    let mut run = Vec::new();
    let mut open: Option<Bucket> = None;
    for sample in samples {
        let usable = sample.0.is_finite() && sample.1.is_finite();
        let index = ((sample.0 - start) / bucket).floor();
        match &mut open {
            Some(bucket) if usable && bucket.index == index => bucket.take(sample),
            _ => {
                run.extend(open.take().into_iter().flat_map(Bucket::kept));
                if usable {
                    open = Some(Bucket::new(index, sample));
                } else if !run.is_empty() {
                    runs.push(std::mem::take(&mut run));
                }
            }
        }
    }
    run.extend(open.into_iter().flat_map(Bucket::kept));
    if !run.is_empty() {
        runs.push(run);
    }
    runs
}

struct Bucket {
    index: f64,
    first: (f64, f64),
    lowest: (f64, f64),
    highest: (f64, f64),
    last: (f64, f64),
}

impl Bucket {
    const fn new(index: f64, sample: (f64, f64)) -> Self {
        Self { index, first: sample, lowest: sample, highest: sample, last: sample }
    }
    fn take(&mut self, sample: (f64, f64)) {
        if sample.1 < self.lowest.1 {
            self.lowest = sample;
        }
        if sample.1 > self.highest.1 {
            self.highest = sample;
        }
        self.last = sample;
    }
    fn kept(self) -> Vec<(f64, f64)> {
        let mut kept = vec![self.first, self.lowest, self.highest, self.last];
        kept.sort_by(|one, other| one.0.total_cmp(&other.0));
        kept.dedup();
        kept
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn timed(values: &[f64]) -> impl Iterator<Item = (f64, f64)> {
        values.iter().enumerate().map(|(index, value)| (index as f64, *value))
    }

    #[test]
    fn a_gap_parts_the_line() {
        let runs = decimate(timed(&[1.0, 2.0, f64::NAN, f64::NAN, 3.0]), 0.0, 100.0);
        assert_eq!(runs, [vec![(0.0, 1.0), (1.0, 2.0)], vec![(4.0, 3.0)]]);
        assert!(decimate(timed(&[f64::NAN]), 0.0, 1.0).is_empty());
    }

    proptest! {
        #[test]
        fn every_bucket_keeps_its_lowest_and_highest(
            values in prop::collection::vec(-1e3..1e3f64, 1..2000),
            per_bucket in 1usize..200,
        ) {
            let runs = decimate(timed(&values), 0.0, per_bucket as f64);
            prop_assert_eq!(runs.len(), 1);
            let kept = &runs[0];
            prop_assert!(kept.windows(2).all(|pair| pair[0].0 < pair[1].0));
            prop_assert!(kept.len() <= 4 * values.len().div_ceil(per_bucket));
            for (index, bucket) in values.chunks(per_bucket).enumerate() {
                let over = (index * per_bucket) as f64..((index + 1) * per_bucket) as f64;
                let inside = || kept.iter().filter(|sample| over.contains(&sample.0)).map(|sample| sample.1);
                prop_assert_eq!(inside().fold(f64::MAX, f64::min), bucket.iter().copied().fold(f64::MAX, f64::min));
                prop_assert_eq!(inside().fold(f64::MIN, f64::max), bucket.iter().copied().fold(f64::MIN, f64::max));
            }
        }
    }
}
