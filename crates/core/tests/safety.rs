//! Hard stops as the ledger keeps them: they begin at once, only lengthen, and end by the right
//! person's word.

#![allow(clippy::unwrap_used, reason = "helpers of a test may panic")]

use cornerwork_core::camp::body_mass::MassLimit;
use cornerwork_core::camp::bout_facts::BoutFacts;
use cornerwork_core::camp::camp_change::CampChange;
use cornerwork_core::camp::camp_refusal::CampRefusal;
use cornerwork_core::camp::consent::{Consent, ConsentTo, Giver};
use cornerwork_core::camp::contest::{Contest, Outcome};
use cornerwork_core::camp::permission::{Clearance, Role, Signed};
use cornerwork_core::camp::safety_change::{BoxConfirmation, SafetyChange};
use cornerwork_core::camp::safety_refusal::SafetyRefusal;
use cornerwork_core::camp::stand_down::{Stoppage, StoppageRecord};
use cornerwork_core::camp::stop_sign::StopSign;
use cornerwork_core::camp::training_load::{ClosedSession, Exertion, SessionKind};
use cornerwork_core::exercise::ExerciseId;
use cornerwork_core::session::athlete::{Athlete, AthleteId, Born, Sex, Stance};
use cornerwork_core::session::bout::Bout;
use cornerwork_core::session::evening::EveningPlan;
use cornerwork_core::session::gym::stand_down_id;
use cornerwork_core::session::ledger::Ledger;
use cornerwork_core::session::operation::{Change, Operation, OperationId};
use cornerwork_core::session::refusal::Refusal;
use cornerwork_core::session::restriction::{Barred, Restriction, RestrictionId};
use cornerwork_core::units::{Length, Mass};
use jiff::Timestamp;
use jiff::civil::{Date, date};

const STOPPED: Date = date(2026, 9, 12);
const EARLIEST: Date = date(2026, 10, 10);

fn code(text: &str) -> AthleteId {
    AthleteId::new(text).unwrap()
}

fn signed(role: Role) -> Signed {
    Signed { name: "someone".into(), role }
}

struct Gym {
    ledger: Ledger,
    today: Date,
    second: i64,
}

impl Gym {
    /// A man of 25 and a girl of 16.
    fn on(today: Date) -> Self {
        let mut gym = Self { ledger: Ledger::default(), today, second: 0 };
        for (id, name, years) in
            [("N01", "Perrin Sundermark", 25), ("A06", "Suhaila Merrowdene", 16)]
        {
            let athlete = Athlete {
                id: code(id),
                name: name.into(),
                sex: Sex::Female,
                born: Born::Aged { years, on: today },
                stance: Stance::Orthodox,
                level: String::new(),
            };
            gym.submit(Change::AthleteEntered(athlete)).unwrap();
        }
        gym
    }

    fn submit(&mut self, change: Change) -> Result<OperationId, Refusal> {
        self.second += 1;
        let id = OperationId(u128::try_from(self.second).unwrap());
        let at = Timestamp::from_second(1_790_000_000 + self.second).unwrap();
        let operation = Operation { id, at, author: "Wren".into(), change };
        self.ledger.check(&operation, self.today, [].as_slice())?;
        self.ledger.append(operation);
        Ok(id)
    }

    fn say(&mut self, change: SafetyChange) -> Result<OperationId, Refusal> {
        self.submit(Change::Safety(change))
    }

    fn stop(&mut self) -> OperationId {
        self.say(SafetyChange::Stopped(StoppageRecord {
            athlete: code("N01"),
            kind: Stoppage::StoppedHeadBlows,
            on: STOPPED,
            body: "amateur".into(),
            by: signed(Role::Coach),
            earliest: EARLIEST,
            date_known: true,
            rule: "28 days".into(),
        }))
        .unwrap()
    }

    fn jump_allowed(&self, today: Date) -> bool {
        let jump = ExerciseId::new("countermovement-jump").unwrap();
        self.ledger.gym().allows(&code("N01"), &jump, None, today).is_ok()
    }

