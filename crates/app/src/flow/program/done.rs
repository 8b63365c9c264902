//! Planned beside performed: what each athlete was to do in a session and what is on record.

use super::{resolve, sides};
use crate::flow::house::House;
use cornerwork_core::exercise::{Direction, ExerciseId};
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::program::{DoThis, SessionPlan};
use cornerwork_core::session::rep::Rep;

/// One exercise of one athlete.
#[derive(Debug)]
pub struct Row {
    /// Who.
    pub athlete: AthleteId,
    /// What.
    pub exercise: String,
    /// Planned: "4 × 3 at 40.0 kg"; `None` for what was done without being planned.
    pub planned: Option<String>,
    /// Reps planned, both sides counted.
    pub reps_planned: u32,
    /// Reps done, with and without a number.
    pub reps_done: u32,
    /// Loads or boxes done, lightest first, as said.
    pub loads_done: Vec<String>,
    /// Best number of the day, as said.
    pub best: Option<String>,
}

/// Every athlete who was planned or trained that day. Reps entered away from a station count as
/// warm-up and tests, not as the session.
pub fn rows(house: &House, gym: &Gym, plan: &SessionPlan) -> Vec<Row> {
    let Some(day) = plan.date else { return Vec::new() };
    let resolved = resolve::session(house, gym, plan);
    let of_day = |id: &AthleteId| -> Vec<&Rep> {
        gym.reps_of(id)
            .filter(|rep| rep.entry.station.is_some())
            .filter(|rep| house.clock().date_of(rep.entry.at) == day)
            .collect()
    };
    let mut rows = Vec::new();
    for id in gym.athletes.keys() {
        let done = of_day(id);
        let mut seen: Vec<&ExerciseId> = Vec::new();
        for planned in resolved.of(id) {
            seen.push(&planned.exercise);
            let both = house
                .exercise(gym, &planned.exercise)
                .map_or(1, |exercise| sides(exercise, planned.only.is_some()));
            let with = match &planned.with {
                DoThis::NotYet { .. } => String::new(),
                _ => format!(", {}", planned.in_words()),
            };
            let words = format!("{} × {}{with}", planned.sets, planned.reps);
            let reps_planned = planned.sets * planned.reps * both;
            rows.push(row(house, gym, id, &planned.exercise, &done, Some(words), reps_planned));
        }
        let mut unplanned: Vec<&ExerciseId> = Vec::new();
        for rep in &done {
            let exercise = &rep.entry.exercise;
            if !seen.contains(&exercise) && !unplanned.contains(&exercise) {
                unplanned.push(exercise);
            }
        }
        rows.extend(unplanned.into_iter().map(|one| row(house, gym, id, one, &done, None, 0)));
    }
    rows
}

fn row(
    house: &House,
    gym: &Gym,
    athlete: &AthleteId,
    id: &ExerciseId,
    done: &[&Rep],
    planned: Option<String>,
    reps_planned: u32,
) -> Row {
    let reps: Vec<&&Rep> = done.iter().filter(|rep| rep.entry.exercise == *id).collect();
    let exercise = house.exercise(gym, id);
    let best = exercise.and_then(|exercise| {
        let numbers = reps.iter().filter_map(|rep| rep.number());
        let best = match exercise.measure.direction {
            Direction::HigherIsBetter => numbers.reduce(f64::max),
            Direction::LowerIsBetter => numbers.reduce(f64::min),
        };
        best.map(|best| exercise.measure.with_unit(best))
    });
    let mut loads: Vec<f64> = reps
        .iter()
        .filter_map(|rep| match rep.entry.box_height {
            Some(height) => Some(height.in_centimetres()),
            None => rep.entry.load.bar.as_ref().map(|_| rep.entry.load.total.in_kilograms()),
        })
        .collect();
    loads.sort_by(f64::total_cmp);
    loads.dedup_by(|one, other| (*one - *other).abs() < 0.05);
    let boxed = reps.iter().any(|rep| rep.entry.box_height.is_some());
    let said = |load: &f64| if boxed { format!("{load:.0} cm") } else { format!("{load:.1} kg") };
    Row {
        athlete: athlete.clone(),
        exercise: house.exercise_name(gym, id),
        planned,
        reps_planned,
        reps_done: u32::try_from(reps.len()).unwrap_or(u32::MAX),
        loads_done: loads.iter().map(said).collect(),
        best,
    }
}
