//! All metrics of each kind of trial, gathered from the families.

use super::{
    MetricSet, asymmetry, force, height, impulse, landing, power, reactive_strength, stiffness,
    timing,
};
use crate::note::{Note, Noted};
use crate::trial::Phase;
use crate::trial::countermovement_jump::{CountermovementJump, Dip};
use crate::trial::drop_jump::{Contact, DropJump};
use crate::trial::jump::Jump;
use crate::trial::repeated_jumps::{Hop, RepeatedJumps};
use crate::trial::squat_jump::SquatJump;
use crate::trial::standing_start::StandingStart;

pub use super::bar_velocity::of as bar_reps;
pub use super::isometric::of as isometric;

/// The metrics of a countermovement jump.
pub fn countermovement_jump(jump: &Noted<CountermovementJump>) -> MetricSet {
    let mut set = with_notes(&jump.notes);
    let phases = jump.value.phases();
    let CountermovementJump { jump, dip, .. } = &jump.value;
    of_flight(&mut set, jump);
    let Some(start) = &jump.start else { return set };
    of_start(&mut set, jump, start);
    let to_take_off_s = jump.time_to_take_off_s(start);
    let jump_height = set.value(&height::FROM_IMPULSE);
    set.put_if(&reactive_strength::MODIFIED, jump_height.map(|height| height / to_take_off_s));
    let flight_s = set.value(&height::FLIGHT_TIME);
    set.put_if(&reactive_strength::FLIGHT_TO_CONTRACTION, flight_s.map(|t| t / to_take_off_s));
    if let Some(dip) = dip {
        of_dip(&mut set, jump, start, dip);
    }
    of_landing(&mut set, jump, start);
    finish(&mut set, jump, start, &phases);
    set
}

/// The metrics of a squat jump.
pub fn squat_jump(jump: &Noted<SquatJump>) -> MetricSet {
    let mut set = with_notes(&jump.notes);
    let squat = &jump.value;
    let jump = &squat.jump;
    of_flight(&mut set, jump);
    let Some(start) = &jump.start else { return set };
    of_start(&mut set, jump, start);
    let (trace, onset, take_off) = (&jump.recording.total, start.onset.at, jump.flight.take_off);
    force::of_propulsion(&mut set, trace, onset, take_off);
    power::of_propulsion(&mut set, trace, &start.motion, (onset, take_off), start.system_mass_kg);
    set.put_if(&power::FASTEST_DESCENT, squat.fastest_descent_m_s);
    of_landing(&mut set, jump, start);
    finish(&mut set, jump, start, &squat.phases());
    set
}

/// The metrics of a drop jump.
pub fn drop_jump(jump: &Noted<DropJump>) -> MetricSet {
    let mut set = with_notes(&jump.notes);
    let jump = &jump.value;
    let (recording, flight) = (&jump.recording, &jump.flight);
    let trace = &recording.total;
    let gravity = jump.conditions.gravity_m_s2();
    let contact_s = jump.contact_s();
    set.put(&timing::TOUCH_DOWN, trace.time_s(jump.touch_down));
    set.put(&timing::TAKE_OFF, trace.time_s(flight.take_off));
    set.put(&timing::CONTACT, contact_s);
    if jump.landed {
        set.put(&timing::LANDING, trace.time_s(flight.landing));
        height::of_flight(&mut set, recording, flight, gravity);
        reactive_strength::of_rebound(&mut set, flight.duration_s(recording), contact_s, gravity);
    }
    let early = trace
        .later(jump.touch_down, jump.rules.impact_s)
        .filter(|&early| early < flight.take_off)
        .unwrap_or(flight.take_off);
    let impact = trace.peak(jump.touch_down, early);
    set.put_if(&force::IMPACT_PEAK, impact.map(|(_, peak)| peak));
    if let Some(contact) = &jump.contact {
        of_contact(&mut set, jump, contact);
    }
    if jump.lands_on_heels() {
        set.notes.push(Note::new(
            "two-peak-landing",
            "A first impact stands out from the active force: the heels came down. The contact is \
             not a fast rebound.",
        ));
    }
    set
}