    fn clear(&mut self, role: Role, on: Date) -> Result<OperationId, Refusal> {
        self.today = on;
        let restriction = stand_down_id(&code("N01"), STOPPED);
        self.say(SafetyChange::Cleared { restriction, on, by: signed(role) })
    }

    fn extend(&mut self, role: Role, until: Date) -> Result<OperationId, Refusal> {
        let restriction = stand_down_id(&code("N01"), STOPPED);
        self.say(SafetyChange::OutExtended { restriction, until, by: signed(role) })
    }
}

fn refused(outcome: Result<OperationId, Refusal>) -> SafetyRefusal {
    match outcome {
        Err(Refusal::Safety(refusal)) => refusal,
        other => panic!("refused by a rule of safety, not {other:?}"),
    }
}

fn session(athlete: &str, on: Date, kind: SessionKind) -> ClosedSession {
    ClosedSession {
        athlete: code(athlete),
        date: on,
        kind,
        exertion: Exertion::new(6.0),
        minutes: Some(60),
        rounds: if kind == SessionKind::Sparring { 6 } else { 0 },
        note: String::new(),
        next: String::new(),
    }
}

#[test]
fn a_stand_down_binds_from_its_day_and_past_its_date_until_a_doctor_clears() {
    let mut gym = Gym::on(date(2026, 9, 23));
    gym.stop();
    assert!(gym.jump_allowed(date(2026, 9, 11)));
    for day in [STOPPED, date(2026, 9, 23), EARLIEST, date(2026, 10, 13)] {
        assert!(!gym.jump_allowed(day), "{day}");
    }
    for role in Role::ALL.into_iter().filter(|role| *role != Role::Doctor) {
        let refusal = refused(gym.clear(role, date(2026, 10, 14)));
        assert!(matches!(refusal, SafetyRefusal::NotYours { .. }), "{role:?}");
        assert!(!gym.jump_allowed(date(2026, 10, 14)));
    }
    gym.clear(Role::Doctor, date(2026, 10, 14)).unwrap();
    assert!(gym.jump_allowed(date(2026, 10, 14)));
}

#[test]
fn nobody_clears_before_the_earliest_date() {
    let mut gym = Gym::on(date(2026, 9, 23));
    gym.stop();
    let refusal = refused(gym.clear(Role::Doctor, date(2026, 10, 9)));
    assert_eq!(refusal, SafetyRefusal::TooEarly { earliest: EARLIEST });
    gym.clear(Role::Doctor, EARLIEST).unwrap();
}

#[test]
fn a_doctor_lengthens_and_nobody_shortens() {
    let mut gym = Gym::on(date(2026, 9, 23));
    gym.stop();
    assert!(matches!(
        refused(gym.extend(Role::Coach, date(2026, 11, 1))),
        SafetyRefusal::NotYours { .. }
    ));
    gym.extend(Role::Doctor, date(2026, 12, 12)).unwrap();
    let shorter = refused(gym.extend(Role::Doctor, date(2026, 10, 20)));
    assert_eq!(shorter, SafetyRefusal::OnlyLonger { earliest: date(2026, 12, 12) });
    let early = refused(gym.clear(Role::Doctor, date(2026, 10, 14)));
    assert_eq!(early, SafetyRefusal::TooEarly { earliest: date(2026, 12, 12) });
}

