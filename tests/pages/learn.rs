//! The pages in `docs/learn` are walks: each has a folder of its own, in which its files are written,
//! changed and run in the order of the page, as its reader does.
//!
//! - `ron file NAME` is a file.
//! - `diff NAME` changes a file: `-` goes, `+` comes, a blank stays; `...` stands between two changes.
//! - `console` has commands after `$` and what they print, on both streams; `? 1` is the exit code, and
//!   `...` stands for lines left out.

use std::io::Read;
use std::path::Path;
use std::process::Command;

use super::{rewrites, root};

/// A block of code on a page.
struct Block<'a> {
    /// What stands behind the fence, such as `diff mill.ron`.
    kind: &'a str,
    text: &'a str,
    /// Where the text begins on the page.
    begin: usize,
}

/// The blocks of code of a page, in its order.
fn blocks(page: &str) -> Vec<Block<'_>> {
    let mut blocks = Vec::new();
    let mut rest = page;
    while let Some((_, after)) = rest.split_once("\n```") {
        let (kind, after) = after.split_once('\n').expect("a fence ends its line");
        let (text, after) = after.split_once("\n```").expect("a block ends");
        // What is behind the end is all that is left of the page.
        let begin = page.len() - after.len() - "\n```".len() - text.len();
        blocks.push(Block { kind, text, begin });
        rest = after;
    }
    blocks
}

/// A text changed as a block says.
fn changed(text: &str, change: &str) -> String {
    let mut text = text.to_owned();
    for change in change.split("\n...\n") {
        let side = |gone: char| {
            let lines = change.lines().filter(|line| !line.starts_with(gone));
            lines.fold(String::new(), |side, line| {
                side + line.get(1..).unwrap_or("") + "\n"
            })
        };
        let (before, after) = (side('+'), side('-'));
        let places = text.matches(&before).count();
        assert_eq!(places, 1, "{places} places are like this:\n{before}");
        text = text.replace(&before, &after);
    }
    text
}

/// A command, its exit code and what it prints.
#[derive(Debug, PartialEq)]
struct Step {
    command: String,
    code: i32,
    shown: String,
}

/// The commands of a console.
fn steps(console: &str) -> Vec<Step> {
    let mut steps: Vec<Step> = Vec::new();
    for line in console.lines() {
        if let Some(command) = line.strip_prefix("$ ") {
            steps.push(Step {
                command: command.to_owned(),
                code: 0,
                shown: String::new(),
            });
            continue;
        }
        let step = steps.last_mut().expect("a console begins with a command");
        match line.strip_prefix("? ") {
            Some(code) if step.shown.is_empty() => step.code = code.parse().expect("a number"),
            _ => step.shown += &format!("{line}\n"),
        }
    }
    steps
}

/// The words of a command; those in quotes are one.
pub(super) fn words(command: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (number, piece) in command.split('"').enumerate() {
        match number % 2 {
            0 => words.extend(piece.split_whitespace().map(str::to_owned)),
            _ => words.push(piece.to_owned()),
        }
    }
    words
}

/// What a command prints in a folder, and its exit code.
fn run(command: &str, folder: &Path) -> (String, i32) {
    let words = words(command);
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    match words.as_slice() {
        ["cp", from, to] => {
            std::fs::copy(root().join(from), folder.join(to)).expect("it can be copied");
            (String::new(), 0)
        }
        ["hallwright", arguments @ ..] => {
            let (mut reader, writer) = std::io::pipe().expect("a pipe");
            let mut command = Command::new(env!("CARGO_BIN_EXE_hallwright"));
            command
                .args(arguments)
                .current_dir(folder)
                .env_remove("COLUMNS")
                .stdout(writer.try_clone().expect("a second end"))
                .stderr(writer);
            let mut child = command.spawn().expect("the command can be started");
            // Its ends of the pipe, or reading would not end.
            drop(command);
            let mut printed = String::new();
            reader.read_to_string(&mut printed).expect("it prints text");
            let status = child.wait().expect("it ends");
            (printed, status.code().unwrap_or(-1))
        }
        _ => panic!("`{command}` cannot be run here"),
    }
}

/// Whether this was printed, where `...` may stand for any lines.
fn is_like(shown: &[&str], printed: &[&str]) -> bool {
    match shown {
        [] => printed.is_empty(),
        ["...", rest @ ..] => (0..=printed.len()).any(|begin| is_like(rest, &printed[begin..])),
        [first, rest @ ..] => printed.first() == Some(first) && is_like(rest, &printed[1..]),
    }
}

