//! Small words that pages, papers and sentences share.

/// The words with their first letter as a capital: "can't tell" as "Can't tell".
pub fn capitalised(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::capitalised;

    #[test]
    fn only_the_first_letter_changes() {
        assert_eq!(capitalised("can't tell"), "Can't tell");
        assert_eq!(capitalised("éa B"), "Éa B");
        assert_eq!(capitalised("ßa"), "SSa", "Unicode: the capital of ß is two letters");
        assert_eq!(capitalised(""), "");
    }
}