#[test]
fn a_stand_down_is_not_undone_lifted_or_overwritten() {
    let mut gym = Gym::on(date(2026, 9, 23));
    let stopped = gym.stop();
    let stays = SafetyRefusal::StaysUntilCleared { needs: Clearance::Doctor };
    let undone = gym.submit(Change::Withdrawn { operation: stopped, reason: "a mistake".into() });
    assert_eq!(refused(undone), stays);
    let restriction = stand_down_id(&code("N01"), STOPPED);
    let lifted = gym.submit(Change::RestrictionLifted {
        restriction: restriction.clone(),
        cleared_by: "the coach".into(),
    });
    assert_eq!(refused(lifted), stays);
    let standing = gym.ledger.gym().restriction(&restriction).unwrap().clone();
    for weaker in [
        Restriction { needs_clearance: false, ..standing.clone() },
        Restriction { earliest_end: Some(date(2026, 9, 24)), ..standing.clone() },
        Restriction { earliest_end: None, ..standing.clone() },
        Restriction { barred: Barred::Exercises(vec![]), ..standing.clone() },
        Restriction { from: date(2027, 1, 1), ..standing.clone() },
    ] {
        assert_eq!(refused(gym.submit(Change::RestrictionSet(weaker))), stays);
    }
    let longer = Restriction { earliest_end: Some(date(2026, 11, 1)), ..standing };
    gym.submit(Change::RestrictionSet(longer)).unwrap();
}

#[test]
fn nobody_is_planned_against_a_bar_or_without_consent() {
    let mut gym = Gym::on(date(2026, 9, 23));
    gym.stop();
    let evening = |athlete: &str| {
        let groups = vec![vec![code(athlete)]];
        Change::EveningOpened(EveningPlan {
            date: date(2026, 9, 23),
            stations: vec![],
            groups,
            session: None,
            rounds: vec![],
        })
    };
    let barred = gym.submit(evening("N01")).unwrap_err().to_string();
    assert!(barred.contains("Until a doctor clears, not before 10 October 2026."), "{barred}");
    assert!(matches!(refused(gym.submit(evening("A06"))), SafetyRefusal::NoGuardian { .. }));
    gym.say(consent("A06", ConsentTo::Training, Giver::Guardian, vec![])).unwrap();
    gym.submit(evening("A06")).unwrap();
}

#[test]
fn no_session_is_closed_while_stood_down() {
    let mut gym = Gym::on(date(2026, 9, 23));
    gym.stop();
    let sparring = session("N01", date(2026, 9, 22), SessionKind::Sparring);
    let refusal = gym.say(SafetyChange::SessionClosed(sparring)).unwrap_err().to_string();
    assert!(refusal.contains("Until a doctor clears, not before 10 October 2026"), "{refusal}");
    let before = session("N01", date(2026, 9, 8), SessionKind::Sparring);
    gym.say(SafetyChange::SessionClosed(before)).unwrap();
}

#[test]
fn a_stop_sign_ends_the_session_and_a_slip_of_the_thumb_does_not() {
    let mut gym = Gym::on(date(2026, 9, 23));
    let seen = SafetyChange::StopSignSeen {
        athlete: code("N01"),
        sign: StopSign::SharpPain,
        on: gym.today,
    };
    let slip = gym.say(seen.clone()).unwrap();
    assert!(!gym.jump_allowed(gym.today));
    gym.submit(Change::Withdrawn { operation: slip, reason: "slip".into() }).unwrap();
    assert!(gym.jump_allowed(gym.today));

    let real = gym.say(seen).unwrap();
    let today = session("N01", gym.today, SessionKind::Strength);
    gym.say(SafetyChange::SessionClosed(today)).expect("what was done before the sign is closed");
    gym.second += 121;
    let late = gym.submit(Change::Withdrawn { operation: real, reason: "fine again".into() });
    let needs = Clearance::PhysioOrDoctor;
    assert_eq!(refused(late), SafetyRefusal::StaysUntilCleared { needs });
    let restriction = RestrictionId("N01-stopped-2026-09-23-sharp-pain".into());
    let on = gym.today;
    gym.say(SafetyChange::Cleared { restriction, on, by: signed(Role::Physio) }).unwrap();
    assert!(gym.jump_allowed(gym.today));
}

fn consent(athlete: &str, to: ConsentTo, giver: Giver, shared_with: Vec<Role>) -> SafetyChange {
    SafetyChange::Consented(Consent {
        athlete: code(athlete),
        to,
        given: true,
        giver,
        name: "someone".into(),
        shared_with,
        on: date(2026, 9, 1),
    })
}

