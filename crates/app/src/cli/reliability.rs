//! `reliability`: how far a test strays when nothing has changed.

use crate::cli::answer::{
    AnswerArguments, LevelArgument, NoteObject, columns, note_objects, notes_in_words,
    save_picture, wrapped,
};
use crate::cli::noise::published_test;
use crate::cli::repeats::{RepeatTable, Repeats};
use crate::cli::values::with_unit;
use clap::Args;
use cornerwork_core::estimate::{Estimate, Interval};
use cornerwork_core::note::Note;
use cornerwork_core::profile::published_noise::{PublishedNoise, WeighedNoise};
use cornerwork_core::report::figure::{Axis, Band, Decimals, Mark, Now, Strip};
use cornerwork_core::stats::reliability::{self, Reliability};
use cornerwork_core::working::Working;
use serde::Serialize;
use std::path::PathBuf;

/// What `reliability` takes.
#[derive(Args)]
pub(super) struct ReliabilityArguments {
    /// Table of repeats of one test, one row a trial: athlete, trial, and value, or value_cm,
    /// value_m_s, value_n and the like. Trials are numbers or dates. `-` reads standard input.
    file: PathBuf,
    /// Part the table by a column, such as method or sex, and judge each part alone; may be given
    /// again.
    #[arg(long, value_name = "COLUMN")]
    by: Vec<String>,
    /// Weigh the typical error with the published one of this test.
    #[arg(long, value_name = "TEST")]
    test: Option<String>,
    /// The smallest change that matters, in the unit of the values, instead of a fifth of the
    /// spread between athletes.
    #[arg(long, value_name = "X", allow_negative_numbers = true, value_parser = above_zero)]
    smallest_worthwhile: Option<f64>,
    #[command(flatten)]
    level: LevelArgument,
    /// Write the typical error as a picture to this file; of one part only.
    #[arg(long, value_name = "OUT")]
    svg: Option<PathBuf>,
    #[command(flatten)]
    answer: AnswerArguments,
}

fn above_zero(text: &str) -> Result<f64, String> {
    let number = text.parse().ok().filter(|x: &f64| x.is_finite() && *x > 0.0);
    number.ok_or_else(|| "a number above zero".to_owned())
}

/// What one part of the table says.
struct Part {
    repeats: Repeats,
    reliability: Reliability,
    smallest_worthwhile: f64,
    weighed: Option<WeighedNoise>,
    notes: Vec<Note>,
}

/// Says how reliable a test is.
pub(super) fn run(arguments: &ReliabilityArguments) -> Result<(), String> {
    let known = arguments.test.as_deref().map(published_test).transpose()?;
    let table = RepeatTable::read(&arguments.file, &arguments.by)?;
    let unit = table.unit;
    let parts: Vec<Part> = table
        .parts
        .into_iter()
        .map(|repeats| judged(repeats, arguments, known))
        .collect::<Result<_, _>>()?;
    if let Some(file) = &arguments.svg {
        let [part] = parts.as_slice() else {
            return Err("A picture shows one part of the table: leave --by or --svg out.".into());
        };
        save_picture(strip(part, unit), file)?;
    }
    let workings: Vec<Working> = parts.iter().flat_map(Part::workings).collect();
    let words: Vec<String> = parts.iter().map(|part| part.words(unit)).collect();
    let objects: Vec<PartObject<'_>> = parts.iter().map(PartObject::of).collect();
    let level = arguments.level.level;
    let answer = &arguments.answer;
    if arguments.by.is_empty() {
        // Without parts the table's answer stands at the top.
        let document =
            Document { schema: SCHEMA, unit, level: level.probability(), only: &objects[0] };
        answer.give(&document, &words.join("\n"), &workings)
    } else {
        let document =
            PartedDocument { schema: SCHEMA, unit, level: level.probability(), parts: &objects };
        answer.give(&document, &words.join("\n"), &workings)
    }
}

const SCHEMA: &str = "cornerwork/reliability/1";

fn judged(
    repeats: Repeats,
    arguments: &ReliabilityArguments,
    known: Option<&PublishedNoise>,
) -> Result<Part, String> {
    let found = reliability::of(&repeats.cells, arguments.level.level).map_err(|error| {
        if repeats.name.is_empty() {
            error.to_string()
        } else {
            format!("{}: {error}", repeats.name)
        }
    })?;
    let (reliability, mut notes) = (found.value, found.notes);
    let own = reliability
        .coefficient_of_variation_percent
        .map(|cv| (cv.value, reliability.typical_error.degrees_of_freedom));
    let weighed = known.map(|known| known.weighed_with(own));
    notes.extend(
        weighed
            .as_ref()
            .map(|weighed| Note::new("typical-error-weighed", weighed.sentence.clone())),
    );
    Ok(Part {
        smallest_worthwhile: arguments
            .smallest_worthwhile
            .unwrap_or(reliability.smallest_worthwhile_change),
        repeats,
        reliability,
        weighed,
        notes,
    })
}

