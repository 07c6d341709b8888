//! `hallwright show`, and pages from other commands. What they look like is tested in `tests/browser`.

use crate::support::{Halls, hallwright, stderr, stdout};

#[test]
fn the_same_run_gives_the_same_page_byte_for_byte() {
    let halls = Halls::new();
    let scenario = "scenarios/first-slice.ron";
    for name in ["one.html", "other.html"] {
        let page = format!("html={}", halls.path(name));
        let output = hallwright(&["show", scenario, "--variant", "leaky", "--output", &page]);
        assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
        assert!(stderr(&output).contains("wrote "), "{}", stderr(&output));
    }
    let page = halls.read("one.html");
    assert!(page == halls.read("other.html"), "the two pages differ");
    assert!(page.starts_with("<!doctype html>"));
    // Nothing is fetched from anywhere: the policy forbids it, and nothing asks for it.
    assert!(page.contains("default-src 'none'"));
    assert!(!page.contains("https://"));
}

#[test]
fn a_page_without_a_path_goes_to_standard_output() {
    let output = hallwright(&["show", "scenarios/first-slice.ron", "--output", "html"]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    assert!(stdout(&output).starts_with("<!doctype html>"));
    assert!(!stderr(&output).contains("wrote"), "{}", stderr(&output));
}

#[test]
fn names_are_text_in_the_page() {
    let halls = Halls::new();
    halls.write(
        "names.ron",
        r#"(
            title: "<script>alert(1)</script>",
            run_for: "1s",
            goods: {"</script>": 64},
            parts: {"<b>": Chest(holds: [(kind: "</script>", count: 1)])},
        )"#,
    );
    let (scenario, page) = (halls.path("names.ron"), halls.path("names.html"));
    let output = hallwright(&["show", &scenario, "--output", &format!("html={page}")]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let page = halls.read("names.html");
    assert!(!page.contains("<script>alert") && !page.contains("<b>\""));
    assert!(page.contains("&lt;script&gt;alert(1)&lt;"));
    // The page's data, its rows and its script, and no fourth.
    assert_eq!(page.matches("</script>").count(), 3);
}

#[test]
fn more_than_two_variants_and_unknown_ones_are_refused() {
    let scenario = "scenarios/multi-item-line.ron";
    let three = ["one line", "five sections", "midway returns"];
    let mut arguments = vec!["show", scenario];
    for variant in &three {
        arguments.extend(["--variant", variant]);
    }
    let output = hallwright(&arguments);
    assert_eq!(output.status.code(), Some(2));
    assert!(
        stderr(&output).contains("two variants at most"),
        "{}",
        stderr(&output)
    );
    let output = hallwright(&["show", scenario, "--variant", "one lime"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(stderr(&output).contains("one line"), "{}", stderr(&output));
}

#[test]
fn other_commands_write_pages_too() {
    let halls = Halls::new();
    let scenario = "scenarios/first-slice.ron";
    for (command, more) in [
        ("run", &["--variant", "leaky"][..]),
        ("check", &["--shuffles", "0"][..]),
        ("compare", &["--shuffles", "0"][..]),
    ] {
        let page = format!("html={}", halls.path(&format!("{command}.html")));
        let mut arguments = vec![command, scenario, "--output", &page];
        arguments.extend(more);
        let output = hallwright(&arguments);
        assert!(
            matches!(output.status.code(), Some(0 | 1)),
            "{}",
            stderr(&output)
        );
        // What was written, which runs are on it, and how they came off.
        let reported = stderr(&output);
        if command != "run" {
            assert!(reported.contains("wrote "), "{reported}");
            assert!(reported.contains("first-slice.ron, "), "{reported}");
            assert!(reported.contains("answers ok"), "{reported}");
        }
        let page = halls.read(&format!("{command}.html"));
        assert!(page.starts_with("<!doctype html>"), "{command}");
        let runs = if command == "compare" { 2 } else { 1 };
        assert_eq!(
            page.matches("<p class=\"made\">").count(),
            runs,
            "{command}"
        );
    }
}
