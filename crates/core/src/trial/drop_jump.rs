//! Drop jump: from a box onto the plate and straight up again.
//!
//! The plate shows no standing start, so the velocity at touch-down must come from elsewhere; the
//! trial takes the best way there is and says which ([`VelocityFrom`]).

use super::flight::{self, Flight, Flown};
use super::landing::{self, Landing};
use super::motion::{Anchor, Motion};
use super::onset::{self, Leaving};
use super::recording::Recording;
use super::weighing::{self, Weighing};
use super::{Conditions, Phase, TrialError, TrialEvent, moved, quality, standing_start};
use crate::capture::ForceCapture;
use crate::note::{Note, Noted};
use crate::signal::{Moment, Trace, crossing};

/// The constants a drop jump is read by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rules {
    /// Recording, weighing, onset, clipping.
    pub start: standing_start::Rules,
    /// Flight.
    pub flight: flight::Rules,
    /// Landing.
    pub landing: landing::Rules,
    /// The plate must be empty this long before touch-down (engineering choice).
    pub empty_s: f64,
    /// A longer contact is no rebound (engineering choice).
    pub longest_contact_s: f64,
    /// Flight longer than this is doubted (engineering choice).
    pub longest_flight_s: f64,
    /// The first impact is looked for this long after touch-down (engineering choice).
    pub impact_s: f64,
    /// Real drop and box further apart than this get a caveat (engineering choice; Costley et al.
    /// 2018, J Sports Med Phys Fitness 58:1390, measured drops of 15 to 30 cm from a 20 cm box).
    pub box_tolerance_m: f64,
}

impl Default for Rules {
    fn default() -> Self {
        Self {
            start: standing_start::Rules::default(),
            flight: flight::Rules::default(),
            landing: landing::Rules::default(),
            empty_s: 0.2,
            longest_contact_s: 1.0,
            longest_flight_s: 0.80,
            impact_s: 0.050,
            box_tolerance_m: 0.05,
        }
    }
}

/// Where the velocity during contact comes from, best first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum VelocityFrom {
    /// Standing on a box that is a plate itself (Baca 1999, Med Sci Sports Exerc 31:437).
    BoxPlate,
    /// Standing still after the last landing, integrated backwards (McMahon et al. 2021,
    /// Biomechanics 1:178).
    StandingAfterwards,
    /// The flight after the rebound: half of it rising. Inherits the bias of landing posture.
    FlightTime,
    /// The nominal height of the box, which people do not fall from exactly.
    NominalBox,
}

impl VelocityFrom {
    /// Stable id, in kebab-case.
    pub const fn id(self) -> &'static str {
        match self {
            Self::BoxPlate => "box-plate",
            Self::StandingAfterwards => "standing-afterwards",
            Self::FlightTime => "flight-time",
            Self::NominalBox => "nominal-box",
        }
    }
}

/// A drop jump with its events.
#[derive(Clone, Debug, PartialEq)]
pub struct DropJump {
    /// The rules it was read by.
    pub rules: Rules,
    /// What was known beside the trace.
    pub conditions: Conditions,
    /// The force, checked and zeroed.
    pub recording: Recording,
    /// Touch-down from the box.
    pub touch_down: Moment,
    /// The flight after the rebound.
    pub flight: Flight,
    /// Whether the last landing was on the plate.
    pub landed: bool,
    /// Motion during contact; `None` when weight or velocity are unknown (a note says why).
    pub contact: Option<Contact>,
    /// The last landing, when it can be followed.
    pub landing: Option<Landing>,
}

/// The contact after the drop.
#[derive(Clone, Debug, PartialEq)]
pub struct Contact {
    /// Where the velocity is from.
    pub velocity_from: VelocityFrom,
    /// Weight of the system, newtons.
    pub weight_n: f64,
    /// The weighing, when the plate did it.
    pub weighing: Option<Weighing>,
    /// Motion of the centre of mass from before touch-down.
    pub motion: Motion,
    /// Standstill at the bottom; `None` when the athlete never comes to one.
    pub bottom: Option<Moment>,
}

