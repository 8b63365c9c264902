//! When to begin the warm-up on a night whose order of bouts keeps changing.

use super::bout_facts::Rounds;
use crate::estimate::Interval;

/// Minutes of walking in, announcing and clearing the ring around each bout (common practice, no
/// source).
const AROUND_A_BOUT_MIN: f64 = 8.0;
/// A minute's rest between rounds, by the rules of boxing everywhere.
const REST_MIN: f64 = 1.0;

impl Rounds {
    /// Minutes from bell to bell over the whole distance.
    pub fn whole_distance_min(&self) -> f64 {
        let (count, minutes) = (f64::from(self.count), f64::from(self.minutes));
        count * minutes + (count - 1.0).max(0.0) * REST_MIN
    }
}

/// Minutes from now to the ring walk when `before` bouts come first: between every one of them
/// ending in its first minute and every one going the whole distance.
pub fn minutes_to_ring_walk(before: &[Rounds]) -> Interval<f64> {
    let early = before.len() as f64 * (1.0 + AROUND_A_BOUT_MIN);
    let late: f64 = before.iter().map(|bout| bout.whole_distance_min() + AROUND_A_BOUT_MIN).sum();
    Interval::between(early, late.max(early))
}

/// Minutes from now at which to begin a warm-up that takes `warm_up_min`: in time for the earliest
/// ring walk; zero when that is already too late to be had in full.
pub fn begin_warm_up_in(before: &[Rounds], warm_up_min: f64) -> f64 {
    (minutes_to_ring_walk(before).low - warm_up_min).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_whole_distance_by_hand() {
        assert_eq!(Rounds { count: 10, minutes: 3 }.whole_distance_min(), 39.0);
        assert_eq!(Rounds { count: 3, minutes: 3 }.whole_distance_min(), 11.0);
    }

    #[test]
    fn an_order_that_changes_moves_the_warm_up() {
        let bout = Rounds { count: 6, minutes: 3 };
        // Sixth in the running: five before. 5 x 9 = 45 at the earliest, 5 x 31 = 155 at the latest.
        assert_eq!(minutes_to_ring_walk(&[bout; 5]), Interval::between(45.0, 155.0));
        assert_eq!(begin_warm_up_in(&[bout; 5], 30.0), 15.0);
        // Now fourth.
        assert_eq!(begin_warm_up_in(&[bout; 3], 30.0), 0.0);
        assert_eq!(minutes_to_ring_walk(&[]), Interval::between(0.0, 0.0));
    }
}
