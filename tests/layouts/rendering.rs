//! How diagnostics look: a few in full. Ids and lines of all are checked in `invalid.rs`.

use hallwright_scenario::{LoadOptions, load, render};

use crate::beside;

/// What is drawn of a broken file, with paths as a reader beside it would see them.
fn drawn(name: &str) -> String {
    let folder = beside("invalid");
    let loaded = load(&folder.join(name), &LoadOptions::default());
    let text = render(&loaded.diagnostics, &loaded.sources, false);
    text.replace(&format!("{}/", folder.display()), "")
}

#[test]
fn an_unknown_part_is_marked_and_a_near_name_suggested() {
    insta::assert_snapshot!(drawn("unknown-part.ron"));
}

#[test]
fn a_loop_is_named_in_order_and_all_of_it_marked() {
    insta::assert_snapshot!(drawn("zero-delay-loop.ron"));
}

#[test]
fn a_wrong_part_is_shown_with_its_declaration() {
    insta::assert_snapshot!(drawn("wrong-part.ron"));
}

#[test]
fn broken_text_is_marked_where_it_breaks() {
    insta::assert_snapshot!(drawn("syntax.ron"));
}

#[test]
fn a_row_of_a_table_is_marked_in_its_own_file() {
    insta::assert_snapshot!(drawn("file-bad-row.ron"));
}

#[test]
fn a_mistake_in_another_file_is_shown_with_the_use_that_brought_it_in() {
    insta::assert_snapshot!(drawn("module-elsewhere.ron"));
}

#[test]
fn colour_adds_nothing_but_colour() {
    let loaded = load(
        &beside("invalid/unknown-goods.ron"),
        &LoadOptions::default(),
    );
    let plain = render(&loaded.diagnostics, &loaded.sources, false);
    let coloured = render(&loaded.diagnostics, &loaded.sources, true);
    assert_ne!(plain, coloured);
    let mut without = String::new();
    let mut rest = coloured.as_str();
    while let Some((before, after)) = rest.split_once('\u{1b}') {
        without.push_str(before);
        rest = after.split_once('m').map_or("", |(_, behind)| behind);
    }
    without.push_str(rest);
    assert_eq!(without, plain);
}
