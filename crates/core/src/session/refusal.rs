//! Why a change is refused. A refusal changes nothing and says what to do instead.

use crate::camp::camp_refusal::CampRefusal;
use crate::camp::safety_refusal::SafetyRefusal;
use crate::session::operation::OperationId;
use crate::session::paper::PaperRefusal;
use crate::session::program::ProgramRefusal;
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
    #[error("{}", barred_sentence(.name, .what, *.earliest, *.needs_clearance, .ground, .instead.as_deref()))]
    Barred {
        /// The athlete's name.
        name: String,
        /// What is barred, in words.
        what: String,
        /// The earliest date it could end.
        earliest: Option<Date>,
        /// Whether someone must clear it as well.
        needs_clearance: bool,
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
    /// A load jump too far above what was tried.
    #[error(
        "{asked_kg:.1} kg is {step_kg:.1} kg above the heaviest tried tonight ({heaviest_kg:.1} kg). \
         Step up by {cap_kg:.0} kg at most: {allowed_kg:.1} kg."
    )]
    StepTooLarge {
        /// Asked for.
        asked_kg: f64,
        /// Heaviest done tonight in this exercise.
        heaviest_kg: f64,
        /// The step asked for.
        step_kg: f64,
        /// Largest step allowed.
        cap_kg: f64,
        /// Heaviest load that may be hung now.
        allowed_kg: f64,
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
    earliest: Option<Date>,
    needs_clearance: bool,
    ground: &str,
    instead: Option<&str>,
) -> String {
    let mut sentence = format!("{name} is barred from {what}: {ground}.");
    match (earliest, needs_clearance) {
        (Some(date), true) => {
            sentence.push_str(&format!(
                " Earliest date {}, and it needs clearance.",
                words::day_and_year(date)
            ));
        }
        (Some(date), false) => {
            sentence.push_str(&format!(" Until {}.", words::day_and_year(date)));
        }
        (None, true) => sentence.push_str(" Until cleared."),
        (None, false) => {}
    }
    if let Some(instead) = instead {
        sentence.push_str(&format!(" Instead: {instead}."));
    }
    sentence
}
