//! Bars, plates, boxes and the jump mat, as a coach types them.

use cornerwork_core::entry::decimal;
use cornerwork_core::kit::{Bar, BarKind, Plate, PlateRack, PlateStack};
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::operation::Change;
use cornerwork_core::units::{Length, Mass};
use cornerwork_core::words::counted;

/// A bar as typed.
#[derive(Clone, Debug)]
pub struct TypedBar {
    /// What people call it.
    pub name: String,
    /// How it is held: "straight", "hex", "landmine", one or several.
    pub kinds: Vec<String>,
    /// Mass in kg, or with a unit: "20", "45 lb".
    pub mass: String,
    /// Whether it stood on a scale.
    pub weighed: bool,
}

/// A bar weighed, or weighed anew when one of this name is there.
///
/// # Errors
/// A sentence for a name, a kind or a mass that cannot be.
pub fn bar(gym: &Gym, typed: &TypedBar) -> Result<Change, String> {
    let name = typed.name.trim();
    if name.is_empty() || name.chars().count() > 40 {
        return Err("Give the bar a short name, like \"hex blue\".".to_owned());
    }
    let kinds: Vec<BarKind> =
        typed.kinds.iter().filter_map(|kind| BarKind::of_word(kind)).collect();
    let mass = mass(&typed.mass)?;
    let known = owned(gym).find(|bar| bar.name.eq_ignore_ascii_case(name));
    let id = known.map_or_else(|| kebab(name), |bar| bar.id.clone());
    // What was lifted with a bar before stays lifted that way.
    let as_before = known.map(|bar| bar.kind).filter(|kind| kinds.contains(kind));
    let kind = as_before.or_else(|| kinds.first().copied());
    let kind = kind.ok_or("Tick how the bar is held: straight, hex or landmine.")?;
    let made = if typed.weighed { Bar::weighed } else { Bar::assumed };
    made(id, name.to_owned(), mass, kind)
        .map(|bar| Change::BarWeighed(bar.held_also(kinds)))
        .map_err(|error| error.to_string())
}

/// Every bar of the gym once, however it is held.
pub fn owned(gym: &Gym) -> impl Iterator<Item = &Bar> {
    gym.bars.values().filter(|bar| bar.other_way_of.is_none())
}

/// Plates listed in pairs: "20x2, 15, 10x3, 45lb" is two pairs of 20 kg, one of 15, three of 10
/// and one of 45 lb; "20/15/10" is a pair of each.
///
/// # Errors
/// A sentence naming the item that cannot be read.
pub fn plates(text: &str) -> Result<PlateRack, String> {
    let items = text.split([',', ';', '/', '\n']).map(str::trim).filter(|item| !item.is_empty());
    let stacks = items.map(pairs).collect::<Result<Vec<_>, _>>()?;
    if stacks.is_empty() {
        return Err("List the plates in pairs, like 20x2, 15, 10x3.".to_owned());
    }
    Ok(PlateRack::of(stacks))
}

/// Most pairs of one size taken for a count.
const MOST_PAIRS: u32 = 50;

fn pairs(item: &str) -> Result<PlateStack, String> {
    let unreadable =
        || format!("\"{item}\" is no pair of plates. Type kg and pairs, like 10x3, or 45lb.");
    let (size, count) = item.split_once(['x', 'X', '×']).unwrap_or((item, "1"));
    let count: u32 = count.trim().parse().map_err(|_| unreadable())?;
    if !(1..=MOST_PAIRS).contains(&count) {
        return Err(unreadable());
    }
    let mass = mass(size).map_err(|_| unreadable())?;
    let label = size.trim().trim_end_matches("kg").trim();
    let plate = Plate::new(label, mass).map_err(|error| error.to_string())?;
    Ok(PlateStack { plate, count: 2 * count })
}

/// The plates as they would be typed again.
pub fn plates_in_words(rack: &PlateRack) -> String {
    let words: Vec<String> = rack
        .stacks()
        .iter()
        .map(|stack| match stack.count / 2 {
            1 => stack.plate.label().to_owned(),
            pairs => format!("{}x{pairs}", stack.plate.label()),
        })
        .collect();
    words.join(", ")
}

/// The plates counted one by one, for whoever meant plates and typed pairs: "8 plates of 20 (4
/// pairs)".
pub fn plates_counted(rack: &PlateRack) -> String {
    let words = |stack: &PlateStack| {
        let pairs = counted(stack.count / 2, "pair");
        format!("{} plates of {} ({pairs})", stack.count, stack.plate.label())
    };
    rack.stacks().iter().map(words).collect::<Vec<_>>().join(", ")
}

/// Boxes by height in cm, or with a unit: "20, 30, 45, 24in".
///
/// # Errors
/// A sentence naming the height that cannot be read.
pub fn boxes(text: &str) -> Result<Vec<Length>, String> {
    let items =
        text.split([',', ';', '/', ' ', '\n']).map(str::trim).filter(|item| !item.is_empty());
    let heights = items.map(box_height).collect::<Result<Vec<_>, _>>()?;
    if heights.is_empty() {
        return Err("List the boxes in cm, like 20, 30, 45.".to_owned());
    }
    Ok(heights)
}

