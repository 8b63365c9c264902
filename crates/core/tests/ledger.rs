//! Nothing typed is lost, and every slip can be mended: the ledger as the floor uses it.
//!
//! The outside truth here is a clean entry: after any mending, the gym must answer as if the
//! right thing had been typed at once.

#![allow(clippy::unwrap_used, reason = "helpers of a test may panic")]

use cornerwork_core::exercise::{Direction, ExerciseId, FaultTag};
use cornerwork_core::session::athlete::{Athlete, AthleteId, Born, Sex, Stance};
use cornerwork_core::session::evening::{EveningPlan, Station};
use cornerwork_core::session::gym::LikeForLike;
use cornerwork_core::session::judgement::Verdict;
use cornerwork_core::session::ledger::Ledger;
use cornerwork_core::session::operation::{Change, Operation, OperationId};
use cornerwork_core::session::refusal::Refusal;
use cornerwork_core::session::rep::{Altered, Load, Method, RepEntry, Seen, SeenFault, Side};
use cornerwork_core::session::restriction::{Barred, Restriction, RestrictionId};
use cornerwork_core::units::{Duration, Mass};
use jiff::Timestamp;
use jiff::civil::{Date, date};
use proptest::prelude::*;

const TODAY: Date = date(2026, 9, 23);

fn code(text: &str) -> AthleteId {
    AthleteId::new(text).unwrap()
}

fn throw() -> ExerciseId {
    ExerciseId::new("landmine-punch-throw").unwrap()
}

struct Floor {
    ledger: Ledger,
    second: i64,
}

impl Floor {
    fn new() -> Self {
        let mut floor = Self { ledger: Ledger::default(), second: 0 };
        for id in ["A01", "A04"] {
            floor.accept(Change::AthleteEntered(Athlete {
                id: code(id),
                name: format!("{id} Invented"),
                sex: Sex::Male,
                born: Born::Aged { years: 24, on: TODAY },
                stance: Stance::Orthodox,
                level: "amateur elite".into(),
            }));
        }
        let station = Station {
            number: 2,
            exercise: throw(),
            bars: vec![],
            sets: 2,
            reps: 3,
            rest: Duration::seconds(120.0),
        };
        floor.accept(Change::EveningOpened(EveningPlan {
            date: TODAY,
            stations: vec![station],
            groups: vec![vec![code("A01"), code("A04")]],
            session: None,
            rounds: vec![],
        }));
        floor
    }

    fn submit(&mut self, change: Change) -> Result<OperationId, Refusal> {
        self.second += 1;
        let id = OperationId(u128::try_from(self.second).unwrap());
        let at = Timestamp::from_second(1_790_000_000 + self.second).unwrap();
        let operation = Operation { id, at, author: "Wren".into(), change };
        self.ledger.check(&operation, TODAY, [].as_slice())?;
        self.ledger.append(operation);
        Ok(id)
    }

    fn accept(&mut self, change: Change) -> OperationId {
        self.submit(change).unwrap()
    }

    fn rep(&mut self, athlete: &str, value: f64) -> OperationId {
        let entry = self.entry(athlete, value);
        self.accept(Change::RepRecorded(entry))
    }

    fn entry(&self, athlete: &str, value: f64) -> RepEntry {
        RepEntry {
            athlete: code(athlete),
            exercise: throw(),
            station: Some(2),
            load: Load::none(),
            box_height: None,
            side: Some(Side::Rear),
            value: Some(value),
            contact_time: None,
            method: Method::Sensor,
            at: Timestamp::from_second(1_790_000_000 + self.second + 1).unwrap(),
        }
    }

    fn best(&self, athlete: &str) -> Option<f64> {
        let athlete = code(athlete);
        let like = LikeForLike {
            athlete: &athlete,
            exercise: &throw(),
            side: Some(Side::Rear),
            load: &Load::none(),
            box_height: None,
            method: Method::Sensor,
        };
        self.ledger
            .gym()
            .best(&like, None, Direction::HigherIsBetter)
            .and_then(|rep| rep.entry.value)
    }
}