/// The metrics of a series of hops: those of its best five.
pub fn repeated_jumps(series: &Noted<RepeatedJumps>) -> MetricSet {
    let mut set = with_notes(&series.notes);
    let series = &series.value;
    let gravity = series.conditions.gravity_m_s2();
    set.put(&reactive_strength::HOPS, series.hops.len() as f64);
    set.put_if(&height::SYSTEM_MASS, series.system_mass_kg);
    let load_kg = series.conditions.load.in_kilograms();
    set.put_if(&height::BODY_MASS, series.system_mass_kg.map(|mass| mass - load_kg));
    let index = |hop: &Hop| hop.reactive_strength_index(gravity);
    set.put_if(&reactive_strength::MEAN_ALL, mean(series.hops.iter().map(index)));
    let best = series.best();
    set.put_if(&reactive_strength::INDEX, mean(best.iter().map(index)));
    set.put_if(&timing::CONTACT, mean(best.iter().map(|hop| hop.contact_s)));
    set.put_if(&height::FLIGHT_TIME, mean(best.iter().map(|hop| hop.flight_s)));
    let heights = best.iter().map(|hop| gravity * hop.flight_s * hop.flight_s / 8.0);
    set.put_if(&height::FROM_FLIGHT_TIME, mean(heights));
    let ratios = best.iter().map(|hop| hop.flight_s / hop.contact_s);
    set.put_if(&reactive_strength::TIME_RATIO, mean(ratios));
    let indices: Vec<f64> = best.iter().map(index).collect();
    let spread = crate::signal::window::mean_and_sd(&indices);
    set.put_if(&reactive_strength::SPREAD, spread.map(|(mean, sd)| 100.0 * sd / mean));
    let [shortest, longest] = stiffness::MODEL_CONTACT_S;
    let fit = |hop: &&Hop| (shortest..=longest).contains(&hop.contact_s);
    let stiffness = series.system_mass_kg.and_then(|mass| {
        mean(
            best.iter()
                .filter(fit)
                .filter_map(|hop| stiffness::from_times_n_m(mass, hop.flight_s, hop.contact_s)),
        )
    });
    set.put_if(&stiffness::FROM_TIMES, stiffness);
    let beside = best.len() - best.iter().filter(fit).count();
    if beside > 0 {
        set.notes.push(Note::new(
            "contact-outside-model",
            format!(
                "{beside} of the best hops last under {shortest:.2} s or over {longest:.2} s on the \
                 ground; stiffness from times leaves them out."
            ),
        ));
    }
    set
}

fn mean(values: impl Iterator<Item = f64>) -> Option<f64> {
    let (sum, count) = values.fold((0.0, 0.0), |(sum, count), value| (sum + value, count + 1.0));
    (count > 0.0).then(|| sum / count)
}

fn with_notes(notes: &[Note]) -> MetricSet {
    MetricSet { notes: notes.to_vec(), ..MetricSet::default() }
}

fn of_flight(set: &mut MetricSet, jump: &Jump) {
    let (recording, flight) = (&jump.recording, &jump.flight);
    set.put(&timing::TAKE_OFF, recording.total.time_s(flight.take_off));
    if jump.landed {
        set.put(&timing::LANDING, recording.total.time_s(flight.landing));
        height::of_flight(set, recording, flight, jump.conditions.gravity_m_s2());
    }
}

fn of_start(set: &mut MetricSet, jump: &Jump, start: &StandingStart) {
    let (recording, flight) = (&jump.recording, &jump.flight);
    let (trace, onset) = (&recording.total, start.onset.at);
    let weight_n = start.weight_n();
    height::of_start(set, recording, flight, start, &jump.conditions, jump.displacement_trusted);
    height::of_landing_posture(set);
    set.put(&timing::ONSET, trace.time_s(onset));
    let to_take_off_s = jump.time_to_take_off_s(start);
    set.put(&timing::TIME_TO_TAKE_OFF, to_take_off_s);
    force::of_peak(set, trace, (onset, flight.take_off), weight_n, start.system_mass_kg);
}

fn of_dip(set: &mut MetricSet, jump: &Jump, start: &StandingStart, dip: &Dip) {
    let (trace, motion) = (&jump.recording.total, &start.motion);
    let (onset, take_off) = (start.onset.at, jump.flight.take_off);
    let (descent, bottom) = (dip.fastest_descent, dip.bottom);
    let weight_n = start.weight_n();
    set.put_if(&force::LEAST, trace.trough(onset, descent).map(|(_, least)| least));
    force::of_braking(set, trace, descent, bottom);
    force::of_braking_rise(set, trace, descent, bottom);
    force::of_propulsion(set, trace, bottom, take_off);
    set.put(&impulse::UNWEIGHTING, impulse::net_n_s(trace, onset, descent, weight_n));
    impulse::of_contact(set, trace, (descent, bottom, take_off), weight_n);
    power::of_braking(set, trace, motion, (descent, bottom));
    power::of_propulsion(set, trace, motion, (bottom, take_off), start.system_mass_kg);
    set.put(&power::FASTEST_DESCENT, motion.velocity_at(descent));
    if jump.displacement_trusted {
        set.put(&height::DEPTH, -motion.lowest(onset, take_off));
        stiffness::of_countermovement(set, trace, motion, (descent, bottom, take_off), weight_n);
    }
}

