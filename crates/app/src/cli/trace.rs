//! `trace`: one recording to events, phases, numbers and a picture.

use super::answer::{self, save_laid_out};
use super::record::waited;
use super::{reading_options, trace_output as output};
use crate::flow::filing::TypedFiling;
use crate::flow::trace::{self, Chosen, Drift, Kind, Question, Source};
use clap::builder::{PossibleValuesParser, TypedValueParser};
use clap::{Args, ValueEnum};
use cornerwork_core::session::ledger::Ledger;
use cornerwork_core::session::traces::Traces;
use cornerwork_core::trial::isometric::Direction;
use cornerwork_core::trial::{Conditions, MovedEvents};
use cornerwork_core::units::{Length, Mass, STANDARD_GRAVITY};
use cornerwork_io::charts::Layout;
use cornerwork_io::readers::delimited::{ChoiceError, ColumnChoices};
use cornerwork_io::store::SqliteStore;
use std::path::{Path, PathBuf};

/// Width of the picture in a file, CSS pixels.
const PICTURE_WIDTH: f64 = 900.0;

/// What `trace` takes.
#[derive(Args)]
pub(super) struct TraceArguments {
    /// The recording: a text table, C3D or Parquet; `-` for a text table on standard input.
    file: PathBuf,
    #[command(flatten)]
    reading: ReadingArguments,
    /// Folder of the gym whose remembered columns are meant.
    #[arg(long, value_name = "DIR")]
    data: Option<PathBuf>,
    /// Write the picture to this SVG file.
    #[arg(long, value_name = "OUT")]
    svg: Option<PathBuf>,
    /// Print one JSON document.
    #[arg(long)]
    json: bool,
    /// Also print what each number is, where it is from, and the rules the trial was read by.
    #[arg(long)]
    explain: bool,
}

/// How recordings are read: the same for one file and for a folder.
#[derive(Args, Clone)]
pub(super) struct ReadingArguments {
    /// Which kind of trial it holds.
    #[arg(long, value_parser = kinds())]
    kind: Kind,
    /// Samples a second, for a file without a time column.
    #[arg(long, value_name = "HZ", value_parser = positive)]
    rate: Option<f64>,
    /// Columns by name or number, with a unit if the file states none:
    /// time=NAME,force=NAME,left=NAME,right=NAME,box=NAME,position=NAME:cm; time=none.
    /// In C3D, plates by number: left=1,right=2.
    /// Or the name under which a gym remembers them, with --data: "plate in the corner".
    #[arg(long, value_parser = columns)]
    columns: Option<Columns>,
    /// Decimal mark, where it cannot be told.
    #[arg(long, value_enum)]
    decimal: Option<DecimalArgument>,
    /// Body mass as logged, to check the weighing against.
    #[arg(long, value_name = "KG", value_parser = positive)]
    body_mass: Option<f64>,
    /// Mass of the bar carried or lifted, with all that hangs on it; or of a vest.
    #[arg(long, value_name = "KG", value_parser = not_negative, default_value = "0")]
    bar: f64,
    /// Height of the box of a drop jump.
    #[arg(long, value_name = "M", value_parser = positive)]
    box_height: Option<f64>,
    /// The isometric effort is a horizontal push: body weight is not in the force.
    #[arg(long)]
    horizontal: bool,
    /// The bar is thrown or jumped with.
    #[arg(long)]
    ballistic: bool,
    /// Take a wandering zero of the plate off, as straight lines between its empty readings. What a
    /// plate does while it is loaded cannot be seen, so only when asked.
    #[arg(long)]
    level_zero: bool,
    /// Take the velocity left over when standing still again off, as a straight line from the onset
    /// of a countermovement or squat jump. It makes any jump end at rest, so only when asked.
    #[arg(long)]
    close_velocity: bool,
}

/// The kinds of trial by their ids, so that help and refusal list them.
fn kinds() -> impl TypedValueParser<Value = Kind> {
    let ids = PossibleValuesParser::new(Kind::ALL.map(Kind::id));
    ids.try_map(|id| Kind::from_id(&id).ok_or("no kind of trial"))
}

#[derive(Clone, Copy, ValueEnum)]
enum DecimalArgument {
    Point,
    Comma,
}

/// Columns as someone names them.
#[derive(Clone, Debug)]
enum Columns {
    /// One by one.
    Stated(ColumnChoices),
    /// By the name a gym remembers them under.
    Remembered(String),
}

fn columns(text: &str) -> Result<Columns, ChoiceError> {
    if text.contains('=') {
        text.parse().map(Columns::Stated)
    } else {
        Ok(Columns::Remembered(text.to_owned()))
    }
}

fn positive(text: &str) -> Result<f64, String> {
    not_negative(text)
        .ok()
        .filter(|value| *value > 0.0)
        .ok_or_else(|| "a number greater than zero is needed".into())
}

fn not_negative(text: &str) -> Result<f64, String> {
    text.parse()
        .ok()
        .filter(|value: &f64| value.is_finite() && *value >= 0.0)
        .ok_or_else(|| "a number, zero or greater, is needed".into())
}

