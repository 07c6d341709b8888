//! The tables of `docs/understand/stops.md`: each stands between two comments that name it, and all come
//! from one comparison of six variants, whose command ends the page. A second command writes the figures of
//! all variants.

use std::path::Path;
use std::process::Command;
use std::sync::LazyLock;

use serde_json::Value;

use crate::{learn, rewrites, root};

const PAGE: &str = "docs/understand/stops.md";
const BEGIN: &str = "<!-- table: ";
const END: &str = "<!-- end of table -->";

/// What the page's command about all variants finds.
pub(crate) struct Found {
    csv: String,
    pub(crate) json: Value,
}

/// The comparison is made once for all tests of it.
pub(crate) static FOUND: LazyLock<Found> = LazyLock::new(|| {
    let page = page();
    let command = command(&page, "--output csv=stops.csv");
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = |name: &str| folder.path().join(name);
    let output = |format: &str, path: &Path| format!(" --output {format}={}", path.display());
    let (csv, json) = (path("stops.csv"), path("found.json"));
    let command = command.replace(" --output csv=stops.csv", &output("csv", &csv));
    printed(&(command + &output("json", &json)));
    let json = std::fs::read(&json).expect("the figures are written");
    Found {
        csv: std::fs::read_to_string(&csv).expect("the table is written"),
        json: serde_json::from_slice(&json).expect("they are JSON"),
    }
});

/// What the command that ends the page prints.
static TABLES: LazyLock<String> = LazyLock::new(|| printed(&command(&page(), "--output markdown")));

/// The page's comparison with these words in it.
fn command(page: &str, words: &str) -> String {
    let mut lines = page.lines();
    let command =
        lines.rfind(|line| line.starts_with("hallwright compare ") && line.contains(words));
    command
        .unwrap_or_else(|| panic!("the page has no comparison with {words}"))
        .to_owned()
}

/// What a command prints that stands on a page.
fn printed(command: &str) -> String {
    let words = learn::words(command);
    let output = Command::new(env!("CARGO_BIN_EXE_hallwright"))
        .current_dir(root())
        .args(&words[1..])
        .output()
        .expect("the command can be started");
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    String::from_utf8(output.stdout).expect("it prints text")
}

pub(crate) fn page() -> String {
    std::fs::read_to_string(root().join(PAGE)).expect("the page is there")
}

/// The table that the command prints under this title.
fn table(title: &str) -> &'static str {
    let mut tables = TABLES.split("\n\n");
    let table = tables.find(|table| table.trim_start().starts_with(&format!("| {title} |")));
    table
        .unwrap_or_else(|| panic!("the command prints no table `{title}`"))
        .trim()
}

#[test]
fn the_tables_are_those_that_the_command_prints() {
    let page = page();
    let mut rest = page.as_str();
    let mut expected = String::new();
    let mut tables = 0;
    while let Some((before, after)) = rest.split_once(BEGIN) {
        let (title, after) = after.split_once(" -->\n").expect("the comment ends");
        let (_, after) = after.split_once(END).expect("the table ends");
        expected.push_str(&format!(
            "{before}{BEGIN}{title} -->\n{}\n{END}",
            table(title)
        ));
        rest = after;
        tables += 1;
    }
    expected.push_str(rest);
    assert!(tables > 0, "the page has tables");
    if rewrites() {
        std::fs::write(root().join(PAGE), expected).expect("the page can be written");
    } else {
        assert_eq!(page, expected, "`TRYCMD=overwrite` rewrites the tables");
    }
}

#[test]
fn the_figures_of_all_variants_are_written() {
    let mut rows = csv::Reader::from_reader(FOUND.csv.as_bytes());
    let heads = rows.headers().expect("a head").clone();
    let column = |name: &str| {
        let mut heads = heads.iter();
        heads.position(|head| head == name).expect("a column")
    };
    let [design, figure, worst] = ["design", "figure", "worst"].map(column);
    let rows: Vec<_> = rows.records().map(|row| row.expect("a row")).collect();
    let designs: std::collections::BTreeSet<&str> = rows.iter().map(|row| &row[design]).collect();
    assert_eq!(designs.len(), 24);
    // Those that the page shows are among them, with the same figures.
    let shown = table("Stopping, at worst").lines().skip(2);
    let shown = shown.map(|row| row.trim_matches(['|', ' ']).split(" | "));
    let mut count = 0;
    for cells in shown {
        let cells: Vec<&str> = cells.collect();
        let row = rows
            .iter()
            .find(|row| &row[design] == cells[0] && &row[figure] == "safe to close");
        let ticks: f64 = row.expect("a row")[worst].parse().expect("ticks");
        let seconds: f64 = cells[2].trim_end_matches(" s").parse().expect("seconds");
        assert_eq!(ticks, seconds * 20.0, "{cells:?}");
        count += 1;
    }
    assert_eq!(count, 6);
}

#[test]
fn the_readme_runs_a_hall_that_sorts_locks_and_stops() {
    let readme = std::fs::read_to_string(root().join("README.md")).expect("it is there");
    let mut lines = readme.lines();
    let command = lines.find_map(|line| line.strip_prefix("cargo run --release -- "));
    let command = command.expect("the README has a command");
    let report = printed(&format!("hallwright {command} --output json"));
    let report: Value = serde_json::from_str(&report).expect("it is JSON");
    assert_eq!(report["is_ok"], true);
    assert_eq!(report["goals"]["missed"], 0);
    assert_eq!(report["cost"]["lock_cover"]["share"], 1.0);
    let ticks = report["stops"][0]["stop_safe_to_close_ticks"].as_f64();
    let seconds = ticks.expect("it stops") / 20.0;
    let said = format!("**safe to close {seconds} s after the stop**");
    assert!(readme.replace('\n', " ").contains(&said), "{said}");
    let minutes = report["run_ticks"].as_u64().expect("ticks") / 20 / 60;
    assert!(
        readme
            .replace('\n', " ")
            .contains(&format!("{minutes} minutes"))
    );
}
