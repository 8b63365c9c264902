//! The form of an exercise file, as serde reads it.

use std::collections::BTreeMap;

use serde::Deserialize;
use toml::Spanned;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ExerciseFile {
    #[serde(default)]
    pub measure: Vec<MeasureEntry>,
    #[serde(default)]
    pub fault: Vec<FaultEntry>,
    #[serde(default)]
    pub exercise: Vec<ExerciseEntry>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct MeasureEntry {
    pub kind: Spanned<String>,
    /// Absent for counts and indices.
    pub unit: Option<String>,
    pub decimals: usize,
    pub better: String,
    pub hard: [f64; 2],
    pub usual: [f64; 2],
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FaultEntry {
    pub tag: Spanned<String>,
    pub words: String,
    #[serde(default)]
    pub spoils_measure: bool,
    #[serde(default)]
    pub stops_set: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ExerciseEntry {
    pub id: Spanned<String>,
    pub name: String,
    #[serde(default)]
    pub also_called: Vec<String>,
    pub family: String,
    pub patterns: Vec<String>,
    pub qualities: Vec<String>,
    #[serde(default)]
    pub test: bool,
    /// Absent: both sides at once.
    pub sides: Option<String>,
    pub load: String,
    pub measures: Vec<String>,
    #[serde(default)]
    pub limits: BTreeMap<String, LimitsEntry>,
    #[serde(default)]
    pub targets: Vec<TargetEntry>,
    pub dose: DoseEntry,
    pub stop: Option<StopEntry>,
    pub cues: Vec<String>,
    #[serde(default)]
    pub faults: Vec<String>,
    #[serde(default)]
    pub fault_cues: BTreeMap<String, String>,
    #[serde(default)]
    pub cautions: Vec<String>,
    #[serde(default)]
    pub kit: Vec<String>,
    #[serde(default)]
    pub permissions: PermissionsEntry,
    #[serde(default)]
    pub swaps: Vec<SwapEntry>,
    #[serde(default)]
    pub facts: Vec<FactEntry>,
    /// Absent: common practice, no source.
    pub source: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct LimitsEntry {
    pub hard: Option<[f64; 2]>,
    pub usual: Option<[f64; 2]>,
    pub better: Option<String>,
    pub decimals: Option<usize>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct TargetEntry {
    pub measure: String,
    pub window: [f64; 2],
    pub source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct DoseEntry {
    pub sets: [u16; 2],
    pub repetitions: [u16; 2],
    pub hold_s: Option<[f64; 2]>,
    pub distance_m: Option<[f64; 2]>,
    pub rest_s: [f64; 2],
    pub intensity: Option<String>,
}

/// Either `drop` with `in_a_row`, or `under_window`.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct StopEntry {
    pub drop: Option<f64>,
    pub in_a_row: Option<u16>,
    pub under_window: Option<u16>,
}

#[derive(Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PermissionsEntry {
    pub barred_under_years: Option<u8>,
    pub confirm_under_years: Option<u8>,
    pub box_free_of_age_rules_cm: Option<f64>,
    #[serde(default)]
    pub box_caps: Vec<BoxCapEntry>,
    pub days_before_bout: Option<u16>,
    pub hours_from_sparring: Option<u16>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BoxCapEntry {
    pub above_body_mass_kg: f64,
    pub highest_box_cm: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SwapEntry {
    pub hurt: String,
    pub to: String,
    #[serde(default)]
    pub other_side: bool,
    pub note: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FactEntry {
    pub says: String,
    pub source: String,
}
