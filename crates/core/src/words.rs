//! Small words that pages, papers and sentences share.

use std::fmt;

/// The words with their first letter as a capital: "can't tell" as "Can't tell".
pub fn capitalised(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// A number with what it counts: "1 day", "2 days". For words that take an s.
pub fn counted<N: Copy + fmt::Display + PartialEq + From<u8>>(count: N, one: &str) -> String {
    if count == N::from(1) { format!("1 {one}") } else { format!("{count} {one}s") }
}

#[cfg(test)]
mod tests {
    use super::{capitalised, counted};

    #[test]
    fn one_is_not_several() {
        let said = [0, 1, 2].map(|days| counted(days, "day"));
        assert_eq!(said, ["0 days", "1 day", "2 days"]);
    }

    #[test]
    fn only_the_first_letter_changes() {
        assert_eq!(capitalised("can't tell"), "Can't tell");
        assert_eq!(capitalised("éa B"), "Éa B");
        assert_eq!(capitalised("ßa"), "SSa", "Unicode: the capital of ß is two letters");
        assert_eq!(capitalised(""), "");
    }
}