/// Reads a drop jump. Fails when there is no touch-down and rebound to measure.
pub fn read(
    capture: &ForceCapture,
    conditions: &Conditions,
    rules: &Rules,
) -> Result<Noted<DropJump>, TrialError> {
    let Flown { recording, flights, mut notes } =
        flight::in_capture(capture, &rules.start.recording, &rules.flight)?;
    let (touch_down, flight) = flights
        .iter()
        .find_map(|flight| Some((touch_down(&recording, flight, rules)?, *flight)))
        .ok_or(TrialError::NoDrop { shortest_s: rules.empty_s })?;
    let (trace, moved) = (&recording.total, &conditions.moved);
    let flight = moved.flight(trace, flight)?;
    let touch_down = moved.moment(TrialEvent::TouchDown, trace, touch_down)?;
    let [first, second] = [TrialEvent::TouchDown.name(), TrialEvent::TakeOff.name()];
    moved::in_order(trace, (first, touch_down), (second, flight.take_off))?;

    let reading = Reading { recording: &recording, touch_down, flight, conditions, rules };
    let contact = reading.contact().map_err(|reason| notes.push(reason)).ok();
    let weight_n = contact.as_ref().map(|contact| contact.weight_n);
    let missing = landing::missing(&recording, &flight, weight_n, &rules.landing);
    let landed = flight.landed && missing.as_ref().is_none_or(|note| note.id != "stepped-off");
    let landing = contact.as_ref().filter(|_| missing.is_none()).and_then(|contact| {
        let motion = Some(&contact.motion);
        let until = Moment::at(contact.motion.end() - 1);
        let by = (&rules.landing, &rules.start.stance);
        landing::follow(&recording, &flight, until, contact.weight_n, motion, by)
    });
    notes.extend(missing);
    if let (Some(landed), Some(weight_n)) = (&landing, weight_n) {
        let down = flight.landing;
        notes.extend(landing::partial(&recording, landed, down, weight_n, &rules.landing));
    }
    let jump = DropJump {
        rules: *rules,
        conditions: *conditions,
        touch_down,
        flight,
        landed,
        contact,
        landing,
        recording,
    };
    notes.extend(jump.plausibility());
    Ok(Noted { value: jump, notes })
}

/// Touch-down before a flight: the plate empty long enough, then loaded until take-off.
fn touch_down(recording: &Recording, flight: &Flight, rules: &Rules) -> Option<Moment> {
    let trace = &recording.total;
    let values = &trace.values;
    let hold = trace.samples_in(rules.flight.hold_s);
    // Backwards from take-off: the contact, then the empty plate before it.
    let runs = flight::light_runs(recording, &rules.flight);
    let empty = runs.into_iter().rev().find(|run| run.end <= flight.take_off.before)?;
    if empty.len() < trace.samples_in(rules.empty_s) {
        return None;
    }
    let threshold_n = flight::threshold_n(values, &empty, &rules.flight)?;
    let middle = empty.start + empty.len() / 2;
    let loaded = |index: usize| values[index] >= threshold_n;
    let first = crossing::first_held(middle..flight.take_off.before + 1, hold, loaded)?;
    let touch_down = Moment::crossing(values, first.checked_sub(1)?, threshold_n);
    (trace.between_s(touch_down, flight.take_off) <= rules.longest_contact_s).then_some(touch_down)
}

struct Reading<'a> {
    recording: &'a Recording,
    touch_down: Moment,
    flight: Flight,
    conditions: &'a Conditions,
    rules: &'a Rules,
}

