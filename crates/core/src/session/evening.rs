//! The plan of one training evening: stations, groups, targets.

use crate::exercise::ExerciseId;
use crate::session::athlete::AthleteId;
use crate::session::program::{Round, SessionId};
use crate::units::Duration;
use jiff::civil::Date;

/// One place on the floor where one exercise is done.
#[derive(Clone, Debug, PartialEq)]
pub struct Station {
    /// Number painted on the floor, from 1.
    pub number: u8,
    /// What is done there.
    pub exercise: ExerciseId,
    /// Ids of the bars that lie there, lightest first; empty where none is needed.
    pub bars: Vec<String>,
    /// Sets for each athlete.
    pub sets: u32,
    /// Reps a set (each side, where there are sides).
    pub reps: u32,
    /// Least rest between two sets of one athlete.
    pub rest: Duration,
}

/// What an evening starts with.
#[derive(Clone, Debug, PartialEq)]
pub struct EveningPlan {
    /// The date at the gym.
    pub date: Date,
    /// Stations in the order groups pass them.
    pub stations: Vec<Station>,
    /// Groups that move together; group `i` starts at station `i`.
    pub groups: Vec<Vec<AthleteId>>,
    /// The session it was planned as, where it was.
    pub session: Option<SessionId>,
    /// Who stands where in each round, where that was planned; empty where groups simply move on
    /// by one.
    pub rounds: Vec<Round>,
}

impl EveningPlan {
    /// The group at a place in the order of stations after a number of rotations; empty when
    /// there are fewer groups than stations and this one rests, or when all planned rounds are
    /// over.
    pub fn group_at(&self, place: usize, rotations: usize) -> &[AthleteId] {
        if !self.rounds.is_empty() {
            let round = self.rounds.get(rotations);
            return round.and_then(|round| round.get(place)).map_or(&[], Vec::as_slice);
        }
        let slots = self.stations.len().max(self.groups.len());
        if slots == 0 {
            return &[];
        }
        let index = (place + slots - rotations % slots) % slots;
        self.groups.get(index).map_or(&[], Vec::as_slice)
    }
    /// The station of this number.
    pub fn station(&self, number: u8) -> Option<&Station> {
        self.stations.iter().find(|station| station.number == number)
    }
}

/// What a rep is held against, in SI units of the exercise's measure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Target {
    /// At least this.
    AtLeast(f64),
    /// Between these two.
    Window {
        /// Lower edge.
        low: f64,
        /// Upper edge.
        high: f64,
    },
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_group_passes_every_station_once() {
        let id = |code: &str| AthleteId::new(code).unwrap();
        let station = |number| Station {
            number,
            exercise: ExerciseId::new("countermovement-jump").unwrap(),
            bars: vec![],
            sets: 3,
            reps: 2,
            rest: Duration::seconds(120.0),
        };
        let plan = EveningPlan {
            date: jiff::civil::date(2026, 9, 23),
            stations: (1..=4).map(station).collect(),
            groups: vec![vec![id("A1")], vec![id("A2")], vec![id("A3")]],
            session: None,
            rounds: vec![],
        };
        for code in ["A1", "A2", "A3"] {
            let mut places: Vec<usize> = (0..4)
                .flat_map(|round| (0..4).map(move |place| (place, round)))
                .filter(|&(place, round)| plan.group_at(place, round).contains(&id(code)))
                .map(|(place, _)| place)
                .collect();
            places.sort_unstable();
            assert_eq!(places, [0, 1, 2, 3], "{code}");
        }
    }
}
