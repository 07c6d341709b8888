//! Names are untrusted: whatever a scenario calls its things, no format lets it do anything.

use crate::support::{Halls, hallwright, stderr, stdout};

/// One of each sort of letter that may not be shown as it is.
const UNFIT: [char; 24] = [
    '\0',
    '\u{7}',
    '\u{8}',
    '\t',
    '\n',
    '\r',
    '\u{1b}',
    '\u{7f}',
    '\u{80}',
    '\u{85}',
    '\u{9b}',
    '\u{61c}',
    '\u{200e}',
    '\u{200f}',
    '\u{2028}',
    '\u{2029}',
    '\u{202a}',
    '\u{202e}',
    '\u{2066}',
    '\u{2069}',
    '\u{fdd0}',
    '\u{fffe}',
    '\u{ffff}',
    '\u{1ffff}',
];

/// What has a meaning in one format or another.
const MEANINGS: &str = "<script>x</script>&amp;|`_*]]>%,::error::##[error]";

/// A name for a thing of this sort, as RON has it in quotes. The names of what can be a step of a path
/// have no control letters and none of a path's own: the language refuses those.
fn evil(sort: &str, is_step: bool) -> String {
    let unfit = UNFIT
        .iter()
        .filter(|letter| !(is_step && letter.is_control()));
    let unfit: String = unfit
        .map(|letter| format!("\\u{{{:x}}}", u32::from(*letter)))
        .collect();
    match is_step {
        true => format!("=1+{sort}{unfit}{}", MEANINGS.replace(['[', ']', '*'], "")),
        false => format!("=1+{sort}{unfit}\\n::error::{MEANINGS}"),
    }
}

/// A scenario in which everything has such a name, with goals that are met and goals that are missed.
fn evil_hall() -> Halls {
    let halls = Halls::new();
    let text = r#"(
        title: "TITLE",
        run_for: "20s",
        goods: {"KIND": 64, "OTHER": 64},
        parameters: {"PARAMETER": "KIND", "rate": 1},
        ranges: {"rate": OneOf([1, 2]), "PARAMETER": OneOf(["KIND", "OTHER"])},
        variants: {"VARIANT": {"PARAMETER": "KIND"}, "SECOND": {"PARAMETER": "OTHER"}},
        modules: {"MODULE": (parts: {"INNER": Chest()})},
        uses: {"USE": One(module: "MODULE")},
        parts: {
            "PLACE": Chest(),
            "HOPPER": Hopper(above: "PLACE", target: "STORE", lock: "LEVER"),
            "STORE": Chest(),
        },
        signals: {"LEVER": Lever(), "LEVEL": Comparator(reads: "STORE")},
        arrivals: {"CART": Steady(place: "PLACE", kind: "KIND", per_second: "$rate")},
        operator: [(at: "5s", actions: [On("LEVER")])],
        stores: {"DECLARED": (parts: "STORE", takes: "KIND")},
        flows: {"FLOW": (into: "STORE")},
        sections: {"SECTION": (line: ["HOPPER"], queue: ["PLACE"])},
        lamps: {"LAMP": (signal: "LEVEL", watches: "STORE")},
        stops: [(at: "8s", actions: [Off("LEVER")])],
        goals: [
            MisplacedAtMost(0),
            Contents(parts: "STORE", at_least: 9999),
            Contents(parts: "STORE", kinds: ["KIND"], at_least: 9998),
            LampRise(lamp: "LAMP", not_before: "0t"),
        ],
    )"#;
    let mut text = text.to_owned();
    let steps = ["INNER", "USE", "PLACE", "HOPPER", "STORE", "LEVER", "LEVEL"];
    let others = [
        "TITLE",
        "KIND",
        "OTHER",
        "PARAMETER",
        "MODULE",
        "VARIANT",
        "SECOND",
        "CART",
        "DECLARED",
        "FLOW",
        "SECTION",
        "LAMP",
    ];
    for sort in steps.into_iter().chain(others) {
        let name = evil(&sort.to_lowercase(), steps.contains(&sort));
        text = text.replace(&format!("\"{sort}\""), &format!("\"{name}\""));
    }
    halls.write("hall.ron", &text);
    halls
}

/// Fails if a letter is there that may not be shown. Ends of lines are for the format to use.
fn assert_nothing_raw(format: &str, text: &str) {
    for (at, letter) in text.char_indices() {
        let is_raw = letter != '\n' && UNFIT.contains(&letter);
        let from = text[..at]
            .char_indices()
            .rev()
            .take(60)
            .last()
            .map_or(at, |(from, _)| from);
        assert!(
            !is_raw,
            "{format} has {letter:?} behind {:?}",
            &text[from..at]
        );
    }
}

/// Fails if a CI service would take a line for a command.
fn assert_no_command(format: &str, text: &str) {
    for line in text.lines() {
        assert!(!line.trim_start().starts_with("::"), "{format}: {line}");
        assert!(!line.contains("##["), "{format}: {line}");
    }
}

fn assert_no_formula(format: &str, text: &str) {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .from_reader(text.as_bytes());
    let mut rows = 0;
    for row in reader.records() {
        rows += 1;
        for cell in &row.expect("all rows are alike") {
            let is_number = cell.parse::<f64>().is_ok();
            let begins = cell.starts_with(['=', '+', '-', '@', '\t', '\r']);
            assert!(is_number || !begins, "{format}: {cell}");
        }
    }
    assert!(rows > 1, "{text}");
}

