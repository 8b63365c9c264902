//! A number of changes no rotation without a clash can go below.

use super::rows::Rows;
use super::{MOST_STATIONS, RotationTask};
use std::collections::BTreeMap;

/// Summed over bars and box places, each taken for itself.
pub(super) fn fewest_changes(task: &RotationTask, rows: &Rows) -> u32 {
    let mut by_implement: BTreeMap<usize, Vec<(usize, i64)>> = BTreeMap::new();
    for mover in &task.people {
        for (station, setup) in mover.visits.iter().enumerate() {
            if let Some((implement, amount)) =
                setup.as_ref().and_then(|setup| Some((setup.implement?, setup.amount)))
            {
                by_implement.entry(implement).or_default().push((station, amount));
            }
        }
    }
    by_implement.iter().map(|(&implement, uses)| of_one(task, rows, implement, uses)).sum()
}

/// For one implement. Every amount but the one that hangs at the start must be hung once. And a
/// group holds so many; where the amounts, each in as few groups as hold its athletes, fill more
/// groups than there are, some groups must mix amounts, and a mixed group changes between all its
/// sets.
///
/// Let a group of `j` amounts and `s` sets cost `s j - 1` changes inside. If the mixed groups hold
/// `e` amounts more than one each, they cost together at least `s e + (s - 1) m` for `m` of them,
/// and inside them at most `e` amounts hang for the first time; the others arrive between groups.
fn of_one(task: &RotationTask, rows: &Rows, implement: usize, uses: &[(usize, i64)]) -> u32 {
    let mut amounts: Vec<i64> = uses.iter().map(|(_, amount)| *amount).collect();
    amounts.sort_unstable();
    amounts.dedup();
    let hangs = task.standing.iter().find(|(one, _)| *one == implement);
    let free = hangs.is_none_or(|(_, amount)| amounts.contains(amount));
    let to_hang = count(amounts.len()) - u32::from(free);

    let (mut needed, mut groups, mut most, mut sets) = (0, 0, 1, u32::MAX);
    for station in 0..MOST_STATIONS.min(task.stations.len()) {
        let places = rows.places()[station].max(1);
        let here = |amount: i64| uses.iter().filter(|one| **one == (station, amount)).count();
        let filled: u32 = amounts.iter().map(|&amount| count(here(amount)).div_ceil(places)).sum();
        if filled > 0 {
            needed += filled;
            groups += count(rows.rounds());
            most = most.max(places);
            sets = sets.min(task.stations[station].sets.max(1));
        }
    }
    let mixed = needed.saturating_sub(groups);
    if mixed == 0 || most < 2 {
        return to_hang;
    }
    sets * mixed + (sets - 1) * mixed.div_ceil(most - 1) + to_hang.saturating_sub(mixed)
}

fn count(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}
