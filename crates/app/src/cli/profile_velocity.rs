//! `profile velocity`: the load at which the athlete moves a lift at a target velocity.

use crate::cli::answer::{
    AnswerArguments, LevelArgument, NoteObject, columns, ends, note_objects, notes_in_words,
    save_picture, wrapped,
};
use crate::cli::decision::load_cell;
use crate::cli::input;
use crate::cli::jumps::LOAD;
use crate::cli::kit::{KitArguments, Loads};
use crate::flow::picture;
use clap::Args;
use cornerwork_core::estimate::Estimate;
use cornerwork_core::exercise::{ExerciseId, MeasureKind, Unit};
use cornerwork_core::note::{Note, Noted};
use cornerwork_core::prescription::target_velocity::{
    TargetVelocityAnswer, VelocityTarget, load_for_target, working_of_target,
};
use cornerwork_core::profile::load_velocity::{
    Confidence, LoadUnknown, LoadVelocityError, LoadVelocityProfile, LoadVelocitySettings, MEANING,
    Threshold, VelocityRep,
};
use cornerwork_core::units::{Mass, Quantity, Velocity};
use cornerwork_core::working::Working;
use cornerwork_io::catalogue::exercises::Exercises;
use cornerwork_io::catalogue::thresholds::VelocityThresholds;
use cornerwork_io::charts::text::{self, Terminal};
use cornerwork_io::readers::table::{Reading, Table, Wanted};
use serde::Serialize;
use std::path::PathBuf;

const MEAN_VELOCITY: Wanted = Wanted { quantity: "mean_velocity", units: &[Unit::MetrePerSecond] };
const PEAK_VELOCITY: Wanted = Wanted { quantity: "peak_velocity", units: &[Unit::MetrePerSecond] };

/// What `profile velocity` takes.
#[derive(Args)]
pub(super) struct VelocityArguments {
    /// Table of reps of one lift, one row a rep: load_kg (or load_lb) with mean_velocity_m_s or
    /// peak_velocity_m_s. `-` reads standard input. A load is the whole implement, bar included.
    file: PathBuf,
    /// Velocity the reps are to have.
    #[arg(long, value_name = "M_S", allow_negative_numbers = true)]
    target: f64,
    #[command(flatten)]
    kit: KitArguments,
    /// Exercise, for the published velocity of its maximal rep: back-squat, bench-press.
    #[arg(long, value_name = "ID", conflicts_with = "threshold")]
    exercise: Option<String>,
    /// Velocity of the athlete's own maximal rep.
    #[arg(long, value_name = "M_S", allow_negative_numbers = true)]
    threshold: Option<f64>,
    #[command(flatten)]
    level: LevelArgument,
    /// Write the line as a picture to this file.
    #[arg(long, value_name = "OUT")]
    svg: Option<PathBuf>,
    #[command(flatten)]
    answer: AnswerArguments,
}

/// The reps of a table, all of one measure.
struct Reps {
    measure: MeasureKind,
    reps: Vec<VelocityRep>,
    lines: Vec<usize>,
}

/// All that is answered.
struct Found {
    measure: MeasureKind,
    profile: LoadVelocityProfile,
    target: Velocity,
    load: Option<Estimate<Mass>>,
    hang: Option<TargetVelocityAnswer>,
    one_rep_max: Option<OneRepMax>,
    notes: Vec<Note>,
    workings: Vec<Working>,
}

struct OneRepMax {
    load: Estimate<Mass>,
    threshold: Threshold,
}

/// Says which load moves at the target velocity, and what to hang.
pub(super) fn run(arguments: &VelocityArguments) -> Result<(), String> {
    let loads = arguments.kit.loads()?;
    let found = found(arguments, &loads)?;
    let slope = picture::slope(&found.profile, found.measure, Some(found.target));
    let plot = text::slope(&slope, &Terminal::default());
    if let Some(file) = &arguments.svg {
        save_picture(slope, file)?;
    }
    arguments.answer.give(&document(&found), &words(&found, &plot), &found.workings)
}