impl Reading<'_> {
    fn contact(&self) -> Result<Contact, Note> {
        let moving = self.touch_down.before..self.flight.take_off.before + 1;
        let least_rate_hz = self.rules.start.recording.least_integration_rate_hz;
        let clipped = quality::clipped(&self.recording.total.values, &self.rules.start.clipping);
        if let Some(reason) =
            quality::bars_integration(self.recording, moving.clone(), least_rate_hz)
                .or_else(|| quality::clipped_within(&clipped, &moving))
        {
            return Err(reason);
        }
        self.by_box_plate()
            .or_else(|| self.by_standing_afterwards())
            .or_else(|| self.by_logged_mass())
            .ok_or_else(|| {
                Note::new(
                    "no-velocity-at-touch-down",
                    "The athlete does not stand still after landing and no body mass is logged; \
                     numbers that need velocity are withheld.",
                )
            })
    }

    fn integrate(
        &self,
        force: &Trace,
        (start, end): (usize, usize),
        weight_n: f64,
        anchor: Anchor,
    ) -> Motion {
        Motion::integrate(force, (start, end), weight_n, self.conditions.gravity_m_s2(), anchor)
    }

    fn finish(
        &self,
        velocity_from: VelocityFrom,
        weight_n: f64,
        weighing: Option<Weighing>,
        motion: Motion,
    ) -> Contact {
        let bottom = motion.turns_upward(self.touch_down.before, self.flight.take_off.before);
        Contact { velocity_from, weight_n, weighing, motion, bottom }
    }

    /// From quiet standing on the box, box and floor together.
    fn by_box_plate(&self) -> Option<Contact> {
        let box_plate = self.recording.box_plate_n.as_ref()?;
        let floor = &self.recording.total;
        let sum = floor.values.iter().zip(box_plate).map(|(floor, above)| floor + above);
        let all = Trace { sampling: floor.sampling.clone(), values: sum.collect() };
        let until = self.touch_down.before + 1;
        let weigh = &self.rules.start.weighing;
        let weighing = weighing::find(&all, 0..until, self.conditions, weigh).ok()?;
        let search = weighing.window.end..until;
        let onset_rules = &self.rules.start.onset;
        let onset = onset::find(&all, search, &weighing, Leaving::EitherWay, onset_rules)?;
        let weight_n = weighing.weight_n;
        let anchor = Anchor { at: onset.at, velocity_m_s: 0.0 };
        let motion = self.integrate(&all, (onset.at.before, all.len()), weight_n, anchor);
        Some(self.finish(VelocityFrom::BoxPlate, weight_n, Some(weighing), motion))
    }

    /// From quiet standing after the last landing, backwards. The anchor is the start of the
    /// quiet second: an error of weight then has the least time to act.
    fn by_standing_afterwards(&self) -> Option<Contact> {
        let trace = &self.recording.total;
        let after = self.flight.landing.after()..trace.len();
        let weigh = &self.rules.start.weighing;
        let weighing = weighing::find(trace, after, self.conditions, weigh).ok()?;
        let anchor = Anchor { at: Moment::at(weighing.window.start), velocity_m_s: 0.0 };
        let stretch = (self.touch_down.before, weighing.window.end);
        let weight_n = weighing.weight_n;
        let motion = self.integrate(trace, stretch, weight_n, anchor);
        Some(self.finish(VelocityFrom::StandingAfterwards, weight_n, Some(weighing), motion))
    }

    /// With the logged mass for weight: from the flight, or from the box if the flight is lost.
    fn by_logged_mass(&self) -> Option<Contact> {
        let trace = &self.recording.total;
        let weight_n = self.conditions.expected_weight_n()?;
        let gravity = self.conditions.gravity_m_s2();
        let stretch = (self.touch_down.before, trace.len());
        let lost =
            landing::missing(self.recording, &self.flight, Some(weight_n), &self.rules.landing)
                .is_some_and(|note| note.id == "stepped-off");
        let (velocity_from, anchor) = if lost {
            let box_m = self.conditions.box_height?.in_metres();
            let velocity_m_s = -(2.0 * gravity * box_m).sqrt();
            (VelocityFrom::NominalBox, Anchor { at: self.touch_down, velocity_m_s })
        } else {
            let velocity_m_s = gravity * self.flight.duration_s(self.recording) / 2.0;
            (VelocityFrom::FlightTime, Anchor { at: self.flight.take_off, velocity_m_s })
        };
        let motion = self.integrate(trace, stretch, weight_n, anchor);
        Some(self.finish(velocity_from, weight_n, None, motion))
    }
}

