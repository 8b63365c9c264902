//! What stays of a record without one athlete. It works on the JSON that is kept, so that a kind
//! of change added later is covered without being named here.

use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::ledger::Ledger;
use cornerwork_core::session::operation::{Change, OperationId};
use serde_json::Value;
use std::collections::{HashMap, HashSet};

/// One row as it is kept.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Row {
    pub(super) sequence: i64,
    pub(super) id: OperationId,
    pub(super) author: String,
    pub(super) device: Option<String>,
    pub(super) kind: String,
    pub(super) version: i64,
    pub(super) body: String,
}

/// Stands where a name stood in someone else's words.
const REMOVED: &str = "(removed)";
/// Kinds that are about no athlete: a bar may be called like one.
const OF_THE_GYM: [&str; 5] =
    ["gym-named", "bar-weighed", "plates-counted", "boxes-measured", "jump-mat-compared"];
/// Parts of a name shorter than this are left alone: they are words of their own too often.
const SHORTEST_PART: usize = 3;

/// What is to be forgotten.
pub(super) struct Forgetting {
    code: String,
    /// Every way the athlete was called.
    names: Vec<String>,
    /// Whose each rep and each recording is now.
    owner: HashMap<OperationId, String>,
    /// Ids of entries that go, and of restrictions that went with them.
    gone: HashSet<String>,
}

impl Forgetting {
    pub(super) fn of(athlete: &AthleteId, ledger: &Ledger) -> Self {
        let (reps, traces) = (ledger.gym().reps.iter(), ledger.gym().traces.all());
        Self {
            code: athlete.to_string(),
            names: names_of(athlete, ledger),
            owner: reps
                .map(|rep| (rep.id, rep.entry.athlete.to_string()))
                .chain(traces.map(|trace| (trace.id, trace.filing.athlete.to_string())))
                .collect(),
            gone: HashSet::new(),
        }
    }

    /// The rows that stay, rewritten, in their order. One that makes no sense without the athlete
    /// goes as well.
    pub(super) fn rewrite(mut self, rows: &[Row], is_sound: impl Fn(&Row) -> bool) -> Vec<Row> {
        let mut rows: Vec<(&Row, Value)> = rows
            .iter()
            .filter_map(|row| Some((row, serde_json::from_str(&row.body).ok()?)))
            .collect();
        // An entry about an entry that goes, goes too; and so on, until none is left.
        loop {
            let before = rows.len();
            rows.retain_mut(|(row, body)| self.stays(row, body));
            if rows.len() == before {
                break;
            }
        }
        rows.into_iter().map(|(row, body)| self.without(row, body)).filter(is_sound).collect()
    }

    /// A row without the athlete's names; as it was, to the letter, where it had none.
    fn without(&self, row: &Row, mut body: Value) -> Row {
        // A gym or a bar may be called like a code.
        let of_the_gym = OF_THE_GYM.contains(&row.kind.as_str());
        self.scrub(&mut body, !of_the_gym);
        let unchanged = serde_json::from_str(&row.body).is_ok_and(|was: Value| was == body);
        Row {
            author: self.scrubbed(&row.author, true),
            device: row.device.as_ref().map(|device| self.scrubbed(device, true)),
            body: if unchanged { row.body.clone() } else { body.to_string() },
            ..row.clone()
        }
    }

    fn stays(&mut self, row: &Row, body: &mut Value) -> bool {
        if OF_THE_GYM.contains(&row.kind.as_str()) {
            return true;
        }
        let goes = match self.owner.get(&row.id) {
            Some(owner) if *owner == self.code => true,
            Some(owner) => {
                // Entered under the wrong name once: it was always the other's.
                let said = if row.kind == "trace-filed" { &mut body["filing"] } else { &mut *body };
                said["athlete"] = Value::String(owner.clone());
                self.prune(body)
            }
            None => self.prune(body),
        };
        if goes {
            self.gone.insert(row.id.to_string());
            if let (true, Some(id)) = (row.kind == "restriction-set", body["id"].as_str()) {
                self.gone.insert(id.to_owned());
            }
        }
        !goes
    }

