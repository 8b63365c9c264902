//! Consent: given or not, by whom, for what, and withdrawn as easily as given.

use crate::camp::permission::Role;
use crate::session::athlete::{Athlete, AthleteId};
use jiff::civil::Date;

/// What consent is asked for, each apart from the others.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ConsentTo {
    /// To train here and have it recorded; asked of a minor's guardian.
    Training,
    /// Notes on health.
    HealthNotes,
    /// Notes on the cycle and on mood.
    CycleAndMood,
    /// Photo and video.
    Photo,
    /// Numbers without a name in the squad's norms.
    SquadNorms,
    /// Sharing with a federation or promoter.
    Federation,
}

impl ConsentTo {
    /// Every matter.
    pub const ALL: [Self; 6] = [
        Self::Training,
        Self::HealthNotes,
        Self::CycleAndMood,
        Self::Photo,
        Self::SquadNorms,
        Self::Federation,
    ];

    /// Short stable name.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Training => "training",
            Self::HealthNotes => "health-notes",
            Self::CycleAndMood => "cycle-and-mood",
            Self::Photo => "photo",
            Self::SquadNorms => "squad-norms",
            Self::Federation => "federation",
        }
    }

    /// The matter of this name.
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.code() == code)
    }

    /// Plain words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Training => "training here",
            Self::HealthNotes => "notes on health",
            Self::CycleAndMood => "notes on cycle and mood",
            Self::Photo => "photo and video",
            Self::SquadNorms => "squad norms without a name",
            Self::Federation => "sharing with a federation",
        }
    }
}

/// Who speaks for the athlete.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Giver {
    /// The athlete.
    Athlete,
    /// A minor's parent or guardian.
    Guardian,
}

impl Giver {
    /// Short stable name, which is a plain word too.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Athlete => "athlete",
            Self::Guardian => "guardian",
        }
    }
    /// The giver of this name.
    pub fn from_code(code: &str) -> Option<Self> {
        [Self::Athlete, Self::Guardian].into_iter().find(|giver| giver.code() == code)
    }
}

/// Consent given or refused on a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Consent {
    /// Whose.
    pub athlete: AthleteId,
    /// To what.
    pub to: ConsentTo,
    /// Yes, or no.
    pub given: bool,
    /// In which capacity.
    pub giver: Giver,
    /// The name of whoever gave it.
    pub name: String,
    /// With which roles notes may be shared; meaningful for [`ConsentTo::CycleAndMood`] alone.
    pub shared_with: Vec<Role>,
    /// The day.
    pub on: Date,
}

/// Whether an athlete's latest words amount to consent on a day: an adult's own; of a minor the guardian's
/// always, and for all but training the minor's own as well. Nothing said is no.
pub fn stands(consents: &[Consent], athlete: &Athlete, to: ConsentTo, on: Date) -> bool {
    let latest = |giver: Giver| {
        let said = consents.iter().rev().find(|one| one.to == to && one.giver == giver);
        said.is_some_and(|one| one.given)
    };
    match (athlete.is_junior(on), to) {
        (false, _) => latest(Giver::Athlete),
        (true, ConsentTo::Training) => latest(Giver::Guardian),
        (true, _) => latest(Giver::Guardian) && latest(Giver::Athlete),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::athlete::{Born, Sex, Stance};
    use jiff::civil::date;

    const TODAY: Date = date(2026, 9, 23);

    fn athlete(years: u8) -> Athlete {
        Athlete {
            id: AthleteId::new("A06").unwrap(),
            name: "Suhaila Merrowdene".into(),
            sex: Sex::Female,
            born: Born::Aged { years, on: TODAY },
            stance: Stance::Orthodox,
            level: String::new(),
        }
    }

    fn said(giver: Giver, to: ConsentTo, given: bool) -> Consent {
        Consent {
            athlete: AthleteId::new("A06").unwrap(),
            to,
            given,
            giver,
            name: "someone".into(),
            shared_with: vec![],
            on: jiff::civil::date(2026, 8, 10),
        }
    }

    #[test]
    fn nothing_said_is_no() {
        for to in ConsentTo::ALL {
            assert!(!stands(&[], &athlete(24), to, TODAY));
            assert!(!stands(&[], &athlete(16), to, TODAY));
        }
    }

    #[test]
    fn a_minor_needs_the_guardian_and_for_photos_the_own_word_too() {
        let minor = athlete(16);
        let guardian = said(Giver::Guardian, ConsentTo::Photo, true);
        let own = said(Giver::Athlete, ConsentTo::Photo, true);
        assert!(!stands(std::slice::from_ref(&own), &minor, ConsentTo::Photo, TODAY));
        assert!(!stands(std::slice::from_ref(&guardian), &minor, ConsentTo::Photo, TODAY));
        assert!(stands(&[own, guardian], &minor, ConsentTo::Photo, TODAY));
        let training = said(Giver::Guardian, ConsentTo::Training, true);
        assert!(stands(&[training], &minor, ConsentTo::Training, TODAY));
    }

    #[test]
    fn on_the_eighteenth_birthday_the_own_word_counts_alone() {
        let turning = Athlete { born: Born::On(date(2008, 9, 24)), ..athlete(17) };
        let own = [said(Giver::Athlete, ConsentTo::Photo, true)];
        assert!(!stands(&own, &turning, ConsentTo::Photo, TODAY));
        assert!(stands(&own, &turning, ConsentTo::Photo, date(2026, 9, 24)));
    }

    #[test]
    fn the_latest_word_counts() {
        let yes = said(Giver::Athlete, ConsentTo::Photo, true);
        let no = said(Giver::Athlete, ConsentTo::Photo, false);
        assert!(!stands(&[yes.clone(), no.clone()], &athlete(24), ConsentTo::Photo, TODAY));
        assert!(stands(&[no, yes], &athlete(24), ConsentTo::Photo, TODAY));
    }
}
