//! What an operation about safety, consent, load and the close of a session changes.

use crate::camp::body_mass::MassLimit;
use crate::camp::consent::Consent;
use crate::camp::permission::{Role, Signed};
use crate::camp::stand_down::StoppageRecord;
use crate::camp::stop_sign::StopSign;
use crate::camp::training_load::ClosedSession;
use crate::exercise::ExerciseId;
use crate::session::athlete::AthleteId;
use crate::session::restriction::RestrictionId;
use crate::units::Length;
use crate::words;
use jiff::civil::Date;

/// Someone who works here or speaks for a minor.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Member {
    /// The name, unique here.
    pub name: String,
    /// What they are here for.
    pub role: Role,
    /// The number they sign in with as it is kept, a salted hash; absent for someone who has none
    /// yet.
    pub pin: Option<String>,
    /// Whether they asked for it themselves: nobody else was shown it then.
    pub pin_is_private: bool,
    /// The child a guardian speaks for.
    pub child: Option<AthleteId>,
}

/// A number of someone's own that was replaced by another's word, for whoever doubts a word given
/// under it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TakenOver {
    /// The day.
    pub on: Date,
    /// Whose word.
    pub by: Signed,
    /// Why.
    pub reason: String,
}

impl TakenOver {
    /// "5 November 2026 by Wren Alderquist, strength and conditioning coach: lost the slip".
    pub fn words(&self) -> String {
        format!("{} by {}: {}", words::day_and_year(self.on), self.by.words(), self.reason)
    }
}

/// A box above the cap for a minor, confirmed by the coach.
#[derive(Clone, Debug, PartialEq)]
pub struct BoxConfirmation {
    /// For whom.
    pub athlete: AthleteId,
    /// In which exercise.
    pub exercise: ExerciseId,
    /// Up to which height.
    pub highest: Length,
    /// Through which day.
    pub until: Date,
    /// Whose word.
    pub by: Signed,
    /// Why.
    pub reason: String,
}

/// One such change.
#[derive(Clone, Debug, PartialEq)]
pub enum SafetyChange {
    /// A session closed with how hard it was and what comes next.
    SessionClosed(ClosedSession),
    /// A limit agreed for a bout; `None` takes it away.
    LimitAgreed {
        /// Whose.
        athlete: AthleteId,
        /// The limit.
        limit: Option<MassLimit>,
    },
    /// An athlete was stopped, or hurt by blows to the head: the stand-down begins.
    Stopped(StoppageRecord),
    /// A doctor keeps an athlete out for longer.
    OutExtended {
        /// Which restriction.
        restriction: RestrictionId,
        /// To which date.
        until: Date,
        /// Whose word.
        by: Signed,
    },
    /// A restriction that needed clearance is ended by someone entitled to.
    Cleared {
        /// Which restriction.
        restriction: RestrictionId,
        /// The day of the examination.
        on: Date,
        /// Whose word.
        by: Signed,
    },
    /// A sign was seen that ends the athlete's session.
    StopSignSeen {
        /// Whose.
        athlete: AthleteId,
        /// Which.
        sign: StopSign,
        /// The day at the gym.
        on: Date,
    },
    /// Consent given or withdrawn.
    Consented(Consent),
    /// A box above a minor's cap confirmed.
    BoxConfirmed(BoxConfirmation),
    /// Someone who works here, or their facts anew.
    MemberEntered(Member),
    /// Someone who has a number of their own, entered anew by the coach: the number is gone, and
    /// the record says so for good.
    MemberTakenOver {
        /// As they are from now on.
        member: Member,
        /// By whom and why.
        taken: TakenOver,
    },
    /// Whose athlete someone is: the head coach the line after a session goes to.
    HeadCoachNamed {
        /// The athlete.
        athlete: AthleteId,
        /// The head coach's name; `None` for nobody.
        name: Option<String>,
    },
    /// A medical note, for medical people.
    MedicalNoted {
        /// About whom.
        athlete: AthleteId,
        /// The day.
        on: Date,
        /// What it says.
        text: String,
        /// Whose.
        by: Signed,
    },
    /// A private note of an athlete who opted in.
    CycleNoted {
        /// Whose.
        athlete: AthleteId,
        /// The day.
        on: Date,
        /// How much it bothers: 0 not at all, 3 much.
        symptoms: u8,
        /// What it says; may be empty.
        text: String,
    },
    /// An athlete was deleted with everything about them. It names nobody.
    AthleteForgotten {
        /// How many entries went.
        entries: u32,
        /// The day.
        on: Date,
    },
}
