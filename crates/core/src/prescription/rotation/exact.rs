//! Every possibility, as far as that can be counted: branch and bound over the athletes.

use super::MOST_STATIONS;
use super::cost::{Cost, Weigher};
use super::rows::{Grid, Rows, put, take};
use super::search::Found;

/// Partial rotations looked at before giving up. A count and not a time, so that the same task
/// gives the same answer on every machine.
const MOST_LOOKED_AT: usize = 12_000;

/// A better choice than the one found, or the same; and whether nothing better exists.
///
/// Athletes are placed one after another, those with the fewest ways first. What the placed ones
/// cost can only grow, so a branch that costs as much as the best known is cut.
pub(super) fn improve(
    rows: &Rows,
    weigher: &Weigher,
    found: Found,
    good_enough: Cost,
) -> (Vec<usize>, bool) {
    if found.cost <= good_enough {
        return (found.chosen, true);
    }
    let mut order: Vec<usize> = (0..rows.people()).collect();
    order.sort_by_key(|&person| (rows.ways(person).len(), person));
    let mut tree = Tree {
        rows,
        weigher,
        order,
        grid: vec![[0; MOST_STATIONS]; rows.rounds()],
        chosen: found.chosen.clone(),
        best: found,
        good_enough,
        left: MOST_LOOKED_AT,
    };
    tree.descend(0);
    let counted_out = tree.left > 0 || tree.best.cost <= good_enough;
    (tree.best.chosen, counted_out)
}

struct Tree<'a> {
    rows: &'a Rows,
    weigher: &'a Weigher,
    order: Vec<usize>,
    grid: Grid,
    chosen: Vec<usize>,
    best: Found,
    good_enough: Cost,
    left: usize,
}

impl Tree<'_> {
    fn descend(&mut self, depth: usize) {
        let Some(&person) = self.order.get(depth) else { return };
        let mut branches: Vec<(Cost, usize)> = Vec::new();
        for (way, row) in self.rows.ways(person).iter().enumerate() {
            if self.left == 0 {
                return;
            }
            if self.rows.has_room(&self.grid, row) {
                self.left -= 1;
                put(&mut self.grid, row, person);
                branches.push((self.weigher.cost(&self.grid), way));
                take(&mut self.grid, row, person);
            }
        }
        branches.sort_unstable();
        for (cost, way) in branches {
            if cost >= self.best.cost || self.best.cost <= self.good_enough || self.left == 0 {
                return;
            }
            self.chosen[person] = way;
            if depth + 1 == self.order.len() {
                self.best = Found { chosen: self.chosen.clone(), cost };
                return;
            }
            let row = &self.rows.ways(person)[way];
            put(&mut self.grid, row, person);
            self.descend(depth + 1);
            take(&mut self.grid, row, person);
        }
    }
}
