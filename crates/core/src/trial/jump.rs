//! A jump from standing on the plate: what a countermovement jump and a squat jump share.

use super::flight::{self, Flight, Flown};
use super::landing::{self, Landing};
use super::motion::Motion;
use super::recording::Recording;
use super::standing_start::{self, StandingStart};
use super::{Conditions, Phase, TrialError, drift, outside, quality};
use crate::capture::ForceCapture;
use crate::estimate::USUAL_REACH;
use crate::note::{Note, Noted};
use crate::signal::Moment;

/// The constants any jump from standing is read by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rules {
    /// Recording, weighing, onset, clipping.
    pub start: standing_start::Rules,
    /// Flight.
    pub flight: flight::Rules,
    /// Landing.
    pub landing: landing::Rules,
    /// Another flight sooner than this after landing is a double hop (engineering choice).
    pub second_hop_s: f64,
    /// A flight sooner than this before the weighing is mentioned (engineering choice).
    pub earlier_hop_s: f64,
    /// Take-off slower than this is a low effort (engineering choice).
    pub low_effort_m_s: f64,
    /// Flight longer than this is doubted (engineering choice): a wrong sampling rate stretches
    /// both heights alike and no physics in the trace can tell.
    pub longest_flight_s: f64,
    /// And a height over this, metres, by either method (engineering choice).
    pub tallest_m: f64,
    /// Whether velocity left over when standing again is taken off as a straight line from the
    /// onset. Off unless asked for: it makes any integration end at rest, right or wrong.
    pub close_velocity: bool,
    /// Height from impulse is withheld when its 90 % interval reaches further than this either way,
    /// metres (engineering choice: more than a good block of training moves it).
    pub widest_m: f64,
    /// Height by flight over height by impulse: landing with bent legs, and plain disagreement,
    /// metres (engineering choices; Yamashita et al. 2020, Appl Sci 10:776, measured 0.025 m for
    /// a centre of mass 0.053 m lower at landing).
    pub disagreement_m: [f64; 2],
}

impl Default for Rules {
    fn default() -> Self {
        Self {
            start: standing_start::Rules::default(),
            flight: flight::Rules::default(),
            landing: landing::Rules::default(),
            second_hop_s: 1.5,
            earlier_hop_s: 3.0,
            low_effort_m_s: 1.0,
            longest_flight_s: 0.80,
            tallest_m: 0.75,
            close_velocity: false,
            widest_m: 0.02,
            disagreement_m: [0.03, 0.05],
        }
    }
}

/// A jump with its flight, and what is known before and after it.
#[derive(Clone, Debug, PartialEq)]
pub struct Jump {
    /// The rules it was read by.
    pub rules: Rules,
    /// What was known beside the trace.
    pub conditions: Conditions,
    /// The force, checked and zeroed.
    pub recording: Recording,
    /// Take-off and landing.
    pub flight: Flight,
    /// Whether the landing was on the plate, so that flight time means something.
    pub landed: bool,
    /// Weighing, onset and motion; `None` when force could not be integrated (a note says why).
    pub start: Option<StandingStart>,
    /// Whether displacements can be believed.
    pub displacement_trusted: bool,
    /// The landing, when it can be followed.
    pub landing: Option<Landing>,
    /// Whether the largest force in the landing is real rather than the end of the plate's range.
    pub landing_peak_measured: bool,
}

