//! The one place where a change becomes a fact: judged, made durable, applied, announced.
//!
//! Changes from any number of devices line up before one task. It takes all that wait, judges
//! each against the state as it stands after the one before, commits them together and only then
//! answers, so a rep is called kept when it survives a power cut and never earlier.

use crate::flow::clock::Clock;
use crate::flow::copies::Copies;
use cornerwork_core::camp::safety_change::SafetyChange;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::ledger::Ledger;
use cornerwork_core::session::operation::{Author, Change, Operation, OperationId};
use cornerwork_core::session::refusal::Refusal;
use cornerwork_io::catalogue::exercises::Exercises;
use cornerwork_io::store::{Examiner, Forgotten, Recordings, Soundness, SqliteStore, StoreError};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use thiserror::Error;
use tokio::sync::{mpsc, oneshot, watch};
use tokio_util::sync::CancellationToken;

/// A change as a device asks for it.
#[derive(Clone, Debug)]
pub struct Submission {
    /// Made by the device; the same id again is the same change.
    pub id: OperationId,
    /// Who stands behind it, and on what device.
    pub author: Author,
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
    /// The program itself failed on it; nothing changed.
    #[error(
        "The program failed on this entry, and nothing was changed. Enter it another way, and tell whoever looks after the program."
    )]
    Failed,
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
    trouble: watch::Receiver<Option<String>>,
    recordings: Recordings,
    examiner: Examiner,
    clock: Clock,
    stopping: CancellationToken,
    stopped: CancellationToken,
}

struct Request {
    submission: Submission,
    answer: oneshot::Sender<Outcome>,
}

/// An athlete to be deleted, by whom, and who waits to hear what it came to.
struct Deletion {
    athlete: AthleteId,
    by: Author,
    /// The id of the trace it leaves.
    id: OperationId,
    answer: oneshot::Sender<Result<Forgotten, NotKept>>,
}

type Outcome = Result<Kept, NotKept>;

/// Most changes committed together. Enough for every station of a full gym at once; small enough
/// that the last of them does not wait noticeably for the others.
const BATCH: usize = 64;

impl Keeper {
    /// Reads the store and starts the task that keeps it.
    pub async fn open(
        store: SqliteStore,
        clock: Clock,
        library: Exercises,
    ) -> Result<Self, StoreError> {
        let (copies, ledger) = Copies::of(Ledger::replay(store.load().await?));
        let (requests, waiting) = mpsc::channel(1024);
        let (deletions, leaving) = mpsc::channel(1);
        let (recordings, examiner) = (store.recordings(), store.examiner());
        let (in_trouble, trouble) = watch::channel(None);
        let (stopping, stopped) = (CancellationToken::new(), CancellationToken::new());
        let scribe = Scribe { store, copies, clock: clock.clone(), in_trouble, library };
        let work = scribe.work(waiting, leaving, stopping.clone());
        let done = stopped.clone();
        tokio::spawn(async move {
            // However the work ends, nobody waits for it any longer.
            let _done = done.drop_guard();
            work.await;
        });
        Ok(Self {
            requests,
            deletions,
            ledger,
            trouble,
            recordings,
            examiner,
            clock,
            stopping,
            stopped,
        })
    }

    /// Stops the work: what was handed in is kept or refused, and the file is whole by itself when
    /// this returns. What comes later is refused.
    pub async fn close(&self) {
        self.stopping.cancel();
        self.stopped.cancelled().await;
    }

    /// Why nothing can be kept at the moment, in a sentence; nothing while all is well.
    pub fn trouble(&self) -> Option<String> {
        self.trouble.borrow().clone()
    }

    /// Changes when trouble begins and when it ends.
    pub fn troubles(&self) -> watch::Receiver<Option<String>> {
        self.trouble.clone()
    }

    /// The record as it stands now; later changes leave it as it is.
    pub fn ledger(&self) -> Arc<Ledger> {
        Arc::clone(&self.ledger.borrow())
    }

    /// The recordings as they were received.
    pub const fn recordings(&self) -> &Recordings {
        &self.recordings
    }

    /// Looks at every byte of the record beside the work.
    ///
    /// # Errors
    /// As [`Examiner::check`].
    pub async fn check(&self) -> Result<Soundness, StoreError> {
        self.examiner.check().await
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

    /// Deletes everything about an athlete, leaving the trace that it was done, by whom.
    pub async fn forget(
        &self,
        athlete: AthleteId,
        by: Author,
        id: OperationId,
    ) -> Result<Forgotten, NotKept> {
        let (answer, answered) = oneshot::channel();
        let deletion = Deletion { athlete, by, id, answer };
        self.deletions.send(deletion).await.map_err(|_| NotKept::Stopping)?;
        answered.await.map_err(|_| NotKept::Stopping)?
    }
}

struct Scribe {
    store: SqliteStore,
    copies: Copies,
    clock: Clock,
    in_trouble: watch::Sender<Option<String>>,
    library: Exercises,
}

impl Scribe {
    async fn work(
        mut self,
        mut waiting: mpsc::Receiver<Request>,
        mut leaving: mpsc::Receiver<Deletion>,
        stopping: CancellationToken,
    ) {
        let mut batch = Vec::with_capacity(BATCH);
        loop {
            tokio::select! {
                biased;
                count = waiting.recv_many(&mut batch, BATCH) => match count {
                    0 => break,
                    _ => self.keep(std::mem::take(&mut batch)).await,
                },
                Some(Deletion { athlete, by, id, answer }) = leaving.recv() => {
                    // Whoever hung up meanwhile sees it done on the next page.
                    let _ = answer.send(self.forget(&athlete, by, id).await);
                }
                // Last: what lines up already is still kept.
                () = stopping.cancelled() => break,
            }
        }
        self.store.close().await;
    }

