//! Rotation: the laws every plan keeps, and small cases held against trying every possibility.

#![allow(clippy::unwrap_used, reason = "helpers of tests may panic")]

use cornerwork_core::prescription::rotation::{
    Mover, Planned, Rotation, RotationError, RotationTask, Setup, StationWork, plan,
};
use cornerwork_core::units::Duration;
use proptest::prelude::*;
use std::collections::BTreeMap;

fn seconds(value: f64) -> Duration {
    Duration::seconds(value)
}

fn station(sets: u32) -> StationWork {
    StationWork { sets, set: seconds(40.0), rest: seconds(120.0) }
}

/// Everyone visits every station; `amounts[station][person]` hang on a bar of the station's own.
fn task(amounts: &[&[i64]], sets: u32) -> RotationTask {
    let people = (0..amounts[0].len())
        .map(|person| Mover {
            from_round: 0,
            until_round: None,
            visits: amounts
                .iter()
                .enumerate()
                .map(|(station, by_person)| {
                    let amount = by_person[person];
                    Some(Setup { implement: Some(station), amount, plates: vec![] })
                })
                .collect(),
        })
        .collect();
    RotationTask {
        stations: vec![station(sets); amounts.len()],
        people,
        plates: vec![],
        standing: vec![],
        change: seconds(30.0),
        move_on: seconds(120.0),
    }
}

/// Changes of a plan counted from scratch: walk the sets in order and compare what hangs.
fn counted(task: &RotationTask, rotation: &Rotation) -> u32 {
    let mut hanging: BTreeMap<usize, i64> = task.standing.iter().copied().collect();
    let mut changes = 0;
    for round in &rotation.rounds {
        for (station, group) in round.iter().enumerate() {
            for _ in 0..task.stations[station].sets {
                for &person in group {
                    let setup = task.people[person].visits[station].as_ref().unwrap();
                    let Some(implement) = setup.implement else { continue };
                    if hanging.insert(implement, setup.amount).is_some_and(|h| h != setup.amount) {
                        changes += 1;
                    }
                }
            }
        }
    }
    changes
}

/// Every law a plan keeps, whatever it is made from.
fn check(task: &RotationTask, planned: &Planned) {
    for rotation in [&planned.best, &planned.alphabetical] {
        let rounds = &rotation.rounds;
        for (person, mover) in task.people.iter().enumerate() {
            for (round, groups) in rounds.iter().enumerate() {
                let places = groups.iter().filter(|group| group.contains(&person)).count();
                assert!(places <= 1, "athlete {person} at {places} places in round {round}");
                let there = round >= mover.from_round
                    && mover.until_round.is_none_or(|until| round < until);
                assert!(there || places == 0, "athlete {person} is not there in round {round}");
            }
            for (station, visit) in mover.visits.iter().enumerate() {
                let times = rounds.iter().filter(|groups| groups[station].contains(&person));
                assert_eq!(times.count(), usize::from(visit.is_some()), "{person} at {station}");
            }
            let sets: Vec<_> = rotation.timetable.of_person(person).collect();
            for pair in sets.windows(2) {
                let rest = task.stations[pair[0].station].rest;
                let rested = (pair[1].start - pair[0].end).in_seconds();
                assert!(rested >= rest.in_seconds() - 1e-9, "athlete {person} rested {rested} s");
            }
        }
        for station in 0..task.stations.len() {
            let slots = rotation.timetable.slots.iter().filter(|slot| slot.station == station);
            let slots: Vec<_> = slots.collect();
            for pair in slots.windows(2) {
                let needed = if pair[1].change { task.change } else { Duration::ZERO };
                assert!(pair[1].start >= pair[0].end + needed, "two at once at {station}");
            }
        }
        assert_eq!(rotation.changes, counted(task, rotation));
        assert_eq!(rotation.changes as usize, rotation.timetable.changes());
    }
    let key = |rotation: &Rotation| (rotation.clashes, rotation.changes);
    assert!(key(&planned.best) <= key(&planned.alphabetical));
    if planned.best.clashes == 0 {
        assert!(planned.fewest_changes <= planned.best.changes);
    }
}

