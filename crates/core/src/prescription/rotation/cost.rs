//! What a rotation costs: clashes first, then changes of load.

use super::rows::Grid;
use super::{MOST_PEOPLE, MOST_STATIONS, RotationError, RotationTask};

/// Less is better; one clash outweighs any number of changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Cost {
    pub clashes: u32,
    pub changes: u32,
}

/// Weighs grids of one task.
#[derive(Clone, Debug)]
pub(super) struct Weigher {
    implements: Vec<Implement>,
    sets: Vec<u32>,
    /// Sizes of plates that could run short, with how many there are.
    scarce: Vec<(usize, u32)>,
    rounds: usize,
}

/// What a grid costs, bar by bar and round by round, so that a step is weighed by what it touches.
#[derive(Clone, Debug)]
pub(super) struct Tally {
    changes: Vec<u32>,
    clashes: Vec<u32>,
    pub cost: Cost,
}

/// One bar, or one place for boxes, with everybody who uses it.
#[derive(Clone, Debug)]
struct Implement {
    /// By station: who uses it there.
    users: [u16; MOST_STATIONS],
    /// By station and athlete: which of the amounts, as a number from 0.
    amount: [[u8; MOST_PEOPLE]; MOST_STATIONS],
    /// By scarce size, station and athlete: how many plates.
    plates: Vec<[[u8; MOST_PEOPLE]; MOST_STATIONS]>,
    /// The stations it is used at.
    stations: Vec<usize>,
    /// How many amounts there are.
    amounts: usize,
    /// Which hangs at the start; none when it is set up before, or hangs with another amount.
    standing: Standing,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Standing {
    /// The first set-up is made before the start and costs nothing.
    Free,
    /// This amount hangs.
    Amount(u8),
    /// Something nobody needs hangs.
    Foreign,
}

/// Different loads of one implement: one bit each.
const MOST_LOADS: usize = 32;

/// Far above any cost.
const NEVER: u16 = u16::MAX / 4;

/// For one implement: least cost with each amount hanging last.
type Hanging = [u16; MOST_LOADS];

impl Weigher {
    pub(super) fn new(task: &RotationTask, rounds: usize) -> Result<Self, RotationError> {
        let mut ids: Vec<usize> = (task.people.iter())
            .flat_map(|mover| mover.visits.iter().flatten())
            .filter_map(|setup| setup.implement)
            .collect();
        ids.sort_unstable();
        ids.dedup();
        let scarce = scarce_plates(task, &ids);
        let implements: Vec<Implement> =
            ids.into_iter().map(|id| Implement::of(task, id, &scarce)).collect();
        let loads = implements.iter().map(|one| one.amounts).max().unwrap_or(0);
        if loads > MOST_LOADS {
            return Err(RotationError::TooManyLoads { loads, most: MOST_LOADS });
        }
        Ok(Self {
            implements,
            sets: task.stations.iter().map(|station| station.sets.max(1)).collect(),
            scarce,
            rounds,
        })
    }

    /// What the whole grid costs. Adding an athlete to a grid never makes it cheaper: in the best
    /// order of the larger group the others stand in some order too, and a sequence does not gain
    /// changes when one of its members is left out.
    pub(super) fn cost(&self, grid: &Grid) -> Cost {
        self.tally(grid).cost
    }

    /// What the grid costs in its parts.
    pub(super) fn tally(&self, grid: &Grid) -> Tally {
        let changes: Vec<u32> = self.implements.iter().map(|one| self.changes(one, grid)).collect();
        let clashes: Vec<u32> = grid.iter().map(|round| self.clashes_of(round)).collect();
        let cost = Cost { clashes: clashes.iter().sum(), changes: changes.iter().sum() };
        Tally { changes, clashes, cost }
    }

    /// What the grid costs after these athletes moved in these rounds (one bit each), given what
    /// it cost before; `None` when it is dearer than `most`.
    pub(super) fn after(
        &self,
        grid: &Grid,
        before: &Tally,
        (people, rounds): (u16, u16),
        most: Cost,
    ) -> Option<Cost> {
        let mut clashes = before.cost.clashes;
        for (number, round) in grid.iter().enumerate() {
            if rounds & (1 << number) != 0 {
                clashes = clashes - before.clashes[number] + self.clashes_of(round);
            }
        }
        if clashes > most.clashes {
            return None;
        }
        let mut changes = before.cost.changes;
        for (implement, known) in self.implements.iter().zip(&before.changes) {
            if implement.is_used_by(people) {
                changes = changes - known + self.changes(implement, grid);
            }
        }
        Some(Cost { clashes, changes })
    }

    fn changes(&self, implement: &Implement, grid: &Grid) -> u32 {
        let mut hanging = implement.at_start();
        for round in grid {
            for &station in &implement.stations {
                let amounts = implement.amounts_of(station, round[station]);
                if amounts != 0 {
                    let sets = self.sets[station];
                    hanging = after_group(&hanging, implement.amounts, amounts, sets);
                }
            }
        }
        u32::from(hanging[..implement.amounts].iter().copied().min().unwrap_or(0))
    }

