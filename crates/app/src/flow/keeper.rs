//! The one place where a change becomes a fact: judged, made durable, applied, announced.
//!
//! Changes from any number of devices line up before one task. It takes all that wait, judges
//! each against the state as it stands after the one before, commits them together and only then
//! answers, so a rep is called kept when it survives a power cut and never earlier.

use crate::flow::clock::Clock;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::ledger::Ledger;
use cornerwork_core::session::operation::{Change, Operation, OperationId};
use cornerwork_core::session::refusal::Refusal;
use cornerwork_io::store::{Recordings, SqliteStore, StoreError};
use std::sync::Arc;
use thiserror::Error;
use tokio::sync::{RwLock, RwLockReadGuard, mpsc, oneshot, watch};

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
    ledger: Arc<RwLock<Ledger>>,
    version: watch::Receiver<u64>,
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
        let ledger = Arc::new(RwLock::new(Ledger::replay(store.load().await?)));
        let (requests, waiting) = mpsc::channel(1024);
        let (deletions, leaving) = mpsc::channel(1);
        let (announce, version) = watch::channel(0);
        let recordings = store.recordings();
        let scribe = Scribe { store, ledger: Arc::clone(&ledger), clock: clock.clone(), announce };
        tokio::spawn(scribe.work(waiting, leaving));
        Ok(Self { requests, deletions, ledger, version, recordings, clock })
    }

    /// The state, for as long as the guard is held.
    pub async fn ledger(&self) -> RwLockReadGuard<'_, Ledger> {
        self.ledger.read().await
    }

    /// The recordings as they were received.
    pub const fn recordings(&self) -> &Recordings {
        &self.recordings
    }

    /// The gym's clock.
    pub const fn clock(&self) -> &Clock {
        &self.clock
    }

    /// Changes its value after every commit.
    pub fn version(&self) -> watch::Receiver<u64> {
        self.version.clone()
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
    ledger: Arc<RwLock<Ledger>>,
    clock: Clock,
    announce: watch::Sender<u64>,
}

impl Scribe {
    async fn work(
        self,
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

    /// The store is written anew, and the state is what it then holds.
    async fn forget(&self, athlete: &AthleteId) -> Result<u32, NotKept> {
        let mut ledger = self.ledger.write().await;
        let failed = |error: StoreError| NotKept::Store(error.to_string());
        let entries = self.store.forget(athlete).await.map_err(failed)?;
        *ledger = Ledger::replay(self.store.load().await.map_err(failed)?);
        drop(ledger);
        self.announce.send_modify(|version| *version += 1);
        Ok(entries)
    }

    /// Readers wait while a batch is judged and committed, so that no page ever shows a rep that
    /// a power cut could still take.
    async fn keep(&self, batch: Vec<Request>) {
        let mut ledger = self.ledger.write().await;
        let mut fresh = Vec::new();
        let mut answers = Vec::with_capacity(batch.len());
        for request in batch {
            let outcome = self.judge(&mut ledger, request.submission, &mut fresh);
            answers.push((request.answer, outcome));
        }
        let committed =
            if fresh.is_empty() { Ok(Vec::new()) } else { self.store.append(&fresh).await };
        if let Err(error) = committed {
            self.give_back(&mut ledger, &error, answers).await;
            return;
        }
        drop(ledger);
        if !fresh.is_empty() {
            self.announce.send_modify(|version| *version += 1);
        }
        for (answer, outcome) in answers {
            // A device that hung up meanwhile will ask again with the same id.
            let _ = answer.send(outcome);
        }
    }

    fn judge(
        &self,
        ledger: &mut Ledger,
        submission: Submission,
        fresh: &mut Vec<Operation>,
    ) -> Result<Kept, NotKept> {
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

    /// The disk said no: the state goes back to what the store holds, and whoever waited is told.
    async fn give_back(
        &self,
        ledger: &mut Ledger,
        error: &StoreError,
        answers: Vec<(oneshot::Sender<Outcome>, Outcome)>,
    ) {
        tracing::error!(%error, "commit failed");
        if let Ok(operations) = self.store.load().await {
            *ledger = Ledger::replay(operations);
        }
        for (answer, outcome) in answers {
            let told = match outcome {
                Ok(Kept::Stored) => Err(NotKept::Store(error.to_string())),
                other => other,
            };
            let _ = answer.send(told);
        }
    }
}