fn box_height(item: &str) -> Result<Length, String> {
    let unreadable = || format!("\"{item}\" is no box. Type its height in cm, or like 24in.");
    let (digits, inches) = match item.strip_suffix("in") {
        Some(digits) => (digits, true),
        None => (item.trim_end_matches("cm"), false),
    };
    let number = decimal(digits).ok_or_else(unreadable)?;
    let height = if inches { Length::inches(number) } else { Length::centimetres(number) };
    let possible = (5.0..=120.0).contains(&height.in_centimetres());
    possible.then_some(height).ok_or_else(unreadable)
}

/// How much higher the mat reads, in cm.
///
/// # Errors
/// A sentence when it is no number or more than any mat is out.
pub fn mat(text: &str, against: &str) -> Result<Change, String> {
    let centimetres = decimal(text).filter(|cm| (-10.0..=10.0).contains(cm)).ok_or_else(|| {
        format!("\"{text}\" is no offset. Type how many cm the mat reads too high, like 1.7.")
    })?;
    if against.trim().is_empty() {
        return Err("Say what the mat was compared with, like a force platform.".to_owned());
    }
    Ok(Change::JumpMatCompared {
        reads_high_by: Length::centimetres(centimetres),
        against: against.trim().to_owned(),
    })
}

fn mass(text: &str) -> Result<Mass, String> {
    let text = text.trim().to_ascii_lowercase();
    let (digits, pounds) = match text.strip_suffix("lb") {
        Some(digits) => (digits, true),
        None => (text.trim_end_matches("kg"), false),
    };
    let number = decimal(digits)
        .ok_or_else(|| format!("\"{text}\" is no mass. Type kg, or pounds like 45lb."))?;
    Ok(if pounds { Mass::pounds(number) } else { Mass::kilograms(number) })
}

fn kebab(name: &str) -> String {
    let words = name.to_lowercase();
    let words =
        words.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty());
    words.collect::<Vec<_>>().join("-")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plates_are_read_as_they_are_said_again() {
        let rack = plates("20x2, 15, 10x3, 45lb").unwrap();
        let pounds = rack.stacks().iter().find(|stack| stack.plate.label() == "45lb").unwrap();
        // 45 international pounds are 20.41166 kg; kit is kept to the gram.
        assert!((pounds.plate.mass().in_kilograms() - 20.412).abs() < 1e-9);
        assert_eq!(plates(&plates_in_words(&rack)).unwrap(), rack);
        assert_eq!(plates("20/15/10").unwrap(), plates("20, 15, 10").unwrap());
        let said = plates_counted(&plates("20x4, 2.5").unwrap());
        assert_eq!(said, "8 plates of 20 (4 pairs), 2 plates of 2.5 (1 pair)");
        for bad in ["", "twenty", "20x0", "20x-1", "-5", "20x9999"] {
            assert!(plates(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn a_box_stamped_in_inches_is_its_height() {
        assert_eq!(boxes("30/45/60").unwrap(), boxes("30, 45, 60").unwrap());
        let heights = boxes("20 30, 24in").unwrap();
        assert!((heights[2].in_centimetres() - 60.96).abs() < 1e-9);
        assert!(boxes("3").is_err());
        assert!(boxes("0.3").is_err());
    }

    #[test]
    fn a_bar_weighed_anew_keeps_its_id() {
        let mut gym = Gym::default();
        let typed = |mass: &str| TypedBar {
            name: "Hex blue".into(),
            kinds: vec!["hex".into()],
            mass: mass.into(),
            weighed: true,
        };
        let Change::BarWeighed(first) = bar(&gym, &typed("25")).unwrap() else { panic!() };
        gym.bars.insert(first.id.clone(), first.clone());
        let Change::BarWeighed(second) = bar(&gym, &typed("27,4 kg")).unwrap() else { panic!() };
        assert_eq!(first.id, second.id);
        assert!((second.mass().in_kilograms() - 27.4).abs() < 1e-9);
        assert!(bar(&gym, &typed("274")).is_err());
    }

    #[test]
    fn a_straight_bar_ticked_as_a_landmine_later_stays_one_straight_bar() {
        let mut gym = Gym::default();
        let typed = |kinds: &[&str]| TypedBar {
            name: "The 20".into(),
            kinds: kinds.iter().map(|kind| (*kind).to_owned()).collect(),
            mass: "20".into(),
            weighed: true,
        };
        assert!(bar(&gym, &typed(&[])).unwrap_err().starts_with("Tick how the bar is held"));
        let Change::BarWeighed(first) = bar(&gym, &typed(&["straight"])).unwrap() else { panic!() };
        gym.bars.insert(first.id.clone(), first.clone());
        let ticked = bar(&gym, &typed(&["landmine", "straight"])).unwrap();
        let Change::BarWeighed(second) = ticked else { panic!() };
        assert_eq!((second.id.as_str(), second.kind), (first.id.as_str(), BarKind::Straight));
        assert_eq!(second.also, [BarKind::Landmine]);
    }
}
