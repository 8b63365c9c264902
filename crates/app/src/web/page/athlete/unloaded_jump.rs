//! The unloaded jump: better than six weeks ago, and is today a usual day?

use super::View;
use crate::flow::house::House;
use crate::flow::progress::{Lesson, Methods, UsualDay};
use crate::flow::squad_jumps::SquadJumps;
use crate::flow::{progress, weeks};
use crate::web::page::parts;
use cornerwork_core::note::Noted;
use cornerwork_core::profile::change::{Change, ChangeError};
use cornerwork_core::report::figure::Figure;
use cornerwork_core::session::athlete::Athlete;
use cornerwork_core::session::gym::Gym;
use maud::{Markup, html};

/// What the unloaded jumps say, worked out once a page.
pub(super) struct Jumps {
    squad: SquadJumps,
    /// Whether the jump changed over the block.
    pub(super) change: Result<Noted<Change>, ChangeError>,
    /// The last day among the usual ones.
    pub(super) day: Result<UsualDay, String>,
}

impl Jumps {
    pub(super) fn of(house: &House, gym: &Gym, athlete: &Athlete, view: View) -> Self {
        let squad = SquadJumps::of_gym(house, gym);
        let change = progress::change(house, gym, &athlete.id, &squad, view.methods);
        let day = progress::usual_day(house, gym, &athlete.id, &squad);
        Self { squad, change, day }
    }
}

/// Two questions, two pictures, and the weeks behind them.
pub(super) fn section(
    house: &House,
    gym: &Gym,
    athlete: &Athlete,
    view: View,
    jumps: &Jumps,
) -> Markup {
    html! {
        section.profile #unloaded {
            h2 { "Unloaded jump" }
            @match &jumps.change {
                Ok(change) => {
                    p.lead { (change.value.sentence) }
                    figure { (parts::drawn(&Figure::Odds(progress::odds(&change.value)), "odds", 720.0)) }
                    (parts::why("why-change", &change.value.working, &change.notes))
                    @if let Some(lesson) = progress::lesson(house, gym, &athlete.id, &jumps.squad, &change.value) { (show_the_boxer(&lesson)) }
                }
                Err(reason) => {
                    p.lead { (reason) }
                    @if matches!(reason, ChangeError::UnlikeConditions { .. }) { (offset(gym, athlete, view)) }
                }
            }
            @if view.methods == Methods::Aligned { p.quiet {
                "Jumps by take-off velocity are read here as the mat would have, by its known offset. "
                a href=(View { methods: Methods::KeptApart, ..view }.address(athlete.id.as_str())) { "Keep the methods apart" }
            } }
            @match &jumps.day {
                Ok(day) => {
                    p #today { (day.today.value.sentence) }
                    figure { (parts::drawn(&Figure::Strip(progress::strip(day)), "usual", 720.0)) }
                    (parts::why("why-usual", &day.today.value.working, &day.today.notes))
                }
                Err(reason) => p.quiet #today { (reason) },
            }
            (weeks(house, gym, athlete))
        }
    }
}

/// Noise beside change, for the one who jumped.
fn show_the_boxer(lesson: &Lesson) -> Markup {
    html! {
        details.more #lesson {
            summary { "Show the boxer" }
            figure { (parts::drawn(&Figure::Strip(lesson.figure.clone()), "lesson", 720.0)) }
            p.lead { (lesson.sentence) }
        }
    }
}

/// Twelve weeks against the band of the own days.
fn weeks(house: &House, gym: &Gym, athlete: &Athlete) -> Markup {
    html! {
        @match weeks::chart(house, gym, &athlete.id) {
            Ok(weeks) => {
                p { (weeks.chart.value.sentence) }
                figure {
                    (parts::drawn(&Figure::Slope(weeks.figure.clone()), "weeks", 720.0))
                    (parts::data_table("weeks-data", &weeks.figure.table()))
                }
                (parts::why("why-weeks", &weeks.chart.value.working, &weeks.chart.notes))
            }
            Err(reason) => p.quiet { (reason) },
        }
    }
}

/// Two methods are never mixed in silence: the known offset is offered, or its entry.
fn offset(gym: &Gym, athlete: &Athlete, view: View) -> Markup {
    let offset_cm = gym.mat_reads_high_by.in_centimetres();
    html! {
        p {
            @if offset_cm == 0.0 {
                a.button href="/kit#mat" { "Enter the known offset of the mat" }
            } @else {
                a.button href=(View { methods: Methods::Aligned, ..view }.address(athlete.id.as_str())) {
                    "Compare with the mat's known offset, " (format!("{offset_cm:+.1}")) " cm"
                }
            }
        }
    }
}
