//! Long sums of which most additions need not wait for the one before.
//!
//! An addition takes a processor some four cycles, but several can be under way at once. Summed in
//! blocks, only one addition a block waits for the block before. Every number then passes through
//! fewer roundings than one after the other, so the bound on the error is smaller (Higham, Accuracy
//! and Stability of Numerical Algorithms, 2nd ed., 2002, section 4.2).

use std::ops::Range;

/// Numbers in a block.
pub const BLOCK: usize = 4;

/// What has been added up so far.
#[derive(Clone, Copy, Debug)]
pub struct RunningSum(pub f64);

impl RunningSum {
    /// Adds one number, and gives the sum.
    pub fn add(&mut self, term: f64) -> f64 {
        self.0 += term;
        self.0
    }

    /// Adds a block of numbers, and gives the sum after each.
    pub fn add_block(&mut self, terms: [f64; BLOCK]) -> [f64; BLOCK] {
        let mut within = terms;
        for place in 1..BLOCK {
            within[place] += within[place - 1];
        }
        let before = self.0;
        self.0 += within[BLOCK - 1];
        within.map(|sum| before + sum)
    }
}

/// Zero, and the sum after each term: one number more than there are terms.
pub fn running(terms: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut sums = Vec::with_capacity(terms.size_hint().0 + 1);
    sums.push(0.0);
    sums.extend(terms);
    let mut sum = RunningSum(0.0);
    let (blocks, rest) = sums[1..].as_chunks_mut();
    blocks.iter_mut().for_each(|block| *block = sum.add_block(*block));
    rest.iter_mut().for_each(|term| *term = sum.add(*term));
    sums
}

/// The sum of all terms of a range.
pub fn total(range: Range<usize>, term: impl Fn(usize) -> f64) -> f64 {
    let mut lanes = [0.0; BLOCK];
    let blocks_end = range.end - range.len() % BLOCK;
    for first in (range.start..blocks_end).step_by(BLOCK) {
        for (place, sum) in lanes.iter_mut().enumerate() {
            *sum += term(first + place);
        }
    }
    let rest = (blocks_end..range.end).map(term).sum::<f64>();
    lanes.iter().sum::<f64>() + rest
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whole multiples of 2^-20 under a thousand: thousands of them add up without any rounding.
    fn without_rounding(index: usize) -> f64 {
        let scrambled = (index as u32).wrapping_mul(2_654_435_761) >> 3;
        f64::from(scrambled) / f64::from(1 << 20) - 256.0
    }

    #[test]
    fn where_nothing_is_rounded_the_sums_are_those_of_one_after_the_other() {
        for (start, end) in [(0, 0), (3, 4), (1, 4), (2, 6), (7, 20), (0, 5003)] {
            let mut one_by_one = vec![0.0];
            for index in start..end {
                one_by_one.push(one_by_one[index - start] + without_rounding(index));
            }
            assert_eq!(running((start..end).map(without_rounding)), one_by_one);
            assert_eq!(total(start..end, without_rounding), one_by_one[end - start]);
        }
    }

    #[test]
    fn rounding_stays_within_the_bound_of_the_roundings_a_number_passes() {
        // Tenths, of which no double is exact, so that every addition rounds. Sum of i/10 for i up to
        // n is n(n + 1)/20. Each term is rounded once, and passes at most BLOCK additions within
        // its block and one a block after it, each off by half of EPSILON of a sum no larger than
        // the total, as all terms are positive.
        let count = 100_000;
        let tenths = |index: usize| (index + 1) as f64 / 10.0;
        let exact = |terms: usize| (terms * (terms + 1)) as f64 / 20.0;
        let bound = |terms: usize| {
            (1 + BLOCK + terms.div_ceil(BLOCK)) as f64 * 0.5 * f64::EPSILON * exact(terms)
        };
        for (terms, sum) in running((0..count).map(tenths)).into_iter().enumerate() {
            assert!((sum - exact(terms)).abs() <= bound(terms), "{terms} terms: {sum}");
        }
        assert!((total(0..count, tenths) - exact(count)).abs() <= bound(count));
    }
}
