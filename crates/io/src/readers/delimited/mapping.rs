//! Which column is what: guessed from names and units, shown for confirmation, chosen by name.

use super::error::DelimitedError;
use super::heading::Heading;
use super::layout::{Column, Layout};
use super::unit::{Quantity, Unit};
use crate::readers::plates_added_up;
use cornerwork_core::capture::PlatePlace;
use cornerwork_core::note::Note;

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// The clock.
    Time,
    /// Vertical force of the plate at a place.
    Force(PlatePlace),
    /// Position of the bar along the vertical.
    Position,
}

impl Role {
    /// The word it is chosen by.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Time => "time",
            Self::Force(PlatePlace::Whole) => "force",
            Self::Force(PlatePlace::Left) => "left",
            Self::Force(PlatePlace::Right) => "right",
            Self::Force(PlatePlace::Box) => "box",
            Self::Position => "position",
        }
    }

    const fn quantity(self) -> Quantity {
        match self {
            Self::Time => Quantity::Time,
            Self::Force(_) => Quantity::Force,
            Self::Position => Quantity::Length,
        }
    }

    /// The role of a word.
    pub fn from_word(word: &str) -> Option<Self> {
        [
            Self::Time,
            Self::Force(PlatePlace::Whole),
            Self::Force(PlatePlace::Left),
            Self::Force(PlatePlace::Right),
            Self::Force(PlatePlace::Box),
            Self::Position,
        ]
        .into_iter()
        .find(|role| role.word() == word)
    }
}

/// What the file is read for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wanted {
    /// Vertical force.
    Force,
    /// Position of a bar.
    Position,
}

impl Wanted {
    const fn word(self) -> &'static str {
        match self {
            Self::Force => "force",
            Self::Position => "position",
        }
    }
}

/// Columns chosen by hand: `time=Zeit:ms,left=Fz1,right=Fz2`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ColumnChoices {
    chosen: Vec<(Role, String, Option<Unit>)>,
    /// `time=none`: a time column is not to be used.
    without_time: bool,
}

impl ColumnChoices {
    /// Every column there is to be, so that nothing is guessed: with no time among them a rate
    /// takes its place.
    pub fn complete(columns: impl IntoIterator<Item = (Role, String, Option<Unit>)>) -> Self {
        let chosen: Vec<_> = columns.into_iter().collect();
        let without_time = chosen.iter().all(|(role, ..)| *role != Role::Time);
        Self { chosen, without_time }
    }

    /// Plates chosen by number from one, for files that have plates and no columns; or the first
    /// choice that is no such number.
    pub fn plates(&self) -> Result<Vec<(PlatePlace, usize)>, ChoiceError> {
        let plate = |(role, name, _): &(Role, String, Option<Unit>)| match (role, name.parse()) {
            (Role::Force(place), Ok(number)) => Ok((*place, number)),
            _ => Err(ChoiceError(format!("{}={name}", role.word()))),
        };
        self.chosen.iter().map(plate).collect()
    }
}

/// A choice of columns that cannot be understood.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "\"{0}\" is no choice of a column; write ROLE=NAME or ROLE=NAME:UNIT with the roles time, \
     force, left, right, box, position, such as time=none or left=Fz1:N"
)]
pub struct ChoiceError(pub String);

impl std::str::FromStr for ColumnChoices {
    type Err = ChoiceError;

    fn from_str(text: &str) -> Result<Self, ChoiceError> {
        let mut choices = Self::default();
        for part in text.split(',') {
            let wrong = || ChoiceError(part.trim().to_owned());
            let (word, name) = part.split_once('=').ok_or_else(wrong)?;
            let role = Role::from_word(word.trim()).ok_or_else(wrong)?;
            let name = name.trim();
            let unit = name
                .rsplit_once(':')
                .and_then(|(name, unit)| Some((name.trim(), Unit::find(unit.trim())?)));
            match unit {
                _ if name.is_empty() => return Err(wrong()),
                None if role == Role::Time && name == "none" => choices.without_time = true,
                None => choices.chosen.push((role, name.to_owned(), None)),
                Some((name, unit)) => choices.chosen.push((role, name.to_owned(), Some(unit))),
            }
        }
        Ok(choices)
    }
}

/// The columns a capture is made from.
#[derive(Clone, Debug, PartialEq)]
pub struct ColumnMapping {
    /// The clock; `None` when a rate takes its place.
    pub time: Option<MappedColumn>,
    /// Force of each plate, or the one position.
    pub signals: Vec<MappedColumn>,
    /// What was guessed and should be looked at.
    pub notes: Vec<Note>,
}