/// Goes through a page: what it should be, and what is wrong with it.
fn walk(page: &str, folder: &Path) -> (String, Vec<String>) {
    let mut expected = String::new();
    let mut copied = 0;
    let mut wrong = Vec::new();
    for Block { kind, text, begin } in blocks(page) {
        match kind.split(' ').collect::<Vec<_>>().as_slice() {
            ["ron", "file", name] => {
                std::fs::write(folder.join(name), format!("{text}\n")).expect("it can be written");
            }
            ["diff", name] => {
                let path = folder.join(name);
                let before = std::fs::read_to_string(&path).expect("a file of the page");
                std::fs::write(&path, changed(&before, text)).expect("it can be written");
            }
            ["console"] => {
                let mut console = String::new();
                for Step {
                    command,
                    code,
                    shown,
                } in steps(text)
                {
                    let (printed, found) = run(&command, folder);
                    let texts = [shown.trim_end(), printed.trim_end()];
                    let [shown, printed] = texts;
                    let lines = texts.map(|text| text.lines().collect::<Vec<_>>());
                    let is_same = code == found && is_like(&lines[0], &lines[1]);
                    if !is_same {
                        wrong.push(format!("$ {command}\n? {found}\n{printed}"));
                    }
                    let said = if is_same { shown } else { printed };
                    console += &format!("$ {command}\n");
                    if found != 0 {
                        console += &format!("? {found}\n");
                    }
                    if !said.is_empty() {
                        console += &format!("{said}\n");
                    }
                }
                expected += &page[copied..begin];
                expected += console.trim_end();
                copied = begin + text.len();
            }
            // Shown, and not for the walk.
            _ => {}
        }
    }
    expected += &page[copied..];
    (expected, wrong)
}

/// All walks, by their paths.
fn pages() -> Vec<std::path::PathBuf> {
    let mut pages = Vec::new();
    super::words::files(&root().join("docs/learn"), &["md"], &mut pages);
    pages
}

#[test]
fn walks_come_where_they_say() {
    let pages = pages();
    assert!(pages.len() >= 3);
    for path in pages {
        let page = std::fs::read_to_string(&path).expect("a text");
        let folder = tempfile::tempdir().expect("there is room for a folder");
        let (expected, wrong) = walk(&page, folder.path());
        if rewrites() {
            std::fs::write(&path, expected).expect("it can be written");
        } else {
            let path = path.display();
            assert!(wrong.is_empty(), "{path} prints\n{}", wrong.join("\n\n"));
        }
    }
}

#[test]
fn the_readme_shows_what_a_walk_prints() {
    let readme = std::fs::read_to_string(root().join("README.md")).expect("a text");
    let walk = std::fs::read_to_string(root().join("docs/learn/first-hall.md")).expect("a text");
    let consoles = blocks(&walk)
        .into_iter()
        .filter(|block| block.kind == "console");
    let printed: Vec<&str> = consoles.flat_map(|block| block.text.lines()).collect();
    let shown = blocks(&readme)
        .into_iter()
        .find(|block| block.kind == "text")
        .expect("the README has a block of text");
    assert!(shown.text.lines().count() >= 5);
    for line in shown.text.lines().filter(|line| *line != "...") {
        assert!(printed.contains(&line), "docs/learn/first-hall.md: {line}");
    }
}

#[test]
fn a_change_is_made_where_it_fits_once() {
    let text = "one\ntwo\nthree\nfour\n";
    assert_eq!(
        changed(text, " one\n-two\n+2\n+2b\n...\n+3\n four"),
        "one\n2\n2b\nthree\n3\nfour\n"
    );
    assert!(std::panic::catch_unwind(|| changed("a\na\n", "-a")).is_err());
    assert!(std::panic::catch_unwind(|| changed("a\n", "-b")).is_err());
}

#[test]
fn a_console_that_is_out_of_date_is_found_and_mended() {
    let folder = tempfile::tempdir().expect("there is room for a folder");
    let page = |shown: &str| format!("\n```console\n$ hallwright run none.ron\n{shown}\n```\n");
    let (expected, wrong) = walk(&page("? 0\nnothing"), folder.path());
    assert_eq!(wrong.len(), 1);
    assert!(expected.contains("? 2\n"), "{expected}");
    let (same, wrong) = walk(&expected, folder.path());
    assert_eq!((same, wrong.len()), (expected, 0));
    let (_, wrong) = walk(&page("? 2\n..."), folder.path());
    assert_eq!(wrong.len(), 0);
    let (_, wrong) = walk(&page("..."), folder.path());
    assert_eq!(wrong.len(), 1, "the exit code is not shown");
}

#[test]
fn words_in_quotes_are_one() {
    assert_eq!(
        words("hallwright run a.ron --variant \"two words\""),
        ["hallwright", "run", "a.ron", "--variant", "two words"]
    );
}
