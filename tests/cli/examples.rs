//! The complete scenarios on the pages of the language run, meet their goals, and draw no warning.

use crate::support::{hallwright, root, stderr, stdout};

/// What stands between a fence and its end, with the rest of the fence's own line.
fn blocks<'p>(page: &'p str, fence: &str) -> Vec<(&'p str, &'p str)> {
    let behind = page.split(fence).skip(1);
    behind
        .map(|rest| {
            let (line, rest) = rest.split_once('\n').expect("a fence ends its line");
            (line.trim(), rest.split("\n```").next().unwrap_or(rest))
        })
        .collect()
}

/// The pages of the language.
const PAGES: [&str; 6] = [
    "layouts.md",
    "parts.md",
    "modules.md",
    "standing.md",
    "events.md",
    "goals.md",
];

#[test]
fn every_complete_example_meets_its_goals() {
    let pages = PAGES.iter().map(|name| {
        let path = root().join("docs/look-up").join(name);
        std::fs::read_to_string(path).expect("the page is there")
    });
    let page: String = pages.collect();
    let folder = tempfile::tempdir().expect("there is room for files");
    let write = |name: &str, text: &str| {
        let path = folder.path().join(name);
        let parent = path.parent().expect("it is in the folder");
        std::fs::create_dir_all(parent).expect("there is room for a folder");
        std::fs::write(&path, text).expect("there is room for a file");
        path
    };
    for fence in ["```ron file ", "```csv file "] {
        for (name, text) in blocks(&page, fence) {
            write(name, text);
        }
    }
    let complete = blocks(&page, "```ron complete");
    assert!(complete.len() >= 8);
    for (_, text) in complete {
        let path = write("scenario.ron", text);
        let output = hallwright(&["run", path.to_str().expect("it is UTF-8")]);
        let reported = stderr(&output);
        let warnings: Vec<&str> = reported
            .lines()
            .filter(|line| !line.starts_with("note: "))
            .collect();
        assert!(warnings.is_empty(), "{text}\n{reported}");
        assert_eq!(output.status.code(), Some(0), "{text}\n{}", stdout(&output));
    }
}
