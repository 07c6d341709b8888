//! Where the command is that draws the pages. It belongs to another crate, so cargo does not report.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

use crate::support::root;

/// Names a command that is there already, so that it is not built.
const VARIABLE: &str = "HALLWRIGHT_BIN";

/// The command `hallwright`: the one that `HALLWRIGHT_BIN` names, from the root of the project, or
/// else one that is built on the first call, as these tests were.
pub(crate) fn hallwright() -> &'static Path {
    static COMMAND: OnceLock<PathBuf> = OnceLock::new();
    COMMAND.get_or_init(|| match std::env::var_os(VARIABLE) {
        Some(named) => root().join(named),
        None => built(),
    })
}

/// Builds the command where these tests were built, with the same profile.
fn built() -> PathBuf {
    let this = std::env::current_exe().expect("a test knows where it is");
    // TARGET/PROFILE/deps/browser-…
    let folder = this
        .ancestors()
        .nth(2)
        .expect("cargo's folder of a profile");
    let target = folder.parent().expect("cargo's target folder");
    let profile = match folder.file_name().and_then(|name| name.to_str()) {
        Some("debug") | None => "dev",
        Some(profile) => profile,
    };
    let status = Command::new(env!("CARGO"))
        .current_dir(root())
        .args(["build", "--quiet", "--package", "hallwright"])
        .args(["--profile", profile, "--target-dir"])
        .arg(target)
        .status()
        .expect("cargo can be started");
    assert!(status.success(), "hallwright cannot be built");
    folder.join(format!("hallwright{}", std::env::consts::EXE_SUFFIX))
}