// Where not all of a body's rules are known, 28 days are a bound: no page names a date, and no
// doctor clears before it.
#[test]
fn a_stand_down_whose_date_is_not_known_names_none_and_holds_its_bound() {
    let mut gym = Gym::on(EARLIEST);
    gym.say(SafetyChange::Stopped(StoppageRecord {
        athlete: code("N01"),
        kind: Stoppage::KnockedOut,
        on: STOPPED,
        body: "the county".into(),
        by: signed(Role::Coach),
        earliest: EARLIEST,
        date_known: false,
        rule: "ask the county: at least 28 days (from memory)".into(),
    }))
    .unwrap();
    let id = stand_down_id(&code("N01"), STOPPED);
    let standing = gym.ledger.gym().restriction(&id).unwrap().clone();
    assert_eq!(standing.earliest_end, None);
    let ground = "medical stand-down, ask the county how long, at least 28 days";
    assert_eq!(standing.ground, ground);
    let clear =
        |on| SafetyChange::Cleared { restriction: id.clone(), on, by: signed(Role::Doctor) };
    let early = refused(gym.say(clear(date(2026, 10, 9))));
    assert_eq!(early, SafetyRefusal::TooEarly { earliest: EARLIEST });
    gym.say(clear(EARLIEST)).unwrap();
    assert!(gym.ledger.gym().may_train(&code("N01"), EARLIEST).is_ok());
}

#[test]
fn a_minor_trains_only_with_the_guardians_consent() {
    let mut gym = Gym::on(date(2026, 9, 23));
    let jump = ExerciseId::new("countermovement-jump").unwrap();
    let allowed = |gym: &Gym| gym.ledger.gym().allows(&code("A06"), &jump, None, gym.today);
    let refusal = allowed(&gym).unwrap_err();
    assert_eq!(refusal, SafetyRefusal::NoGuardian { name: "Suhaila".into() }.into());
    gym.say(consent("A06", ConsentTo::Training, Giver::Guardian, vec![])).unwrap();
    assert_eq!(allowed(&gym), Ok(()));
}

#[test]
fn a_junior_trains_without_the_guardian_from_the_eighteenth_birthday() {
    let mut gym = Gym::on(date(2026, 9, 23));
    let minor = gym.ledger.gym().athlete(&code("A06")).unwrap().clone();
    let born = |date| Change::AthleteEntered(Athlete { born: Born::On(date), ..minor.clone() });
    gym.submit(born(date(2008, 9, 24))).unwrap();
    let trains = |gym: &Gym, on| gym.ledger.gym().may_train(&code("A06"), on).is_ok();
    assert!(!trains(&gym, gym.today));
    assert!(trains(&gym, date(2026, 9, 24)));
    let ahead = gym.submit(born(date(2026, 9, 24))).unwrap_err().to_string();
    assert_eq!(ahead, "24 September 2026 as a date of birth lies ahead. Correct it.");
}

#[test]
fn an_athlete_entered_anew_is_corrected_and_an_undo_brings_the_first_entry_back() {
    let mut gym = Gym::on(date(2026, 9, 23));
    let first = gym.ledger.gym().athlete(&code("N01")).unwrap().clone();
    let corrected = Athlete {
        name: "Perrin Sundermarck".into(),
        stance: Stance::Southpaw,
        born: Born::On(date(2001, 2, 3)),
        ..first.clone()
    };
    let change = gym.submit(Change::AthleteEntered(corrected.clone())).unwrap();
    assert_eq!(gym.ledger.gym().athlete(&code("N01")), Some(&corrected));
    let undo = Change::Withdrawn { operation: change, reason: "undo".into() };
    gym.submit(undo).unwrap();
    assert_eq!(gym.ledger.gym().athlete(&code("N01")), Some(&first));
}

