//! `hallwright explain` of runs without a stop: what is not as it should be, on the page and in JSON.

use crate::support::{hallwright, stderr, stdout};

const FILTER: &str = "tests/explain/troubles/shut_filter.ron";

#[test]
fn the_page_names_the_cause_and_what_would_mend_it() {
    let output = hallwright(&["explain", FILTER]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let text = stdout(&output);
    let reported = "stuck: 20 items, at most 0\n  \
                20 madder in sieve: \"madder\" has room\n    \
                - out, which draws from sieve, is locked by shut\n    \
                - shut is on as long as open is off\n    \
                - open is off: it is level less 3\n    \
                - level reads 3 of sieve, which holds 61 madder, 4 bung; it would have to\n      \
                read 4 or more\n    \
                - it never does: with as much madder as fits into sieve it reads 3\n    \
                > let open take 2 from level instead of 3: sieve reads 2 at rest, and 3 with\n      \
                one more madder\n";
    assert!(text.contains(reported), "{text}");
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
}

#[test]
fn the_same_is_reported_in_json() {
    let output = hallwright(&["explain", FILTER, "--output", "json"]);
    let found: serde_json::Value =
        serde_json::from_slice(&output.stdout).expect("the explanation is JSON");
    assert!(found["stop"].is_null());
    let troubles = found["troubles"].as_array().expect("a list");
    assert_eq!(troubles.len(), 1, "{troubles:#?}");
    let trouble = &troubles[0];
    assert_eq!(trouble["question"], "stuck");
    assert_eq!(trouble["verdict"], "missed");
    assert_eq!(trouble["words"], "stuck: 20 items, at most 0");
    assert!(trouble["order_cause"].is_null());
    assert_eq!(trouble["left_out"], 0);
    let cause = &trouble["causes"][0];
    assert_eq!(cause["what"][0], "20 madder in sieve: \"madder\" has room");
    assert_eq!(cause["why"].as_array().map(Vec::len), Some(5), "{cause:#}");
    assert_eq!(
        cause["could"].as_array().map(Vec::len),
        Some(1),
        "{cause:#}"
    );
}

#[test]
fn the_order_that_makes_the_difference_is_named() {
    let hall = "tests/explain/troubles/by_order.ron";
    let orders = ["--set", "handed=true", "--signal-order", "reversed"];
    let output = hallwright(&[&["explain", hall], &orders[..]].concat());
    let text = stdout(&output);
    let reported = "misplaced: 1 item, at most 0, first at 1.6 s (32 t)\n  \
                - only the signal order makes it so: with `--signal-order declared` and all\n    \
                else the same, it is ok\n  \
                > no builder chooses the signal order: ";
    assert!(text.contains(reported), "{text}");
    assert!(
        text.contains("seed 0, update order declared, signal order reversed"),
        "{text}"
    );
    let flags = [&["explain", hall], &orders[..], &["--output", "json"]].concat();
    let output = hallwright(&flags);
    let found: serde_json::Value =
        serde_json::from_slice(&output.stdout).expect("the explanation is JSON");
    assert_eq!(found["signal_order"], "reversed");
    assert_eq!(found["troubles"][0]["order_cause"], "signal");
    let again = found["command"].as_str().expect("it can be repeated");
    assert!(again.contains("--signal-order reversed"), "{again}");
}

#[test]
fn a_run_as_it_should_be_has_nothing_to_explain() {
    let hall = "tests/explain/troubles/past_the_door.ron";
    let output = hallwright(&["explain", hall, "--set", "open=true"]);
    let text = stdout(&output);
    assert!(
        text.contains("The run has no stop, and all that is judged is as it should be."),
        "{text}"
    );
}
