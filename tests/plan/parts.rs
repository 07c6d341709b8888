//! Parts lists and raw materials.

use hallwright_plan::parts::{materials, parts_of, read_costs};
use hallwright_plan::report::report;
use hallwright_plan::{SCENARIO_FILE, scenario_files};
use hallwright_scenario::{LoadOptions, Sources, load};

use crate::support::{planned, small_hall};

#[test]
fn the_parts_are_those_of_the_network() {
    // One bulk slice of one hopper, one multi-item slice of two kinds, one free.
    let rows = "barley, 64, 3000, 9, , bulk\nflax, 64, 10, 1, , multi\nham, 16, 10, 1, , multi\n";
    let hall = small_hall("growth: Slices(multi: 1),");
    let plan = planned(rows, &hall).0.expect("it fits");
    let folder = tempfile::tempdir().expect("there is room for files");
    for file in scenario_files(&plan) {
        std::fs::write(folder.path().join(file.name), file.text).expect("there is room");
    }
    let loaded = load(&folder.path().join(SCENARIO_FILE), &LoadOptions::default());
    assert!(loaded.diagnostics.is_empty(), "{:?}", loaded.diagnostics);
    let scenario = loaded.scenario.expect("it compiles");
    let parts = parts_of(&scenario.network, &scenario.declarations);
    // Two heads, 1 + 4 + 4 hoppers of the line. In each of 3 filters a sieve and the hopper that it opens; one
    // that leads down below each slice and one more that gathers; one between the two barrels of each slice.
    assert_eq!(parts.hoppers(), 2 + 9 + 3 * 2 + 3 + 2);
    // Two buffers, and the chest for the unsorted. A slice of 54 slots is two barrels.
    assert_eq!((parts.items["double chest"], parts.items["barrel"]), (3, 4));
    // Storage is what goods are sorted into; the buffers and the chest for the unsorted are none.
    assert_eq!((parts.storage_slots, parts.other_slots), (4 * 27, 3 * 54));
    // In each head two, in each filter one; nobody else has any.
    assert_eq!(parts.signals["comparator"], 2 * 2 + 3);
    assert_eq!((parts.signals["lever"], parts.signals["hold"]), (1, 2 * 2));
    // 41 + 4 twice, and 10 + 4 for what stacks to 16.
    assert_eq!(parts.goods, 45 + 45 + 14);
    let report = report(&plan, &parts, None);
    assert_eq!(plan.layout.length_blocks, 2 + 9 + 4);
    let a_block = 22.0 / 15.0;
    assert!((report.parts.hoppers_a_block - a_block).abs() < 0.005);

    let path = folder.path().join("costs.csv");
    let costs = "part, material, count\nhopper, copper, 3\nhopper, plank, 2\nlever, plank, 1\n";
    std::fs::write(&path, costs).expect("there is room");
    let costs = read_costs(&path, &mut Sources::default(), &mut Vec::new()).expect("it is sound");
    let needed = materials(&parts, &costs);
    let counts: Vec<(&str, u64)> = needed
        .counts
        .iter()
        .map(|(name, count)| (name.as_str(), *count))
        .collect();
    assert_eq!(counts, [("copper", 66), ("plank", 45)]);
    let without = [
        "barrel",
        "double chest",
        "full block",
        "all of",
        "comparator",
        "hold",
        "inverter",
        "repeater",
        "wire",
    ];
    assert_eq!(needed.without_costs, without);
}

#[test]
fn a_costs_table_is_checked() {
    let folder = tempfile::tempdir().expect("there is room for files");
    let path = folder.path().join("costs.csv");
    let text = "part, material, count\nhopper, copper, few\nhopper, , 2\nlever, plank, 1\nlever, plank, 2\n";
    std::fs::write(&path, text).expect("there is room");
    let mut problems = Vec::new();
    assert!(read_costs(&path, &mut Sources::default(), &mut problems).is_none());
    let messages: Vec<&str> = problems
        .iter()
        .map(|problem| problem.message.as_str())
        .collect();
    assert_eq!(
        messages,
        [
            "`few` is no count",
            "a part or a material is missing",
            "the plank of a lever is listed twice",
        ]
    );
}
