//! The gym's record in two copies: one to draw from, one to write on.
//!
//! A page takes as long as it needs over the copy it was given and holds nobody up. What is written
//! is shown only once it is durable, so no page ever shows a rep that a power cut could still take.

use cornerwork_core::session::ledger::Ledger;
use cornerwork_core::session::operation::Operation;
use std::sync::Arc;
use tokio::sync::watch;

/// Both copies, held by the one who writes.
pub(super) struct Copies {
    shown: watch::Sender<Arc<Ledger>>,
    written: Arc<Ledger>,
    /// What the copy to write on lacks of the one shown.
    lacking: Vec<Operation>,
}

impl Copies {
    /// Two copies of a record, and where the one to draw from is to be seen.
    pub(super) fn of(ledger: Ledger) -> (Self, watch::Receiver<Arc<Ledger>>) {
        let written = Arc::new(ledger.clone());
        let (shown, seen) = watch::channel(Arc::new(ledger));
        (Self { shown, written, lacking: Vec::new() }, seen)
    }

    /// The copy to write on, with all that is shown.
    pub(super) fn written(&mut self) -> &mut Ledger {
        // A page that still draws from it keeps it as it is: then this is a copy of its own.
        let written = Arc::make_mut(&mut self.written);
        self.lacking.drain(..).for_each(|operation| written.append(operation));
        written
    }

    /// Shows what was written; `fresh` are the operations that were not shown yet.
    pub(super) fn show(&mut self, fresh: Vec<Operation>) {
        self.written = self.shown.send_replace(Arc::clone(&self.written));
        self.lacking = fresh;
    }

    /// Shows another record.
    pub(super) fn show_instead(&mut self, ledger: Ledger) {
        self.written = Arc::new(ledger);
        self.show(Vec::new());
        self.give_up();
    }

    /// Gives up what was written and not shown.
    pub(super) fn give_up(&mut self) {
        self.written = Arc::clone(&self.shown.borrow());
        self.lacking.clear();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use cornerwork_core::session::operation::{Change, OperationId};
    use jiff::Timestamp;

    fn named(number: u8) -> Operation {
        Operation {
            id: OperationId(number.into()),
            at: Timestamp::UNIX_EPOCH,
            author: "coach".into(),
            change: Change::GymNamed { name: format!("Hall {number}"), invented: true },
        }
    }

    fn name(seen: &watch::Receiver<Arc<Ledger>>) -> String {
        seen.borrow().gym().name.clone()
    }

    #[test]
    fn what_is_written_is_seen_when_it_is_shown_and_not_before() {
        let (mut copies, seen) = Copies::of(Ledger::replay(vec![named(0)]));
        copies.written().append(named(1));
        assert_eq!(name(&seen), "Hall 0");
        copies.show(vec![named(1)]);
        assert_eq!(name(&seen), "Hall 1");
        copies.written().append(named(2));
        copies.give_up();
        assert_eq!(copies.written().gym().name, "Hall 1");
    }

    #[test]
    fn however_long_a_page_draws_its_copy_stays_and_nothing_is_lost() {
        let (mut copies, seen) = Copies::of(Ledger::replay(vec![named(0)]));
        let mut pages = Vec::new();
        for number in 1..=20 {
            // Some pages end at once, others hold their copy for two or more commits.
            if number % 3 == 0 {
                pages.push((name(&seen), Arc::clone(&seen.borrow())));
            }
            if number % 7 == 0 {
                pages.clear();
            }
            copies.written().append(named(number));
            copies.show(vec![named(number)]);
            let all: Vec<_> = (0..=number).map(named).collect();
            assert_eq!(seen.borrow().operations(), all);
            assert!(pages.iter().all(|(name, ledger)| *name == ledger.gym().name));
        }
    }

    #[test]
    fn another_record_takes_the_place_of_both() {
        let (mut copies, seen) = Copies::of(Ledger::replay(vec![named(0)]));
        copies.written().append(named(1));
        copies.show(vec![named(1)]);
        copies.show_instead(Ledger::replay(vec![named(7)]));
        assert_eq!(name(&seen), "Hall 7");
        assert_eq!(copies.written().operations(), [named(7)]);
    }
}
