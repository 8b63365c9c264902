//! Reads the evenings a coach can start from.

use super::exercises::Exercises;
use cornerwork_core::exercise::{ExerciseId, Span};
use cornerwork_core::session::program::{Block, Intensity, Purpose, SessionId, SessionPlan};
use cornerwork_core::units::{Duration, Mass, Velocity};
use jiff::civil::{Time, time};
use serde::Deserialize;

/// The file the program carries.
const BUILT_IN: &str = include_str!("../../../../data/templates.toml");
/// When the stations begin, where nobody says otherwise: twenty minutes after the doors, for
/// warming up.
const STARTS: Time = time(18, 20, 0, 0);

/// A file of templates that cannot be used, with what is wrong.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("The file of templates cannot be used: {0}")]
pub struct TemplateFileError(String);

/// The templates the program carries, in the order of the file.
///
/// # Errors
/// Only when the program was built with a faulty file, which a test forbids.
pub fn built_in(exercises: &Exercises) -> Result<Vec<SessionPlan>, TemplateFileError> {
    from_toml(BUILT_IN, exercises)
}

/// Templates of a file, each checked like one typed.
///
/// # Errors
/// [`TemplateFileError`] for the first template that cannot stand.
pub fn from_toml(text: &str, exercises: &Exercises) -> Result<Vec<SessionPlan>, TemplateFileError> {
    let file: File = toml::from_str(text).map_err(|error| TemplateFileError(error.to_string()))?;
    file.template.iter().map(|entry| template(entry, exercises)).collect()
}

fn template(
    entry: &TemplateEntry,
    exercises: &Exercises,
) -> Result<SessionPlan, TemplateFileError> {
    let wrong = |what: String| TemplateFileError(format!("{}: {what}", entry.id));
    let id = SessionId::new(&entry.id)
        .ok_or_else(|| wrong("an id is lower-case words joined by hyphens".to_owned()))?;
    let purpose = Purpose::from_id(&entry.purpose)
        .ok_or_else(|| wrong(format!("\"{}\" is no purpose", entry.purpose)))?;
    let blocks = (1..)
        .zip(&entry.block)
        .map(|(station, block)| {
            let known = ExerciseId::new(&block.exercise).filter(|id| exercises.get(id).is_some());
            let exercise = known.ok_or_else(|| {
                wrong(format!("\"{}\" is not in the exercise library", block.exercise))
            })?;
            Ok(Block {
                station,
                exercise,
                sets: block.sets,
                reps: block.reps,
                rest: Duration::seconds(block.rest_s),
                intensity: block.intensity().map_err(&wrong)?,
                stop: None,
            })
        })
        .collect::<Result<Vec<_>, _>>()?;
    let plan = SessionPlan {
        id,
        name: entry.name.clone(),
        purpose,
        date: None,
        starts: STARTS,
        minutes: entry.minutes,
        blocks,
        people: Vec::new(),
        exceptions: Vec::new(),
        source: entry.source.clone(),
    };
    plan.check().map_err(|refusal| wrong(refusal.to_string()))?;
    Ok(plan)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[serde(default)]
    template: Vec<TemplateEntry>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct TemplateEntry {
    id: String,
    name: String,
    purpose: String,
    minutes: u16,
    source: String,
    block: Vec<BlockEntry>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct BlockEntry {
    exercise: String,
    sets: u32,
    reps: u32,
    rest_s: f64,
    peak_momentum: Option<f64>,
    velocity: Option<[f64; 2]>,
    one_rep_max: Option<f64>,
    #[serde(default, rename = "box")]
    by_box_rule: bool,
    hold_s: Option<f64>,
    load_kg: Option<f64>,
}

impl BlockEntry {
    fn intensity(&self) -> Result<Intensity, String> {
        let window = |ends: [f64; 2]| {
            let [low, high] = ends.map(Velocity::metres_per_second);
            Span::new(low, high).map(|window| Intensity::Velocity { window })
        };
        let velocity = match self.velocity {
            Some(ends) => Some(window(ends).ok_or_else(|| {
                format!("velocity of {}: write the lower number first", self.exercise)
            })?),
            None => None,
        };
        let named: Vec<Intensity> = [
            self.peak_momentum.map(|share| Intensity::PeakMomentum { share }),
            velocity,
            self.one_rep_max.map(|share| Intensity::OneRepMax { share }),
            self.by_box_rule.then_some(Intensity::BoxRule),
            self.hold_s.map(|hold| Intensity::Isometric { hold: Duration::seconds(hold) }),
            self.load_kg.map(|load| Intensity::Fixed { load: Mass::kilograms(load) }),
        ]
        .into_iter()
        .flatten()
        .collect();
        match named.as_slice() {
            [] => Ok(Intensity::BodyWeight),
            [only] => Ok(*only),
            _ => Err(format!("{} names more than one way to find its load", self.exercise)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What a template's words name, its stations have.
    #[test]
    fn words_and_stations_of_a_template_agree() {
        let exercises = Exercises::built_in().unwrap();
        for template in built_in(&exercises).unwrap() {
            let done =
                |word: &str| template.blocks.iter().any(|one| one.exercise.as_str().contains(word));
            for word in ["jump", "throw", "jerk", "push", "pull", "hold", "press"] {
                let named = template.source.split(|c: char| !c.is_alphabetic());
                let named = named.into_iter().any(|said| said.trim_end_matches('s') == word);
                assert!(!named || done(word), "{}: no station has a {word}", template.name);
            }
        }
    }

    #[test]
    fn the_built_in_templates_stand_and_cover_the_phases_of_a_camp() {
        let exercises = Exercises::built_in().unwrap();
        let templates = built_in(&exercises).unwrap();
        for purpose in [
            Purpose::Strength,
            Purpose::StrengthSpeed,
            Purpose::Power,
            Purpose::Taper,
            Purpose::Test,
        ] {
            let of_it: Vec<_> = templates.iter().filter(|one| one.purpose == purpose).collect();
            assert_eq!(of_it.len(), 1, "{}", purpose.words());
            assert!(of_it[0].source.contains("common practice"), "{}", of_it[0].name);
        }
        // The evening of the usual four stations: 56 reps an athlete, sides counted.
        let power = &templates[0];
        let reps: u32 = (power.blocks.iter())
            .map(|block| {
                let sides = exercises.get(&block.exercise).unwrap().sides;
                let sides = if sides == cornerwork_core::exercise::Sides::None { 1 } else { 2 };
                block.sets * block.reps * sides
            })
            .sum();
        assert_eq!(reps, 12 + 18 + 10 + 16);
    }

    #[test]
    fn what_is_wrong_is_said_with_the_template() {
        let exercises = Exercises::built_in().unwrap();
        let file = |line: &str| {
            let text = format!(
                "[[template]]\nid = \"x\"\nname = \"X\"\npurpose = \"power\"\nminutes = 60\n\
                 source = \"none\"\n[[template.block]]\nexercise = \"depth-jump\"\nsets = 3\n\
                 reps = 3\nrest_s = 90\n{line}"
            );
            from_toml(&text, &exercises).map_err(|error| error.to_string())
        };
        assert!(file("").is_ok());
        let twice = file("box = true\nhold_s = 3").unwrap_err();
        assert!(twice.contains("x: depth-jump names more than one way"), "{twice}");
        let turned = file("velocity = [2.0, 1.0]").unwrap_err();
        assert!(turned.contains("write the lower number first"), "{turned}");
        assert!(file("hold_s = 900").unwrap_err().contains("hold in seconds cannot be 900"));
    }
}