#[test]
fn a_photo_of_a_minor_needs_two_words() {
    let mut gym = Gym::on(date(2026, 9, 23));
    let allowed = |gym: &Gym| {
        let minor = gym.ledger.gym().athlete(&code("A06")).unwrap();
        gym.ledger.gym().photo_allowed(minor, gym.today)
    };
    let no = SafetyRefusal::NoConsent { name: "Suhaila".into(), what: "photo and video" };
    assert_eq!(allowed(&gym), Err(no.clone()));
    gym.say(consent("A06", ConsentTo::Photo, Giver::Athlete, vec![])).unwrap();
    assert_eq!(allowed(&gym), Err(no));
    gym.say(consent("A06", ConsentTo::Photo, Giver::Guardian, vec![])).unwrap();
    assert_eq!(allowed(&gym), Ok(()));
}

#[test]
fn cycle_notes_exist_only_for_whom_they_were_shared_with() {
    let mut gym = Gym::on(date(2026, 9, 23));
    let note = SafetyChange::CycleNoted {
        athlete: code("N01"),
        on: gym.today,
        symptoms: 1,
        text: String::new(),
    };
    let refusal = refused(gym.say(note.clone()));
    assert!(matches!(refusal, SafetyRefusal::NoConsent { .. }));
    gym.say(consent("N01", ConsentTo::CycleAndMood, Giver::Athlete, vec![Role::Coach])).unwrap();
    gym.say(note).unwrap();
    let seen = |gym: &Gym, role| {
        let state = gym.ledger.gym();
        let athlete = state.athlete(&code("N01")).unwrap();
        state.safety().cycle_notes(athlete, role, gym.today).map(<[_]>::len)
    };
    for role in Role::ALL {
        let expected = (role == Role::Coach).then_some(1);
        assert_eq!(seen(&gym, role), expected, "{role:?}");
    }
    let SafetyChange::Consented(mut withdrawn) =
        consent("N01", ConsentTo::CycleAndMood, Giver::Athlete, vec![])
    else {
        unreachable!("a consent is a consent")
    };
    withdrawn.given = false;
    gym.say(SafetyChange::Consented(withdrawn)).unwrap();
    assert_eq!(seen(&gym, Role::Coach), None);
}

#[test]
fn medical_notes_are_for_medical_people() {
    let mut gym = Gym::on(date(2026, 9, 23));
    gym.say(consent("N01", ConsentTo::HealthNotes, Giver::Athlete, vec![])).unwrap();
    let note = |role| SafetyChange::MedicalNoted {
        athlete: code("N01"),
        on: date(2026, 9, 23),
        text: "as examined".into(),
        by: signed(role),
    };
    for role in Role::ALL {
        let medical = matches!(role, Role::Physio | Role::Doctor);
        assert_eq!(gym.say(note(role)).is_ok(), medical, "{role:?}");
    }
}

#[test]
fn a_minor_has_no_limit_and_a_box_needs_the_coachs_reason() {
    let mut gym = Gym::on(date(2026, 9, 23));
    let limit = |athlete: &str| SafetyChange::LimitAgreed {
        athlete: code(athlete),
        limit: Some(MassLimit {
            limit: Mass::kilograms(57.0),
            weigh_in: date(2026, 10, 17),
            bout: date(2026, 10, 17),
            check_body: None,
        }),
    };
    let refusal = refused(gym.say(limit("A06")));
    assert_eq!(refusal, SafetyRefusal::NoLimitForMinors { name: "Suhaila".into() });
    gym.say(limit("N01")).unwrap();

    let confirmed = |role, reason: &str| {
        SafetyChange::BoxConfirmed(BoxConfirmation {
            athlete: code("A06"),
            exercise: ExerciseId::new("depth-jump").unwrap(),
            highest: Length::centimetres(30.0),
            until: date(2026, 9, 30),
            by: signed(role),
            reason: reason.into(),
        })
    };
    assert!(matches!(
        refused(gym.say(confirmed(Role::Assistant, "she can"))),
        SafetyRefusal::NotYours { .. }
    ));
    assert_eq!(refused(gym.say(confirmed(Role::Coach, " "))), SafetyRefusal::NoReason);
    gym.say(confirmed(Role::Coach, "lands well from 20 for six weeks")).unwrap();
    let state = gym.ledger.gym();
    let depth = ExerciseId::new("depth-jump").unwrap();
    let on = |day| state.safety().confirmed_box(&code("A06"), &depth, day);
    assert_eq!(on(date(2026, 9, 30)).map(|(height, _)| height), Some(Length::centimetres(30.0)));
    assert_eq!(on(date(2026, 10, 1)), None);
}

