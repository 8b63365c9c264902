//! The table of jumps a coach typed: loads with heights or take-off velocities.

use crate::cli::input;
use cornerwork_core::exercise::Unit;
use cornerwork_core::note::{Note, Noted};
use cornerwork_core::profile::load_momentum::{
    HeightMethod, LoadMomentumError, LoadMomentumProfile, LoadMomentumSettings, LoadedJump,
};
use cornerwork_core::units::{Length, Mass, Velocity};
use cornerwork_io::readers::table::{Reading, Readings, Table, Wanted};
use std::path::Path;

/// The load of each row.
pub(super) const LOAD: Wanted = Wanted { quantity: "load", units: &[Unit::Kilogram, Unit::Pound] };
const HEIGHT: Wanted =
    Wanted { quantity: "height", units: &[Unit::Centimetre, Unit::Metre, Unit::Inch] };
const TAKE_OFF_VELOCITY: Wanted =
    Wanted { quantity: "take_off_velocity", units: &[Unit::MetrePerSecond] };

/// Heights in metres that a jump which counts can have; what lies outside is a slip of the unit.
/// The upper end is that of the profile, the lower one common practice, no source.
const HEIGHTS_M: std::ops::RangeInclusive<f64> = 0.02..=0.9;

/// Jumps with the line each stands on.
pub(super) struct JumpTable {
    /// The jumps, in the order of the file.
    pub(super) jumps: Vec<LoadedJump>,
    /// The line of each.
    lines: Vec<usize>,
    /// What is to be said of the table itself.
    pub(super) notes: Vec<Note>,
}

impl JumpTable {
    /// Reads a table with a column of loads and one of heights or take-off velocities, and
    /// perhaps `method` and `date`.
    ///
    /// # Errors
    /// A sentence that names the line and what is wrong there.
    pub(super) fn read(file: &Path) -> Result<Self, String> {
        Self::parse(&input::text(file)?)
    }

    fn parse(text: &str) -> Result<Self, String> {
        let table = Table::parse(text).map_err(|error| error.to_string())?;
        let measures = [HEIGHT, TAKE_OFF_VELOCITY];
        let measure = table.which(&measures).map_err(|error| error.to_string())?;
        let loads = table.readings(LOAD).map_err(|error| error.to_string())?;
        let measured = table.readings(measure).map_err(|error| error.to_string())?;
        if measure == HEIGHT {
            no_slip_of_the_unit(&measured)?;
        }
        let methods = methods(&table)?;
        let jump = |((load, measured), method): ((&Reading, &Reading), HeightMethod)| {
            let load = Mass::kilograms(load.si);
            if measure == HEIGHT {
                LoadedJump::of_height(load, Length::metres(measured.si), method)
            } else {
                LoadedJump::of_velocity(load, Velocity::metres_per_second(measured.si), method)
            }
        };
        Ok(Self {
            jumps: loads.values.iter().zip(&measured.values).zip(methods).map(jump).collect(),
            lines: loads.values.iter().map(|reading| reading.line).collect(),
            notes: several_days(&table).into_iter().collect(),
        })
    }

    /// The momentum profile of these jumps, with all that is to be said of it.
    ///
    /// # Errors
    /// A sentence that names the line where one is to blame.
    pub(super) fn momentum(
        &self,
        body_mass: Mass,
        settings: &LoadMomentumSettings,
    ) -> Result<Noted<LoadMomentumProfile>, String> {
        let mut profile = LoadMomentumProfile::fit(body_mass, &self.jumps, settings)
            .map_err(|error| self.in_words(&error))?;
        profile.notes.extend(self.notes.iter().cloned());
        profile.notes.extend(settings.lightest_bar.and_then(|bar| self.lighter_than(bar)));
        Ok(profile)
    }

    /// What is wrong, by the line of the file instead of the number of the jump.
    fn in_words(&self, error: &LoadMomentumError) -> String {
        let number = match error {
            LoadMomentumError::Load { number, .. }
            | LoadMomentumError::Height { number, .. }
            | LoadMomentumError::Velocity { number, .. }
            | LoadMomentumError::MixedMethods { number, .. } => *number,
            _ => return error.to_string(),
        };
        format!("Line {}: {error}", self.line(number))
    }

    /// The line of a jump counted from 1.
    pub(super) fn line(&self, number: usize) -> usize {
        self.lines[number - 1]
    }

    /// A load between none and the bar's own is probably plates counted without their bar.
    fn lighter_than(&self, bar: Mass) -> Option<Note> {
        let lighter = |jump: &&LoadedJump| jump.load > Mass::ZERO && jump.load < bar;
        let load = self.jumps.iter().find(lighter)?.load;
        Some(Note::new(
            "load-lighter-than-bar",
            format!(
                "A jump is with {:.1} kg, less than the bar of {:.1} kg: loads are the whole \
                 implement, bar and collars included. Check that the bar was not left out.",
                load.in_kilograms(),
                bar.in_kilograms()
            ),
        ))
    }
}

/// Refuses a height that only makes sense in another unit.
fn no_slip_of_the_unit(heights: &Readings) -> Result<(), String> {
    let in_unit =
        |reading: &Reading, unit: Unit| HEIGHTS_M.contains(&(reading.written * unit.in_si()));
    // Zero and below are for the profile to refuse: they are no height in any unit.
    let slip = |reading: &&Reading| reading.written > 0.0 && !in_unit(reading, heights.unit);
    let Some(reading) = heights.values.iter().find(slip) else { return Ok(()) };
    let (line, written, unit) = (reading.line, reading.written, heights.unit.symbol());
    let no_jump = format!("Line {line}: {written} {unit} is no jump");
    let other = HEIGHT.units.iter().find(|other| in_unit(reading, **other));
    Err(match other.map(|other| (other, heights.values.iter().all(|all| in_unit(all, *other)))) {
        Some((other, true)) => format!("{no_jump}; is the column in {}?", other.symbol()),
        Some((other, false)) => {
            let other = other.symbol();
            format!("{no_jump}; is this row in {other} and the others in {unit}?")
        }
        None => format!("{no_jump}; check the number, or take the row out."),
    })
}

/// How each jump was measured: not stated without a column that says so.
fn methods(table: &Table) -> Result<Vec<HeightMethod>, String> {
    match table.texts("method") {
        Some(cells) => cells.into_iter().map(|(line, text)| method(line, text)).collect(),
        None => Ok(vec![HeightMethod::NotStated; table.row_count()]),
    }
}

fn method(line: usize, text: &str) -> Result<HeightMethod, String> {
    let words = |method: HeightMethod| method.word().replace(' ', "_");
    let wanted = text.to_lowercase().replace([' ', '-'], "_");
    if wanted.is_empty() {
        return Ok(HeightMethod::NotStated);
    }
    let found = HeightMethod::ALL.into_iter().find(|method| words(*method) == wanted);
    found.ok_or_else(|| {
        let known = HeightMethod::ALL.map(HeightMethod::word).join(", ");
        format!("Line {line}: '{text}' is no method of measuring a jump; known are {known}.")
    })
}

fn several_days(table: &Table) -> Option<Note> {
    let dates = table.texts("date")?;
    let (_, first) = dates.first()?;
    dates.iter().any(|(_, date)| date != first).then(|| {
        Note::new(
            "several-days",
            "Jumps of several days stand together: how the athlete differs from day to day counts \
             here as noise of a jump.",
        )
    })
}
