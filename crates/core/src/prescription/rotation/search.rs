//! A search by steps: from several starts the best step again and again, with a short memory of
//! steps not to take back (tabu search: Glover 1989, ORSA J Comput 1:190).

use super::cost::{Cost, Weigher};
use super::rows::{Rows, put, take};

/// Steps from each start.
const STEPS: usize = 24;
/// For so many steps an athlete does not return to a way just left.
const MEMORY: usize = 6;

/// A way for each athlete with what it costs.
#[derive(Clone, Debug)]
pub(super) struct Found {
    pub chosen: Vec<usize>,
    pub cost: Cost,
}

/// The best found from the alphabetical order and from orders by load, never worse than the
/// first. It stops where `good_enough` is reached.
pub(super) fn search(
    rows: &Rows,
    weigher: &Weigher,
    alphabetical: &[usize],
    good_enough: Cost,
) -> Found {
    let cost = weigher.cost(&rows.grid(alphabetical));
    let mut best = Found { chosen: alphabetical.to_vec(), cost };
    let by_load = weigher.orders_by_load(rows.people());
    let starts = by_load.iter().filter_map(|order| rows.in_order(order));
    let starts: Vec<Vec<usize>> = std::iter::once(alphabetical.to_vec()).chain(starts).collect();
    for start in starts {
        if best.cost <= good_enough {
            break;
        }
        let found = walk(rows, weigher, start, good_enough);
        if found.cost < best.cost {
            best = found;
        }
    }
    best
}

/// The steps not to take: athlete and way, until which step.
type Memory = Vec<Vec<usize>>;

fn walk(rows: &Rows, weigher: &Weigher, start: Vec<usize>, good_enough: Cost) -> Found {
    let cost = weigher.cost(&rows.grid(&start));
    let mut here = Found { chosen: start, cost };
    let mut best = here.clone();
    let mut memory: Memory = (0..rows.people()).map(|p| vec![0; rows.ways(p).len()]).collect();
    for step in 1..=STEPS {
        if best.cost <= good_enough {
            break;
        }
        let allowed = |moves: &Moves, cost: Cost| {
            cost < best.cost || each(moves).all(|(person, way)| memory[person][way] < step)
        };
        let Some((moves, cost)) = best_step(rows, weigher, &here.chosen, allowed) else { break };
        for (person, way) in each(&moves) {
            memory[person][here.chosen[person]] = step + MEMORY;
            here.chosen[person] = way;
        }
        here.cost = cost;
        if here.cost < best.cost {
            best = here.clone();
        }
    }
    best
}

/// Athletes and the ways they take instead: one or two.
type Moves = [Option<(usize, usize)>; 2];

fn each(moves: &Moves) -> impl Iterator<Item = (usize, usize)> {
    moves.iter().flatten().copied()
}

/// The cheapest of: one athlete takes another way; two change two of their rounds each; two take
/// each other's way. Of equals the first.
fn best_step(
    rows: &Rows,
    weigher: &Weigher,
    here: &[usize],
    allowed: impl Fn(&Moves, Cost) -> bool,
) -> Option<(Moves, Cost)> {
    let mut grid = rows.grid(here);
    let before = weigher.tally(&grid);
    let mut best: Option<(Moves, Cost)> = None;
    let most = Cost { clashes: u32::MAX, changes: u32::MAX };
    for moves in steps(rows, here) {
        for (person, way) in each(&moves) {
            take(&mut grid, &rows.ways(person)[here[person]], person);
            put(&mut grid, &rows.ways(person)[way], person);
        }
        let limit = best.as_ref().map_or(most, |(_, cost)| *cost);
        if rows.fits(&grid)
            && let Some(cost) = weigher.after(&grid, &before, touched(rows, here, &moves), limit)
            && cost < limit
            && allowed(&moves, cost)
        {
            best = Some((moves, cost));
        }
        for (person, way) in each(&moves) {
            take(&mut grid, &rows.ways(person)[way], person);
        }
        for (person, _) in each(&moves) {
            put(&mut grid, &rows.ways(person)[here[person]], person);
        }
    }
    best
}

/// Who moves, and in which rounds, one bit each.
fn touched(rows: &Rows, here: &[usize], moves: &Moves) -> (u16, u16) {
    let mut people = 0;
    let mut rounds = 0;
    for (person, way) in each(moves) {
        people |= 1 << person;
        let (from, to) = (&rows.ways(person)[here[person]], &rows.ways(person)[way]);
        for round in 0..rows.rounds() {
            if from[round] != to[round] {
                rounds |= 1 << round;
            }
        }
    }
    (people, rounds)
}

fn steps(rows: &Rows, chosen: &[usize]) -> Vec<Moves> {
    let mut steps: Vec<Moves> = Vec::new();
    let swaps: Vec<Vec<(usize, usize, usize)>> =
        (0..rows.people()).map(|person| swapped_ways(rows, chosen, person)).collect();
    for one in 0..rows.people() {
        let ways = 0..rows.ways(one).len();
        steps.extend(ways.filter(|&way| way != chosen[one]).map(|way| [Some((one, way)), None]));
        for other in one + 1..rows.people() {
            steps.extend(exchange(rows, chosen, one, other));
            for &(first, second, way) in &swaps[one] {
                let same = |swap: &&(usize, usize, usize)| (swap.0, swap.1) == (first, second);
                if let Some(&(_, _, its_way)) = swaps[other].iter().find(same) {
                    steps.push([Some((one, way)), Some((other, its_way))]);
                }
            }
        }
    }
    steps
}

fn exchange(rows: &Rows, chosen: &[usize], one: usize, other: usize) -> Option<Moves> {
    let row = &rows.ways(one)[chosen[one]];
    let its_row = &rows.ways(other)[chosen[other]];
    if row == its_row {
        return None;
    }
    let way = rows.ways(one).iter().position(|candidate| candidate == its_row)?;
    let its_way = rows.ways(other).iter().position(|candidate| candidate == row)?;
    Some([Some((one, way)), Some((other, its_way))])
}

/// The ways of an athlete with two of its rounds changed for each other, with those rounds.
fn swapped_ways(rows: &Rows, chosen: &[usize], person: usize) -> Vec<(usize, usize, usize)> {
    let mut found = Vec::new();
    let row = &rows.ways(person)[chosen[person]];
    for first in 0..rows.rounds() {
        for second in first + 1..rows.rounds() {
            if row[first] == row[second] {
                continue;
            }
            let mut swapped = row.clone();
            swapped.swap(first, second);
            let way = rows.ways(person).iter().position(|candidate| *candidate == swapped);
            found.extend(way.map(|way| (first, second, way)));
        }
    }
    found
}