#[derive(Serialize)]
struct Document<'a> {
    schema: &'static str,
    #[serde(skip_serializing_if = "str::is_empty")]
    unit: &'static str,
    level: f64,
    #[serde(flatten)]
    only: &'a PartObject<'a>,
}

#[derive(Serialize)]
struct PartedDocument<'a> {
    schema: &'static str,
    #[serde(skip_serializing_if = "str::is_empty")]
    unit: &'static str,
    level: f64,
    parts: &'a [PartObject<'a>],
}

#[derive(Serialize)]
struct PartObject<'a> {
    #[serde(skip_serializing_if = "str::is_empty")]
    part: &'a str,
    subjects: usize,
    trials: usize,
    typical_error: f64,
    typical_error_interval: [f64; 2],
    typical_error_degrees_of_freedom: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    coefficient_of_variation_percent: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    coefficient_of_variation_percent_interval: Option<[f64; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    mean_shift: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    mean_shift_interval: Option<[f64; 2]>,
    observed_sd: f64,
    true_sd: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    intraclass_correlations: Option<IntraclassObject>,
    #[serde(skip_serializing_if = "Option::is_none")]
    smallest_worthwhile_change: Option<f64>,
    minimal_detectable_change: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    weighed: Option<WeighedObject>,
    athletes: Vec<AthleteObject<'a>>,
    notes: Vec<NoteObject<'a>>,
}

#[derive(Serialize)]
struct IntraclassObject {
    icc_1_1: Correlation,
    icc_1_k: Correlation,
    icc_2_1: Correlation,
    icc_2_k: Correlation,
    icc_3_1: Correlation,
    icc_3_k: Correlation,
}

#[derive(Serialize)]
struct Correlation {
    value: f64,
    interval: [f64; 2],
}

#[derive(Serialize)]
struct WeighedObject {
    typical_error_percent: f64,
    degrees_of_freedom: f64,
    own_weight: f64,
}

#[derive(Serialize)]
struct AthleteObject<'a> {
    athlete: &'a str,
    trials: usize,
    mean: f64,
    best: f64,
}

fn ends(estimate: Estimate<f64>) -> [f64; 2] {
    [estimate.interval.low, estimate.interval.high]
}

impl From<Estimate<f64>> for Correlation {
    fn from(estimate: Estimate<f64>) -> Self {
        Self { value: estimate.value, interval: ends(estimate) }
    }
}

impl<'a> PartObject<'a> {
    fn of(part: &'a Part) -> Self {
        let Part { repeats, reliability, smallest_worthwhile, weighed, notes } = part;
        let error = reliability.typical_error;
        let variation = reliability.coefficient_of_variation_percent;
        Self {
            part: &repeats.name,
            subjects: reliability.subjects,
            trials: reliability.trials,
            typical_error: error.estimate.value,
            typical_error_interval: ends(error.estimate),
            typical_error_degrees_of_freedom: error.degrees_of_freedom,
            coefficient_of_variation_percent: variation.map(|cv| cv.value),
            coefficient_of_variation_percent_interval: variation.map(ends),
            mean_shift: reliability.mean_shift.map(|shift| shift.value),
            mean_shift_interval: reliability.mean_shift.map(ends),
            observed_sd: reliability.observed_standard_deviation,
            true_sd: reliability.true_standard_deviation,
            intraclass_correlations: reliability.intraclass.map(|icc| IntraclassObject {
                icc_1_1: icc.one_way_single.into(),
                icc_1_k: icc.one_way_mean.into(),
                icc_2_1: icc.agreement_single.into(),
                icc_2_k: icc.agreement_mean.into(),
                icc_3_1: icc.consistency_single.into(),
                icc_3_k: icc.consistency_mean.into(),
            }),
            smallest_worthwhile_change: Some(*smallest_worthwhile).filter(|x| *x > 0.0),
            minimal_detectable_change: reliability.minimal_detectable_change,
            weighed: weighed.as_ref().map(|weighed| WeighedObject {
                typical_error_percent: weighed.percent,
                degrees_of_freedom: weighed.degrees_of_freedom,
                own_weight: weighed.own_weight,
            }),
            athletes: part
                .athletes()
                .map(|(athlete, day)| AthleteObject { athlete, ..day })
                .collect(),
            notes: note_objects(notes),
        }
    }
}

