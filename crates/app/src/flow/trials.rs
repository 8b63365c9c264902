//! Numbers of the recordings on file: derived, computed when asked for, kept while nothing that
//! goes into them changes, and forgotten at shut-down.

use crate::flow::clock::Clock;
use crate::flow::house::House;
use crate::flow::trace::{self, Analysis, Drift, Glance, Kind, Question, Source};
use cornerwork_core::metrics::{MetricSet, bar_velocity, force, height, reactive_strength};
use cornerwork_core::note::Note;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::trace::{Filing, Reading, RecordingHash};
use cornerwork_core::session::traces::FiledRecording;
use cornerwork_core::trial::isometric::Direction;
use cornerwork_core::trial::{Conditions, MovedEvents};
use cornerwork_core::units::{Mass, STANDARD_GRAVITY};
use cornerwork_io::store::Recordings;
use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

/// Pause after all numbers were looked over: an evening of typed reps must not have them looked
/// over for every rep.
const PAUSE: Duration = Duration::from_millis(500);

/// Everything the numbers of a recording depend on.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// Which bytes.
    pub hash: RecordingHash,
    /// How they are read.
    pub reading: Reading,
    /// What is asked of them.
    pub question: Question,
}

impl Asked {
    /// What is asked of a recording as it stands; `None` while its columns are not confirmed.
    pub fn of(gym: &Gym, clock: &Clock, trace: &FiledRecording) -> Option<Self> {
        let reading = trace.reading.clone()?;
        let question = question(gym, clock, &trace.filing, trace.moved);
        Some(Self { hash: trace.hash, reading, question })
    }

    /// Two questions with the same key have the same answer. Numbers print as themselves and as
    /// nothing else, so the text tells any two apart.
    fn key(&self) -> Key {
        (self.hash, format!("{:?} {:?}", self.reading, self.question))
    }
}

/// What is asked of a recording filed like this.
pub fn question(gym: &Gym, clock: &Clock, filing: &Filing, moved: MovedEvents) -> Question {
    let conditions = Conditions {
        gravity: STANDARD_GRAVITY,
        body_mass: body_mass(gym, clock, filing),
        load: filing.load,
        box_height: filing.box_height,
        moved,
    };
    let direction = if filing.horizontal { Direction::Horizontal } else { Direction::Vertical };
    let drift = Drift::default();
    Question { kind: filing.kind, conditions, direction, ballistic: filing.ballistic, drift }
}

/// The last body mass measured up to the day of the recording.
fn body_mass(gym: &Gym, clock: &Clock, filing: &Filing) -> Option<Mass> {
    let masses = gym.body_masses(&filing.athlete);
    let until = masses.partition_point(|(at, _)| clock.date_of(*at) <= filing.day);
    masses[..until].last().map(|(_, mass)| *mass)
}

/// The numbers of one recording.
#[derive(Clone, Debug)]
pub struct Numbers {
    /// Which kind of trial it was read as.
    pub kind: Kind,
    /// One set; for a bar one a repetition.
    pub sets: Vec<MetricSet>,
    /// Caveats, and reasons for what is absent.
    pub notes: Vec<Note>,
}

impl Numbers {
    /// Of what a recording showed.
    pub fn of(analysis: &Analysis) -> Self {
        let Analysis { kind, sets, notes, .. } = analysis;
        Self { kind: *kind, sets: sets.clone(), notes: notes.clone() }
    }
}

/// Numbers, or the sentence why there are none.
pub type Found = Result<Numbers, String>;

type Key = (RecordingHash, String);

/// A first look into a recording: the kind it is filed as, and a decimal mark where one was chosen.
pub type Look = (RecordingHash, Kind, Option<char>);

/// Numbers that were computed since the program started.
#[derive(Debug, Default)]
pub struct Trials {
    found: Mutex<HashMap<Key, Arc<Found>>>,
    seen: Mutex<HashMap<Look, Glance>>,
}

impl Trials {
    /// Forgets every number and every look: they are worked out again when asked for.
    pub fn clear(&self) {
        self.found.lock().unwrap_or_else(PoisonError::into_inner).clear();
        self.seen.lock().unwrap_or_else(PoisonError::into_inner).clear();
    }

    /// The numbers of a recording, if they are known by now.
    pub fn known(&self, gym: &Gym, clock: &Clock, trace: &FiledRecording) -> Option<Arc<Found>> {
        self.get(&Asked::of(gym, clock, trace)?)
    }

    fn get(&self, asked: &Asked) -> Option<Arc<Found>> {
        let found = self.found.lock().unwrap_or_else(PoisonError::into_inner);
        found.get(&asked.key()).cloned()
    }

    /// Takes note of what a recording showed.
    pub fn learn(&self, asked: &Asked, found: Found) -> Arc<Found> {
        let found = Arc::new(found);
        let mut all = self.found.lock().unwrap_or_else(PoisonError::into_inner);
        all.insert(asked.key(), Arc::clone(&found));
        found
    }

