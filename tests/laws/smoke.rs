//! A few hundred random networks, in which both engines must agree.

use hallwright_swarm::coverage::WANTED;
use hallwright_swarm::hunt::hunt;

/// Enough for every event to be met, few enough for every test run.
const NETWORKS: u64 = 400;

#[test]
fn both_engines_agree_on_random_networks() {
    let outcome = hunt(0..NETWORKS, None);
    if let Some(finding) = &outcome.finding {
        panic!("the runs differ\n{}", finding.reduced().in_words());
    }
    let rare = outcome.coverage.rare();
    let unmet: Vec<_> = rare.iter().filter(|row| row.starts_with("event")).collect();
    assert!(unmet.is_empty(), "too seldom met: {unmet:?}");
    assert_eq!(outcome.coverage.shares().count(), WANTED.len());
}
