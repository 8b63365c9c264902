//! One page for the meeting with boxer and head coach: better or not, what to lift, what to heed.

use super::{change_in_short, foot};
use crate::flow::barred;
use crate::flow::house::House;
use crate::flow::plan;
use crate::flow::plan::LOADED_JUMP;
use crate::flow::profiles::PROFILE_DAYS;
use crate::flow::progress::{self, Methods};
use crate::flow::squad_jumps::SquadJumps;
use cornerwork_core::prescription::load_to_use::LoadToUse;
use cornerwork_core::report::document::{Block, Document, Lies};
use cornerwork_core::report::figure::Figure;
use cornerwork_core::session::athlete::Athlete;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::words::counted;

/// The page of one athlete: at most three pictures, plain sentences, odds.
pub fn athlete_page(house: &House, gym: &Gym, athlete: &Athlete) -> Document {
    let mut blocks = Vec::new();
    let today = house.clock().today();
    blocks.extend(
        gym.restrictions(&athlete.id, today)
            .map(|restriction| Block::Caution(barred::without_ground(house, gym, restriction))),
    );
    blocks.push(Block::Heading("Is the jump better?".to_owned()));
    let squad = SquadJumps::of_gym(house, gym);
    let change = progress::change(house, gym, &athlete.id, &squad, Methods::KeptApart);
    let day = progress::usual_day(house, gym, &athlete.id, &squad);
    match &change {
        Ok(change) => blocks.push(Block::Answer(change_in_short(&change.value))),
        Err(reason) => blocks.push(Block::Sentence(reason.to_string())),
    }
    let odds = change.ok().map(|change| Figure::from(progress::odds(&change.value)));
    let strip = day.ok().map(|day| Figure::from(progress::strip(&day)));
    let pair: Vec<Figure> = odds.into_iter().chain(strip).collect();
    if !pair.is_empty() {
        blocks.push(Block::Figures(pair));
    }
    blocks.push(Block::Heading("What to lift".to_owned()));
    blocks.extend(loaded_jump(house, gym, athlete));
    Document {
        title: athlete.name.clone(),
        subtitle: subtitle(house, gym, athlete),
        foot: foot(house, gym),
        lies: Lies::Upright,
        blocks,
    }
}

fn subtitle(house: &House, gym: &Gym, athlete: &Athlete) -> String {
    let today = house.clock().today();
    let bout = gym.next_bout(&athlete.id, today);
    let bout =
        bout.map(|bout| format!("{} to {}", counted(bout.days_from(today), "day"), bout.name));
    let mass = gym.body_mass(&athlete.id);
    let mass = mass.map(|(_, mass)| format!("{:.1} kg", mass.in_kilograms()));
    let parts = [Some(athlete.level.clone()), mass, bout];
    parts.into_iter().flatten().collect::<Vec<_>>().join(" · ")
}

fn loaded_jump(house: &House, gym: &Gym, athlete: &Athlete) -> Vec<Block> {
    let momentum = plan::exercise(house, gym, LOADED_JUMP).and_then(|exercise| {
        house.profiles.momentum(house, gym, &athlete.id, exercise, PROFILE_DAYS)
    });
    let momentum = match momentum {
        Ok(momentum) => momentum,
        Err(absent) => return vec![Block::Sentence(absent)],
    };
    let answer = match momentum.to_use() {
        LoadToUse::Band(band) => {
            format!("In the loaded jump use {band}: every load there is within 1 % of the peak.")
        }
        not_known => format!("The best load of the loaded jump is {not_known}."),
    };
    vec![Block::Answer(answer), Block::Figures(vec![momentum.hill().clone().into()])]
}
