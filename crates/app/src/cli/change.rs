//! `change`: is a later test a real change, or noise?

use crate::cli::answer::{
    AnswerArguments, LevelArgument, NoteObject, columns, note_objects, notes_in_words,
    save_picture, wrapped,
};
use crate::cli::noise::NoiseArguments;
use crate::cli::test_days::TestDays;
use crate::cli::values::with_unit;
use clap::Args;
use cornerwork_core::estimate::Interval;
use cornerwork_core::note::{Note, Noted};
use cornerwork_core::profile::change::{self, Change, Prior, Question, TestNoise};
use cornerwork_core::profile::test_day::TestDay;
use cornerwork_core::profile::verdict;
use cornerwork_core::report::figure::{Axis, Decimals, Odds, Share};
use jiff::civil::Date;
use serde::Serialize;
use std::path::PathBuf;

/// What `change` takes.
#[derive(Args)]
pub(super) struct ChangeArguments {
    /// Table of one athlete's tests, one row a trial: date (2026-09-14) with value, or value_cm,
    /// value_m_s, value_n and the like. Columns method, device, arms and box say what must be
    /// alike; body_mass_kg is watched. `-` reads standard input.
    file: PathBuf,
    /// The smallest change that matters, in the unit of the values.
    #[arg(long, value_name = "X", allow_negative_numbers = true)]
    smallest_worthwhile: Option<f64>,
    #[command(flatten)]
    noise: NoiseArguments,
    /// Day the block began: tests up to it are the baseline. Without it, every test before the
    /// last one is.
    #[arg(long, value_name = "DATE")]
    since: Option<String>,
    /// Another column that must be alike, as method must; may be given again.
    #[arg(long, value_name = "COLUMN")]
    condition: Vec<String>,
    /// Changes expected of such a block beforehand: their mean and spread, such as 0.5,2.
    #[arg(long, value_name = "MEAN,SD", allow_hyphen_values = true, value_parser = mean_and_spread)]
    expected: Option<(f64, f64)>,
    /// The squad's mean and true spread, for an athlete picked because a test was unusual: allows
    /// for regression to the mean.
    #[arg(long, value_name = "MEAN,SD", allow_hyphen_values = true, value_parser = mean_and_spread)]
    squad: Option<(f64, f64)>,
    #[command(flatten)]
    level: LevelArgument,
    /// Write the change with its odds as a picture to this file.
    #[arg(long, value_name = "OUT")]
    svg: Option<PathBuf>,
    #[command(flatten)]
    answer: AnswerArguments,
}

fn mean_and_spread(text: &str) -> Result<(f64, f64), String> {
    let both = text.split_once(',').and_then(|(mean, spread)| {
        let number = |text: &str| text.trim().parse::<f64>().ok().filter(|x| x.is_finite());
        Some((number(mean)?, number(spread)?))
    });
    let both = both.filter(|(_, spread)| *spread > 0.0);
    both.ok_or_else(|| "a mean and a spread above zero, such as 0.5,2".to_owned())
}

/// All that is answered.
struct Found {
    tests: TestDays,
    since: Date,
    smallest_worthwhile: f64,
    typical_error: f64,
    noise: TestNoise,
    change: Change,
    notes: Vec<Note>,
}

/// Says how surely the last test differs from those before.
pub(super) fn run(arguments: &ChangeArguments) -> Result<(), String> {
    let found = found(arguments)?;
    if let Some(file) = &arguments.svg {
        save_picture(odds(&found), file)?;
    }
    let workings = [found.change.working.clone()];
    arguments.answer.give(&document(&found), &words(&found), &workings)
}

fn found(arguments: &ChangeArguments) -> Result<Found, String> {
    let tests = TestDays::read(&arguments.file, &arguments.condition)?;
    let since = since(arguments, &tests)?;
    let since_day = f64::from((since - tests.dates[0]).get_days());
    let Noted { value: noise, mut notes } = arguments.noise.noise(&tests, since_day)?;
    let smallest_worthwhile = arguments.smallest_worthwhile.unwrap_or(0.0);
    if arguments.smallest_worthwhile.is_none() {
        notes.push(Note::new(
            "smallest-worthwhile-not-given",
            "No smallest change that matters was given, so any rise counts as one: say what \
             matters with --smallest-worthwhile.",
        ));
    }
    let question = Question {
        measure: "Value",
        unit: tests.unit,
        since_day,
        smallest_worthwhile,
        noise: noise.clone(),
        prior: prior(arguments.expected, "as given with --expected"),
        level_prior: prior(arguments.squad, "as given with --squad"),
        level: arguments.level.level,
    };
    let answer = change::of(&tests.days, &question).map_err(|error| error.to_string())?;
    notes.splice(0..0, answer.notes);
    let trials = tests.days.last().map_or(1, |day| day.trials.len());
    Ok(Found {
        typical_error: noise.of_mean(trials),
        tests,
        since,
        smallest_worthwhile,
        noise,
        change: answer.value,
        notes,
    })
}

