//! What an honest tool says of the first two tests of the invented squad: its own truth and its own
//! noise, read without luck.

#![allow(clippy::unwrap_used, reason = "a test may panic")]

use super::calendar::at;
use super::people::{PEOPLE, Person};
use super::performance::{Chance, Performance, spread};
use cornerwork_core::estimate::Level;
use cornerwork_core::profile::change::{self, Change, ChangeError, Prior, Question, TestNoise};
use cornerwork_core::profile::test_day::{Conditions, TestDay};

/// Trials of a test in the reading.
const TRIALS: usize = 3;

/// Height in cm at both tests as it truly is, the method beside it.
fn tests(person: &Person, methods: [&str; 2]) -> [TestDay; 2] {
    let camp = person.days();
    [(camp.first_test(), methods[0]), (camp.second_test(), methods[1])].map(|(day, method)| {
        let height_cm = 100.0 * person.jump_height_m(day);
        let number = f64::from((day - camp.first_test()).get_days());
        TestDay::new(number, [height_cm; TRIALS]).under(Conditions::none().with("method", method))
    })
}

fn read(tests: &[TestDay; 2]) -> Result<Change, ChangeError> {
    let about_cm = f64::midpoint(tests[0].mean().unwrap(), tests[1].mean().unwrap());
    let question = Question {
        measure: "jump height",
        unit: "cm",
        since_day: 0.0,
        smallest_worthwhile: 1.0,
        noise: TestNoise {
            day: spread::JUMP_OF_DAY * about_cm,
            trial: spread::JUMP * about_cm,
            degrees_of_freedom: None,
            source: "the generator".into(),
        },
        prior: Prior::Flat,
        level_prior: Prior::Flat,
        level: Level::USUAL,
    };
    change::of(tests, &question).map(|found| found.value)
}

// Worked by hand from the normal distribution when the squad was invented: rise, no matter, fall in
// per cent, and the word by the stated bands.
#[test]
fn the_squad_reads_as_its_inventor_worked_out() {
    let expected = [
        ("A01", [26.0, 63.0, 11.0], "mostly unchanged"),
        ("A02", [76.0, 23.0, 1.0], "maybe up"),
        ("A03", [86.0, 14.0, 0.0], "likely up"),
        ("A04", [87.0, 13.0, 1.0], "likely up"),
        ("A05", [47.0, 45.0, 8.0], "can't tell"),
        ("A06", [90.0, 10.0, 0.0], "likely up"),
        ("A07", [57.0, 40.0, 3.0], "can't tell, leaning up"),
        ("B01", [64.0, 32.0, 4.0], "maybe up"),
        ("B02", [23.0, 63.0, 14.0], "mostly unchanged"),
        ("B03", [6.0, 41.0, 53.0], "can't tell, leaning down"),
        ("B04", [75.0, 23.0, 2.0], "maybe up"),
        ("B05", [76.0, 24.0, 0.0], "maybe up"),
        ("N02", [36.0, 56.0, 8.0], "can't tell"),
    ];
    for (code, percent, word) in expected {
        let person = PEOPLE.iter().find(|person| person.code == code).unwrap();
        let Change { odds, verdict, .. } = read(&tests(person, ["flight time"; 2])).unwrap();
        assert_eq!(verdict.to_string(), word, "{code}");
        for (found, expected) in [odds.rise, odds.no_matter, odds.fall].into_iter().zip(percent) {
            assert!((100.0 * found - expected).abs() <= 1.0, "{code}: {odds:?} for {percent:?}");
        }
    }
}

#[test]
fn the_one_who_changed_platforms_is_refused() {
    let person = PEOPLE.iter().find(|person| person.code == "A03").unwrap();
    let refused = read(&tests(person, ["take-off velocity", "flight time"])).unwrap_err();
    assert!(matches!(refused, ChangeError::UnlikeConditions { .. }), "{refused}");
}

#[test]
fn the_noise_in_the_reading_is_that_of_the_generator() {
    // Days drawn by the generator itself: the spread of a mean of three jumps about the truth,
    // root(0.022² + 0.020² / 3) of it. Of 1500 days three standard errors are 5.5 %.
    let person = PEOPLE.iter().find(|person| person.code == "A04").unwrap();
    let day = person.days().second_test();
    let mut chance = Chance::new(7, 0);
    let draws = 1500;
    let means: Vec<f64> = (0..draws)
        .map(|_| {
            let mut performance = Performance::on(day, person, &mut chance);
            let heights = (0..TRIALS).map(|_| performance.jump(at(day, 17, 0)).value.unwrap());
            heights.sum::<f64>() / TRIALS as f64
        })
        .collect();
    let mean = means.iter().sum::<f64>() / f64::from(draws);
    let squares = means.iter().map(|height| (height - mean).powi(2)).sum::<f64>();
    let share = (squares / f64::from(draws - 1)).sqrt() / person.jump_height_m(day);
    let expected = spread::JUMP_OF_DAY.hypot(spread::JUMP / 3.0_f64.sqrt());
    assert!((share / expected - 1.0).abs() < 0.055, "{share} for {expected}");
}
