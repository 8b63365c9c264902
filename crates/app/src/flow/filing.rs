//! What is said of a recording, as a person types it on the page or the command line.

use crate::flow::day;
use crate::flow::house::House;
use crate::flow::reps_by_method::velocity_of;
use crate::flow::trace::Kind;
use crate::flow::traces;
use cornerwork_core::entry::decimal;
use cornerwork_core::exercise::{Exercise, ExerciseId, LoadModel};
use cornerwork_core::session::athlete::{Athlete, AthleteId};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::rep::Side;
use cornerwork_core::session::trace::Filing;
use cornerwork_core::units::{Length, Mass};

/// Stands for "as the name of the file says".
pub const BY_NAME: &str = "by-name";

/// What is said of some kinds of trial and means nothing for the others.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Detail {
    /// What hung on the bar, or the weight of a vest.
    Load,
    /// Which loaded jump or lift it was.
    Exercise,
    /// The box that was stepped off.
    Box,
    /// The effort goes sideways.
    Sideways,
    /// The bar is thrown or jumped with.
    Thrown,
}

impl Detail {
    /// Whether it means something for this kind.
    pub const fn belongs_to(self, kind: Kind) -> bool {
        match self {
            Self::Load => !matches!(kind, Kind::Isometric),
            Self::Exercise => {
                matches!(kind, Kind::CountermovementJump | Kind::SquatJump | Kind::Bar)
            }
            Self::Box => matches!(kind, Kind::DropJump),
            Self::Sideways => matches!(kind, Kind::Isometric),
            Self::Thrown => matches!(kind, Kind::Bar),
        }
    }

    /// Ids of the kinds it means something for, one after another.
    pub fn kinds(self) -> String {
        let ids: Vec<&str> =
            Kind::ALL.into_iter().filter(|kind| self.belongs_to(*kind)).map(Kind::id).collect();
        ids.join(" ")
    }
}

/// A filing as typed; what is blank is taken as usual.
#[derive(Clone, Debug, Default)]
pub struct TypedFiling {
    /// Code or name of the athlete, or [`BY_NAME`].
    pub athlete: String,
    /// Id of the kind, or [`BY_NAME`].
    pub kind: String,
    /// Stable name of the exercise.
    pub exercise: String,
    /// Short name of the side.
    pub side: String,
    /// Kilograms.
    pub load_kg: String,
    /// Centimetres.
    pub box_cm: String,
    /// The effort goes sideways.
    pub horizontal: bool,
    /// The bar is thrown or jumped with.
    pub ballistic: bool,
    /// 2026-09-23; today when blank.
    pub day: String,
}

impl TypedFiling {
    /// What is said of a file of this name. A box typed for a batch is the box of its drop jumps
    /// alone: what means nothing for the kind is left out.
    ///
    /// # Errors
    /// A sentence for what cannot be read.
    pub fn read(&self, house: &House, gym: &Gym, file: &str) -> Result<Filing, String> {
        let day = match self.day.trim() {
            "" => house.clock().today(),
            text => day::typed(text, "the recording")?,
        };
        let exercise = match self.exercise.trim() {
            "" => None,
            name => Some(ExerciseId::new(name).ok_or_else(|| {
                format!("There is no exercise \"{name}\" in the library. Pick another.")
            })?),
        };
        let box_height = match self.box_cm.trim() {
            "" => None,
            text => Some(Length::centimetres(number(text, "height of the box", "cm")?)),
        };
        let load = match self.load_kg.trim() {
            "" => Mass::ZERO,
            text => Mass::kilograms(number(text, "load", "kg")?),
        };
        let kind = self.kind(file)?;
        let means = |detail: Detail| detail.belongs_to(kind);
        Ok(traces::completed(Filing {
            athlete: self.athlete(gym, file)?,
            kind,
            exercise: exercise.filter(|_| means(Detail::Exercise)),
            side: Side::from_code(self.side.trim()),
            load: if means(Detail::Load) { load } else { Mass::ZERO },
            box_height: box_height.filter(|_| means(Detail::Box)),
            horizontal: self.horizontal && means(Detail::Sideways),
            ballistic: self.ballistic && means(Detail::Thrown),
            day,
        }))
    }

    fn athlete(&self, gym: &Gym, file: &str) -> Result<AthleteId, String> {
        let typed = self.athlete.trim();
        if typed == BY_NAME {
            return athlete_named_in(gym, file).ok_or_else(|| {
                format!("The name \"{file}\" names no athlete here. Pick one, or put the code into the name: A03 jump 1.csv.")
            });
        }
        if typed.is_empty() {
            return Err("Whose recording is it? Pick the athlete.".to_owned());
        }
        by_code_or_name(gym, typed).map(|athlete| athlete.id.clone())
    }

    fn kind(&self, file: &str) -> Result<Kind, String> {
        match self.kind.trim() {
            BY_NAME => kind_named_in(file).ok_or_else(|| {
                format!("The name \"{file}\" names no kind of trial. Pick one, or put it into the name: A03 countermovement 1.csv.")
            }),
            id => Kind::from_id(id)
                .ok_or_else(|| "What does the recording hold? Pick the kind of trial.".to_owned()),
        }
    }
}

/// A number with a point or a comma.
fn number(text: &str, what: &str, unit: &str) -> Result<f64, String> {
    decimal(text).ok_or_else(|| format!("\"{text}\" is no {what}. Type a number in {unit}."))
}

