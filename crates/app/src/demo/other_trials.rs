//! The rest of the morning on the plates, so that every kind of trial is there to be looked at:
//! squat jumps, drop jumps, a series of hops, two pulls more, and squats with a sensor on the bar.

use super::people::Person;
use super::performance::Chance;
use super::plate::{self, GRAVITY, RATE_HZ};
use super::truth::velocity_for_height;
use jiff::civil::Date;
use std::f64::consts::PI;
use std::fmt::Write;

/// Columns of the sensor on the bar.
pub(super) const BAR_HEADING: [&str; 2] = ["time (s)", "position (mm)"];

/// Contact and velocity after it of the hops, as shares of the best (invented).
const HOPS: [(f64, f64); 10] = [
    (0.255, 0.86),
    (0.235, 0.91),
    (0.220, 0.95),
    (0.210, 0.97),
    (0.205, 1.0),
    (0.200, 0.99),
    (0.205, 0.98),
    (0.210, 0.96),
    (0.215, 0.94),
    (0.225, 0.91),
];
/// Contact on the plate after the box.
const REBOUND_S: f64 = 0.21;
/// Quiet standing after the last landing, from which a drop jump is weighed.
const STANDING_AFTER_S: f64 = 1.8;

/// A drop from a box and the rebound, as the plate under it sees them.
pub(super) fn drop_jump(person: &Person, day: Date, box_cm: f64, chance: &mut Chance) -> Vec<u8> {
    let mass_kg = person.mass_kg(day);
    let down_m_s = velocity_for_height(box_cm / 100.0 * chance.about_one(0.03));
    let up_m_s = velocity_for_height(person.rebound_m(day, box_cm) * chance.about_one(0.03));
    let contact_s = REBOUND_S * chance.about_one(0.04);
    let mut force = vec![0.0; 600];
    contact(&mut force, mass_kg, contact_s, down_m_s + up_m_s);
    flight(&mut force, up_m_s);
    contact(&mut force, mass_kg, 0.3, up_m_s);
    stand(&mut force, mass_kg, STANDING_AFTER_S);
    plate::written(&force, chance)
}

/// Standing, a first jump and ten hops.
pub(super) fn hops(person: &Person, day: Date, chance: &mut Chance) -> Vec<u8> {
    let mass_kg = person.mass_kg(day);
    let best_m_s = velocity_for_height(0.85 * person.jump_height_m(day));
    let mut force = Vec::new();
    stand(&mut force, mass_kg, 1.6);
    // From the toes: the first jump of the series is not one of the hops.
    contact(&mut force, mass_kg, 0.3, 0.8 * best_m_s);
    let mut coming_m_s = 0.8 * best_m_s;
    flight(&mut force, coming_m_s);
    for (contact_s, share) in HOPS {
        let leaving_m_s = best_m_s * share * chance.about_one(0.01);
        contact(&mut force, mass_kg, contact_s, coming_m_s + leaving_m_s);
        flight(&mut force, leaving_m_s);
        coming_m_s = leaving_m_s;
    }
    contact(&mut force, mass_kg, 0.3, coming_m_s);
    stand(&mut force, mass_kg, 1.2);
    plate::written(&force, chance)
}

/// Half a sine that changes the velocity of the body by so much: its impulse over the weight.
fn contact(force: &mut Vec<f64>, mass_kg: f64, over_s: f64, change_m_s: f64) {
    let peak_n = mass_kg * (change_m_s + GRAVITY * over_s) * PI / (2.0 * over_s);
    let samples = (over_s * RATE_HZ).round() as usize;
    force.extend((0..samples).map(|i| peak_n * (PI * i as f64 / RATE_HZ / over_s).sin()));
}

fn flight(force: &mut Vec<f64>, velocity_m_s: f64) {
    let samples = (2.0 * velocity_m_s / GRAVITY * RATE_HZ).round() as usize;
    force.extend(std::iter::repeat_n(0.0, samples));
}

fn stand(force: &mut Vec<f64>, mass_kg: f64, over_s: f64) {
    let samples = (over_s * RATE_HZ).round() as usize;
    force.extend(std::iter::repeat_n(mass_kg * GRAVITY, samples));
}

/// Range of a squat, metres, and seconds it is lowered in.
const SQUAT: (f64, f64) = (0.56, 1.1);
const BAR_RATE_HZ: f64 = 200.0;

/// Squats as a sensor on the bar writes them: each repetition a little slower than the one before.
pub(super) fn squats(reps: u32, mean_m_s: f64, chance: &mut Chance) -> Vec<u8> {
    let (range_m, lowering_s) = SQUAT;
    let top_m = 1.38;
    let mut position_m = Vec::new();
    let mut then = |from_m: f64, to_m: f64, over_s: f64| {
        let samples = (over_s * BAR_RATE_HZ).round() as usize;
        position_m.extend((0..samples).map(|i| {
            let share = i as f64 / samples as f64;
            from_m + (to_m - from_m) * least_jerk(share)
        }));
    };
    then(top_m, top_m, 1.0);
    for rep in 0..reps {
        let slower = 1.0 - 0.035 * f64::from(rep);
        let lifting_s = range_m / (mean_m_s * slower * chance.about_one(0.012));
        let depth_m = top_m - range_m;
        then(top_m, depth_m, lowering_s);
        then(depth_m, depth_m, 0.1);
        then(depth_m, top_m, lifting_s);
        then(top_m, top_m, 0.8);
    }
    let mut text = format!("{}\n", BAR_HEADING.join(","));
    for (index, height_m) in position_m.iter().enumerate() {
        let (time_s, height_mm) = (index as f64 / BAR_RATE_HZ, height_m * 1000.0);
        // Writing to a string cannot fail.
        let _ = writeln!(text, "{time_s:.3},{:.1}", height_mm + chance.normal(0.2));
    }
    text.into_bytes()
}

/// The way from 0 to 1 of least jerk (Flash and Hogan 1985, J Neurosci 5:1688).
fn least_jerk(share: f64) -> f64 {
    share.powi(3) * (10.0 - 15.0 * share + 6.0 * share * share)
}
