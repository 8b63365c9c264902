//! Reads the velocities of maximal reps.

use cornerwork_core::exercise::{Dimension, ExerciseId, MeasureKind};
use cornerwork_core::profile::load_velocity::{Confidence, Threshold, ThresholdRow};
use cornerwork_core::units::Velocity;
use serde::{Deserialize, Deserializer, de::Error};

/// The file the program carries.
const BUILT_IN: &str = include_str!("../../../../data/velocity_thresholds.toml");

/// Published velocities, in the order of the file.
#[derive(Clone, Debug, PartialEq)]
pub struct VelocityThresholds {
    /// Velocity at the one-repetition maximum, by lift and people.
    pub thresholds: Vec<ThresholdRow>,
}

/// A threshold file that cannot be used, with the line and what is wrong there.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("The file of velocity thresholds cannot be used: {0}")]
pub struct ThresholdFileError(String);

impl VelocityThresholds {
    /// The file the program carries. It fails only when the program was built with a faulty file,
    /// which a test forbids.
    ///
    /// # Errors
    /// [`ThresholdFileError`].
    pub fn built_in() -> Result<Self, ThresholdFileError> {
        Self::from_toml(BUILT_IN)
    }

    /// A file of thresholds.
    ///
    /// # Errors
    /// [`ThresholdFileError`]: not TOML, a field missing, unknown or outside its range.
    pub fn from_toml(text: &str) -> Result<Self, ThresholdFileError> {
        let file: File =
            toml::from_str(text).map_err(|error| ThresholdFileError(error.to_string()))?;
        Ok(Self { thresholds: file.threshold.into_iter().map(ThresholdRow::from).collect() })
    }

