//! The entry guard against the slips a gym floor makes. The slips and the values meant are common
//! practice; conversions are the exact pound and inch of 1959.

use cornerwork_core::entry::{About, Doubt, Entry, Expected, Prediction, Reading, Refusal, read};
use cornerwork_core::exercise::{Direction, Measure, MeasureKind, Span, Unit};
use proptest::prelude::*;

const fn measure(
    kind: MeasureKind,
    unit: Unit,
    decimals: usize,
    hard: [f64; 2],
    usual: [f64; 2],
) -> Measure {
    Measure {
        kind,
        direction: Direction::HigherIsBetter,
        unit,
        decimals,
        hard_si: Span { low: hard[0], high: hard[1] },
        usual_si: Span { low: usual[0], high: usual[1] },
    }
}

const JUMP: Measure =
    measure(MeasureKind::JumpHeight, Unit::Centimetre, 1, [0.05, 0.9], [0.18, 0.65]);
const THROW: Measure =
    measure(MeasureKind::PeakVelocity, Unit::MetrePerSecond, 2, [0.3, 8.0], [1.5, 4.5]);
const CONTRACT: Measure =
    measure(MeasureKind::ContractWeight, Unit::Kilogram, 2, [30.0, 220.0], [45.0, 135.0]);
const BOX: Measure = measure(MeasureKind::BoxHeight, Unit::Centimetre, 0, [0.1, 1.1], [0.15, 0.75]);
const CONTACT: Measure =
    measure(MeasureKind::ContactTime, Unit::Second, 2, [0.08, 1.0], [0.14, 0.45]);
const FORCE: Measure = measure(MeasureKind::Force, Unit::Newton, 0, [100.0, 8e3], [800.0, 6e3]);
const REPETITIONS: Measure =
    measure(MeasureKind::Repetitions, Unit::One, 0, [0.0, 200.0], [1.0, 60.0]);

const NOTHING_KNOWN: Expected<'static> =
    Expected { prediction: None, seen_si: None, choices_si: &[], last_typed_si: None };

fn predicted(mean_si: f64, sd_si: f64) -> Expected<'static> {
    Expected { prediction: Some(Prediction { mean_si, sd_si }), ..NOTHING_KNOWN }
}

fn accepted(typed: &str, measure: &Measure) -> f64 {
    match read(typed, measure, &NOTHING_KNOWN) {
        Entry::Accepted(value) => value,
        other => panic!("{typed:?}: {other:?}"),
    }
}

fn asked(typed: &str, measure: &Measure, expected: &Expected<'_>) -> (Doubt, Vec<Reading>) {
    match read(typed, measure, expected) {
        Entry::Ask { doubt, readings } => (doubt, readings),
        other => panic!("{typed:?}: {other:?}"),
    }
}

fn sentences(typed: &str, measure: &Measure, expected: &Expected<'_>) -> Vec<String> {
    asked(typed, measure, expected).1.into_iter().map(|reading| reading.sentence).collect()
}

#[test]
fn point_comma_and_the_units_own_name_pass_without_a_word() {
    for typed in ["38.5", "38,5", " 38.5 ", "38.5cm", "38,5 CM", "38 .5 cm", "38.50"] {
        assert!((accepted(typed, &JUMP) - 0.385).abs() < 1e-12, "{typed}");
    }
    assert!((accepted("2,61", &THROW) - 2.61).abs() < 1e-12);
    assert!((accepted("2.61 m / s", &THROW) - 2.61).abs() < 1e-12);
    assert_eq!(accepted("2643 N", &FORCE), 2643.0);
}

#[test]
fn a_missing_decimal_point_is_offered_and_never_put_in_silently() {
    assert_eq!(sentences("385", &JUMP, &NOTHING_KNOWN), ["38.5 cm?"]);
    assert_eq!(sentences("275", &JUMP, &NOTHING_KNOWN), ["27.5 cm?"]);
    assert_eq!(sentences("261", &THROW, &NOTHING_KNOWN), ["2.61 m/s?"]);
    assert_eq!(asked("261", &THROW, &NOTHING_KNOWN).0, Doubt::Impossible);
    assert_eq!(sentences("024", &CONTACT, &NOTHING_KNOWN)[0], "0.24 s?");
}

