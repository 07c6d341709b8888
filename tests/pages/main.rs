//! Pages that show commands: what they print is what the page says.
//!
//! `TRYCMD=overwrite cargo test -p hallwright --test pages` rewrites the outputs and tables on the
//! pages; read the difference before it is committed.

mod learn;
mod links;
mod sentences;
mod stops;
mod tables;
mod words;

use std::path::PathBuf;
use std::time::Duration;

/// Pages whose console blocks are run, where they exist.
const PAGES: [&str; 13] = [
    "docs/understand/limits.md",
    "docs/understand/leaving.md",
    "docs/understand/stops.md",
    "docs/do/choosing.md",
    "docs/do/explain.md",
    "docs/do/fewest-hoppers.md",
    "docs/do/planning.md",
    "docs/do/planned-mill.md",
    "docs/do/growing.md",
    "docs/do/ci.md",
    "docs/do/margin.md",
    "docs/do/sheet.md",
    "docs/do/costs.md",
];

/// The root of the project, where the commands of a page are run.
fn root() -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../.."))
}

/// Whether the pages are to be rewritten rather than judged.
fn rewrites() -> bool {
    std::env::var("TRYCMD").is_ok_and(|wanted| wanted == "overwrite")
}

#[test]
fn commands_print_what_the_pages_show() {
    std::env::set_current_dir(root()).expect("the root is there");
    // Commands write there, and it may be another folder that this is built in.
    std::fs::create_dir_all("target").expect("the folder can be made");
    let cases = trycmd::TestCases::new();
    cases.default_bin_name("hallwright");
    // A machine that is busy is slow, not wrong.
    cases.timeout(Duration::from_mins(30));
    for page in PAGES.into_iter().filter(|page| root().join(page).exists()) {
        cases.case(page);
    }
    cases.run();
}