    /// The numbers of a recording, computed if need be.
    pub async fn find(&self, recordings: &Recordings, asked: &Asked) -> Arc<Found> {
        if let Some(found) = self.get(asked) {
            return found;
        }
        let analysis = analysis(recordings, asked).await;
        self.learn(asked, analysis.as_ref().map(Numbers::of).map_err(Clone::clone))
    }

    /// A first look into a recording whose columns are not confirmed.
    pub async fn glance(&self, recordings: &Recordings, asked: Look) -> Option<Glance> {
        let seen = || self.seen.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(glance) = seen().get(&asked).cloned() {
            return Some(glance);
        }
        let bytes = recordings.read(asked.0).await.ok()?;
        let reading = Reading { decimal_mark: asked.2, ..Reading::default() };
        let glance = trace::glance(&bytes, asked.1, &reading).ok()?;
        seen().insert(asked, glance.clone());
        Some(glance)
    }

    /// Computes what is not known yet of one athlete, or of everybody.
    pub async fn catch_up(&self, house: &House, athlete: Option<&AthleteId>) {
        let missing: Vec<Asked> = {
            let ledger = house.keeper.ledger();
            let gym = ledger.gym();
            let theirs = |trace: &&FiledRecording| {
                athlete.is_none_or(|athlete| trace.filing.athlete == *athlete)
            };
            let asked = |trace| Asked::of(gym, house.clock(), trace);
            let unknown = |asked: &Asked| self.get(asked).is_none();
            gym.traces.all().filter(theirs).filter_map(asked).filter(unknown).collect()
        };
        for asked in missing {
            self.find(house.keeper.recordings(), &asked).await;
        }
    }
}

/// Keeps the numbers of all recordings known for as long as the program runs, so that profiles
/// find them.
pub async fn keep_up(house: Arc<House>) {
    let mut changes = house.keeper.changes();
    loop {
        changes.borrow_and_update();
        house.profiles.trials.catch_up(&house, None).await;
        tokio::time::sleep(PAUSE).await;
        if changes.changed().await.is_err() {
            return;
        }
    }
}

/// What a recording on file shows, with its signals, or the sentence why it shows nothing.
pub async fn analysis(recordings: &Recordings, asked: &Asked) -> Result<Analysis, String> {
    let bytes = recordings.read(asked.hash).await.map_err(|error| error.to_string())?;
    let (reading, question) = (asked.reading.clone(), asked.question);
    // Reading a hundred thousand rows would hold up every other page.
    let work = move || analyse(&bytes, &reading, &question);
    tokio::task::spawn_blocking(work).await.map_err(|error| error.to_string())?.map_err(|why| why.0)
}

/// Why a recording shows nothing, and whether its samples could be read at all.
#[derive(Clone, Debug, PartialEq)]
pub struct Why(pub String, pub Readable);

/// Whether samples could be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Readable {
    /// They could: it is the trial that is not there.
    Yes,
    /// They could not.
    No,
}

/// What bytes show, read like this.
///
/// # Errors
/// The sentence why they show nothing.
pub fn analyse(bytes: &[u8], reading: &Reading, question: &Question) -> Result<Analysis, Why> {
    let chosen = trace::chosen(reading).map_err(|sentence| Why(sentence, Readable::No))?;
    trace::answer(Source::Bytes(bytes), &chosen, question).map(|(analysis, _)| analysis).map_err(
        |error| {
            let readable = match &error {
                trace::TraceError::Source(_) => Readable::No,
                trace::TraceError::Trial(_) => Readable::Yes,
            };
            Why(crate::flow::trace::sentence(&error), readable)
        },
    )
}

/// The number a recording is known by, in words; `None` when it has none.
pub fn headline(numbers: &Numbers) -> Option<String> {
    let first = numbers.sets.first()?;
    let centimetres = |value: f64| format!("{:.1} cm", value * 100.0);
    match numbers.kind {
        Kind::CountermovementJump | Kind::SquatJump => {
            let by_flight = || {
                let height = first.value(&height::FROM_FLIGHT_TIME)?;
                Some(format!("{} by flight time", centimetres(height)))
            };
            first.value(&height::FROM_IMPULSE).map(centimetres).or_else(by_flight)
        }
        Kind::DropJump | Kind::RepeatedJump => {
            let index = first.value(&reactive_strength::INDEX)?;
            Some(format!("{index:.2} m/s reactive strength"))
        }
        Kind::Isometric => {
            let peak = first.value(&force::PEAK)?;
            Some(format!("{peak:.0} N"))
        }
        Kind::Bar => {
            let means = numbers.sets.iter().filter_map(|set| set.value(&bar_velocity::MEAN));
            let best = means.fold(f64::NEG_INFINITY, f64::max);
            let reps = numbers.sets.len();
            best.is_finite().then(|| format!("{reps} reps, best {best:.2} m/s"))
        }
    }
}
