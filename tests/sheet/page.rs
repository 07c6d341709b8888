//! The sheet as a page.

use std::collections::BTreeSet;

use hallwright_declared::space::{Block, Side};
use hallwright_sheet::{html, sheet};

use crate::support::{all_files, loaded, scenario, written};

fn page(scenario: &hallwright_scenario::Scenario) -> String {
    html(&sheet(scenario, Block::default())).expect("the page can be filled")
}

/// Every value of an attribute.
fn values<'a>(page: &'a str, attribute: &str) -> Vec<&'a str> {
    let begins = format!(" {attribute}=\"");
    let behind = page.split(begins.as_str()).skip(1);
    behind.filter_map(|rest| rest.split('"').next()).collect()
}

#[test]
fn every_block_of_every_hall_of_ours_is_in_a_plan_with_its_sign() {
    let mut halls = 0;
    for path in all_files() {
        let Some(scenario) = loaded(&path, None) else {
            continue; // A file of modules.
        };
        let sheet = sheet(&scenario, Block::new(-7, 60, 1000));
        halls += usize::from(sheet.extent.is_some());
        let page = html(&sheet).expect("the page can be filled");
        for cell in sheet.heights.iter().flat_map(|height| &height.cells) {
            if cell.is_open {
                continue;
            }
            let name = sheet.name(cell.piece);
            let title = format!("{} {name}, {}\">", cell.sort.words(), cell.block);
            let letter = if cell.is_source {
                'W'
            } else {
                cell.sort.letter()
            };
            let sign = cell.facing.map(Side::sign);
            let sign = sign.map_or_else(String::new, |sign| match sign {
                '>' => "&gt;".to_owned(),
                '<' => "&lt;".to_owned(),
                other => other.to_string(),
            });
            let drawn = format!("{title}{letter}{sign}</td>");
            assert!(page.contains(&drawn), "{}: {drawn}", path.display());
        }
    }
    assert!(halls >= 8, "{halls}");
}

#[test]
fn every_box_to_tick_has_an_id_of_its_own() {
    let page = page(&scenario("bulk-slice.ron"));
    let ids = values(&page, "id");
    let different: BTreeSet<&str> = ids.iter().copied().collect();
    assert_eq!(ids.len(), different.len());
    assert!(page.contains("<input type=\"checkbox\" id=\"h1\">"));
}

#[test]
fn a_long_hall_is_cut_into_sheets_that_share_two_columns() {
    let page = page(&written(
        r#"(
            title: "Millbrook Granary, a long shelf",
            run_for: "1s",
            goods: {"barley": 64},
            parts: {"near": Barrel(position: (0, 0, 0)), "far": Barrel(position: (30, 0, 0))},
            full: [(22, 0, 0), (23, 0, 0)],
        )"#,
    ));
    assert!(page.contains("y = 0, sheet 1 of 2: two columns"));
    assert!(page.contains("y = 0, sheet 2 of 2: two columns"));
    for shared in [22, 23] {
        let title = format!("full block full block, ({shared}, 0, 0)");
        assert_eq!(page.matches(&title).count(), 2, "{title}");
    }
    for once in ["near, (0, 0, 0)", "far, (30, 0, 0)"] {
        assert_eq!(page.matches(&format!("barrel {once}")).count(), 1, "{once}");
    }
}

#[test]
fn names_are_text() {
    let page = page(&written(
        r#"(
            title: "</title><script>alert(1)</script>",
            run_for: "1s",
            goods: {"<b>barley": 64},
            parts: {"\"><img src=x>": Barrel(position: (0, 0, 0), holds: ["<b>barley"])},
        )"#,
    ));
    for raw in ["<script>alert", "<img", "<b>barley"] {
        assert!(!page.contains(raw), "{raw}");
    }
    assert_eq!(page.matches("<script>").count(), 1);
}

#[test]
fn a_hall_without_positions_has_its_parts_and_no_plan() {
    let page = page(&written(
        r#"(
            title: "Millbrook Granary, somewhere",
            run_for: "1s",
            goods: {"barley": 64},
            parts: {"shelf": Container(slots: 27, holds: ["barley"]), "feed": Hopper(target: "shelf")},
        )"#,
    ));
    assert!(page.contains("This scenario has no positions"));
    assert!(!page.contains("class=\"plan\""));
    assert!(page.contains("container <b>shelf</b>, holds by slot"));
}
