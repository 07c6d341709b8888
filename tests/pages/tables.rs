//! The tables of `docs/understand/stops.md`: each stands between two comments that name it, and all come
//! from one comparison, whose command stands at the end of the page.

use std::process::Command;
use std::sync::LazyLock;

use serde_json::Value;

use crate::{rewrites, root};

const PAGE: &str = "docs/understand/stops.md";
const BEGIN: &str = "<!-- table: ";
const END: &str = "<!-- end of table -->";

/// What the command at the end of the page finds: the tables, and every figure.
pub(crate) struct Found {
    markdown: String,
    pub(crate) json: Value,
}

/// The comparison is made once for all tests of it.
pub(crate) static FOUND: LazyLock<Found> = LazyLock::new(|| {
    let page = page();
    let command = page
        .lines()
        .rev()
        .find_map(|line| line.strip_prefix("hallwright compare "));
    let command = command.expect("the page ends with its command");
    let words: Vec<&str> = command.split_whitespace().collect();
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("found.json");
    let output = Command::new(env!("CARGO_BIN_EXE_hallwright"))
        .current_dir(root())
        .arg("compare")
        .args(words)
        .arg("--output")
        .arg(format!("json={}", path.display()))
        .output()
        .expect("the command can be started");
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let json = std::fs::read(&path).expect("the figures are written");
    Found {
        markdown: String::from_utf8(output.stdout).expect("it prints text"),
        json: serde_json::from_slice(&json).expect("they are JSON"),
    }
});

fn page() -> String {
    std::fs::read_to_string(root().join(PAGE)).expect("the page is there")
}

/// The table that the command prints under this title.
fn table(title: &str) -> &'static str {
    let mut tables = FOUND.markdown.split("\n\n");
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

/// The cells of the row with this name.
fn row(table: &str, name: &str) -> Vec<String> {
    let mut rows = table
        .lines()
        .map(|line| line.trim_matches(['|', ' ']).split(" | "));
    let row = rows.find(|row| row.clone().next() == Some(name));
    let row = row.unwrap_or_else(|| panic!("no row {name}"));
    row.map(|cell| cell.trim().to_owned()).collect()
}

#[test]
fn the_table_of_the_readme_has_the_same_figures() {
    let readme = std::fs::read_to_string(root().join("README.md")).expect("it is there");
    let (_, after) = readme
        .split_once("| variant of `granary.ron` |")
        .expect("a table");
    let mut rows = 0;
    for line in after
        .lines()
        .skip(2)
        .take_while(|line| line.starts_with('|'))
    {
        let own: Vec<&str> = line.trim_matches(['|', ' ']).split(" | ").collect();
        let stopping = row(table("Stopping, at worst"), own[0]);
        let cost = row(table("Cost"), own[0]);
        assert_eq!(own[1..3], stopping[1..3], "{line}");
        assert_eq!(format!("{} hoppers", own[3]), cost[1], "{line}");
        rows += 1;
    }
    assert!(rows >= 4, "the table has rows");
}
