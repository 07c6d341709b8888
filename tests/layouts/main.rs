//! Scenarios: what they compile to, and what is told of those that do not compile.

mod everything;

use std::path::{Path, PathBuf};

/// A file or folder beside this one.
fn beside(name: &str) -> PathBuf {
    Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/layouts")).join(name)
}
