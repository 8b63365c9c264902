//! Acts of a coach that are not a rep typed at the rack: each becomes one operation.

mod change;
mod typed;

pub use typed::read_expecting;

use crate::flow::camp::act::CampAct;
use crate::flow::close::TypedSession;
use crate::flow::enter_athlete::TypedAthlete;
use crate::flow::house::House;
use crate::flow::keeper::{Kept, NotKept, Submission};
use crate::flow::kit::TypedBar;
use crate::flow::paper::typing::TypedBlank;
use crate::flow::program::ProgramAct;
use crate::flow::safety::SafetyAct;
use change::Desk;
use cornerwork_core::entry::{About, Doubt, Reading};
use cornerwork_core::exercise::Measure;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::operation::{Author, Change, OperationId};
use cornerwork_core::session::program::SessionId;
use cornerwork_core::session::trace::TraceChange;

/// What a coach does.
#[derive(Clone, Debug)]
pub enum Act {
    /// The set is over.
    CloseSet {
        /// Where.
        station: u8,
        /// Whose.
        athlete: AthleteId,
    },
    /// Someone takes a station out of turn.
    CallUp {
        /// Where.
        station: u8,
        /// Who.
        athlete: AthleteId,
    },
    /// A load is hung.
    Hang {
        /// Where.
        station: u8,
        /// For whom.
        athlete: AthleteId,
        /// Id of the bar.
        bar: String,
        /// Bar and plates together, in kilograms.
        total_kg: f64,
    },
    /// A jump without a load instead of the station's exercise, or that exercise again.
    JumpWithoutLoad {
        /// Where.
        station: u8,
        /// Who.
        athlete: AthleteId,
        /// Whether it begins.
        begins: bool,
    },
    /// A box is set.
    SetBox {
        /// Where.
        station: u8,
        /// For whom.
        athlete: AthleteId,
        /// Height as typed, in centimetres.
        cm: String,
        /// The reading chosen after a question, in SI units.
        chosen: Option<f64>,
    },
    /// A fault was seen.
    Fault {
        /// In which rep.
        rep: OperationId,
        /// Which.
        tag: String,
    },
    /// A number is corrected.
    Correct {
        /// Of which rep.
        rep: OperationId,
        /// As typed.
        text: String,
        /// The reading chosen after a question, in SI units.
        chosen: Option<f64>,
        /// Why.
        reason: String,
    },
    /// A rep was someone else's.
    Move {
        /// Which.
        rep: OperationId,
        /// Whose it is.
        athlete: AthleteId,
        /// Why.
        reason: String,
    },
    /// A whole set was someone else's, or is said to be whose it is.
    MoveSet {
        /// Where it was closed last.
        station: u8,
        /// Whose it is.
        athlete: AthleteId,
        /// Its first rep, so that a set closed since is not moved instead.
        first: OperationId,
    },
    /// A number is not to be used.
    SetAside {
        /// Of which rep.
        rep: OperationId,
        /// Why.
        reason: String,
    },
    /// A jump typed away from the stations.
    Jump {
        /// Who.
        athlete: AthleteId,
        /// "none", or bar id and total in grams: "hex-light:55000".
        load: String,
        /// Height as typed.
        text: String,
        /// The reading chosen after a question, in SI units.
        chosen: Option<f64>,
    },
    /// Body mass.
    Weigh {
        /// Who.
        athlete: AthleteId,
        /// As typed.
        text: String,
        /// The reading chosen after a question, in SI units.
        chosen: Option<f64>,
    },
    /// A limit agreed for a bout, or none any more.
    AgreeLimit {
        /// Whose.
        athlete: AthleteId,
        /// As typed, in kilograms or pounds; empty takes the limit away.
        text: String,
        /// The reading chosen after a question, in SI units.
        chosen: Option<f64>,
        /// Day of the weigh-in.
        weigh_in: String,
        /// Day of the bout.
        bout: String,
        /// Whose check-weights bind; empty for none.
        body: String,
    },
    /// A session closed.
    CloseSession(TypedSession),
    /// Safety, consent, people.
    Safety(SafetyAct),
    /// A new athlete.
    EnterAthlete(TypedAthlete),
    /// An athlete's facts corrected.
    CorrectAthlete {
        /// Whose.
        athlete: AthleteId,
        /// What they are.
        typed: TypedAthlete,
    },
    /// A bar is weighed.
    WeighBar(TypedBar),
    /// The plates are counted.
    CountPlates {
        /// As typed, in pairs.
        text: String,
    },
    /// One box more.
    AddBox {
        /// Its height as typed, in cm.
        text: String,
    },
    /// The boxes are measured.
    MeasureBoxes {
        /// As typed, in cm.
        text: String,
    },
    /// The mat was compared with a better method.
    CompareMat {
        /// As typed, in cm.
        text: String,
        /// With what.
        against: String,
    },
    /// The gym gets its name.
    NameGym {
        /// The name.
        text: String,
    },
    /// All groups move on.
    Rotate,
    /// The evening begins.
    OpenEvening {
        /// Who is here.
        present: Vec<AthleteId>,
    },
    /// The evening is over.
    CloseEvening,
    /// The evening that was closed last goes on.
    ReopenEvening,
    /// Something of the program: a session, who comes, an own exercise.
    Program(ProgramAct),
    /// The sheets of a session were printed.
    Printed(SessionId),
    /// A blank of a sheet was typed in.
    FromPaper(TypedBlank),
    /// A recording is filed, read, mended or set aside.
    Trace(Box<TraceChange>),
    /// Something of bouts and camps.
    Camp(CampAct),
    /// Something is taken back.
    Undo {
        /// Which operation.
        operation: OperationId,
    },
}

