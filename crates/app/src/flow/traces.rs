//! Recordings filed, confirmed, put right and set aside. The page and the command line come
//! through here alike.

use crate::flow::act::{self, Act, Answer};
use crate::flow::house::House;
use crate::flow::plan;
use crate::flow::trace::{self, Glance, Kind, sentence};
use crate::flow::trials::{self, Asked, Numbers, Readable, Why};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::operation::{Author, OperationId};
use cornerwork_core::session::trace::{FiledTrace, Filing, NamedReading, Reading, TraceChange};
use cornerwork_core::session::traces::FiledRecording;
use cornerwork_core::trial::TrialEvent;
use cornerwork_core::words;
use cornerwork_io::store::{LARGEST_RECORDING, hash_of};
use uuid::Uuid;

/// A file somebody hands in.
#[derive(Clone, Debug)]
pub struct HandedIn {
    /// Made by whoever hands it in; the same id again is the same filing.
    pub id: OperationId,
    /// Who does.
    pub author: Author,
    /// Name of the file.
    pub file: String,
    /// What it holds.
    pub bytes: Vec<u8>,
    /// What is said of it.
    pub filing: Filing,
    /// How it is read, where that was stated; else a way remembered for its columns is taken.
    pub reading: Option<Reading>,
}

/// What became of a file.
#[derive(Clone, Debug, PartialEq)]
pub enum Fate {
    /// On file, with its numbers.
    Filed {
        /// Its recording.
        trace: OperationId,
        /// How it was read, in words.
        read: String,
    },
    /// On file, but nothing is to be seen in it.
    WithoutNumbers {
        /// Its recording.
        trace: OperationId,
        /// Why.
        why: String,
    },
    /// On file; its columns must be confirmed before it gives numbers.
    ToConfirm {
        /// Its recording.
        trace: OperationId,
    },
    /// The same bytes were on file before.
    Here {
        /// The recording they are.
        trace: OperationId,
        /// What it is, in words.
        what: String,
    },
    /// Not taken; nothing was kept.
    Refused(String),
}

impl Fate {
    /// The recording the file became or was.
    pub const fn trace(&self) -> Option<OperationId> {
        match self {
            Self::Filed { trace, .. }
            | Self::WithoutNumbers { trace, .. }
            | Self::ToConfirm { trace }
            | Self::Here { trace, .. } => Some(*trace),
            Self::Refused(_) => None,
        }
    }
}

/// Files a recording.
pub async fn file(house: &House, handed: HandedIn) -> Fate {
    let HandedIn { id, author, file, bytes, filing, reading } = handed;
    if bytes.is_empty() {
        return Fate::Refused("The file is empty.".to_owned());
    }
    if bytes.len() > LARGEST_RECORDING {
        let most = LARGEST_RECORDING / (1024 * 1024);
        return Fate::Refused(format!("The file is larger than {most} MB. Cut it into trials."));
    }
    let hash = hash_of(&bytes);
    let prepared = {
        let ledger = house.keeper.ledger();
        let gym = ledger.gym();
        match gym.traces.of_hash(hash) {
            Some(there) if there.id != id => return here(gym, there),
            _ => {}
        }
        prepare(house, gym, &bytes, &filing, reading)
    };
    let (bytes, reading, question) = match prepared {
        Ok((reading, question)) => (bytes, reading, question),
        Err(sentence) => return Fate::Refused(sentence),
    };
    let (bytes, fate) = match &reading {
        None => (bytes, Fate::ToConfirm { trace: id }),
        Some(reading) => {
            let asked = Asked { hash, reading: reading.clone(), question };
            match look(house, bytes, asked).await {
                Ok((bytes, None)) => {
                    (bytes, Fate::Filed { trace: id, read: read_in_words(reading) })
                }
                Ok((bytes, Some(why))) => (bytes, Fate::WithoutNumbers { trace: id, why }),
                Err(sentence) => return Fate::Refused(sentence),
            }
        }
    };
    if let Err(error) = house.keeper.recordings().keep(&bytes).await {
        return Fate::Refused(error.to_string());
    }
    let change = TraceChange::Filed(FiledTrace { hash, file, filing, reading });
    match submit(house, id, author, change).await {
        Answer::Kept | Answer::GoTo(_) => fate,
        Answer::Refused(sentence) | Answer::Ask { doubt: sentence, .. } => {
            // Another hand may have filed the same bytes meanwhile.
            let ledger = house.keeper.ledger();
            let gym = ledger.gym();
            let there = gym.traces.of_hash(hash).filter(|there| there.id != id);
            there.map_or(Fate::Refused(sentence), |there| here(gym, there))
        }
    }
}

