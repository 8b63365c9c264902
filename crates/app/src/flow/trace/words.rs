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

#[cfg(test)]
mod tests {
    use super::*;

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
