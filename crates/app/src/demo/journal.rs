//! Operations as they are written down: ids made from the moment and a running number, so that
//! the same seed gives the same ids.

use super::names;
use cornerwork_core::session::operation::{Change, Operation, OperationId};
use cornerwork_core::session::rep::RepEntry;
use jiff::{SignedDuration, Timestamp};

pub(super) const COACH: &str = "Wren Alderquist";
pub(super) const ASSISTANT: &str = "Pim Hasselrook";
pub(super) const PHYSIO: &str = "Imre Vossbury";
pub(super) const DOCTOR: &str = "Teska Hollowbridge";

/// Collects operations in any order of time.
#[derive(Debug, Default)]
pub(super) struct Journal {
    operations: Vec<Operation>,
}

impl Journal {
    /// Writes one change down and gives its id. Of two changes at one moment the one written
    /// first comes first.
    pub(super) fn write(&mut self, at: Timestamp, author: &str, change: Change) -> OperationId {
        let id = id_of(at, self.operations.len());
        self.operations.push(Operation { id, at, author: author.into(), change });
        id
    }

    /// Writes a rep down.
    pub(super) fn record(&mut self, author: &str, entry: RepEntry) -> OperationId {
        self.write(entry.at, author, Change::RepRecorded(entry))
    }

    /// Writes a loaded jump down, and the bent landing if one was seen.
    pub(super) fn record_jump(&mut self, author: &str, (entry, bent): (RepEntry, bool)) {
        let seen_at = entry.at + SignedDuration::from_secs(3);
        let rep = self.record(author, entry);
        if bent {
            let fault = names::bent_landing();
            self.write(seen_at, author, Change::FaultSeen { rep, fault });
        }
    }

    /// Everything in order of time.
    pub(super) fn in_order(mut self) -> Vec<Operation> {
        self.operations.sort_by_key(|operation| operation.id);
        self.operations
    }
}

/// UUID version 7 (RFC 9562, section 5.7): 48 bits of milliseconds, version, variant, and in the
/// bits left for chance the running number.
fn id_of(at: Timestamp, number: usize) -> OperationId {
    const VERSION_7: u128 = 0x7 << 76;
    const VARIANT: u128 = 0b10 << 62;
    let milliseconds = u128::try_from(at.as_millisecond()).unwrap_or(0);
    OperationId(milliseconds << 80 | VERSION_7 | VARIANT | number as u128)
}