fn of_landing(set: &mut MetricSet, jump: &Jump, start: &StandingStart) {
    let Some(landed) = &jump.landing else { return };
    let (trace, flight) = (&jump.recording.total, &jump.flight);
    let weight_n = start.weight_n();
    if jump.landing_peak_measured {
        landing::of_force(set, trace, flight, landed, weight_n);
    } else {
        set.notes.push(Note::new(
            "clipped-in-landing",
            "The plate reached the end of its range in the landing; its peak force is withheld.",
        ));
    }
    let gravity = jump.conditions.gravity_m_s2();
    landing::of_motion(set, trace, flight, landed, &start.motion, weight_n, gravity);
    match landed.stable {
        Some(stable) => set.put(&landing::STABLE, trace.between_s(flight.landing, stable)),
        None => set.notes.push(Note::new(
            "stabilisation-not-reached",
            "The force does not stay within 5 % of weight for a second before the recording ends.",
        )),
    }
}

/// Durations and sides, which go by phases.
fn finish(set: &mut MetricSet, jump: &Jump, start: &StandingStart, phases: &[Phase]) {
    timing::of_phases(set, &jump.recording, phases);
    if let Some(sides) = &jump.recording.sides {
        let landed = jump.landing.as_ref().map(|_| &jump.flight);
        set.put_if(&landing::LAG, landed.and_then(|f| landing::lag_s(&jump.recording, sides, f)));
        set.asymmetry = asymmetry::of_phases(&jump.recording, sides, phases, &start.weighing);
        let (left, right) = asymmetry::weights_n(sides, &start.weighing);
        set.notes.extend(uneven_stance(left, right));
    }
}

fn of_contact(set: &mut MetricSet, jump: &DropJump, contact: &Contact) {
    let (recording, flight) = (&jump.recording, &jump.flight);
    let (trace, motion) = (&recording.total, &contact.motion);
    let (down, up) = (jump.touch_down, flight.take_off);
    let gravity = jump.conditions.gravity_m_s2();
    let mass_kg = contact.weight_n / gravity;
    let velocity = motion.velocity_at(up);
    set.put(&height::SYSTEM_MASS, mass_kg);
    set.put(&height::BODY_MASS, mass_kg - jump.conditions.load.in_kilograms());
    set.put(&height::TAKE_OFF_VELOCITY, velocity);
    set.put(&height::FROM_IMPULSE, height::from_take_off_velocity_m(velocity, gravity));
    set.put(&height::TOUCH_DOWN_VELOCITY, motion.velocity_at(down));
    set.put_if(&height::DROP, jump.drop_height_m());
    set.put(&impulse::NET, impulse::net_n_s(trace, down, up, contact.weight_n));
    if jump.landed {
        let times_s = (flight.duration_s(recording), jump.contact_s());
        let velocities = (motion.velocity_at(down), velocity);
        stiffness::of_drop(set, mass_kg, times_s, velocities, gravity);
    }
    force::of_peak(set, trace, (down, up), contact.weight_n, mass_kg);
    timing::of_phases(set, recording, &jump.phases());
    if let Some(bottom) = contact.bottom {
        force::of_braking(set, trace, down, bottom);
        force::of_propulsion(set, trace, bottom, up);
        impulse::of_contact(set, trace, (down, bottom, up), contact.weight_n);
        power::of_braking(set, trace, motion, (down, bottom));
        power::of_propulsion(set, trace, motion, (bottom, up), mass_kg);
        let drop_m = motion.displacement_at(down) - motion.lowest(down, up);
        let peak = set.value(&force::PEAK);
        set.put_if(&stiffness::CONTACT, peak.map(|peak| peak / drop_m));
    }
    if let (Some(sides), Some(weighing)) = (&recording.sides, &contact.weighing) {
        set.asymmetry = asymmetry::of_phases(recording, sides, &jump.phases(), weighing);
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
