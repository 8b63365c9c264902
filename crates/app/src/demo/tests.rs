//! The story holds together, and its numbers lie about the truth they were drawn from.

#![allow(clippy::unwrap_used, reason = "a test may panic")]

use super::calendar::{Camp, STORY_NOW, TONIGHT, at, session_on};
use super::people::{PEOPLE, Person};
use super::performance::{BEST_TO_BEAT_M_S, MAT_OFFSET_M, MISSED_BY_TETHER, spread};
use super::truth::velocity_for_height;
use super::{evening, kit, names, operations, restrictions, stations};
use cornerwork_core::camp::permission::Clearance;
use cornerwork_core::exercise::{MeasureKind, Sides};
use cornerwork_core::profile::load_momentum::{
    HeightMethod, LoadMomentumPriors, LoadMomentumProfile, LoadMomentumSettings, LoadedJump,
};
use cornerwork_core::session::evening::Target;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::ledger::Ledger;
use cornerwork_core::session::operation::Operation;
use cornerwork_core::session::refusal::Refusal;
use cornerwork_core::session::rep::{Load, Method, Rep, Side};
use cornerwork_core::session::restriction::Barred;
use cornerwork_core::units::{Length, Mass};
use cornerwork_io::catalogue::exercises::Exercises;
use jiff::civil::{Date, date};
use jiff::tz::TimeZone;
use std::collections::HashSet;
use std::sync::LazyLock;

const SEED: u64 = 23;
static STORY: LazyLock<Vec<Operation>> = LazyLock::new(|| operations(SEED));
static LEDGER: LazyLock<Ledger> = LazyLock::new(|| Ledger::replay(STORY.clone()));

/// The rule of London's clocks as the time-zone database prints it (POSIX form, IEEE 1003.1).
fn london() -> TimeZone {
    TimeZone::posix("GMT0BST,M3.5.0/1,M10.5.0").unwrap()
}

fn day_of(moment: jiff::Timestamp) -> Date {
    london().to_datetime(moment).date()
}

fn gym() -> &'static Gym {
    LEDGER.gym()
}

fn person(code: &str) -> &'static Person {
    PEOPLE.iter().find(|person| person.code == code).unwrap()
}

/// Reps of one exercise that count, with the day each was done.
fn reps(person: &Person, name: &str) -> Vec<(Date, &'static Rep)> {
    let id = person.id();
    gym()
        .reps_of(&id)
        .filter(|rep| rep.entry.exercise.as_str() == name && rep.counts())
        .map(|rep| (day_of(rep.entry.at), rep))
        .collect()
}

