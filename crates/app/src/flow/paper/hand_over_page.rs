//! The page that is handed over: what was planned and done, what changed, what to keep. For the
//! next coach, and for the archive of the camp.

use super::foot;
use crate::flow::barred;
use crate::flow::close;
use crate::flow::house::House;
use crate::flow::progress;
use cornerwork_core::report::document::{Block, Cell, Column, Document, Grid, Lies, Size};
use cornerwork_core::session::athlete::Athlete;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::words::day;

/// Notes on the way that fit the page.
const MOST_NOTES: usize = 12;

/// The page of one athlete. It names what is not to be done, never why.
pub fn hand_over_page(house: &House, gym: &Gym, athlete: &Athlete) -> Document {
    let jump = close::jump_change(house, gym, athlete);
    let one = close::hand_over(house, gym, athlete, jump.as_ref());
    let mut blocks = Vec::new();
    if one.is_empty() {
        blocks.push(Block::Sentence("Nothing is on record of these weeks.".to_owned()));
    }
    section(&mut blocks, "Planned and done", &one.done);
    // What a picture says below it is not said above it again.
    let pictured = jump.as_ref().map_or("", |change| &change.sentence);
    let changed: Vec<String> =
        one.changed.iter().filter(|said| *said != pictured).cloned().collect();
    section(&mut blocks, "What changed", &changed);
    blocks.extend(jump.map(|change| Block::Figures(vec![progress::odds(&change).into()])));
    if !one.best_loads.is_empty() {
        blocks.push(Block::Heading("Loads that work".to_owned()));
        blocks.push(Block::Grid(two_columns(("exercise", "use"), &one.best_loads)));
    }
    let today = house.clock().today();
    let barred: Vec<String> = gym
        .restrictions(&athlete.id, today)
        .map(|restriction| barred::without_ground(house, gym, restriction))
        .collect();
    if !barred.is_empty() {
        blocks.push(Block::Heading("What to avoid".to_owned()));
        blocks.extend(barred.into_iter().map(Block::Caution));
    }
    if !one.keep.is_empty() {
        blocks.push(Block::Heading("What to keep".to_owned()));
        let notes: Vec<(String, String)> =
            one.keep.iter().take(MOST_NOTES).map(|(on, note)| (day(*on), note.clone())).collect();
        blocks.push(Block::Grid(two_columns(("day", "noted"), &notes)));
    }
    Document {
        title: format!("Hand-over: {}", one.name),
        subtitle: format!("{} to {} {}", day(one.from), day(one.to), one.to.year()),
        foot: foot(house, gym),
        lies: Lies::Upright,
        blocks,
    }
}

fn section(blocks: &mut Vec<Block>, heading: &str, sentences: &[String]) {
    if !sentences.is_empty() {
        blocks.push(Block::Heading(heading.to_owned()));
        blocks.extend(sentences.iter().cloned().map(Block::Sentence));
    }
}

fn two_columns(titles: (&str, &str), rows: &[(String, String)]) -> Grid {
    Grid {
        columns: vec![Column::words(titles.0), Column::words(titles.1).share(1)],
        rows: rows
            .iter()
            .map(|(name, value)| vec![Cell::Strong(name.clone()), Cell::Text(value.clone())])
            .collect(),
        size: Size::Table,
    }
}
