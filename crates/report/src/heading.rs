//! What stands above a report.

/// What is known about a run beside its findings.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Heading {
    /// The scenario's title.
    pub title: String,
    /// The variant that was run.
    pub variant: Option<String>,
    /// The seed.
    pub seed: u64,
    /// The update order in words.
    pub update_order: String,
    /// The signal order in words.
    pub signal_order: String,
    /// The version of this program.
    pub version: String,
    /// The digest of everything that was read in.
    pub input_digest: String,
    /// The command that gives this report again.
    pub command: String,
    /// Whether both engines agreed on the run; `None` if that was not looked at.
    pub verified: Option<bool>,
}
