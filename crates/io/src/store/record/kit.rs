//! Bars, plates, boxes and loads as they are kept.

use super::scalar::{Number, each, words};
use cornerwork_core::kit::{Bar, BarKind, KitError, Plate, PlateRack, PlateStack};
use cornerwork_core::session::operation::Change;
use cornerwork_core::session::rep::Load;
use cornerwork_core::units::{Length, Mass};
use serde::{Deserialize, Serialize};

words!(BarKindRecord, BarKind { Straight, Hex, Landmine });

/// A bar, checked again when it is read.
#[derive(Clone, Serialize, Deserialize)]
#[serde(try_from = "BarFields", into = "BarFields")]
pub(super) struct BarWeighed(pub Bar);

#[derive(Serialize, Deserialize)]
struct BarFields {
    id: String,
    name: String,
    held: BarKindRecord,
    /// Since version 2.
    #[serde(default)]
    held_also: Vec<BarKindRecord>,
    mass_kg: Number,
    assumed: bool,
}

impl From<BarWeighed> for BarFields {
    fn from(BarWeighed(bar): BarWeighed) -> Self {
        let mass_kg = Number(bar.mass().in_kilograms());
        let Bar { id, name, kind, also, assumed, .. } = bar;
        Self { id, name, held: kind.into(), held_also: each(also), mass_kg, assumed }
    }
}

impl TryFrom<BarFields> for BarWeighed {
    type Error = KitError;
    fn try_from(fields: BarFields) -> Result<Self, KitError> {
        let BarFields { id, name, held, held_also, mass_kg, assumed } = fields;
        let checked = if assumed { Bar::assumed } else { Bar::weighed };
        let bar = checked(id, name, Mass::kilograms(mass_kg.0), held.into())?;
        Ok(Self(bar.held_also(held_also.into_iter().map(Into::into))))
    }
}

impl From<BarWeighed> for Change {
    fn from(BarWeighed(bar): BarWeighed) -> Self {
        Self::BarWeighed(bar)
    }
}

/// A plate, checked again when it is read.
#[derive(Clone, Serialize, Deserialize)]
#[serde(try_from = "PlateFields", into = "PlateFields")]
pub(super) struct PlateRecord(Plate);

#[derive(Serialize, Deserialize)]
struct PlateFields {
    label: String,
    mass_kg: Number,
}

impl From<PlateRecord> for PlateFields {
    fn from(PlateRecord(plate): PlateRecord) -> Self {
        Self { label: plate.label().to_owned(), mass_kg: Number(plate.mass().in_kilograms()) }
    }
}

impl TryFrom<PlateFields> for PlateRecord {
    type Error = KitError;
    fn try_from(PlateFields { label, mass_kg }: PlateFields) -> Result<Self, KitError> {
        Plate::new(label, Mass::kilograms(mass_kg.0)).map(Self)
    }
}

impl From<Plate> for PlateRecord {
    fn from(plate: Plate) -> Self {
        Self(plate)
    }
}

impl From<PlateRecord> for Plate {
    fn from(PlateRecord(plate): PlateRecord) -> Self {
        plate
    }
}

/// The plates of the gym, checked again when they are read.
#[derive(Clone, Serialize, Deserialize)]
#[serde(try_from = "RackFields", into = "RackFields")]
pub(super) struct PlatesCounted(pub PlateRack);

#[derive(Serialize, Deserialize)]
struct RackFields {
    stacks: Vec<StackFields>,
    collar_kg: Number,
}

#[derive(Serialize, Deserialize)]
struct StackFields {
    plate: PlateRecord,
    count: u32,
}

impl From<PlatesCounted> for RackFields {
    fn from(PlatesCounted(rack): PlatesCounted) -> Self {
        let fields = |stack: &PlateStack| StackFields {
            plate: stack.plate.clone().into(),
            count: stack.count,
        };
        Self {
            stacks: rack.stacks().iter().map(fields).collect(),
            collar_kg: Number(rack.collar().in_kilograms()),
        }
    }
}

impl TryFrom<RackFields> for PlatesCounted {
    type Error = KitError;
    fn try_from(RackFields { stacks, collar_kg }: RackFields) -> Result<Self, KitError> {
        let stack =
            |fields: StackFields| PlateStack { plate: fields.plate.into(), count: fields.count };
        PlateRack::of(stacks.into_iter().map(stack))
            .with_collars(Mass::kilograms(collar_kg.0))
            .map(Self)
    }
}

impl From<PlatesCounted> for Change {
    fn from(PlatesCounted(rack): PlatesCounted) -> Self {
        Self::PlatesCounted(rack)
    }
}

/// The boxes of the gym.
#[derive(Serialize, Deserialize)]
pub(super) struct BoxesMeasured {
    heights_m: Vec<Number>,
}

impl From<Vec<Length>> for BoxesMeasured {
    fn from(heights: Vec<Length>) -> Self {
        let number = |height: Length| Number(height.in_metres());
        Self { heights_m: heights.into_iter().map(number).collect() }
    }
}

impl From<BoxesMeasured> for Change {
    fn from(BoxesMeasured { heights_m }: BoxesMeasured) -> Self {
        Self::BoxesMeasured(heights_m.into_iter().map(|height| Length::metres(height.0)).collect())
    }
}

/// What hangs, with the total as it was weighed then.
#[derive(Serialize, Deserialize)]
pub(super) struct LoadRecord {
    bar: Option<String>,
    plates: Vec<PlateRecord>,
    total_kg: Number,
}

impl From<Load> for LoadRecord {
    fn from(Load { bar, plates, total }: Load) -> Self {
        Self { bar, plates: each(plates), total_kg: Number(total.in_kilograms()) }
    }
}

impl From<LoadRecord> for Load {
    fn from(LoadRecord { bar, plates, total_kg }: LoadRecord) -> Self {
        Self { bar, plates: each(plates), total: Mass::kilograms(total_kg.0) }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) struct JumpMatCompared {
    pub(super) reads_high_by_m: Number,
    pub(super) against: String,
}

impl From<JumpMatCompared> for Change {
    fn from(JumpMatCompared { reads_high_by_m, against }: JumpMatCompared) -> Self {
        Self::JumpMatCompared { reads_high_by: Length::metres(reads_high_by_m.0), against }
    }
}