#[test]
fn metres_and_inches_typed_for_centimetres_are_offered_with_both_numbers() {
    assert_eq!(sentences("0.385", &JUMP, &NOTHING_KNOWN), ["0.385 m = 38.5 cm?"]);
    assert_eq!(sentences("0,38", &JUMP, &NOTHING_KNOWN), ["0.38 m = 38.0 cm?"]);
    // 15.2 in is 38.608 cm.
    assert_eq!(sentences("15.2 in", &JUMP, &NOTHING_KNOWN), ["15.2 in = 38.6 cm?"]);
    assert_eq!(asked("15.2 in", &JUMP, &NOTHING_KNOWN).0, Doubt::OtherUnit);
    // Without the unit it may still be a low jump.
    assert_eq!(sentences("15.2", &JUMP, &NOTHING_KNOWN), ["15.2 in = 38.6 cm?", "15.2 cm?"]);
}

#[test]
fn a_sprint_with_a_lost_digit_place_is_offered() {
    let sprint = measure(MeasureKind::Time, Unit::Second, 2, [1.0, 20.0], [3.0, 8.0]);
    assert_eq!(sentences("0,38", &sprint, &NOTHING_KNOWN), ["3.80 s?"]);
}

#[test]
fn pounds_typed_for_kilograms_show_when_body_mass_is_near() {
    // 130 lb is 58.967 kg; he weighs 64 kg and will make weight within about 4 kg of that.
    let expected = predicted(64.0, 4.0);
    let (doubt, readings) = asked("130", &CONTRACT, &expected);
    assert!(matches!(doubt, Doubt::FarFromExpected { firm: true, .. }));
    assert_eq!(readings[0].sentence, "130 lb = 58.97 kg?");
    assert!((readings[0].value_si - 58.967_008_1).abs() < 1e-7);
    assert!(readings[1].as_typed && readings[1].value_si == 130.0);
    // Typed with its unit, the other number is still shown before it is taken: 160 lb is 72.57 kg.
    assert_eq!(sentences("160 lb", &CONTRACT, &NOTHING_KNOWN), ["160 lb = 72.57 kg?"]);
    assert_eq!(accepted("72.57", &CONTRACT), 72.57);
}

#[test]
fn a_box_stamped_in_inches_is_the_box_that_stands_there() {
    let boxes = [0.15, 0.20, 0.25, 0.30, 0.35, 0.40, 0.45, 0.50, 0.60, 0.61];
    let expected = Expected { choices_si: &boxes, ..NOTHING_KNOWN };
    let (doubt, readings) = asked("24", &BOX, &expected);
    assert_eq!(doubt, Doubt::NotAmongChoices);
    assert_eq!(readings.len(), 1);
    assert_eq!((readings[0].value_si, readings[0].sentence.as_str()), (0.61, "24 in = 61 cm?"));
    assert_eq!(read("45", &BOX, &expected), Entry::Accepted(0.45));
    assert!(matches!(read("55", &BOX, &expected), Entry::Refused(_)));
}

#[test]
fn a_doubled_digit_is_offered_as_one() {
    assert_eq!(sentences("338.5", &JUMP, &NOTHING_KNOWN)[0], "38.5 cm?");
    assert!(sentences("22.61", &THROW, &NOTHING_KNOWN).contains(&"2.61 m/s?".to_owned()));
}

#[test]
fn the_last_value_typed_again_is_asked_keep_or_drop() {
    // 3.19 m/s stood just before; now 319.
    let expected = Expected { last_typed_si: Some(3.19), ..NOTHING_KNOWN };
    let (doubt, readings) = asked("319", &THROW, &expected);
    assert_eq!(doubt, Doubt::CopiesLast);
    assert_eq!(readings.len(), 1);
    assert!(readings[0].copies_last && !readings[0].as_typed);
    assert_eq!(readings[0].sentence, "3.19 m/s, the last one again?");
    assert_eq!(asked("3.19", &THROW, &expected).0, Doubt::CopiesLast);
    assert_eq!(read("3.20", &THROW, &expected), Entry::Accepted(3.2));
}

