//! Any change of the program: own exercises with everything in them, sessions, who comes.

use crate::any_operation::{code, date, exercise, kebab, number, side, words};
use cornerwork_core::exercise::Direction;
use cornerwork_core::exercise::{
    BodyPart, BoxCap, Cue, Dose, Exercise, ExerciseId, Fact, Family, Fault, FaultTag, LoadModel,
    Measure, MeasureKind, Pattern, Permissions, Quality, Sides, Span, StopRule, Swap, TargetWindow,
    Unit,
};
use cornerwork_core::session::program::{
    Block, Exception, Exceptional, Intensity, Presence, ProgramChange, Purpose, Round, SessionId,
    SessionPlan,
};
use cornerwork_core::units::{Duration, Length, Mass, Velocity};
use jiff::civil::Time;
use proptest::collection::vec;
use proptest::option::of;
use proptest::prelude::*;
use proptest::sample::select;

pub(crate) fn change() -> impl Strategy<Value = ProgramChange> {
    prop_oneof![
        vec(own_exercise(), 0..3).prop_map(ProgramChange::ExercisesEntered),
        exercise().prop_map(ProgramChange::ExerciseDropped),
        plan().prop_map(ProgramChange::SessionPlanned),
        session().prop_map(ProgramChange::SessionDropped),
        (session(), presence(), vec(round(), 0..4)).prop_map(|(session, presence, rounds)| {
            ProgramChange::PresenceChanged { session, presence, rounds }
        }),
    ]
}

pub(crate) fn session() -> impl Strategy<Value = SessionId> {
    kebab().prop_map(|name| SessionId::new(&name).unwrap())
}

pub(crate) fn round() -> impl Strategy<Value = Round> {
    vec(vec(code(), 0..3), 0..4)
}

fn presence() -> impl Strategy<Value = Presence> {
    (code(), any::<u16>(), of(any::<u16>())).prop_map(|(athlete, from_minute, until_minute)| {
        Presence { athlete, from_minute, until_minute }
    })
}

fn plan() -> impl Strategy<Value = SessionPlan> {
    let time = (0..24_i8, 0..60_i8, 0..60_i8)
        .prop_map(|(hour, minute, second)| Time::constant(hour, minute, second, 0));
    let head = (session(), words(), select(Purpose::ALL), of(date()), time, any::<u16>());
    let body = (vec(block(), 0..4), vec(presence(), 0..4), vec(exception(), 0..4), words());
    (head, body).prop_map(
        |((id, name, purpose, date, starts, minutes), (blocks, people, exceptions, source))| {
            SessionPlan {
                id,
                name,
                purpose,
                date,
                starts,
                minutes,
                blocks,
                people,
                exceptions,
                source,
            }
        },
    )
}

fn block() -> impl Strategy<Value = Block> {
    (any::<u8>(), exercise(), any::<u32>(), any::<u32>(), number(), intensity(), of(stop()))
        .prop_map(|(station, exercise, sets, reps, rest, intensity, stop)| Block {
            station,
            exercise,
            sets,
            reps,
            rest: Duration::seconds(rest),
            intensity,
            stop,
        })
}

fn intensity() -> impl Strategy<Value = Intensity> {
    prop_oneof![
        number().prop_map(|share| Intensity::PeakMomentum { share }),
        span(any_number()).prop_map(|Span { low, high }| Intensity::Velocity {
            window: Span {
                low: Velocity::metres_per_second(low),
                high: Velocity::metres_per_second(high),
            },
        }),
        number().prop_map(|share| Intensity::OneRepMax { share }),
        Just(Intensity::BoxRule),
        number().prop_map(|hold| Intensity::Isometric { hold: Duration::seconds(hold) }),
        number().prop_map(|load| Intensity::Fixed { load: Mass::kilograms(load) }),
        Just(Intensity::BodyWeight),
    ]
}

fn stop() -> impl Strategy<Value = StopRule> {
    prop_oneof![
        (number(), any::<u16>())
            .prop_map(|(fraction, in_a_row)| StopRule::DropFromBest { fraction, in_a_row }),
        any::<u16>().prop_map(|in_a_row| StopRule::UnderWindow { in_a_row }),
    ]
}

fn exception() -> impl Strategy<Value = Exception> {
    let what = prop_oneof![
        (exercise(), of(side())).prop_map(|(to, only)| Exceptional::Swap { to, only }),
        Just(Exceptional::LeftOut),
        words().prop_map(|reason| Exceptional::Confirmed { reason }),
        number().prop_map(|fraction| Exceptional::Lighter { fraction }),
    ];
    (code(), of(any::<u8>()), what).prop_map(|(athlete, station, what)| Exception {
        athlete,
        station,
        what,
    })
}

