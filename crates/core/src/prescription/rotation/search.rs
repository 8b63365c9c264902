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
        let allowed = |moves: &[(usize, usize)], cost: Cost| {
            cost < best.cost || moves.iter().all(|&(person, way)| memory[person][way] < step)
        };
        let Some((moves, cost)) = best_step(rows, weigher, &here, allowed) else { break };
        for &(person, way) in &moves {
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

/// Athletes and the ways they take instead.
type Moves = Vec<(usize, usize)>;

/// The cheapest of: one athlete takes another way; two change two of their rounds each; two take
/// each other's way. Of equals the first.
fn best_step(
    rows: &Rows,
    weigher: &Weigher,
    here: &Found,
    allowed: impl Fn(&[(usize, usize)], Cost) -> bool,
) -> Option<(Moves, Cost)> {
    let mut grid = rows.grid(&here.chosen);
    let mut best: Option<(Moves, Cost)> = None;
    for moves in steps(rows, &here.chosen) {
        for &(person, way) in &moves {
            take(&mut grid, &rows.ways(person)[here.chosen[person]], person);
            put(&mut grid, &rows.ways(person)[way], person);
        }
        if rows.fits(&grid) {
            let cost = weigher.cost(&grid);
            let better = best.as_ref().is_none_or(|(_, known)| cost < *known);
            if better && allowed(&moves, cost) {
                best = Some((moves.clone(), cost));
            }
        }
        for &(person, way) in &moves {
            take(&mut grid, &rows.ways(person)[way], person);
        }
        for &(person, _) in &moves {
            put(&mut grid, &rows.ways(person)[here.chosen[person]], person);
        }
    }
    best
}

fn steps(rows: &Rows, chosen: &[usize]) -> Vec<Moves> {
    let mut steps: Vec<Moves> = Vec::new();
    for one in 0..rows.people() {
        let ways = rows.ways(one).len();
        steps.extend((0..ways).filter(|&way| way != chosen[one]).map(|way| vec![(one, way)]));
        for other in one + 1..rows.people() {
            if let Some(moves) = exchange(rows, chosen, one, other) {
                steps.push(moves);
            }
            for first in 0..rows.rounds() {
                for second in first + 1..rows.rounds() {
                    let swapped = |person| swapped_way(rows, chosen, person, first, second);
                    if let (Some(way), Some(its_way)) = (swapped(one), swapped(other)) {
                        steps.push(vec![(one, way), (other, its_way)]);
                    }
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
    Some(vec![(one, way), (other, its_way)])
}

/// The way of an athlete with two of its rounds changed for each other, where there is one.
fn swapped_way(
    rows: &Rows,
    chosen: &[usize],
    person: usize,
    first: usize,
    second: usize,
) -> Option<usize> {
    let mut row = rows.ways(person)[chosen[person]].clone();
    if row[first] == row[second] {
        return None;
    }
    row.swap(first, second);
    rows.ways(person).iter().position(|candidate| *candidate == row)
}
