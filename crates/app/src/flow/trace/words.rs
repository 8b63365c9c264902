//! Metrics in words and figures.

/// An id as words: `peak_force_n` is "peak force", `force_n_at.50` "force at 50 ms".
pub fn name(id: &str, unit: &str) -> String {
    let suffix = match unit {
        "" => String::new(),
        unit => format!(
            "_{}",
            unit.to_lowercase().replace([' ', '/', '²'], "_").replace('%', "percent")
        ),
    };
    let (stem, window) = id.split_once('.').unwrap_or((id, ""));
    let stem = stem.replace(&format!("{suffix}_at"), "_at");
    let words = stem.strip_suffix(&suffix).unwrap_or(&stem).replace('_', " ");
    let words = words.replace("take off", "take-off").replace("touch down", "touch-down");
    match window {
        "" => words,
        window => format!("{words} {} ms", window.replace('_', " to ")),
    }
}

/// A sentence of the readers as a page says it: without the options of the command line, whose
/// part the form beside it takes.
pub fn without_options(sentence: &str) -> String {
    let mut kept: Vec<String> = Vec::new();
    let mut cutting = false;
    for word in sentence.split(' ') {
        let bare = word.trim_end_matches(['.', ',', ')']);
        let alternative = ["or", "(or", "mm", "m"].contains(&bare);
        let value = word.contains('=');
        cutting = word.starts_with("--") || (cutting && (value || alternative));
        if !cutting {
            kept.push(word.to_owned());
        } else if let Some(before) = kept.last_mut() {
            if before == "with" {
                kept.pop();
            }
            if word.ends_with('.')
                && let Some(before) = kept.last_mut()
            {
                before.push('.');
            }
        }
    }
    kept.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_names_no_options() {
        let said = [
            (
                "2 plates are added up. Say which is under which foot with --columns \
                 left=NAME,right=NAME.",
                "2 plates are added up. Say which is under which foot.",
            ),
            (
                "Time is written too coarsely. Give the rate with --rate and leave the time column \
                 out with --columns time=none.",
                "Time is written too coarsely. Give the rate and leave the time column out.",
            ),
            (
                "Its unit is not stated; say which with --columns time=NAME:s or time=NAME:ms.",
                "Its unit is not stated; say which.",
            ),
            (
                "Its unit is not stated; say which with --columns position=NAME:cm (or mm, m).",
                "Its unit is not stated; say which.",
            ),
            ("Force falls - to nothing, with notes.", "Force falls - to nothing, with notes."),
        ];
        for (command, page) in said {
            assert_eq!(without_options(command), page);
        }
    }

    #[test]
    fn ids_read_as_words() {
        assert_eq!(name("peak_force_n", "N"), "peak force");
        assert_eq!(name("take_off_velocity_m_s", "m/s"), "take-off velocity");
        assert_eq!(name("force_n_at.50", "N"), "force at 50 ms");
        assert_eq!(
            name("rate_of_force_development_n_s.0_100", "N/s"),
            "rate of force development 0 to 100 ms"
        );
        assert_eq!(name("reactive_strength_index", "m/s"), "reactive strength index");
        assert_eq!(
            name("reactive_strength_index_spread_percent", "%"),
            "reactive strength index spread"
        );
    }
}