fn here(gym: &Gym, there: &FiledRecording) -> Fate {
    Fate::Here { trace: there.id, what: in_words(gym, there) }
}

/// A recording in a few words: "countermovement jump of Ada Bell, 3 September".
pub fn in_words(gym: &Gym, trace: &FiledRecording) -> String {
    let Filing { athlete, kind, day, .. } = &trace.filing;
    let name = gym.athlete(athlete).map_or(athlete.as_str(), |athlete| athlete.name.as_str());
    format!("{} of {name}, {}", kind.name(), words::day_and_year(*day))
}

fn read_in_words(reading: &Reading) -> String {
    let how = trace::in_words(reading);
    match &reading.name {
        Some(name) => format!("read as \"{name}\": {how}"),
        None => format!("read with {how}"),
    }
}

type Prepared = (Option<Reading>, trace::Question);

/// How the file is to be read, if that is known, and what is asked of it.
fn prepare(
    house: &House,
    gym: &Gym,
    bytes: &[u8],
    filing: &Filing,
    stated: Option<Reading>,
) -> Result<Prepared, String> {
    check(house, gym, filing)?;
    let glance = trace::glance(bytes, filing.kind, &stated.clone().unwrap_or_default());
    let glance = glance.map_err(sentence)?;
    let reading = stated.or_else(|| remembered(gym, &glance));
    let question = trials::question(gym, house.clock(), filing, Default::default());
    Ok((reading, question))
}

/// The way of reading remembered for the columns of a file; plates of C3D need none.
fn remembered(gym: &Gym, glance: &Glance) -> Option<Reading> {
    if !glance.has_columns() {
        return glance.doubt.is_none().then(Reading::default);
    }
    gym.traces.reading_for(&glance.heading).map(|named| named.reading.clone())
}

/// Looks at the recording and remembers its numbers; gives the bytes back, and why there are no
/// numbers.
async fn look(
    house: &House,
    bytes: Vec<u8>,
    asked: Asked,
) -> Result<(Vec<u8>, Option<String>), String> {
    let (reading, question) = (asked.reading.clone(), asked.question);
    let work = move || {
        let found = trials::analyse(&bytes, &reading, &question)
            .as_ref()
            .map(Numbers::of)
            .map_err(Clone::clone);
        (bytes, found)
    };
    let (bytes, found) =
        tokio::task::spawn_blocking(work).await.map_err(|error| error.to_string())?;
    let why = match &found {
        Err(Why(sentence, Readable::No)) => return Err(sentence.clone()),
        Err(Why(sentence, Readable::Yes)) => Some(sentence.clone()),
        Ok(_) => None,
    };
    house.profiles.trials.learn(&asked, found.map_err(|why| why.0));
    Ok((bytes, why))
}

/// Largest load and highest box that are believed.
const HEAVIEST_KG: f64 = 400.0;
const HIGHEST_BOX_M: f64 = 1.5;

/// Whether what is said of a recording can be.
fn check(house: &House, gym: &Gym, filing: &Filing) -> Result<(), String> {
    if gym.athlete(&filing.athlete).is_none() {
        let code = &filing.athlete;
        return Err(format!(
            "There is no athlete {code} here. Enter the athlete first or pick another."
        ));
    }
    let kg = filing.load.in_kilograms();
    if !(0.0..=HEAVIEST_KG).contains(&kg) {
        return Err(format!(
            "A load of {kg} kg is outside 0 to {HEAVIEST_KG} kg. Type it in kilograms."
        ));
    }
    if let Some(height) = filing.box_height
        && !(height.in_metres() > 0.0 && height.in_metres() <= HIGHEST_BOX_M)
    {
        return Err(format!(
            "A box of {:.0} cm is outside 1 to {:.0} cm. Type it in centimetres.",
            height.in_centimetres(),
            HIGHEST_BOX_M * 100.0
        ));
    }
    if filing.day > house.clock().today() {
        return Err(format!("{} has not come yet. Pick the day it was recorded.", filing.day));
    }
    if let Some(exercise) = &filing.exercise
        && house.exercises.get(exercise).is_none()
    {
        return Err(format!("There is no exercise {exercise} in the library. Pick another."));
    }
    if filing.kind == Kind::Bar && filing.exercise.is_none() {
        return Err("Which exercise? A bar's velocity means nothing without it.".to_owned());
    }
    Ok(())
}

