//! An athlete as typed into the form, new or corrected, and an age in words.

use crate::flow::day;
use cornerwork_core::session::athlete::{Athlete, AthleteId, Born, Sex, Stance, next_code};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::ledger::Ledger;
use cornerwork_core::session::operation::{Change, Operation};
use cornerwork_core::words;
use jiff::civil::Date;
use std::ops::RangeInclusive;

/// Whom a gym takes in, in years.
const AGES: RangeInclusive<u8> = 6..=90;

/// What a form asks about an athlete; everything as typed.
#[derive(Clone, Debug, Default)]
pub struct TypedAthlete {
    /// Short code; empty for the next that is free. Of no use to a correction.
    pub code: String,
    /// Name.
    pub name: String,
    /// "female" or "male".
    pub sex: String,
    /// Date of birth.
    pub born: String,
    /// Age in years, where the birthday is not known.
    pub age: String,
    /// "orthodox" or "southpaw".
    pub stance: String,
    /// Level in words.
    pub level: String,
}

impl TypedAthlete {
    /// A new athlete.
    ///
    /// # Errors
    /// A sentence with what is missing or wrong.
    pub fn entered(&self, gym: &Gym, today: Date) -> Result<Athlete, String> {
        self.with_code(self.new_code(gym)?, None, today)
    }

    /// The athlete of this code with what was typed now. Left empty, the birthday stays as it was.
    ///
    /// # Errors
    /// A sentence with what is missing or wrong.
    pub fn corrected(&self, gym: &Gym, id: &AthleteId, today: Date) -> Result<Athlete, String> {
        let known = gym.athlete(id).ok_or_else(|| format!("There is no athlete {id} here."))?;
        self.with_code(known.id.clone(), Some(known.born), today)
    }

    fn new_code(&self, gym: &Gym) -> Result<AthleteId, String> {
        if self.code.trim().is_empty() {
            return next_code(gym.athletes.keys()).ok_or_else(|| "Type a code.".to_owned());
        }
        let id = AthleteId::new(&self.code);
        let id = id.ok_or("The code is one to eight letters and digits, like A08.")?;
        let taken = || Err(format!("The code {id} is taken. Choose another, or leave it empty."));
        if gym.athlete(&id).is_some() { taken() } else { Ok(id) }
    }

    fn with_code(
        &self,
        id: AthleteId,
        known: Option<Born>,
        today: Date,
    ) -> Result<Athlete, String> {
        let name = self.name.trim();
        if name.is_empty() || name.chars().count() > 80 {
            return Err("Type the athlete's name.".to_owned());
        }
        Ok(Athlete {
            id,
            name: name.to_owned(),
            sex: self.sex()?,
            born: self.born(known, today)?,
            stance: self.stance()?,
            level: self.level.trim().chars().take(60).collect(),
        })
    }

    fn sex(&self) -> Result<Sex, String> {
        match self.sex.as_str() {
            "female" => Ok(Sex::Female),
            "male" => Ok(Sex::Male),
            _ => Err("Choose female or male.".to_owned()),
        }
    }

    fn stance(&self) -> Result<Stance, String> {
        match self.stance.as_str() {
            "orthodox" => Ok(Stance::Orthodox),
            "southpaw" => Ok(Stance::Southpaw),
            _ => Err("Choose the stance.".to_owned()),
        }
    }

    /// A date of birth before an age; what was known before where neither is typed.
    fn born(&self, known: Option<Born>, today: Date) -> Result<Born, String> {
        let (date, age) = (self.born.trim(), self.age.trim());
        let born = match (date, age, known) {
            ("", "", Some(known)) => return Ok(known),
            ("", "", None) => {
                return Err("Type the date of birth, or the age if nobody knows it.".to_owned());
            }
            ("", age, _) => {
                let years = age.parse().map_err(|_| "Type the age in years, like 24.")?;
                Born::Aged { years, on: today }
            }
            (date, ..) => Born::On(day::typed(date, "a birthday")?),
        };
        let years = born.age_years(today);
        let (least, most) = (AGES.start(), AGES.end());
        let outside =
            || format!("That makes the age {years}. From {least} to {most} can be entered.");
        AGES.contains(&years).then_some(born).ok_or_else(outside)
    }
}

/// "22 years, born 14 March 2004", or how the age is known.
pub fn born_in_words(born: Born, today: Date) -> String {
    let years = words::counted(born.age_years(today), "year");
    match born {
        Born::On(date) => format!("{years}, born {}", words::day_and_year(date)),
        Born::Aged { years: told, on } => {
            format!("{years}, by the age entered ({told} on {})", words::day_and_year(on))
        }
    }
}

