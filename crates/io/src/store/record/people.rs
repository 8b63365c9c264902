//! The gym, its athletes and their bouts as they are kept.

use super::scalar::{Number, Text, as_texts, values, words};
use cornerwork_core::session::athlete::{Athlete, AthleteId, Sex, Stance};
use cornerwork_core::session::bout::Bout;
use cornerwork_core::session::operation::Change;
use cornerwork_core::units::Mass;
use jiff::Timestamp;
use jiff::civil::Date;
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
    age_years: u8,
    stance: StanceRecord,
    level: String,
}

impl From<Athlete> for AthleteEntered {
    fn from(Athlete { id, name, sex, age_years, stance, level }: Athlete) -> Self {
        Self { id: Text(id), name, sex: sex.into(), age_years, stance: stance.into(), level }
    }
}

impl From<AthleteEntered> for Change {
    fn from(record: AthleteEntered) -> Self {
        let AthleteEntered { id, name, sex, age_years, stance, level } = record;
        Self::AthleteEntered(Athlete {
            id: id.0,
            name,
            sex: sex.into(),
            age_years,
            stance: stance.into(),
            level,
        })
    }
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
