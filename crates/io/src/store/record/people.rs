//! The gym, its athletes and their bouts as they are kept.

use super::scalar::{Number, Text, as_texts, values, words};
use cornerwork_core::session::athlete::{Athlete, AthleteId, Born, Sex, Stance};
use cornerwork_core::session::bout::Bout;
use cornerwork_core::session::operation::Change;
use cornerwork_core::units::Mass;
use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::Offset;
use serde::{Deserialize, Serialize};

words!(SexRecord, Sex { Female, Male });
words!(StanceRecord, Stance { Orthodox, Southpaw });

#[derive(Serialize, Deserialize)]
pub(super) struct GymNamed {
    pub name: String,
    pub invented: bool,
}

impl From<GymNamed> for Change {
    fn from(GymNamed { name, invented }: GymNamed) -> Self {
        Self::GymNamed { name, invented }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct AthleteEntered {
    id: Text<AthleteId>,
    name: String,
    sex: SexRecord,
    born: BornRecord,
    stance: StanceRecord,
    level: String,
}

/// A day of birth, or an age and the day it was told on.
#[derive(Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum BornRecord {
    On(Text<Date>),
    Aged { age_years: u8, told_on: Text<Date> },
}

impl From<Born> for BornRecord {
    fn from(born: Born) -> Self {
        match born {
            Born::On(date) => Self::On(Text(date)),
            Born::Aged { years, on } => Self::Aged { age_years: years, told_on: Text(on) },
        }
    }
}

impl From<BornRecord> for Born {
    fn from(record: BornRecord) -> Self {
        match record {
            BornRecord::On(date) => Self::On(date.0),
            BornRecord::Aged { age_years, told_on } => {
                Self::Aged { years: age_years, on: told_on.0 }
            }
        }
    }
}

impl From<Athlete> for AthleteEntered {
    fn from(Athlete { id, name, sex, born, stance, level }: Athlete) -> Self {
        let (sex, born, stance) = (sex.into(), born.into(), stance.into());
        Self { id: Text(id), name, sex, born, stance, level }
    }
}

impl From<AthleteEntered> for Change {
    fn from(record: AthleteEntered) -> Self {
        let AthleteEntered { id, name, sex, born, stance, level } = record;
        let (sex, born, stance) = (sex.into(), born.into(), stance.into());
        Self::AthleteEntered(Athlete { id: id.0, name, sex, born, stance, level })
    }
}

/// The first version had an age and no day: it was told when the entry was made.
#[derive(Deserialize)]
pub(super) struct AthleteEnteredWithAge {
    id: Text<AthleteId>,
    name: String,
    sex: SexRecord,
    age_years: u8,
    stance: StanceRecord,
    level: String,
}

impl AthleteEnteredWithAge {
    pub(super) fn entered_at(self, at: Timestamp) -> Change {
        let born = Born::Aged { years: self.age_years, on: latest_date_of(at) };
        Change::AthleteEntered(Athlete {
            id: self.id.0,
            name: self.name,
            sex: self.sex.into(),
            born,
            stance: self.stance.into(),
            level: self.level,
        })
    }
}

/// The latest date anywhere on Earth at a moment: the gym's own is not known here, and nobody
/// shall turn adult a day early.
fn latest_date_of(at: Timestamp) -> Date {
    Offset::constant(14).to_datetime(at).date()
}

#[derive(Serialize, Deserialize)]
pub(super) struct BodyMassMeasured {
    pub athlete: Text<AthleteId>,
    pub mass_kg: Number,
    pub at: Text<Timestamp>,
}

impl From<BodyMassMeasured> for Change {
    fn from(BodyMassMeasured { athlete, mass_kg, at }: BodyMassMeasured) -> Self {
        Self::BodyMassMeasured { athlete: athlete.0, mass: Mass::kilograms(mass_kg.0), at: at.0 }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct BoutAgreed {
    id: String,
    name: String,
    date: Text<Date>,
    athletes: Vec<Text<AthleteId>>,
}

impl From<Bout> for BoutAgreed {
    fn from(Bout { id, name, date, athletes }: Bout) -> Self {
        Self { id, name, date: Text(date), athletes: as_texts(athletes) }
    }
}

impl From<BoutAgreed> for Change {
    fn from(BoutAgreed { id, name, date, athletes }: BoutAgreed) -> Self {
        Self::BoutAgreed(Bout { id, name, date: date.0, athletes: values(athletes) })
    }
}
