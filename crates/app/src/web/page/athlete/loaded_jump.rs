//! The loaded jump: the band of loads, the curve with its doubt, a test under way.

use super::View;
use crate::flow::house::House;
use crate::flow::profiles::{Momentum, PROFILE_DAYS};
use crate::flow::{advice, earlier_camps, picture, plan, squad_curve};
use crate::web::page::parts;
use cornerwork_core::kit::{Bar, BarKind, Loadable, loadable};
use cornerwork_core::prescription::load_to_use::LoadToUse;
use cornerwork_core::profile::load_momentum::RuleOfThumb;
use cornerwork_core::report::figure::{Figure, Hill};
use cornerwork_core::session::athlete::Athlete;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::units::Mass;
use cornerwork_core::words;
use cornerwork_core::working::Working;
use maud::{Markup, html};

/// The section.
pub(super) fn section(house: &House, gym: &Gym, athlete: &Athlete, view: View) -> Markup {
    let Ok(exercise) = plan::exercise(house, gym, plan::LOADED_JUMP) else { return html! {} };
    let momentum = house.profiles.momentum(house, gym, &athlete.id, exercise, view.days);
    let loads = hex_loads(gym);
    let jump = advice::jump_load(house, gym, &athlete.id, exercise, &loads);
    let next_mass = jump.hang.filter(|_| jump.is_test);
    let ramp = gym.ramp(&athlete.id, exercise, house.clock().now());
    let open: Vec<_> = loads.into_iter().filter(|(_, load)| ramp.allows(load.total())).collect();
    html! {
        section.profile #loaded {
            h2 { "Loaded jump" }
            @match &momentum {
                Ok(momentum) => { (curve(house, gym, athlete, momentum, next_mass, view)) }
                Err(absent) => { p { (absent) } }
            }
            @if let Some(borrowed) = squad_curve::borrowed(house, gym, athlete) {
                p { (borrowed.value.sentence) }
                (parts::why("why-borrowed", &borrowed.value.working, &borrowed.notes))
            }
            @if let Some(prior) = earlier_camps::of(house, gym, athlete) {
                h3 { "From earlier camps" }
                p { "How take-off velocity falls with load, in m/s for each body mass. " (prior.sentence) }
                (parts::why("why-camps", &prior.working, &[]))
            }
            div.step {
                h3 { @match jump.hang {
                    Some(load) if load > Mass::ZERO => { "Next load: " (words::kilograms(load)) }
                    _ if jump.is_test => "Next load",
                    _ => "Enough tested",
                } }
                p.lead { (jump.sentence) }
                (parts::why("why-next", &jump.working, &[]))
                (jump_form(athlete, &open, left_on(house, gym, athlete).or(jump.hang)))
            }
        }
    }
}

/// The note whose words stand in the sentence about the peak.
const SAID_ABOVE: &str = "outside-rule-of-thumb";

