//! Any change of a recording.

use crate::any_operation::{code, date, exercise, number, operation_id, side, words};
use cornerwork_core::session::operation::Change;
use cornerwork_core::session::trace::{
    ColumnUse, FiledTrace, Filing, NamedReading, Reading, RecordingHash, TraceChange,
};
use cornerwork_core::trial::{Kind, TrialEvent};
use cornerwork_core::units::{Length, Mass};
use proptest::collection::vec;
use proptest::option::of;
use proptest::prelude::*;
use proptest::sample::select;

pub(crate) fn change() -> impl Strategy<Value = Change> {
    let moved = (operation_id(), select(TrialEvent::ALL.to_vec()), of(number()), of(number()));
    let named = (words(), vec(words(), 0..4), reading());
    prop_oneof![
        (any::<[u8; 32]>(), words(), filing(), of(reading())).prop_map(
            |(hash, file, filing, reading)| {
                let hash = RecordingHash(hash);
                TraceChange::Filed(FiledTrace { hash, file, filing, reading })
            }
        ),
        (vec(operation_id(), 0..4), reading())
            .prop_map(|(traces, reading)| TraceChange::ReadAs { traces, reading }),
        named.prop_map(|(name, heading, reading)| {
            TraceChange::ReadingNamed(NamedReading { name, heading, reading })
        }),
        words().prop_map(|name| TraceChange::ReadingForgotten { name }),
        (operation_id(), filing(), words())
            .prop_map(|(trace, filing, reason)| TraceChange::FiledAnew { trace, filing, reason }),
        (moved, words()).prop_map(|((trace, event, from_s, to_s), reason)| {
            TraceChange::EventMoved { trace, event, from_s, to_s, reason }
        }),
        (operation_id(), words())
            .prop_map(|(trace, reason)| TraceChange::SetAside { trace, reason }),
        (operation_id(), words())
            .prop_map(|(trace, reason)| TraceChange::TakenBackIn { trace, reason }),
    ]
    .prop_map(Change::Trace)
}

fn filing() -> BoxedStrategy<Filing> {
    let what = (code(), select(Kind::ALL.to_vec()), of(exercise()), of(side()));
    let how = (number(), of(number()), any::<bool>(), any::<bool>(), date());
    (what, how)
        .prop_map(|((athlete, kind, exercise, side), (kg, box_m, horizontal, ballistic, day))| {
            Filing {
                athlete,
                kind,
                exercise,
                side,
                load: Mass::kilograms(kg),
                box_height: box_m.map(Length::metres),
                horizontal,
                ballistic,
                day,
            }
        })
        .boxed()
}

fn reading() -> BoxedStrategy<Reading> {
    let column = (words(), words(), of(words())).prop_map(|(role, column, unit)| ColumnUse {
        role,
        column,
        unit,
    });
    (vec(column, 0..4), of(number()), of(any::<char>()), of(words()))
        .prop_map(|(columns, rate_hz, decimal_mark, name)| Reading {
            columns,
            rate_hz,
            decimal_mark,
            name,
        })
        .boxed()
}
