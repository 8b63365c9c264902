//! Why a change is refused. A refusal changes nothing and says what to do instead.

use crate::camp::camp_refusal::CampRefusal;
use crate::camp::permission::Clearance;
use crate::camp::safety_refusal::SafetyRefusal;
use crate::session::operation::OperationId;
use crate::session::paper::PaperRefusal;
use crate::session::program::ProgramRefusal;
use crate::session::restriction::end_in_words;
use crate::units::Mass;
use crate::words;
use jiff::civil::Date;
use thiserror::Error;

/// Reasons a change cannot be taken, with what the sentence needs.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum Refusal {
    /// Nobody of this code.
    #[error("There is no athlete {code} here. Enter the athlete first or pick another.")]
    UnknownAthlete {
        /// The code asked for.
        code: String,
    },
    /// A day of birth that has not come.
    #[error("{} as a date of birth lies ahead. Correct it.", words::day_and_year(*.date))]
    NotBornYet {
        /// The day given.
        date: Date,
    },
    /// No such rep or operation.
    #[error("That entry is not on record, so it cannot be changed. Reload the page.")]
    UnknownOperation {
        /// The id asked for.
        id: OperationId,
    },
    /// No such restriction.
    #[error("There is no restriction {name} to lift.")]
    UnknownRestriction {
        /// The name asked for.
        name: String,
    },
    /// A hard stop.
    #[error("{}", barred_sentence(.name, .what, &end_in_words(*.earliest, *.cleared_by), .ground, .instead.as_deref()))]
    Barred {
        /// The athlete's name.
        name: String,
        /// What is barred, in words.
        what: String,
        /// The earliest date it could end.
        earliest: Option<Date>,
        /// Whose clearance ends it; `None` where it ends by itself.
        cleared_by: Option<Clearance>,
        /// The rule or person behind it.
        ground: String,
        /// What to do instead.
        instead: Option<String>,
    },
    /// A change of bouts and camps that cannot stand.
    #[error(transparent)]
    Camp(#[from] CampRefusal),
    /// Against a rule of safety.
    #[error(transparent)]
    Safety(#[from] SafetyRefusal),
    /// Nothing is open.
    #[error("No evening is open. Open the evening at the desk first.")]
    NoEvening,
    /// Not an evening of today that was closed.
    #[error("Only an evening of today that was closed can go on. Open a new one at the desk.")]
    NothingToReopen,
    /// An evening is still open.
    #[error("The evening of {date} is still open. Close it before opening another.")]
    EveningStillOpen {
        /// Its date.
        date: Date,
    },
    /// No such station tonight.
    #[error("There is no station {number} tonight.")]
    UnknownStation {
        /// The number asked for.
        number: u8,
    },
    /// A change of the program that does not fit.
    #[error(transparent)]
    Program(#[from] ProgramRefusal),
    /// Something from paper that cannot be taken.
    #[error(transparent)]
    Paper(#[from] PaperRefusal),
    /// A number for a rep that nothing measured.
    #[error(
        "That rep was rated by eye and has no number. Undo it and enter the number as a new rep."
    )]
    RatedByEye,
    /// A load above what the ramp leaves.
    #[error("{} is too big a step for {name}. Next: {} at most.", words::kilograms(*.asked), words::kilograms(*.heaviest_next))]
    StepTooLarge {
        /// The athlete's name.
        name: String,
        /// Asked for.
        asked: Mass,
        /// Heaviest that may be hung next.
        heaviest_next: Mass,
    },
    /// Stepping off a box, and nobody says which.
    #[error("{exercise} needs a box. Set the one {name} steps off first.")]
    NoBox {
        /// The athlete's name.
        name: String,
        /// What is done.
        exercise: String,
    },
    /// A bout or open sparring is near, and no coach answers for it.
    #[error("{sentence}")]
    Unanswered {
        /// What is near, and what it needs.
        sentence: String,
    },
    /// A recording that is here already.
    #[error(
        "This recording is here already: {file}, filed for {athlete} on {}. It is not filed twice.",
        words::day_and_year(*.day)
    )]
    RecordingFiled {
        /// Name of the file it came in.
        file: String,
        /// Whose it is.
        athlete: String,
        /// Its day.
        day: Date,
    },
    /// A way of reading without a name.
    #[error("A way of reading is remembered under a name. Type one, such as: plate in the corner.")]
    ReadingWithoutName,
    /// A name under which no way of reading is remembered.
    #[error("No way of reading is remembered as \"{name}\". Reload the page.")]
    UnknownReading {
        /// The name.
        name: String,
    },
    /// An event that a kind of trial does not have, or a time that is none.
    #[error("The {event} of {kind} cannot be moved there. Set the recording aside instead.")]
    EventNotMovable {
        /// Which event.
        event: &'static str,
        /// Kind of trial.
        kind: &'static str,
    },
    /// A box above a cap.
    #[error("{asked_cm:.0} cm is above the cap of {cap_cm:.0} cm for {name}: {ground}.")]
    BoxTooHigh {
        /// Asked for.
        asked_cm: f64,
        /// The cap.
        cap_cm: f64,
        /// The athlete's name.
        name: String,
        /// Why there is a cap.
        ground: String,
    },
}

fn barred_sentence(
    name: &str,
    what: &str,
    end: &str,
    ground: &str,
    instead: Option<&str>,
) -> String {
    let instead = instead.map_or_else(String::new, |it| format!(" Instead: {it}."));
    let end = words::capitalised(end);
    format!("{name} is barred from {what}: {ground}. {end}.{instead}")
}
