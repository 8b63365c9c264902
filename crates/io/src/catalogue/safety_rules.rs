//! Reads the rules of stand-downs, check-weights and loss: those the program carries, or the
//! gym's own corrected copies beside its record.

use cornerwork_core::camp::body_mass::{CheckRule, LossLimit};
use cornerwork_core::camp::stand_down::{Length, Stoppage};
use cornerwork_core::camp::stand_down_rules::{
    BodyFacts, CountedFrom, Repeat, StandDownRule, StandDownRules,
};
use serde::Deserialize;
use std::path::Path;

/// Names of the files, carried and in a gym's folder.
const STAND_DOWN_FILE: &str = "stand_down_rules.toml";
const BODY_MASS_FILE: &str = "body_mass_rules.toml";
const STAND_DOWN: &str = include_str!("../../../../data/stand_down_rules.toml");
const BODY_MASS: &str = include_str!("../../../../data/body_mass_rules.toml");
const DEMO_STAND_DOWN: &str = include_str!("../../../../data/demo_stand_down_rules.toml");
const DEMO_BODY_MASS: &str = include_str!("../../../../data/demo_body_mass_rules.toml");

/// Rules of one gym.
#[derive(Clone, Debug, PartialEq)]
pub struct SafetyRules {
    /// Stand-downs, in the order of the file.
    pub stand_downs: StandDownRules,
    /// Check-weights with the body they are of.
    pub check_weights: Vec<CheckWeightRule>,
    /// Published limits of loss.
    pub loss_limits: Vec<LossLimit>,
}

/// One check-weight of one body.
#[derive(Clone, Debug, PartialEq)]
pub struct CheckWeightRule {
    /// Whose.
    pub body: String,
    /// The rule.
    pub rule: CheckRule,
    /// Where it was read.
    pub source: String,
    /// Whether it was read in the rule itself.
    pub confirmed: bool,
}

/// A rule file that cannot be used.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{file} cannot be used: {reason}")]
pub struct RuleFileError {
    file: String,
    reason: String,
}

impl SafetyRules {
    /// The rules the program carries; it fails only when it was built with a faulty file, which a
    /// test forbids.
    ///
    /// # Errors
    /// [`RuleFileError`].
    pub fn built_in() -> Result<Self, RuleFileError> {
        Self::from_toml(STAND_DOWN, BODY_MASS)
    }

    /// The rules of invented bodies, for a gym of invented people.
    ///
    /// # Errors
    /// As [`Self::built_in`].
    pub fn invented() -> Result<Self, RuleFileError> {
        Self::from_toml(DEMO_STAND_DOWN, DEMO_BODY_MASS)
    }

    /// A gym's own copies where its folder has them, else those the program carries.
    ///
    /// # Errors
    /// [`RuleFileError`] for a copy that cannot be read or used: a hard stop is never guessed.
    pub fn in_folder(folder: &Path) -> Result<Self, RuleFileError> {
        let text = |name: &str, carried: &str| match std::fs::read_to_string(folder.join(name)) {
            Ok(own) => Ok(own),
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(carried.to_owned()),
            Err(error) => Err(RuleFileError { file: name.to_owned(), reason: error.to_string() }),
        };
        Self::from_toml(&text(STAND_DOWN_FILE, STAND_DOWN)?, &text(BODY_MASS_FILE, BODY_MASS)?)
    }

    /// Rules from the text of both files.
    ///
    /// # Errors
    /// [`RuleFileError`]: not TOML, a field missing, unknown or without sense.
    pub fn from_toml(stand_downs: &str, body_mass: &str) -> Result<Self, RuleFileError> {
        let file: StandDownFile = read(STAND_DOWN_FILE, stand_downs)?;
        let stand_downs = StandDownRules::try_from(file)
            .map_err(|reason| RuleFileError { file: STAND_DOWN_FILE.to_owned(), reason })?;
        let mass: BodyMassFile = read(BODY_MASS_FILE, body_mass)?;
        Ok(Self {
            stand_downs,
            check_weights: mass.check_weight.into_iter().map(Into::into).collect(),
            loss_limits: mass.loss_limit.into_iter().map(Into::into).collect(),
        })
    }

    /// Bodies with a stand-down rule, each once, in the order of the file.
    pub fn stand_down_bodies(&self) -> Vec<&str> {
        each_once(self.stand_downs.rules.iter().map(|rule| rule.body.as_str()))
    }

    /// Bodies with check-weights, each once.
    pub fn check_bodies(&self) -> Vec<&str> {
        each_once(self.check_weights.iter().map(|rule| rule.body.as_str()))
    }