/// The fewest changes among all assignments of athletes to rounds and all orders of sets, tried
/// one by one. Slow, and nothing in it is shared with the search.
fn brute_force(task: &RotationTask, rounds: usize, places: usize) -> (u32, u32) {
    let people = task.people.len();
    let stations = task.stations.len();
    let mut best = (u32::MAX, u32::MAX);
    let rows: Vec<Vec<Vec<Option<usize>>>> = (0..people)
        .map(|person| {
            let mut found = Vec::new();
            let count = (stations + 1).pow(u32::try_from(rounds).unwrap());
            for code in 0..count {
                let mut rest = code;
                let row: Vec<Option<usize>> = (0..rounds)
                    .map(|_| {
                        let at = rest % (stations + 1);
                        rest /= stations + 1;
                        at.checked_sub(1)
                    })
                    .collect();
                let mover = &task.people[person];
                let fits = (0..stations).all(|s| {
                    let times = row.iter().filter(|at| **at == Some(s)).count();
                    times == usize::from(mover.visits[s].is_some())
                });
                let there = row.iter().enumerate().all(|(round, at)| {
                    at.is_none()
                        || round >= mover.from_round
                            && mover.until_round.is_none_or(|until| round < until)
                });
                if fits && there {
                    found.push(row);
                }
            }
            found
        })
        .collect();
    let mut chosen = vec![0; people];
    loop {
        let mut grid = vec![vec![Vec::new(); stations]; rounds];
        for person in 0..people {
            for (round, at) in rows[person][chosen[person]].iter().enumerate() {
                if let Some(station) = at {
                    grid[round][*station].push(person);
                }
            }
        }
        if grid.iter().flatten().all(|group| group.len() <= places) {
            best = best.min(best_orders(task, &grid));
        }
        let Some(place) = (0..people).find(|&p| chosen[p] + 1 < rows[p].len()) else { break };
        chosen[place] += 1;
        chosen[..place].fill(0);
    }
    best
}

fn best_orders(task: &RotationTask, grid: &[Vec<Vec<usize>>]) -> (u32, u32) {
    let mut clashes = 0;
    for round in grid {
        let mut used: BTreeMap<usize, usize> = BTreeMap::new();
        let mut wanted: Vec<BTreeMap<usize, u32>> = vec![BTreeMap::new(); task.plates.len()];
        for (station, group) in round.iter().enumerate() {
            let mut here: Vec<usize> = Vec::new();
            for &person in group {
                let setup = task.people[person].visits[station].as_ref().unwrap();
                let Some(implement) = setup.implement else { continue };
                here.push(implement);
                for (size, count) in setup.plates.iter().enumerate() {
                    let most = wanted[size].entry(implement).or_default();
                    *most = (*most).max(*count);
                }
            }
            here.sort_unstable();
            here.dedup();
            for implement in here {
                *used.entry(implement).or_default() += 1;
            }
        }
        clashes += used.values().map(|count| u32::try_from(count - 1).unwrap()).sum::<u32>();
        for (size, by_implement) in wanted.iter().enumerate() {
            clashes += by_implement.values().sum::<u32>().saturating_sub(task.plates[size]);
        }
    }
    // Each implement by itself: every order of every group that uses it.
    let mut implements: Vec<usize> = (task.people.iter())
        .flat_map(|p| p.visits.iter().flatten().filter_map(|s| s.implement))
        .collect();
    implements.sort_unstable();
    implements.dedup();
    let changes = implements.iter().map(|&one| {
        let mut groups: Vec<(u32, Vec<i64>)> = Vec::new();
        for round in grid {
            for (station, group) in round.iter().enumerate() {
                let amounts: Vec<i64> = group
                    .iter()
                    .filter_map(|&person| task.people[person].visits[station].as_ref())
                    .filter(|setup| setup.implement == Some(one))
                    .map(|setup| setup.amount)
                    .collect();
                if !amounts.is_empty() {
                    groups.push((task.stations[station].sets, amounts));
                }
            }
        }
        let standing = task.standing.iter().find(|(id, _)| *id == one).map(|(_, amount)| *amount);
        fewest(standing, &groups)
    });
    (clashes, changes.sum())
}

