//! Any sheet printed, and any rep typed in from one.

use crate::any_operation::{code, exercise, load, number, rep, side};
use crate::any_program::session;
use cornerwork_core::session::operation::Change;
use cornerwork_core::session::paper::{PaperChange, SheetRow};
use cornerwork_core::units::Length;
use proptest::collection::vec;
use proptest::option::of;
use proptest::prelude::*;

pub(crate) fn change() -> impl Strategy<Value = Change> {
    prop_oneof![
        (session(), vec(row(), 0..4))
            .prop_map(|(session, rows)| PaperChange::SheetPrinted { session, rows }),
        (session(), any::<u32>(), any::<u32>(), rep()).prop_map(|(session, set, rep, entry)| {
            PaperChange::RepTyped { session, set, rep, entry }
        }),
    ]
    .prop_map(Change::Paper)
}

fn row() -> impl Strategy<Value = SheetRow> {
    let what = (any::<u8>(), code(), exercise(), of(side()));
    let with = (load(), of(number()), any::<u32>(), any::<u32>());
    (what, with).prop_map(|((station, athlete, exercise, side), (load, box_m, sets, reps))| {
        SheetRow {
            station,
            athlete,
            exercise,
            side,
            load,
            box_height: box_m.map(Length::metres),
            sets,
            reps,
        }
    })
}
