//! Any operation at all, of every kind, with every choice inside it.

mod safety;

use crate::any_program;
use cornerwork_core::camp::bout_facts::{BoutFacts, Rounds, Standing};
use cornerwork_core::camp::camp_change::CampChange;
use cornerwork_core::camp::camp_plan::{CampPlan, Mark};
use cornerwork_core::camp::contest::{Contest, Outcome};
use cornerwork_core::camp::phase::{Phase, PhaseKind};
use cornerwork_core::camp::travel::Journey;
use cornerwork_core::exercise::{ExerciseId, FaultTag};
use cornerwork_core::kit::{Bar, BarKind, Plate, PlateRack, PlateStack};
use cornerwork_core::session::athlete::{Athlete, AthleteId, Born, Sex, Stance};
use cornerwork_core::session::bout::Bout;
use cornerwork_core::session::evening::{EveningPlan, Station, Target};
use cornerwork_core::session::operation::{Author, Change, Operation, OperationId};
use cornerwork_core::session::rep::{DoneWith, Load, Method, RepEntry, Seen, SeenFault, Side};
use cornerwork_core::session::restriction::{Barred, Restriction, RestrictionId};
use cornerwork_core::units::{Duration, Length, Mass};
use jiff::Timestamp;
use jiff::civil::{Date, Weekday};
use proptest::collection::vec;
use proptest::option::of;
use proptest::prelude::*;
use proptest::sample::{select, subsequence};

/// Any operation; its own moment is whole microseconds, which is what the store promises.
pub(crate) fn operation() -> impl Strategy<Value = Operation> {
    let at = any::<i64>().prop_filter_map("in the calendar", |number| {
        Timestamp::from_microsecond(number % 250_000_000_000_000_000).ok()
    });
    (operation_id(), at, author(), change()).prop_map(|(id, at, author, change)| Operation {
        id,
        at,
        author,
        change,
    })
}

fn author() -> impl Strategy<Value = Author> {
    (words(), of(words())).prop_map(|(name, device)| Author { name, device })
}

fn change() -> impl Strategy<Value = Change> {
    // Boxed: together they would not fit on the stack of a test.
    prop_oneof![
        any_program::change().prop_map(Change::Program).boxed(),
        set_up().boxed(),
        camp().boxed(),
        safety::change().boxed(),
        hard_stop().boxed(),
        evening().boxed(),
        mending().boxed(),
        crate::any_trace::change().boxed(),
        crate::any_paper::change().boxed(),
    ]
}

fn set_up() -> impl Strategy<Value = Change> {
    prop_oneof![
        (words(), any::<bool>()).prop_map(|(name, invented)| Change::GymNamed { name, invented }),
        athlete().prop_map(Change::AthleteEntered),
        (code(), number(), moment()).prop_map(|(athlete, mass, at)| Change::BodyMassMeasured {
            athlete,
            mass: Mass::kilograms(mass),
            at,
        }),
        bar().prop_map(Change::BarWeighed),
        rack().prop_map(Change::PlatesCounted),
        vec(number().prop_map(Length::metres), 0..5).prop_map(Change::BoxesMeasured),
        (number(), words()).prop_map(|(metres, against)| Change::JumpMatCompared {
            reads_high_by: Length::metres(metres),
            against,
        }),
        (words(), words(), date(), vec(code(), 0..4)).prop_map(|(id, name, date, athletes)| {
            Change::BoutAgreed(Bout { id, name, date, athletes })
        }),
    ]
}

fn hard_stop() -> impl Strategy<Value = Change> {
    let set = (words(), code(), barred(), date(), of(date()), any::<bool>(), words(), of(words()));
    prop_oneof![
        set.prop_map(
            |(id, athlete, barred, from, earliest_end, needs_clearance, ground, instead)| {
                Change::RestrictionSet(Restriction {
                    id: RestrictionId(id),
                    athlete,
                    barred,
                    from,
                    earliest_end,
                    needs_clearance,
                    ground,
                    instead,
                })
            }
        ),
        (words(), words()).prop_map(|(id, cleared_by)| Change::RestrictionLifted {
            restriction: RestrictionId(id),
            cleared_by,
        }),
    ]
}