    fn clashes_of(&self, round: &[u16; MOST_STATIONS]) -> u32 {
        let mut clashes = 0;
        for implement in &self.implements {
            let used = |station: &&usize| implement.users[**station] & round[**station] != 0;
            let stations = implement.stations.iter().filter(used).count();
            clashes += u32::try_from(stations.saturating_sub(1)).unwrap_or(0);
        }
        for (place, (_, held)) in self.scarce.iter().enumerate() {
            let wanted: u32 = self.implements.iter().map(|one| one.most_plates(round, place)).sum();
            clashes += wanted.saturating_sub(*held);
        }
        clashes
    }

    /// For each round and station the order in which a group's athletes take their sets so that
    /// the changes are as few as counted: bar by bar, equal loads together, entering with what
    /// hangs and leaving with what the next group needs.
    pub(super) fn orders(&self, grid: &Grid) -> Vec<Vec<Vec<(usize, u8)>>> {
        let stations = self.sets.len();
        let mut ranks = vec![vec![Vec::new(); stations]; self.rounds];
        for (number, implement) in self.implements.iter().enumerate() {
            for (round, station, order) in self.order_of(implement, grid) {
                let cell: &mut Vec<(usize, u8)> = &mut ranks[round][station];
                cell.extend(order.into_iter().map(|amount| (number, amount)));
            }
        }
        ranks
    }

    /// The amounts of each group of one implement in their best order.
    fn order_of(&self, implement: &Implement, grid: &Grid) -> Vec<(usize, usize, Vec<u8>)> {
        let mut before = vec![implement.at_start()];
        let mut groups = Vec::new();
        for (round, there) in grid.iter().enumerate() {
            for (station, &people) in there.iter().enumerate() {
                let amounts = implement.amounts_of(station, people);
                if amounts != 0 {
                    let last = before[before.len() - 1];
                    let sets = self.sets[station];
                    before.push(after_group(&last, implement.amounts, amounts, sets));
                    groups.push((round, station, amounts));
                }
            }
        }
        let mut ordered = Vec::new();
        let mut leave_with: Option<u8> = None;
        for (place, &(round, station, amounts)) in groups.iter().enumerate().rev() {
            let (entered, after) = (&before[place], &before[place + 1]);
            let last = cheapest_end(after, amounts, leave_with);
            let first = cheapest_start(entered, implement.amounts, amounts, last);
            leave_with = Some(first);
            let middle = bits(amounts).filter(|&one| one != first && one != last);
            let mut order: Vec<u8> = std::iter::once(first).chain(middle).collect();
            if last != first {
                order.push(last);
            }
            ordered.push((round, station, order));
        }
        ordered
    }

    /// The athletes ordered by what they use at each station, one order a station: neighbours need
    /// the same.
    pub(super) fn orders_by_load(&self, people: usize) -> Vec<Vec<usize>> {
        let by_use = |station: usize| {
            let mut order: Vec<usize> = (0..people).collect();
            order.sort_by_key(|&person| (self.use_of(station, person), person));
            order
        };
        (0..self.sets.len()).map(by_use).collect()
    }

    /// Which implement and amount an athlete uses at a station, as numbered in [`Self::orders`].
    pub(super) fn use_of(&self, station: usize, person: usize) -> Option<(usize, u8)> {
        self.implements.iter().enumerate().find_map(|(number, implement)| {
            let uses = implement.users[station] & (1 << person) != 0;
            uses.then(|| (number, implement.amount[station][person]))
        })
    }
}

impl Implement {
    fn of(task: &RotationTask, id: usize, scarce: &[(usize, u32)]) -> Self {
        let used = |setup: &&super::Setup| setup.implement == Some(id);
        let mut amounts: Vec<i64> = (task.people.iter())
            .flat_map(|mover| mover.visits.iter().flatten())
            .filter(used)
            .map(|setup| setup.amount)
            .collect();
        amounts.sort_unstable();
        amounts.dedup();
        let number = |amount: i64| {
            amounts.iter().position(|&one| one == amount).and_then(|n| u8::try_from(n).ok())
        };
        let mut users = [0; MOST_STATIONS];
        let mut amount = [[0; MOST_PEOPLE]; MOST_STATIONS];
        let mut plates = vec![[[0; MOST_PEOPLE]; MOST_STATIONS]; scarce.len()];
        for (person, mover) in task.people.iter().enumerate() {
            for (station, setup) in mover.visits.iter().enumerate() {
                if let Some(setup) = setup.as_ref().filter(used) {
                    users[station] |= 1 << person;
                    amount[station][person] = number(setup.amount).unwrap_or(0);
                    for (counts, (size, _)) in plates.iter_mut().zip(scarce) {
                        let count = setup.plates.get(*size).copied().unwrap_or(0);
                        counts[station][person] = u8::try_from(count).unwrap_or(u8::MAX);
                    }
                }
            }
        }
        let standing = match task.standing.iter().find(|(one, _)| *one == id) {
            None => Standing::Free,
            Some((_, hangs)) => number(*hangs).map_or(Standing::Foreign, Standing::Amount),
        };
        let stations = (0..MOST_STATIONS).filter(|&station| users[station] != 0).collect();
        Self { users, amount, plates, stations, amounts: amounts.len(), standing }
    }

