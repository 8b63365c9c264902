//! The unit a file is written in is no matter: newtons or kilonewtons, seconds or milliseconds,
//! metres, centimetres or millimetres give the same numbers.

#![allow(clippy::unwrap_used, reason = "helpers of a test may panic")]

use cornerwork_core::metrics::{MetricSet, trials};
use cornerwork_core::trial::{
    Conditions, bar_reps, countermovement_jump, drop_jump, isometric, repeated_jumps, squat_jump,
};
use cornerwork_io::readers::delimited::{ColumnChoices, Delimited, Wanted};
use cornerwork_testkit::synthetic::bar_stroke::Stroke;
use cornerwork_testkit::synthetic::countermovement::RandomJump;
use cornerwork_testkit::synthetic::{noisy, random};
use proptest::prelude::*;

const RATE_HZ: f64 = 1000.0;

/// A unit as a header names it, and how many of it make one of SI.
#[derive(Clone, Copy, Debug)]
struct In(&'static str, f64);

const TIMES: [In; 2] = [In("s", 1.0), In("ms", 1e3)];
const FORCES: [In; 2] = [In("N", 1.0), In("kN", 1e-3)];
const LENGTHS: [In; 3] = [In("m", 1.0), In("cm", 1e2), In("mm", 1e3)];

fn table(time: In, name: &str, unit: In, values: &[f64]) -> String {
    let rows: String = values
        .iter()
        .enumerate()
        .map(|(i, value)| format!("{:?},{:?}\n", i as f64 / RATE_HZ * time.1, value * unit.1))
        .collect();
    format!("time ({}),{name} ({})\n{rows}", time.0, unit.0)
}

fn open(text: &str) -> Delimited<&[u8]> {
    Delimited::open(text.as_bytes(), None).unwrap()
}

fn jump(text: &str) -> MetricSet {
    let file = open(text);
    let mapping = file.propose(Wanted::Force, &ColumnChoices::default()).unwrap();
    let capture = file.force(&mapping, None).unwrap();
    let rules = countermovement_jump::Rules::default();
    let jump = countermovement_jump::read(&capture, &Conditions::default(), &rules).unwrap();
    trials::countermovement_jump(&jump)
}

/// A trial of another kind that stands on a plate.
fn other_kind(kind: &str, text: &str) -> MetricSet {
    let file = open(text);
    let mapping = file.propose(Wanted::Force, &ColumnChoices::default()).unwrap();
    let (capture, none) = (file.force(&mapping, None).unwrap(), Conditions::default());
    match kind {
        "squat-jump" => {
            trials::squat_jump(&squat_jump::read(&capture, &none, &Default::default()).unwrap())
        }
        "drop-jump" => {
            trials::drop_jump(&drop_jump::read(&capture, &none, &Default::default()).unwrap())
        }
        "repeated-jump" => trials::repeated_jumps(
            &repeated_jumps::read(&capture, &none, &Default::default()).unwrap(),
        ),
        _ => trials::isometric(&isometric::read(&capture, &none, &Default::default()).unwrap()),
    }
}

fn lifts(text: &str) -> Vec<MetricSet> {
    let file = open(text);
    let mapping = file.propose(Wanted::Position, &ColumnChoices::default()).unwrap();
    let capture = file.bar(&mapping, None).unwrap();
    let rules = bar_reps::Rules::default();
    trials::bar_reps(&bar_reps::read(&capture, &Conditions::default(), &rules).unwrap())
}

/// A factor of a thousand there and back is two roundings, 2e-16 of a sample; sums over some
/// thousand samples of some thousand newtons make of it 1e-10, and quotients a hundred times that.
fn same(one: &MetricSet, other: &MetricSet) -> Result<(), TestCaseError> {
    prop_assert_eq!(one.metrics.len(), other.metrics.len());
    for (one, other) in one.metrics.iter().zip(&other.metrics) {
        prop_assert_eq!(one.definition.id, other.definition.id);
        let off = (one.value - other.value).abs();
        prop_assert!(
            off <= 1e-8 * one.value.abs().max(1.0),
            "{}: {} and {}",
            one.definition.id,
            one.value,
            other.value
        );
    }
    let ids = |set: &MetricSet| set.notes.iter().map(|note| note.id).collect::<Vec<_>>();
    prop_assert_eq!(ids(one), ids(other));
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn a_jump_is_the_same_in_any_unit(seed in 0_u64..10_000) {
        let force_n = RandomJump::of(seed).force_n(RATE_HZ);
        let plain = jump(&table(TIMES[0], "force", FORCES[0], &force_n));
        for time in TIMES {
            for force in FORCES {
                same(&jump(&table(time, "force", force, &force_n)), &plain)?;
            }
        }
    }

    #[test]
    fn trials_of_every_other_kind_are_the_same_in_any_unit(seed in 0_u64..1000) {
        for kind in ["squat-jump", "drop-jump", "repeated-jump", "isometric"] {
            let force_n = random::trial(kind, seed).unwrap().samples;
            let plain = other_kind(kind, &table(TIMES[0], "force", FORCES[0], &force_n));
            let other = other_kind(kind, &table(TIMES[1], "force", FORCES[1], &force_n));
            same(&other, &plain)?;
        }
    }

    #[test]
    fn repetitions_are_the_same_in_any_unit(seed in 0_u64..10_000, range_m in 0.3..0.7f64) {
        let stroke = Stroke { range_m, duration_s: 0.55 };
        let position_m = noisy(&stroke.set(3).sample(RATE_HZ), 2e-4, seed);
        let plain = lifts(&table(TIMES[0], "position", LENGTHS[0], &position_m));
        prop_assert_eq!(plain.len(), 3);
        for time in TIMES {
            for length in LENGTHS {
                let found = lifts(&table(time, "position", length, &position_m));
                prop_assert_eq!(found.len(), plain.len());
                for (one, other) in found.iter().zip(&plain) {
                    same(one, other)?;
                }
            }
        }
    }
}
