//! All metrics of each kind of trial, gathered from the families.

use super::{
    MetricSet, asymmetry, force, height, impulse, landing, power, reactive_strength, stiffness,
    timing,
};
use crate::note::{Note, Noted};
use crate::trial::countermovement_jump::{CountermovementJump, Push};

/// The metrics of a countermovement jump.
pub fn countermovement_jump(jump: &Noted<CountermovementJump>) -> MetricSet {
    let mut set = MetricSet { notes: jump.notes.clone(), ..MetricSet::default() };
    let jump = &jump.value;
    let (recording, flight) = (&jump.recording, &jump.flight);
    let gravity = jump.conditions.gravity_m_s2();
    set.put(&timing::TAKE_OFF, recording.total.time_s(flight.take_off));
    if jump.landed {
        set.put(&timing::LANDING, recording.total.time_s(flight.landing));
        height::of_flight(&mut set, recording, flight, gravity);
    }
    if let Some(push) = &jump.push {
        of_push(&mut set, jump, push);
    }
    set
}

fn of_push(set: &mut MetricSet, jump: &CountermovementJump, push: &Push) {
    let (recording, flight) = (&jump.recording, &jump.flight);
    let (trace, motion) = (&recording.total, &push.start.motion);
    let (onset, take_off) = (push.start.onset.at, flight.take_off);
    let (descent, bottom) = (push.fastest_descent, push.bottom);
    let (weight_n, mass_kg) = (push.start.weighing.weight_n, push.start.system_mass_kg);
    let phases = jump.phases();

    height::of_start(
        set,
        recording,
        flight,
        &push.start,
        &jump.conditions,
        push.displacement_trusted,
    );
    height::of_landing_posture(set);
    if push.displacement_trusted {
        set.put(&height::DEPTH, -motion.lowest(onset, take_off));
    }
    set.put(&timing::ONSET, trace.time_s(onset));
    let to_take_off_s = trace.between_s(onset, take_off);
    set.put(&timing::TIME_TO_TAKE_OFF, to_take_off_s);
    set.put(&timing::CONTACT, to_take_off_s);
    timing::of_phases(set, recording, &phases);

    force::of_peak(set, trace, (onset, take_off), weight_n, mass_kg);
    set.put_if(&force::LEAST, trace.trough(onset, descent).map(|(_, least)| least));
    force::of_braking(set, trace, descent, bottom);
    force::of_braking_rise(set, trace, descent, bottom);
    force::of_propulsion(set, trace, bottom, take_off);
    set.put(&impulse::UNWEIGHTING, impulse::net_n_s(trace, onset, descent, weight_n));
    impulse::of_contact(set, trace, (descent, bottom, take_off), weight_n);
    power::of_braking(set, trace, motion, (descent, bottom));
    power::of_propulsion(set, trace, motion, (bottom, take_off), mass_kg);
    set.put(&power::FASTEST_DESCENT, motion.velocity_at(descent));

    let jump_height = set.value(&height::FROM_IMPULSE);
    set.put_if(&reactive_strength::MODIFIED, jump_height.map(|height| height / to_take_off_s));
    let flight_s = set.value(&height::FLIGHT_TIME);
    set.put_if(&reactive_strength::FLIGHT_TO_CONTRACTION, flight_s.map(|t| t / to_take_off_s));
    if push.displacement_trusted {
        stiffness::of_countermovement(set, trace, motion, (descent, bottom, take_off), weight_n);
    }
    of_landing(set, jump, push);
    if let Some(sides) = &recording.sides {
        set.asymmetry = asymmetry::of_phases(recording, sides, &phases, &push.start.weighing);
        let (left, right) = asymmetry::weights_n(sides, &push.start.weighing);
        set.notes.extend(uneven_stance(left, right));
    }
}

fn of_landing(set: &mut MetricSet, jump: &CountermovementJump, push: &Push) {
    let Some(landed) = &jump.landing else { return };
    let (trace, flight) = (&jump.recording.total, &jump.flight);
    let weight_n = push.start.weighing.weight_n;
    if jump.landing_peak_measured {
        landing::of_force(set, trace, flight, landed, weight_n);
    } else {
        set.notes.push(Note::new(
            "clipped-in-landing",
            "The plate reached the end of its range in the landing; its peak force is withheld.",
        ));
    }
    let gravity = jump.conditions.gravity_m_s2();
    landing::of_motion(set, trace, flight, landed, &push.start.motion, weight_n, gravity);
    match landed.stable {
        Some(stable) => set.put(&landing::STABLE, trace.between_s(flight.landing, stable)),
        None => set.notes.push(Note::new(
            "stabilisation-not-reached",
            "The force does not stay within 5 % of weight for a second before the recording ends.",
        )),
    }
}

/// A caveat when the feet share the weight unequally (engineering choice: a tenth).
fn uneven_stance(left_n: f64, right_n: f64) -> Option<Note> {
    let percent = asymmetry::bilateral_percent(left_n, right_n)?;
    (percent.abs() > 10.0).then(|| {
        Note::new(
            "uneven-stance",
            format!(
                "The feet share the weight {left_n:.0} to {right_n:.0} N while standing still; \
                 impulses of each side lean on that."
            ),
        )
    })
}
