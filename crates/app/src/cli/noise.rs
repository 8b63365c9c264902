//! The noise that a change is held against: as given, as published, from the squad's own repeats,
//! or from the very table.

use crate::cli::repeats::RepeatTable;
use crate::cli::test_days::TestDays;
use clap::Args;
use cornerwork_core::estimate::Level;
use cornerwork_core::note::{Note, Noted};
use cornerwork_core::profile::change::TestNoise;
use cornerwork_core::profile::published_noise::{PUBLISHED, PublishedNoise, published};
use cornerwork_core::profile::series_noise;
use cornerwork_core::stats::reliability::{self, Reliability};
use std::path::{Path, PathBuf};

/// How the noise is said.
#[derive(Args)]
pub(super) struct NoiseArguments {
    /// Typical error of a day's mean, in the unit of the values: how far the test strays when
    /// nothing has changed. Without it, it is taken from the table.
    #[arg(
        long,
        value_name = "X",
        allow_negative_numbers = true,
        conflicts_with_all = ["test", "repeats"]
    )]
    typical_error: Option<f64>,
    /// Take the published typical error of this test, corrected by the squad's repeats and by the
    /// table.
    #[arg(long, value_name = "TEST")]
    test: Option<String>,
    /// The squad's own repeats of this test, by this athlete's group and method, as for
    /// `reliability`: one value a day. With --test they are weighed with the published value.
    #[arg(long, value_name = "FILE")]
    repeats: Option<PathBuf>,
}

impl NoiseArguments {
    /// The noise of a day's mean.
    ///
    /// # Errors
    /// A sentence when what was named cannot be read, or the table shows no noise.
    pub(super) fn noise(
        &self,
        tests: &TestDays,
        since_day: f64,
    ) -> Result<Noted<TestNoise>, String> {
        if let Some(typical_error) = self.typical_error {
            return Ok(Noted::clean(TestNoise::of_day_mean(typical_error, "what was given")));
        }
        let known = self.test.as_deref().map(published_test).transpose()?;
        let own = self.repeats.as_deref().map(|file| own(file, tests.unit)).transpose()?;
        match (known, own) {
            (None, None) => {
                series_noise::from_days(&tests.days, since_day).map_err(|error| error.to_string())
            }
            (None, Some(own)) => Ok(Noted::clean(of_repeats(&own))),
            (Some(known), own) => Ok(weighed(known, own.as_ref(), tests)),
        }
    }
}

/// The published typical error of a test.
///
/// # Errors
/// A sentence that names those there are.
pub(super) fn published_test(test: &str) -> Result<&'static PublishedNoise, String> {
    published(test).ok_or_else(|| {
        let all: Vec<&str> = PUBLISHED.iter().map(|known| known.test).collect();
        format!("No published reference for '{test}'; there is one for {}.", all.join(", "))
    })
}

fn own(file: &Path, unit: &str) -> Result<Reliability, String> {
    let table = RepeatTable::read(file, &[])?;
    if table.unit != unit {
        return Err(format!(
            "The repeats are in '{}' and the tests in '{unit}': give both in one unit.",
            table.unit
        ));
    }
    let cells = table.parts.first().map_or(&[][..], |repeats| &repeats.cells);
    let found = reliability::of(cells, Level::USUAL).map_err(|error| error.to_string())?;
    Ok(found.value)
}

fn of_repeats(own: &Reliability) -> TestNoise {
    TestNoise::of_day_mean(own.typical_error.estimate.value, "the squad's own repeats")
        .known_on(own.typical_error.degrees_of_freedom)
}

/// Own repeats drawn towards the published value, at the height of the last test.
fn weighed(
    known: &PublishedNoise,
    own: Option<&Reliability>,
    tests: &TestDays,
) -> Noted<TestNoise> {
    let today = tests.days.last().and_then(|day| day.mean()).unwrap_or(f64::NAN);
    let own = own.and_then(|own| {
        let percent = own.coefficient_of_variation_percent?.value;
        Some((percent, own.typical_error.degrees_of_freedom))
    });
    let weighed = known.weighed_with(own);
    let noise = TestNoise::of_day_mean(today.abs() * weighed.share(), weighed.sentence.clone())
        .known_on(weighed.degrees_of_freedom);
    Noted { value: noise, notes: vec![Note::new("typical-error-weighed", weighed.sentence)] }
}
