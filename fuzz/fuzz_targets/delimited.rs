//! Any bytes as a text table: an answer or an error, and the same however the bytes arrive.
#![no_main]

use cornerwork_io::readers::delimited::{ColumnChoices, Delimited, Wanted};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    for wanted in [Wanted::Force, Wanted::Position] {
        let Ok(file) = Delimited::open(bytes, None) else { return };
        let Ok(mapping) = file.propose(wanted, &ColumnChoices::default()) else { continue };
        let _ = match wanted {
            Wanted::Force => file.force(&mapping, Some(1000.0)).map(drop),
            Wanted::Position => file.bar(&mapping, Some(1000.0)).map(drop),
        };
    }
});
