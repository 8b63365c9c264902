//! The loads a bar and a rack can make, each with the fewest plates.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use super::{Bar, Plate, PlateRack, PlateStack, Sides, grams, mass_of};
use crate::units::Mass;

/// More than any sleeve carries; it bounds the search whatever was typed as a count.
const SLEEVE_GRAMS: i64 = 500_000;

/// A load that can be put together, and how: enough for a picture of the plates to hang.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Loadable {
    /// Plates on each loaded sleeve, from the inside out: the largest stands against the collar
    /// of the bar.
    pub per_side: Vec<Plate>,
    /// How many sleeves carry them.
    pub sides: Sides,
    grams: i64,
}

impl Loadable {
    /// Bar, plates and collars together, to the gram.
    pub fn total(&self) -> Mass {
        mass_of(self.grams)
    }

    /// All plates that leave the rack for it.
    pub fn plates(&self) -> impl Iterator<Item = &Plate> {
        (0..self.sides.count()).flat_map(|_| &self.per_side)
    }

    /// What to hang, as said on the floor: "20 + 1.25 a side", "10 + 2.5 on the end", "bar alone".
    pub fn in_words(&self) -> String {
        if self.per_side.is_empty() {
            return "bar alone".into();
        }
        let labels: Vec<&str> = self.per_side.iter().map(Plate::label).collect();
        let place = match self.sides {
            Sides::One => "on the end",
            Sides::Two => "a side",
        };
        format!("{} {place}", labels.join(" + "))
    }
}

/// Every load this bar can make with this rack, lightest (the bar alone) first, each total once.
///
/// A total that several stacks of plates can make keeps the one with the fewest plates, and of
/// those the one with the heaviest plates; so the answer does not depend on the order of the rack.
/// Both sleeves carry the same plates, hence a plate without its twin hangs only on a landmine.
/// Collars are counted where plates hang: an empty bar wears none.
pub fn loadable(bar: &Bar, rack: &PlateRack) -> Vec<Loadable> {
    let sides = bar.sides();
    let number = i64::from(sides.count());
    sleeves(rack.stacks(), sides)
        .into_iter()
        .map(|(side_grams, counts)| {
            let collars = if side_grams > 0 { number * rack.collar_grams() } else { 0 };
            Loadable {
                per_side: plates_of(rack.stacks(), &counts),
                sides,
                grams: bar.grams() + number * side_grams + collars,
            }
        })
        .collect()
}

/// The load nearest to a target; of two as near, the lighter. `None` only without loads.
pub fn nearest(loads: &[Loadable], target: Mass) -> Option<&Loadable> {
    let target = grams(target);
    loads.iter().min_by_key(|load| ((load.grams - target).abs(), load.grams))
}

/// The load nearest to a target among those not above a cap; `None` when even the bar is above.
pub fn nearest_at_most(loads: &[Loadable], target: Mass, cap: Mass) -> Option<&Loadable> {
    let (target, cap) = (grams(target), grams(cap));
    loads
        .iter()
        .filter(|load| load.grams <= cap)
        .min_by_key(|load| ((load.grams - target).abs(), load.grams))
}

/// How many plates of each stack hang on a sleeve.
type Counts = Vec<u32>;

/// Every sum of plates one sleeve can carry, with the best way to make it: one stack of plates is
/// added at a time, and of two ways to one sum only the better is carried on.
fn sleeves(stacks: &[PlateStack], sides: Sides) -> BTreeMap<i64, Counts> {
    let mut sums = BTreeMap::from([(0, Counts::new())]);
    for stack in stacks {
        let mut wider: BTreeMap<i64, Counts> = BTreeMap::new();
        for (sum, counts) in &sums {
            for count in 0..=stack.count / sides.count() {
                let sum = sum + i64::from(count) * stack.plate.grams();
                if sum > SLEEVE_GRAMS {
                    break;
                }
                let way: Counts = counts.iter().copied().chain([count]).collect();
                match wider.get(&sum) {
                    Some(known) if preference(known) <= preference(&way) => {}
                    _ => {
                        wider.insert(sum, way);
                    }
                }
            }
        }
        sums = wider;
    }
    sums
}

/// Fewer plates first, then more of the heavier ones.
fn preference(counts: &Counts) -> (u32, Reverse<&Counts>) {
    (counts.iter().sum(), Reverse(counts))
}

