//! What sleeps and what is stuck, as the script reads it.

use crate::support::drawn;

#[test]
fn every_spell_has_its_time_and_its_parts() {
    let (data, _) = drawn("layouts/valid/upsets.ron");
    let spells = data["spells"].as_array().expect("a list");
    let rows: Vec<(u64, u64, &str, usize)> = spells
        .iter()
        .map(|spell| {
            let tick = |name: &str| spell[name].as_u64().expect("a tick");
            let how = spell["how"].as_str().expect("a word");
            (
                tick("from"),
                tick("until"),
                how,
                data.numbers(&spell["parts"]).len(),
            )
        })
        .collect();
    assert_eq!(
        rows,
        [
            (100, 300, "asleep", 7),
            (120, 150, "asleep", 9),
            (320, 340, "asleep", 25),
            (400, 440, "stuck on", 5),
            (400, 440, "stuck off", 1),
            (460, 520, "stuck off", 18),
            (520, 521, "stuck off", 8),
        ]
    );
    assert_eq!(data.names(data.numbers(&spells[4]["parts"])), ["button"]);
    let flags = data["flags"].as_array().expect("a list");
    let done: Vec<&str> = flags
        .iter()
        .filter(|flag| flag["sort"] == "operator")
        .filter_map(|flag| flag["name"].as_str())
        .collect();
    for name in [
        "7 parts asleep for 10.0 s (200 t)",
        "button stuck off for 2.0 s (40 t)",
        "opened again",
        "fill hall[1].lanes[0].line with barley by hand",
        "take a box away from quay",
    ] {
        assert!(done.contains(&name), "{name}: {done:?}");
    }
}