fn found(arguments: &VelocityArguments, loads: &Loads) -> Result<Found, String> {
    let aim = target(arguments.target)?;
    let reps = Reps::parse(&input::text(&arguments.file)?)?;
    let Noted { value: profile, notes } = reps.profile(arguments)?;
    let mut found = Found {
        measure: reps.measure,
        target: aim.aim(),
        load: None,
        hang: None,
        one_rep_max: None,
        workings: vec![profile.working(), profile.working_of_load_at(aim.aim())],
        notes,
        profile,
    };
    found.read_backwards();
    if loads.bar.is_some() {
        found.hang_for(aim, loads)?;
    }
    match threshold(arguments, reps.measure)? {
        Some(Ok(threshold)) => found.predict_maximum(threshold),
        Some(Err(unknown)) => found.notes.push(unknown),
        None => {}
    }
    Ok(found)
}

fn target(m_s: f64) -> Result<VelocityTarget, String> {
    let target = VelocityTarget::at(Velocity::metres_per_second(m_s)).filter(|_| m_s <= 10.0);
    target.ok_or_else(|| {
        format!("A target of {m_s} m/s cannot be: it is a velocity above 0.05 and up to 10 m/s.")
    })
}

impl Reps {
    fn parse(text: &str) -> Result<Self, String> {
        let table = Table::parse(text).map_err(|error| error.to_string())?;
        let measured = [MEAN_VELOCITY, PEAK_VELOCITY];
        let measured = table.which(&measured).map_err(|error| error.to_string())?;
        let loads = table.readings(LOAD).map_err(|error| error.to_string())?.values;
        let velocities = table.readings(measured).map_err(|error| error.to_string())?.values;
        let rep = |(load, velocity): (&Reading, &Reading)| VelocityRep {
            load: Mass::kilograms(load.si),
            velocity: Velocity::metres_per_second(velocity.si),
        };
        Ok(Self {
            measure: if measured == MEAN_VELOCITY {
                MeasureKind::MeanVelocity
            } else {
                MeasureKind::PeakVelocity
            },
            reps: loads.iter().zip(&velocities).map(rep).collect(),
            lines: loads.iter().map(|reading| reading.line).collect(),
        })
    }

    fn profile(&self, arguments: &VelocityArguments) -> Result<Noted<LoadVelocityProfile>, String> {
        let settings = LoadVelocitySettings {
            level: arguments.level.level,
            ..LoadVelocitySettings::default()
        };
        LoadVelocityProfile::from_reps(&self.reps, settings).map_err(|error| match error {
            LoadVelocityError::ImpossibleRep { number, .. } => {
                format!("Line {}: {error}", self.lines[number - 1])
            }
            _ => error.to_string(),
        })
    }
}

impl Found {
    /// The load for the target, or why there is none.
    fn read_backwards(&mut self) {
        match self.profile.load_at(self.target) {
            Ok(load) => self.load = Some(load),
            Err(why @ LoadUnknown::FasterThanWithoutLoad { .. }) => {
                self.notes.push(Note::new("target-above-line", why.to_string()));
            }
            Err(why @ LoadUnknown::FallNotEstablished { .. }) => {
                self.notes.retain(|note| note.id != "slope-not-established");
                self.notes.push(Note::new("slope-not-established", why.to_string()));
            }
        }
    }

    fn hang_for(&mut self, target: VelocityTarget, loads: &Loads) -> Result<(), String> {
        let heaviest = loads.masses().iter().copied().fold(Mass::ZERO, Mass::max);
        let answer = load_for_target(&self.profile, target, loads.hung(), heaviest)
            .map_err(|error| error.to_string())?;
        self.workings.push(working_of_target(&self.profile, target, &answer.value));
        let known = |note: &Note| self.notes.iter().any(|known| known.id == note.id);
        let new: Vec<Note> = answer.notes.into_iter().filter(|note| !known(note)).collect();
        self.notes.extend(new);
        self.hang = Some(answer.value);
        Ok(())
    }