fn fewest(hanging: Option<i64>, groups: &[(u32, Vec<i64>)]) -> u32 {
    let Some(((sets, amounts), rest)) = groups.split_first() else { return 0 };
    let mut best = u32::MAX;
    for order in permutations(amounts) {
        let mut hangs = hanging;
        let mut changes = 0;
        for _ in 0..*sets {
            for &amount in &order {
                changes += u32::from(hangs.is_some_and(|h| h != amount));
                hangs = Some(amount);
            }
        }
        best = best.min(changes + fewest(hangs, rest));
    }
    best
}

fn permutations(items: &[i64]) -> Vec<Vec<i64>> {
    if items.is_empty() {
        return vec![vec![]];
    }
    let mut found = Vec::new();
    for place in 0..items.len() {
        let mut rest = items.to_vec();
        let first = rest.remove(place);
        found.extend(permutations(&rest).into_iter().map(|mut tail| {
            tail.insert(0, first);
            tail
        }));
    }
    found
}

#[test]
fn two_pairs_are_made_of_those_who_use_the_same_load() {
    // By hand: two pairs of like loads change once between them at each of two stations. A pair of
    // unlike loads changes 5 times in its 3 sets, and the next can begin with what the last left.
    let rotation = plan(&task(&[&[20, 40, 20, 40], &[5, 10, 5, 10]], 3)).unwrap();
    assert_eq!((rotation.best.changes, rotation.fewest_changes), (2, 2));
    assert!(rotation.proven);
    assert_eq!(rotation.alphabetical.changes, 4 * 5);
}

#[test]
fn loads_that_cross_between_stations_cost_what_trying_all_says() {
    let crossed = task(&[&[20, 40, 20, 40], &[5, 5, 10, 10]], 2);
    let planned = plan(&crossed).unwrap();
    check(&crossed, &planned);
    assert!(planned.proven);
    let (clashes, changes) = brute_force(&crossed, 2, 2);
    assert_eq!((planned.best.clashes, planned.best.changes), (clashes, changes));
}

#[test]
fn a_bar_is_not_wanted_at_two_stations_at_once_where_that_can_be_helped() {
    // One light and one heavy bar serve both stations; two athletes need each. Athletes 0 and 1
    // side by side would need the light bar twice.
    let mut shared = task(&[&[20, 20, 30, 30], &[20, 20, 30, 30]], 2);
    for (person, mover) in shared.people.iter_mut().enumerate() {
        for setup in mover.visits.iter_mut().flatten() {
            setup.implement = Some(person / 2);
        }
    }
    let planned = plan(&shared).unwrap();
    check(&shared, &planned);
    assert_eq!(planned.best.clashes, 0);
}

#[test]
fn plates_that_are_not_there_are_asked_for_by_no_two_at_once() {
    // Two pairs of 20s; athletes 0 and 1 want one pair each, athlete 2 both.
    let mut scarce = task(&[&[60, 60, 100], &[60, 60, 100], &[0, 0, 0]], 1);
    scarce.plates = vec![4];
    for (person, mover) in scarce.people.iter_mut().enumerate() {
        for setup in mover.visits.iter_mut().take(2).flatten() {
            setup.plates = vec![if person == 2 { 4 } else { 2 }];
        }
    }
    let planned = plan(&scarce).unwrap();
    check(&scarce, &planned);
    let (clashes, changes) = brute_force(&scarce, 3, 1);
    assert_eq!((planned.best.clashes, planned.best.changes), (clashes, changes));
}

#[test]
fn someone_late_joins_when_there_and_someone_leaving_is_done_before() {
    let mut evening = task(&[&[1, 2, 3, 4], &[1, 2, 3, 4], &[1, 2, 3, 4]], 2);
    evening.people[0].from_round = 1;
    evening.people[3].until_round = Some(2);
    evening.people[3].visits[2] = None;
    let planned = plan(&evening).unwrap();
    check(&evening, &planned);
    assert_eq!(planned.best.rounds.len(), 4);
}