/// What the coach is told.
#[derive(Clone, Debug, PartialEq)]
pub enum Answer {
    /// Done and durable.
    Kept,
    /// Done and durable; go there.
    GoTo(String),
    /// Which of these was meant? Nothing was changed.
    Ask {
        /// What is asked.
        doubt: String,
        /// The answers there are, the likeliest first.
        offers: Vec<Offer>,
    },
    /// Not done, and why. Nothing was changed.
    Refused(String),
}

/// An answer to a question: its words, and the fields the same form is sent again with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offer {
    /// On the button.
    pub words: String,
    /// Fields to set, each in place of the one of its name.
    pub fields: Vec<(&'static str, String)>,
}

impl Offer {
    /// A reading of the number that was typed, in SI units.
    pub fn reading(value_si: f64, words: String) -> Self {
        Self { words, fields: vec![("chosen", value_si.to_string())] }
    }
}

/// What was typed and cannot be taken without a word.
#[derive(Clone, Copy, Debug)]
pub struct Slip<'a> {
    /// As typed.
    pub typed: &'a str,
    /// Into a field of this measure.
    pub measure: &'a Measure,
    /// Why it is asked.
    pub doubt: Doubt,
    /// What may have been meant.
    pub readings: &'a [Reading],
}

impl Answer {
    /// The question of the entry guard; the reading chosen comes back in the field named.
    pub fn asking(about: &About, slip: &Slip<'_>, field: &'static str) -> Self {
        let offer = |reading: &Reading| Offer {
            words: about.offer(reading, slip.measure, slip.doubt),
            fields: vec![(field, reading.value_si.to_string())],
        };
        Self::Ask {
            doubt: about.question(slip.typed, slip.measure, slip.doubt),
            offers: slip.readings.iter().map(offer).collect(),
        }
    }
}

/// Does it.
pub async fn act(house: &House, id: OperationId, author: Author, act: Act) -> Answer {
    let is_new = matches!(act, Act::EnterAthlete(_));
    let goes_to = match &act {
        Act::Program(act) => act.goes_to(),
        _ => None,
    };
    let change = {
        let ledger = house.keeper.ledger();
        if let Some(known) = ledger.operation(id) {
            let goes_to = goes_to.or_else(|| is_new.then(|| page_of(&known.change)).flatten());
            return goes_to.map_or(Answer::Kept, Answer::GoTo);
        }
        match (Desk { house, ledger: &ledger }).change(act) {
            Ok(change) => change,
            Err(answer) => return answer,
        }
    };
    let goes_to = match &change {
        Change::Camp(change) => CampAct::goes_to(change),
        change if is_new => page_of(change),
        _ => goes_to,
    };
    match house.keeper.submit(Submission { id, author, change }).await {
        Ok(Kept::Stored | Kept::Known) => goes_to.map_or(Answer::Kept, Answer::GoTo),
        Err(NotKept::Refused(refusal)) => Answer::Refused(refusal.to_string()),
        Err(other) => Answer::Refused(other.to_string()),
    }
}

/// The page of an athlete who was entered.
fn page_of(change: &Change) -> Option<String> {
    match change {
        Change::AthleteEntered(athlete) => Some(format!("/athlete/{}", athlete.id)),
        _ => None,
    }
}
