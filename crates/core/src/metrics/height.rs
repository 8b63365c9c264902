//! Jump height, by four definitions that are never mixed.
//!
//! They can differ by many centimetres on one jump (Eythorsdottir et al. 2024, Sports Med
//! 54:2771); a height is only compared with heights of the same name.

use super::definition::family;
use super::{MetricSet, impulse};
use crate::trial::Conditions;
use crate::trial::flight::Flight;
use crate::trial::recording::Recording;
use crate::trial::release;
use crate::trial::standing_start::StandingStart;

const LINTHORNE: &str = "Linthorne 2001, Am J Phys 69:1198";

family! {
    "Height and take-off";
    FROM_IMPULSE: "height_from_impulse_m", "m", Higher,
        "Rise of the centre of mass after take-off from net impulse: v²/(2g), v the take-off velocity. Its doubt holds the noise, the sway on either side and the end of the push. The height to use where there is a standing start (Moir 2008, Meas Phys Educ Exerc Sci 12:207).",
        LINTHORNE;
    FROM_FLIGHT_TIME: "height_from_flight_time_m", "m", Higher,
        "g T²/8, T the flight time. Too high by about half of what the legs are bent more at landing than at take-off.",
        LINTHORNE;
    ABOVE_STANDING: "height_above_standing_m", "m", Higher,
        "Height from impulse plus the rise of the centre of mass at take-off over standing. Contains heel lift: larger than the two above.",
        "Moir 2008, Meas Phys Educ Exerc Sci 12:207";
    FROM_DISPLACEMENT: "height_from_displacement_m", "m", Higher,
        "Largest displacement from standing during flight, force integrated twice. Equals height above standing when the integration is clean.",
        "Moir 2008, Meas Phys Educ Exerc Sci 12:207";
    TAKE_OFF_VELOCITY: "take_off_velocity_m_s", "m/s", Higher,
        "Velocity of the centre of mass when the plate is empty, from net impulse over system mass: read at take-off and carried on along the last of the fall of force, which is 1 to 3 ms.",
        LINTHORNE;
    TAKE_OFF_RISE: "take_off_rise_m", "m", Neither,
        "Displacement of the centre of mass from standing at take-off: heel lift and straightening. In a squat jump, from the held squat: the push-off distance.",
        "Moir 2008, Meas Phys Educ Exerc Sci 12:207";
    DEPTH: "countermovement_depth_m", "m", Neither,
        "Lowest displacement of the centre of mass before take-off, as a positive number.",
        "McMahon et al. 2018, Strength Cond J 40(4):96";
    FLIGHT_TIME: "flight_time_s", "s", Higher,
        "Take-off to landing.",
        LINTHORNE;
    TOUCH_DOWN_VELOCITY: "touch_down_velocity_m_s", "m/s", Neither,
        "Velocity at touch-down from a box (negative: down).",
        "McMahon et al. 2021, Biomechanics 1:178";
    DROP: "drop_height_m", "m", Neither,
        "Height really fallen: v²/(2g) of the velocity at touch-down. The box is a poor stand-in: from 20 cm, real drops were 15 to 30 cm.",
        "Costley et al. 2018, J Sports Med Phys Fitness 58:1390; McMahon et al. 2021, Biomechanics 1:178";
    LANDING_DROP: "landing_drop_m", "m", Neither,
        "How much lower the centre of mass is at landing than at take-off, estimated as twice what height from flight time exceeds height from impulse by (first order of T = (v + √(v² + 2gD))/g).",
        "derived from free fall";
    SYSTEM_MASS: "system_mass_kg", "kg", Neither,
        "Weight over gravity, body and load: from all standing still before the movement and after the landing, and the velocity that must be nothing in both, each by its precision under a model of sway. Of drop jumps and hops, from the quietest second (Owen et al. 2014).",
        "derived from Newton's second law; Rasmussen & Williams 2006, Gaussian Processes for Machine Learning";
    BODY_MASS: "body_mass_kg", "kg", Neither,
        "System mass less the load carried.",
        "Owen et al. 2014, J Strength Cond Res 28:1552";
}

/// Height by flight time with its standard error, from a flight of `flight_s` seconds timed in
/// steps of `step_s`.
///
/// An event is known to within one step, evenly spread: the standard deviation of the flight time
/// is step/√6 and that of the height g T/4 times it. How the athlete landed is not in it.
pub fn from_flight_time_m(flight_s: f64, step_s: f64, gravity_m_s2: f64) -> (f64, f64) {
    let height = gravity_m_s2 * flight_s * flight_s / 8.0;
    (height, gravity_m_s2 * flight_s / 4.0 * step_s / 6.0_f64.sqrt())
}

/// Height by take-off velocity: v²/(2g).
pub fn from_take_off_velocity_m(velocity_m_s: f64, gravity_m_s2: f64) -> f64 {
    velocity_m_s * velocity_m_s.abs() / (2.0 * gravity_m_s2)
}

/// Flight time and the height that follows from it.
pub(super) fn of_flight(
    set: &mut MetricSet,
    recording: &Recording,
    flight: &Flight,
    gravity_m_s2: f64,
) {
    let flight_s = flight.duration_s(recording);
    set.put(&FLIGHT_TIME, flight_s);
    let (height, by_clock) = from_flight_time_m(flight_s, 1.0 / recording.rate_hz, gravity_m_s2);
    // Both events stand at a threshold, so the flight reads long by what is left of the push, twice
    // over if the landing is as slow: anything up to that.
    let late_s = release::after(&recording.total, flight, &release::Rules::default()).after_s;
    let by_threshold = gravity_m_s2 * flight_s / 4.0 * 2.0 * late_s / 3.0_f64.sqrt();
    set.put_estimate(&FROM_FLIGHT_TIME, (height, by_clock.hypot(by_threshold)));
}

/// Masses, take-off velocity and the heights that follow from force.
pub(super) fn of_start(
    set: &mut MetricSet,
    recording: &Recording,
    flight: &Flight,
    start: &StandingStart,
    conditions: &Conditions,
    displacement_trusted: bool,
) {
    let gravity = conditions.gravity_m_s2();
    let mass_error = start.stance.doubt.weight.sqrt() * start.system_mass_kg;
    set.put_estimate(&SYSTEM_MASS, (start.system_mass_kg, mass_error));
    let body_kg = start.system_mass_kg - conditions.load.in_kilograms();
    set.put_estimate(&BODY_MASS, (body_kg, mass_error));

    let (velocity, error) = start.take_off_velocity(recording, flight, gravity);
    set.put_estimate(&TAKE_OFF_VELOCITY, (velocity, error));
    let height = from_take_off_velocity_m(velocity, gravity);
    set.put_estimate(&FROM_IMPULSE, (height, velocity.abs() / gravity * error));
    let momentum = start.system_mass_kg * velocity;
    set.put_estimate(&impulse::NET, (momentum, start.system_mass_kg * error));
    if displacement_trusted {
        let still_s = start.release.after_s;
        let rise = start.motion.displacement_at(flight.take_off) + velocity * still_s;
        set.put(&TAKE_OFF_RISE, rise);
        set.put(&ABOVE_STANDING, height + rise);
        set.put(&FROM_DISPLACEMENT, start.motion.highest(flight.take_off, flight.landing));
    }
}

/// Landing posture from the two heights, when both are there.
pub(super) fn of_landing_posture(set: &mut MetricSet) {
    let both = set.value(&FROM_FLIGHT_TIME).zip(set.value(&FROM_IMPULSE));
    set.put_if(&LANDING_DROP, both.map(|(flight, impulse)| 2.0 * (flight - impulse)));
}