/// What a command writes in each format, and what it reports.
fn written(halls: &Halls, command: &[&str], formats: &[&str]) -> Vec<(String, String)> {
    let targets: Vec<String> = formats
        .iter()
        .flat_map(|format| {
            let file = halls.path(&format!("{}.{format}", command[0]));
            ["--output".to_owned(), format!("{format}={file}")]
        })
        .collect();
    let targets: Vec<&str> = targets.iter().map(String::as_str).collect();
    let output = hallwright(&[command, &targets].concat());
    let code = output.status.code();
    assert!(
        matches!(code, Some(0 | 1)),
        "{command:?}: {}",
        stderr(&output)
    );
    let mut all = vec![
        (
            format!("{} to standard output", command[0]),
            stdout(&output),
        ),
        (format!("{} to standard error", command[0]), stderr(&output)),
    ];
    for format in formats {
        let text = halls.read(&format!("{}.{format}", command[0]));
        assert!(!text.is_empty(), "{command:?} {format}");
        all.push(((*format).to_owned(), text));
    }
    all
}

/// Fails if a name does something in a format.
fn assert_harmless(format: &str, text: &str) {
    match format {
        "html" => {
            assert!(!text.contains("<script>x"), "a tag passes into a page");
        }
        "junit" => {
            let document = roxmltree::Document::parse(text).expect("it is XML");
            let tags = document.descendants().map(|node| node.tag_name().name());
            assert!(!tags.collect::<Vec<_>>().contains(&"script"));
        }
        "csv" => assert_no_formula(format, text),
        "markdown" => {
            assert!(!text.contains("<script"), "{text}");
            let pipes = |line: &str| line.replace("\\|", "").matches('|').count();
            let tables = text.split("\n\n").filter(|part| part.starts_with('|'));
            for table in tables {
                let first = pipes(table.lines().next().expect("a line"));
                assert!(table.lines().all(|line| pipes(line) == first), "{table}");
            }
        }
        "annotations" => {
            for line in text.lines() {
                let rest = line.strip_prefix("::error ").expect("an annotation a line");
                assert!(rest.starts_with("file="), "{line}");
                assert!(!rest.contains("##["), "{line}");
            }
        }
        "json" => {
            let json: serde_json::Value = serde_json::from_str(text).expect("it is JSON");
            let exact = format!("{json}").contains("\\u001b");
            assert!(exact, "names stay exact in JSON");
        }
        "trace" => {
            for line in text.lines().skip(1) {
                let event: serde_json::Value = serde_json::from_str(line).expect("an event");
                assert!(event["tick"].is_u64());
            }
        }
        _ => assert_no_command(format, text),
    }
}

#[test]
fn no_name_does_anything_in_any_format() {
    let halls = evil_hall();
    let hall = halls.path("hall.ron");
    let mut all = Vec::new();
    all.extend(written(&halls, &["run", &hall], &["text", "json", "html"]));
    let formats = ["text", "json", "junit", "annotations", "html"];
    all.extend(written(
        &halls,
        &["check", &hall, "--shuffles", "0"],
        &formats,
    ));
    let formats = ["text", "markdown", "csv", "json", "junit", "html"];
    all.extend(written(
        &halls,
        &["compare", &hall, "--shuffles", "0"],
        &formats,
    ));
    let tune = ["tune", &hall, "--no-cache", "--shuffles", "0"];
    all.extend(written(&halls, &tune, &["text", "json", "csv"]));
    all.extend(written(&halls, &["sheet", &hall], &["text", "csv"]));
    all.extend(written(&halls, &["explain", &hall], &[]));
    all.extend(written(
        &halls,
        &["explain", &hall, "--output", "json"],
        &[],
    ));
    let trace = format!("trace={}", halls.path("trace"));
    all.extend(written(&halls, &["run", &hall, "--output", &trace], &[]));
    all.push(("trace".to_owned(), halls.read("trace")));
    let mut seen = 0;
    for (format, text) in &all {
        assert_nothing_raw(format, text);
        seen += usize::from(text.contains("\\u{1b}") || text.contains("\\u001b"));
        assert_harmless(format, text);
    }
    assert!(seen > 12, "the names are shown, in {seen} of {}", all.len());
}

#[test]
fn no_name_does_anything_in_a_message() {
    let halls = Halls::new();
    let name = evil("part", false);
    halls.write(
        "broken.ron",
        &format!(
            "(title: \"x\", run_for: \"1s\",\n// \u{1b}[2J \u{202e}\nparts: {{\"{name}\": Hopper(target: \"{name}x\")}}, /* \u{9b} */ \u{1b})"
        ),
    );
    halls.write(
        "unknown.ron",
        &format!(
            "(title: \"x\", run_for: \"1s\", parts: {{\"a\u{1b}[2J\u{202e}\u{7f}\": Hopper(target: \"{name}\")}})"
        ),
    );
    for file in ["broken.ron", "unknown.ron"] {
        for command in ["run", "check", "show", "tune"] {
            let output = hallwright(&[command, &halls.path(file)]);
            assert_eq!(output.status.code(), Some(2), "{command} {file}");
            for text in [stdout(&output), stderr(&output)] {
                assert_nothing_raw(file, &text);
                assert_no_command(file, &text);
            }
        }
    }
    let path = halls.path("no\u{1b}[2Jsuch\u{202e}\n::error::.ron");
    for command in ["run", "check", "new"] {
        let output = hallwright(&[command, &path]);
        for text in [stdout(&output), stderr(&output)] {
            assert_nothing_raw(command, &text);
            assert_no_command(command, &text);
        }
    }
}