fn camp() -> impl Strategy<Value = Change> {
    let facts = (any::<bool>(), vec(date(), 0..3), of(words()), any::<bool>(), words()).prop_map(
        |(sure, more_days, zone, timed, remark)| BoutFacts {
            standing: if sure { Standing::Confirmed } else { Standing::Offered },
            more_days,
            zone,
            first_bell: timed.then(|| jiff::civil::time(19, 30, 0, 0)),
            weigh_in_at: timed.then(|| jiff::civil::time(13, 0, 0, 0)),
            rounds: timed.then_some(Rounds { count: 8, minutes: 3 }),
            remark,
        },
    );
    let bout = (words(), words(), date(), vec(code(), 0..4))
        .prop_map(|(id, name, date, athletes)| Bout { id, name, date, athletes });
    let mark = || (words(), date(), select(Mark::ALL.to_vec()));
    prop_oneof![
        (bout, facts).prop_map(|(bout, facts)| CampChange::BoutEntered { bout, facts }),
        (words(), camp_plan()).prop_map(|(bout, plan)| CampChange::CampPlanned { bout, plan }),
        (words(), vec(code(), 0..3), words(), date(), camp_plan(), words()).prop_map(
            |(bout, athletes, into, to, plan, reason)| CampChange::BoutMoved {
                bout,
                athletes,
                into,
                to,
                plan,
                reason,
            }
        ),
        (words(), vec(code(), 0..3), words()).prop_map(|(bout, athletes, reason)| {
            CampChange::BoutCancelled { bout, athletes, reason }
        }),
        (words(), code(), date(), words(), of(select(Outcome::all().collect::<Vec<_>>())))
            .prop_map(|(bout, athlete, day, opponent, outcome)| {
                (bout, Contest { athlete, day, opponent, outcome })
            })
            .prop_flat_map(|(bout, contest)| (Just(bout), Just(contest), of(safety::stoppage())))
            .prop_map(|(bout, contest, stoppage)| CampChange::ContestEntered {
                bout,
                contest,
                stoppage,
            }),
        (words(), of((date(), date()))).prop_map(|(bout, days)| {
            let at = |day: Date| day.at(9, 30, 0, 0);
            let journey =
                days.map(|(left, there)| Journey { leaves: at(left), arrives: at(there) });
            CampChange::TravelAgreed { bout, journey }
        }),
        mark().prop_map(|(bout, date, mark)| CampChange::DayMarked { bout, date, mark }),
        mark().prop_map(|(bout, date, mark)| CampChange::DayCleared { bout, date, mark }),
        (code(), date(), exercise(), words()).prop_map(|(athlete, date, exercise, reason)| {
            CampChange::WorkAnswered { athlete, date, exercise, reason }
        }),
    ]
    .prop_map(Change::Camp)
}

fn camp_plan() -> impl Strategy<Value = CampPlan> {
    let phase = (select(PhaseKind::ALL.to_vec()), date(), date())
        .prop_map(|(kind, from, to)| Phase { kind, from, to });
    let weekday = (1..=7_i8).prop_map(|day| Weekday::from_monday_one_offset(day).unwrap());
    let marks = vec((date(), select(Mark::ALL.to_vec())), 0..4);
    (vec(phase, 0..4), vec(weekday, 0..3), marks).prop_map(|(phases, sparring, marks)| CampPlan {
        phases,
        sparring,
        marks: marks.into_iter().collect(),
    })
}

