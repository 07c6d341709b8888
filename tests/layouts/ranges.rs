//! What parameters may be in a search.

use hallwright_scenario::{LoadOptions, Loaded, ParameterRange, bundle, load};

use crate::{ids_of, load_text};

/// A scenario in which `size` must be given.
const HALL: &str = r#"(
    title: "A hall with ranges",
    run_for: "10s",
    parameters: {"lanes": 3, "share": 0.5, "deep": false, "grain": "barley", "size": Number},
    variants: {"large": {"size": Plus(20, 7), "lanes": 4}},
    ranges: {
        "grain": OneOf(["barley", "flax, or hemp"]), // two
        "lanes": Span(from: -1, to: 9, step: 4),
    },
    goods: {"barley": 64},
    parts: {"store": Container(slots: "$size", holds: ["barley"])},
)"#;

fn with_ranges(pairs: &[(&str, &str)]) -> Loaded {
    let owned = |(name, range): &(&str, &str)| ((*name).to_owned(), (*range).to_owned());
    let options = LoadOptions {
        ranges: pairs.iter().map(owned).collect(),
        variant: Some("large".to_owned()),
        ..LoadOptions::default()
    };
    load_text(HALL, &options)
}

/// Each range in the way in which the command line has its values.
fn shown(ranges: &[ParameterRange]) -> Vec<(&str, Vec<String>)> {
    let values =
        |range: &ParameterRange| range.values.iter().map(|value| value.set_text()).collect();
    ranges
        .iter()
        .map(|range| (range.name.as_str(), values(range)))
        .collect()
}

fn ranges(pairs: &[(&str, &str)]) -> Vec<(String, Vec<String>)> {
    let loaded = with_ranges(pairs);
    assert_eq!(ids_of(&loaded), [""; 0]);
    let ranges = loaded.ranges.expect("they are sound");
    let shown = shown(&ranges).into_iter();
    shown
        .map(|(name, values)| (name.to_owned(), values))
        .collect()
}

#[test]
fn ranges_come_in_the_order_of_the_text_and_a_span_stops_where_its_steps_do() {
    // From -1 in steps of 4: -1, 3, 7; 11 is beyond 9.
    let expected = [
        (
            "grain".to_owned(),
            vec!["barley".to_owned(), "flax, or hemp".to_owned()],
        ),
        (
            "lanes".to_owned(),
            ["-1", "3", "7"].map(str::to_owned).to_vec(),
        ),
    ];
    assert_eq!(ranges(&[]), expected);
}

#[test]
fn the_command_line_replaces_ranges_and_adds_others_behind_them() {
    let found = ranges(&[
        ("size", "27,54"),
        ("lanes", "1..3"),
        ("deep", "true"),
        ("lanes", "2..8/3"),
        ("share", "0.25, 1"),
    ]);
    let names: Vec<&str> = found.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(names, ["grain", "lanes", "size", "deep", "share"]);
    assert_eq!(found[1].1, ["2", "5", "8"], "the last one given");
    assert_eq!(found[2].1, ["27", "54"]);
    assert_eq!(found[3].1, ["true"]);
    assert_eq!(found[4].1, ["0.25", "1"]);
}

#[test]
fn ranges_of_the_command_line_that_cannot_be_used_are_reported() {
    for (name, range, id) in [
        ("lane", "1,2", "layout::unknown-parameter"),
        ("lanes", "3..1", "layout::bad-range"),
        ("lanes", "1..9/0", "layout::bad-range"),
        ("lanes", "1..x", "layout::bad-range"),
        ("lanes", "1,,2", "layout::bad-range"),
        ("lanes", "4,4", "layout::bad-range"),
        (
            "lanes",
            "-9223372036854775808..9223372036854775807",
            "layout::bad-range",
        ),
        ("lanes", "many", "layout::wrong-value"),
        ("deep", "0..1", "layout::wrong-value"),
    ] {
        let loaded = with_ranges(&[(name, range)]);
        assert_eq!(ids_of(&loaded), [id], "{name}={range}");
        assert_eq!(loaded.ranges, None, "{name}={range}");
    }
}

#[test]
fn ranges_are_known_of_a_scenario_that_is_whole_only_in_a_search() {
    let loaded = load_text(HALL, &LoadOptions::default());
    assert_eq!(ids_of(&loaded), ["layout::missing-parameter"]);
    assert_eq!(loaded.ranges.map(|ranges| ranges.len()), Some(2));
}

#[test]
fn a_value_of_a_range_that_is_set_and_written_is_the_same() {
    let loaded = with_ranges(&[("share", "0.25,3"), ("deep", "true")]);
    let ranges = loaded.ranges.expect("they are sound");
    let rons: Vec<String> = ranges
        .iter()
        .map(|range| {
            range
                .values
                .iter()
                .map(|value| value.ron())
                .collect::<Vec<_>>()
                .join(" ")
        })
        .collect();
    assert_eq!(
        rons,
        [r#""barley" "flax, or hemp""#, "-1 3 7", "0.25 3", "true"]
    );
    let expected = [("size", "Plus(20, 7)"), ("lanes", "4")];
    let expected = expected.map(|(name, value)| (name.to_owned(), value.to_owned()));
    assert_eq!(loaded.variant_values, expected, "as the text has them");
}

#[test]
fn a_bundle_keeps_its_ranges() {
    let folder = tempfile::tempdir().expect("there is room for files");
    let path = folder.path().join("hall.ron");
    std::fs::write(&path, HALL.replace("Number", "3")).expect("it can be written");
    let text = bundle(&path, &LoadOptions::default()).expect("nothing is wrong with it");
    let bundled = folder.path().join("bundle.ron");
    std::fs::write(&bundled, text).expect("it can be written");
    let ranges = |path| load(path, &LoadOptions::default()).ranges;
    assert!(ranges(&path).is_some_and(|ranges| ranges.len() == 2));
    assert_eq!(ranges(&bundled), ranges(&path));
}