/// The day the block began: as given, or that of the last test before today's.
fn since(arguments: &ChangeArguments, tests: &TestDays) -> Result<Date, String> {
    let before_last = tests.dates.len().saturating_sub(2);
    match &arguments.since {
        Some(text) => text.parse().map_err(|_| {
            format!("'{text}' is no date; write year, month and day, such as 2026-08-10.")
        }),
        None => Ok(tests.dates[before_last]),
    }
}

fn prior(given: Option<(f64, f64)>, source: &str) -> Prior {
    given.map_or(Prior::Flat, |(mean, standard_deviation)| Prior::Normal {
        mean,
        standard_deviation,
        source: source.to_owned(),
    })
}

#[derive(Serialize)]
struct Document<'a> {
    schema: &'static str,
    #[serde(skip_serializing_if = "str::is_empty")]
    unit: &'a str,
    level: f64,
    since: String,
    days_used: usize,
    days: Vec<DayObject>,
    observed_change: f64,
    change: f64,
    change_interval: [f64; 2],
    odds: OddsObject,
    #[serde(skip_serializing_if = "Option::is_none")]
    sceptical_odds: Option<OddsObject>,
    verdict: String,
    sentence: &'a str,
    smallest_worthwhile: f64,
    typical_error: f64,
    typical_error_source: &'a str,
    weight_of_tests: f64,
    notes: Vec<NoteObject<'a>>,
}

#[derive(Serialize)]
struct DayObject {
    date: String,
    trials: usize,
    mean: f64,
    best: f64,
}

#[derive(Serialize)]
struct OddsObject {
    rise: f64,
    no_matter: f64,
    fall: f64,
}

impl From<verdict::Odds> for OddsObject {
    fn from(odds: verdict::Odds) -> Self {
        Self { rise: odds.rise, no_matter: odds.no_matter, fall: odds.fall }
    }
}

fn document(found: &Found) -> Document<'_> {
    let Found { tests, change, .. } = found;
    let interval = change.change.interval;
    let day = |(date, day): (&Date, &TestDay)| {
        Some(DayObject {
            date: date.to_string(),
            trials: day.trials.len(),
            mean: day.mean()?,
            best: day.best()?,
        })
    };
    Document {
        schema: "cornerwork/change/1",
        unit: tests.unit,
        level: change.change.level.probability(),
        since: found.since.to_string(),
        days_used: change.days_used,
        days: tests.dates.iter().zip(&tests.days).filter_map(day).collect(),
        observed_change: change.observed,
        change: change.change.value,
        change_interval: [interval.low, interval.high],
        odds: change.odds.into(),
        sceptical_odds: change.sceptical_odds.map(OddsObject::from),
        verdict: change.verdict.to_string(),
        sentence: &change.sentence,
        smallest_worthwhile: found.smallest_worthwhile,
        typical_error: found.typical_error,
        typical_error_source: &found.noise.source,
        weight_of_tests: change.weight_of_tests,
        notes: note_objects(&found.notes),
    }
}

fn words(found: &Found) -> String {
    let Found { tests, change, .. } = found;
    let row = |(date, day): (&Date, &TestDay)| {
        let number =
            |value: Option<f64>| value.map_or_else(String::new, |value| format!("{value:.2}"));
        [date.to_string(), day.trials.len().to_string(), number(day.mean()), number(day.best())]
    };
    let rows: Vec<_> = tests.dates.iter().zip(&tests.days).map(row).collect();
    let name = |what: &str| {
        if tests.unit.is_empty() { what.to_owned() } else { format!("{what}, {}", tests.unit) }
    };
    let noise = format!(
        "Typical error of a day's mean {}, from {}.",
        with_unit(&format!("{:.2}", found.typical_error), tests.unit),
        found.noise.source
    );
    let mut parts = vec![
        wrapped("", &change.sentence).join("\n") + "\n",
        columns(["date", "trials", &name("mean"), &name("best")], &rows),
        wrapped("", &noise).join("\n") + "\n",
    ];
    parts.extend(Some(notes_in_words(&found.notes)).filter(|notes| !notes.is_empty()));
    parts.join("\n")
}

fn odds(found: &Found) -> Odds {
    let Found { tests, change, smallest_worthwhile, .. } = found;
    let share = |name: &str, probability| Share { name: name.to_owned(), probability };
    Odds {
        title: "Change".to_owned(),
        description: change.sentence.clone(),
        axis: Axis::new("change", tests.unit, Decimals::UpTo(2)),
        change: change.change,
        trivial: Interval { low: -smallest_worthwhile, high: *smallest_worthwhile },
        below: share("lower", change.odds.fall),
        within: share("no change that matters", change.odds.no_matter),
        above: share("higher", change.odds.rise),
        word: change.verdict.to_string(),
    }
}
