//! What is linked to what, and what for, as the script reads it.

use std::collections::BTreeMap;

use crate::support::drawn;

/// The script's module with the names of the numbers that links have.
const RUN: &str = include_str!("../../crates/script/modules/run.js");

/// The sorts of links by their numbers, as the script calls them.
fn sorts() -> BTreeMap<u64, String> {
    let table = RUN.split_once("export const LINK = { ");
    let table = table.and_then(|(_, rest)| rest.split_once(" };"));
    let (table, _) = table.expect("the script has a table of links");
    let sorts = table.split(", ").map(|entry| {
        let (name, number) = entry.split_once(": ").expect("a name and a number");
        (number.parse().expect("a number"), name.to_owned())
    });
    sorts.collect()
}

#[test]
fn every_link_is_of_its_sort() {
    let (data, _) = drawn("page/links.ron");
    let sorts = sorts();
    assert_eq!(sorts.len(), 10);
    let links = &data["links"];
    let (from, to) = (data.series(&links["from"]), data.series(&links["to"]));
    let (from, to) = (data.names(&from), data.names(&to));
    let sort = data.numbers(&links["sort"]);
    assert_eq!((from.len(), to.len()), (sort.len(), sort.len()));
    let mut found: Vec<(&str, &str, &str)> = from
        .into_iter()
        .zip(to)
        .zip(sort)
        .map(|((from, to), sort)| (sorts[sort].as_str(), from, to))
        .collect();
    found.sort_unstable();
    assert_eq!(
        found,
        [
            ("input", "gate", "off"),
            ("lock", "gate", "head"),
            ("loose", "brook", "pond"),
            ("loose", "pond", "cup"),
            ("loose", "thrower", "brook"),
            ("pull", "inbox", "head"),
            ("push", "cup", "store"),
            ("push", "hand", "store"),
            ("push", "head", "store"),
            ("reading", "store", "level"),
            ("release", "gate", "barge"),
            ("round", "north", "south"),
            ("round", "south", "north"),
            ("trigger", "bell", "hand"),
            ("trigger", "bell", "thrower"),
            ("watch", "head", "eye"),
        ]
    );
}

#[test]
fn the_details_of_a_part_name_each_sort_of_link_for_what_it_is() {
    let details = include_str!("../../crates/script/modules/details.js");
    let [out, into] = ["const out = {", "const into = {"].map(|start| {
        let line = details
            .lines()
            .find(|line| line.trim_start().starts_with(start));
        line.expect("the details have words for links")
    });
    for (sort, leads, comes) in [
        ("push", "pushes into", "is fed by"),
        ("pull", "is pulled from by", "pulls from"),
        ("loose", "lets go to", "collects from"),
        ("lock", "locks", "locked by"),
        ("trigger", "triggers", "triggered by"),
        ("input", "is read by", "reads"),
        ("release", "releases", "released by"),
        ("reading", "is read by", "reads"),
        ("watch", "is watched by", "watches"),
    ] {
        assert!(
            out.contains(&format!("[LINK.{sort}]: \"{leads}\"")),
            "{out}"
        );
        assert!(
            into.contains(&format!("[LINK.{sort}]: \"{comes}\"")),
            "{into}"
        );
    }
}
