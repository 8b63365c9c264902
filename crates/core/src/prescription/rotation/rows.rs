//! The ways one athlete can pass the stations: rows of a timetable, one station a round.

use super::{MOST_PEOPLE, MOST_ROUNDS, MOST_STATIONS, RotationError, RotationTask};

/// One way: the station of each round, `None` for a round without one.
pub(super) type Row = Vec<Option<usize>>;
/// Who stands where: for each round and station a set of athletes, one bit each.
pub(super) type Grid = Vec<[u16; MOST_STATIONS]>;

/// Every way of every athlete, and how many a station may hold.
#[derive(Clone, Debug)]
pub(super) struct Rows {
    rounds: usize,
    stations: usize,
    ways: Vec<Vec<Row>>,
    visits: Vec<usize>,
    places: Vec<u32>,
    first: Vec<usize>,
}

/// Steps after which a start that fits is no longer looked for with so few places.
const PATIENCE: usize = 20_000;

impl Rows {
    pub(super) fn of(task: &RotationTask) -> Result<Self, RotationError> {
        let (people, stations) = (task.people.len(), task.stations.len());
        let visits: Vec<usize> =
            (0..stations).map(|s| task.people.iter().filter(|p| visited(p, s)).count()).collect();
        if visits.iter().all(|&count| count == 0) {
            return Err(RotationError::Nothing);
        }
        if people > MOST_PEOPLE || stations > MOST_STATIONS {
            return Err(RotationError::TooMany { people, stations });
        }
        let rounds = rounds_needed(task)?;
        let ways = task.people.iter().map(|mover| ways_of(mover, stations, rounds)).collect();
        let places = visits
            .iter()
            .map(|&count| u32::try_from(count.div_ceil(rounds)).unwrap_or(1))
            .collect();
        let mut rows = Self { rounds, stations, ways, visits, places, first: Vec::new() };
        rows.first = rows.make_room();
        Ok(rows)
    }

    pub(super) const fn rounds(&self) -> usize {
        self.rounds
    }

    /// How many share a station at most.
    pub(super) fn places(&self) -> &[u32] {
        &self.places
    }

    /// The ways of an athlete.
    pub(super) fn ways(&self, person: usize) -> &[Row] {
        &self.ways[person]
    }

    pub(super) fn people(&self) -> usize {
        self.ways.len()
    }

    /// Groups in alphabetical order, each moving on by one station.
    pub(super) fn alphabetical(&self) -> Vec<usize> {
        self.first.clone()
    }

    /// A way for each athlete, taken up in an order, groups of neighbours moving on by one
    /// station; `None` when that fits nowhere.
    pub(super) fn in_order(&self, order: &[usize]) -> Option<Vec<usize>> {
        let size = self.people().div_ceil(self.stations.max(1)).max(1);
        let mut grid = vec![[0; MOST_STATIONS]; self.rounds];
        let mut chosen = vec![0; self.people()];
        let mut steps = PATIENCE;
        self.fit(order, 0, size, &mut grid, &mut chosen, &mut steps).then_some(chosen)
    }

    /// Whether the rest of the order fits, preferring for each athlete the way of its group.
    fn fit(
        &self,
        order: &[usize],
        depth: usize,
        size: usize,
        grid: &mut Grid,
        chosen: &mut [usize],
        steps: &mut usize,
    ) -> bool {
        let Some(&person) = order.get(depth) else { return true };
        for way in self.by_preference(person, depth / size) {
            if *steps == 0 {
                return false;
            }
            *steps -= 1;
            let row = &self.ways[person][way];
            if !self.has_room(grid, row) {
                continue;
            }
            put(grid, row, person);
            chosen[person] = way;
            if self.fit(order, depth + 1, size, grid, chosen, steps) {
                return true;
            }
            take(grid, row, person);
        }
        false
    }

    /// Ways of an athlete, nearest first to starting at this station and moving on by one.
    fn by_preference(&self, person: usize, start: usize) -> Vec<usize> {
        let off_turn = |row: &Row| {
            let at = |round: usize| (start + round) % self.stations.max(1);
            row.iter().enumerate().filter(|&(round, &s)| s.is_some_and(|s| s != at(round))).count()
        };
        let mut ways: Vec<usize> = (0..self.ways[person].len()).collect();
        ways.sort_by_key(|&way| (off_turn(&self.ways[person][way]), way));
        ways
    }