/// What is said of a recording, with what goes without saying: a jump with a load is the loaded
/// jump of this gym unless another exercise is named.
pub fn completed(filing: Filing) -> Filing {
    let loaded = filing.kind == Kind::CountermovementJump && filing.load.in_kilograms() > 0.0;
    let exercise = filing.exercise.or_else(|| {
        let usual = cornerwork_core::exercise::ExerciseId::new(plan::LOADED_JUMP);
        usual.filter(|_| loaded)
    });
    Filing { exercise, ..filing }
}

/// A recording and who puts it right.
#[derive(Clone, Debug)]
pub struct Hand {
    /// Made by the device; the same id again is the same change.
    pub id: OperationId,
    /// Who.
    pub author: Author,
}

/// Confirms how recordings are read, and remembers it under a name if one is given. The first
/// recording is read as a test: what cannot be read changes nothing.
pub async fn read_as(
    house: &House,
    hand: Hand,
    traces: Vec<OperationId>,
    reading: Reading,
) -> Answer {
    let Some(&first) = traces.first() else {
        return Answer::Refused("No recording waits to be read like this.".to_owned());
    };
    let asked = match asked_with(house, first, |_, trace| trace.reading = Some(reading.clone())) {
        Ok(asked) => asked,
        Err(sentence) => return Answer::Refused(sentence),
    };
    let bytes = match house.keeper.recordings().read(asked.hash).await {
        Ok(bytes) => bytes,
        Err(error) => return Answer::Refused(error.to_string()),
    };
    let heading = match trace::glance(&bytes, asked.question.kind, &reading) {
        Ok(glance) if reading.rate_hz.is_none() && !has_clock(&reading, &glance) => {
            return Answer::Refused(NO_CLOCK.to_owned());
        }
        Ok(glance) => glance.heading,
        Err(error) => return Answer::Refused(sentence(error)),
    };
    // A file to come is known by its columns as they are found, before any mark is chosen.
    let as_found = trace::glance(&bytes, asked.question.kind, &Reading::default());
    let heading = as_found.map_or(heading, |glance| glance.heading);
    if let Err(sentence) = look(house, bytes, asked).await {
        return Answer::Refused(sentence);
    }
    if let Some(name) = reading.name.clone() {
        let named = NamedReading { name, heading, reading: reading.clone() };
        let id = OperationId(Uuid::now_v7().as_u128());
        let told = submit(house, id, hand.author.clone(), TraceChange::ReadingNamed(named)).await;
        if told != Answer::Kept {
            return told;
        }
    }
    submit(house, hand.id, hand.author, TraceChange::ReadAs { traces, reading }).await
}

/// A rate is never taken for granted: a wrong one stretches every height and nothing in the trace
/// can tell.
const NO_CLOCK: &str = "How many samples a second? The file does not say, and no column is the \
                        time. Type the rate it was recorded at.";

fn has_clock(reading: &Reading, glance: &Glance) -> bool {
    glance.stated_rate_hz.is_some() || reading.columns.iter().any(|column| column.role == "time")
}

/// Forgets a remembered way of reading: files to come with its columns wait to be confirmed again.
pub async fn forget_reading(house: &House, hand: Hand, name: String) -> Answer {
    submit(house, hand.id, hand.author, TraceChange::ReadingForgotten { name }).await
}

/// Moves an event to a time in seconds of the recording, or leaves it to the rules again.
pub async fn move_event(
    house: &House,
    hand: Hand,
    trace: OperationId,
    event: TrialEvent,
    to_s: Option<f64>,
    reason: String,
) -> Answer {
    let before = match asked_with(house, trace, |_, _| {}) {
        Ok(asked) => trials::analysis(house.keeper.recordings(), &asked).await,
        Err(sentence) => return Answer::Refused(sentence),
    };
    let from_s = before.ok().and_then(|analysis| trace::time_of(&analysis, event));
    let change = |_: &Gym, trace: &mut FiledRecording| trace.moved.put(event, to_s);
    match try_out(house, trace, change).await {
        Ok(()) => {
            let change = TraceChange::EventMoved { trace, event, from_s, to_s, reason };
            submit(house, hand.id, hand.author, change).await
        }
        Err(sentence) => Answer::Refused(sentence),
    }
}

