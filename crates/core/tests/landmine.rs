//! The landmine lever against closed forms by hand and its own laws.

#![allow(clippy::unwrap_used, reason = "a test that cannot build its landmine has failed")]

use cornerwork_core::kit::landmine::{
    Disc, HungPlate, Landmine, LandmineBar, LandmineError, LandmineLoad, Rod, Stance,
};
use cornerwork_core::units::{Acceleration, Length, Mass};
use proptest::prelude::*;

fn metres(value: f64) -> Length {
    Length::metres(value)
}

fn plate(kilograms: f64, from_pivot_m: f64) -> HungPlate {
    HungPlate { mass: Mass::kilograms(kilograms), from_pivot: metres(from_pivot_m), disc: None }
}

fn stance(hand_m: f64, height_m: f64, pivot_m: f64) -> Stance {
    Stance {
        hand_from_pivot: metres(hand_m),
        pivot_height: metres(pivot_m),
        hand_height: metres(height_m),
    }
}

fn tenths(load: LandmineLoad) -> [f64; 3] {
    [load.vertical_hold, load.across_bar, load.inertia]
        .map(|mass| (mass.in_kilograms() * 10.0).round() / 10.0)
}

fn long_bar(plates_kg: f64, hand_height_m: f64) -> Landmine {
    let bar = LandmineBar::uniform(Mass::kilograms(20.0), metres(2.2));
    let stance = stance(2.15, hand_height_m, 0.08);
    Landmine::new(bar, vec![plate(plates_kg, 1.87)], stance).unwrap()
}

// Uniform rod and point plates, by hand: bar 20 kg of 2.20 m, plates at 1.87 m, hand at 2.15 m
// along the bar and 1.40 m up, pivot 0.08 m. For 10 kg: (20 x 1.1 + 18.7)/2.15 = 18.93;
// sin = 1.32/2.15, 18.93 cos 37.9° = 14.94; (32.267 + 34.969)/2.15² = 14.55.
#[test]
fn plates_are_not_the_load_in_the_hand() {
    let expected = [
        (0.0, [10.2, 8.1, 7.0]),
        (5.0, [14.6, 11.5, 10.8]),
        (10.0, [18.9, 14.9, 14.5]),
        (20.0, [27.6, 21.8, 22.1]),
    ];
    for (plates, masses) in expected {
        assert_eq!(tenths(long_bar(plates, 1.4).load()), masses, "{plates} kg of plates");
    }
    let short = LandmineBar::uniform(Mass::kilograms(15.0), metres(2.01));
    let short = Landmine::new(short, vec![plate(5.0, 1.7)], stance(1.96, 1.4, 0.08)).unwrap();
    assert_eq!(tenths(short.load()), [12.0, 8.9, 9.0]);
}

// The same plates at five hand heights: 18.93 kg times the cosine of the bar's angle.
#[test]
fn a_tall_boxer_and_a_short_one_do_not_lift_the_same() {
    for (height, across) in [(0.9, 17.5), (1.2, 16.2), (1.4, 14.9), (1.6, 13.4), (1.8, 11.4)] {
        assert_eq!(tenths(long_bar(10.0, height).load())[1], across, "hand at {height} m");
    }
}

/// A competition bar with its steel shaft and one full-size disc against the inner flange, the
/// hand 5 cm from the end: (bar kg, length, shaft diameter, sleeve, plate kg, plate thickness).
fn competition(
    (bar_kg, length, diameter, sleeve): (f64, f64, f64, f64),
    plate_kg: f64,
    thickness: f64,
    angle_deg: f64,
) -> Landmine {
    let bar = LandmineBar {
        mass: Mass::kilograms(bar_kg),
        length: metres(length),
        rod: Rod::ShaftAndSleeves { shaft_length: metres(1.31), shaft_diameter: metres(diameter) },
    };
    let disc = Disc { radius: metres(0.225), thickness: metres(thickness) };
    let from_pivot = length - sleeve + thickness / 2.0;
    let plate = HungPlate { disc: Some(disc), ..plate(plate_kg, from_pivot) };
    let hand = length - 0.05;
    let stance = stance(hand, hand * angle_deg.to_radians().sin(), 0.0);
    Landmine::new(bar, vec![plate], stance).unwrap()
}

const MEN: (f64, f64, f64, f64) = (20.0, 2.2, 0.028, 0.415);
const WOMEN: (f64, f64, f64, f64) = (15.0, 2.01, 0.025, 0.320);

