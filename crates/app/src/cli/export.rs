//! `export`: the gym as plain tables, for whatever else a coach wants to read them with.
//!
//! Numbers are in SI units with the unit in the name of the column. What is not known is an empty
//! cell, never a zero.

use crate::cli::answer::AnswerArguments;
use crate::cli::export_traces;
use crate::cli::record::waited;
use clap::Args;
use cornerwork_core::exercise::{Dimension, MeasureKind};
use cornerwork_core::session::athlete::{Born, Sex, Stance};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::ledger::Ledger;
use cornerwork_core::session::rep::Rep;
use cornerwork_core::units::Quantity;
use cornerwork_io::catalogue::exercises::Exercises;
use cornerwork_io::store::SqliteStore;
use serde::Serialize;
use std::collections::BTreeSet;
use std::fs::File;
use std::path::{Path, PathBuf};

/// What `export` takes.
#[derive(Args)]
pub(super) struct ExportArguments {
    /// Folder of the gym.
    #[arg(long, default_value = "gym")]
    data: PathBuf,
    /// Folder to write athletes.csv, body_masses.csv, reps.csv and traces.csv to, with every
    /// recording as it was received in its folder recordings; made if missing. No file there is
    /// replaced.
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    #[command(flatten)]
    answer: AnswerArguments,
}

#[derive(Serialize)]
struct Document {
    schema: &'static str,
    athletes: usize,
    body_masses: usize,
    reps: usize,
    traces: usize,
}

/// Names of columns and rows of cells.
pub(super) type Cells = Vec<Vec<String>>;

/// Writes the tables.
pub(super) fn run(arguments: &ExportArguments) -> Result<(), String> {
    let out = &arguments.out;
    let ledger = waited(async {
        let store = SqliteStore::open_existing(&arguments.data).await?;
        Ok(Ledger::replay(store.load().await?))
    })?;
    let gym = ledger.gym();
    let exercises = Exercises::built_in().map_err(|error| error.to_string())?;
    let tables = [
        ("athletes.csv", athletes(gym)),
        ("body_masses.csv", body_masses(gym)),
        ("reps.csv", reps(gym, &exercises)),
        ("traces.csv", export_traces::table(gym)),
    ];
    std::fs::create_dir_all(out).map_err(|error| unwritable(out, &error))?;
    for (name, cells) in &tables {
        write(&out.join(name), cells)?;
    }
    waited(async {
        let store = SqliteStore::open_existing(&arguments.data).await?;
        export_traces::write(gym, &store.recordings(), out).await
    })?;
    let [athletes, body_masses, reps, traces] = tables.map(|(_, cells)| cells.len() - 1);
    let words = format!(
        "Written to {}: {athletes} athletes, {body_masses} body masses, {reps} reps, {traces} \
         traces.\n",
        out.display()
    );
    let document = Document { schema: "cornerwork/export/1", athletes, body_masses, reps, traces };
    arguments.answer.give(&document, &words, &[])
}

fn write(file: &Path, cells: &Cells) -> Result<(), String> {
    let new = File::create_new(file).map_err(|error| unwritable(file, &error))?;
    let mut writer = csv::Writer::from_writer(new);
    for row in cells {
        writer.write_record(row).map_err(|error| unwritable(file, &error))?;
    }
    let new = writer.into_inner().map_err(|error| unwritable(file, error.error()))?;
    new.sync_all().map_err(|error| unwritable(file, &error))
}

pub(super) fn unwritable(path: &Path, error: &dyn std::fmt::Display) -> String {
    format!("Cannot write {}: {error}.", path.display())
}

pub(super) fn named<const N: usize>(columns: [&str; N]) -> Vec<String> {
    columns.map(str::to_owned).to_vec()
}