    /// The store is without them, and the record is what it then holds.
    async fn forget(
        &mut self,
        athlete: &AthleteId,
        by: Author,
        id: OperationId,
    ) -> Result<Forgotten, NotKept> {
        let (at, on) = (self.clock.now(), self.clock.today());
        let trace = |entries| {
            let change = Change::Safety(SafetyChange::AthleteForgotten { entries, on });
            Operation { id, at, author: by, change }
        };
        let forgotten = self.store.forget(athlete, trace).await;
        self.go_back().await;
        forgotten.map_err(|error| NotKept::Store(error.to_string()))
    }

    async fn keep(&mut self, batch: Vec<Request>) {
        let mut judged = self.judge_all(&batch);
        if !judged.fresh.is_empty() {
            let ids: Vec<OperationId> = judged.fresh.iter().map(|fresh| fresh.id).collect();
            match self.store.append(&judged.fresh).await {
                Ok(_) => {
                    self.copies.show(judged.fresh);
                    self.in_trouble.send_replace(None);
                }
                Err(error) => {
                    tracing::error!(%error, "commit failed");
                    self.go_back().await;
                    self.tell_trouble(&error, &ids, &batch, &mut judged.outcomes);
                }
            }
        }
        for (request, outcome) in batch.into_iter().zip(judged.outcomes) {
            // A device that hung up meanwhile will ask again with the same id.
            let _ = request.answer.send(outcome);
        }
    }

    /// The disk said no: whoever waited for what was to be stored is told so, unless it is there
    /// all the same.
    fn tell_trouble(
        &mut self,
        error: &StoreError,
        ids: &[OperationId],
        batch: &[Request],
        outcomes: &mut [Outcome],
    ) {
        let ledger = self.copies.written();
        let mut lost = false;
        for (request, outcome) in batch.iter().zip(outcomes) {
            let id = request.submission.id;
            let is_fresh = matches!(outcome, Ok(Kept::Stored)) && ids.contains(&id);
            if is_fresh && !ledger.knows(id) {
                *outcome = Err(NotKept::Store(error.to_string()));
                lost = true;
            }
        }
        if lost {
            self.in_trouble.send_replace(Some(error.to_string()));
        }
    }

    /// The record becomes what the store holds, or what was shown if that cannot be read either.
    async fn go_back(&mut self) {
        match self.store.load().await {
            Ok(operations) => self.copies.show_instead(Ledger::replay(operations)),
            Err(_) => self.copies.give_up(),
        }
    }

    /// Judges each against the state as it stands after the one before.
    fn judge_all(&mut self, batch: &[Request]) -> Judged {
        let mut failing = vec![false; batch.len()];
        loop {
            match self.judge_but(batch, &failing) {
                Ok(judged) => return judged,
                // One that the program itself fails on may have left the copy half changed: it is
                // put aside and the others are judged again, on a copy as it was.
                Err(place) => {
                    failing[place] = true;
                    self.copies.give_up();
                }
            }
        }
    }

    /// Judges all but those put aside.
    ///
    /// # Errors
    /// The place of the one that the program fails on.
    fn judge_but(&mut self, batch: &[Request], failing: &[bool]) -> Result<Judged, usize> {
        let mut judged = Judged { fresh: Vec::new(), outcomes: Vec::with_capacity(batch.len()) };
        for (place, request) in batch.iter().enumerate() {
            let outcome = if failing[place] {
                Err(NotKept::Failed)
            } else {
                let (scribe, fresh) = (&mut *self, &mut judged.fresh);
                let judge = move || scribe.judge(request.submission.clone(), fresh);
                catch_unwind(AssertUnwindSafe(judge)).map_err(|_| place)?
            };
            judged.outcomes.push(outcome);
        }
        Ok(judged)
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
        ledger.check(&operation, self.clock.today(), &self.library)?;
        fresh.push(operation.clone());
        ledger.append(operation);
        Ok(Kept::Stored)
    }
}

/// A batch once it was judged: what is to be stored, and what each is told if that goes well.
struct Judged {
    fresh: Vec<Operation>,
    outcomes: Vec<Outcome>,
}
