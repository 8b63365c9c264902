//! The demo gym: filled once, with a clock of its own.

use crate::demo;
use crate::flow::clock::Clock;
use cornerwork_io::store::SqliteStore;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use std::path::Path;

/// Seed of the invented history: the same gym on every machine.
const SEED: u64 = 23;
/// Where the invented gym stands.
const ZONE: &str = "Europe/London";
/// File that holds the moment the story began, by the machine's clock.
const BEGAN: &str = "story-began";

/// Fills an empty folder with the invented gym, and gives its clock: it told the story's evening
/// when the gym was made and has run on since, through every restart.
///
/// # Errors
/// A sentence when the folder holds a gym that is not the demo, or cannot be written.
pub(super) async fn fill(store: &SqliteStore, folder: &Path) -> Result<Clock, String> {
    let began = folder.join(BEGAN);
    let unreadable = |error: &dyn std::fmt::Display| {
        format!("The demo's clock in {} cannot be used: {error}.", began.display())
    };
    let stored = store.load().await.map_err(|error| error.to_string())?;
    if stored.is_empty() {
        let operations = demo::operations(SEED);
        let recordings = store.recordings();
        for bytes in demo::recordings(SEED) {
            recordings.keep(&bytes).await.map_err(|error| error.to_string())?;
        }
        store.append(&operations).await.map_err(|error| error.to_string())?;
        std::fs::write(&began, Timestamp::now().to_string()).map_err(|error| unreadable(&error))?;
    } else if !began.exists() {
        return Err(format!(
            "{} holds a gym of its own, not the demo. Use another folder with --data, or `cornerwork serve`.",
            folder.display()
        ));
    }
    let moment = std::fs::read_to_string(&began).map_err(|error| unreadable(&error))?;
    let moment: Timestamp = moment.trim().parse().map_err(|error| unreadable(&error))?;
    let zone = TimeZone::get(ZONE).map_err(|error| unreadable(&error))?;
    Ok(Clock::telling(demo::STORY_NOW, moment, zone))
}