/// An athlete by code, else by whole name, else by given name where only one has it.
///
/// # Errors
/// A sentence when nobody or more than one fits.
pub fn by_code_or_name<'a>(gym: &'a Gym, typed: &str) -> Result<&'a Athlete, String> {
    let same = |one: &str| one.to_lowercase() == typed.to_lowercase();
    let by_code = AthleteId::new(typed).and_then(|code| gym.athlete(&code));
    if let Some(athlete) = by_code {
        return Ok(athlete);
    }
    let whole: Vec<&Athlete> = gym.athletes.values().filter(|one| same(&one.name)).collect();
    let given: Vec<&Athlete> = gym.athletes.values().filter(|one| same(one.given_name())).collect();
    match (whole.as_slice(), given.as_slice()) {
        ([athlete], _) | ([], [athlete]) => Ok(athlete),
        ([], []) => Err(format!(
            "There is no athlete \"{typed}\" here. Enter the athlete first or pick another."
        )),
        _ => Err(format!("More than one athlete is called \"{typed}\". Use the code.")),
    }
}

fn words_of(file: &str) -> Vec<String> {
    let stem = file.rsplit_once('.').map_or(file, |(stem, _)| stem);
    let words = stem.split(|letter: char| !letter.is_alphanumeric());
    words.filter(|word| !word.is_empty()).map(str::to_lowercase).collect()
}

/// The one athlete whose code, or whose given name, stands in the name of a file.
fn athlete_named_in(gym: &Gym, file: &str) -> Option<AthleteId> {
    let words = words_of(file);
    let stands = |name: &str| words.contains(&name.to_lowercase());
    let only = |fits: &dyn Fn(&Athlete) -> bool| {
        let mut found = gym.athletes.values().filter(|athlete| fits(athlete));
        found.next().filter(|_| found.next().is_none())
    };
    only(&|athlete| stands(athlete.id.as_str()))
        .or_else(|| only(&|athlete| stands(athlete.given_name())))
        .map(|athlete| athlete.id.clone())
}

/// Words, as people put them into names of files, and the kind they mean.
const KIND_WORDS: [(&str, Kind); 18] = [
    ("countermovement", Kind::CountermovementJump),
    ("cmj", Kind::CountermovementJump),
    ("squat", Kind::SquatJump),
    ("squatjump", Kind::SquatJump),
    ("sj", Kind::SquatJump),
    ("drop", Kind::DropJump),
    ("depth", Kind::DropJump),
    ("dj", Kind::DropJump),
    ("hop", Kind::RepeatedJump),
    ("hops", Kind::RepeatedJump),
    ("repeated", Kind::RepeatedJump),
    ("rebound", Kind::RepeatedJump),
    ("isometric", Kind::Isometric),
    ("iso", Kind::Isometric),
    ("pull", Kind::Isometric),
    ("imtp", Kind::Isometric),
    ("push", Kind::Isometric),
    ("bar", Kind::Bar),
];

fn kind_named_in(file: &str) -> Option<Kind> {
    let words = words_of(file);
    let mut kinds: Vec<Kind> = KIND_WORDS
        .iter()
        .filter(|(word, _)| words.iter().any(|one| one == word))
        .map(|(_, kind)| *kind)
        .collect();
    kinds.dedup();
    // Two kinds in one name say nothing.
    if let [kind] = kinds.as_slice() { Some(*kind) } else { None }
}

/// Exercises a recording can be of: jumps with a load, and lifts that can be judged by velocity.
pub fn exercises(house: &House) -> Vec<&Exercise> {
    let fits = |exercise: &&Exercise| {
        exercise.load_model == LoadModel::SystemMass || velocity_of(exercise).is_some()
    };
    let mut found: Vec<&Exercise> = house.exercises.in_order().iter().filter(fits).collect();
    found.sort_by(|one, other| one.name.cmp(&other.name));
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_name_of_a_file_says_what_it_holds() {
        assert_eq!(kind_named_in("A03_CMJ_2.csv"), Some(Kind::CountermovementJump));
        assert_eq!(kind_named_in("drop jump 30.txt"), Some(Kind::DropJump));
        assert_eq!(kind_named_in("isometric-pull.csv"), Some(Kind::Isometric));
        assert_eq!(kind_named_in("squat jump, bar on back.csv"), None, "two kinds");
        assert_eq!(kind_named_in("export.csv"), None);
        assert_eq!(words_of("A03_cmj.1.csv"), ["a03", "cmj", "1"]);
    }

    /// The definition of each trial: only a drop is from a box, only an effort without movement can
    /// be sideways, only a bar is thrown.
    #[test]
    fn what_means_nothing_for_a_kind_is_not_asked() {
        assert_eq!(Detail::Box.kinds(), "drop-jump");
        assert_eq!(Detail::Sideways.kinds(), "isometric");
        assert_eq!(Detail::Thrown.kinds(), "bar");
        assert!(
            Kind::ALL
                .iter()
                .all(|kind| Detail::Load.belongs_to(*kind) != (*kind == Kind::Isometric))
        );
        let exercised = [Kind::CountermovementJump, Kind::SquatJump, Kind::Bar];
        assert!(
            Kind::ALL
                .iter()
                .all(|kind| Detail::Exercise.belongs_to(*kind) == exercised.contains(kind))
        );
    }

    #[test]
    fn numbers_have_a_point_or_a_comma() {
        assert_eq!(number("52,5", "load", "kg"), Ok(52.5));
        assert!(number("heavy", "load", "kg").unwrap_err().contains("Type a number in kg"));
        assert!(number("NaN", "load", "kg").is_err());
    }
}
