//! The line to the head coach after a session: four short sentences at most, each name in one
//! place of who was in and who was not, no diagnosis.

use crate::words;
use jiff::civil::Date;

/// How someone trained.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trained {
    /// As planned.
    Whole,
    /// Under a restriction.
    Limited,
    /// Until the session was stopped.
    StoppedEarly,
}

impl Trained {
    const fn word(self) -> Option<&'static str> {
        match self {
            Self::Whole => None,
            Self::Limited => Some("limited"),
            Self::StoppedEarly => Some("stopped early"),
        }
    }
}

/// What the line is made of.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct AfterSession {
    /// Who trained, by given name, and how.
    pub trained: Vec<(String, Trained)>,
    /// Who was in without a rep or a closing on record: nobody knows whether they trained.
    pub unrecorded: Vec<String>,
    /// Who is out, with the earliest date where there is one.
    pub out: Vec<(String, Option<Date>)>,
    /// Bests against an earlier day under the same conditions: "Ikembe", "landmine punch throw".
    pub bests: Vec<(String, String)>,
    /// Whose legs are low today.
    pub low: Vec<String>,
}

/// As many are named; more are counted: "1 trained" says nothing to who has one athlete here.
const FEW: usize = 2;

impl AfterSession {
    /// The line: who was in; who is out; the bests; one caution.
    pub fn line(&self) -> String {
        let sentences = [Some(self.who()), self.who_is_out(), self.bests(), self.caution()];
        sentences.into_iter().flatten().collect::<Vec<_>>().join(" ")
    }

    fn who(&self) -> String {
        let unrecorded = match self.unrecorded.as_slice() {
            [] => String::new(),
            few if few.len() <= FEW => format!(", {} without a rep", few.join(" and ")),
            many => format!(", {} without a rep", many.len()),
        };
        format!("{}{unrecorded}.", self.who_trained())
    }

    fn who_trained(&self) -> String {
        if (1..=FEW).contains(&self.trained.len()) {
            let names = self.trained.iter().map(|(name, how)| match how.word() {
                Some(word) => format!("{name} ({word})"),
                None => name.clone(),
            });
            return format!("{} trained", names.collect::<Vec<_>>().join(" and "));
        }
        let asides = [Trained::Limited, Trained::StoppedEarly].into_iter().filter_map(|how| {
            let of_them = self.trained.iter().filter(|(_, one)| *one == how);
            let names: Vec<&str> = of_them.map(|(name, _)| name.as_str()).collect();
            how.word()
                .filter(|_| !names.is_empty())
                .map(|word| format!("{} {word}", names.join(" and ")))
        });
        let asides = asides.collect::<Vec<_>>().join(", ");
        let count = self.trained.len();
        if asides.is_empty() {
            format!("{count} trained")
        } else {
            format!("{count} trained ({asides})")
        }
    }

    fn who_is_out(&self) -> Option<String> {
        let out = self.out.iter().map(|(name, earliest)| match earliest {
            Some(date) => format!("{name} out, not before {}", words::day(*date)),
            None => format!("{name} out until cleared"),
        });
        (!self.out.is_empty()).then(|| format!("{}.", out.collect::<Vec<_>>().join("; ")))
    }

    fn bests(&self) -> Option<String> {
        let bests = self.bests.iter().map(|(name, what)| format!("{name}, {what}"));
        let bests = bests.collect::<Vec<_>>().join("; ");
        (!bests.is_empty()).then(|| format!("Best so far: {bests}."))
    }

    fn caution(&self) -> Option<String> {
        (!self.low.is_empty()).then(|| {
            let names = self.low.join(" and ");
            format!("Legs low today: keep the sparring of {names} light tomorrow.")
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn trained(names: &[&str]) -> Vec<(String, Trained)> {
        names.iter().map(|&name| (name.to_owned(), Trained::Whole)).collect()
    }

    fn names(names: &[&str]) -> Vec<String> {
        names.iter().map(|&name| name.to_owned()).collect()
    }

    #[test]
    fn the_line_of_an_evening() {
        let mut evening = AfterSession {
            trained: trained(&["Oriel", "Zofka", "Jorvic", "Ikembe", "Tavish", "Suhaila", "Bram"]),
            out: vec![("Perrin".into(), Some(date(2026, 10, 10))), ("Rafe".into(), None)],
            bests: vec![
                ("Oriel".into(), "depth jump for height".into()),
                ("Ikembe".into(), "landmine punch throw".into()),
            ],
            low: names(&["Zofka"]),
            ..AfterSession::default()
        };
        evening.trained[4].1 = Trained::Limited;
        assert_eq!(
            evening.line(),
            "7 trained (Tavish limited). Perrin out, not before 10 October; Rafe out until cleared. \
             Best so far: Oriel, depth jump for height; Ikembe, landmine punch throw. \
             Legs low today: keep the sparring of Zofka light tomorrow."
        );
    }

    #[test]
    fn many_without_a_rep_are_counted() {
        let evening = AfterSession {
            trained: trained(&["Oriel", "Zofka", "Jorvic", "Yevka"]),
            unrecorded: names(&["Tavish", "Suhaila", "Bram", "Ikembe"]),
            out: vec![("Perrin".into(), Some(date(2026, 10, 10)))],
            ..AfterSession::default()
        };
        assert_eq!(
            evening.line(),
            "4 trained, 4 without a rep. Perrin out, not before 10 October."
        );
    }

    #[test]
    fn one_or_two_are_named_once() {
        let of =
            |names: &[&str]| AfterSession { trained: trained(names), ..AfterSession::default() };
        assert_eq!(of(&["Rafe"]).line(), "Rafe trained.");
        assert_eq!(of(&["Rafe", "Tindra"]).line(), "Rafe and Tindra trained.");
        assert_eq!(of(&["Rafe", "Tindra", "Callow"]).line(), "3 trained.");
        let mut stopped = of(&["Rafe", "Tindra"]);
        stopped.trained[1].1 = Trained::StoppedEarly;
        assert_eq!(stopped.line(), "Rafe and Tindra (stopped early) trained.");
    }

    #[test]
    fn what_is_not_known_is_not_said() {
        assert_eq!(AfterSession::default().line(), "0 trained.");
        let unrecorded = names(&["Bram", "Oriel"]);
        let line = AfterSession { unrecorded, ..AfterSession::default() }.line();
        assert_eq!(line, "0 trained, Bram and Oriel without a rep.");
    }
}