fn evening() -> impl Strategy<Value = Change> {
    let target = prop_oneof![
        number().prop_map(Target::AtLeast),
        (number(), number()).prop_map(|(low, high)| Target::Window { low, high }),
    ];
    prop_oneof![
        (code(), exercise(), of(target)).prop_map(|(athlete, exercise, target)| {
            Change::TargetSet { athlete, exercise, target }
        }),
        evening_plan().prop_map(Change::EveningOpened),
        (any::<u128>(), evening_plan())
            .prop_map(|(id, plan)| Change::EveningReopened { evening: OperationId(id), plan }),
        Just(Change::GroupsRotated),
        (any::<u8>(), code()).prop_map(|(station, athlete)| Change::TurnTaken { station, athlete }),
        (any::<u8>(), code(), load()).prop_map(|(station, athlete, load)| Change::LoadHung {
            station,
            athlete,
            load
        }),
        (any::<u8>(), code(), number()).prop_map(|(station, athlete, height)| Change::BoxSet {
            station,
            athlete,
            height: Length::metres(height),
        }),
        (any::<u8>(), code(), of(exercise())).prop_map(|(station, athlete, exercise)| {
            Change::DoneMeanwhile { station, athlete, exercise }
        }),
        rep().prop_map(Change::RepRecorded),
        (any::<u8>(), code()).prop_map(|(station, athlete)| Change::SetClosed { station, athlete }),
        Just(Change::EveningClosed),
    ]
}

fn evening_plan() -> impl Strategy<Value = EveningPlan> {
    let planned = (of(any_program::session()), vec(any_program::round(), 0..4));
    (date(), vec(station(), 0..4), vec(vec(code(), 0..4), 0..4), planned).prop_map(
        |(date, stations, groups, (session, rounds))| EveningPlan {
            date,
            stations,
            groups,
            session,
            rounds,
        },
    )
}

fn mending() -> impl Strategy<Value = Change> {
    prop_oneof![
        (operation_id(), of(number()), words())
            .prop_map(|(rep, value, reason)| Change::RepCorrected { rep, value, reason }),
        (vec(operation_id(), 0..4), code(), of((load(), of(number()))), words()).prop_map(
            |(reps, athlete, done_with, reason)| {
                let done_with = done_with.map(|(load, height)| DoneWith {
                    load,
                    box_height: height.map(Length::metres),
                });
                Change::RepsMoved { reps, athlete, done_with, reason }
            }
        ),
        (operation_id(), words()).prop_map(|(rep, reason)| Change::RepSetAside { rep, reason }),
        (operation_id(), kebab(), any::<bool>()).prop_map(|(rep, tag, spoils_number)| {
            let tag = FaultTag::new(&tag).unwrap();
            Change::FaultSeen { rep, fault: SeenFault { tag, spoils_number } }
        }),
        (operation_id(), words())
            .prop_map(|(operation, reason)| Change::Withdrawn { operation, reason }),
    ]
}

pub(crate) fn operation_id() -> impl Strategy<Value = OperationId> {
    any::<u128>().prop_map(OperationId)
}

/// Whatever a person or a tablet may send: other scripts, quotes, control characters, nothing.
pub(crate) fn words() -> impl Strategy<Value = String> {
    prop_oneof!["\\PC{0,12}", any::<String>()]
}

pub(crate) fn kebab() -> impl Strategy<Value = String> {
    "[a-z0-9]{1,6}(-[a-z0-9]{1,6}){0,3}"
}

pub(crate) fn code() -> impl Strategy<Value = AthleteId> {
    "[A-Z0-9]{1,8}".prop_map(|text| AthleteId::new(&text).unwrap())
}

pub(crate) fn exercise() -> impl Strategy<Value = ExerciseId> {
    kebab().prop_map(|name| ExerciseId::new(&name).unwrap())
}

/// Every finite number there is, to the last bit, and the kind a gym has.
pub(crate) fn number() -> impl Strategy<Value = f64> {
    use proptest::num::f64::{NEGATIVE, NORMAL, POSITIVE, SUBNORMAL, ZERO};
    prop_oneof![POSITIVE | NEGATIVE | NORMAL | SUBNORMAL | ZERO, 0.0..400.0_f64]
}

fn moment() -> impl Strategy<Value = Timestamp> {
    (-300_000_000_000_i64..200_000_000_000, 0..1_000_000_000_i32)
        .prop_filter_map("in the calendar", |(second, nano)| Timestamp::new(second, nano).ok())
}