    fn at_start(&self) -> Hanging {
        let mut hanging = [NEVER; MOST_LOADS];
        match self.standing {
            Standing::Free => hanging[..self.amounts].fill(0),
            Standing::Amount(amount) => hanging[usize::from(amount)] = 0,
            Standing::Foreign => hanging[..self.amounts].fill(1),
        }
        hanging
    }

    /// The amounts that those who stand at a station need, one bit each.
    fn amounts_of(&self, station: usize, there: u16) -> u32 {
        let mut people = self.users[station] & there;
        let mut amounts = 0;
        while people != 0 {
            amounts |= 1 << self.amount[station][people.trailing_zeros() as usize];
            people &= people - 1;
        }
        amounts
    }

    /// Most plates of a scarce size this implement carries in a round.
    fn most_plates(&self, round: &[u16; MOST_STATIONS], place: usize) -> u32 {
        let mut most = 0;
        for &station in &self.stations {
            let mut people = self.users[station] & round[station];
            while people != 0 {
                most = most.max(self.plates[place][station][people.trailing_zeros() as usize]);
                people &= people - 1;
            }
        }
        u32::from(most)
    }

    fn is_used_by(&self, people: u16) -> bool {
        self.stations.iter().any(|&station| self.users[station] & people != 0)
    }
}

/// The sizes of which there are too few for every bar to carry its most at once.
fn scarce_plates(task: &RotationTask, implements: &[usize]) -> Vec<(usize, u32)> {
    let most = |implement: usize, size: usize| {
        let setups = task.people.iter().flat_map(|mover| mover.visits.iter().flatten());
        let on_it = setups.filter(|setup| setup.implement == Some(implement));
        on_it.filter_map(|setup| setup.plates.get(size)).copied().max().unwrap_or(0)
    };
    let wanted =
        |size: usize| implements.iter().map(|&implement| most(implement, size)).sum::<u32>();
    let held = task.plates.iter().copied().enumerate();
    held.filter(|&(size, held)| wanted(size) > held).collect()
}

/// Least cost with each amount hanging last, after a group that needs these amounts passed: with
/// one amount it is hung at most once; with several it is changed between every two neighbours,
/// set after set, but for the last.
fn after_group(before: &Hanging, amounts: usize, needed: u32, sets: u32) -> Hanging {
    let cheapest = before[..amounts].iter().copied().min().unwrap_or(0);
    let mut after = [NEVER; MOST_LOADS];
    let enter = |amount: u8| before[usize::from(amount)].min(cheapest + 1);
    let count = needed.count_ones();
    if count == 1 {
        let only = needed.trailing_zeros();
        after[only as usize] = enter(only as u8);
        return after;
    }
    let within = u16::try_from(sets * count - 1).unwrap_or(NEVER);
    for last in bits(needed) {
        let first = bits(needed).filter(|&first| first != last).map(enter).min();
        after[usize::from(last)] = first.unwrap_or(NEVER) + within;
    }
    after
}

/// The amount to leave with: the one that makes all that follows cheapest.
fn cheapest_end(after: &Hanging, needed: u32, leave_with: Option<u8>) -> u8 {
    let price = |amount: u8| {
        let change = u16::from(leave_with.is_some_and(|wanted| wanted != amount));
        after[usize::from(amount)] + change
    };
    bits(needed).min_by_key(|&amount| (price(amount), amount)).unwrap_or(0)
}

/// The amount to enter with, given the one to leave with.
fn cheapest_start(before: &Hanging, amounts: usize, needed: u32, last: u8) -> u8 {
    if needed.count_ones() == 1 {
        return last;
    }
    let cheapest = before[..amounts].iter().copied().min().unwrap_or(0);
    let enter = |amount: u8| before[usize::from(amount)].min(cheapest + 1);
    let open = bits(needed).filter(|&amount| amount != last);
    open.min_by_key(|&amount| (enter(amount), amount)).unwrap_or(last)
}

/// The numbers of the bits that are set, lowest first.
fn bits(mut set: u32) -> impl Iterator<Item = u8> {
    std::iter::from_fn(move || {
        (set != 0).then(|| {
            let lowest = set.trailing_zeros() as u8;
            set &= set - 1;
            lowest
        })
    })
}