/// Reads what all jumps from standing share. Fails when there is no flight to measure; whatever
/// else cannot be trusted is withheld with a note.
pub(super) fn read(
    capture: &ForceCapture,
    conditions: &Conditions,
    rules: &Rules,
) -> Result<Noted<Jump>, TrialError> {
    let Flown { recording, flights, mut notes } =
        flight::in_capture(capture, &rules.start.recording, &rules.flight)?;

    let (flight, weighing) =
        standing_start::choose_flight(&recording, &flights, conditions, &rules.start);
    let flight = conditions.moved.flight(&recording.total, flight)?;
    let weight_n = weighing.as_ref().ok().map(|weighing| weighing.weight_n);
    if let Ok(weighing) = &weighing {
        notes.extend(weighing.notes(&recording.total, conditions, &rules.start.weighing));
        let from = weighing.window.start;
        notes.extend(quality::hopped_before(&recording, &flights, from, rules.earlier_hop_s));
    }
    notes.extend(quality::hops_again(&recording, &flights, flight.landing, rules.second_hop_s));

    let clipped = quality::clipped(&recording.total.values, &rules.start.clipping);
    let start = match weighing {
        Ok(weighing) => {
            let rules = &rules.start;
            standing_start::read(&recording, weighing, &flight, &clipped, conditions, rules)?
        }
        Err(reason) => Err(reason),
    };
    let mut start = start.map_err(|reason| notes.push(reason)).ok();

    let until = flights
        .iter()
        .find(|other| other.take_off > flight.landing)
        .map_or_else(|| recording.total.end(), |other| other.take_off);
    let after = flight.landing.before..until.before + 1;
    let landing_peak_measured = quality::clipped_within(&clipped, &after).is_none();
    let missing = landing::missing(&recording, &flight, weight_n, &rules.landing);
    let landed = flight.landed && missing.as_ref().is_none_or(|note| note.id != "stepped-off");
    let lost = missing.is_some();
    let follow = |start: &Option<StandingStart>| {
        let motion = start.as_ref().map(|start| &start.motion);
        let weight_n = start.as_ref().map(StandingStart::weight_n).or(weight_n);
        let by = (&rules.landing, &rules.start.stance);
        landing::follow(&recording, &flight, until, weight_n?, motion, by).filter(|_| !lost)
    };
    let mut landing = follow(&start);
    let part = landing.as_ref().zip(weight_n).and_then(|(landed, weight_n)| {
        landing::partial(&recording, landed, flight.landing, weight_n, &rules.landing)
    });
    let displacement_trusted =
        !landing.as_ref().is_some_and(|landing| landing.loses_displacement(&rules.landing));
    if let Some(found) = &landing
        && let Some(alone) = start.take()
    {
        notes.extend(found.weight_changed(alone.weight_n(), &rules.landing));
        let whole = part.is_none() && landing_peak_measured;
        let reading = drift::Reading { recording: &recording, flight: &flight, conditions, rules };
        let (judged, note) = drift::judge(alone, found, whole, &reading);
        start = Some(judged);
        notes.extend(note);
        landing = follow(&start);
    }
    notes.extend(missing);
    notes.extend(part);
    if let Some(note) =
        start.as_ref().and_then(|start| too_doubtful(start, &recording, &flight, conditions, rules))
    {
        notes.push(note);
        start = None;
        landing = follow(&start);
    }
    let jump = Jump {
        rules: *rules,
        conditions: *conditions,
        flight,
        landed,
        start,
        displacement_trusted,
        landing,
        landing_peak_measured,
        recording,
    };
    if !flight.landed && !jump.took_off() {
        return Err(flight::none(&rules.flight));
    }
    notes.extend(jump.plausibility());
    Ok(Noted { value: jump, notes })
}

/// The reason the force's numbers are withheld, when the weight leaves too much in doubt.
fn too_doubtful(
    start: &StandingStart,
    recording: &Recording,
    flight: &Flight,
    conditions: &Conditions,
    rules: &Rules,
) -> Option<Note> {
    let gravity_m_s2 = conditions.gravity_m_s2();
    let (velocity, error) = start.take_off_velocity(recording, flight, gravity_m_s2);
    let reach_m = USUAL_REACH * error * velocity.abs() / gravity_m_s2;
    (reach_m > rules.widest_m).then(|| {
        Note::new(
            "weight-in-doubt",
            format!(
                "The standing before and after leaves the weight so much in doubt that height from \
                 impulse could be off by {:.1} cm. Numbers that need the weight are withheld; stand \
                 still for two seconds before the jump and after it.",
                100.0 * reach_m
            ),
        )
    })
}