impl DropJump {
    /// Height really fallen, metres: v²/(2g) of the velocity at touch-down.
    pub fn drop_height_m(&self) -> Option<f64> {
        let velocity = self.contact.as_ref()?.motion.velocity_at(self.touch_down);
        Some(velocity * velocity / (2.0 * self.conditions.gravity_m_s2()))
    }

    /// Seconds on the ground.
    pub fn contact_s(&self) -> f64 {
        self.recording.total.between_s(self.touch_down, self.flight.take_off)
    }

    /// The phases in order.
    pub fn phases(&self) -> Vec<Phase> {
        let Flight { take_off, landing, .. } = self.flight;
        let mut phases = match self.contact.as_ref().and_then(|contact| contact.bottom) {
            Some(bottom) => vec![
                Phase { name: "braking", from: self.touch_down, to: bottom },
                Phase { name: "propulsion", from: bottom, to: take_off },
            ],
            None => vec![Phase { name: "contact", from: self.touch_down, to: take_off }],
        };
        phases.push(Phase { name: "flight", from: take_off, to: landing });
        if let Some(stop) = self.landing.as_ref().and_then(|landing| landing.stop) {
            phases.push(Phase { name: "landing", from: landing, to: stop });
        }
        phases
    }

    fn plausibility(&self) -> Vec<Note> {
        let mut notes = Vec::new();
        let flight_s = self.flight.duration_s(&self.recording);
        if self.landed && flight_s > self.rules.longest_flight_s {
            notes.push(quality::suspect_rate(flight_s));
        }
        let Some(contact) = &self.contact else { return notes };
        if let Some(weighing) = &contact.weighing {
            notes.extend(weighing.notes(
                &self.recording.total,
                &self.conditions,
                &self.rules.start.weighing,
            ));
        }
        if contact.velocity_from == VelocityFrom::NominalBox {
            notes.push(Note::new(
                "nominal-drop-height",
                "Velocity at touch-down is taken from the height of the box; people step down or \
                 jump up, and heights can be off by a quarter.",
            ));
        } else {
            notes.extend(self.box_mismatch());
        }
        if contact.bottom.is_none() {
            notes.push(Note::new(
                "no-bottom",
                "The centre of mass does not come to a stop during contact; weight or velocity is \
                 wrong, and phases are withheld.",
            ));
        }
        notes
    }

    fn box_mismatch(&self) -> Option<Note> {
        let box_m = self.conditions.box_height?.in_metres();
        let drop_m = self.drop_height_m()?;
        let (id, what) = if drop_m < box_m {
            ("stepped-down", "stepped down")
        } else {
            ("jumped-off-box", "jumped up off it")
        };
        ((drop_m - box_m).abs() > self.rules.box_tolerance_m).then(|| {
            Note::new(
                id,
                format!(
                    "The drop was {:.0} cm from a box of {:.0} cm: the athlete {what}.",
                    drop_m * 100.0,
                    box_m * 100.0
                ),
            )
        })
    }

    /// Whether an impact peak comes before a second, active one: the heels came down.
    pub fn lands_on_heels(&self) -> bool {
        let trace = &self.recording.total;
        let Some(bottom) = self.contact.as_ref().and_then(|contact| contact.bottom) else {
            return false;
        };
        let Some(early) = trace.later(self.touch_down, self.rules.impact_s) else { return false };
        let Some((impact, impact_n)) = trace.peak(self.touch_down, early) else { return false };
        let at_bottom_n = bottom.of(&trace.values);
        let dip = trace.trough(Moment::at(impact), bottom).map_or(impact_n, |(_, least)| least);
        impact_n > at_bottom_n && dip < at_bottom_n
    }
}
