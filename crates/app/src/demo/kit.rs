//! What stands in the gym: bars as weighed, plates as counted, boxes as measured.

use cornerwork_core::kit::{
    Bar, BarKind, Loadable, Plate, PlateRack, PlateStack, loadable, nearest,
};
use cornerwork_core::session::rep::Load;
use cornerwork_core::units::{Length, Mass};
use std::sync::LazyLock;

pub(super) const HEX_LIGHT: &str = "hex-light";
pub(super) const HEX_BLUE: &str = "hex-blue";
pub(super) const LANDMINE_LIGHT: &str = "landmine-light";
pub(super) const LANDMINE_HEAVY: &str = "landmine-heavy";

/// What the blue bar weighs beyond its stamp of 25 kg.
pub(super) const BLUE_BAR_UNSEEN_KG: f64 = 2.4;

fn weighed(id: &str, name: &str, kilograms: f64, kind: BarKind) -> Bar {
    Bar::weighed(id, name, Mass::kilograms(kilograms), kind)
        .expect("bars of the table have the mass of a bar")
}

pub(super) fn hex_light() -> Bar {
    weighed(HEX_LIGHT, "hex light", 15.0, BarKind::Hex)
}

/// The blue bar as it was believed before it was weighed.
pub(super) fn hex_blue_as_stamped() -> Bar {
    Bar::assumed(HEX_BLUE, "hex blue", Mass::kilograms(25.0), BarKind::Hex)
        .expect("the stamp is the mass of a bar")
}

pub(super) fn hex_blue() -> Bar {
    weighed(HEX_BLUE, "hex blue", 25.0 + BLUE_BAR_UNSEEN_KG, BarKind::Hex)
}

pub(super) fn landmine_light() -> Bar {
    weighed(LANDMINE_LIGHT, "landmine 2", 15.0, BarKind::Landmine)
}

pub(super) fn landmine_heavy() -> Bar {
    weighed(LANDMINE_HEAVY, "landmine 1", 20.0, BarKind::Landmine)
}

/// The plates stamped in kilograms: the ones the coach plans with.
pub(super) fn kilogram_plates() -> PlateRack {
    let counts = [(20.0, 4), (15.0, 2), (10.0, 6), (5.0, 6), (2.5, 6), (1.25, 4)];
    PlateRack::of(counts.map(|(kilograms, count)| {
        let plate = Plate::kilograms(kilograms).expect("plates of the table weigh what plates do");
        PlateStack { plate, count }
    }))
}

/// All plates: a pair of 45 lb stands among the twenties.
pub(super) fn plates() -> PlateRack {
    let plate = Plate::new("45 lb", Mass::pounds(45.0)).expect("45 lb is the mass of a plate");
    kilogram_plates().joined(&PlateRack::of([PlateStack { plate, count: 2 }]))
}

pub(super) fn boxes() -> Vec<Length> {
    let sizes_cm = [15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0];
    let stamped_in_inches = Length::inches(24.0);
    sizes_cm.map(Length::centimetres).into_iter().chain([stamped_in_inches]).collect()
}

/// A bar with everything the kilogram plates can make on it, worked out once.
#[derive(Debug)]
pub(super) struct Loads {
    bar: Bar,
    loads: Vec<Loadable>,
}

pub(super) static ON_HEX_LIGHT: LazyLock<Loads> = LazyLock::new(|| Loads::on(hex_light()));
pub(super) static ON_HEX_BLUE_AS_STAMPED: LazyLock<Loads> =
    LazyLock::new(|| Loads::on(hex_blue_as_stamped()));
pub(super) static ON_LANDMINE_LIGHT: LazyLock<Loads> =
    LazyLock::new(|| Loads::on(landmine_light()));
pub(super) static ON_LANDMINE_HEAVY: LazyLock<Loads> =
    LazyLock::new(|| Loads::on(landmine_heavy()));

impl Loads {
    fn on(bar: Bar) -> Self {
        Self { loads: loadable(&bar, &kilogram_plates()), bar }
    }

    pub(super) fn bar_alone(&self) -> Load {
        self.with_plates(0.0)
    }

    /// The load whose plates come nearest to this mass.
    pub(super) fn with_plates(&self, plates_kg: f64) -> Load {
        self.nearest(self.bar.mass().in_kilograms() + plates_kg)
    }

    /// The load nearest to a total.
    pub(super) fn nearest(&self, total_kg: f64) -> Load {
        let nearest = nearest(&self.loads, Mass::kilograms(total_kg));
        let nearest = nearest.expect("a bar can always hang alone");
        Load {
            bar: Some(self.bar.id.clone()),
            plates: nearest.per_side.clone(),
            total: nearest.total(),
        }
    }
}