    /// The check-weights of a body.
    pub fn checks_of(&self, body: &str) -> Vec<CheckRule> {
        let of_body = self.check_weights.iter().filter(|rule| rule.body == body);
        of_body.map(|rule| rule.rule).collect()
    }
}

fn each_once<'a>(names: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    let mut seen: Vec<&str> = Vec::new();
    for name in names {
        if !seen.contains(&name) {
            seen.push(name);
        }
    }
    seen
}

fn read<F: for<'de> Deserialize<'de>>(file: &str, text: &str) -> Result<F, RuleFileError> {
    toml::from_str(text)
        .map_err(|error| RuleFileError { file: file.to_owned(), reason: error.to_string() })
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct StandDownFile {
    rule: Vec<FileRule>,
    #[serde(default)]
    body: Vec<FileBody>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FileBody {
    name: String,
    incomplete: Option<String>,
    #[serde(default)]
    way_back: Vec<String>,
    #[serde(default)]
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FileRule {
    body: String,
    after: Vec<String>,
    repeated: Option<FileRepeat>,
    out_days: Option<u16>,
    out_months: Option<u16>,
    needs_clearance: bool,
    seen: String,
    source: String,
    confidence: FileConfidence,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FileRepeat {
    times: u16,
    within_days: Option<u16>,
    within_months: Option<u16>,
    #[serde(default)]
    counted_from: FileCountedFrom,
    after_days_out: Option<u16>,
}

#[derive(Clone, Copy, Default, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum FileCountedFrom {
    #[default]
    Stoppage,
    EndOfSuspension,
}

impl From<FileCountedFrom> for CountedFrom {
    fn from(from: FileCountedFrom) -> Self {
        match from {
            FileCountedFrom::Stoppage => Self::Stoppage,
            FileCountedFrom::EndOfSuspension => Self::EndOfSuspension,
        }
    }
}

#[derive(Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum FileConfidence {
    Read,
    ToConfirm,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct BodyMassFile {
    #[serde(default)]
    check_weight: Vec<FileCheck>,
    #[serde(default)]
    loss_limit: Vec<FileLoss>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FileCheck {
    body: String,
    days_before_bout: u16,
    percent_over: f64,
    source: String,
    confidence: FileConfidence,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FileLoss {
    percent_a_week: f64,
    source: String,
    confidence: FileConfidence,
}

fn length(days: Option<u16>, months: Option<u16>, of: &str) -> Result<Length, String> {
    match (days, months) {
        (Some(days), None) if days > 0 => Ok(Length::Days(days)),
        (None, Some(months)) if months > 0 => Ok(Length::Months(months)),
        _ => Err(format!("a rule of {of} needs days or months, one of them, above nought")),
    }
}

impl TryFrom<StandDownFile> for StandDownRules {
    type Error = String;

    fn try_from(file: StandDownFile) -> Result<Self, String> {
        let rules = file.rule.into_iter().map(StandDownRule::try_from);
        let rules: Vec<StandDownRule> = rules.collect::<Result<_, _>>()?;
        let facts = |one: FileBody| {
            let ruled = rules.iter().any(|rule| rule.body == one.name);
            let unruled = || format!("\"{}\" has no rule in the file: check its name", one.name);
            let sourced = one.way_back.is_empty() || !one.source.trim().is_empty();
            let unsourced = || format!("the way back of {} needs a source", one.name);
            ruled.then_some(()).ok_or_else(unruled)?;
            sourced.then_some(()).ok_or_else(unsourced)?;
            let FileBody { name: body, incomplete, way_back, source } = one;
            Ok::<_, String>(BodyFacts { body, incomplete, way_back, source })
        };
        let bodies = file.body.into_iter().map(facts).collect::<Result<_, _>>()?;
        Ok(Self { rules, bodies })
    }
}

impl TryFrom<FileRule> for StandDownRule {
    type Error = String;

    fn try_from(rule: FileRule) -> Result<Self, String> {
        if rule.source.trim().is_empty() || rule.body.trim().is_empty() || rule.after.is_empty() {
            return Err("every rule needs a body, an ending and a source".to_owned());
        }
        let ending = |name: &String| {
            let unknown = || format!("\"{name}\" is no ending of the list");
            Stoppage::from_code(name).ok_or_else(unknown)
        };
        let repeated = |repeat: FileRepeat| {
            let within = length(repeat.within_days, repeat.within_months, &rule.body)?;
            let from = repeat.counted_from.into();
            let FileRepeat { times, after_days_out, .. } = repeat;
            Ok::<_, String>(Repeat { times, within, from, after_days_out })
        };
        Ok(Self {
            after: rule.after.iter().map(ending).collect::<Result<_, _>>()?,
            repeated: rule.repeated.map(repeated).transpose()?,
            out: length(rule.out_days, rule.out_months, &rule.body)?,
            body: rule.body,
            needs_clearance: rule.needs_clearance,
            version: rule.seen,
            source: rule.source,
            confirmed: rule.confidence == FileConfidence::Read,
        })
    }
}

impl From<FileCheck> for CheckWeightRule {
    fn from(check: FileCheck) -> Self {
        let FileCheck { body, days_before_bout, percent_over, source, confidence } = check;
        let confirmed = confidence == FileConfidence::Read;
        Self { body, rule: CheckRule { days_before_bout, percent_over }, source, confirmed }
    }
}

impl From<FileLoss> for LossLimit {
    fn from(limit: FileLoss) -> Self {
        let confirmed = limit.confidence == FileConfidence::Read;
        Self { percent_a_week: limit.percent_a_week, source: limit.source, confirmed }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_not_read_is_marked() {
        let rules = SafetyRules::built_in().unwrap();
        let open = rules.stand_downs.rules.iter().filter(|rule| !rule.confirmed);
        for rule in open {
            assert!(rule.source.contains("press") || rule.source == "from memory", "{rule:?}");
            let facts = rules.stand_downs.facts(&rule.body).unwrap();
            assert!(facts.incomplete.is_some(), "{rule:?}");
        }
        assert_eq!(rules.stand_downs.rules.iter().filter(|rule| !rule.confirmed).count(), 5);
        assert_eq!(rules.checks_of("WBC").len(), 3);
        assert_eq!(rules.checks_of("nobody"), []);
    }

    #[test]
    fn a_gyms_own_copy_is_used_and_a_faulty_one_stops_the_program() {
        let folder = tempfile::TempDir::new().unwrap();
        assert_eq!(SafetyRules::in_folder(folder.path()), SafetyRules::built_in());
        let own = STAND_DOWN.replacen("out_days = 28", "out_days = 35", 1);
        std::fs::write(folder.path().join(STAND_DOWN_FILE), &own).unwrap();
        let rules = SafetyRules::in_folder(folder.path()).unwrap();
        assert_eq!(rules.stand_downs.rules[0].out, Length::Days(35));
        for (good, bad, words) in [
            ("out_days = 28", "out_days = 0", "above nought"),
            ("out_days = 28\n", "", "needs days or months"),
            ("\"stopped-head-blows\"", "\"tired\"", "no ending of the list"),
            ("confidence = \"read\"", "confidence = \"sure\"", "to-confirm"),
            ("needs_clearance = true\n", "", "needs_clearance"),
            ("name = \"Wisconsin\"", "name = \"Wisconsn\"", "check its name"),
            ("\"end-of-suspension\" }", "\"some day\" }", "end-of-suspension"),
        ] {
            assert!(STAND_DOWN.contains(good), "{good}");
            let faulty = STAND_DOWN.replacen(good, bad, 1);
            std::fs::write(folder.path().join(STAND_DOWN_FILE), faulty).unwrap();
            let error = SafetyRules::in_folder(folder.path()).unwrap_err().to_string();
            assert!(error.contains(words), "{bad}: {error}");
        }
    }

    #[test]
    fn no_real_body_is_among_the_invented_ones() {
        let rules = SafetyRules::invented().unwrap();
        let bodies = [rules.stand_down_bodies(), rules.check_bodies()].concat();
        assert_eq!(bodies.len(), 2);
        assert!(bodies.iter().all(|body| body.ends_with("(invented)")), "{bodies:?}");
        // Limits of loss are of no body.
        assert_eq!(rules.loss_limits, SafetyRules::built_in().unwrap().loss_limits);
    }

    // A gym's own file from before bodies and ways of counting were written down.
    #[test]
    fn a_file_of_the_older_form_still_reads() {
        let older = r#"
            [[rule]]
            body = "the county"
            after = ["knocked-out"]
            repeated = { times = 2, within_days = 90 }
            out_days = 90
            needs_clearance = true
            seen = "2025"
            source = "the county's book"
            confidence = "read"
        "#;
        let rules = SafetyRules::from_toml(older, BODY_MASS).unwrap().stand_downs;
        let repeat = rules.rules[0].repeated.unwrap();
        assert_eq!((repeat.times, repeat.within), (2, Length::Days(90)));
        assert_eq!((repeat.from, repeat.after_days_out), (CountedFrom::Stoppage, None));
        assert_eq!(rules.facts("the county"), None);
    }
}
