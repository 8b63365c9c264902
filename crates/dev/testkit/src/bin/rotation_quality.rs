//! Prints the table of `docs/rotation.md`.

use cornerwork_core::prescription::rotation::{Planned, plan};
use cornerwork_testkit::training_evening::Evening;
use std::time::Instant;

const EVENINGS: u64 = 200;

/// What became of the evenings of one size.
#[derive(Default)]
struct Tally {
    count: u64,
    proven: u64,
    fewer_than_alphabetical: u64,
    clashes: u64,
    alphabetical_clashes: u64,
    changes: u64,
    alphabetical: u64,
    bound: u64,
    minutes_saved: f64,
    slowest_ms: f64,
    total_ms: f64,
}

impl Tally {
    fn add(&mut self, planned: &Planned, ms: f64) {
        let (best, alphabetical) = (&planned.best, &planned.alphabetical);
        self.count += 1;
        self.proven += u64::from(planned.proven);
        self.fewer_than_alphabetical += u64::from(best.changes < alphabetical.changes);
        self.clashes += u64::from(best.clashes > 0);
        self.alphabetical_clashes += u64::from(alphabetical.clashes > 0);
        self.changes += u64::from(best.changes);
        self.alphabetical += u64::from(alphabetical.changes);
        self.bound += u64::from(planned.fewest_changes);
        let saved = alphabetical.timetable.length - best.timetable.length;
        self.minutes_saved += saved.in_seconds() / 60.0;
        self.slowest_ms = self.slowest_ms.max(ms);
        self.total_ms += ms;
    }

    fn row(&self, people: &str) -> String {
        let share = |part: u64| part as f64 * 100.0 / self.count as f64;
        let mean = |sum: u64| sum as f64 / self.count as f64;
        format!(
            "| {people} | {} | {:.1} | {:.1} | {:.1} | {:.0} | {:.0} | {:.0} | {:.0} | {:.1} | {:.0} / {:.0} |",
            self.count,
            mean(self.bound),
            mean(self.changes),
            mean(self.alphabetical),
            share(self.fewer_than_alphabetical),
            share(self.proven),
            share(self.clashes),
            share(self.alphabetical_clashes),
            self.minutes_saved / self.count as f64,
            self.total_ms / self.count as f64,
            self.slowest_ms,
        )
    }
}

fn main() {
    println!(
        "| athletes | evenings | bound | changes | alphabetical | fewer than alphabetical, % | proven best, % | with a clash, % | alphabetical with a clash, % | minutes saved | ms, mean / slowest |"
    );
    println!("|---|---|---|---|---|---|---|---|---|---|---|");
    let mut all = Tally::default();
    for people in 4..=12 {
        let mut tally = Tally::default();
        for seed in (0..EVENINGS).filter(|seed| 4 + seed % 9 == people) {
            let stations = 3 + usize::from(seed % 2 == 0);
            let task = Evening { people: people as usize, stations, seed }.task();
            let begun = Instant::now();
            let Ok(planned) = plan(&task) else { continue };
            let ms = begun.elapsed().as_secs_f64() * 1000.0;
            tally.add(&planned, ms);
            all.add(&planned, ms);
        }
        println!("{}", tally.row(&people.to_string()));
    }
    println!("{}", all.row("**all**"));
}