pub(crate) fn date() -> impl Strategy<Value = Date> {
    (-9999..=9999_i16, 1..=12_i8, 1..=31_i8)
        .prop_filter_map("in the calendar", |(year, month, day)| Date::new(year, month, day).ok())
}

fn athlete() -> impl Strategy<Value = Athlete> {
    let sex = select(vec![Sex::Female, Sex::Male]);
    let stance = select(vec![Stance::Orthodox, Stance::Southpaw]);
    (code(), words(), sex, born(), stance, words()).prop_map(
        |(id, name, sex, born, stance, level)| Athlete { id, name, sex, born, stance, level },
    )
}

fn born() -> impl Strategy<Value = Born> {
    let aged = (any::<u8>(), date()).prop_map(|(years, on)| Born::Aged { years, on });
    prop_oneof![date().prop_map(Born::On), aged]
}

fn bar() -> impl Strategy<Value = Bar> {
    let (kind, also) = (select(BarKind::ALL.to_vec()), subsequence(BarKind::ALL.to_vec(), 0..=3));
    (words(), words(), 1.0..60.0_f64, kind, also, any::<bool>()).prop_map(
        |(id, name, mass, kind, also, assumed)| {
            let make = if assumed { Bar::assumed } else { Bar::weighed };
            make(id, name, Mass::kilograms(mass), kind).unwrap().held_also(also)
        },
    )
}

fn plate() -> impl Strategy<Value = Plate> {
    (words(), 0.1..60.0_f64)
        .prop_map(|(label, mass)| Plate::new(label, Mass::kilograms(mass)).unwrap())
}

fn rack() -> impl Strategy<Value = PlateRack> {
    let stack = (plate(), any::<u32>()).prop_map(|(plate, count)| PlateStack { plate, count });
    (vec(stack, 0..6), 0.0..5.0_f64).prop_map(|(stacks, collar)| {
        PlateRack::of(stacks).with_collars(Mass::kilograms(collar)).unwrap()
    })
}

pub(crate) fn load() -> impl Strategy<Value = Load> {
    (of(words()), vec(plate(), 0..5), number()).prop_map(|(bar, plates, total)| Load {
        bar,
        plates,
        total: Mass::kilograms(total),
    })
}

pub(crate) fn side() -> impl Strategy<Value = Side> {
    select(vec![Side::Left, Side::Right, Side::Lead, Side::Rear])
}

fn barred() -> impl Strategy<Value = Barred> {
    prop_oneof![
        Just(Barred::Everything),
        vec(exercise(), 0..4).prop_map(Barred::Exercises),
        (vec(exercise(), 0..4), side())
            .prop_map(|(exercises, side)| Barred::OneSide { exercises, side }),
    ]
}

fn station() -> impl Strategy<Value = Station> {
    (any::<u8>(), exercise(), vec(words(), 0..3), any::<u32>(), any::<u32>(), number()).prop_map(
        |(number, exercise, bars, sets, reps, rest)| Station {
            number,
            exercise,
            bars,
            sets,
            reps,
            rest: Duration::seconds(rest),
        },
    )
}

pub(crate) fn rep() -> impl Strategy<Value = RepEntry> {
    let mut methods =
        vec![Method::FlightTime, Method::TakeOffVelocity, Method::Sensor, Method::ByHand];
    methods.extend(Seen::ALL.map(Method::ByEye));
    let method = select(methods);
    let who_where = (code(), exercise(), of(any::<u8>()), load(), of(number()), of(side()));
    let what = (of(number()), of(number()), method, moment());
    (who_where, what).prop_map(
        |((athlete, exercise, station, load, box_m, side), (value, contact_s, method, at))| {
            RepEntry {
                athlete,
                exercise,
                station,
                load,
                box_height: box_m.map(Length::metres),
                side,
                value,
                contact_time: contact_s.map(Duration::seconds),
                method,
                at,
            }
        },
    )
}
