//! The plan of a camp on one page: phases, weeks, and what is due on each day.

use super::foot;
use crate::flow::body_mass::in_both;
use crate::flow::camp::limits::{self, LimitLine};
use crate::flow::camp::travel;
use crate::flow::camp::view;
use crate::flow::house::House;
use cornerwork_core::camp::bout_facts::Standing;
use cornerwork_core::camp::camp_plan::{CampPlan, Mark};
use cornerwork_core::camp::phase::days_between;
use cornerwork_core::report::document::{Block, Cell, Column, Document, Grid, Lies, Size};
use cornerwork_core::session::bout::Bout;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::words::{self, capitalised};
use jiff::ToSpan;
use jiff::civil::{Date, Weekday};

/// The page of one camp.
pub fn camp_page(house: &House, gym: &Gym, bout: &Bout) -> Document {
    let today = house.clock().today();
    let limits = limits::of_bout(house, gym, bout);
    let mut blocks =
        vec![Block::Answer(format!("{}.", capitalised(&view::day_sentence(gym, bout, today))))];
    let plan = gym.camps.plan(&bout.id).filter(|plan| !plan.phases.is_empty());
    match plan {
        Some(plan) => {
            let first = plan.phases.first().map(|phase| phase.from);
            blocks.extend(
                first.and_then(|from| view::short_notice(from, bout.date)).map(Block::Sentence),
            );
            let figure = view::camp_figure(house, gym, bout, today);
            blocks.extend(figure.map(|figure| Block::Figures(vec![figure])));
            blocks.push(Block::Heading("Week by week".to_owned()));
            blocks.push(Block::Grid(weeks(gym, bout, plan, &limits)));
        }
        None => blocks.push(Block::Sentence("The camp is not laid out yet.".to_owned())),
    }
    if let Some(travel) = travel::view(house, gym, bout) {
        blocks.push(Block::Heading("Travel".to_owned()));
        blocks.push(Block::Sentence(travel.said.join(" ")));
        // One caution, not three: a camp of twelve weeks with its limits has to fit the sheet.
        if !travel.mind.is_empty() {
            blocks.push(Block::Caution(travel.mind.join(" ")));
        }
    }
    if !limits.is_empty() {
        blocks.push(Block::Heading("Limits of weight".to_owned()));
        blocks.push(Block::Grid(weights(&limits)));
    }
    Document {
        title: bout.name.clone(),
        subtitle: subtitle(gym, bout),
        foot: foot(house, gym),
        lies: Lies::Upright,
        blocks,
    }
}

fn subtitle(gym: &Gym, bout: &Bout) -> String {
    let facts = gym.camps.facts(&bout.id).cloned().unwrap_or_default();
    let day = view::days_in_words(gym, bout);
    let offered =
        (facts.standing == Standing::Offered).then(|| "offered, not confirmed".to_owned());
    let bell = facts.first_bell.map(|bell| {
        let zone = facts.zone.as_ref().map(|zone| format!(" ({zone})")).unwrap_or_default();
        format!("first bell {} at the venue{zone}", bell.strftime("%H:%M"))
    });
    let rounds = facts.rounds.map(|rounds| format!("{rounds} minutes"));
    let names = bout.athletes.iter().filter_map(|id| gym.athlete(id)).map(|one| one.name.as_str());
    let who = names.collect::<Vec<_>>().join(", ");
    let remark = Some(facts.remark).filter(|remark| !remark.is_empty());
    let parts = [Some(day), offered, bell, rounds, Some(who), remark];
    parts.into_iter().flatten().collect::<Vec<_>>().join(" · ")
}

/// One row a week, from the camp's first to that of its last bout.
fn weeks(gym: &Gym, bout: &Bout, plan: &CampPlan, limits: &[LimitLine<'_>]) -> Grid {
    const DAYS: [&str; 7] = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];
    let last = gym.camps.last_day(bout);
    let first = plan.phases.first().map_or(bout.date, |phase| phase.from);
    let monday = first.saturating_sub(i32::from(first.weekday().since(Weekday::Monday)).days());
    let (checks, weigh_ins) = limits::days(limits);
    let journey = gym.camps.journey(&bout.id);
    let on_the_way: Vec<Date> = journey.into_iter().flat_map(|one| one.days()).collect();
    let on_day = |day: Date| -> Vec<&str> {
        let marked = |mark| plan.marks.contains(&(day, mark));
        let weigh_in = marked(Mark::WeighIn) || weigh_ins.contains(&day);
        let said = [
            (gym.camps.days(bout).any(|one| one == day), "BOUT"),
            (plan.spars_on(day), Mark::Sparring.word()),
            (marked(Mark::Test), "test"),
            (weigh_in, Mark::WeighIn.word()),
            (checks.contains(&day), "check"),
            (marked(Mark::Travel) || on_the_way.contains(&day), Mark::Travel.word()),
            (marked(Mark::Off), Mark::Off.word()),
        ];
        said.into_iter().filter(|(is, _)| *is).map(|(_, word)| word).collect()
    };
    let row = |monday: Date| {
        let days: Vec<Date> = monday.series(1.day()).take(7).collect();
        let mut kinds: Vec<&str> = Vec::new();
        let phases = days.iter().filter_map(|day| plan.phase_on(*day));
        kinds.extend(phases.map(|phase| phase.kind.word()));
        kinds.dedup();
        let left = days_between(monday, bout.date);
        let left = if left > 0 { left.to_string() } else { String::new() };
        let cells = days.iter().map(|day| {
            let said = on_day(*day);
            let words = said.join(", ");
            if said.contains(&"BOUT") { Cell::Strong(words) } else { Cell::Text(words) }
        });
        [Cell::Strong(words::short_day(monday)), Cell::Text(left), Cell::Text(kinds.join(", "))]
            .into_iter()
            .chain(cells)
            .collect()
    };
    let mondays = monday.series(7.days()).take_while(|monday| *monday <= last);
    let head = [Column::words("week of"), Column::numbers("days to go"), Column::words("phase")];
    let days = DAYS.map(|day| Column::words(day).share(1));
    Grid {
        columns: head.into_iter().chain(days).collect(),
        rows: mondays.map(row).collect(),
        size: Size::Table,
    }
}

fn weights(limits: &[LimitLine<'_>]) -> Grid {
    let row = |line: &LimitLine<'_>| {
        let checks = match line.checks.as_slice() {
            [] => "none agreed".to_owned(),
            _ => line.checks_in_words().join("; "),
        };
        vec![
            Cell::Strong(line.athlete.name.clone()),
            Cell::Text(in_both(line.limit.limit)),
            Cell::Text(words::short_weekday_and_day(line.limit.weigh_in)),
            Cell::Text(checks),
        ]
    };
    Grid {
        columns: vec![
            Column::words("athlete"),
            Column::words("limit"),
            Column::words("weigh-in"),
            Column::words("check-weights").share(1),
        ],
        rows: limits.iter().map(row).collect(),
        size: Size::Table,
    }
}
