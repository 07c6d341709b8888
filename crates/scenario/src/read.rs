//! Reading files.

use std::path::Path;

use crate::ids;

/// The text of a file, or which diagnostic it is worth and why.
pub(crate) fn read_text(path: &Path) -> Result<String, (&'static str, String)> {
    let shown = path.display();
    let bytes = std::fs::read(path).map_err(|error| {
        (
            ids::FILE_MISSING,
            format!("`{shown}` cannot be read: {}", reason(&error)),
        )
    })?;
    if u32::try_from(bytes.len()).is_err() {
        return Err((
            ids::FILE_NOT_TEXT,
            format!("`{shown}` is larger than 4 GiB"),
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
