//! A gym of its own for a test: its house over an empty folder, and the pages it answers with.

use axum::Router;
use cornerwork::flow::clock::Clock;
use cornerwork::flow::house::House;
use cornerwork::web::{Site, router};
use cornerwork_io::catalogue::safety_rules::SafetyRules;
use cornerwork_io::store::SqliteStore;
use std::path::Path;
use std::sync::Arc;
use tokio_util::sync::CancellationToken;

/// The house of a new gym in a folder, with the rules the program carries.
pub(crate) async fn house(folder: &Path, clock: Clock) -> Arc<House> {
    let store = SqliteStore::open(folder).await.unwrap();
    let rules = SafetyRules::built_in().unwrap();
    Arc::new(House::open(store, clock, rules).await.unwrap())
}

/// Its pages.
pub(crate) fn pages(house: Arc<House>) -> Router {
    router(Site { house, addresses: Arc::default(), stopping: CancellationToken::new() })
}
