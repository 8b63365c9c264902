//! A lift by velocity: its line a side, the target and the load it gives.

use crate::flow::house::House;
use crate::flow::profiles::{self, PROFILE_DAYS};
use crate::flow::sides::{self, SideGap};
use crate::flow::{picture, reps_by_method, squad_curve};
use crate::web::page::parts;
use cornerwork_core::exercise::Exercise;
use cornerwork_core::report::figure::{Figure, Slope};
use cornerwork_core::session::athlete::Athlete;
use cornerwork_core::session::evening::Target;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::rep::Side;
use cornerwork_core::units::Velocity;
use maud::{Markup, html};

/// The section of one lift.
pub(super) fn section(
    house: &House,
    gym: &Gym,
    athlete: &Athlete,
    exercise: &Exercise,
    sides: &[Option<Side>],
) -> Markup {
    let kind = reps_by_method::velocity_of(exercise).unwrap_or(exercise.measure.kind);
    let target = match house.target(gym, &athlete.id, exercise) {
        Some(Target::Window { low, high }) if exercise.measure.kind == kind => {
            Some((low + high) / 2.0)
        }
        _ => None,
    };
    html! {
        section.profile {
            h2 { (exercise.name) }
            @if let Some(found) = sides::of(house, gym, &athlete.id, exercise) { (gap(exercise, &found)) }
            div.pair {
                @for &side in sides {
                    @match profiles::velocity(house, gym, &athlete.id, exercise, side, PROFILE_DAYS) {
                        Ok(profile) => {
                            @let target = target.map(Velocity::metres_per_second);
                            @let slope = picture::slope(&profile.value, kind, target);
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
