//! The squad on one sheet: who is how far, each number with its doubt or why it is missing.

use super::{change_in_short, foot};
use crate::flow::desk::{self, NextBout};
use crate::flow::house::House;
use crate::flow::progress::{self, Methods};
use crate::flow::squad_jumps::SquadJumps;
use cornerwork_core::report::document::{Block, Cell, Column, Document, Grid, Lies, Size};
use cornerwork_core::session::ledger::Ledger;

/// One row an athlete: mass, bout, loads for the loaded jump, change of the jump in words.
pub fn squad_page(house: &House, ledger: &Ledger) -> Document {
    let gym = ledger.gym();
    let view = desk::view(house, ledger);
    let squad = SquadJumps::of_gym(house, gym);
    let rows = view
        .people
        .iter()
        .map(|person| {
            let change =
                match progress::change(house, gym, &person.code, &squad, Methods::KeptApart) {
                    Ok(change) => change_in_short(&change.value),
                    Err(reason) => reason.to_string(),
                };
            vec![
                Cell::Strong(person.name.clone()),
                Cell::Text(person.mass.clone().unwrap_or_else(|| "not weighed".to_owned())),
                Cell::Text(person.bout.as_ref().map_or("no bout".to_owned(), NextBout::in_words)),
                Cell::Text(person.band.clone()),
                Cell::Text(person.barred.clone().unwrap_or(change)),
            ]
        })
        .collect();
    let columns = vec![
        Column::words("athlete"),
        Column::numbers("body mass"),
        Column::words("bout"),
        Column::words("loaded jump: use"),
        Column::words("jump height over six weeks").share(1),
    ];
    Document {
        title: "Squad".to_owned(),
        subtitle: view.sentence,
        foot: foot(house, gym),
        lies: Lies::Across,
        blocks: vec![Block::Grid(Grid { columns, rows, size: Size::Table })],
    }
}