    /// The thresholds of one lift in one measure: those for people in general first.
    pub fn of(&self, exercise: &ExerciseId, measure: MeasureKind) -> Vec<&ThresholdRow> {
        let mut rows: Vec<&ThresholdRow> = self
            .thresholds
            .iter()
            .filter(|row| row.exercise == *exercise && row.measure == measure)
            .collect();
        rows.sort_by_key(|row| !row.people.is_empty());
        rows
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[serde(default)]
    threshold: Vec<FileThreshold>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FileThreshold {
    #[serde(deserialize_with = "exercise_id")]
    exercise: ExerciseId,
    #[serde(default)]
    people: String,
    #[serde(deserialize_with = "velocity_measure")]
    measure: MeasureKind,
    #[serde(deserialize_with = "positive_velocity")]
    velocity_m_s: Velocity,
    #[serde(default, deserialize_with = "some_positive_velocity")]
    sd_m_s: Option<Velocity>,
    #[serde(deserialize_with = "named_source")]
    source: String,
    confidence: FileConfidence,
}

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum FileConfidence {
    Confirmed,
    FromMemory,
}

impl From<FileConfidence> for Confidence {
    fn from(confidence: FileConfidence) -> Self {
        match confidence {
            FileConfidence::Confirmed => Self::Confirmed,
            FileConfidence::FromMemory => Self::FromMemory,
        }
    }
}

impl From<FileThreshold> for ThresholdRow {
    fn from(row: FileThreshold) -> Self {
        Self {
            exercise: row.exercise,
            people: row.people,
            measure: row.measure,
            threshold: Threshold {
                velocity: row.velocity_m_s,
                sd: row.sd_m_s,
                source: row.source,
                confidence: row.confidence.into(),
            },
        }
    }
}

fn exercise_id<'de, D: Deserializer<'de>>(from: D) -> Result<ExerciseId, D::Error> {
    let text = String::deserialize(from)?;
    ExerciseId::new(&text)
        .ok_or_else(|| D::Error::custom("an exercise is lower-case words joined by hyphens"))
}

fn velocity_measure<'de, D: Deserializer<'de>>(from: D) -> Result<MeasureKind, D::Error> {
    let text = String::deserialize(from)?;
    MeasureKind::from_id(&text)
        .filter(|kind| kind.dimension() == Dimension::Velocity)
        .ok_or_else(|| D::Error::custom("the measure is mean-velocity or peak-velocity"))
}

fn positive_velocity<'de, D: Deserializer<'de>>(from: D) -> Result<Velocity, D::Error> {
    let metres_per_second = f64::deserialize(from)?;
    if metres_per_second > 0.0 && metres_per_second < 10.0 {
        Ok(Velocity::metres_per_second(metres_per_second))
    } else {
        Err(D::Error::custom("a velocity lies above 0 and under 10 m/s; leave out what is unknown"))
    }
}

fn some_positive_velocity<'de, D: Deserializer<'de>>(
    from: D,
) -> Result<Option<Velocity>, D::Error> {
    positive_velocity(from).map(Some)
}

fn named_source<'de, D: Deserializer<'de>>(from: D) -> Result<String, D::Error> {
    let source = String::deserialize(from)?;
    if source.trim().is_empty() {
        Err(D::Error::custom("every number needs a source, or \"common practice, no source\""))
    } else {
        Ok(source)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn published(exercise: &str, measure: MeasureKind) -> Vec<(String, f64, Option<f64>)> {
        VelocityThresholds::built_in()
            .unwrap()
            .of(&ExerciseId::new(exercise).unwrap(), measure)
            .into_iter()
            .map(|row| {
                let threshold = &row.threshold;
                let sd = threshold.sd.map(Velocity::in_metres_per_second);
                (row.people.clone(), threshold.velocity.in_metres_per_second(), sd)
            })
            .collect()
    }

    // González-Badillo and Sánchez-Medina 2010, Int J Sports Med 31:347: 0.16 (0.04) m/s;
    // Helms et al. 2017, J Strength Cond Res 31:292: 0.10 (0.04), 0.23 (0.05), 0.14 (0.05) m/s;
    // Sánchez-Medina et al. 2017, Sports Med Int Open 1:E80: 0.32 (0.03) m/s;
    // Suchomel et al. 2024, J Strength Cond Res 38:1321: peak 1.74 (0.30) m/s.
    #[test]
    fn the_file_holds_the_published_velocities() {
        let mean = MeasureKind::MeanVelocity;
        let people = "powerlifters".to_owned();
        assert_eq!(
            published("bench-press", mean),
            [(String::new(), 0.16, Some(0.04)), (people.clone(), 0.10, Some(0.04))]
        );
        assert_eq!(
            published("back-squat", mean),
            [(String::new(), 0.32, Some(0.03)), (people.clone(), 0.23, Some(0.05))]
        );
        assert_eq!(published("deadlift", mean), [(people, 0.14, Some(0.05))]);
        assert_eq!(published("trap-bar-deadlift", mean), [(String::new(), 0.25, None)]);
        assert_eq!(
            published("hang-power-clean", MeasureKind::PeakVelocity),
            [(String::new(), 1.74, Some(0.30))]
        );
        assert_eq!(published("hang-power-clean", mean), []);
    }

    #[test]
    fn every_row_has_a_source_and_no_two_rows_answer_the_same_question() {
        let read = VelocityThresholds::built_in().unwrap();
        assert_eq!(read.thresholds.len(), 11);
        for (at, row) in read.thresholds.iter().enumerate() {
            assert!(row.threshold.source.len() > 10, "{row:?}");
            let same = |other: &&ThresholdRow| {
                (&other.exercise, &other.people, other.measure)
                    == (&row.exercise, &row.people, row.measure)
            };
            assert_eq!(read.thresholds[..at].iter().find(same), None);
        }
    }

    #[test]
    fn a_faulty_file_is_refused_with_its_line() {
        let row = |change: (&str, &str)| {
            "[[threshold]]\nexercise = \"bench-press\"\nmeasure = \"mean-velocity\"\n\
             velocity_m_s = 0.16\nsource = \"a paper\"\nconfidence = \"confirmed\"\n"
                .replace(change.0, change.1)
        };
        assert!(VelocityThresholds::from_toml(&row(("", ""))).is_ok());
        for (good, bad, line, words) in [
            ("\"a paper\"", "\" \"", "line 5", "needs a source"),
            ("source = \"a paper\"\n", "", "line 1", "missing field `source`"),
            ("0.16", "0.0", "line 4", "leave out what is unknown"),
            ("0.16", "nan", "line 4", "leave out what is unknown"),
            ("mean-velocity", "power", "line 3", "mean-velocity or peak-velocity"),
            ("bench-press", "Bench Press", "line 2", "joined by hyphens"),
            ("confirmed", "sure", "line 6", "from-memory"),
            ("confidence", "confidense", "line 6", "confidense"),
        ] {
            let error = VelocityThresholds::from_toml(&row((good, bad))).unwrap_err().to_string();
            assert!(error.contains(line) && error.contains(words), "{bad}: {error}");
        }
    }
}
