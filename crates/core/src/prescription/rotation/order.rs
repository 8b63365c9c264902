//! The order of sets inside each group.

use super::Rounds;
use super::cost::Weigher;
use super::rows::Grid;

/// Who stands where, each group in the order of its sets.
pub(super) fn ordered(weigher: &Weigher, grid: &Grid, stations: usize) -> Rounds {
    let orders = weigher.orders(grid);
    grid.iter()
        .zip(orders)
        .map(|(round, ranks)| {
            (0..stations)
                .map(|station| {
                    let mut group: Vec<usize> =
                        (0..16).filter(|person| round[station] & (1 << person) != 0).collect();
                    group.sort_by_key(|&person| {
                        let used = weigher.use_of(station, person);
                        let rank = used
                            .and_then(|used| ranks[station].iter().position(|&one| one == used));
                        (rank.is_none(), rank, person)
                    });
                    group
                })
                .collect()
        })
        .collect()
}