fn curve(
    house: &House,
    gym: &Gym,
    athlete: &Athlete,
    momentum: &Momentum,
    next: Option<Mass>,
    view: View,
) -> Markup {
    let profile = &momentum.profile.value;
    let peak = profile.peak();
    let hill = picture::hill(momentum, None, next.filter(|next| *next > Mass::ZERO));
    let hill = Hill { behind: squad_curve::behind(house, gym, athlete, momentum), ..hill };
    let working: Working = profile.peak_working();
    html! {
        @if let LoadToUse::Band(band) = momentum.to_use() {
            p.lead { "Use " strong { (kilograms(band.from)) " to " (kilograms(band.to)) " kg" } ": every load there is within 1 % of the peak." }
        } @else {
            p.lead { "The best load is " (momentum.to_use()) "." }
        }
        figure {
            (parts::drawn(&Figure::Hill(hill.clone()), "hill", 720.0))
            (parts::data_table("hill-data", &hill.table()))
        }
        p {
            "Momentum peaks near " (kilograms(peak.load.value)) " kg ("
            (kilograms(peak.load.interval.low)) " to " (kilograms(peak.load.interval.high)) " kg with 90 % probability) at "
            (format!("{:.0}", peak.momentum.value.in_kilogram_metres_per_second())) " kg m/s. "
            (rule_of_thumb(peak.rule_of_thumb(), peak.height_fraction_of_unloaded))
        }
        (parts::why("why-peak", &working, &momentum.profile.notes))
        @for note in momentum.profile.notes.iter().filter(|note| note.id != SAID_ABOVE) { p.note { (note.text) } }
        p.quiet {
            (words::counted(momentum.set.jumps.len(), "jump")) " by " (momentum.set.method.word()) ", " (words::day(momentum.set.from))
            @if momentum.set.from != momentum.set.to { " to " (words::day(momentum.set.to)) }
            ", body mass " (format!("{:.1}", momentum.set.body_mass.in_kilograms())) " kg. Show "
            @for (days, words) in [(1, "the last day only"), (PROFILE_DAYS, "four weeks"), (84, "twelve weeks")] {
                @if days == view.days { strong { (words) } } @else { a href=(View { days, ..view }.address(athlete.id.as_str())) { (words) } }
                @if days != 84 { ", " } @else { "." }
            }
        }
    }
}

fn rule_of_thumb(rule: RuleOfThumb, fraction: f64) -> String {
    let percent = format!("{:.0}", fraction * 100.0);
    match rule {
        RuleOfThumb::Within => format!(
            "The jump there is {percent} % of the unloaded one, as the rule of thumb has it (40 to 50 %; common practice, no source)."
        ),
        _ => format!(
            "The jump there is {percent} % of the unloaded one; the rule of thumb says 40 to 50 % (common practice, no source)."
        ),
    }
}

/// The load of the last jump typed on this page today: whoever enters jumps in a row stays on it
/// until they change it.
fn left_on(house: &House, gym: &Gym, athlete: &Athlete) -> Option<Mass> {
    let is_jump = |id: &str| id == plan::LOADED_JUMP || id == plan::UNLOADED_JUMP;
    let typed_here = gym
        .reps_of(&athlete.id)
        .rev()
        .find(|rep| rep.entry.station.is_none() && is_jump(rep.entry.exercise.as_str()))?;
    let today = house.clock().date_of(typed_here.entry.at) == house.clock().today();
    today.then_some(typed_here.entry.load.total)
}

/// Type a jump: load, height, done.
fn jump_form(athlete: &Athlete, loads: &[(Bar, Loadable)], chosen: Option<Mass>) -> Markup {
    html! {
        form.inline method="post" action={ "/athlete/" (athlete.id) "/jump" } data-send {
            label { "Load"
                select name="load" data-stays {
                    option value="none" selected[chosen == Some(Mass::ZERO)] { "no load" }
                    @for (bar, load) in loads {
                        option value={ (bar.id) ":" ((load.total().in_kilograms() * 1000.0).round()) } selected[chosen == Some(load.total())] {
                            (format!("{:.2}", load.total().in_kilograms())) " kg · " (bar.name) ": " (load.in_words())
                        }
                    }
                }
            }
            label { "Jump height, cm" input name="text" inputmode="decimal" autocomplete="off" required size="6"; }
            button.main { "Enter jump" }
        }
    }
}

fn hex_loads(gym: &Gym) -> Vec<(Bar, Loadable)> {
    let bars = gym.bars.values().filter(|bar| bar.kind == BarKind::Hex);
    let mut loads: Vec<_> = bars
        .flat_map(|bar| loadable(bar, &gym.plates).into_iter().map(|load| (bar.clone(), load)))
        .collect();
    advice::by_load(&mut loads);
    loads
}

fn kilograms(mass: Mass) -> String {
    format!("{:.0}", mass.in_kilograms())
}