#[test]
fn equal_boxes_are_never_asked_about() {
    let expected = Expected { last_typed_si: Some(0.45), ..NOTHING_KNOWN };
    assert_eq!(read("45", &BOX, &expected), Entry::Accepted(0.45));
}

#[test]
fn what_was_done_before_is_not_asked_about() {
    // Predicted 22.9 cm with 1.0 cm: 26.0 is 3.1 deviations off, but was jumped before.
    let seen_si = Some(Span { low: 0.205, high: 0.262 });
    let expected = Expected { seen_si, ..predicted(0.229, 0.010) };
    assert!(matches!(read("26.0", &JUMP, &expected), Entry::Accepted(_)));
    assert!(matches!(read("26.9", &JUMP, &expected), Entry::Ask { .. }));
}

#[test]
fn a_question_says_whose_what_and_what_was_expected() {
    let at = About { whose: "Jorvic, station 3".into(), with: String::new() };
    let expected = predicted(0.200, 0.008);
    let (doubt, readings) = asked("17.2", &JUMP, &expected);
    let question = at.question("17.2", &JUMP, doubt);
    assert_eq!(question, "Jorvic, station 3: 17.2 cm? Expected about 20.0.");
    assert_eq!(at.offer(&readings[0], &JUMP, doubt), "Keep 17.2 cm");
    let (doubt, readings) = asked("246", &JUMP, &expected);
    assert_eq!(at.question("246", &JUMP, doubt), "Jorvic, station 3: 246? That cannot be.");
    assert_eq!(at.offer(&readings[0], &JUMP, doubt), "24.6 cm?");
    let with = About { whose: "Danny".into(), with: "35.0 kg".into() };
    let (doubt, readings) = asked("41.2", &JUMP, &predicted(0.26, 0.02));
    let question = with.question("41.2", &JUMP, doubt);
    assert_eq!(question, "Danny: 41.2 cm with 35.0 kg? Expected about 26.0.");
    assert!(
        readings.iter().any(|one| with.offer(one, &JUMP, doubt) == "Keep 41.2 cm with 35.0 kg")
    );
}

#[test]
fn far_from_the_prediction_is_asked_and_further_is_asked_firmly() {
    // Predicted 22.9 cm with 1.0 cm: 25.2 is 2.3, 25.9 is 3.0 and 26.9 is 4.0 deviations off.
    let expected = predicted(0.229, 0.010);
    assert!(matches!(read("25.2", &JUMP, &expected), Entry::Accepted(_)));
    let (doubt, readings) = asked("25.9", &JUMP, &expected);
    assert!(
        matches!(doubt, Doubt::FarFromExpected { z, firm: false, .. } if (z - 3.0).abs() < 1e-9)
    );
    assert!(readings[0].as_typed);
    let (doubt, _) = asked("26.9", &JUMP, &expected);
    assert!(matches!(doubt, Doubt::FarFromExpected { firm: true, .. }));
}

#[test]
fn a_prediction_vouches_for_the_unusual_but_not_for_the_impossible() {
    // A beginner predicted at 15 cm: below what is usual, and right.
    assert!(matches!(read("15.2", &JUMP, &predicted(0.15, 0.01)), Entry::Accepted(_)));
    assert!(!matches!(read("95", &JUMP, &predicted(0.95, 0.01)), Entry::Accepted(_)));
    // A prediction without a spread is none.
    assert!(matches!(read("38.5", &JUMP, &predicted(0.2, 0.0)), Entry::Accepted(_)));
}

#[test]
fn half_a_repetition_is_none() {
    assert!(!matches!(read("5.5", &REPETITIONS, &NOTHING_KNOWN), Entry::Accepted(_)));
    assert_eq!(accepted("5", &REPETITIONS), 5.0);
}

#[test]
fn thousands_and_kilonewtons_are_offered() {
    assert_eq!(sentences("2,643", &FORCE, &NOTHING_KNOWN), ["2.643 kN = 2643 N?"]);
}

