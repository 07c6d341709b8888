//! Whether a network can be built is asked of every run of one that says where its parts stand.

use std::sync::Arc;

use hallwright_core::id::PartId;
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::rules::Rules;
use hallwright_declared::declarations::{Declarations, Goal};
use hallwright_declared::site::{SiteProblem, SiteReport};
use hallwright_report::goals::Verdict;
use hallwright_report::verdicts::{Question, Ruling};

use crate::parts::chest;
use crate::support::run_with;

/// Three chests.
fn chests() -> (Network, [PartId; 3]) {
    let mut builder = NetworkBuilder::new(Rules::default());
    let parts = ["one", "two", "three"].map(|name| chest(&mut builder, name, 27));
    (builder.build().expect("chests are sound"), parts)
}

fn overlap(part: PartId, other: Option<PartId>, words: &str) -> SiteProblem {
    SiteProblem {
        rule: "site::overlap",
        part: Some(part),
        at: None,
        other,
        other_at: None,
        wanted_at: Vec::new(),
        words: words.to_owned(),
        help: "Move one of the two.".to_owned(),
    }
}

/// The verdict on two problems, one of the first chest with the second and one of the third.
fn judged(goals: Vec<Goal>) -> Option<Verdict> {
    let (network, [one, two, three]) = chests();
    let report = SiteReport {
        problems: vec![
            overlap(one, Some(two), "one meets two"),
            overlap(three, None, "three meets a wall"),
        ],
        ..SiteReport::default()
    };
    let declarations = Declarations {
        goals,
        site: Some(Arc::new(report)),
        ..Declarations::default()
    };
    buildable(&network, &declarations)
}

fn buildable(network: &Network, declarations: &Declarations) -> Option<Verdict> {
    let found = run_with(network, declarations, 10, Vec::new());
    let mut verdicts = found.verdicts.iter();
    let verdict = verdicts.find(|verdict| verdict.question == Question::Buildable);
    verdict.cloned()
}

#[test]
fn what_cannot_be_built_is_missed_though_no_goal_asks() {
    let verdict = judged(Vec::new()).expect("it says where its parts stand");
    assert_eq!(verdict.ruling, Ruling::Missed);
    assert!(verdict.is_judged_anyway());
    assert_eq!(verdict.subject, "buildable");
    assert_eq!(
        verdict.why,
        [
            "site::overlap: one meets two",
            "site::overlap: three meets a wall"
        ]
    );
}

#[test]
fn a_goal_allows_problems_by_either_of_their_parts() {
    let (_, [one, two, three]) = chests();
    for first in [one, two] {
        let verdict = judged(vec![Goal::Buildable(vec![first, three])]);
        let verdict = verdict.expect("the goal asks it");
        assert_eq!(verdict.ruling, Ruling::Allowed);
        assert_eq!(verdict.why.len(), 2);
    }
    let verdict = judged(vec![Goal::Buildable(vec![two])]).expect("the goal asks it");
    assert_eq!(verdict.ruling, Ruling::Missed);
    assert_eq!(verdict.why, ["site::overlap: three meets a wall"]);
}

#[test]
fn a_network_that_stands_nowhere_is_asked_by_a_goal_only_and_cannot_be_judged() {
    let (network, _) = chests();
    let silent = Declarations::default();
    assert_eq!(buildable(&network, &silent), None);
    let asking = Declarations {
        goals: vec![Goal::Buildable(Vec::new())],
        ..Declarations::default()
    };
    let verdict = buildable(&network, &asking).expect("the goal asks it");
    assert_eq!(verdict.ruling, Ruling::NotKnown);
    let remark = verdict.remark.as_deref();
    assert_eq!(remark, Some("nothing says where the parts stand"));
}

#[test]
fn nothing_wrong_is_ok() {
    let (network, _) = chests();
    let declarations = Declarations {
        site: Some(Arc::new(SiteReport::default())),
        ..Declarations::default()
    };
    let verdict = buildable(&network, &declarations).expect("it says where its parts stand");
    assert_eq!(verdict.ruling, Ruling::Ok);
}
