//! The turns: who has which station when.

use super::{Axis, Event, Table};
use crate::estimate::Interval;

/// Rows of stations over one time, with the efforts of everyone who passes them.
#[derive(Clone, Debug, PartialEq)]
pub struct Turns {
    /// Heading.
    pub title: String,
    /// The finding in words.
    pub description: String,
    /// The time all stations share.
    pub time: Axis,
    /// The stations, in the order they are passed.
    pub stations: Vec<StationRow>,
    /// The rounds, in order of time.
    pub rounds: Vec<TurnRound>,
    /// When it should be over; what lasts longer asks for an act.
    pub planned_end: Option<Event>,
    /// Other moments by name: someone comes or leaves, now.
    pub moments: Vec<Event>,
}

/// One station.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StationRow {
    /// Its number and what is done there.
    pub name: String,
    /// A word on it, in small; may be empty.
    pub note: String,
}

/// One round: nobody moves on before its end.
#[derive(Clone, Debug, PartialEq)]
pub struct TurnRound {
    /// Its name: "round 2, 18:35".
    pub name: String,
    /// From when to when.
    pub over: Interval<f64>,
    /// Who has which station, by place in the list of stations.
    pub groups: Vec<Vec<Turn>>,
}

/// One athlete at one station.
#[derive(Clone, Debug, PartialEq)]
pub struct Turn {
    /// Who.
    pub name: String,
    /// With what: "42.5 kg".
    pub with: String,
    /// The sets, in order of time; the gaps between them are rest.
    pub efforts: Vec<Effort>,
}

/// One set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Effort {
    /// From when to when.
    pub over: Interval<f64>,
    /// Whether a load or a box is changed before it.
    pub change: bool,
}

impl Turns {
    /// Round by round and station by station: who, with what, when each set begins, and before
    /// how many of them the load is changed.
    pub fn table(&self) -> Table {
        let sets = format!("sets begin, {}", self.time.unit);
        let mut table = Table::new(["round", "station", "who", "with", &sets, "load changes"]);
        for round in &self.rounds {
            for (station, group) in self.stations.iter().zip(&round.groups) {
                for turn in group {
                    let starts = turn.efforts.iter().map(|one| self.time.number(one.over.low));
                    let starts = starts.collect::<Vec<_>>().join(", ");
                    let changes = turn.efforts.iter().filter(|one| one.change).count().to_string();
                    table.row([
                        &round.name,
                        &station.name,
                        &turn.name,
                        &turn.with,
                        &starts,
                        &changes,
                    ]);
                }
            }
        }
        for moment in self.planned_end.iter().chain(&self.moments) {
            table.row([&moment.name, "", "", "", &self.time.number(moment.at), ""]);
        }
        table
    }

    /// The most athletes that stand at each station, summed up: how high the picture is.
    pub fn lanes(&self) -> usize {
        let most = |place: usize| {
            let groups = self.rounds.iter().filter_map(|round| round.groups.get(place));
            groups.map(Vec::len).max().unwrap_or(0)
        };
        (0..self.stations.len()).map(most).sum()
    }

    /// Whether any load is changed.
    pub fn has_changes(&self) -> bool {
        let mut turns = self.rounds.iter().flat_map(|round| round.groups.iter().flatten());
        turns.any(|turn| turn.efforts.iter().any(|effort| effort.change))
    }
}

#[cfg(test)]
mod tests {
    use super::super::Decimals;
    use super::*;

    #[test]
    fn the_table_says_who_is_where_with_what_and_when() {
        let effort = |low: f64, change| Effort { over: Interval { low, high: low + 0.75 }, change };
        let turn = Turn {
            name: "Oriel".into(),
            with: "30 cm box".into(),
            efforts: vec![effort(0.0, false), effort(2.5, true)],
        };
        let turns = Turns {
            title: String::new(),
            description: String::new(),
            time: Axis::new("time after 18:20", "min", Decimals::UpTo(1)),
            stations: vec![StationRow { name: "1 Depth jump".into(), note: String::new() }],
            rounds: vec![TurnRound {
                name: "round 1".into(),
                over: Interval { low: 0.0, high: 5.0 },
                groups: vec![vec![turn]],
            }],
            planned_end: Some(Event { at: 64.0, name: "planned end".into() }),
            moments: vec![],
        };
        let table = turns.table();
        assert_eq!(table.columns[4], "sets begin, min");
        assert_eq!(table.rows[0], ["round 1", "1 Depth jump", "Oriel", "30 cm box", "0, 2.5", "1"]);
        assert_eq!(table.rows[1], ["planned end", "", "", "", "64", ""]);
        assert!(turns.has_changes());
        assert_eq!(turns.lanes(), 1);
    }
}