/// Files a recording anew: another athlete, kind, load or day.
pub async fn file_anew(
    house: &House,
    hand: Hand,
    trace: OperationId,
    filing: Filing,
    reason: String,
) -> Answer {
    {
        let ledger = house.keeper.ledger();
        if let Err(sentence) = check(house, ledger.gym(), &filing) {
            return Answer::Refused(sentence);
        }
    }
    submit(house, hand.id, hand.author, TraceChange::FiledAnew { trace, filing, reason }).await
}

/// Sets a recording aside, or takes it back in.
pub async fn set_aside(
    house: &House,
    hand: Hand,
    trace: OperationId,
    reason: String,
    aside: bool,
) -> Answer {
    let change = if aside {
        TraceChange::SetAside { trace, reason }
    } else {
        TraceChange::TakenBackIn { trace, reason }
    };
    submit(house, hand.id, hand.author, change).await
}

/// What would be asked of a recording after a change.
fn asked_with(
    house: &House,
    id: OperationId,
    change: impl FnOnce(&Gym, &mut FiledRecording),
) -> Result<Asked, String> {
    let ledger = house.keeper.ledger();
    let gym = ledger.gym();
    let trace = gym.traces.get(id);
    let mut trace = trace.cloned().ok_or("That recording is not on file. Reload the page.")?;
    change(gym, &mut trace);
    let asked = Asked::of(gym, house.clock(), &trace);
    asked.ok_or_else(|| "The columns of this recording are not confirmed yet.".to_owned())
}

/// Whether the recording still shows a trial after a change.
async fn try_out(
    house: &House,
    id: OperationId,
    change: impl FnOnce(&Gym, &mut FiledRecording),
) -> Result<(), String> {
    let asked = asked_with(house, id, change)?;
    let found = house.profiles.trials.find(house.keeper.recordings(), &asked).await;
    found.as_ref().as_ref().map(|_| ()).map_err(Clone::clone)
}

async fn submit(house: &House, id: OperationId, author: Author, change: TraceChange) -> Answer {
    act::act(house, id, author, Act::Trace(Box::new(change))).await
}

/// Recordings that wait for their columns, together with those of the same columns.
#[derive(Clone, Debug)]
pub struct Waiting {
    /// What is seen of the first.
    pub glance: Glance,
    /// All of them, in the order of filing.
    pub traces: Vec<FiledRecording>,
}

/// All that wait, those with the same columns and kind of signal together, read with a decimal mark
/// where one was chosen; or one that is read already and is to be read anew.
pub async fn waiting(
    house: &House,
    decimal_mark: Option<char>,
    anew: Option<OperationId>,
) -> Vec<Waiting> {
    let traces: Vec<FiledRecording> = {
        let ledger = house.keeper.ledger();
        let all = ledger.gym().traces.all();
        let wanted = |trace: &&FiledRecording| match anew {
            Some(anew) => trace.id == anew,
            None => trace.reading.is_none(),
        };
        all.filter(wanted).cloned().collect()
    };
    let mut groups: Vec<Waiting> = Vec::new();
    for trace in traces {
        let as_chosen = (trace.hash, trace.filing.kind, decimal_mark);
        let as_found = (trace.hash, trace.filing.kind, None);
        let (trials, recordings) = (&house.profiles.trials, house.keeper.recordings());
        let mut glance = trials.glance(recordings, as_chosen).await;
        if glance.is_none() {
            // With that mark it holds no numbers at all.
            glance = trials.glance(recordings, as_found).await;
        }
        let Some(glance) = glance else { continue };
        let alike = |group: &&mut Waiting| {
            group.glance.heading == glance.heading && group.glance.guess == glance.guess
        };
        match groups.iter_mut().find(alike) {
            Some(group) => group.traces.push(trace),
            None => groups.push(Waiting { glance, traces: vec![trace] }),
        }
    }
    groups
}
