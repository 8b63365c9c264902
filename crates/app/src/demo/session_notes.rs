//! What the coach noted when a session was closed: the words a debrief is made of.

use super::performance::Chance;
use cornerwork_core::camp::training_load::SessionKind;

/// Random numbers of this file are drawn from streams of their own, after all others.
const FIRST_STREAM: u64 = 9000;
/// Share of sessions with a note.
const NOTED: f64 = 0.22;
/// From this rating a session was a hard one.
const HARD: f64 = 8.0;

const HARD_DAYS: [&str; 4] = [
    "legs heavy after sparring, one set fewer was right",
    "came short of sleep, speed held to the second set",
    "too little rest before the jumps, two minutes next time",
    "grip gave out before the legs, chalk earlier",
];
const STRENGTH_DAYS: [&str; 8] = [
    "cue \"push the floor away\" worked best",
    "full rest between jumps kept the heights up",
    "two hard holds before the throws, sharp after",
    "jerk clean once the dip was shorter",
    "throws better with the rear hand first",
    "first set fastest with nobody watching",
    "landings quiet, box stays",
    "seeing the number after each rep helped",
];
const BOXING_DAYS: [&str; 4] = [
    "feet sharp to the last round",
    "jab quick after Monday's jumps",
    "calm between rounds, breathing as practised",
    "hips turned through on the rear hand",
];

/// The notes on one athlete, none twice before all were used.
pub(super) struct Notes {
    chance: Chance,
    used: usize,
}

impl Notes {
    pub(super) fn on(seed: u64, person: usize) -> Self {
        Self { chance: Chance::new(seed, FIRST_STREAM + person as u64), used: 3 * person }
    }

    /// The note on a session of a kind that felt so hard, and what comes next; mostly none.
    pub(super) fn after(&mut self, kind: SessionKind, felt: f64) -> (String, String) {
        if !self.chance.happens(NOTED) {
            return (String::new(), String::new());
        }
        let (words, next): (&[&str], _) = match kind {
            _ if felt >= HARD => (&HARD_DAYS, "rest first"),
            SessionKind::Strength => (&STRENGTH_DAYS, "one step up"),
            _ => (&BOXING_DAYS, "same again"),
        };
        let note = words[self.used % words.len()];
        self.used += 1;
        (note.to_owned(), next.to_owned())
    }
}
