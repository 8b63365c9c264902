//! Jumps of an athlete, those of the mat and those of the plate kept apart.
//!
//! Height by flight time and height by impulse differ by centimetres that have nothing to do with
//! the athlete (Eythorsdottir et al. 2024, Sports Med 54:2771), so one profile stands on one of
//! them. The rule: the plate, as soon as its jumps of the last weeks cover three loads, because it
//! weighs the system and asks nothing of the landing; until then the mat.

use crate::flow::dated::{Dated, first_of, last_day, latest, loads, not_after};
use crate::flow::house::House;
use crate::flow::plan::UNLOADED_JUMP;
use crate::flow::profiles::{Absent, JumpSet};
use crate::flow::trace::Kind;
use cornerwork_core::exercise::Exercise;
use cornerwork_core::metrics::height;
use cornerwork_core::note::Note;
use cornerwork_core::profile::load_momentum::{HeightMethod, LoadedJump};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::rep::{Method, Rep};
use cornerwork_core::session::traces::FiledRecording;
use cornerwork_core::units::{Length, Mass, Velocity};
use jiff::civil::Date;

/// Loads from which the plate alone makes a curve with a peak.
const FEWEST_LOADS: usize = 3;

/// The jumps a profile stands on.
pub(super) struct Chosen {
    /// Their method.
    pub method: HeightMethod,
    /// The last day of them.
    pub to: Date,
    /// The jumps, with their days, in the order of entry.
    pub jumps: Vec<Dated<LoadedJump>>,
    /// What was left out: the other method and how many.
    pub left_out: Option<(HeightMethod, usize)>,
}

/// The jumps of the days up to the last one not after a day, by the method the rule chooses.
pub(super) fn chosen(
    house: &House,
    gym: &Gym,
    athlete: &AthleteId,
    exercise: &Exercise,
    until: Date,
    days: i32,
) -> Result<Chosen, Absent> {
    let mat = latest(not_after(by_mat(house, gym, athlete, exercise), until), days);
    let plate = latest(not_after(by_plate(house, gym, athlete, exercise), until), days);
    let enough = loads(&plate, |jump| jump.load) >= FEWEST_LOADS && is_recent(&plate, &mat, days);
    let (method, jumps, other, others) = if enough || mat.is_empty() {
        (HeightMethod::Impulse, plate, HeightMethod::FlightTime, mat.len())
    } else {
        (HeightMethod::FlightTime, mat, HeightMethod::Impulse, plate.len())
    };
    let to = last_day(&jumps).ok_or("No jump on record yet.")?;
    let left_out = (others > 0).then_some((other, others));
    Ok(Chosen { method, to, jumps, left_out })
}

/// What a profile says of the jumps it stands on, when there are others.
pub(super) fn kept_apart(set: &JumpSet) -> Option<Note> {
    let (other, count) = set.left_out?;
    let text = format!(
        "Stands on {} jumps by {}. {count} by {} of the same weeks are left out: the two differ by \
         centimetres that are not the athlete's. The plate is taken once it covers {FEWEST_LOADS} \
         loads.",
        set.jumps.len(),
        set.method.word(),
        other.word()
    );
    Some(Note::new("methods-kept-apart", text))
}

/// Whether the plate was stood on lately: a curve of last year is no answer while the mat has one
/// of this week.
fn is_recent(plate: &[Dated<LoadedJump>], mat: &[Dated<LoadedJump>], days: i32) -> bool {
    match (last_day(plate), last_day(mat)) {
        (Some(plate), Some(mat)) => plate >= first_of(mat, days),
        _ => true,
    }
}

fn is_jump_of(rep: &Rep, exercise: &Exercise) -> bool {
    rep.entry.exercise == exercise.id || rep.entry.exercise.as_str() == UNLOADED_JUMP
}

fn typed<'a>(
    house: &'a House,
    gym: &'a Gym,
    athlete: &AthleteId,
    exercise: &'a Exercise,
    method: Method,
) -> impl Iterator<Item = (Date, &'a Rep)> {
    gym.reps_of(athlete)
        .filter(move |rep| is_jump_of(rep, exercise) && rep.counts() && rep.entry.method == method)
        .map(|rep| (house.clock().date_of(rep.entry.at), rep))
}

/// Jumps by time in the air. A constant error of the mat weighs most on the low jumps and moves
/// the peak to heavier loads, so what it is known to read too high is taken off first.
fn by_mat(
    house: &House,
    gym: &Gym,
    athlete: &AthleteId,
    exercise: &Exercise,
) -> Vec<Dated<LoadedJump>> {
    let jump = |(date, rep): (Date, &Rep)| {
        let height = Length::metres(rep.number()?) - gym.mat_reads_high_by;
        Some((date, LoadedJump::of_height(rep.entry.load.total, height, HeightMethod::FlightTime)))
    };
    typed(house, gym, athlete, exercise, Method::FlightTime).filter_map(jump).collect()
}

/// Jumps by take-off velocity: recordings of a plate, and heights that were typed from one.
fn by_plate(
    house: &House,
    gym: &Gym,
    athlete: &AthleteId,
    exercise: &Exercise,
) -> Vec<Dated<LoadedJump>> {
    let by_hand = typed(house, gym, athlete, exercise, Method::TakeOffVelocity);
    let by_hand = by_hand.filter_map(|(date, rep)| {
        let height = Length::metres(rep.number()?);
        Some((date, LoadedJump::of_height(rep.entry.load.total, height, HeightMethod::Impulse)))
    });
    let recorded = gym
        .traces
        .usable(athlete, Kind::CountermovementJump, None)
        .filter(|trace| is_of(trace, exercise))
        .filter_map(|trace| Some((trace.filing.day, recorded_jump(house, gym, trace)?)));
    by_hand.chain(recorded).collect()
}

/// With the body alone a jump is of every loaded exercise; with a load of its own.
fn is_of(trace: &FiledRecording, exercise: &Exercise) -> bool {
    trace.filing.load == Mass::ZERO || trace.filing.exercise.as_ref() == Some(&exercise.id)
}

fn recorded_jump(house: &House, gym: &Gym, trace: &FiledRecording) -> Option<LoadedJump> {
    let found = house.profiles.trials.known(gym, house.clock(), trace)?;
    let numbers = found.as_ref().as_ref().ok()?;
    let velocity = numbers.sets.first()?.value(&height::TAKE_OFF_VELOCITY)?;
    let velocity = Velocity::metres_per_second(velocity);
    (velocity > Velocity::ZERO)
        .then(|| LoadedJump::of_velocity(trace.filing.load, velocity, HeightMethod::Impulse))
}
