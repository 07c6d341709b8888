//! How files that nobody has edited since they were written are told from others: the report for programs
//! has a digest of each, and one of itself.

use std::collections::BTreeMap;

use hallwright_core::fnv::Fnv128;
use serde::Deserialize;

/// The file with the digests.
pub const REPORT_FILE: &str = "report.json";

/// What stands in the place of the report's own digest while that is worked out.
const OWN: &str = "00000000000000000000000000000000";

/// The digest of a text.
fn digest(text: &str) -> String {
    let mut hash = Fnv128::default();
    hash.bytes(text.bytes());
    format!("{:032x}", hash.value())
}

/// The digests of files by their names, with a place for that of the report itself.
#[must_use]
pub fn digests<'t>(
    files: impl IntoIterator<Item = (&'t str, &'t str)>,
) -> BTreeMap<String, String> {
    let all = files.into_iter();
    let all = all.map(|(name, text)| (name.to_owned(), digest(text)));
    let own = (REPORT_FILE.to_owned(), OWN.to_owned());
    all.chain([own]).collect()
}

/// Puts the digest of a report into its place in it.
#[must_use]
pub fn stamped(report: &str) -> String {
    report.replacen(OWN, &digest(report), 1)
}

/// What is read of a report.
#[derive(Deserialize)]
struct Stamps {
    #[serde(default)]
    files: BTreeMap<String, String>,
}

/// The digests that a report has of the files beside it; none if it was edited itself, or is no report.
#[must_use]
pub fn read_digests(report: &str) -> BTreeMap<String, String> {
    let stamps: Option<Stamps> = serde_json::from_str(report).ok();
    let files = stamps.map(|stamps| stamps.files).unwrap_or_default();
    let is_own = files.get(REPORT_FILE).is_some_and(|own| {
        let before = report.replacen(own.as_str(), OWN, 1);
        own.len() == OWN.len() && digest(&before) == *own
    });
    if is_own { files } else { BTreeMap::new() }
}

/// Whether a file is as it was written.
#[must_use]
pub fn is_unedited(digests: &BTreeMap<String, String>, name: &str, text: &str) -> bool {
    let known = digests.get(name);
    // The report is known to be as it was: there are no digests otherwise.
    known.is_some_and(|known| name == REPORT_FILE || *known == digest(text))
}