    /// Places are as few as the visits need; where late and early leave no way through, a station
    /// takes one more. With a place for everyone there always is a way.
    fn make_room(&mut self) -> Vec<usize> {
        let order: Vec<usize> = (0..self.people()).collect();
        loop {
            if let Some(chosen) = self.in_order(&order) {
                return chosen;
            }
            for (places, visits) in self.places.iter_mut().zip(&self.visits) {
                *places = (*places + 1).min(u32::try_from(*visits).unwrap_or(u32::MAX).max(1));
            }
        }
    }

    /// Whether nobody more than fits stands anywhere.
    pub(super) fn has_room(&self, grid: &Grid, row: &Row) -> bool {
        row.iter()
            .zip(grid)
            .all(|(station, round)| station.is_none_or(|s| round[s].count_ones() < self.places[s]))
    }

    /// Whether a whole grid keeps to the places.
    pub(super) fn fits(&self, grid: &Grid) -> bool {
        let within = |round: &[u16; MOST_STATIONS]| {
            self.places.iter().zip(round).all(|(&places, there)| there.count_ones() <= places)
        };
        grid.iter().all(within)
    }

    /// Who stands where by the chosen ways.
    pub(super) fn grid(&self, chosen: &[usize]) -> Grid {
        let mut grid = vec![[0; MOST_STATIONS]; self.rounds];
        for (person, &way) in chosen.iter().enumerate() {
            put(&mut grid, &self.ways[person][way], person);
        }
        grid
    }
}

pub(super) fn put(grid: &mut Grid, row: &Row, person: usize) {
    for (station, round) in row.iter().zip(grid) {
        if let Some(s) = station {
            round[*s] |= 1 << person;
        }
    }
}

pub(super) fn take(grid: &mut Grid, row: &Row, person: usize) {
    for (station, round) in row.iter().zip(grid) {
        if let Some(s) = station {
            round[*s] &= !(1 << person);
        }
    }
}

fn visited(mover: &super::Mover, station: usize) -> bool {
    mover.visits.get(station).is_some_and(Option::is_some)
}

/// As many rounds as the athlete with most to do from arrival on needs.
fn rounds_needed(task: &RotationTask) -> Result<usize, RotationError> {
    let mut rounds = 1;
    for (person, mover) in task.people.iter().enumerate() {
        let stations = mover.visits.iter().flatten().count();
        let needed = mover.from_round + stations;
        if let Some(until) = mover.until_round.filter(|until| needed > *until) {
            let rounds = until.saturating_sub(mover.from_round);
            return Err(RotationError::TooShort { person, stations, rounds });
        }
        if needed > MOST_ROUNDS {
            let rounds = MOST_ROUNDS.saturating_sub(mover.from_round);
            return Err(RotationError::TooShort { person, stations, rounds });
        }
        rounds = rounds.max(needed);
    }
    Ok(rounds)
}

/// Every order of an athlete's stations within the rounds there, in a fixed order.
fn ways_of(mover: &super::Mover, stations: usize, rounds: usize) -> Vec<Row> {
    let to_visit: Vec<usize> = (0..stations).filter(|&s| visited(mover, s)).collect();
    let until = mover.until_round.unwrap_or(rounds).min(rounds);
    let mut found = Vec::new();
    let mut row = vec![None; rounds];
    extend(&mut found, &mut row, &to_visit, mover.from_round, until);
    found
}

/// Puts the stations still to visit into the rounds still free, station by station.
fn extend(found: &mut Vec<Row>, row: &mut Row, to_visit: &[usize], from: usize, until: usize) {
    let Some((&station, rest)) = to_visit.split_first() else {
        found.push(row.clone());
        return;
    };
    for round in from..until {
        if row[round].is_none() {
            row[round] = Some(station);
            extend(found, row, rest, from, until);
            row[round] = None;
        }
    }
}