impl ReadingArguments {
    /// What the reader is told; a gym's traces are asked for a remembered name.
    pub(super) fn chosen(&self, traces: Option<&Traces>) -> Result<Chosen, String> {
        let decimal_mark = self.decimal.map(|mark| match mark {
            DecimalArgument::Point => b'.',
            DecimalArgument::Comma => b',',
        });
        let columns = match &self.columns {
            None => ColumnChoices::default(),
            Some(Columns::Stated(choices)) => choices.clone(),
            Some(Columns::Remembered(name)) => {
                let named = traces.and_then(|traces| traces.reading_named(name));
                let mut chosen =
                    trace::chosen(&named.ok_or_else(|| not_remembered(name))?.reading)?;
                chosen.rate_hz = self.rate.or(chosen.rate_hz);
                chosen.decimal_mark = decimal_mark.or(chosen.decimal_mark);
                return Ok(chosen);
            }
        };
        Ok(Chosen { columns, rate_hz: self.rate, decimal_mark })
    }

    /// Whether the columns are stated at all.
    pub(super) const fn states_columns(&self) -> bool {
        self.columns.is_some()
    }

    /// Whether a gym must be asked for them.
    pub(super) const fn asks_gym(&self) -> bool {
        matches!(self.columns, Some(Columns::Remembered(_)))
    }

    /// Which kind of trial is meant.
    pub(super) const fn kind(&self) -> Kind {
        self.kind
    }

    /// The same as it is typed on the page.
    pub(super) fn typed(&self) -> TypedFiling {
        TypedFiling {
            kind: self.kind().id().to_owned(),
            load_kg: self.bar.to_string(),
            box_cm: self.box_height.map_or_else(String::new, |m| (m * 100.0).to_string()),
            horizontal: self.horizontal,
            ballistic: self.ballistic,
            ..TypedFiling::default()
        }
    }

    /// Whether drift is taken off, which a gym does not do: it keeps recordings as they are.
    pub(super) const fn takes_drift_off(&self) -> bool {
        self.level_zero || self.close_velocity
    }

    /// Drift that is to be taken off.
    fn drift(&self) -> Result<Drift, String> {
        let kind = self.kind();
        let from_standing = matches!(kind, Kind::CountermovementJump | Kind::SquatJump);
        let flies = !matches!(kind, Kind::Isometric | Kind::Bar);
        for (asked, fits, switch, what) in [
            (self.level_zero, flies, "--level-zero", "the empty plate is only seen in jumps"),
            (
                self.close_velocity,
                from_standing,
                "--close-velocity",
                "only countermovement and squat jumps begin and end standing still",
            ),
        ] {
            if asked && !fits {
                return Err(format!("Leave out {switch}: {what}."));
            }
        }
        Ok(Drift { level_zero: self.level_zero, close_velocity: self.close_velocity })
    }

    /// What is asked of the recording.
    pub(super) fn question(&self) -> Result<Question, String> {
        let drift = self.drift()?;
        Ok(Question {
            kind: self.kind(),
            conditions: Conditions {
                gravity: STANDARD_GRAVITY,
                body_mass: self.body_mass.map(Mass::kilograms),
                load: Mass::kilograms(self.bar),
                box_height: self.box_height.map(Length::metres),
                moved: MovedEvents::default(),
            },
            direction: if self.horizontal { Direction::Horizontal } else { Direction::Vertical },
            ballistic: self.ballistic,
            drift,
        })
    }
}

fn not_remembered(name: &str) -> String {
    format!(
        "No way of reading is remembered as \"{name}\". Say with --data which gym remembers it, or \
         state the columns: time=NAME,force=NAME."
    )
}

/// Reads the recording and prints what it shows.
pub(super) fn run(arguments: &TraceArguments) -> Result<(), String> {
    let chosen = match &arguments.data {
        Some(data) if arguments.reading.asks_gym() => {
            let ledger = gym_of(data)?;
            arguments.reading.chosen(Some(&ledger.gym().traces))?
        }
        _ => arguments.reading.chosen(None)?,
    };
    let question = arguments.reading.question()?;
    let mut input = std::io::stdin().lock();
    let source = if arguments.file == Path::new("-") {
        Source::Stream(&mut input)
    } else {
        Source::File(&arguments.file)
    };
    let (analysis, columns) = trace::answer(source, &chosen, &question)
        .map_err(|error| reading_options::refusal(&error))?;
    if let Some(path) = &arguments.svg {
        save_laid_out(trace::figure(&analysis), Layout::new("trace", PICTURE_WIDTH), path)?;
    }
    if arguments.json {
        let document = output::json(&analysis, columns.as_deref(), arguments.explain);
        answer::print(&format!("{document:#}\n"))
    } else {
        answer::print(&output::text(&analysis, columns.as_deref(), arguments.explain))
    }
}

/// The record of a gym, read and let go.
fn gym_of(data: &Path) -> Result<Ledger, String> {
    let operations = waited(async {
        let store = SqliteStore::open_existing(data).await?;
        let operations = store.load().await?;
        store.close().await;
        Ok(operations)
    })?;
    Ok(Ledger::replay(operations))
}
