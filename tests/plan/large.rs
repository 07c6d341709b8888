//! Kinds that need several slices.

use hallwright_plan::Plan;
use hallwright_plan::flow;
use hallwright_plan::hall::Sort;
use hallwright_plan::{SCENARIO_FILE, scenario_files};
use hallwright_scenario::{LoadOptions, load};

use crate::support::{named, planned, small_hall};

/// The stacks of each kind in each slice of a sort.
fn stacks(plan: &Plan, sort: Sort) -> &[Vec<u64>] {
    &plan.allocation.lines[sort.index()].stacks
}

#[test]
fn a_kind_fills_slices_next_to_one_another_and_leaves_the_rest_in_the_last() {
    // Slices of 54 stacks: 8000 items are 125 stacks, 54 + 54 + 17. Wheat (40 a slice) comes before
    // barley, which has 90 for three slices; rye (20 a slice) behind it.
    let rows =
        "barley, 64, 8000, 90, , bulk\nwheat, 64, 640, 40, , bulk\nrye, 64, 640, 20, , bulk\n";
    let plan = planned(rows, &small_hall("")).0.expect("it fits");
    let expected = [["wheat"], ["barley"], ["barley"], ["barley"], ["rye"]];
    assert_eq!(named(&plan, Sort::Bulk), expected);
    assert_eq!(stacks(&plan, Sort::Bulk), [[10], [54], [54], [17], [10]]);
    let line = &plan.allocation.lines[Sort::Bulk.index()];
    let in_each: Vec<u64> = (0..5).map(|slice| line.stacks_in(slice, 0)).collect();
    assert_eq!(in_each, [0, 54, 54, 17, 0]);
    assert_eq!((line.kinds(), line.used(), line.lower_bound), (3, 5, 5));
}

#[test]
fn the_last_slice_of_a_kind_is_shared_with_others() {
    // 100 stacks of 54: 54 + 46. The flax (8 stacks) has room beside the 46, the wool (9) has not.
    let rows =
        "barley, 64, 6400, 9, , multi\nflax, 64, 512, 1, , multi\nwool, 64, 576, 2, , multi\n";
    let plan = planned(rows, &small_hall("")).0.expect("it fits");
    let expected = [vec!["barley"], vec!["barley", "flax"], vec!["wool"]];
    assert_eq!(named(&plan, Sort::Multi), expected);
    let expected = [vec![54], vec![46, 8], vec![9]];
    assert_eq!(stacks(&plan, Sort::Multi), expected);
}

#[test]
fn slices_of_a_kind_are_full_one_after_another_and_then_the_overflow() {
    let rows =
        "barley, 64, 6400, 9, , multi\nflax, 64, 512, 1, , multi\nwool, 64, 576, 0, , multi\n";
    let plan = planned(rows, &small_hall("")).0.expect("it fits");
    // 54 stacks of 64 are 3456 items: 9 an hour fill them in 384 hours. Until then 384 of flax lie in the second slice,
    // and 10 an hour fill what is left of it in 307. To wool nothing comes.
    let full = flow::full_after_hours(&plan, Sort::Multi);
    assert_eq!(full, [Some(384), Some(384 + 307), None]);
    let overflow = [0, 1, 2].map(|slice| flow::overflow_hours(&plan, Sort::Multi, slice));
    assert_eq!(overflow, [None, Some(345), None]);
    let first = flow::filling(&plan, 1);
    assert_eq!((first[0].number, first[0].hours), (0, 384));
}

#[test]
fn two_large_kinds_never_share_their_last_slices() {
    // 64 stacks each: 10 in the last slice. Together they would stand apart from their first slices.
    let rows = "barley, 64, 4096, 9, , multi\nrye, 64, 4096, 4, , multi\n";
    let plan = planned(rows, &small_hall("families: Mixed,"))
        .0
        .expect("it fits");
    let expected = [["barley"], ["barley"], ["rye"], ["rye"]];
    assert_eq!(named(&plan, Sort::Multi), expected);
}

#[test]
fn a_hall_with_large_kinds_compiles_and_names_them() {
    let rows = "barley, 64, 8000, 90, , bulk\nflax, 64, 6400, 9, , multi\nmallet, 1, 60, 2, , \n";
    let plan = planned(rows, &small_hall("")).0.expect("it fits");
    let folder = tempfile::tempdir().expect("there is room for files");
    let files = scenario_files(&plan);
    for file in &files {
        std::fs::write(folder.path().join(file.name), &file.text).expect("there is room");
    }
    let loaded = load(&folder.path().join(SCENARIO_FILE), &LoadOptions::default());
    assert!(loaded.diagnostics.is_empty(), "{:?}", loaded.diagnostics);
    let shared = "SharedHome([\"barley\", \"flax\", \"mallet\"]),";
    assert!(files[0].text.contains(shared), "{}", files[0].text);
}