fn plates_of(stacks: &[PlateStack], counts: &[u32]) -> Vec<Plate> {
    stacks
        .iter()
        .zip(counts)
        .flat_map(|(stack, count)| (0..*count).map(|_| stack.plate.clone()))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kit::BarKind;
    use proptest::prelude::*;

    fn bar(kilograms: f64, kind: BarKind) -> Bar {
        Bar::weighed("bar", "bar", Mass::kilograms(kilograms), kind).unwrap()
    }

    fn rack(sizes: &[(f64, u32)]) -> PlateRack {
        PlateRack::of(sizes.iter().map(|&(kilograms, count)| PlateStack {
            plate: Plate::kilograms(kilograms).unwrap(),
            count,
        }))
    }

    /// Single plates: two pairs of 25, one pair of each smaller size.
    fn usual_rack() -> PlateRack {
        rack(&[(25.0, 4), (20.0, 2), (15.0, 2), (10.0, 2), (5.0, 2), (2.5, 2), (1.25, 2)])
    }

    fn chosen(loads: &[Loadable], target_kg: f64) -> (f64, String) {
        let load = nearest(loads, Mass::kilograms(target_kg)).unwrap();
        (load.total().in_kilograms(), load.in_words())
    }

    // Closed arithmetic, by hand: 20 + 2 (20 + 1.25) = 62.5 is 1.2 from 61.3; 60 is 1.3.
    #[test]
    fn the_nearest_load_is_found_with_the_fewest_plates() {
        let straight = loadable(&bar(20.0, BarKind::Straight), &usual_rack());
        assert_eq!(chosen(&straight, 61.3), (62.5, "20 + 1.25 a side".into()));
        let hex = loadable(&bar(27.2, BarKind::Hex), &usual_rack());
        assert_eq!(chosen(&hex, 61.3), (62.2, "15 + 2.5 a side".into()));
    }

    #[test]
    fn a_tie_goes_to_the_lighter_load() {
        let coarse = rack(&[(25.0, 4), (20.0, 2), (15.0, 2), (10.0, 2), (5.0, 2), (2.5, 2)]);
        let loads = loadable(&bar(20.0, BarKind::Straight), &coarse);
        assert_eq!(chosen(&loads, 61.3).0, 60.0);
        let fine = loadable(&bar(20.0, BarKind::Straight), &usual_rack());
        assert_eq!(chosen(&fine, 61.25).0, 60.0);
    }

    #[test]
    fn a_landmine_is_loaded_on_one_end() {
        let plates = rack(&[(10.0, 1), (5.0, 1), (2.5, 1), (1.25, 1)]);
        let loads = loadable(&bar(20.0, BarKind::Landmine), &plates);
        assert_eq!(chosen(&loads, 20.0 + 12.0), (32.5, "10 + 2.5 on the end".into()));
    }

    #[test]
    fn a_hex_bar_of_27_4_with_two_fives_a_side_is_47_4() {
        let loads = loadable(&bar(27.4, BarKind::Hex), &rack(&[(5.0, 4)]));
        assert_eq!(loads.last().unwrap().total(), Mass::kilograms(47.4));
        assert_eq!(loads.last().unwrap().in_words(), "5 + 5 a side");
    }

    #[test]
    fn a_pair_of_45_lb_plates_is_its_own_size() {
        // 45 lb = 20.412 kg (exact pound, to the gram): 20 + 2 x 20.412 = 60.824 kg.
        let pounds =
            PlateStack { plate: Plate::new("45 lb", Mass::pounds(45.0)).unwrap(), count: 2 };
        let mixed = PlateRack::of([pounds]).joined(&rack(&[(20.0, 2)]));
        let loads = loadable(&bar(20.0, BarKind::Straight), &mixed);
        let totals: Vec<f64> = loads.iter().map(|load| load.total().in_kilograms()).collect();
        assert_eq!(totals, [20.0, 60.0, 60.824, 100.824]);
        assert_eq!(loads[3].in_words(), "45 lb + 20 a side");
    }

    #[test]
    fn collars_count_where_plates_hang() {
        let collared = rack(&[(10.0, 2)]).with_collars(Mass::kilograms(2.5)).unwrap();
        let loads = loadable(&bar(20.0, BarKind::Straight), &collared);
        let totals: Vec<f64> = loads.iter().map(|load| load.total().in_kilograms()).collect();
        assert_eq!(totals, [20.0, 45.0]);
    }

    #[test]
    fn an_absurd_count_or_target_does_no_harm() {
        let loads = loadable(&bar(20.0, BarKind::Straight), &rack(&[(25.0, u32::MAX)]));
        assert_eq!(loads.len(), 21); // none to twenty a side: 500 kg
        assert_eq!(chosen(&loads, f64::NEG_INFINITY).0, 20.0);
        assert_eq!(chosen(&loads, f64::INFINITY).0, 1020.0);
        assert_eq!(nearest_at_most(&loads, Mass::kilograms(60.0), Mass::kilograms(f64::NAN)), None);
    }

    #[test]
    fn a_cap_is_never_passed() {
        let loads = loadable(&bar(20.0, BarKind::Straight), &usual_rack());
        let capped = nearest_at_most(&loads, Mass::kilograms(61.3), Mass::kilograms(62.0)).unwrap();
        assert_eq!(capped.total(), Mass::kilograms(60.0));
        assert_eq!(nearest_at_most(&loads, Mass::kilograms(61.3), Mass::kilograms(19.9)), None);
    }

    /// Every choice of plates tried one by one: the second implementation.
    fn brute_force(rack: &PlateRack, sides: u32) -> BTreeMap<i64, u32> {
        let mut fewest = BTreeMap::from([(0_i64, 0_u32)]);
        let singles: Vec<i64> = rack
            .stacks()
            .iter()
            .flat_map(|stack| (0..stack.count / sides).map(|_| stack.plate.grams()))
            .collect();
        for mask in 0_u32..1 << singles.len() {
            let sum = (0..singles.len()).filter(|i| mask >> i & 1 == 1).map(|i| singles[i]).sum();
            let count = mask.count_ones();
            fewest.entry(sum).and_modify(|best| *best = count.min(*best)).or_insert(count);
        }
        fewest
    }

    fn any_rack() -> impl Strategy<Value = PlateRack> {
        let stack = (1_u32..60, 0_u32..5).prop_map(|(quarters, count)| PlateStack {
            plate: Plate::kilograms(f64::from(quarters) * 0.25).unwrap(),
            count,
        });
        prop::collection::vec(stack, 0..5)
            .prop_map(PlateRack::of)
            .prop_filter("small enough to try every choice", |rack| {
                rack.stacks().iter().map(|stack| stack.count).sum::<u32>() <= 14
            })
    }

    proptest! {
        #[test]
        fn loads_are_those_of_trying_every_choice(rack in any_rack(), one_side in any::<bool>()) {
            let kind = if one_side { BarKind::Landmine } else { BarKind::Straight };
            let bar = bar(20.0, kind);
            let sides = bar.sides().count();
            let found: Vec<(i64, u32)> = loadable(&bar, &rack)
                .iter()
                .map(|load| (load.grams, load.per_side.len() as u32))
                .collect();
            let expected: Vec<(i64, u32)> = brute_force(&rack, sides)
                .into_iter()
                .map(|(sum, count)| (20_000 + i64::from(sides) * sum, count))
                .collect();
            prop_assert_eq!(found, expected);
        }

        #[test]
        fn a_load_hangs_from_the_rack_largest_inside(rack in any_rack()) {
            for load in loadable(&bar(20.0, BarKind::Straight), &rack) {
                prop_assert!(rack.clone().without(load.plates()).is_ok());
                prop_assert!(load.per_side.is_sorted_by(|inner, outer| inner.mass() >= outer.mass()));
                let plates: Mass = load.plates().map(Plate::mass).sum();
                prop_assert!((plates + Mass::kilograms(20.0) - load.total()).in_kilograms().abs() < 1e-9);
            }
        }

        #[test]
        fn nearest_is_the_least_distance_below_any_cap(
            rack in any_rack(), target in 0.0..200.0_f64, cap in 0.0..200.0_f64,
        ) {
            let loads = loadable(&bar(20.0, BarKind::Straight), &rack);
            let (target, cap) = (Mass::kilograms(target), Mass::kilograms(cap));
            match nearest_at_most(&loads, target, cap) {
                None => prop_assert!(loads.iter().all(|load| load.grams > grams(cap))),
                Some(chosen) => {
                    prop_assert!(chosen.grams <= grams(cap));
                    let distance = |load: &Loadable| (load.grams - grams(target)).abs();
                    prop_assert!(loads.iter().filter(|load| load.grams <= grams(cap))
                        .all(|load| distance(chosen) <= distance(load)));
                }
            }
        }
    }
}