#[test]
fn undo_takes_the_last_rep_back_and_undoing_the_undo_brings_it_again() {
    let mut floor = Floor::new();
    floor.rep("A04", 3.1);
    let slip = floor.rep("A04", 3.9);
    let undo = floor.accept(Change::Withdrawn { operation: slip, reason: "bounced bar".into() });
    assert_eq!(floor.best("A04"), Some(3.1));
    assert!(!floor.ledger.stands(slip));
    floor.accept(Change::Withdrawn { operation: undo, reason: "it was real".into() });
    assert_eq!(floor.best("A04"), Some(3.9));
    assert!(floor.ledger.stands(slip));
    assert_eq!(floor.ledger.operations().len(), 7, "nothing is ever deleted");
}

#[test]
fn reps_credited_to_the_wrong_athlete_move_with_their_bests() {
    let mut floor = Floor::new();
    floor.rep("A01", 2.6);
    let wrong: Vec<_> = [3.5, 3.4, 3.6].map(|value| floor.rep("A01", value)).into();
    floor.accept(Change::RepsMoved {
        reps: wrong,
        athlete: code("A04"),
        done_with: None,
        reason: "A04 was throwing".into(),
    });
    assert_eq!(floor.best("A01"), Some(2.6));
    assert_eq!(floor.best("A04"), Some(3.6));
    let moved = floor.ledger.gym().reps_of(&code("A04")).next().unwrap();
    assert_eq!(moved.changes[0].what, Altered::Athlete { from: code("A01"), to: code("A04") });
    assert_eq!(moved.changes[0].author, "Wren");
}

#[test]
fn a_correction_keeps_what_was_there_with_who_and_why() {
    let mut floor = Floor::new();
    let rep = floor.rep("A04", 3.19);
    floor.accept(Change::RepCorrected { rep, value: Some(2.91), reason: "misread".into() });
    let rep = floor.ledger.gym().rep(rep).unwrap();
    assert_eq!(rep.entry.value, Some(2.91));
    assert_eq!(rep.changes[0].what, Altered::Number { from: Some(3.19), to: Some(2.91) });
    assert_eq!(rep.changes[0].reason, "misread");
}

#[test]
fn a_rep_rated_by_eye_counts_as_done_and_never_gets_a_number() {
    let mut floor = Floor::new();
    floor.rep("A04", 3.0);
    let seen = Method::ByEye(Seen::Slow);
    let rated = RepEntry { value: None, method: seen, ..floor.entry("A04", 0.0) };
    let rep = floor.accept(Change::RepRecorded(rated.clone()));
    assert_eq!(floor.ledger.gym().set_in_progress(2, &code("A04")).len(), 2, "it was done");
    assert_eq!(floor.best("A04"), Some(3.0));
    assert_eq!(Verdict::without_number(seen).word(), "slow, by eye");
    let corrected = Change::RepCorrected { rep, value: Some(2.4), reason: "a guess".into() };
    assert_eq!(floor.submit(corrected), Err(Refusal::RatedByEye));
    let with_number = RepEntry { value: Some(2.4), ..rated };
    assert_eq!(floor.submit(Change::RepRecorded(with_number)), Err(Refusal::RatedByEye));
}

#[test]
fn a_jump_without_a_load_at_a_station_is_no_set_of_its_exercise() {
    let mut floor = Floor::new();
    let (athlete, jump) = (code("A04"), ExerciseId::new("countermovement-jump").unwrap());
    floor.rep("A04", 3.0);
    let meanwhile = |exercise| Change::DoneMeanwhile { station: 2, athlete: code("A04"), exercise };
    floor.accept(meanwhile(Some(jump.clone())));
    let gym = floor.ledger.gym();
    let station = gym.evening.as_ref().unwrap().plan.station(2).unwrap();
    assert_eq!(gym.exercise_at(station, &athlete), (&jump, None));
    assert_eq!(gym.planned_at(station, &athlete).0, &throw());
    assert!(gym.set_in_progress(2, &athlete).is_empty(), "the throw is no rep of the jumps");
    floor.accept(Change::SetClosed { station: 2, athlete: code("A04") });
    let gym = floor.ledger.gym();
    assert_eq!(gym.evening.as_ref().unwrap().sets_closed(2, &athlete), 0);
    assert_eq!(gym.set_in_progress(2, &athlete).len(), 1, "the throw is still of the first set");
}

