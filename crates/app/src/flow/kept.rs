//! Answers kept while what they were made from stays the same: derived state, forgotten at
//! shut-down.

use std::collections::HashMap;
use std::hash::Hash;
use std::sync::{Mutex, PoisonError};

/// Answers by key, each with what it was made from.
#[derive(Debug)]
pub struct Kept<Key, From, Answer>(Mutex<HashMap<Key, (From, Answer)>>);

impl<Key, From, Answer> Default for Kept<Key, From, Answer> {
    fn default() -> Self {
        Self(Mutex::default())
    }
}

impl<Key: Eq + Hash, From: PartialEq, Answer: Clone> Kept<Key, From, Answer> {
    /// The answer made from this before, or a fresh one.
    pub fn get(&self, key: Key, from: From, make: impl FnOnce(&From) -> Answer) -> Answer {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, same)) = kept.get(&key).filter(|(before, _)| *before == from) {
            return same.clone();
        }
        let answer = make(&from);
        kept.insert(key, (from, answer.clone()));
        answer
    }

    /// Forgets every answer.
    pub fn clear(&self) {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).clear();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_answer_is_made_again_only_when_what_it_is_made_from_changes() {
        let kept = Kept::default();
        let mut made = 0;
        let mut ask = |from: u32| {
            kept.get("A04", from, |from| {
                made += 1;
                from * 2
            })
        };
        assert_eq!([ask(3), ask(3), ask(4), ask(3)], [6, 6, 8, 6]);
        assert_eq!(made, 3);
    }
}
