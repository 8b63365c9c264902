//! A small run of `docs/momentum-loss.md`: the advised load keeps up with the better of two simple
//! rules on every kind of fall, and intervals hold. Few athletes, so bounds are wider than the
//! table's: half as much again and half a point for losses, and 12 of 20 intervals (20 at 90 %
//! hold so few once in ten thousand runs, binomial).

use cornerwork_core::units::Mass;
use cornerwork_testkit::falling_athlete::{FallNoise, FallTruth};
use cornerwork_testkit::momentum_loss::{LossSummary, Test, readings};

const ATHLETES: usize = 20;
const BODY_MASS: Mass = Mass::kilograms(75.0);

fn summary(truth: FallTruth, noise: FallNoise, test: &Test) -> LossSummary {
    LossSummary::of(&readings(truth, noise, BODY_MASS, test, ATHLETES, 11))
}

#[test]
fn four_loads_lose_no_more_than_the_better_simple_rule() {
    let four = Test::Ladder(&[0.0, 0.25, 0.5, 0.75], 2);
    for truth in FallTruth::ALL {
        let found = summary(truth, FallNoise::Normal(0.035), &four);
        let better = found.parabola[0].min(found.best_measured[0]);
        assert!(found.advised[0] <= 1.5 * better + 0.005, "{truth:?}: {found:?}");
        assert!(found.load_held >= 0.6 && found.momentum_held >= 0.6, "{truth:?}: {found:?}");
    }
}

#[test]
fn jumps_that_do_not_stray_give_the_truth() {
    let seven = Test::Ladder(&[0.0, 0.15, 0.30, 0.45, 0.60, 0.75, 0.90], 1);
    for truth in
        [FallTruth::Straight, FallTruth::StraightVelocity, FallTruth::Sigmoid, FallTruth::Bell]
    {
        let found = summary(truth, FallNoise::None, &seven);
        assert!(found.advised[0] < 0.0005, "{truth:?}: {found:?}");
    }
}

#[test]
fn two_loads_say_that_they_cannot_see_a_knee() {
    let two = Test::Ladder(&[0.0, 0.5], 2);
    for truth in FallTruth::ALL.into_iter().filter(|truth| truth.has_knee()) {
        let found = summary(truth, FallNoise::HeavyTailed(0.035), &two);
        assert!(found.warned > 0.99, "{truth:?}: {found:?}");
    }
}