/// The last entry that corrected this athlete and stands; none while the first entry does.
pub fn last_correction<'a>(ledger: &'a Ledger, athlete: &AthleteId) -> Option<&'a Operation> {
    let of_athlete = |operation: &&Operation| matches!(&operation.change, Change::AthleteEntered(one) if one.id == *athlete);
    let standing = ledger.operations().iter().filter(of_athlete);
    standing.filter(|operation| ledger.stands(operation.id)).skip(1).last()
}

#[cfg(test)]
mod tests {
    use super::*;
    use cornerwork_core::session::operation::OperationId;
    use jiff::Timestamp;
    use jiff::civil::date;

    const TODAY: Date = date(2026, 9, 23);

    fn typed() -> TypedAthlete {
        TypedAthlete {
            name: "Ottilie Marrowby".into(),
            sex: "female".into(),
            born: "2008-09-24".into(),
            stance: "southpaw".into(),
            level: " novice ".into(),
            ..TypedAthlete::default()
        }
    }

    fn ledger_of(athletes: &[Athlete]) -> Ledger {
        let mut ledger = Ledger::default();
        for (athlete, number) in athletes.iter().zip(1..) {
            ledger.append(Operation {
                id: OperationId(number),
                at: Timestamp::UNIX_EPOCH,
                author: "Wren".into(),
                change: Change::AthleteEntered(athlete.clone()),
            });
        }
        ledger
    }

    #[test]
    fn a_code_is_made_where_none_is_typed() {
        let first = typed().entered(&Gym::default(), TODAY).unwrap();
        assert_eq!((first.id.as_str(), first.level.as_str()), ("A01", "novice"));
        assert!(first.is_junior(TODAY) && !first.is_junior(date(2026, 9, 24)));
        let ledger = ledger_of(&[first]);
        let second = typed().entered(ledger.gym(), TODAY).unwrap();
        assert_eq!(second.id.as_str(), "A02");
        let taken = TypedAthlete { code: "a01".into(), ..typed() };
        assert!(taken.entered(ledger.gym(), TODAY).unwrap_err().contains("A01 is taken"));
    }

    #[test]
    fn what_is_missing_is_asked_for() {
        let without = |change: fn(&mut TypedAthlete)| {
            let mut typed = typed();
            change(&mut typed);
            typed.entered(&Gym::default(), TODAY).unwrap_err()
        };
        assert_eq!(without(|typed| typed.sex.clear()), "Choose female or male.");
        assert_eq!(without(|typed| typed.name.clear()), "Type the athlete's name.");
        assert!(without(|typed| typed.born.clear()).contains("date of birth, or the age"));
        let baby = without(|typed| typed.born = "2024-09-24".into());
        assert_eq!(baby, "That makes the age 1. From 6 to 90 can be entered.");
    }

    #[test]
    fn a_correction_keeps_the_code_and_what_was_left_empty() {
        let aged = TypedAthlete { born: String::new(), age: "17".into(), ..typed() };
        let first = aged.entered(&Gym::default(), TODAY).unwrap();
        let ledger = ledger_of(std::slice::from_ref(&first));
        assert_eq!(last_correction(&ledger, &first.id), None);
        let mend = TypedAthlete {
            code: "Z99".into(),
            name: "Ottilie Marrowbie".into(),
            born: String::new(),
            stance: "orthodox".into(),
            ..typed()
        };
        let later = date(2027, 3, 1);
        let mended = mend.corrected(ledger.gym(), &first.id, later).unwrap();
        assert_eq!((&mended.id, mended.stance), (&first.id, Stance::Orthodox));
        assert_eq!(mended.born, Born::Aged { years: 17, on: TODAY });
        let ledger = ledger_of(&[first.clone(), mended]);
        assert_eq!(last_correction(&ledger, &first.id).unwrap().id, OperationId(2));
    }

    #[test]
    fn an_age_says_how_it_is_known() {
        let born = Born::On(date(2004, 3, 14));
        assert_eq!(born_in_words(born, TODAY), "22 years, born 14 March 2004");
        let aged = Born::Aged { years: 17, on: date(2026, 3, 10) };
        let words = "17 years, by the age entered (17 on 10 March 2026)";
        assert_eq!(born_in_words(aged, TODAY), words);
    }
}