    fn predict_maximum(&mut self, threshold: Threshold) {
        self.workings.push(self.profile.working_of_one_rep_max(&threshold));
        match self.profile.one_rep_max(&threshold) {
            Ok(predicted) => {
                let known = |note: &Note| self.notes.iter().any(|known| known == note);
                let new: Vec<Note> =
                    predicted.notes.into_iter().filter(|note| !known(note)).collect();
                self.notes.extend(new);
                self.one_rep_max = Some(OneRepMax { load: predicted.value, threshold });
            }
            Err(error) => self.notes.push(Note::new("no-one-rep-max", error.to_string())),
        }
    }
}

/// The velocity of a maximal rep, as given or as published; a note when nothing is published;
/// nothing when nobody asked.
fn threshold(
    arguments: &VelocityArguments,
    measure: MeasureKind,
) -> Result<Option<Result<Threshold, Note>>, String> {
    if let Some(m_s) = arguments.threshold {
        return own_threshold(m_s).map(|threshold| Some(Ok(threshold)));
    }
    let Some(exercise) = &arguments.exercise else { return Ok(None) };
    let known = Exercises::built_in().map_err(|error| error.to_string())?;
    let id = ExerciseId::new(exercise).filter(|id| known.get(id).is_some());
    let id = id.ok_or_else(|| format!("There is no exercise '{exercise}' in the library."))?;
    let published = VelocityThresholds::built_in().map_err(|error| error.to_string())?;
    let row = published.of(&id, measure).first().map(|row| row.threshold.clone());
    Ok(Some(row.ok_or_else(|| {
        Note::new(
            "threshold-not-known",
            format!(
                "No {} of a maximal rep is on file for {exercise}, so no maximum is predicted; \
                 give the athlete's own with --threshold.",
                measure.words()
            ),
        )
    })))
}

fn own_threshold(m_s: f64) -> Result<Threshold, String> {
    if !(m_s > 0.0 && m_s <= 10.0) {
        return Err(format!("A threshold of {m_s} m/s cannot be: it is above 0 and up to 10 m/s."));
    }
    Ok(Threshold {
        velocity: Velocity::metres_per_second(m_s),
        sd: None,
        source: "given with --threshold".to_owned(),
        confidence: Confidence::Confirmed,
    })
}

#[derive(Serialize)]
struct Document<'a> {
    schema: &'static str,
    measure: &'static str,
    velocity_means: &'static str,
    reps: usize,
    level: f64,
    slope_m_s_per_kg: f64,
    intercept_m_s: f64,
    bend_probability: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    residual_sd_m_s: Option<f64>,
    target_m_s: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    load_at_target_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    load_at_target_kg_interval: Option<[f64; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    hang: Option<HangObject>,
    #[serde(skip_serializing_if = "Option::is_none")]
    one_rep_max: Option<OneRepMaxObject<'a>>,
    points: Vec<PointObject>,
    notes: Vec<NoteObject<'a>>,
}

#[derive(Serialize)]
struct HangObject {
    load_kg: f64,
    plates: String,
    expected_velocity_m_s: f64,
    expected_velocity_m_s_interval: [f64; 2],
    in_window: bool,
}

#[derive(Serialize)]
struct OneRepMaxObject<'a> {
    load_kg: f64,
    load_kg_interval: [f64; 2],
    threshold_m_s: f64,
    threshold_source: &'a str,
}

#[derive(Serialize)]
struct PointObject {
    load_kg: f64,
    velocity_m_s: f64,
}

