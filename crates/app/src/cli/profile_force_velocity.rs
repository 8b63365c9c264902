//! `profile force-velocity`: the line of force on velocity, as a hypothesis.

use crate::cli::answer::{
    AnswerArguments, LevelArgument, NoteObject, columns, ends, note_objects, notes_in_words,
    save_picture, wrapped,
};
use crate::cli::decision::load_cell;
use crate::cli::jumps::JumpTable;
use crate::flow::picture;
use clap::Args;
use cornerwork_core::note::{Note, Noted};
use cornerwork_core::profile::force_velocity::{
    ForceVelocityError, ForceVelocityInput, ForceVelocityPoint, ForceVelocityProfile, HeightAtLoad,
};
use cornerwork_core::units::{Acceleration, Length, Mass, Quantity};
use cornerwork_io::charts::text::{self, Terminal};
use serde::Serialize;
use std::path::PathBuf;

/// What `profile force-velocity` takes.
#[derive(Args)]
pub(super) struct ForceVelocityArguments {
    /// Table of jumps, as for `profile momentum`. `-` reads standard input.
    file: PathBuf,
    /// Body mass.
    #[arg(long, value_name = "KG", allow_negative_numbers = true)]
    body_mass: f64,
    /// How far the centre of mass rises from the lowest point to take-off: leg length with the
    /// feet stretched, less the height of the hip at the start.
    #[arg(long, value_name = "M", allow_negative_numbers = true)]
    push_off: f64,
    /// How well that distance is known (standard deviation): 1.5 cm with a tape.
    #[arg(long, value_name = "M", default_value = "0.015", allow_negative_numbers = true)]
    push_off_sd: f64,
    /// Gravity that heights and velocities are converted with.
    #[arg(long, value_name = "M_S2", default_value = "9.80665", allow_negative_numbers = true)]
    gravity: f64,
    #[command(flatten)]
    level: LevelArgument,
    /// Write the line as a picture to this file.
    #[arg(long, value_name = "OUT")]
    svg: Option<PathBuf>,
    #[command(flatten)]
    answer: AnswerArguments,
}

/// Says what the line is, and what stands against reading much into it.
pub(super) fn run(arguments: &ForceVelocityArguments) -> Result<(), String> {
    let table = JumpTable::read(&arguments.file)?;
    let mut profile = profile(arguments, &table)?;
    profile.notes.extend(balance_not_shown(&profile.value));
    profile.notes.extend(table.notes);
    let line = picture::force_velocity(&profile.value);
    let plot = text::slope(&line, &Terminal::default());
    if let Some(file) = &arguments.svg {
        save_picture(line, file)?;
    }
    let document = document(arguments, table.jumps.len(), &profile);
    let words = words(&profile, &plot);
    arguments.answer.give(&document, &words, &[profile.value.working()])
}

fn profile(
    arguments: &ForceVelocityArguments,
    table: &JumpTable,
) -> Result<Noted<ForceVelocityProfile>, String> {
    if !(arguments.gravity > 0.0 && arguments.gravity.is_finite()) {
        return Err(format!("Gravity of {} m/s² is not above 0.", arguments.gravity));
    }
    let gravity = Acceleration::metres_per_second_squared(arguments.gravity);
    let jumps: Vec<HeightAtLoad> = (table.jumps.iter())
        .map(|jump| HeightAtLoad { load: jump.load, height: jump.height(gravity) })
        .collect();
    ForceVelocityProfile::from_jumps(ForceVelocityInput {
        body_mass: Mass::kilograms(arguments.body_mass),
        push_off: Length::metres(arguments.push_off),
        push_off_sd: Length::metres(arguments.push_off_sd),
        jumps: &jumps,
        gravity,
        level: arguments.level.level,
    })
    .map_err(|error| match error {
        ForceVelocityError::ImpossibleJump { number, .. } => {
            format!("Line {}: {error}", table.line(number))
        }
        _ => error.to_string(),
    })
}

/// Why the balance is kept back, when it is.
fn balance_not_shown(profile: &ForceVelocityProfile) -> Option<Note> {
    let percent = profile.balance.percent;
    (!profile.balance.shown).then(|| {
        Note::new(
            "balance-not-told-apart",
            format!(
                "The balance is not shown: at {} it lies between {:.0} and {:.0} %, which \
                 holds 100 %, so no side can be called low.",
                percent.level, percent.interval.low, percent.interval.high
            ),
        )
    })
}

