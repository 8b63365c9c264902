//! The calendar: weeks back from the bout, with phases and what is marked on days.

use super::Table;
use crate::words::weekday_day_and_year as written;
use jiff::civil::Date;

/// Weeks on a time axis, one layout of the camp or two under each other.
#[derive(Clone, Debug, PartialEq)]
pub struct Calendar {
    /// Heading.
    pub title: String,
    /// The finding in words.
    pub description: String,
    /// First day shown.
    pub from: Date,
    /// Last day shown.
    pub to: Date,
    /// Today, where it is shown.
    pub today: Option<Date>,
    /// One layout; two where something moved, the old above the new.
    pub layouts: Vec<CampLayout>,
}

/// One layout of a camp.
#[derive(Clone, Debug, PartialEq)]
pub struct CampLayout {
    /// What it is: "as it was"; empty where there is only one.
    pub name: String,
    /// Phases, earliest first.
    pub phases: Vec<NamedDays>,
    /// Bouts, with their names.
    pub bouts: Vec<NamedDays>,
    /// What happens on single days, a row each.
    pub rows: Vec<DayRow>,
}

/// Days with a name, both ends in it.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedDays {
    /// First day.
    pub from: Date,
    /// Last day.
    pub to: Date,
    /// What it is.
    pub name: String,
}

/// What happens on single days.
#[derive(Clone, Debug, PartialEq)]
pub struct DayRow {
    /// What: "sparring".
    pub name: String,
    /// On which days.
    pub days: Vec<Date>,
}

impl Calendar {
    /// Phases with their days, then bouts, then what is marked, layout by layout.
    pub fn table(&self) -> Table {
        let mut table = Table::new(["what", "from", "to"]);
        for layout in &self.layouts {
            let named = |what: &str| match layout.name.as_str() {
                "" => what.to_owned(),
                name => format!("{what}, {name}"),
            };
            for days in layout.phases.iter().chain(&layout.bouts) {
                table.row([named(&days.name), written(days.from), written(days.to)]);
            }
            for row in &layout.rows {
                for day in &row.days {
                    table.row([named(&row.name), written(*day), written(*day)]);
                }
            }
        }
        table
    }
}
