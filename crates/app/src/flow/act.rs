//! Acts of a coach that are not a rep typed at the rack: each becomes one operation.

mod change;
mod typed;

pub use typed::read_expecting;

use crate::flow::camp::act::CampAct;
use crate::flow::close::TypedSession;
use crate::flow::house::House;
use crate::flow::keeper::{Kept, NotKept, Submission};
use crate::flow::kit::TypedBar;
use crate::flow::paper::typing::TypedBlank;
use crate::flow::program::ProgramAct;
use crate::flow::safety::SafetyAct;
use change::Desk;
use cornerwork_core::entry::{Doubt, Reading};
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
    EnterAthlete(NewAthlete),
    /// A bar is weighed.
    WeighBar(TypedBar),
    /// The plates are counted.
    CountPlates {
        /// As typed, in pairs.
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

/// An athlete as typed.
#[derive(Clone, Debug)]
pub struct NewAthlete {
    /// Short code.
    pub code: String,
    /// Name.
    pub name: String,
    /// "female" or "male".
    pub sex: String,
    /// Years.
    pub age: String,
    /// "orthodox" or "southpaw".
    pub stance: String,
    /// Level in words.
    pub level: String,
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
        /// Why it is asked.
        doubt: String,
        /// Value in SI units and the sentence to offer it with.
        offers: Vec<(f64, String)>,
    },
    /// Not done, and why. Nothing was changed.
    Refused(String),
}

impl Answer {
    /// The question of the entry guard.
    pub fn asking(doubt: Doubt, readings: Vec<Reading>) -> Self {
        let offers = readings.into_iter().map(|one| (one.value_si, one.sentence)).collect();
        Self::Ask { doubt: doubt.to_string(), offers }
    }
}

/// Does it.
pub async fn act(house: &House, id: OperationId, author: Author, act: Act) -> Answer {
    let goes_to = match &act {
        Act::EnterAthlete(new) => Some(format!("/athlete/{}", new.code.trim().to_uppercase())),
        Act::Program(act) => act.goes_to(),
        _ => None,
    };
    let change = {
        let ledger = house.keeper.ledger();
        if ledger.knows(id) {
            return goes_to.map_or(Answer::Kept, Answer::GoTo);
        }
        match (Desk { house, ledger: &ledger }).change(act) {
            Ok(change) => change,
            Err(answer) => return answer,
        }
    };
    let goes_to = match &change {
        Change::Camp(change) => CampAct::goes_to(change),
        _ => goes_to,
    };
    match house.keeper.submit(Submission { id, author, change }).await {
        Ok(Kept::Stored | Kept::Known) => goes_to.map_or(Answer::Kept, Answer::GoTo),
        Err(NotKept::Refused(refusal)) => Answer::Refused(refusal.to_string()),
        Err(other) => Answer::Refused(other.to_string()),
    }
}
