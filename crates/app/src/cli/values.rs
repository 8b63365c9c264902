//! Tables of values of one test: `value`, or `value_cm` and the like, in the unit of the column.

use cornerwork_core::exercise::Unit;
use cornerwork_io::readers::table::{Reading, Table, Wanted};

const VALUE: Wanted = Wanted {
    quantity: "value",
    units: &[
        Unit::One,
        Unit::Centimetre,
        Unit::Metre,
        Unit::Second,
        Unit::Millisecond,
        Unit::MetrePerSecond,
        Unit::Newton,
        Unit::Watt,
        Unit::Kilogram,
        Unit::KilogramMetrePerSecond,
    ],
};

/// The values of a table as they are written, and the unit of their column.
pub(super) struct Values {
    /// One a row, in the unit of the column.
    pub(super) readings: Vec<Reading>,
    /// Empty where the column states none.
    pub(super) unit: &'static str,
}

impl Values {
    /// Reads the column.
    ///
    /// # Errors
    /// A sentence when there is none, or what stands in it is no number.
    pub(super) fn of(table: &Table) -> Result<Self, String> {
        let values = table.readings(VALUE).map_err(|error| error.to_string())?;
        Ok(Self { unit: values.unit.symbol(), readings: values.values })
    }
}

/// A number with its unit, which may be none.
pub(super) fn with_unit(number: &str, unit: &str) -> String {
    if unit.is_empty() { number.to_owned() } else { format!("{number} {unit}") }
}
