//! Whether a network can be built, in words.

use hallwright_report::findings::SiteFinding;
use hallwright_report::units::{count, grouped};

/// `806 parts, 692 stand, 1,211 links proven, 38 taken at their word, 0 problems`. Problems that goals allow
/// are counted among them, and once more by themselves.
#[must_use]
pub fn built(site: &SiteFinding) -> String {
    let problems = site.problems.len() as u64;
    let allowed = problems - site.not_allowed().count() as u64;
    let allowed = match allowed {
        0 => String::new(),
        1 if problems == 1 => ", which is allowed".to_owned(),
        all if all == problems => ", all of them allowed".to_owned(),
        some => format!(", {} of them allowed", grouped(some)),
    };
    format!(
        "{}, {} stand, {} proven, {} taken at their word, {}{allowed}",
        count(site.parts, "part", "parts"),
        grouped(site.stand),
        count(site.links_proven, "link", "links"),
        grouped(site.at_their_word),
        count(problems, "problem", "problems"),
    )
}