#[test]
fn what_is_no_value_is_refused_in_a_plain_sentence() {
    let not_a_number = |typed| {
        format!("\"{typed}\" is not a number. Type digits with one point or comma, like 41.5.")
    };
    let nothing = "Nothing was typed. Type a number, or mark the repetition as done without one.";
    for (typed, sentence) in [
        ("", nothing.to_owned()),
        ("   ", nothing.to_owned()),
        ("good", not_a_number("good")),
        ("-38", not_a_number("-38")),
        ("3.8.5", not_a_number("3.8.5")),
        ("1,234.5", not_a_number("1,234.5")),
        ("NaN", not_a_number("NaN")),
        (".", not_a_number(".")),
        ("38 kg", "\"kg\" is no unit for jump height. Leave it out, or type cm.".into()),
        ("3e1", "\"e1\" is no unit for jump height. Leave it out, or type cm.".into()),
        ("0", "0 is no jump height: it lies between 5.0 cm and 90.0 cm. Type it again.".into()),
    ] {
        match read(typed, &JUMP, &NOTHING_KNOWN) {
            Entry::Refused(refusal) => assert_eq!(refusal.to_string(), sentence, "{typed}"),
            other => panic!("{typed:?}: {other:?}"),
        }
    }
    let endless = "9".repeat(400);
    assert!(matches!(
        read(&endless, &CONTRACT, &NOTHING_KNOWN),
        Entry::Ask { .. } | Entry::Refused(Refusal::OutsideLimits { .. })
    ));
}

fn any_measure() -> impl Strategy<Value = Measure> {
    prop::sample::select(vec![JUMP, THROW, CONTRACT, BOX, CONTACT, FORCE])
}

proptest! {
    #[test]
    fn what_is_shown_reads_back_as_itself(measure in any_measure(), share in 0.0..1.0_f64) {
        let Span { low, high } = measure.usual_si;
        let shown = measure.number(low + share * (high - low));
        let meant = measure.to_si(shown.parse().unwrap());
        prop_assume!(measure.usual_si.contains(meant));
        for typed in [shown.clone(), shown.replace('.', ","), measure.with_unit(meant)] {
            match read(&typed, &measure, &NOTHING_KNOWN) {
                Entry::Accepted(value) => {
                    prop_assert_eq!(measure.number(value), shown.clone());
                    prop_assert!((value - meant).abs() <= 1e-12 * meant.abs());
                }
                other => prop_assert!(false, "{}: {:?}", typed, other),
            }
        }
    }

    #[test]
    fn comma_and_point_are_one(measure in any_measure(), typed in "[0-9]{0,4}[.,][0-9]{0,3}") {
        let with_point = read(&typed.replace(',', "."), &measure, &NOTHING_KNOWN);
        let as_it_is = read(&typed, &measure, &NOTHING_KNOWN);
        // A refusal quotes what was typed, so only its being one is compared.
        let both_refused =
            matches!((&with_point, &as_it_is), (Entry::Refused(_), Entry::Refused(_)));
        prop_assert!(both_refused || with_point == as_it_is);
    }

    #[test]
    fn nothing_impossible_is_accepted_or_offered(
        measure in any_measure(),
        typed in "[0-9]{1,5}([.,][0-9]{1,3})?( ?(cm|m|in|m/s|N|kg|lb|s|ms))?",
        mean in prop::option::of(0.0..500.0_f64),
    ) {
        let prediction = mean.map(|mean_si| Prediction { mean_si, sd_si: 1.0 });
        match read(&typed, &measure, &Expected { prediction, ..NOTHING_KNOWN }) {
            Entry::Accepted(value) => prop_assert!(measure.hard_si.contains(value)),
            Entry::Ask { readings, .. } => {
                prop_assert!(!readings.is_empty() && readings.len() <= 3);
                for reading in readings {
                    prop_assert!(measure.hard_si.contains(reading.value_si), "{:?}", reading);
                }
            }
            Entry::Refused(_) => {}
        }
    }

    #[test]
    fn a_left_out_point_is_always_found(share in 0.0..1.0_f64) {
        let Span { low, high } = JUMP.usual_si;
        let shown = JUMP.number(low + share * (high - low));
        let (_, readings) = asked(&shown.replace('.', ""), &JUMP, &NOTHING_KNOWN);
        prop_assert_eq!(JUMP.number(readings[0].value_si), shown);
    }
}