impl Part {
    fn athletes(&self) -> impl Iterator<Item = (&str, AthleteObject<'_>)> {
        self.repeats.athletes.iter().enumerate().map(|(subject, athlete)| {
            let values = self.repeats.of_athlete(subject);
            let mean = values.iter().sum::<f64>() / values.len() as f64;
            let best = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            (athlete.as_str(), AthleteObject { athlete, trials: values.len(), mean, best })
        })
    }

    fn workings(&self) -> Vec<Working> {
        let weighed = self.weighed.as_ref().map(|weighed| weighed.working.clone());
        std::iter::once(self.reliability.working.clone()).chain(weighed).collect()
    }

    fn words(&self, unit: &str) -> String {
        let Self { repeats, reliability, .. } = self;
        let heading = (!repeats.name.is_empty()).then(|| format!("{}\n", repeats.name));
        let row = |(athlete, own): (&str, AthleteObject<'_>)| {
            [
                athlete.to_owned(),
                own.trials.to_string(),
                format!("{:.2}", own.mean),
                format!("{:.2}", own.best),
            ]
        };
        let rows: Vec<_> = self.athletes().map(row).collect();
        let named = |what: &str| {
            if unit.is_empty() { what.to_owned() } else { format!("{what}, {unit}") }
        };
        let mut parts: Vec<String> = heading.into_iter().collect();
        parts.push(wrapped("", &self.sentences(unit)).join("\n") + "\n");
        parts.extend(reliability.intraclass.map(|icc| {
            let row = |name: &str, e: Estimate<f64>| {
                [
                    name.to_owned(),
                    format!("{:.3}", e.value),
                    format!("{:.3}", e.interval.low),
                    format!("{:.3}", e.interval.high),
                ]
            };
            columns(
                ["correlation", "value", "from", "to"],
                &[
                    row("ICC(1,1)", icc.one_way_single),
                    row("ICC(1,k)", icc.one_way_mean),
                    row("ICC(2,1)", icc.agreement_single),
                    row("ICC(2,k)", icc.agreement_mean),
                    row("ICC(3,1)", icc.consistency_single),
                    row("ICC(3,k)", icc.consistency_mean),
                ],
            )
        }));
        parts.push(columns(["athlete", "trials", &named("mean"), &named("best")], &rows));
        parts.extend(Some(notes_in_words(&self.notes)).filter(|notes| !notes.is_empty()));
        parts.join("\n")
    }

    /// The answer in sentences.
    fn sentences(&self, unit: &str) -> String {
        let Reliability { typical_error, coefficient_of_variation_percent, .. } = &self.reliability;
        let number = |x: f64| with_unit(&format!("{x:.2}"), unit);
        let percent = coefficient_of_variation_percent
            .map_or_else(String::new, |cv| format!(", {:.1} % of the value", cv.value));
        let change = self.reliability.minimal_detectable_change;
        let mut said = vec![format!(
            "The test strays by {} when nothing has changed ({} sure of {:.2} to {:.2}{percent}): \
             two single values must differ by {} before noise is an unlikely cause (one time in \
             twenty).",
            number(typical_error.estimate.value),
            typical_error.estimate.level,
            typical_error.estimate.interval.low,
            typical_error.estimate.interval.high,
            number(change),
        )];
        if self.smallest_worthwhile > 0.0 {
            let Estimate { value, level, .. } = typical_error.estimate;
            let tests = reliability::tests_to_see(self.smallest_worthwhile, value, level);
            let before_and_after = if tests > 1.0 {
                format!("the mean of {tests:.0} tests before and {tests:.0} after")
            } else {
                "one test before and one after".to_owned()
            };
            said.push(format!(
                "The smallest change that matters is {}: to see it takes {before_and_after}.",
                number(self.smallest_worthwhile),
            ));
        }
        said.join(" ")
    }
}

/// The typical error against the changes it is to tell apart.
fn strip(part: &Part, unit: &'static str) -> Strip {
    let Reliability { typical_error, minimal_detectable_change, .. } = part.reliability;
    let estimate = typical_error.estimate;
    let matters = (part.smallest_worthwhile > 0.0).then(|| Mark {
        at: part.smallest_worthwhile,
        name: "smallest change that matters".into(),
    });
    Strip {
        title: "Noise of the test".to_owned(),
        description: part.sentences(unit),
        axis: Axis::new("difference", unit, Decimals::UpTo(2)),
        bands: vec![Band {
            over: Interval { low: 0.0, high: minimal_detectable_change },
            name: "may be noise".to_owned(),
        }],
        earlier: Vec::new(),
        earlier_name: String::new(),
        now: Some(Now {
            at: estimate.value,
            interval: Some(estimate.interval),
            word: "typical error".to_owned(),
            asks_for_act: false,
        }),
        marks: matters.into_iter().collect(),
    }
}
