//! Every metric there is, and the table of them in the documentation.

use super::{
    Definition, bar_velocity, force, height, impulse, isometric, landing, power, reactive_strength,
    stiffness, timing,
};

/// Metrics that belong together.
#[derive(Debug)]
pub struct Family {
    /// Heading of its table.
    pub title: &'static str,
    /// Its metrics.
    pub metrics: &'static [&'static Definition],
}

/// All families, in the order of the documentation.
pub static FAMILIES: &[&Family] = &[
    &height::FAMILY,
    &timing::FAMILY,
    &force::FAMILY,
    &impulse::FAMILY,
    &power::FAMILY,
    &reactive_strength::FAMILY,
    &stiffness::FAMILY,
    &landing::FAMILY,
    &isometric::FAMILY,
    &bar_velocity::FAMILY,
];

/// A definition by its id.
pub fn find(id: &str) -> Option<&'static Definition> {
    all().find(|definition| definition.id == id)
}

/// All definitions.
pub fn all() -> impl Iterator<Item = &'static Definition> {
    FAMILIES.iter().flat_map(|family| family.metrics.iter().copied())
}

/// The documentation's table of metrics, in Markdown.
pub fn markdown() -> String {
    let mut page = String::from(
        "# Metrics\n\nMade from the registry in `crates/core/src/metrics`; a test holds this page \
         to it.\n\nA metric that cannot be had is absent and a note says why; it is never zero. A \
         full stop in an id leads into an object: `force_n_at.50` is the entry `50` of \
         `force_n_at`.\n",
    );
    for family in FAMILIES {
        page += &format!(
            "\n## {}\n\n| id | unit | better | definition | source |\n|---|---|---|---|---|\n",
            family.title
        );
        for metric in family.metrics {
            page += &format!(
                "| `{}` | {} | {} | {} | {} |\n",
                metric.id,
                metric.unit,
                metric.better.word(),
                metric.definition.replace('|', "\\|"),
                metric.source
            );
        }
    }
    page
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashSet;

    #[test]
    fn ids_are_unique_and_end_in_their_unit() {
        let mut seen = HashSet::new();
        for metric in all() {
            assert!(seen.insert(metric.id), "{} twice", metric.id);
            let stem = metric.id.split('.').next().unwrap_or_default();
            let suffix = match metric.unit {
                "m" => "_m",
                "s" => "_s",
                "N" => "_n",
                "N/kg" => "_n_kg",
                "N s" => "_n_s",
                "m/s" => "",
                "W" => "_w",
                "W/kg" => "_w_kg",
                "kg" => "_kg",
                "N/m" => "_n_m",
                "N/s" => "_n_s",
                "%" => "_percent",
                "J" => "_j",
                "" => "",
                unknown => panic!("{} has the unit {unknown}", metric.id),
            };
            assert!(stem.ends_with(suffix) || stem.contains("_n_at"), "{}", metric.id);
        }
    }
}
