//! Text from a file, or from standard input for `-`.

use std::io::Read;
use std::path::Path;

/// All text of a file.
///
/// # Errors
/// A sentence when it cannot be read or is not text.
pub(super) fn text(file: &Path) -> Result<String, String> {
    let from_standard_input = file == Path::new("-");
    let name =
        if from_standard_input { "standard input".to_owned() } else { file.display().to_string() };
    let mut bytes = Vec::new();
    let read = if from_standard_input {
        std::io::stdin().read_to_end(&mut bytes).map(|_| ())
    } else {
        std::fs::read(file).map(|all| bytes = all)
    };
    read.map_err(|error| format!("Cannot read {name}: {error}."))?;
    String::from_utf8(bytes)
        .map_err(|_| format!("Cannot read {name}: it is not UTF-8 text. Save it as CSV in UTF-8."))
}