impl Jump {
    /// Motion of the centre of mass, where it could be integrated.
    pub fn motion(&self) -> Option<&Motion> {
        self.start.as_ref().map(|start| &start.motion)
    }

    /// Whether the plate was left at the speed of a jump, rather than by a step.
    fn took_off(&self) -> bool {
        self.motion().is_some_and(|motion| {
            motion.velocity_at(self.flight.take_off) >= self.rules.low_effort_m_s
        })
    }

    /// Seconds from onset to take-off.
    pub fn time_to_take_off_s(&self, start: &StandingStart) -> f64 {
        self.recording.total.between_s(start.onset.at, self.flight.take_off)
    }

    /// The weighing, when there was one.
    pub(super) fn weighing_phase(&self) -> Option<Phase> {
        let window = &self.start.as_ref()?.weighing.window;
        let (from, to) = (Moment::at(window.start), Moment::at(window.end - 1));
        Some(Phase { name: "weighing", from, to })
    }

    /// Flight, and landing where it was followed.
    pub(super) fn phases_after_take_off(&self) -> Vec<Phase> {
        let Flight { take_off, landing, .. } = self.flight;
        let mut phases = vec![Phase { name: "flight", from: take_off, to: landing }];
        if let Some(stop) = self.landing.as_ref().and_then(|landing| landing.stop) {
            phases.push(Phase { name: "landing", from: landing, to: stop });
        }
        phases
    }

    fn plausibility(&self) -> Vec<Note> {
        let mut notes = Vec::new();
        let flight_s = self.flight.duration_s(&self.recording);
        let velocity = self.motion().map(|motion| motion.velocity_at(self.flight.take_off));
        let rise_s = velocity.map_or(0.0, |velocity| velocity / self.conditions.gravity_m_s2());
        // A flight and a take-off velocity are believed or not by the height they mean.
        let longest_s = self
            .rules
            .longest_flight_s
            .min((8.0 * self.rules.tallest_m / self.conditions.gravity_m_s2()).sqrt());
        let flown_s = if self.landed { flight_s.max(2.0 * rise_s) } else { 2.0 * rise_s };
        if flown_s > longest_s {
            notes.push(quality::suspect_rate(flown_s));
        }
        let Some(velocity) = velocity else { return notes };
        if velocity < self.rules.low_effort_m_s {
            notes.push(Note::new(
                "low-effort",
                format!("Take-off at {velocity:.2} m/s is slow for a full effort."),
            ));
        }
        if self.landed {
            notes.extend(self.height_disagreement(velocity));
        }
        notes
    }

    fn height_disagreement(&self, velocity_m_s: f64) -> Option<Note> {
        let gravity = self.conditions.gravity_m_s2();
        let flight_s = self.flight.duration_s(&self.recording);
        let excess_m = gravity * flight_s * flight_s / 8.0 - velocity_m_s.powi(2) / (2.0 * gravity);
        let [bent, far] = self.rules.disagreement_m;
        let centimetres = excess_m * 100.0;
        if excess_m.abs() > far {
            return Some(Note::new(
                "height-methods-disagree",
                format!(
                    "Height from flight time is {centimetres:+.1} cm against height from impulse; \
                     look at the weighing and the landing before using either."
                ),
            ));
        }
        (excess_m > bent).then(|| {
            Note::new(
                "landed-with-bent-legs",
                format!(
                    "Height from flight time is {centimetres:.1} cm over height from impulse: the \
                     athlete landed with legs bent by about {:.0} cm. Use height from impulse.",
                    2.0 * centimetres
                ),
            )
        })
    }

    /// A caveat when the centre of mass leaves the ground where it cannot be.
    pub(super) fn doubtful_rise(&self, believed_m: [f64; 2]) -> Option<Note> {
        let rise_m = self.motion()?.displacement_at(self.flight.take_off);
        outside(rise_m, believed_m).then(|| {
            Note::new(
                "implausible-take-off-posture",
                format!(
                    "The centre of mass leaves the ground {:.0} cm above where it stood, which is \
                     not to be believed; look at the weighing.",
                    rise_m * 100.0
                ),
            )
        })
    }
}