#[test]
fn a_rep_set_aside_or_spoiled_counts_as_done_but_never_as_best() {
    let mut floor = Floor::new();
    floor.rep("A04", 3.0);
    let aside = floor.rep("A04", 3.5);
    let bent = floor.rep("A04", 3.4);
    floor.accept(Change::RepSetAside { rep: aside, reason: "slipped".into() });
    let fault = SeenFault { tag: FaultTag::new("bent-landing").unwrap(), spoils_number: true };
    floor.accept(Change::FaultSeen { rep: bent, fault });
    assert_eq!(floor.best("A04"), Some(3.0));
    assert_eq!(floor.ledger.gym().set_in_progress(2, &code("A04")).len(), 3);
}

#[test]
fn a_hard_stop_refuses_the_rep_and_changes_nothing() {
    let mut floor = Floor::new();
    floor.accept(Change::RestrictionSet(Restriction {
        id: RestrictionId("A04-hand".into()),
        athlete: code("A04"),
        barred: Barred::OneSide { exercises: vec![throw()], side: Side::Rear },
        from: date(2026, 9, 14),
        earliest_end: Some(date(2026, 9, 26)),
        needs_clearance: false,
        ground: "hand, physio's word".into(),
        instead: Some("the lead hand".into()),
    }));
    let before = floor.ledger.operations().len();
    let refusal = floor.submit(Change::RepRecorded(floor.entry("A04", 3.0))).unwrap_err();
    assert_eq!(
        refusal.to_string(),
        "A04 is barred from landmine punch throw with the rear hand: hand, physio's word. \
         Free again from 26 September 2026. Instead: the lead hand."
    );
    assert_eq!(floor.ledger.operations().len(), before);
    let mut lead = floor.entry("A04", 2.9);
    lead.side = Some(Side::Lead);
    floor.accept(Change::RepRecorded(lead));
}

#[test]
fn a_stand_down_lasts_past_its_date_until_cleared() {
    let restriction = Restriction {
        id: RestrictionId("x".into()),
        athlete: code("A01"),
        barred: Barred::Everything,
        from: date(2026, 9, 12),
        earliest_end: Some(date(2026, 10, 10)),
        needs_clearance: true,
        ground: "stopped by head blows".into(),
        instead: None,
    };
    assert!(!restriction.in_force(date(2026, 9, 11)));
    assert!(restriction.in_force(date(2026, 9, 12)));
    assert!(restriction.in_force(date(2026, 10, 10)));
    assert!(restriction.in_force(date(2027, 1, 1)), "no clearance, no end");
    let plain = Restriction { needs_clearance: false, ..restriction };
    assert!(!plain.in_force(date(2026, 10, 10)));
}

#[test]
fn closing_sets_passes_the_turn_round_the_group_until_all_are_done() {
    let mut floor = Floor::new();
    let mut order = Vec::new();
    while let Some(up) = floor.ledger.gym().evening.as_ref().unwrap().up_at(2).cloned() {
        floor.accept(Change::SetClosed { station: 2, athlete: up.clone() });
        order.push(up.to_string());
    }
    assert_eq!(order, ["A01", "A04", "A01", "A04"]);
}

#[test]
fn the_same_operation_twice_is_one() {
    let mut floor = Floor::new();
    let id = floor.rep("A04", 3.0);
    let again = floor.ledger.operation(id).unwrap().clone();
    floor.ledger.append(again);
    assert_eq!(floor.ledger.gym().reps.len(), 1);
}

proptest! {
    /// Folding the stored operations anew gives the state that grew step by step.
    #[test]
    fn replay_equals_growth(steps in prop::collection::vec((0..6u8, 0..8usize, 2.0..4.0f64), 1..60)) {
        let mut floor = Floor::new();
        let mut ids = vec![floor.rep("A01", 2.5)];
        for (kind, pick, value) in steps {
            let target = ids[pick % ids.len()];
            let outcome = match kind {
                0 => floor.submit(Change::RepRecorded(floor.entry("A01", value))),
                1 => floor.submit(Change::RepRecorded(floor.entry("A04", value))),
                2 => floor.submit(Change::RepCorrected { rep: target, value: Some(value), reason: "x".into() }),
                3 => floor.submit(Change::Withdrawn { operation: target, reason: "x".into() }),
                4 => floor.submit(Change::RepsMoved { reps: vec![target], athlete: code("A04"), done_with: None, reason: "x".into() }),
                _ => floor.submit(Change::SetClosed { station: 2, athlete: code("A01") }),
            };
            ids.extend(outcome);
        }
        let replayed = Ledger::replay(floor.ledger.operations().to_vec());
        prop_assert_eq!(&replayed.gym().reps, &floor.ledger.gym().reps);
        for athlete in ["A01", "A04"] {
            let listed = |ledger: &Ledger| ledger.gym().reps_of(&code(athlete)).map(|rep| rep.id).collect::<Vec<_>>();
            prop_assert_eq!(listed(&replayed), listed(&floor.ledger));
        }
    }
}

