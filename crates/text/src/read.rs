//! Reading files.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use crate::ids;
use crate::root::is_handed_over;

/// So large may a file be. All of it is kept in memory while a scenario is loaded.
const MOST_BYTES: u64 = 64 * 1024 * 1024;

/// The text of a file, or which diagnostic it is worth and why.
pub fn read_text(path: &Path) -> Result<String, (&'static str, String)> {
    let shown = path.display();
    let unreadable = |error: &std::io::Error| {
        let message = format!("`{shown}` cannot be read: {}", reason(error));
        (ids::FILE_MISSING, message)
    };
    // Opening a pipe would wait for somebody who writes into it; what the system hands over has its writer.
    let sort = std::fs::metadata(path).map_err(|error| unreadable(&error))?;
    if !sort.is_file() && !sort.is_dir() && !is_handed_over(path) {
        let message = format!("`{shown}` is not a regular file: write its text to a file first");
        return Err((ids::FILE_MISSING, message));
    }
    let file = File::open(path).map_err(|error| unreadable(&error))?;
    // A file says how long it is, or nearly; what the system hands over does not.
    let length = usize::try_from(sort.len().min(MOST_BYTES)).unwrap_or(0);
    let mut bytes = Vec::with_capacity(length + 1);
    // One byte more than is allowed reports that there are too many, however many there are.
    file.take(MOST_BYTES + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| unreadable(&error))?;
    if bytes.len() as u64 > MOST_BYTES {
        let limit = MOST_BYTES / (1024 * 1024);
        return Err((
            ids::FILE_TOO_LARGE,
            format!("`{shown}` is larger than {limit} MiB"),
        ));
    }
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        (
            ids::FILE_NOT_TEXT,
            format!("`{shown}` is no UTF-8 text, from byte {at} on"),
        )
    })
}

/// Why a file cannot be read, in the same words on every system.
fn reason(error: &std::io::Error) -> String {
    match error.kind() {
        std::io::ErrorKind::NotFound => "there is no such file".to_owned(),
        std::io::ErrorKind::PermissionDenied => "it may not be read".to_owned(),
        std::io::ErrorKind::IsADirectory => "it is a directory".to_owned(),
        _ => error.to_string().to_lowercase(),
    }
}