/// One column with its role.
#[derive(Clone, Debug, PartialEq)]
pub struct MappedColumn {
    /// Index in the file, from zero.
    pub index: usize,
    /// Name in the file, or its number.
    pub name: String,
    /// What it holds.
    pub role: Role,
    /// Its unit; `None` when the file does not state one.
    pub unit: Option<Unit>,
}

impl ColumnMapping {
    /// The mapping as one would choose it by hand: `time=Time[s]:s,force=GRF[N]:N`.
    pub fn as_choices(&self) -> String {
        let columns = self.time.iter().chain(&self.signals);
        let one = |column: &MappedColumn| {
            let unit = column.unit.map(|unit| format!(":{}", unit.symbol)).unwrap_or_default();
            format!("{}={}{unit}", column.role.word(), column.name)
        };
        columns.map(one).collect::<Vec<_>>().join(",")
    }
}

const TIME: &[&str] =
    &["time", "zeit", "tiempo", "temps", "tempo", "timestamp", "elapsed", "clock", "t"];
const FORCE: &[&str] = &[
    "force", "fz", "grf", "grfz", "vgrf", "vgrfz", "fv", "kraft", "fuerza", "forza", "load",
    "loadcell",
];
const VERTICAL: &[&str] = &["fz", "z", "vertical", "grfz", "vgrf", "vgrfz", "fv", "vert"];
const NOT_VERTICAL: &[&str] = &[
    "fx",
    "fy",
    "x",
    "y",
    "ap",
    "ml",
    "horizontal",
    "anterior",
    "posterior",
    "medial",
    "lateral",
    "shear",
    "mx",
    "my",
    "mz",
    "moment",
    "torque",
    "cop",
    "copx",
    "copy",
    "velocity",
    "power",
    "rate",
    "impulse",
];
const POSITION: &[&str] = &[
    "position",
    "pos",
    "height",
    "displacement",
    "distance",
    "travel",
    "encoder",
    "weg",
    "hub",
    "posicion",
    "altura",
];
const NOT_POSITION: &[&str] = &["x", "velocity", "speed", "acceleration", "force", "power"];
const LEFT: &[&str] = &["left", "l", "links", "linke", "izquierda", "izq", "gauche"];
const RIGHT: &[&str] = &["right", "r", "rechts", "rechte", "derecha", "der", "droite"];
const BOX: &[&str] = &["box"];
const TOTAL: &[&str] = &["total", "sum", "both", "combined", "summe", "gesamt"];

/// Proposes which column is what; chosen ones are taken as chosen.
pub(in crate::readers) fn propose(
    layout: &Layout,
    wanted: Wanted,
    choices: &ColumnChoices,
) -> Result<ColumnMapping, DelimitedError> {
    let mut mapping = ColumnMapping { time: None, signals: Vec::new(), notes: Vec::new() };
    for (role, name, unit) in &choices.chosen {
        let column = mapped(layout, find(layout, name)?, *role, *unit);
        match role {
            Role::Time => mapping.time = Some(column),
            _ => mapping.signals.push(column),
        }
    }
    if mapping.time.is_none() && !choices.without_time {
        mapping.time = guess_time(layout, &mapping.signals, &mut mapping.notes);
    }
    if mapping.signals.is_empty() {
        let used = mapping.time.as_ref().map(|time| time.index);
        mapping.signals = guess_signals(layout, wanted, used, &mut mapping.notes)?;
    }
    check(&mapping, wanted, layout)?;
    Ok(mapping)
}

fn mapped(layout: &Layout, index: usize, role: Role, unit: Option<Unit>) -> MappedColumn {
    let column = &layout.columns[index];
    MappedColumn { index, name: column.name.clone(), role, unit: unit.or(column.heading.unit) }
}

/// A column by its name, in any case, or by its number from one.
fn find(layout: &Layout, asked: &str) -> Result<usize, DelimitedError> {
    let by_name = |same: &dyn Fn(&str) -> bool| {
        layout.columns.iter().position(|column| column.is_named && same(&column.name))
    };
    by_name(&|name| name == asked)
        .or_else(|| by_name(&|name| name.eq_ignore_ascii_case(asked)))
        .or_else(|| {
            let number: usize = asked.parse().ok()?;
            number.checked_sub(1).filter(|index| *index < layout.columns.len())
        })
        .ok_or_else(|| DelimitedError::UnknownColumn {
            asked: asked.to_owned(),
            found: names(layout),
        })
}

fn names(layout: &Layout) -> Vec<String> {
    layout.columns.iter().map(|column| column.name.clone()).collect()
}

