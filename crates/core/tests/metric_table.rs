//! The documentation's table of metrics is the registry's.

use cornerwork_core::metrics::registry;
use std::path::Path;

#[test]
fn the_page_of_metrics_is_made_from_the_registry() {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/metrics.md");
    let table = registry::markdown();
    if std::env::var_os("CORNERWORK_WRITE_DOCS").is_some() {
        std::fs::write(&page, &table).unwrap();
    }
    let written = std::fs::read_to_string(&page).unwrap();
    assert!(
        written == table,
        "docs/metrics.md is out of date; run this test with CORNERWORK_WRITE_DOCS=1"
    );
}