/// What the floor shows of an evening.
fn as_it_stands(floor: &Floor) -> (usize, u32, usize, Option<Load>, Option<AthleteId>, usize) {
    let gym = floor.ledger.gym();
    let evening = gym.open_evening().unwrap();
    (
        evening.rotations,
        evening.sets_closed(2, &code("A01")),
        gym.reps_at(2).count(),
        evening.hung(2, &code("A01")).cloned(),
        evening.up_at(2).cloned(),
        gym.set_in_progress(2, &code("A01")).len(),
    )
}

fn plan_of(floor: &Floor) -> (OperationId, EveningPlan) {
    let evening = floor.ledger.gym().evening.clone().unwrap();
    (evening.id, evening.plan)
}

fn bar_of(kilograms: f64) -> Load {
    Load { total: Mass::kilograms(kilograms), bar: Some("long".into()), plates: vec![] }
}

#[test]
fn an_evening_opened_again_goes_on_where_it_stopped() {
    let mut floor = Floor::new();
    floor.rep("A01", 2.9);
    floor.accept(Change::LoadHung { station: 2, athlete: code("A01"), load: bar_of(25.0) });
    floor.accept(Change::SetClosed { station: 2, athlete: code("A01") });
    floor.accept(Change::GroupsRotated);
    floor.accept(Change::TurnTaken { station: 2, athlete: code("A01") });
    floor.rep("A01", 3.0);
    let before = as_it_stands(&floor);
    let (evening, plan) = plan_of(&floor);
    let closing = floor.accept(Change::EveningClosed);
    assert!(floor.ledger.gym().open_evening().is_none());
    let again = floor.accept(Change::EveningReopened { evening, plan: plan.clone() });
    assert_eq!(as_it_stands(&floor), before);
    assert_eq!(before.5, 1, "the set that was under way still is");

    // Taking the closing back as well changes nothing; taking the opening back closes it.
    let back = |operation| Change::Withdrawn { operation, reason: "undone".into() };
    floor.accept(back(closing));
    assert_eq!(as_it_stands(&floor), before);
    let kept = floor.accept(back(again));
    assert_eq!(as_it_stands(&floor), before, "it was never closed then");
    floor.accept(back(kept));
    floor.accept(Change::EveningClosed);
    assert!(floor.submit(Change::EveningReopened { evening, plan }).is_ok());
}

#[test]
fn an_evening_can_go_on_after_another_of_the_day_and_no_other_can() {
    let mut floor = Floor::new();
    floor.rep("A01", 2.9);
    let (evening, plan) = plan_of(&floor);
    let again = Change::EveningReopened { evening, plan: plan.clone() };
    let open = floor.submit(again.clone());
    assert_eq!(open, Err(Refusal::EveningStillOpen { date: TODAY }));
    floor.accept(Change::EveningClosed);
    floor.accept(Change::EveningOpened(plan.clone()));
    floor.accept(Change::EveningClosed);
    floor.accept(again);
    assert_eq!(floor.ledger.gym().reps_at(2).count(), 1);
    floor.accept(Change::EveningClosed);
    let unknown = Change::EveningReopened { evening: OperationId(999), plan: plan.clone() };
    assert_eq!(floor.submit(unknown), Err(Refusal::NothingToReopen));

    // One of another day is over for good.
    floor.accept(Change::EveningOpened(EveningPlan { date: date(2026, 9, 24), ..plan.clone() }));
    floor.accept(Change::EveningClosed);
    let of_yesterday = Change::EveningReopened { evening, plan };
    assert_eq!(floor.submit(of_yesterday), Err(Refusal::NothingToReopen));
}
