//! What a column's heading says: its words and its unit.

use super::unit::Unit;

/// A heading taken apart.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Heading {
    /// Words in lower case, without the unit.
    pub(super) words: Vec<String>,
    /// The unit, if one is named.
    pub(super) unit: Option<Unit>,
}

impl Heading {
    /// Takes a name apart; `below` is the cell under it in a row of units.
    pub(super) fn read(name: &str, below: Option<&str>) -> Self {
        let mut words = split(name);
        let below = below.and_then(|cell| split(cell).first().and_then(|word| Unit::find(word)));
        let last = words.last().and_then(|word| Unit::find(word));
        let in_name = last.filter(|_| words.len() > 1 || is_bracketed(name));
        if in_name.is_some() {
            words.pop();
        }
        Self { words, unit: below.or(in_name) }
    }

    /// Whether one of the words is in a list.
    pub(super) fn has(&self, list: &[&str]) -> bool {
        self.words.iter().any(|word| list.contains(&word.as_str()))
    }
}

/// Whether a cell is a unit and nothing else: `N`, `[s]`, `(ms)`.
pub(super) fn is_unit(cell: &str) -> bool {
    match split(cell).as_slice() {
        [word] => Unit::find(word).is_some(),
        _ => false,
    }
}

fn is_bracketed(name: &str) -> bool {
    name.trim().starts_with(['[', '('])
}

/// Words: broken at anything but letters and digits, between letters and digits, and before a
/// capital that follows a small letter (`FzLeft`).
fn split(name: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    let mut previous: Option<char> = None;
    for character in name.chars() {
        if !character.is_alphanumeric() {
            previous = None;
            continue;
        }
        let breaks = previous.is_none_or(|before| {
            before.is_numeric() != character.is_numeric()
                || (before.is_lowercase() && character.is_uppercase() && !is_kilonewton(name))
        });
        if breaks {
            words.push(String::new());
        }
        if let Some(word) = words.last_mut() {
            word.extend(character.to_lowercase());
        }
        previous = Some(character);
    }
    words
}

/// `kN` is the one unit that looks like two words.
fn is_kilonewton(name: &str) -> bool {
    name.contains("kN")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_are_found_however_they_are_written() {
        for (name, words, symbol) in [
            ("Time[s]", vec!["time"], "s"),
            ("GRF [N]", vec!["grf"], "N"),
            ("force_kn", vec!["force"], "kN"),
            ("Force (kN)", vec!["force"], "kN"),
            ("Kraft links in N", vec!["kraft", "links", "in"], "N"),
            ("bar position, cm", vec!["bar", "position"], "cm"),
            ("(ms)", vec![], "ms"),
        ] {
            let heading = Heading::read(name, None);
            assert_eq!(heading.words, words, "{name}");
            assert_eq!(heading.unit.unwrap().symbol, symbol, "{name}");
        }
        assert_eq!(Heading::read("FzLeft", None).words, ["fz", "left"]);
        assert_eq!(Heading::read("Fz1", None).words, ["fz", "1"]);
        assert_eq!(Heading::read("s", None).unit, None);
        assert_eq!(Heading::read("Force", Some("[lbf]")).unit.unwrap().symbol, "lbf");
    }

    #[test]
    fn a_row_of_units_is_told_from_names() {
        assert!(is_unit("[N]") && is_unit("ms") && is_unit(" (s) "));
        assert!(!is_unit("force") && !is_unit("Force (N)") && !is_unit(""));
    }
}