// Bars of the weightlifting standard (2.20 and 2.01 m, 1.31 m between the inner collars, 28 and
// 25 mm) as a steel shaft and two sleeves, evaluated separately in numpy with g = 9.81.
#[test]
fn a_bar_with_sleeves_has_more_inertia_than_a_rod() {
    let rows = [
        // bar, plate kg, thickness, S, I, vertical N, across N at 30/45/60 degrees, inertia kg
        (MEN, 0.0, 0.0, 22.000, 35.855, 100.4, [86.9, 71.0, 50.2], 7.757),
        (MEN, 5.0, 0.03, 31.000, 52.119, 141.4, [122.5, 100.0, 70.7], 11.275),
        (MEN, 10.0, 0.05, 40.100, 68.745, 183.0, [158.5, 129.4, 91.5], 14.872),
        (MEN, 20.0, 0.055, 58.250, 101.817, 265.8, [230.2, 187.9, 132.9], 22.026),
        (WOMEN, 0.0, 0.0, 15.075, 22.830, 75.5, [65.3, 53.4, 37.7], 5.943),
        (WOMEN, 10.0, 0.05, 32.225, 52.371, 161.3, [139.7, 114.0, 80.6], 13.633),
    ];
    let gravity = Acceleration::metres_per_second_squared(9.81);
    for (bar, plate_kg, thickness, moment, inertia, vertical, across, felt) in rows {
        for (angle, across) in [30.0, 45.0, 60.0].into_iter().zip(across) {
            let landmine = competition(bar, plate_kg, thickness, angle);
            let close = |found: f64, expected: f64, half_digit: f64| {
                assert!((found - expected).abs() <= half_digit, "{found} for {expected}");
            };
            close(landmine.first_moment_kg_m(), moment, 5e-4);
            close(landmine.inertia_kg_m2(), inertia, 5.1e-4);
            close(landmine.vertical_hold_force(gravity).in_newtons(), vertical, 0.051);
            close(landmine.across_bar_force(gravity).in_newtons(), across, 0.051);
            close(landmine.load().inertia.in_kilograms(), felt, 5.1e-4);
        }
    }
}

#[test]
fn unmeasured_places_are_the_usual_ones() {
    let bar = LandmineBar::uniform(Mass::kilograms(20.0), metres(2.2));
    let plates = vec![bar.usual_plate(Mass::kilograms(10.0))];
    let usual = Landmine::new(bar, plates, bar.usual_stance(metres(1.4))).unwrap();
    assert_eq!(tenths(usual.load()), tenths(long_bar(10.0, 1.4).load()));
}

#[test]
fn what_cannot_be_held_is_refused() {
    let bar = LandmineBar::uniform(Mass::kilograms(20.0), metres(2.2));
    let refused = |bar, plates, stance| Landmine::new(bar, plates, stance).unwrap_err();
    let good = stance(2.15, 1.4, 0.08);
    let no_bar = LandmineBar::uniform(Mass::kilograms(-20.0), metres(2.2));
    assert!(matches!(refused(no_bar, vec![], good), LandmineError::Bar { .. }));
    assert!(matches!(refused(bar, vec![plate(5.0, 2.5)], good), LandmineError::Plate { .. }));
    assert!(matches!(refused(bar, vec![], stance(2.3, 1.4, 0.08)), LandmineError::Hand { .. }));
    for height in [2.5, 0.0, f64::NAN] {
        let error = refused(bar, vec![], stance(2.15, height, 0.08));
        assert!(matches!(error, LandmineError::OutOfReach { .. }), "{height}");
    }
    let thick = Rod::ShaftAndSleeves { shaft_length: metres(1.31), shaft_diameter: metres(0.05) };
    let error = refused(LandmineBar { rod: thick, ..bar }, vec![], good);
    assert!(matches!(error, LandmineError::Shaft { .. }));
}

#[test]
fn why_shows_the_lever() {
    let steps = long_bar(10.0, 1.4).working().steps;
    assert_eq!(steps[1], "held up vertically = 40.700 / 2.150 = 18.9 kg");
    assert_eq!(steps[2], "across the bar = 18.9 x cos 37.9° = 14.9 kg");
}

proptest! {
    // Vertical hold does not depend on the height of the hand; across the bar is never more; the
    // hand never accelerates more than it holds as long as nothing lies beyond it.
    #[test]
    fn the_three_masses_keep_their_order(plates in 0.0..60.0_f64, one in 0.2..2.1_f64, other in 0.2..2.1_f64) {
        let (low, high) = (long_bar(plates, one.min(other)).load(), long_bar(plates, one.max(other)).load());
        prop_assert_eq!(low.vertical_hold, high.vertical_hold);
        prop_assert!(high.across_bar <= low.across_bar && low.across_bar <= low.vertical_hold);
        prop_assert!(low.inertia <= low.vertical_hold);
    }
}