#[test]
fn what_cannot_be_is_said() {
    let mut short = task(&[&[1, 2], &[1, 2], &[1, 2]], 1);
    short.people[1].until_round = Some(2);
    let refused = plan(&short).unwrap_err();
    assert_eq!(refused, RotationError::TooShort { person: 1, stations: 3, rounds: 2 });
    let mut idle = task(&[&[1, 2]], 1);
    idle.people.iter_mut().for_each(|mover| mover.visits = vec![None]);
    assert_eq!(plan(&idle), Err(RotationError::Nothing));
}

#[test]
fn the_same_task_gives_the_same_plan() {
    let amounts: Vec<Vec<i64>> =
        (0..4).map(|s| (0..12).map(|p| (p * 7 + s * 5) % 6 * 5).collect()).collect();
    let rows: Vec<&[i64]> = amounts.iter().map(Vec::as_slice).collect();
    let twelve = task(&rows, 3);
    let planned = plan(&twelve).unwrap();
    check(&twelve, &planned);
    assert_eq!(plan(&twelve).unwrap(), planned);
    assert!(planned.best.changes < planned.alphabetical.changes);
}

fn any_task(
    people: std::ops::RangeInclusive<usize>,
    stations: std::ops::RangeInclusive<usize>,
) -> impl Strategy<Value = RotationTask> {
    (people, stations).prop_flat_map(|(people, stations)| {
        let visit = (prop::bool::weighted(0.9), 0..3_i64, 0..3_usize, 0..3_u32);
        let visits = prop::collection::vec(prop::collection::vec(visit, stations), people);
        let sets = prop::collection::vec(1..4_u32, stations);
        (visits, sets, any::<bool>(), 2..5_u32, prop::option::of(0..3_i64), 0..2_usize).prop_map(
            move |(visits, sets, shared, held, standing, late)| RotationTask {
                stations: sets.into_iter().map(station).collect(),
                people: visits
                    .into_iter()
                    .enumerate()
                    .map(|(person, row)| Mover {
                        from_round: if person == 0 { late } else { 0 },
                        until_round: None,
                        visits: row
                            .into_iter()
                            .enumerate()
                            .map(|(station, (does, amount, bar, plates))| {
                                let implement = if shared { bar } else { station };
                                let setup = Setup {
                                    implement: (bar < 2 || !shared).then_some(implement),
                                    amount,
                                    plates: vec![plates],
                                };
                                does.then_some(setup)
                            })
                            .collect(),
                    })
                    .collect(),
                plates: vec![held],
                standing: standing.map(|amount| (0, amount)).into_iter().collect(),
                change: seconds(30.0),
                move_on: seconds(120.0),
            },
        )
    })
}

/// Places as few as the visits need, the way the plan reckons them when nobody is late.
fn fewest_places(task: &RotationTask, rounds: usize) -> Vec<usize> {
    (0..task.stations.len())
        .map(|s| task.people.iter().filter(|p| p.visits[s].is_some()).count().div_ceil(rounds))
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn every_plan_keeps_every_law(task in any_task(1..=12, 1..=4)) {
        match plan(&task) {
            Ok(planned) => check(&task, &planned),
            Err(error) => prop_assert_eq!(error, RotationError::Nothing),
        }
    }

    #[test]
    fn small_cases_are_the_best_of_all(task in any_task(1..=4, 1..=3)) {
        let Ok(planned) = plan(&task) else { return Ok(()) };
        prop_assert!(planned.proven, "small cases are counted out");
        let rounds = planned.best.rounds.len();
        let places = fewest_places(&task, rounds);
        // Only where the places are as reckoned, and the same at all stations, is the second
        // implementation asked the same question.
        let most = places.iter().copied().max().unwrap_or(0);
        let same = places.iter().all(|&one| one == most || one == 0);
        let kept = planned.best.rounds.iter().flatten().all(|group| group.len() <= most);
        prop_assume!(same && kept);
        let (clashes, changes) = brute_force(&task, rounds, most);
        prop_assert_eq!((planned.best.clashes, planned.best.changes), (clashes, changes));
        prop_assert!(clashes > 0 || planned.fewest_changes <= changes);
    }
}
