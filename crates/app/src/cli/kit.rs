//! The bar and the plates at hand, from the command line.

use clap::Args;
use cornerwork_core::kit::{
    Bar, BarKind, KitError, Loadable, Plate, PlateRack, PlateStack, loadable,
};
use cornerwork_core::note::Note;
use cornerwork_core::units::Mass;

/// Steps of load looked at when nobody says what is at hand.
const STEP_KG: f64 = 5.0;
/// As many of them as reach the heaviest load of any jump.
const STEPS: u32 = 80;

/// Bar and plates that need not be told.
#[derive(Args)]
pub(super) struct KitArguments {
    /// Mass of the bar, as weighed.
    #[arg(long, value_name = "KG", allow_negative_numbers = true)]
    bar: Option<f64>,
    /// Plates at hand in pairs, in kg: 20,15,10x2,5 is one pair of 20, one of 15, two of 10 and
    /// one of 5.
    #[arg(long, value_name = "LIST", requires = "bar", value_parser = pairs, allow_hyphen_values = true)]
    plates: Option<Pairs>,
}

/// Plates by mass in kg and number of pairs.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Pairs(Vec<(f64, u32)>);

/// Reads `20,15,10x2,5`.
pub(super) fn pairs(text: &str) -> Result<Pairs, String> {
    let pair = |item: &str| {
        let (mass, count) = item.split_once(['x', 'X', '×']).unwrap_or((item, "1"));
        let mass = mass.trim().parse().ok()?;
        let count = count.trim().parse().ok().filter(|count| *count > 0)?;
        Some((mass, count))
    };
    let pairs: Option<Vec<_>> = text.split(',').map(pair).collect();
    pairs.map(Pairs).ok_or_else(|| "plates are listed in kg like 20,15,10x2,5".to_owned())
}

impl KitArguments {
    /// Everything that can be loaded.
    ///
    /// # Errors
    /// A sentence for a bar or plate that cannot weigh what it is said to.
    pub(super) fn loads(&self) -> Result<Loads, String> {
        let Some(bar) = self.bar else { return Ok(Loads::in_steps()) };
        let no_plates = Pairs(Vec::new());
        Loads::of(bar, self.plates.as_ref().unwrap_or(&no_plates))
    }
}

/// The loads there are to choose from, lightest first.
pub(super) struct Loads {
    /// The bar, when told.
    pub(super) bar: Option<Mass>,
    masses: Vec<Mass>,
    hung: Vec<Loadable>,
}

impl Loads {
    /// What a bar and these plates make.
    ///
    /// # Errors
    /// As [`KitArguments::loads`].
    pub(super) fn of(bar_kg: f64, pairs: &Pairs) -> Result<Self, String> {
        Self::made(bar_kg, pairs).map_err(|error| error.to_string())
    }

    fn made(bar_kg: f64, pairs: &Pairs) -> Result<Self, KitError> {
        let bar = Bar::weighed("bar", "bar", Mass::kilograms(bar_kg), BarKind::Straight)?;
        let stack = |&(kg, count): &(f64, u32)| {
            Plate::kilograms(kg).map(|plate| PlateStack { plate, count: count.saturating_mul(2) })
        };
        let rack = PlateRack::of(pairs.0.iter().map(stack).collect::<Result<Vec<_>, _>>()?);
        let hung = loadable(&bar, &rack);
        let masses = hung.iter().map(Loadable::total).collect();
        Ok(Self { bar: Some(bar.mass()), masses, hung })
    }

    /// Even steps, when nobody says what is at hand.
    fn in_steps() -> Self {
        let masses = (1..=STEPS).map(|step| Mass::kilograms(STEP_KG * f64::from(step))).collect();
        Self { bar: None, masses, hung: Vec::new() }
    }

    /// The loads themselves.
    pub(super) fn masses(&self) -> &[Mass] {
        &self.masses
    }

    /// Bar and plates of each load; nothing when they were not told.
    pub(super) fn hung(&self) -> &[Loadable] {
        &self.hung
    }

    /// What to hang for a load, in words; nothing for no load or when the kit was not told.
    pub(super) fn plates_for(&self, load: Mass) -> Option<String> {
        self.hung.iter().find(|one| one.total() == load).map(Loadable::in_words)
    }

    /// A load as said on the floor: "60 kg: 15 + 5 a side".
    pub(super) fn in_words(&self, load: Mass) -> String {
        let mass = kilograms(load);
        match self.plates_for(load) {
            Some(plates) => format!("{mass}: {plates}"),
            None if load == Mass::ZERO => "no load".to_owned(),
            None => mass,
        }
    }

    /// What is to be said when the kit was not told.
    pub(super) fn note(&self) -> Option<Note> {
        self.bar.is_none().then(|| {
            Note::new(
                "kit-not-told",
                format!(
                    "Bar and plates were not told, so loads are looked at in steps of {STEP_KG} \
                     kg. Give --bar and --plates for loads that can be hung."
                ),
            )
        })
    }
}

/// A load in kilograms with as many decimals as it needs, at most two: "62.5 kg".
pub(super) fn kilograms(mass: Mass) -> String {
    let text = format!("{:.2}", mass.in_kilograms());
    format!("{} kg", text.trim_end_matches('0').trim_end_matches('.'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plates_are_listed_in_pairs() {
        assert_eq!(
            pairs("20,15,10x2,1.25"),
            Ok(Pairs(vec![(20.0, 1), (15.0, 1), (10.0, 2), (1.25, 1)]))
        );
        for text in ["", "20,,5", "x2", "20x0", "20x", "twenty", "20;10"] {
            assert!(pairs(text).is_err(), "{text}");
        }
    }

    // Bar 20 kg, pairs 25x2, 20, 15, 10, 5, 2.5, 1.25: 62.5 kg is 20 + 1.25 a side, by hand.
    #[test]
    fn a_load_is_said_with_its_plates() {
        let loads = Loads::of(20.0, &pairs("25x2,20,15,10,5,2.5,1.25").unwrap()).unwrap();
        assert_eq!(loads.in_words(Mass::kilograms(62.5)), "62.5 kg: 20 + 1.25 a side");
        assert_eq!(loads.in_words(Mass::kilograms(20.0)), "20 kg: bar alone");
        assert_eq!(loads.in_words(Mass::ZERO), "no load");
    }
}
