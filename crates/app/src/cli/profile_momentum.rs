//! `profile momentum`: with which load the athlete leaves the ground with most momentum.

use crate::cli::answer::{
    AnswerArguments, LevelArgument, NoteObject, columns, ends, note_objects, notes_in_words,
    save_picture, wrapped,
};
use crate::cli::decision::{self, DecisionObject, PurposeArgument, load_cell};
use crate::cli::jumps::JumpTable;
use crate::cli::kit::{KitArguments, Loads};
use crate::flow::picture::{self, FLAT_TOP_LOSS};
use clap::{Args, ValueEnum};
use cornerwork_core::note::Noted;
use cornerwork_core::prescription::load_to_use::LoadToUse;
use cornerwork_core::prescription::next_load::NextLoad;
use cornerwork_core::profile::load_momentum::{
    LoadBand, LoadMomentumPriors, LoadMomentumProfile, LoadMomentumSettings, ProfilePoint,
};
use cornerwork_core::units::{Acceleration, Mass, Quantity};
use cornerwork_io::charts::text::{self, Terminal};
use serde::Serialize;
use std::path::PathBuf;

/// Losses the bands are given for: next to nothing, and little.
const BAND_LOSSES: [f64; 2] = [FLAT_TOP_LOSS, 0.02];

/// The jumps and what they are reckoned with.
#[derive(Args)]
pub(super) struct JumpArguments {
    /// Table of jumps, one row a jump, all valid ones: load_kg (or load_lb) with height_cm,
    /// height_m, height_in or take_off_velocity_m_s; `method` and `date` if known. `-` reads
    /// standard input. A load is the whole implement, bar included.
    file: PathBuf,
    /// Body mass.
    #[arg(long, value_name = "KG", allow_negative_numbers = true)]
    body_mass: f64,
    /// Where the bar is held: jump height drops differently with load.
    #[arg(long, value_enum, default_value = "straight")]
    implement: Implement,
    /// Gravity that heights and velocities are converted with.
    #[arg(long, value_name = "M_S2", default_value = "9.80665", allow_negative_numbers = true)]
    gravity: f64,
    #[command(flatten)]
    level: LevelArgument,
}

#[derive(Clone, Copy, ValueEnum)]
enum Implement {
    /// A straight bar on the shoulders.
    Straight,
    /// A hex bar at arms' length.
    Hex,
}

impl JumpArguments {
    /// Reads the jumps and makes their profile.
    ///
    /// # Errors
    /// A sentence that says what is wrong with the table or the numbers.
    pub(super) fn profile(&self, bar: Option<Mass>) -> Result<Noted<LoadMomentumProfile>, String> {
        let settings = LoadMomentumSettings {
            priors: match self.implement {
                Implement::Straight => LoadMomentumPriors::STRAIGHT_BAR,
                Implement::Hex => LoadMomentumPriors::HEX_BAR,
            },
            gravity: Acceleration::metres_per_second_squared(self.gravity),
            level: self.level.level,
            lightest_bar: bar,
        };
        JumpTable::read(&self.file)?.momentum(Mass::kilograms(self.body_mass), &settings)
    }
}

/// What `profile momentum` takes.
#[derive(Args)]
pub(super) struct MomentumArguments {
    #[command(flatten)]
    jumps: JumpArguments,
    #[command(flatten)]
    kit: KitArguments,
    #[command(flatten)]
    purpose: PurposeArgument,
    /// Write the curve as a picture to this file.
    #[arg(long, value_name = "OUT")]
    svg: Option<PathBuf>,
    #[command(flatten)]
    answer: AnswerArguments,
}

/// Says where momentum peaks, which loads are as good, and what to test next.
pub(super) fn run(arguments: &MomentumArguments) -> Result<(), String> {
    let loads = arguments.kit.loads()?;
    let mut profile = arguments.jumps.profile(loads.bar)?;
    let next = arguments.purpose.decide(&profile.value, &loads);
    profile.notes.extend(loads.note());
    let hill = picture::hill_of(&profile.value, None, decision::marked(&next));
    let document = document(&profile, &next, &loads);
    let plot = text::hill(&hill, &Terminal::default());
    let words = words(&profile, &next, &loads, &plot);
    if let Some(file) = &arguments.svg {
        save_picture(hill, file)?;
    }
    let workings = [profile.value.peak_working(), decision::working(&next)];
    arguments.answer.give(&document, &words, &workings)
}

#[derive(Serialize)]
struct Document<'a> {
    schema: &'static str,
    body_mass_kg: f64,
    jumps: usize,
    model: &'static str,
    model_probability: f64,
    level: f64,
    peak: PeakObject,
    #[serde(skip_serializing_if = "Option::is_none")]
    band: Option<BandObject>,
    bands: Vec<BandObject>,
    points: Vec<PointObject>,
    #[serde(flatten)]
    decision: DecisionObject,
    notes: Vec<NoteObject<'a>>,
}