fn guess_time(
    layout: &Layout,
    signals: &[MappedColumn],
    notes: &mut Vec<Note>,
) -> Option<MappedColumn> {
    let free = |index: &usize| signals.iter().all(|signal| signal.index != *index);
    let is_time = |index: &usize| {
        let heading = &layout.columns[*index].heading;
        let other_unit = heading.unit.is_some_and(|unit| unit.quantity != Quantity::Time);
        let in_time = heading.unit.is_some_and(|unit| unit.quantity == Quantity::Time);
        let only_unit = heading.words.is_empty() && in_time;
        let bare_unit = matches!(heading.words.as_slice(), [word] if is_time_unit(word));
        !other_unit && (heading.has(TIME) || only_unit || bare_unit)
    };
    let by_name = (0..layout.columns.len()).filter(free).find(is_time);
    if let Some(index) = by_name {
        let heading = &layout.columns[index].heading;
        let bare = heading.words.first().and_then(|word| Unit::find(word));
        let bare = bare.filter(|unit| unit.quantity == Quantity::Time);
        return Some(mapped(layout, index, Role::Time, heading.unit.or(bare)));
    }
    let unnamed = layout.columns.iter().all(|column| !column.is_named);
    if unnamed && layout.columns.len() >= 2 && free(&0) && rises(layout, 0) {
        notes.push(Note::new(
            "guessed-time-column",
            "The first column rises steadily and was taken as time.",
        ));
        return Some(mapped(layout, 0, Role::Time, None));
    }
    None
}

fn is_time_unit(word: &str) -> bool {
    Unit::find(word).is_some_and(|unit| unit.quantity == Quantity::Time)
}

/// Whether the first values of a column only rise.
fn rises(layout: &Layout, column: usize) -> bool {
    let values: Option<Vec<f64>> =
        layout.preview.iter().map(|row| row.get(column).copied().flatten()).collect();
    values
        .is_some_and(|values| values.len() >= 3 && values.windows(2).all(|pair| pair[1] > pair[0]))
}

fn guess_signals(
    layout: &Layout,
    wanted: Wanted,
    time: Option<usize>,
    notes: &mut Vec<Note>,
) -> Result<Vec<MappedColumn>, DelimitedError> {
    let free = |(index, _): &(usize, &Column)| Some(*index) != time;
    let mut likely: Vec<usize> = layout
        .columns
        .iter()
        .enumerate()
        .filter(free)
        .filter(|(_, column)| is_likely(&column.heading, wanted))
        .map(|(index, _)| index)
        .collect();
    let heading = |index: usize| &layout.columns[index].heading;
    if wanted == Wanted::Force && likely.iter().any(|&index| heading(index).has(VERTICAL)) {
        likely.retain(|&index| heading(index).has(VERTICAL));
    }
    match (wanted, likely.as_slice()) {
        (_, []) => only_other_column(layout, wanted, time, notes),
        (Wanted::Position, [one]) => Ok(vec![mapped(layout, *one, Role::Position, None)]),
        (Wanted::Force, _) => plates(layout, &likely, notes),
        (Wanted::Position, _) => Err(unclear(layout, wanted, &likely)),
    }
}

fn unclear(layout: &Layout, wanted: Wanted, candidates: &[usize]) -> DelimitedError {
    DelimitedError::Unclear {
        wanted: wanted.word(),
        candidates: candidates.iter().map(|&index| layout.columns[index].name.clone()).collect(),
    }
}

fn is_likely(heading: &Heading, wanted: Wanted) -> bool {
    let (words, not, quantity) = match wanted {
        Wanted::Force => (FORCE, NOT_VERTICAL, Quantity::Force),
        Wanted::Position => (POSITION, NOT_POSITION, Quantity::Length),
    };
    let unit_fits = |unit: Unit| unit.quantity == quantity || is_body_weights(unit, wanted);
    let side = heading.has(LEFT) || heading.has(RIGHT);
    let unit_alone = heading.unit.is_some() && (heading.words.is_empty() || side);
    let named = heading.has(words) || heading.has(VERTICAL) && wanted == Wanted::Force;
    heading.unit.is_none_or(unit_fits)
        && !heading.has(not)
        && (named || unit_alone || (side && wanted == Wanted::Force && heading.words.len() == 1))
}

fn is_body_weights(unit: Unit, wanted: Wanted) -> bool {
    wanted == Wanted::Force && unit.quantity == Quantity::BodyWeights
}

