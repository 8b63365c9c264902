//! Prints the table of `docs/first-evenings.md`.

use cornerwork_core::units::Mass;
use cornerwork_testkit::first_evening::{FirstEvening, Group, first_evening};

const EVENINGS: u64 = 1000;
const SEED: u64 = 20_261_006;

fn main() {
    let evenings: Vec<FirstEvening> =
        (0..EVENINGS).map(|number| first_evening(SEED, number)).collect();
    println!(
        "| who | evenings | loaded jumps | steps advised | largest, kg | largest, body masses | \
         largest hung, kg | offers refused | other loads tried | of them refused |"
    );
    println!("|---|---|---|---|---|---|---|---|---|---|");
    for group in Group::ALL {
        let of_group = evenings.iter().filter(|one| one.group == group);
        println!("{}", row(group.words(), &of_group.collect::<Vec<_>>()));
    }
    println!("{}", row("all", &evenings.iter().collect::<Vec<_>>()));
}

fn row(name: &str, evenings: &[&FirstEvening]) -> String {
    let sum =
        |count: fn(&FirstEvening) -> usize| evenings.iter().map(|one| count(one)).sum::<usize>();
    let largest = |steps: fn(&FirstEvening) -> &[Mass]| {
        let all = evenings.iter().flat_map(|one| steps(one));
        all.fold(0.0, |most: f64, step| most.max(step.in_kilograms()))
    };
    let shares =
        evenings.iter().flat_map(|one| one.steps_advised.iter().map(|step| *step / one.body_mass));
    format!(
        "| {name} | {} | {} | {} | {:.1} | {:.2} | {:.1} | {} | {} | {} |",
        evenings.len(),
        sum(|one| one.loaded_jumps),
        sum(|one| one.steps_advised.len()),
        largest(|one| &one.steps_advised),
        shares.fold(0.0, f64::max),
        largest(|one| &one.steps_hung),
        sum(|one| one.offers_refused),
        sum(|one| one.other_loads.0),
        sum(|one| one.other_loads.1),
    )
}