#[derive(Serialize)]
struct PeakObject {
    load_kg: f64,
    load_kg_interval: [f64; 2],
    momentum_kg_m_s: f64,
    momentum_kg_m_s_interval: [f64; 2],
    height_m: f64,
    height_fraction_of_unloaded: f64,
    inside_tested_range: bool,
}

#[derive(Serialize)]
struct BandObject {
    from_kg: f64,
    to_kg: f64,
    loss_fraction: f64,
}

#[derive(Serialize)]
struct PointObject {
    load_kg: f64,
    height_m: f64,
    take_off_velocity_m_s: f64,
    momentum_kg_m_s: f64,
}

impl From<LoadBand> for BandObject {
    fn from(band: LoadBand) -> Self {
        Self { from_kg: band.from.si(), to_kg: band.to.si(), loss_fraction: band.loss_fraction }
    }
}

impl From<&ProfilePoint> for PointObject {
    fn from(point: &ProfilePoint) -> Self {
        Self {
            load_kg: point.load.si(),
            height_m: point.height.si(),
            take_off_velocity_m_s: point.take_off_velocity.si(),
            momentum_kg_m_s: point.momentum.si(),
        }
    }
}

fn document<'a>(
    noted: &'a Noted<LoadMomentumProfile>,
    next: &NextLoad,
    loads: &Loads,
) -> Document<'a> {
    let profile = &noted.value;
    let peak = profile.peak();
    let (model, model_probability) = profile.model();
    Document {
        schema: "cornerwork/profile-momentum/1",
        body_mass_kg: profile.body_mass().si(),
        jumps: profile.points().len(),
        model: model.word(),
        model_probability,
        level: peak.load.level.probability(),
        peak: PeakObject {
            load_kg: peak.load.value.si(),
            load_kg_interval: ends(&peak.load),
            momentum_kg_m_s: peak.momentum.value.si(),
            momentum_kg_m_s_interval: ends(&peak.momentum),
            height_m: peak.height.si(),
            height_fraction_of_unloaded: peak.height_fraction_of_unloaded,
            inside_tested_range: peak.inside_tested_range,
        },
        band: LoadToUse::of(profile, FLAT_TOP_LOSS).band().map(BandObject::from),
        bands: BAND_LOSSES
            .iter()
            .filter_map(|loss| LoadToUse::of(profile, *loss).band())
            .map(BandObject::from)
            .collect(),
        points: profile.points().iter().map(PointObject::from).collect(),
        decision: DecisionObject::of(next, loads),
        notes: note_objects(&noted.notes),
    }
}

fn words(noted: &Noted<LoadMomentumProfile>, next: &NextLoad, loads: &Loads, plot: &str) -> String {
    let profile = &noted.value;
    let paragraph = |text: &str| wrapped("", text).join("\n") + "\n";
    let mut parts = vec![
        paragraph(&answer(profile)),
        paragraph(&decision::in_words(next, loads)),
        table(profile.points()),
        plot.to_owned(),
    ];
    parts.extend(Some(notes_in_words(&noted.notes)).filter(|notes| !notes.is_empty()));
    parts.join("\n")
}

/// The answer in one sentence.
fn answer(profile: &LoadMomentumProfile) -> String {
    let load = profile.peak().load;
    let peak = format!(
        "momentum at take-off peaks near {:.0} kg ({} sure of {:.0} to {:.0} kg)",
        load.value.in_kilograms(),
        load.level,
        load.interval.low.in_kilograms(),
        load.interval.high.in_kilograms()
    );
    match LoadToUse::of(profile, FLAT_TOP_LOSS) {
        LoadToUse::Band(band) => format!(
            "Use {:.0} to {:.0} kg: {peak}, and these loads cost under {:.0} % of it.",
            band.from.in_kilograms(),
            band.to.in_kilograms(),
            band.loss_fraction * 100.0
        ),
        not_known => format!("The best load is {not_known}: {peak}."),
    }
}

fn table(points: &[ProfilePoint]) -> String {
    let row = |point: &ProfilePoint| {
        [
            load_cell(point.load),
            format!("{:.1}", point.height.in_centimetres()),
            format!("{:.2}", point.take_off_velocity.in_metres_per_second()),
            format!("{:.0}", point.momentum.in_kilogram_metres_per_second()),
        ]
    };
    let rows: Vec<_> = points.iter().map(row).collect();
    columns(["load, kg", "height, cm", "take-off, m/s", "momentum, kg m/s"], &rows)
}
