//! The one place where a change becomes a fact: judged, made durable, applied, announced.
//!
//! Changes from any number of devices line up before one task. It takes all that wait, judges
//! each against the state as it stands after the one before, commits them together and only then
//! answers, so a rep is called kept when it survives a power cut and never earlier.

use crate::flow::clock::Clock;
use crate::flow::copies::Copies;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::ledger::Ledger;
use cornerwork_core::session::operation::{Change, Operation, OperationId};
use cornerwork_core::session::refusal::Refusal;
use cornerwork_io::store::{Recordings, SqliteStore, StoreError};
use std::sync::Arc;
use thiserror::Error;
use tokio::sync::{mpsc, oneshot, watch};

/// A change as a device asks for it.
#[derive(Clone, Debug)]
pub struct Submission {
    /// Made by the device; the same id again is the same change.
    pub id: OperationId,
    /// Who stands behind it.
    pub author: String,
    /// The change.
    pub change: Change,
}

/// What became of a submission.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kept {
    /// New and durable.
    Stored,
    /// Was here already; nothing changed.
    Known,
}

/// Why a submission was not kept.
#[derive(Debug, Error)]
pub enum NotKept {
    /// A rule is against it; nothing changed.
    #[error(transparent)]
    Refused(#[from] Refusal),
    /// The disk failed; nothing changed.
    #[error(
        "The gym's record could not be written ({0}). Nothing was changed: free some space or check the disk, then enter it again."
    )]
    Store(String),
    /// The program is stopping.
    #[error("The program is stopping. Start it again and enter this once more.")]
    Stopping,
}

/// Handle to the gym's state; cheap to clone.
#[derive(Clone)]
pub struct Keeper {
    requests: mpsc::Sender<Request>,
    deletions: mpsc::Sender<Deletion>,
    ledger: watch::Receiver<Arc<Ledger>>,
    recordings: Recordings,
    clock: Clock,
}

struct Request {
    submission: Submission,
    answer: oneshot::Sender<Outcome>,
}

/// An athlete to be deleted, and who waits for the number of entries that went.
struct Deletion {
    athlete: AthleteId,
    answer: oneshot::Sender<Result<u32, NotKept>>,
}

type Outcome = Result<Kept, NotKept>;

/// Most changes committed together. Enough for every station of a full gym at once; small enough
/// that the last of them does not wait noticeably for the others.
const BATCH: usize = 64;

impl Keeper {
    /// Reads the store and starts the task that keeps it.
    pub async fn open(store: SqliteStore, clock: Clock) -> Result<Self, StoreError> {
        let (copies, ledger) = Copies::of(Ledger::replay(store.load().await?));
        let (requests, waiting) = mpsc::channel(1024);
        let (deletions, leaving) = mpsc::channel(1);
        let recordings = store.recordings();
        let scribe = Scribe { store, copies, clock: clock.clone() };
        tokio::spawn(scribe.work(waiting, leaving));
        Ok(Self { requests, deletions, ledger, recordings, clock })
    }

    /// The record as it stands now; later changes leave it as it is.
    pub fn ledger(&self) -> Arc<Ledger> {
        Arc::clone(&self.ledger.borrow())
    }

    /// The recordings as they were received.
    pub const fn recordings(&self) -> &Recordings {
        &self.recordings
    }

    /// The gym's clock.
    pub const fn clock(&self) -> &Clock {
        &self.clock
    }

    /// Changes after every commit.
    pub fn changes(&self) -> watch::Receiver<Arc<Ledger>> {
        self.ledger.clone()
    }

    /// Hands a change in and waits until it is durable or refused.
    pub async fn submit(&self, submission: Submission) -> Result<Kept, NotKept> {
        let (answer, answered) = oneshot::channel();
        let request = Request { submission, answer };
        self.requests.send(request).await.map_err(|_| NotKept::Stopping)?;
        answered.await.map_err(|_| NotKept::Stopping)?
    }

    /// Deletes everything about an athlete, and says how many entries went.
    pub async fn forget(&self, athlete: AthleteId) -> Result<u32, NotKept> {
        let (answer, answered) = oneshot::channel();
        let deletion = Deletion { athlete, answer };
        self.deletions.send(deletion).await.map_err(|_| NotKept::Stopping)?;
        answered.await.map_err(|_| NotKept::Stopping)?
    }
}

struct Scribe {
    store: SqliteStore,
    copies: Copies,
    clock: Clock,
}

impl Scribe {
    async fn work(
        mut self,
        mut waiting: mpsc::Receiver<Request>,
        mut leaving: mpsc::Receiver<Deletion>,
    ) {
        let mut batch = Vec::with_capacity(BATCH);
        loop {
            tokio::select! {
                count = waiting.recv_many(&mut batch, BATCH) => match count {
                    0 => break,
                    _ => self.keep(std::mem::take(&mut batch)).await,
                },
                Some(Deletion { athlete, answer }) = leaving.recv() => {
                    // Whoever hung up meanwhile sees it done on the next page.
                    let _ = answer.send(self.forget(&athlete).await);
                }
            }
        }
        self.store.close().await;
    }

    /// The store is written anew, and the record is what it then holds.
    async fn forget(&mut self, athlete: &AthleteId) -> Result<u32, NotKept> {
        let failed = |error: StoreError| NotKept::Store(error.to_string());
        let entries = self.store.forget(athlete).await.map_err(failed)?;
        self.copies.show_instead(Ledger::replay(self.store.load().await.map_err(failed)?));
        Ok(entries)
    }

    async fn keep(&mut self, batch: Vec<Request>) {
        let mut fresh = Vec::new();
        let mut answers = Vec::with_capacity(batch.len());
        for request in batch {
            let outcome = self.judge(request.submission, &mut fresh);
            answers.push((request.answer, outcome));
        }
        if !fresh.is_empty() {
            match self.store.append(&fresh).await {
                Ok(_) => self.copies.show(fresh),
                Err(error) => {
                    tracing::error!(%error, "commit failed");
                    self.go_back().await;
                    answers.iter_mut().for_each(|(_, outcome)| was_not_written(&error, outcome));
                }
            }
        }
        for (answer, outcome) in answers {
            // A device that hung up meanwhile will ask again with the same id.
            let _ = answer.send(outcome);
        }
    }

    /// After a failed commit the record is what the store holds, or what was shown if that cannot
    /// be read either.
    async fn go_back(&mut self) {
        match self.store.load().await {
            Ok(operations) => self.copies.show_instead(Ledger::replay(operations)),
            Err(_) => self.copies.give_up(),
        }
    }

    fn judge(
        &mut self,
        submission: Submission,
        fresh: &mut Vec<Operation>,
    ) -> Result<Kept, NotKept> {
        let ledger = self.copies.written();
        if ledger.knows(submission.id) {
            return Ok(Kept::Known);
        }
        let Submission { id, author, change } = submission;
        let operation = Operation { id, at: self.clock.now(), author, change };
        ledger.check(&operation, self.clock.today())?;
        fresh.push(operation.clone());
        ledger.append(operation);
        Ok(Kept::Stored)
    }
}

/// The disk said no: whoever waited for what was to be stored is told so.
fn was_not_written(error: &StoreError, outcome: &mut Outcome) {
    if matches!(outcome, Ok(Kept::Stored)) {
        *outcome = Err(NotKept::Store(error.to_string()));
    }
}
