//! Velocity and power of a bar, repetition by repetition.

use super::definition::family;
use super::{MetricSet, power};
use crate::note::Noted;
use crate::signal::Moment;
use crate::trial::bar_reps::{BarReps, Rep};

const SANCHEZ_MEDINA: &str = "Sánchez-Medina et al. 2010, Int J Sports Med 31:123";

family! {
    "Bar";
    START: "start_s", "s", Neither,
        "Time in the recording at which the way up begins: velocity over 0.02 m/s.",
        "engineering choice";
    END: "end_s", "s", Neither,
        "Time in the recording at which it ends.",
        "engineering choice";
    MEAN: "mean_velocity_m_s", "m/s", Higher,
        "Range over time of the way up.",
        SANCHEZ_MEDINA;
    MEAN_PROPULSIVE: "mean_propulsive_velocity_m_s", "m/s", Higher,
        "The same up to the instant the bar brakes harder than gravity would, where the hands no longer push. Equal to mean velocity when that never happens.",
        SANCHEZ_MEDINA;
    TIME_TO_PEAK: "time_to_peak_velocity_s", "s", Neither,
        "Start of the way up to its fastest instant.",
        SANCHEZ_MEDINA;
    RANGE: "range_m", "m", Neither,
        "Height gained on the way up.",
        SANCHEZ_MEDINA;
    DURATION: "lift_duration_s", "s", Neither,
        "Time of the way up.",
        SANCHEZ_MEDINA;
    LOWERING_MEAN: "lowering_mean_velocity_m_s", "m/s", Neither,
        "Range over time of the lowering before; negative.",
        SANCHEZ_MEDINA;
    LOWERING_PEAK: "lowering_peak_velocity_m_s", "m/s", Neither,
        "Fastest instant of the lowering; negative.",
        SANCHEZ_MEDINA;
    MEAN_PROPULSIVE_POWER: "mean_propulsive_power_w", "W", Higher,
        "Work done on the load up to the end of propulsion, over the time.",
        SANCHEZ_MEDINA;
    VELOCITY_LOSS: "velocity_loss_percent", "%", Neither,
        "How much slower the repetition is than the fastest of the set so far.",
        "Pareja-Blanco et al. 2017, Scand J Med Sci Sports 27:724";
}

/// Fraction of the set's median range under which a repetition is not counted for velocity loss
/// (engineering choice).
const FULL_RANGE: f64 = 0.85;

/// The metrics of every repetition, in order. Notes stand with the first.
pub fn of(set: &Noted<BarReps>) -> Vec<MetricSet> {
    let reps = &set.value;
    let ranges: Vec<f64> = reps.reps.iter().map(|rep| reps.range_m(rep)).collect();
    let full_m = FULL_RANGE * crate::signal::window::median(&ranges).unwrap_or_default();
    let mut best_m_s = 0.0_f64;
    let mut all: Vec<MetricSet> = reps
        .reps
        .iter()
        .map(|rep| {
            let mut metrics = of_rep(reps, rep);
            let mean = metrics.value(&MEAN).filter(|_| reps.range_m(rep) >= full_m);
            if let Some(mean) = mean {
                best_m_s = best_m_s.max(mean);
                metrics.put(&VELOCITY_LOSS, 100.0 * (best_m_s - mean) / best_m_s);
            }
            metrics
        })
        .collect();
    if let Some(first) = all.first_mut() {
        first.notes = set.notes.clone();
    }
    all
}

fn of_rep(reps: &BarReps, rep: &Rep) -> MetricSet {
    let mut set = MetricSet::default();
    let trace = &reps.position;
    let mean = |from: Moment, to: Moment| {
        let range_m = to.of(&trace.values) - from.of(&trace.values);
        range_m / trace.between_s(from, to)
    };
    let pushed_to = rep.propulsion_end.unwrap_or(rep.end);
    set.put(&START, reps.time_s(rep.start));
    set.put(&END, reps.time_s(rep.end));
    set.put(&MEAN, mean(rep.start, rep.end));
    set.put(&MEAN_PROPULSIVE, mean(rep.start, pushed_to));
    let (peak_m_s, peak_s) = vertex(reps, rep.fastest);
    set.put(&power::PEAK_VELOCITY, peak_m_s);
    set.put(&TIME_TO_PEAK, peak_s - trace.time_s(rep.start));
    set.put(&RANGE, reps.range_m(rep));
    set.put(&DURATION, trace.between_s(rep.start, rep.end));
    if let Some((from, to)) = rep.lowering {
        set.put(&LOWERING_MEAN, mean(from, to));
        let fastest = (from.after()..=to.before).map(|i| reps.velocity_m_s[i]);
        set.put_if(&LOWERING_PEAK, fastest.min_by(f64::total_cmp));
    }
    let load_kg = reps.conditions.load.in_kilograms();
    if load_kg > 0.0 {
        of_power(&mut set, reps, rep, pushed_to, load_kg);
    }
    set
}

/// The fastest instant between samples: the top of a parabola through the three highest.
/// Velocity in m/s and time in s.
fn vertex(reps: &BarReps, fastest: usize) -> (f64, f64) {
    let values = &reps.velocity_m_s;
    let middle = values[fastest];
    let time_s = reps.position.time_s(Moment::at(fastest));
    if fastest == 0 || fastest + 1 == values.len() {
        return (middle, time_s);
    }
    let (before, after) = (values[fastest - 1], values[fastest + 1]);
    let bend = before - 2.0 * middle + after;
    if bend >= 0.0 {
        return (middle, time_s);
    }
    let shift = 0.5 * (before - after) / bend;
    let step_s = reps.position.sampling.step_s(fastest);
    (middle - 0.25 * (before - after) * shift, time_s + shift * step_s)
}

/// Power on the load: work by the change of its height and of its speed.
fn of_power(set: &mut MetricSet, reps: &BarReps, rep: &Rep, pushed_to: Moment, load_kg: f64) {
    let gravity = reps.conditions.gravity_m_s2();
    let trace = &reps.position;
    let mean_w = |to: Moment| {
        let height_m = to.of(&trace.values) - rep.start.of(&trace.values);
        let (fast, slow) = (to.of(&reps.velocity_m_s), rep.start.of(&reps.velocity_m_s));
        let work = load_kg * (gravity * height_m + (fast * fast - slow * slow) / 2.0);
        work / trace.between_s(rep.start, to)
    };
    set.put(&power::MEAN, mean_w(rep.end));
    set.put(&MEAN_PROPULSIVE_POWER, mean_w(pushed_to));
    let power_w = |i: usize| load_kg * (reps.acceleration_m_s2[i] + gravity) * reps.velocity_m_s[i];
    let samples = rep.start.after()..=rep.end.before;
    set.put_if(&power::PEAK, samples.map(power_w).max_by(f64::total_cmp));
}