#[test]
fn closing_a_session_again_corrects_it_and_nonsense_is_refused() {
    let mut gym = Gym::on(date(2026, 9, 23));
    let mut one = session("N01", gym.today, SessionKind::Strength);
    gym.say(SafetyChange::SessionClosed(one.clone())).unwrap();
    one.exertion = Exertion::new(8.0);
    gym.say(SafetyChange::SessionClosed(one.clone())).unwrap();
    let closed = gym.ledger.gym().safety().sessions(&code("N01"));
    assert_eq!(closed, [one.clone()]);
    let tomorrow = ClosedSession { date: date(2026, 9, 24), ..one.clone() };
    let long = ClosedSession { minutes: Some(600), ..one.clone() };
    let rounds = ClosedSession { rounds: 99, ..one };
    for (wrong, words) in [(tomorrow, "not come yet"), (long, "minutes"), (rounds, "Rounds")] {
        let refusal = gym.say(SafetyChange::SessionClosed(wrong)).unwrap_err().to_string();
        assert!(refusal.contains(words), "{refusal}");
    }
}

/// N01 boxes at a tournament of two days; entered when no result was in.
fn at_a_tournament() -> Gym {
    let mut gym = Gym::on(STOPPED);
    let bout = Bout {
        id: "cup".into(),
        name: "Cup".into(),
        date: STOPPED,
        athletes: vec![code("N01"), code("A06")],
    };
    let facts = BoutFacts { more_days: vec![date(2026, 9, 13)], ..BoutFacts::default() };
    gym.submit(Change::Camp(CampChange::BoutEntered { bout, facts })).unwrap();
    gym
}

fn contest(athlete: &str, day: Date, outcome: Option<Outcome>) -> CampChange {
    let contest = Contest { athlete: code(athlete), day, opponent: "Odo Fennick".into(), outcome };
    CampChange::ContestEntered { bout: "cup".into(), contest, stoppage: None }
}

/// The same with the stand-down it begins.
fn stopped(athlete: &str, day: Date) -> CampChange {
    let kind = Stoppage::StoppedHeadBlows;
    let CampChange::ContestEntered { bout, contest, .. } =
        contest(athlete, day, Some(Outcome::Stopped(kind)))
    else {
        panic!("a bout");
    };
    let stoppage = StoppageRecord {
        athlete: code(athlete),
        kind,
        on: day,
        body: "amateur".into(),
        by: signed(Role::Coach),
        earliest: EARLIEST,
        date_known: true,
        rule: "28 days".into(),
    };
    CampChange::ContestEntered { bout, contest, stoppage: Some(stoppage) }
}

#[test]
fn a_stoppage_in_the_first_bout_bars_the_second() {
    let mut gym = at_a_tournament();
    let second = date(2026, 9, 13);
    let id = gym.submit(Change::Camp(stopped("N01", STOPPED))).unwrap();
    assert!(!gym.jump_allowed(second), "training as well");
    gym.today = second;
    let why = gym.submit(Change::Camp(contest("N01", second, None))).unwrap_err();
    assert!(matches!(why, Refusal::Barred { earliest: Some(EARLIEST), .. }), "{why:?}");
    assert!(why.to_string().contains("10 October"), "{why}");
    let won = gym.submit(Change::Camp(contest("N01", second, Some(Outcome::Won))));
    assert!(won.is_err(), "nor a result of a bout that should not have been");
    gym.submit(Change::Camp(contest("N01", second, Some(Outcome::Withdrew)))).unwrap();
    // It is not undone, and another result for the first day leaves it where it is.
    let undo = Change::Withdrawn { operation: id, reason: "slip".into() };
    let needs = Clearance::Doctor;
    assert_eq!(refused(gym.submit(undo)), SafetyRefusal::StaysUntilCleared { needs });
    gym.submit(Change::Camp(contest("N01", STOPPED, Some(Outcome::Won)))).unwrap();
    assert!(!gym.jump_allowed(second));
    assert_eq!(gym.ledger.gym().safety().stoppages(&code("N01")).len(), 1);
}