    /// Takes the athlete out of every list; true when the value itself is about the athlete.
    fn prune(&self, value: &mut Value) -> bool {
        match value {
            Value::String(text) => self.is_about(text),
            Value::Array(items) => {
                items.retain_mut(|item| !self.prune(item));
                false
            }
            Value::Object(fields) => {
                fields.remove(&self.code);
                fields.values_mut().any(|field| self.prune(field))
            }
            _ => false,
        }
    }

    /// The code itself, something named after it, or an entry that goes.
    fn is_about(&self, text: &str) -> bool {
        let named_after =
            |rest: &str| rest.starts_with("-stand-down-") || rest.starts_with("-stopped-");
        text == self.code
            || self.gone.contains(text)
            || text.strip_prefix(&self.code).is_some_and(named_after)
    }

    fn scrub(&self, value: &mut Value, code_too: bool) {
        match value {
            Value::String(text) => *text = self.scrubbed(text, code_too),
            Value::Array(items) => items.iter_mut().for_each(|item| self.scrub(item, code_too)),
            Value::Object(fields) => {
                fields.values_mut().for_each(|field| self.scrub(field, code_too));
            }
            _ => {}
        }
    }

    fn scrubbed(&self, text: &str, code_too: bool) -> String {
        let code = code_too.then_some(&self.code);
        let words = self.names.iter().chain(code);
        words.fold(text.to_owned(), |text, word| without_word(&text, word))
    }
}

/// Longest first: the full name before its parts. A part that is also someone
/// else's name stays.
fn names_of(athlete: &AthleteId, ledger: &Ledger) -> Vec<String> {
    let entered = |change: &Change| match change {
        Change::AthleteEntered(one) => Some((one.id.clone(), one.name.clone())),
        _ => None,
    };
    let all: Vec<(AthleteId, String)> =
        ledger.operations().iter().filter_map(|one| entered(&one.change)).collect();
    let (own, others): (Vec<_>, Vec<_>) = all.into_iter().partition(|(id, _)| id == athlete);
    let members = ledger.gym().safety().members();
    let staff = members.filter(|one| one.child.as_ref() != Some(athlete)).map(|one| &one.name);
    let others: Vec<&String> = others.iter().map(|(_, name)| name).chain(staff).collect();
    let is_others =
        |part: &str| others.iter().any(|other| other.split_whitespace().any(|word| word == part));
    let mut names: Vec<String> = Vec::new();
    for (_, name) in &own {
        if !others.contains(&name) {
            names.push(name.clone());
        }
        let parts = name.split_whitespace().filter(|part| part.chars().count() >= SHORTEST_PART);
        names.extend(parts.filter(|part| !is_others(part)).map(str::to_owned));
    }
    names.retain(|name| !name.is_empty());
    names.sort_by_key(|name| std::cmp::Reverse(name.len()));
    names.dedup();
    names
}

/// A text without a word or words, wherever no letter or digit adjoins them.
fn without_word(text: &str, word: &str) -> String {
    let mut result = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(word) {
        let (before, from) = rest.split_at(at);
        let behind = &from[word.len()..];
        let joins = |letter: Option<char>| letter.is_some_and(char::is_alphanumeric);
        let last = before.chars().next_back().or_else(|| result.chars().next_back());
        result.push_str(before);
        result.push_str(if joins(last) || joins(behind.chars().next()) { word } else { REMOVED });
        rest = behind;
    }
    result.push_str(rest);
    result
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_goes_only_where_it_stands_alone() {
        assert_eq!(without_word("B02 threw, not B021", "B02"), "(removed) threw, not B021");
        assert_eq!(
            without_word("Mirelle's set (Mirelle)", "Mirelle"),
            "(removed)'s set ((removed))"
        );
        assert_eq!(without_word("MirelleMirelle", "Mirelle"), "MirelleMirelle");
        assert_eq!(without_word("", "B02"), "");
    }
}
