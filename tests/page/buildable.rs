//! What the page reports of whether a hall can be built: the line of the summary, and the verdict.

use hallwright_report::verdicts::{Question, Ruling};

use crate::support::page_of;

/// The row of the list of goals that asks this.
fn row<'p>(page: &'p str, subject: &str) -> &'p str {
    let (_, list) = page
        .split_once("<section class=\"goals\">")
        .expect("a list");
    let (list, _) = list.split_once("</section>").expect("it ends");
    let mut rows = list.split("<li class=\"").skip(1);
    rows.find(|row| row.contains(&format!("</b> {subject}")))
        .unwrap_or_else(|| panic!("no row asks it: {list}"))
}

#[test]
fn what_was_built_and_what_is_wrong_stands_on_the_page() {
    let (page, found) = page_of("page/placed.ron");
    let built =
        "5 parts, 4 stand, 0 links proven, 0 taken at their word, 2 problems, 1 of them allowed";
    assert!(page.contains(built));
    let row = row(&page, "buildable");
    assert!(row.contains("missed</b> buildable: 1 problem"), "{row}");
    let why = "site::target-apart: `line` at (0, 1, 0) does not hand on to `store` at (0, 0, 1)";
    assert!(row.contains(why), "{row}");
    assert!(
        !row.contains("site::overlap"),
        "what is allowed would hide it: {row}"
    );
    let mut verdicts = found.verdicts.iter();
    let verdict = verdicts.find(|verdict| verdict.question == Question::Buildable);
    assert_eq!(verdict.map(|verdict| verdict.ruling), Some(Ruling::Missed));
}

#[test]
fn a_page_of_a_hall_that_stands_nowhere_says_nothing_of_it() {
    let (page, _) = page_of("page/links.ron");
    assert!(!page.contains("buildable"));
    assert!(!page.contains("links proven"));
}
