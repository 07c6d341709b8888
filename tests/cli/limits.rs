//! Limits on lines that are shipped with hallwright: close to what runs measure, and never broken.

use serde_json::Value;

use crate::support::{findings, hallwright, stdout};

/// A figure of the findings.
fn number(value: &Value, path: &str) -> f64 {
    let found = value.pointer(path).and_then(Value::as_f64);
    found.unwrap_or_else(|| panic!("`{path}` is a number"))
}

/// Whether a measured figure is within 2 % of the best, on its right side.
fn is_close(worse: f64, best: f64) -> bool {
    worse <= best && worse >= 0.98 * best
}

/// The measured throughput and its limit, of the first flow.
fn throughput(found: &Value) -> (f64, f64) {
    (
        number(found, "/flows/0/steadiest/throughput_items_per_second"),
        number(
            found,
            "/limits/flows/0/steadiest/most_throughput_items_per_second",
        ),
    )
}

/// The measured ticks to a mark and the least, of all sections together.
fn mark(found: &Value, mark: &str) -> (f64, f64) {
    (
        number(found, &format!("/stops/0/stop_{mark}_ticks")),
        number(found, &format!("/limits/stops/0/least_stop_{mark}_ticks")),
    )
}

#[test]
fn one_line_of_240_hoppers_does_what_it_can() {
    let found = findings(
        &["scenarios/multi-item-line.ron", "--variant", "one line"],
        0,
    );
    let (measured, best) = throughput(&found);
    assert!(is_close(measured, best), "{measured} of {best} items/s");
    let (measured, least) = mark(&found, "cleared");
    assert!(is_close(least, measured), "{measured} of {least} ticks");
    // 239 hoppers behind the first, at 7 ticks each.
    assert!(least >= 239.0 * 7.0 - 8.0, "{least} ticks");
    // Every second one of the 500 items of the haul is chaff, which no store of the line takes.
    assert_eq!(number(&found, "/limits/flows/1/counted/most_items"), 250.0);
    let limiter = found.pointer("/limits/flows/0/steadiest/limited_by/0/part");
    assert_eq!(limiter, Some(&Value::from("part[0].head")));
}

#[test]
fn the_granarys_line_in_one_section_does_what_it_can() {
    let found = findings(
        &["scenarios/granary/line.ron", "--variant", "one section"],
        0,
    );
    let (measured, best) = throughput(&found);
    assert!(is_close(measured, best), "{measured} of {best} items/s");
    let (measured, least) = mark(&found, "cleared");
    assert!(is_close(least, measured), "{measured} of {least} ticks");
    // A held signal is still on then, which no limit looks at: it is true, but loose.
    let (measured, least) = mark(&found, "safe_to_close");
    assert!(least <= measured, "{measured} of {least} ticks");
    let certainty = found.pointer("/limits/stops/0/safe_to_close_certainty");
    assert_eq!(certainty, Some(&Value::from("loose")));
}

#[test]
fn no_variant_of_a_line_breaks_a_limit() {
    for (scenario, variant) in [
        ("scenarios/multi-item-line.ron", "five sections"),
        ("scenarios/multi-item-line.ron", "midway returns"),
        ("scenarios/granary/line.ron", "five sections"),
        ("scenarios/granary/line.ron", "back by hoppers"),
        ("scenarios/granary.ron", "five sections"),
    ] {
        for order in ["declared", "reversed", "shuffled:1"] {
            let found = findings(&[scenario, "--variant", variant, "--order", order], 0);
            never_broken(&found, &format!("{scenario}, {variant}, {order}"));
        }
    }
}

fn never_broken(found: &Value, what: &str) {
    let list = |path: &str| found.pointer(path).and_then(Value::as_array).cloned();
    let flows = list("/flows").unwrap_or_default();
    for (number_of, flow) in flows.iter().enumerate() {
        let most = found.pointer(&format!("/limits/flows/{number_of}/counted/most_items"));
        if let Some(most) = most.and_then(Value::as_f64) {
            assert!(number(flow, "/items") <= most, "{what}: {flow}");
        }
        let most = found.pointer(&format!(
            "/limits/flows/{number_of}/steadiest/most_throughput_items_per_second"
        ));
        if let Some(most) = most.and_then(Value::as_f64) {
            let measured = number(flow, "/steadiest/throughput_items_per_second");
            assert!(measured <= most + 1e-9, "{what}: {flow}");
        }
    }
    for (number_of, stop) in list("/stops").unwrap_or_default().iter().enumerate() {
        let least = found.pointer(&format!("/limits/stops/{number_of}"));
        let least = least.unwrap_or_else(|| panic!("{what}: a stop without limits"));
        marks_hold(stop, least, what);
        let sections = stop["sections"].as_array().cloned().unwrap_or_default();
        for (section, least) in sections
            .iter()
            .zip(least["sections"].as_array().into_iter().flatten())
        {
            marks_hold(section, least, what);
        }
    }
}

fn marks_hold(stop: &Value, least: &Value, what: &str) {
    for mark in ["cleared", "safe_to_close", "quiet"] {
        let Some(measured) = stop[format!("stop_{mark}_ticks")].as_u64() else {
            continue;
        };
        // Of a limit that says nothing no number is reported.
        let is_known = least[format!("{mark}_certainty")] != "unknown";
        let least = least[format!("least_stop_{mark}_ticks")].as_u64();
        let holds = !is_known || least.is_some_and(|least| least <= measured);
        assert!(
            holds,
            "{what}: {mark} after {measured} ticks, at best {least:?}: {stop}"
        );
    }
}

#[test]
fn the_text_reports_what_was_possible() {
    let output = hallwright(&[
        "run",
        "scenarios/multi-item-line.ron",
        "--variant",
        "one line",
    ]);
    let text = stdout(&output).replace("\n          ", " ");
    assert!(
        text.contains("At best   into the line: 2.50 of 2.50 items/s, limited by part[0].head"),
        "{text}"
    );
    assert!(
        text.contains("stop at 180.0 s: cleared 84.2 s (limit 83."),
        "{text}"
    );
    // Three limits, and how many there are besides. That all goods came through says nothing of the design.
    assert!(
        text.contains("… and 4 limits more: `--output json` has all\n"),
        "{text}"
    );
    assert!(!text.contains("limited by arrivals"), "{text}");
}
