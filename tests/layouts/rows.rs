//! Rows for lists and tables, places, widths.

use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_scenario::{LoadOptions, Loaded, load};

use crate::{ids_of, readable};

/// Loads a scenario with these fields, with a table `goods.csv` beside it.
fn loaded(fields: &str, table: &str) -> Loaded {
    let folder = tempfile::tempdir().expect("there is room for files");
    let path = folder.path().join("scenario.ron");
    let text = format!(
        r#"(
            title: "Rows", run_for: "10s",
            goods: {{"barley": 64, "flax": 64, "box": Box}},
            {fields}
        )"#
    );
    std::fs::write(&path, text).expect("there is room for a file");
    std::fs::write(folder.path().join("goods.csv"), table).expect("there is room for a file");
    load(&path, &LoadOptions::default())
}

/// A module with a chest that holds one item of a kind.
const SHELF: &str = r#"modules: {"shelf": (
    parameters: {"kind": Name, "slots": 5, "is_open": true, "to": "chest"},
    parts: {
        "chest": Container(slots: "$slots", holds: ["$kind"]),
        "top": Hopper(when: "$is_open", target: "$to"),
    },
)},"#;

/// What the chests of a row hold, and how many slots they have.
fn shelves(network: &Network) -> Vec<(String, u16)> {
    let fillings = network.fillings().iter();
    fillings
        .map(|(part, filling)| {
            let Part::Container(container) = network.part(*part) else {
                panic!("only chests are filled");
            };
            (network.kind(filling.kind).name.clone(), container.slots)
        })
        .collect()
}

fn shelf(kind: &str, slots: u16) -> (String, u16) {
    (kind.to_owned(), slots)
}

#[test]
fn a_row_may_take_only_some_rows_of_a_table() {
    let fields = format!(
        r#"{SHELF} uses: {{"row": Row(module: "shelf",
            each: FromFile(path: "goods.csv", only: {{"aisle": "left", "floor": "1"}}))}},"#
    );
    // `aisle` and `floor` are no parameters of the module: they only choose.
    let table = "aisle, floor, kind, slots\nleft, 1, flax, 3\nright, 1, flax, 4\n\
                 left, 2, flax, 5\nleft, 1, barley, 6\n";
    let network = readable(loaded(&fields, table)).network;
    assert_eq!(shelves(&network), [shelf("flax", 3), shelf("barley", 6)]);
    for (only, words) in [
        (r#"{"isle": "left"}"#, "the table has no column `isle`"),
        (r#"{"aisle": "up"}"#, "no row has `up` as its `aisle`"),
    ] {
        let fields = format!(
            r#"{SHELF} uses: {{"row": Row(module: "shelf",
                each: FromFile(path: "goods.csv", only: {only}))}},"#
        );
        let loaded = loaded(&fields, table);
        assert!(loaded.scenario.is_none());
        assert_eq!(loaded.diagnostics[0].message, words);
    }
}

#[test]
fn a_row_has_an_instance_for_each_entry_of_a_list() {
    let fields = format!(
        r#"{SHELF} uses: {{"row": Row(module: "shelf", each: ["flax", "barley"],
            with: {{"kind": "$each", "slots": Plus(3, "$index")}})}},"#
    );
    let network = readable(loaded(&fields, "")).network;
    assert_eq!(shelves(&network), [shelf("flax", 3), shelf("barley", 4)]);
}

#[test]
fn the_columns_of_a_table_are_parameters() {
    let fields = format!(
        r#"{SHELF} parts: {{"end": Chest()}},
        uses: {{"row": Row(module: "shelf", each: FromFile(path: "goods.csv"))}},"#
    );
    // An empty field takes the default; a name is looked up where the row is.
    let table =
        "# Two shelves.\nkind, slots, is_open, to\nbarley, 7, true, end\nflax,, false, end\n";
    let network = readable(loaded(&fields, table)).network;
    assert_eq!(shelves(&network), [shelf("barley", 7), shelf("flax", 5)]);
    let top = network.find("row[0].top").expect("it is open");
    let Part::Hopper(top) = network.part(top) else {
        panic!("it is a hopper");
    };
    assert_eq!(top.target, network.find("end"));
    assert_eq!(network.find("row[1].top"), None);
}

#[test]
fn listed_instances_are_those_of_a_table() {
    let fields = format!(
        r#"{SHELF} uses: {{"row": Row(module: "shelf", each: Listed(entries: [
            {{"kind": "barley", "slots": 7}}, {{"kind": "flax"}},
        ]))}},"#
    );
    let network = readable(loaded(&fields, "")).network;
    assert_eq!(shelves(&network), [shelf("barley", 7), shelf("flax", 5)]);
}