fn span<T: std::fmt::Debug + Copy>(
    value: impl Strategy<Value = T> + Clone,
) -> impl Strategy<Value = Span<T>> {
    (value.clone(), value).prop_map(|(low, high)| Span { low, high })
}

fn measure() -> impl Strategy<Value = Measure> {
    let kind = select(MeasureKind::ALL).prop_flat_map(|kind| {
        let units: Vec<Unit> =
            Unit::ALL.iter().copied().filter(|unit| unit.dimension() == kind.dimension()).collect();
        (Just(kind), select(units))
    });
    (kind, 0..5_usize, select(Direction::ALL), span(any_number()), span(any_number())).prop_map(
        |((kind, unit), decimals, direction, hard_si, usual_si)| Measure {
            kind,
            direction,
            unit,
            decimals,
            hard_si,
            usual_si,
        },
    )
}

fn any_number() -> impl Strategy<Value = f64> + Clone {
    -1e9..1e9_f64
}

fn dose() -> impl Strategy<Value = Dose> {
    let seconds = || {
        span(any_number()).prop_map(|Span { low, high }| Span {
            low: Duration::seconds(low),
            high: Duration::seconds(high),
        })
    };
    let metres = span(any_number()).prop_map(|Span { low, high }| Span {
        low: Length::metres(low),
        high: Length::metres(high),
    });
    (span(any::<u16>()), span(any::<u16>()), of(seconds()), of(metres), seconds(), of(words()))
        .prop_map(|(sets, repetitions, hold, distance, rest, intensity)| Dose {
            sets,
            repetitions,
            hold,
            distance,
            rest,
            intensity,
        })
}

fn permissions() -> impl Strategy<Value = Permissions> {
    let cap = (any_number(), any_number()).prop_map(|(mass, height)| BoxCap {
        above_body_mass: Mass::kilograms(mass),
        highest_box: Length::metres(height),
    });
    let years = (of(any::<u8>()), of(any::<u8>()));
    (years, of(any_number()), vec(cap, 0..3), of(any::<u16>()), of(any::<u16>())).prop_map(
        |((barred, confirm), free, box_caps, days_before_bout, hours_from_sparring)| Permissions {
            barred_under_years: barred,
            confirm_under_years: confirm,
            box_free_of_age_rules: free.map(Length::metres),
            box_caps,
            days_before_bout,
            hours_from_sparring,
        },
    )
}

fn tag() -> impl Strategy<Value = FaultTag> {
    kebab().prop_map(|name| FaultTag::new(&name).unwrap())
}

fn own_exercise() -> impl Strategy<Value = Exercise> {
    let target = (select(MeasureKind::ALL), span(any_number()), words())
        .prop_map(|(kind, window_si, source)| TargetWindow { kind, window_si, source });
    let cue = (words(), of(tag())).prop_map(|(text, for_fault)| Cue { text, for_fault });
    let fault = (tag(), words(), any::<bool>(), any::<bool>()).prop_map(
        |(tag, words, spoils_measure, stops_set)| Fault { tag, words, spoils_measure, stops_set },
    );
    let swap = (select(BodyPart::ALL), exercise(), any::<bool>(), of(words()))
        .prop_map(|(injured, to, other_side, note)| Swap { injured, to, other_side, note });
    let fact = (words(), words()).prop_map(|(text, source)| Fact { text, source });
    let names = (exercise(), words(), vec(words(), 0..3), words());
    let sorted = (
        select(Family::ALL),
        vec(select(Pattern::ALL), 0..3),
        vec(select(Quality::ALL), 0..3),
        any::<bool>(),
        select(Sides::ALL),
        select(LoadModel::ALL),
    );
    let amount = (measure(), vec(measure(), 0..3), vec(target, 0..2), dose(), of(stop()));
    let said = (vec(cue, 0..3), vec(fault, 0..3), vec(words(), 0..3), vec(words(), 0..3));
    let rules = (permissions(), vec(swap, 0..3), vec(fact, 0..3));
    (names, sorted, amount, said, rules).prop_map(
        |(
            (id, name, also_called, source),
            (family, patterns, qualities, test, sides, load_model),
            (measure, also_measured, targets, dose, stop),
            (cues, faults, cautions, kit),
            (permissions, swaps, facts),
        ): ((ExerciseId, _, _, _), _, _, _, _)| Exercise {
            id,
            name,
            also_called,
            family,
            patterns,
            qualities,
            test,
            sides,
            measure,
            also_measured,
            load_model,
            targets,
            dose,
            stop,
            cues,
            faults,
            cautions,
            kit,
            permissions,
            swaps,
            facts,
            source,
        },
    )
}
