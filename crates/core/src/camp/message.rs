//! The line to the head coach after a session: three sentences at most, no diagnosis.

use crate::words;
use jiff::civil::Date;

/// What the line is made of.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct AfterSession {
    /// Who trained, by given name.
    pub trained: Vec<String>,
    /// Who was in without a rep or a closing on record: nobody knows whether they trained.
    pub unrecorded: Vec<String>,
    /// Of those who were in, who kept to a restriction.
    pub limited: Vec<String>,
    /// Of those who were in, whose session was stopped.
    pub stopped: Vec<String>,
    /// Who is out, with the earliest date where there is one.
    pub out: Vec<(String, Option<Date>)>,
    /// Bests over an earlier day: who, and in what: "Ikembe", "landmine punch throw".
    pub bests: Vec<(String, String)>,
    /// Whose legs are low today.
    pub low: Vec<String>,
}

impl AfterSession {
    /// The line: who was in, limited and out; the bests; one caution.
    pub fn line(&self) -> String {
        let best = |(name, what): &(String, String)| format!("{name}, {what}");
        let bests: Vec<String> = self.bests.iter().map(best).collect();
        let bests = (!bests.is_empty()).then(|| format!("Best so far: {}.", bests.join("; ")));
        let sentences = [Some(self.who()), bests, self.caution()];
        sentences.into_iter().flatten().collect::<Vec<_>>().join(" ")
    }

    fn who(&self) -> String {
        let aside: Vec<String> = [(&self.limited, "limited"), (&self.stopped, "stopped early")]
            .into_iter()
            .filter(|(names, _)| !names.is_empty())
            .map(|(names, word)| match self.trained.as_slice() {
                [only] if names.contains(only) => word.to_owned(),
                _ => format!("{} {word}", names.join(" and ")),
            })
            .collect();
        let aside =
            if aside.is_empty() { String::new() } else { format!(" ({})", aside.join(", ")) };
        let out: String = self
            .out
            .iter()
            .map(|(name, earliest)| match earliest {
                Some(date) => {
                    format!(", {name} not available before {} at the earliest", words::day(*date))
                }
                None => format!(", {name} not available until cleared"),
            })
            .collect();
        let unrecorded = match self.unrecorded.as_slice() {
            [] => String::new(),
            names => format!(", nothing on record of {}", names.join(" and ")),
        };
        // Few are named: "1 trained" says nothing to who has one athlete here.
        let trained = match self.trained.as_slice() {
            [] => "0".to_owned(),
            few @ ([_] | [_, _]) => few.join(" and "),
            many => many.len().to_string(),
        };
        format!("{trained} trained{aside}{unrecorded}{out}.")
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

    #[test]
    fn the_line_of_an_evening() {
        let names = |names: &[&str]| names.iter().map(|&name| name.to_owned()).collect();
        let evening = AfterSession {
            trained: names(&["Oriel", "Zofka", "Jorvic", "Ikembe", "Tavish", "Suhaila", "Bram"]),
            unrecorded: vec![],
            limited: names(&["Tavish"]),
            stopped: vec![],
            out: vec![("Perrin".into(), Some(date(2026, 10, 10)))],
            bests: vec![
                ("Oriel".into(), "depth jump for height".into()),
                ("Ikembe".into(), "landmine punch throw".into()),
            ],
            low: names(&["Zofka"]),
        };
        assert_eq!(
            evening.line(),
            "7 trained (Tavish limited), Perrin not available before 10 October at the earliest. \
             Best so far: Oriel, depth jump for height; Ikembe, landmine punch throw. \
             Legs low today: keep the sparring of Zofka light tomorrow."
        );
    }

    #[test]
    fn one_or_two_are_named() {
        let of = |names: &[&str]| AfterSession {
            trained: names.iter().map(|&name| name.to_owned()).collect(),
            ..AfterSession::default()
        };
        assert_eq!(of(&["Rafe"]).line(), "Rafe trained.");
        let limited = AfterSession { limited: vec!["Rafe".to_owned()], ..of(&["Rafe"]) };
        assert_eq!(limited.line(), "Rafe trained (limited).");
        assert_eq!(of(&["Rafe", "Tindra"]).line(), "Rafe and Tindra trained.");
        assert_eq!(of(&["Rafe", "Tindra", "Callow"]).line(), "3 trained.");
    }

    #[test]
    fn what_is_not_known_is_not_said() {
        assert_eq!(AfterSession::default().line(), "0 trained.");
        let out = vec![("Perrin".to_owned(), None)];
        let line = AfterSession { out, ..AfterSession::default() }.line();
        assert_eq!(line, "0 trained, Perrin not available until cleared.");
        let unrecorded = vec!["Bram".to_owned(), "Oriel".to_owned()];
        let line = AfterSession { unrecorded, ..AfterSession::default() }.line();
        assert_eq!(line, "0 trained, nothing on record of Bram and Oriel.");
    }
}