#[test]
fn no_stoppage_stands_without_its_stand_down() {
    let mut gym = at_a_tournament();
    let kind = Stoppage::StoppedHeadBlows;
    let bare = contest("N01", STOPPED, Some(Outcome::Stopped(kind)));
    let why = gym.submit(Change::Camp(bare.clone())).unwrap_err();
    assert_eq!(why, Refusal::Camp(CampRefusal::NoStandDown));
    // The doctor entered it on the night: then the result needs no second one.
    gym.stop();
    gym.submit(Change::Camp(bare)).unwrap();
    assert_eq!(gym.ledger.gym().safety().stoppages(&code("N01")).len(), 1);
}

#[test]
fn the_next_bout_follows_the_results_and_their_undoing() {
    let mut gym = at_a_tournament();
    let (first, second) = (STOPPED, date(2026, 9, 13));
    let days_to_bout = |gym: &Gym| {
        let day = gym.ledger.gym().camp_day(&code("N01"), first);
        day.map(|day| day.days_to_bout)
    };
    assert_eq!(days_to_bout(&gym), Some(0));
    gym.submit(Change::Camp(contest("N01", first, Some(Outcome::Won)))).unwrap();
    assert_eq!(days_to_bout(&gym), Some(1), "won: boxes again tomorrow");
    let lost = gym.submit(Change::Camp(contest("N01", first, Some(Outcome::Lost)))).unwrap();
    assert_eq!(days_to_bout(&gym), Some(0), "a slip: lost, and today was the last day");
    assert!(gym.ledger.gym().next_bout(&code("N01"), second).is_none());
    let undo = Change::Withdrawn { operation: lost, reason: "won after all".into() };
    gym.submit(undo).unwrap();
    assert_eq!(days_to_bout(&gym), Some(1));
}

#[test]
fn what_has_a_result_is_neither_moved_nor_cancelled_and_no_day_is_taken_from_under_a_bout() {
    let mut gym = at_a_tournament();
    let athlete = code("N01");
    gym.submit(Change::Camp(contest("N01", STOPPED, Some(Outcome::Won)))).unwrap();
    let cancel = CampChange::BoutCancelled {
        bout: "cup".into(),
        athletes: vec![athlete.clone()],
        reason: "hall closed".into(),
    };
    let boxed = CampRefusal::Boxed { athlete: athlete.clone(), day: STOPPED };
    assert_eq!(gym.submit(Change::Camp(cancel)), Err(boxed.into()));
    let early = contest("N01", date(2026, 9, 13), Some(Outcome::Won));
    let too_early = CampRefusal::ResultTooEarly { day: date(2026, 9, 13) };
    assert_eq!(gym.submit(Change::Camp(early)), Err(too_early.into()));
    let elsewhere = contest("N01", date(2026, 9, 20), None);
    let none_of_it = CampRefusal::NotADayOfIt { name: "Cup".into(), day: date(2026, 9, 20) };
    assert_eq!(gym.submit(Change::Camp(elsewhere)), Err(none_of_it.into()));
    gym.submit(Change::Camp(contest("N01", date(2026, 9, 13), None))).unwrap();
    let bout = gym.ledger.gym().bouts["cup"].clone();
    let shorter = CampChange::BoutEntered { bout, facts: BoutFacts::default() };
    let in_use = CampRefusal::InUse { athlete, day: date(2026, 9, 13) };
    assert_eq!(gym.submit(Change::Camp(shorter)), Err(in_use.into()));
}