#[test]
fn what_does_not_fit_in_a_table_is_reported_at_its_field() {
    let fields = format!(
        r#"{SHELF} uses: {{"row": Row(module: "shelf", each: FromFile(path: "goods.csv"))}},"#
    );
    let reported = |table: &str| {
        let loaded = loaded(&fields, table);
        let places = loaded.diagnostics.iter();
        let places = places.map(|one| one.place(&loaded.sources).expect("it is in a text"));
        let lines: Vec<String> = places
            .map(|place| place.rsplit('/').next().unwrap_or_default().to_owned())
            .collect();
        (ids_of(&loaded), lines.join(" "))
    };
    let (ids, place) = reported("kind, slots\nbarley, many\n");
    assert_eq!(
        (ids, place.as_str()),
        (vec!["layout::wrong-value"], "goods.csv:2:9")
    );
    let (ids, place) = reported("kind, slot\nbarley, 3\n");
    assert_eq!(
        (ids, place.as_str()),
        (vec!["layout::unknown-parameter"], "goods.csv:1:7")
    );
    let (ids, place) = reported("kind\nbarley, 3\n");
    assert_eq!(
        (ids, place.as_str()),
        (vec!["file::bad-row"], "goods.csv:2:1")
    );
    let (ids, place) = reported("kind, kind\nbarley, flax\n");
    assert_eq!(
        (ids, place.as_str()),
        (vec!["file::bad-row"], "goods.csv:1:7")
    );
}

#[test]
fn a_row_that_says_nothing_of_its_number_is_reported() {
    for (fields, id) in [
        ("", "layout::one-of-fields"),
        (r#"count: 2, each: ["barley"]"#, "layout::one-of-fields"),
        (r#"each: "barley""#, "text::wrong-type"),
    ] {
        let fields = format!(
            r#"{SHELF} uses: {{"row": Row(module: "shelf", {fields}, with: {{"kind": "barley"}})}},"#
        )
        .replace(", ,", ",");
        assert_eq!(ids_of(&loaded(&fields, "")), [id]);
    }
}

#[test]
fn places_add_up_and_rows_step_by_their_width() {
    let fields = r#"
        modules: {
            "slice": (
                parameters: {"width": 3},
                width_blocks: "$width",
                parts: {"eye": Chest(position: (1, 0, -2))},
                uses: {"inner": One(module: "cell", position: (0, 5, 0))},
            ),
            // It counts nothing of its own inside a slice.
            "cell": (width_blocks: 2, parts: {"heart": Chest(position: (0, 0, 0)), "loose": Chest()}),
        },
        uses: {
            "row": Row(module: "slice", count: 2, position: (10, 0, 0)),
            "stairs": Row(module: "cell", count: 3, step: (0, 1, 0)),
        },"#;
    let scenario = readable(loaded(fields, ""));
    let place = |name: &str| {
        let part = scenario.network.find(name).expect("it is there");
        scenario.declarations.placement.positions()[part.index()]
    };
    assert_eq!(place("row[0].eye"), Some((11, 0, -2)));
    assert_eq!(place("row[1].eye"), Some((14, 0, -2)));
    assert_eq!(place("row[1].inner.heart"), Some((13, 5, 0)));
    assert_eq!(place("row[1].inner.loose"), None);
    assert_eq!(place("stairs[2].heart"), Some((0, 2, 0)));
    // Two slices of 3 and three cells of 2.
    assert_eq!(scenario.declarations.width_blocks, Some(2 * 3 + 3 * 2));
}

#[test]
fn a_width_that_is_given_is_not_worked_out() {
    let fields = r#"
        modules: {"cell": (width_blocks: 2, parts: {"heart": Chest()})},
        uses: {"one": One(module: "cell")},
        width_blocks: 9,"#;
    let scenario = readable(loaded(fields, ""));
    assert_eq!(scenario.declarations.width_blocks, Some(9));
}

#[test]
fn a_table_of_arrivals_says_what_boxes_are_full_of() {
    let fields = r#"
        parts: {"in": Chest()},
        arrivals: {"cart": FromFile(path: "goods.csv")},"#;
    let table = "time, place, kind, full_of\n5s, in, box, flax\n6s, in, box,\n";
    let listed = r#"
        parts: {"in": Chest()},
        arrivals: {"cart": Listed(entries: [
            (at: "5s", place: "in", kind: Full("flax")),
            (at: "6s", place: "in", kind: "box"),
        ])},"#;
    let timeline = readable(loaded(fields, table)).timeline;
    assert_eq!(timeline, readable(loaded(listed, "")).timeline);
    let wrong = "time, place, kind, full_of\n5s, in, flax, barley\n";
    assert_eq!(ids_of(&loaded(fields, wrong)), ["layout::not-a-box"]);
}