fn athletes(gym: &Gym) -> Cells {
    let row = |athlete: &cornerwork_core::session::athlete::Athlete| {
        let sex = match athlete.sex {
            Sex::Female => "female",
            Sex::Male => "male",
        };
        let stance = match athlete.stance {
            Stance::Orthodox => "orthodox",
            Stance::Southpaw => "southpaw",
        };
        let (born, age, told_on) = match athlete.born {
            Born::On(date) => (date.to_string(), String::new(), String::new()),
            Born::Aged { years, on } => (String::new(), years.to_string(), on.to_string()),
        };
        named([
            athlete.id.as_str(),
            &athlete.name,
            sex,
            &born,
            &age,
            &told_on,
            stance,
            &athlete.level,
        ])
    };
    let names =
        named(["athlete", "name", "sex", "born", "age_years", "age_told_on", "stance", "level"]);
    std::iter::once(names).chain(gym.athletes.values().map(row)).collect()
}

fn body_masses(gym: &Gym) -> Cells {
    let of_athlete = |athlete: &cornerwork_core::session::athlete::AthleteId| {
        let masses = gym.body_masses(athlete).iter();
        let row = |(at, mass): &(jiff::Timestamp, cornerwork_core::units::Mass)| {
            named([athlete.as_str(), &at.to_string(), &mass.si().to_string()])
        };
        masses.map(row).collect::<Cells>()
    };
    let names = named(["athlete", "at", "body_mass_kg"]);
    std::iter::once(names).chain(gym.athletes.keys().flat_map(of_athlete)).collect()
}

/// Every rep with its number in the column of its measure. A rep of an exercise that is in the
/// library no more has its number in `value_si`.
fn reps(gym: &Gym, exercises: &Exercises) -> Cells {
    let measure = |rep: &Rep| exercises.get(&rep.entry.exercise).map(|found| found.measure.kind);
    let measures: BTreeSet<Option<MeasureKind>> = gym.reps.iter().map(measure).collect();
    let mut names = named([
        "rep",
        "at",
        "athlete",
        "exercise",
        "side",
        "station",
        "set",
        "load_kg",
        "box_height_m",
        "contact_time_s",
        "method",
        "faults",
        "set_aside",
    ]);
    names.extend(measures.iter().map(|measure| measure.map_or("value_si".to_owned(), column)));
    let row = |rep: &Rep| {
        let own = measure(rep);
        let value = |of: &Option<MeasureKind>| {
            if *of == own { written(rep.entry.value) } else { String::new() }
        };
        description(rep).into_iter().chain(measures.iter().map(value)).collect()
    };
    std::iter::once(names).chain(gym.reps.iter().map(row)).collect()
}

fn description(rep: &Rep) -> Vec<String> {
    let entry = &rep.entry;
    let faults: Vec<String> = rep.faults.iter().map(|fault| fault.tag.to_string()).collect();
    vec![
        rep.id.to_string(),
        entry.at.to_string(),
        entry.athlete.to_string(),
        entry.exercise.to_string(),
        entry.side.map_or_else(String::new, |side| side.code().to_owned()),
        entry.station.map_or_else(String::new, |station| station.to_string()),
        rep.set.to_string(),
        entry.load.total.si().to_string(),
        written(entry.box_height.map(Quantity::si)),
        written(entry.contact_time.map(Quantity::si)),
        entry.method.words().to_owned(),
        faults.join(" "),
        rep.set_aside.clone().unwrap_or_default(),
    ]
}

pub(super) fn written(value: Option<f64>) -> String {
    value.map_or_else(String::new, |value| value.to_string())
}

/// Name of the column of a measure: `jump_height_m`.
fn column(measure: MeasureKind) -> String {
    let unit = match measure.dimension() {
        Dimension::Length => "_m",
        Dimension::Time => "_s",
        Dimension::Velocity => "_m_s",
        Dimension::Momentum => "_kg_m_s",
        Dimension::Force => "_n",
        Dimension::Power => "_w",
        Dimension::Mass => "_kg",
        Dimension::Count | Dimension::Index => "",
        Dimension::Angle => "_rad",
        Dimension::Frequency => "_hz",
    };
    measure.id().replace('-', "_") + unit
}
