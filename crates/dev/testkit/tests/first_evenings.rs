//! A small run of the first evenings of `docs/first-evenings.md`: the bounds on the steps, by hand
//! from the rule (a quarter of body mass, 20 to 30 kg; half for novices and juniors).

use cornerwork_core::units::Mass;
use cornerwork_testkit::first_evening::{FirstEvening, Group, first_evening};

/// The most the rule leaves, written out anew.
fn bound(evening: &FirstEvening) -> Mass {
    let whole_kg = match evening.weighed {
        true => (evening.body_mass.in_kilograms() / 4.0).clamp(20.0, 30.0),
        false => 20.0,
    };
    Mass::kilograms(if evening.group == Group::TrainedAdult { whole_kg } else { whole_kg / 2.0 })
}

#[test]
fn no_step_is_larger_than_the_rule_and_no_offer_is_refused() {
    let evenings: Vec<FirstEvening> = (0..90).map(|number| first_evening(11, number)).collect();
    for (number, evening) in evenings.iter().enumerate() {
        let bound = bound(evening) + Mass::kilograms(0.001);
        let steps = evening.steps_advised.iter().chain(&evening.steps_hung);
        for step in steps {
            assert!(*step <= bound, "evening {number}: {step:?} of {bound:?}");
        }
        assert_eq!(evening.offers_refused, 0, "evening {number}");
    }
    // The evenings are worth something: people worked up, and careless loads were tried.
    let steps: usize = evenings.iter().map(|one| one.steps_advised.len()).sum();
    let tried: usize = evenings.iter().map(|one| one.other_loads.0).sum();
    let refused: usize = evenings.iter().map(|one| one.other_loads.1).sum();
    assert!(steps > 90 && tried > 45 && refused > 15, "{steps} {tried} {refused}");
}