fn document(found: &Found) -> Document<'_> {
    let profile = &found.profile;
    Document {
        schema: "cornerwork/profile-velocity/1",
        measure: found.measure.id(),
        velocity_means: MEANING,
        reps: profile.points().len(),
        level: profile.level().probability(),
        slope_m_s_per_kg: profile.slope_m_s_per_kg(),
        intercept_m_s: profile.intercept().si(),
        bend_probability: profile.bend_probability(),
        residual_sd_m_s: profile.scatter_was_measured().then(|| profile.rep_sd().si()),
        target_m_s: found.target.si(),
        load_at_target_kg: found.load.map(|load| load.value.si()),
        load_at_target_kg_interval: found.load.map(|load| ends(&load)),
        hang: found.hang.as_ref().and_then(HangObject::of),
        one_rep_max: found.one_rep_max.as_ref().map(|maximum| OneRepMaxObject {
            load_kg: maximum.load.value.si(),
            load_kg_interval: ends(&maximum.load),
            threshold_m_s: maximum.threshold.velocity.si(),
            threshold_source: &maximum.threshold.source,
        }),
        points: (profile.points().iter())
            .map(|rep| PointObject { load_kg: rep.load.si(), velocity_m_s: rep.velocity.si() })
            .collect(),
        notes: note_objects(&found.notes),
    }
}

impl HangObject {
    /// What to hang; nothing when the kit cannot reach the target, which a note says.
    fn of(answer: &TargetVelocityAnswer) -> Option<Self> {
        let TargetVelocityAnswer::Hang(found) = answer else { return None };
        Some(Self {
            load_kg: found.hang.load.total().si(),
            plates: found.hang.load.in_words(),
            expected_velocity_m_s: found.hang.expected.value.si(),
            expected_velocity_m_s_interval: ends(&found.hang.expected),
            in_window: found.in_window,
        })
    }
}

fn words(found: &Found, plot: &str) -> String {
    let profile = &found.profile;
    let sentences = [Some(hang_in_words(found)), maximum_in_words(found)];
    let sentences: Vec<String> = sentences.into_iter().flatten().collect();
    let row = |rep: &VelocityRep| {
        [load_cell(rep.load), format!("{:.2}", rep.velocity.in_metres_per_second())]
    };
    let rows: Vec<_> = profile.points().iter().map(row).collect();
    let heading = format!("{}, m/s", found.measure.words());
    let mut parts = vec![
        wrapped("", &sentences.join(" ")).join("\n") + "\n",
        columns(["load, kg", &heading], &rows),
        plot.to_owned(),
    ];
    parts.extend(Some(notes_in_words(&found.notes)).filter(|notes| !notes.is_empty()));
    parts.join("\n")
}

/// The answer in a sentence or two.
fn hang_in_words(found: &Found) -> String {
    let target = found.target.in_metres_per_second();
    let on_the_line = match found.load {
        Some(load) => format!(
            "{target:.2} m/s ({MEANING}) comes with {:.1} kg ({} interval {:.1} to {:.1} kg).",
            load.value.in_kilograms(),
            load.level,
            load.interval.low.in_kilograms(),
            load.interval.high.in_kilograms()
        ),
        None => format!("No load for {target:.2} m/s can be told from these reps."),
    };
    match &found.hang {
        Some(TargetVelocityAnswer::Hang(hang)) => format!(
            "Hang {:.1} kg: {}; the next rep should move at {:.2} m/s ({:.2} to {:.2}). {on_the_line}",
            hang.hang.load.total().in_kilograms(),
            hang.hang.load.in_words(),
            hang.hang.expected.value.in_metres_per_second(),
            hang.hang.expected.interval.low.in_metres_per_second(),
            hang.hang.expected.interval.high.in_metres_per_second()
        ),
        Some(TargetVelocityAnswer::LighterImplementOrLowerWindow(_)) => {
            format!("Take a lighter implement or a lower target. {on_the_line}")
        }
        Some(TargetVelocityAnswer::HeavierKitOrHigherWindow(_)) => {
            format!("Bring more plates or take a faster target. {on_the_line}")
        }
        None => on_the_line,
    }
}

fn maximum_in_words(found: &Found) -> Option<String> {
    let maximum = found.one_rep_max.as_ref()?;
    Some(format!(
        "Predicted one-repetition maximum: {:.1} kg ({:.1} to {:.1} kg), where a maximal rep moves \
         at {:.2} m/s.",
        maximum.load.value.in_kilograms(),
        maximum.load.interval.low.in_kilograms(),
        maximum.load.interval.high.in_kilograms(),
        maximum.threshold.velocity.in_metres_per_second()
    ))
}