/// Nothing has a telling name: then the only column there is beside time must be it.
fn only_other_column(
    layout: &Layout,
    wanted: Wanted,
    time: Option<usize>,
    notes: &mut Vec<Note>,
) -> Result<Vec<MappedColumn>, DelimitedError> {
    let has_numbers =
        |index: &usize| layout.preview.iter().any(|row| matches!(row.get(*index), Some(Some(_))));
    let others: Vec<usize> = (0..layout.columns.len())
        .filter(|index| Some(*index) != time)
        .filter(has_numbers)
        .collect();
    let [only] = others[..] else {
        return Err(DelimitedError::NoColumn { wanted: wanted.word(), found: names(layout) });
    };
    let role = match wanted {
        Wanted::Force => Role::Force(PlatePlace::Whole),
        Wanted::Position => Role::Position,
    };
    if layout.columns[only].is_named {
        notes.push(Note::new(
            "guessed-column",
            format!("\"{}\" was taken as the {}.", layout.columns[only].name, wanted.word()),
        ));
    }
    Ok(vec![mapped(layout, only, role, None)])
}

/// Sides if there is one plate each; else one plate; else the numbered parts of a whole.
fn plates(
    layout: &Layout,
    likely: &[usize],
    notes: &mut Vec<Note>,
) -> Result<Vec<MappedColumn>, DelimitedError> {
    let heading = |index: usize| &layout.columns[index].heading;
    let with = |words: &[&str]| -> Vec<usize> {
        likely.iter().copied().filter(|&index| heading(index).has(words)).collect()
    };
    let force = |index: usize, place| mapped(layout, index, Role::Force(place), None);
    let (left, right, boxes) = (with(LEFT), with(RIGHT), with(BOX));
    let above: Vec<MappedColumn> =
        boxes.iter().map(|&index| force(index, PlatePlace::Box)).collect();
    let mut floor: Vec<usize> =
        likely.iter().copied().filter(|index| !boxes.contains(index)).collect();
    if let ([left], [right]) = (&left[..], &right[..]) {
        if floor.len() > 2 {
            notes.push(Note::new(
                "total-not-used",
                "Left and right are read; the other force columns are not added to them.",
            ));
        }
        let sides = vec![force(*left, PlatePlace::Left), force(*right, PlatePlace::Right)];
        return Ok(sides.into_iter().chain(above).collect());
    }
    let totals = with(TOTAL);
    if let [total] = totals[..] {
        floor = vec![total];
    }
    if floor.is_empty() || (floor.len() > 1 && !are_numbered_parts(layout, &floor)) {
        return Err(unclear(layout, Wanted::Force, likely));
    }
    if floor.len() > 1 {
        notes.push(plates_added_up(floor.len()));
    }
    let whole = floor.into_iter().map(|index| force(index, PlatePlace::Whole));
    Ok(whole.chain(above).collect())
}

/// Whether the names differ only in a number, or a number and its plate.
fn are_numbered_parts(layout: &Layout, columns: &[usize]) -> bool {
    let stem = |index: &usize| -> Vec<&String> {
        let words = layout.columns[*index].heading.words.iter();
        words.filter(|word| !word.chars().all(char::is_numeric)).collect()
    };
    let numbered = |index: &usize| {
        layout.columns[*index].heading.words.iter().any(|word| word.chars().all(char::is_numeric))
    };
    columns.iter().all(numbered) && columns.windows(2).all(|pair| stem(&pair[0]) == stem(&pair[1]))
}

fn check(mapping: &ColumnMapping, wanted: Wanted, layout: &Layout) -> Result<(), DelimitedError> {
    let fits = |signal: &MappedColumn| match wanted {
        Wanted::Force => matches!(signal.role, Role::Force(_)),
        Wanted::Position => signal.role == Role::Position,
    };
    let usable = mapping.signals.iter().filter(|signal| fits(signal)).count();
    let enough = usable == mapping.signals.len() && (wanted == Wanted::Force || usable == 1);
    if !enough {
        return Err(DelimitedError::NoColumn { wanted: wanted.word(), found: names(layout) });
    }
    let mut seen = Vec::new();
    for column in mapping.time.iter().chain(&mapping.signals) {
        if seen.contains(&column.index) {
            return Err(DelimitedError::Unclear {
                wanted: column.role.word(),
                candidates: vec![column.name.clone()],
            });
        }
        seen.push(column.index);
        check_unit(column)?;
    }
    Ok(())
}

fn check_unit(column: &MappedColumn) -> Result<(), DelimitedError> {
    let Some(unit) = column.unit else { return Ok(()) };
    let wanted = column.role.quantity();
    if wanted == Quantity::Force && unit.quantity == Quantity::BodyWeights {
        return Err(DelimitedError::BodyWeights { column: column.name.clone() });
    }
    if unit.quantity != wanted {
        return Err(DelimitedError::WrongUnit {
            column: column.name.clone(),
            symbol: unit.symbol,
            wanted,
        });
    }
    Ok(())
}