fn plates_kg(rep: &Rep) -> f64 {
    rep.entry.load.plates.iter().map(|plate| plate.mass().in_kilograms()).sum()
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

/// Asks that scores which should be standard normal are: each within 4.5 (of some hundred draws
/// one is beyond that in 1 500 seeds) and their root mean square within four of its own standard
/// errors, 1 / sqrt(2 n) (normal theory: the variance of a sample variance is 2 / n).
fn assert_standard_normal(scores: &[f64], what: &str) {
    let n = scores.len() as f64;
    for score in scores {
        assert!(score.abs() < 4.5, "{what}: {score:.2} standard errors off in {scores:.2?}");
    }
    let root_mean_square = (scores.iter().map(|score| score * score).sum::<f64>() / n).sqrt();
    assert!((root_mean_square - 1.0).abs() < 4.0 / (2.0 * n).sqrt(), "{what}: {root_mean_square}");
    assert!(mean(scores).abs() < 4.0 / n.sqrt(), "{what}: {}", mean(scores));
}

#[test]
fn the_same_seed_tells_the_same_story_and_another_seed_another() {
    assert_eq!(*STORY, operations(SEED));
    assert_ne!(*STORY, operations(SEED + 1));
}

#[test]
fn operations_stand_in_order_and_none_after_now() {
    assert!(STORY.is_sorted_by(|one, next| one.id < next.id && one.at <= next.at));
    assert!(STORY.iter().all(|operation| operation.at < STORY_NOW));
    assert!(gym().reps.iter().all(|rep| rep.entry.at < STORY_NOW));
    let now = london().to_datetime(STORY_NOW);
    assert_eq!(now, date(2026, 9, 23).at(17, 40, 0, 0));
}

#[test]
fn clock_times_are_those_of_london() {
    for day in [date(2026, 2, 16), date(2026, 3, 28), date(2026, 3, 29), TONIGHT] {
        let told = london().to_datetime(at(day, 17, 40));
        assert_eq!(told, day.at(17, 40, 0, 0));
    }
}

#[test]
fn ids_are_uuids_of_version_7() {
    for operation in STORY.iter() {
        let id = uuid::Uuid::from_u128(operation.id.0);
        assert_eq!(id.get_version_num(), 7);
        assert_eq!(id.get_variant(), uuid::Variant::RFC4122);
        let (seconds, nanoseconds) = id.get_timestamp().unwrap().to_unix();
        let milliseconds = seconds as i64 * 1000 + i64::from(nanoseconds) / 1_000_000;
        assert_eq!(milliseconds, operation.at.as_millisecond());
    }
}

#[test]
fn every_operation_passes_the_checks_of_its_day() {
    let library = Exercises::built_in().unwrap();
    for seed in [SEED, 1, 2] {
        let mut ledger = Ledger::default();
        for operation in operations(seed) {
            let day = day_of(operation.at);
            // Days before tonight are history, entered the morning after: what was lifted then is a
            // fact. Tonight is judged as in any gym.
            let late = if day < TONIGHT { 13 } else { 0 };
            let at = operation.at + jiff::SignedDuration::from_hours(late);
            let entered = Operation { at, ..operation.clone() };
            let checked = ledger.check(&entered, day, &library);
            assert_eq!(checked, Ok(()), "{day} {operation:?}");
            ledger.append(operation);
        }
        if seed == SEED {
            assert_eq!(ledger.gym().reps, gym().reps, "growth and replay agree");
        }
    }
}

#[test]
fn the_gym_says_it_is_invented_and_everyone_is_there() {
    assert!(gym().invented);
    assert_eq!(gym().name, "Kettlewick Yard Boxing Club");
    let codes: Vec<&str> = gym().athletes.keys().map(|id| id.as_str()).collect();
    assert_eq!(
        codes,
        [
            "A01", "A02", "A03", "A04", "A05", "A06", "A07", "B01", "B02", "B03", "B04", "B05",
            "N01", "N02"
        ]
    );
    for person in &PEOPLE {
        assert_eq!(gym().athlete(&person.id()).unwrap().name, person.name);
        assert!(gym().body_mass(&person.id()).is_some(), "{}", person.code);
        assert!(reps(person, names::JUMP).len() >= 5, "{}", person.code);
    }
}

#[test]
fn there_is_much_to_read_and_little_to_wait_for() {
    assert!(STORY.len() < 12_000, "{}", STORY.len());
    assert!((4_000..9_000).contains(&gym().reps.len()), "{}", gym().reps.len());
}

/// The loads of the card for the power block, written down with the story: momentum of a straight
/// fall peaks at M (1/a - 1) / 2, rounded to what hangs on the light hex bar.
#[test]
fn loads_of_the_loaded_jump_are_those_of_the_card() {
    let card = [
        ("A01", 25.0),
        ("A02", 32.5),
        ("A03", 30.0),
        ("A04", 40.0),
        ("A05", 42.5),
        ("A06", 22.5),
        ("A07", 70.0),
        ("N02", 32.5),
        ("B01", 35.0),
        ("B02", 27.5),
        ("B03", 45.0),
        ("B04", 42.5),
        ("B05", 27.5),
    ];
    for (code, kilograms) in card {
        let load = kit::ON_HEX_LIGHT.nearest(person(code).peak_load_kg());
        assert_eq!(load.total, Mass::kilograms(kilograms), "{code}");
    }
}

/// Take-off velocities and throws of the card, to its two decimals.
#[test]
fn the_truth_gives_the_numbers_of_the_card() {
    let second_test = Camp::HarbourOpen.second_test();
    // Code, load, take-off velocity at the mass of the first test, throw with its plates: rear,
    // lead.
    let card = [
        ("A01", 25.0, 1.86, 2.62, 2.44),
        ("A02", 32.5, 1.89, 2.86, 2.72),
        ("A04", 40.0, 2.10, 3.12, 2.88),
        ("A07", 70.0, 1.86, 3.31, 3.03),
    ];
    for (code, load_kg, take_off, rear, lead) in card {
        let person = person(code);
        let unloaded = velocity_for_height(person.jump_height_m(second_test));
        let loaded = unloaded * (1.0 - person.fall * load_kg / person.body_mass_kg);
        assert!((loaded - take_off).abs() < 0.01, "{code} {loaded}");
        for (side, expected) in [(Side::Rear, rear), (Side::Lead, lead)] {
            let throw = person.throw_m_s(second_test, side, person.throw_plates_kg);
            assert!((throw - expected).abs() < 0.0051, "{code} {throw}");
        }
    }
}

/// The mean of the five test jumps: the form of the day is common to them, so its variance is not
/// divided: (truth)² (0.022² + 0.020² / 5). Monday is two days after any sparring.
#[test]
fn test_jumps_lie_about_the_truth_with_the_offset_of_the_mat() {
    let mut scores = Vec::new();
    for seed in 0..6 {
        let ledger = Ledger::replay(operations(seed));
        for person in &PEOPLE {
            for day in [person.days().first_test(), person.days().second_test()] {
                let id = person.id();
                let of_day: Vec<&Rep> = ledger
                    .gym()
                    .reps_of(&id)
                    .filter(|rep| rep.entry.exercise.as_str() == names::JUMP)
                    .filter(|rep| day_of(rep.entry.at) == day)
                    .collect();
                let Some(first) = of_day.first() else { continue };
                assert_eq!(of_day.len(), 5);
                let offset_m = match first.entry.method {
                    Method::FlightTime => MAT_OFFSET_M,
                    _ => 0.0,
                };
                let values: Vec<f64> = of_day.iter().map(|rep| rep.entry.value.unwrap()).collect();
                let truth_m = person.jump_height_m(day);
                let error = (spread::JUMP_OF_DAY.powi(2) + spread::JUMP.powi(2) / 5.0).sqrt();
                scores.push((mean(&values) - truth_m - offset_m) / (truth_m * error));
            }
        }
    }
    // Nine people kept both tests of the first camp but one, five the first of the second.
    assert_eq!(scores.len(), 6 * (9 + 8 + 5));
    assert_standard_normal(&scores, "test jumps");
}

/// The fall of take-off velocity with load, found again from each athlete's loaded jumps. With
/// y = v / v0(t) = (1 - a x)(1 + e), x = L / M(t) and e of 2.5 %, the least-squares fall through
/// (0, 1) is sum x (1 - y) / sum x², and its variance sum x² s² (1 - a x)² / (sum x²)².
#[test]
fn the_fall_with_load_is_found_again_from_the_loaded_jumps() {
    let mut scores = Vec::new();
    for person in &PEOPLE {
        let (mut cross, mut square, mut variance) = (0.0, 0.0, 0.0);
        let jumps = reps(person, names::LOADED_JUMP);
        assert!(jumps.len() >= 8, "{}", person.code);
        for (day, rep) in jumps {
            if rep.entry.load.bar.as_deref() == Some(kit::HEX_BLUE) {
                continue; // its mass on record is the stamp's
            }
            let x = rep.entry.load.total.in_kilograms() / person.mass_kg(day);
            let height_m = rep.entry.value.unwrap() - MAT_OFFSET_M;
            let y = velocity_for_height(height_m) / person.take_off_m_s(day, 0.0);
            cross += x * (1.0 - y);
            square += x * x;
            variance += (x * spread::LOADED_JUMP * (1.0 - person.fall * x)).powi(2);
        }
        scores.push((cross / square - person.fall) / (variance.sqrt() / square));
    }
    assert_standard_normal(&scores, "fall with load");
}

/// Split jerks: each is the truth times one plus an error of 3 %, so the mean ratio of n has a
/// standard error of 3 % / sqrt n.
#[test]
fn jerks_lie_about_the_truth_on_both_sides() {
    let mut scores = Vec::new();
    for person in &PEOPLE {
        let ratios: Vec<f64> = reps(person, names::JERK)
            .iter()
            .map(|(_, rep)| {
                rep.number().unwrap() / person.jerk_m_s(rep.entry.side.unwrap(), plates_kg(rep))
            })
            .collect();
        let error = spread::JERK / (ratios.len() as f64).sqrt();
        scores.push((mean(&ratios) - 1.0) / error);
    }
    assert_standard_normal(&scores, "jerks");
}

/// Throws: the truth times what fatigue and first trials leave (1.2 % a rep, 1 % a set, 5 % on the
/// first day), times one plus an error of 4 %. Sets and reps are counted as the ledger has them.
#[test]
fn throws_lie_about_the_truth_and_fall_within_and_between_sets() {
    let mut scores = Vec::new();
    for person in &PEOPLE {
        let id = person.id();
        let mut ratios = Vec::new();
        let mut place = (Date::ZERO, 0, None);
        let mut number = 0.0;
        for rep in gym().reps_of(&id).filter(|rep| rep.entry.exercise.as_str() == names::THROW) {
            let day = day_of(rep.entry.at);
            let here = (day, rep.set, rep.entry.side);
            number = if here == place { number + 1.0 } else { 0.0 };
            place = here;
            let plates_kg = plates_kg(rep);
            let capped = person.code == "A04" && plates_kg == 5.0;
            let Some(value) = rep.number().filter(|_| !capped) else { continue };
            let first = if day == person.days().first_test() { 0.95 } else { 1.0 };
            let sets_before = f64::from(rep.set.saturating_sub(1));
            let left = first * (1.0 - 0.012 * number - 0.01 * sets_before);
            ratios.push(value / (left * person.throw_m_s(day, rep.entry.side.unwrap(), plates_kg)));
        }
        let error = spread::THROW / (ratios.len() as f64).sqrt();
        scores.push((mean(&ratios) - 1.0) / error);
    }
    assert_standard_normal(&scores, "throws");
}

/// What the library says of each exercise holds for every rep: it exists, the value can be, sides
/// are given where it has sides, and a fault is one of its own with the same weight.
#[test]
fn every_rep_fits_the_exercise_library() {
    let library = Exercises::built_in().unwrap();
    for rep in &gym().reps {
        let exercise = library.get(&rep.entry.exercise).unwrap();
        let value = rep.entry.value.unwrap_or(exercise.measure.usual_si.low);
        assert!(exercise.measure.hard_si.contains(value), "{} {value}", exercise.id);
        let fits = match rep.entry.side {
            None => exercise.sides == Sides::None,
            Some(Side::Lead | Side::Rear) => exercise.sides == Sides::LeadRear,
            Some(Side::Left | Side::Right) => exercise.sides == Sides::EachSide,
        };
        assert!(fits, "{} {:?}", exercise.id, rep.entry.side);
        for fault in &rep.faults {
            let known = exercise.fault(&fault.tag).unwrap();
            assert_eq!(known.spoils_measure, fault.spoils_number);
        }
        if let (Some(contact), Some(measure)) =
            (rep.entry.contact_time, exercise.measure_of(MeasureKind::ContactTime))
        {
            assert!(measure.hard_si.contains(contact.in_seconds()), "{contact:?}");
        }
    }
    let barred = restrictions::all().into_iter().flat_map(|one| match one.barred {
        Barred::Everything => Vec::new(),
        Barred::Exercises(exercises) | Barred::OneSide { exercises, .. } => exercises,
    });
    assert!(barred.into_iter().all(|name| library.get(&name).is_some()));
}

/// Bent landings: binomial with probability 1 / 25.
#[test]
fn one_loaded_jump_in_twenty_five_is_landed_bent_and_tagged() {
    let jumps: Vec<&Rep> =
        gym().reps.iter().filter(|rep| rep.entry.exercise.as_str() == names::LOADED_JUMP).collect();
    let bent = jumps.iter().filter(|rep| !rep.faults.is_empty()).count() as f64;
    let n = jumps.len() as f64;
    let error = (n * 0.04 * 0.96).sqrt();
    assert!((bent - 0.04 * n).abs() < 4.0 * error, "{bent} of {n}");
    assert!(jumps.iter().all(|rep| rep.faults.is_empty() == rep.counts()));
}

/// Missed by the tether: binomial with probability 1 / 50. Missing is no number, never zero.
#[test]
fn some_reps_were_done_without_a_number() {
    let on_tether: Vec<&Rep> = gym().reps.iter().filter(|rep| rep.entry.side.is_some()).collect();
    let missed = on_tether.iter().filter(|rep| rep.entry.value.is_none()).count() as f64;
    let n = on_tether.len() as f64;
    let error = (n * MISSED_BY_TETHER * (1.0 - MISSED_BY_TETHER)).sqrt();
    assert!((missed - n * MISSED_BY_TETHER).abs() < 4.0 * error, "{missed} of {n}");
    assert!(gym().reps.iter().all(|rep| rep.entry.value != Some(0.0)));
}

/// The main job on invented data: the profile of the last fortnight's loaded jumps names a load
/// whose true momentum, (M + L) v(L) with v from the generator's law, is within 2 % of the true
/// peak. That is so for everyone with the demo's own seed, not by law: over the seeds 100 to 119
/// it held for 258 of 260 profiles, and the worst lost 2.9 %.
#[test]
fn the_profile_of_the_last_fortnight_finds_a_load_near_the_true_peak() {
    let fortnight_ago = TONIGHT - jiff::Span::new().weeks(2);
    for person in &PEOPLE {
        let jumps: Vec<LoadedJump> = reps(person, names::LOADED_JUMP)
            .into_iter()
            .filter(|(day, _)| *day >= fortnight_ago)
            .map(|(_, rep)| {
                let height = Length::metres(rep.number().unwrap()) - gym().mat_reads_high_by;
                LoadedJump::of_height(rep.entry.load.total, height, HeightMethod::FlightTime)
            })
            .collect();
        if person.code == "N01" {
            assert_eq!(jumps, [], "stood down on the 12th");
            continue;
        }
        let body_mass_kg = person.mass_kg(TONIGHT);
        let settings =
            LoadMomentumSettings { priors: LoadMomentumPriors::HEX_BAR, ..Default::default() };
        let profile =
            LoadMomentumProfile::fit(Mass::kilograms(body_mass_kg), &jumps, &settings).unwrap();
        let momentum =
            |load_kg: f64| (body_mass_kg + load_kg) * person.take_off_m_s(TONIGHT, load_kg);
        let true_peak_kg = body_mass_kg * (1.0 / person.fall - 1.0) / 2.0;
        let found_kg = profile.value.load_of_least_loss().in_kilograms();
        let loss = 1.0 - momentum(found_kg) / momentum(true_peak_kg);
        assert!(loss < 0.02, "{}: {found_kg:.1} kg, true {true_peak_kg:.1} kg", person.code);
    }
}

#[test]
fn loads_hang_from_the_plates_of_the_gym_in_steps_one_may_take() {
    for rep in &gym().reps {
        let load = &rep.entry.load;
        let Some(bar) = load.bar.as_ref().and_then(|bar| gym().bars.get(bar)) else {
            assert_eq!(*load, Load::none());
            continue;
        };
        let sides = bar.sides().count() as usize;
        let plates = load.plates.iter().flat_map(|plate| std::iter::repeat_n(plate, sides));
        assert!(gym().plates.clone().without(plates).is_ok(), "{load:?}");
    }
    for person in &PEOPLE {
        let loads = person.jump_loads(person.days().first_test());
        let totals = loads.map(|load| load.total.in_kilograms());
        assert!(totals.windows(2).all(|pair| pair[1] - pair[0] <= 40.0), "{totals:?}");
    }
}

#[test]
fn one_athlete_changed_the_method_between_two_tests() {
    let jumps = reps(person("A03"), names::JUMP);
    let first_test = Camp::HarbourOpen.first_test();
    assert!(jumps.iter().all(|(day, rep)| {
        (rep.entry.method == Method::TakeOffVelocity) == (*day == first_test)
    }));
    assert!(jumps.iter().any(|(day, _)| *day == first_test));
    assert!(jumps.iter().any(|(day, _)| *day == Camp::HarbourOpen.second_test()));
    for other in PEOPLE.iter().filter(|person| person.code != "A03") {
        let by_mat = |(_, rep): &(Date, &Rep)| rep.entry.method == Method::FlightTime;
        assert!(reps(other, names::JUMP).iter().all(by_mat));
    }
}

#[test]
fn weekly_jumps_reach_back_twenty_four_weeks_for_four_athletes() {
    for person in &PEOPLE {
        let first_test = person.days().first_test();
        let mut days: Vec<Date> = reps(person, names::JUMP).iter().map(|(day, _)| *day).collect();
        days.dedup();
        let before = days.iter().filter(|day| **day < first_test).count();
        let expected = if ["A04", "A05", "B01", "B03"].contains(&person.code) { 24 } else { 0 };
        assert_eq!(before, expected, "{}", person.code);
    }
}

/// Came to a session: binomial with probability 0.92, over everyone whose camp had begun, on days
/// without a test or a stand-down.
#[test]
fn people_come_to_ninety_two_sessions_of_a_hundred() {
    let jump = names::exercise(names::JUMP);
    let (mut came, mut could) = (0.0, 0.0);
    for person in &PEOPLE {
        let id = person.id();
        let days: HashSet<Date> = gym()
            .reps_of(&id)
            .filter(|rep| rep.entry.station.is_some())
            .map(|rep| day_of(rep.entry.at))
            .collect();
        let camp = person.days();
        let mut day = camp.first_test();
        while day < TONIGHT {
            let free = restrictions::open(person, &jump, None, day) && !camp.tests(day);
            if free && session_on(day).is_some() {
                could += 1.0;
                came += f64::from(u8::from(days.contains(&day)));
            }
            day = day.tomorrow().unwrap();
        }
    }
    let error = f64::sqrt(could * 0.92 * 0.08);
    assert!((came - 0.92 * could).abs() < 4.0 * error, "{came} of {could}");
}

/// Usual days are rested ones: weekly jumps and tests never follow open sparring, tonight does.
#[test]
fn only_tonight_follows_open_sparring() {
    for person in &PEOPLE {
        for (day, _) in reps(person, names::JUMP) {
            let expected = match person.camp {
                Some(Camp::HarbourOpen) if day == TONIGHT && person.code == "A02" => 0.055,
                Some(Camp::HarbourOpen) if day == TONIGHT => 0.03,
                _ => 0.0,
            };
            assert_eq!(person.fatigue(day), expected, "{} {day}", person.code);
        }
    }
}

#[test]
fn the_stand_down_and_the_hand_bind_tonight_and_no_rep_broke_them() {
    let stopped = person("N01").id();
    let jump = names::exercise(names::JUMP);
    let refusal = gym().allows(&stopped, &jump, None, TONIGHT).unwrap_err();
    assert_eq!(
        refusal,
        Refusal::Barred {
            name: "Perrin".into(),
            what: "all training".into(),
            earliest: Some(date(2026, 10, 10)),
            cleared_by: Some(Clearance::Doctor),
            ground: "medical stand-down".into(),
            instead: None,
        }
    );
    let hurt = person("A05").id();
    let throw = names::exercise(names::THROW);
    let allowed = |side, day| gym().allows(&hurt, &throw, Some(side), day).is_ok();
    assert!(!allowed(Side::Lead, TONIGHT) && allowed(Side::Rear, TONIGHT));
    assert!(!allowed(Side::Lead, date(2026, 9, 26)) && allowed(Side::Lead, date(2026, 9, 27)));
    assert!(gym().reps_of(&hurt).all(|rep| {
        day_of(rep.entry.at) < date(2026, 9, 14) || rep.entry.side != Some(Side::Lead)
    }));
}

#[test]
fn tonight_stands_ready_and_nothing_was_lifted_yet() {
    let evening = gym().evening.as_ref().unwrap();
    assert!(!evening.closed);
    assert_eq!(evening.plan.date, TONIGHT);
    let exercises: Vec<&str> =
        evening.plan.stations.iter().map(|station| station.exercise.as_str()).collect();
    assert_eq!(exercises, [names::DEPTH_JUMP, names::THROW, names::LOADED_JUMP, names::JERK]);
    for station in 1..=4 {
        assert_eq!(gym().reps_at(station).count(), 0);
    }
    for code in evening::PAIRS.iter().flatten() {
        let id = person(code).id();
        let warm_up = reps(person(code), names::JUMP);
        assert_eq!(warm_up.iter().filter(|(day, _)| *day == TONIGHT).count(), 3, "{code}");
        assert!(evening.hung(stations::THROW, &id).is_some());
        assert!(evening.hung(stations::JERK, &id).is_some());
        assert!(evening.hung(stations::LOADED_JUMP, &id).is_none());
    }
    // The card: box 40, 5 kg on the throw bar, 17.5 kg on the jerk bar.
    let id = person("A04").id();
    let total = |station| evening.hung(station, &id).unwrap().total.in_kilograms();
    assert_eq!((total(stations::THROW), total(stations::JERK)), (25.0, 37.5));
    assert_eq!(evening.box_at(stations::DEPTH_JUMP, &id).unwrap().in_centimetres(), 40.0);
    assert_eq!(gym().next_bout(&id, TONIGHT).unwrap().days_from(TONIGHT), 24);
    let professional = person("B03").id();
    assert_eq!(gym().next_bout(&professional, TONIGHT).unwrap().days_from(TONIGHT), 59);
}

#[test]
fn bars_never_clash_while_the_pairs_rotate() {
    let plan = &gym().evening.as_ref().unwrap().plan;
    let evening = gym().evening.as_ref().unwrap();
    for rotation in 0..4 {
        let bars_at = |station: u8| {
            let place = usize::from(station) - 1;
            let group = plan.group_at(place, rotation).iter();
            group.map(move |id| evening.hung(station, id).unwrap().bar.clone()).collect::<Vec<_>>()
        };
        let throwing = bars_at(stations::THROW);
        assert!(bars_at(stations::JERK).iter().all(|bar| !throwing.contains(bar)), "{rotation}");
    }
}

#[test]
fn tonight_tells_what_the_story_says() {
    let tonight = |code: &str| -> Vec<f64> {
        let of_tonight = reps(person(code), names::JUMP);
        let of_tonight = of_tonight.iter().filter(|(day, _)| *day == TONIGHT);
        of_tonight.map(|(_, rep)| rep.entry.value.unwrap()).collect()
    };
    assert_eq!(tonight("A04"), evening::WARM_UP_OF_A04_M);
    // Down 5.5 % from the rested truth; three trials of 2 % leave 1.15 % of error on the mean.
    let rested = person("A02").jump_height_m(TONIGHT);
    let down = 1.0 - (mean(&tonight("A02")) - MAT_OFFSET_M) / rested;
    assert!((down - 0.055).abs() < 3.0 * 0.02 / 3.0_f64.sqrt(), "{down}");
    let best = reps(person("A04"), names::THROW)
        .iter()
        .filter(|(_, rep)| rep.entry.side == Some(Side::Rear))
        .filter(|(_, rep)| rep.entry.load.total == Mass::kilograms(25.0))
        .filter_map(|(_, rep)| rep.number())
        .fold(0.0, f64::max);
    assert_eq!(best, BEST_TO_BEAT_M_S);
    for person in &PEOPLE {
        let floor = gym().target(&person.id(), &names::exercise(names::THROW));
        assert_eq!(floor, evening::throw_floor_m_s(person).map(Target::AtLeast));
        let window = gym().target(&person.id(), &names::exercise(names::JERK));
        assert_eq!(window, Some(evening::JERK_WINDOW));
    }
}

#[test]
fn the_blue_bar_was_believed_lighter_than_it_is() {
    assert_eq!(gym().bars[kit::HEX_BLUE].mass(), Mass::kilograms(27.4));
    let on_blue: Vec<&Rep> = gym()
        .reps
        .iter()
        .filter(|rep| rep.entry.load.bar.as_deref() == Some(kit::HEX_BLUE))
        .collect();
    assert!(!on_blue.is_empty());
    for rep in on_blue {
        let plates: Mass = rep.entry.load.plates.iter().map(|plate| plate.mass() * 2.0).sum();
        assert_eq!(rep.entry.load.total - plates, Mass::kilograms(25.0));
    }
}

#[test]
fn caps_of_the_box_are_kept() {
    for rep in gym().reps.iter().filter(|rep| rep.entry.box_height.is_some()) {
        let cap_cm = match rep.entry.athlete.as_str() {
            "A06" => 20.0,
            "A07" => 45.0,
            _ => 60.0,
        };
        assert!(rep.entry.box_height.unwrap().in_centimetres() <= cap_cm + 1e-9);
    }
}

/// The rule for fast loss of mass (2 % in a week costs 2 % of jump height) needs no code before
/// tonight: nobody truly loses that fast.
#[test]
fn nobody_loses_two_percent_in_a_week() {
    for person in &PEOPLE {
        let week_ago = TONIGHT - jiff::Span::new().weeks(1);
        assert!(person.mass_kg(TONIGHT) > 0.98 * person.mass_kg(week_ago), "{}", person.code);
    }
}

#[test]
fn whose_rules_bind_in_the_story_is_invented_too() {
    use cornerwork_io::catalogue::safety_rules::SafetyRules;
    let rules = SafetyRules::invented().unwrap();
    let stopped = person("N01").id();
    let record = gym().safety().stoppages(&stopped).last().unwrap();
    let found = rules.stand_downs.stand_down(&record.body, record.kind, record.on, &[]).unwrap();
    assert_eq!((found.earliest, found.words(&record.body)), (record.earliest, record.rule.clone()));
    let checked = gym().safety().limit(&person("B03").id()).unwrap().check_body.clone().unwrap();
    assert!(rules.check_bodies().contains(&checked.as_str()), "{checked}");
}
