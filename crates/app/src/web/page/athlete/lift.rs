//! A lift by velocity: its line a side, the target and the load it gives.

use crate::flow::house::House;
use crate::flow::picture;
use crate::flow::profiles::{self, PROFILE_DAYS};
use crate::flow::sides::{self, SideGap};
use crate::flow::squad_curve;
use crate::web::page::parts;
use cornerwork_core::exercise::{Exercise, MeasureKind};
use cornerwork_core::report::figure::{Figure, Slope};
use cornerwork_core::session::athlete::Athlete;
use cornerwork_core::session::evening::Target;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::rep::Side;
use cornerwork_core::units::{Mass, Velocity};
use maud::{Markup, html};

/// Exercises with reps of a known speed under a load.
pub(super) fn exercises<'a>(
    house: &'a House,
    gym: &'a Gym,
    athlete: &Athlete,
) -> Vec<&'a Exercise> {
    let mut found: Vec<&Exercise> = Vec::new();
    for rep in gym.reps_of(&athlete.id).filter(|rep| rep.entry.load.total > Mass::ZERO) {
        let Some(exercise) = house.exercise(gym, &rep.entry.exercise) else { continue };
        let velocity =
            matches!(exercise.measure.kind, MeasureKind::MeanVelocity | MeasureKind::PeakVelocity);
        if velocity && !found.iter().any(|one| one.id == exercise.id) {
            found.push(exercise);
        }
    }
    found
}

/// The section of one lift.
pub(super) fn section(house: &House, gym: &Gym, athlete: &Athlete, exercise: &Exercise) -> Markup {
    let sides: Vec<Option<Side>> = sides_seen(gym, athlete, exercise);
    let target = match house.target(gym, &athlete.id, exercise) {
        Some(Target::Window { low, high }) => Some((low + high) / 2.0),
        _ => None,
    };
    html! {
        section.profile {
            h2 { (exercise.name) }
            @if let Some(found) = sides::of(house, gym, &athlete.id, exercise) { (gap(exercise, &found)) }
            div.pair {
                @for side in sides {
                    @match profiles::velocity(house, gym, &athlete.id, exercise, side, PROFILE_DAYS) {
                        Ok(profile) => {
                            @let target = target.map(Velocity::metres_per_second);
                            @let slope = picture::slope(&profile.value, exercise.measure.kind, target);
                            @let behind = squad_curve::behind_line(house, gym, athlete, exercise, side, &slope.line);
                            @let slope = Slope { behind, ..slope };
                            @let id = format!("slope-{}-{}", exercise.id, side.map_or("both", Side::code));
                            @let working = match target { Some(target) => profile.value.working_of_load_at(target), None => profile.value.working() };
                            figure {
                                @if let Some(side) = side { figcaption { (side.word()) } }
                                (parts::drawn(&Figure::Slope(slope.clone()), &id, 460.0))
                                p { (slope.description) }
                                (parts::why(&format!("why-{id}"), &working, &profile.notes))
                                (parts::data_table(&format!("{id}-data"), &slope.table()))
                            }
                        }
                        Err(error) => { p { @if let Some(side) = side { (side.word()) ": " } (error) } }
                    }
                }
            }
        }
    }
}

/// The gap between the sides against its noise.
fn gap(exercise: &Exercise, found: &SideGap) -> Markup {
    let id = format!("sides-{}", exercise.id);
    html! {
        p { (found.gap.sentence) " " span.quiet { (found.at) "." } }
        figure { (parts::drawn(&Figure::Strip(sides::strip(found)), &id, 460.0)) }
        (parts::why(&format!("why-{id}"), &found.gap.working, &[]))
    }
}

fn sides_seen(gym: &Gym, athlete: &Athlete, exercise: &Exercise) -> Vec<Option<Side>> {
    let mut sides: Vec<Option<Side>> = gym
        .reps_of(&athlete.id)
        .filter(|rep| rep.entry.exercise == exercise.id)
        .map(|rep| rep.entry.side)
        .collect();
    sides.sort_unstable();
    sides.dedup();
    sides
}