#[derive(Serialize)]
struct Document<'a> {
    schema: &'static str,
    body_mass_kg: f64,
    push_off_m: f64,
    jumps: usize,
    level: f64,
    force_at_no_velocity_n: f64,
    force_at_no_velocity_n_interval: [f64; 2],
    velocity_at_no_force_m_s: f64,
    velocity_at_no_force_m_s_interval: [f64; 2],
    maximal_power_w: f64,
    maximal_power_w_interval: [f64; 2],
    slope_n_s_m_kg: f64,
    slope_n_s_m_kg_interval: [f64; 2],
    #[serde(skip_serializing_if = "Option::is_none")]
    balance_percent: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    balance_percent_interval: Option<[f64; 2]>,
    r_squared: f64,
    height_sd_m: f64,
    points: Vec<PointObject>,
    notes: Vec<NoteObject<'a>>,
}

#[derive(Serialize)]
struct PointObject {
    load_kg: f64,
    jumps: usize,
    height_m: f64,
    velocity_m_s: f64,
    force_n: f64,
}

impl From<&ForceVelocityPoint> for PointObject {
    fn from(point: &ForceVelocityPoint) -> Self {
        Self {
            load_kg: point.load.si(),
            jumps: point.jumps,
            height_m: point.height.si(),
            velocity_m_s: point.velocity.si(),
            force_n: point.force.si(),
        }
    }
}

fn document<'a>(
    arguments: &ForceVelocityArguments,
    jumps: usize,
    noted: &'a Noted<ForceVelocityProfile>,
) -> Document<'a> {
    let profile = &noted.value;
    let (slope, percent) = (profile.slope_n_s_m_kg, profile.balance.percent);
    let shown = profile.balance.shown;
    Document {
        schema: "cornerwork/profile-force-velocity/1",
        body_mass_kg: arguments.body_mass,
        push_off_m: arguments.push_off,
        jumps,
        level: profile.force.level.probability(),
        force_at_no_velocity_n: profile.force.value.si(),
        force_at_no_velocity_n_interval: ends(&profile.force),
        velocity_at_no_force_m_s: profile.velocity.value.si(),
        velocity_at_no_force_m_s_interval: ends(&profile.velocity),
        maximal_power_w: profile.power.value.si(),
        maximal_power_w_interval: ends(&profile.power),
        slope_n_s_m_kg: slope.value,
        slope_n_s_m_kg_interval: [slope.interval.low, slope.interval.high],
        balance_percent: shown.then_some(percent.value),
        balance_percent_interval: shown.then_some([percent.interval.low, percent.interval.high]),
        r_squared: profile.r_squared,
        height_sd_m: profile.height_sd.si(),
        points: profile.points.iter().map(PointObject::from).collect(),
        notes: note_objects(&noted.notes),
    }
}

fn words(noted: &Noted<ForceVelocityProfile>, plot: &str) -> String {
    let profile = &noted.value;
    let [force_low, force_high] = ends(&profile.force);
    let [velocity_low, velocity_high] = ends(&profile.velocity);
    let [power_low, power_high] = ends(&profile.power);
    let mut answer = format!(
        "A hypothesis, not a prescription: {:.0} N at no velocity ({force_low:.0} to \
         {force_high:.0}), {:.2} m/s at no force ({velocity_low:.2} to {velocity_high:.2}), maximal \
         power {:.0} W ({power_low:.0} to {power_high:.0}).",
        profile.force.value.si(),
        profile.velocity.value.si(),
        profile.power.value.si()
    );
    let percent = profile.balance.percent;
    if profile.balance.shown {
        let low_side = if percent.value < 100.0 { "force" } else { "velocity" };
        answer += &format!(
            " The {low_side} side is low: {:.0} % of the theoretical balance ({:.0} to {:.0} %).",
            percent.value, percent.interval.low, percent.interval.high
        );
    }
    let row = |point: &ForceVelocityPoint| {
        [
            load_cell(point.load),
            point.jumps.to_string(),
            format!("{:.1}", point.height.in_centimetres()),
            format!("{:.2}", point.velocity.in_metres_per_second()),
            format!("{:.0}", point.force.in_newtons()),
        ]
    };
    let rows: Vec<_> = profile.points.iter().map(row).collect();
    [
        wrapped("", &answer).join("\n") + "\n",
        columns(["load, kg", "jumps", "height, cm", "velocity, m/s", "force, N"], &rows),
        plot.to_owned(),
        notes_in_words(&noted.notes),
    ]
    .join("\n")
}
