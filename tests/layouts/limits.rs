//! What has no end in a file has one here.

use hallwright_scenario::LoadOptions;

use crate::{ids_of, load_text};

fn reported(fields: &str) -> Vec<&'static str> {
    let text = format!("(title: \"Limits\", {fields})");
    ids_of(&load_text(&text, &LoadOptions::default()))
}

#[test]
fn a_run_ends() {
    // 1,000,000,000 ticks are allowed, and not one more.
    assert_eq!(reported(r#"run_for: "1000000000t""#), [""; 0]);
    assert_eq!(reported(r#"run_for: "1000000001t""#), ["run::too-long"]);
}

#[test]
fn texts_that_double_again_and_again_are_refused() {
    let parameters: Vec<String> = (0..60)
        .map(|number| format!(r#""p{}": "$p{number}$p{number}""#, number + 1))
        .collect();
    let fields = format!(
        r#"run_for: "1s", parameters: {{"p0": "ab", {}}}"#,
        parameters.join(", ")
    );
    assert_eq!(reported(&fields), ["layout::wrong-value"]);
}

#[test]
fn lists_that_double_again_and_again_are_refused() {
    let parameters: Vec<String> = (0..60)
        .map(|number| format!(r#""p{}": ["$p{number}", "$p{number}"]"#, number + 1))
        .collect();
    let fields = format!(
        r#"run_for: "1s", goods: {{"ab": 64}}, parameters: {{"p0": ["ab"], {}}},
        parts: {{"in": Chest(holds: ["ab"])}}, flows: {{"all": (into: "in", kinds: "$p60")}}"#,
        parameters.join(", ")
    );
    assert_eq!(reported(&fields), ["layout::wrong-value"]);
}

#[test]
fn boxes_count_for_what_they_hold() {
    // 5,000,000 / 28 = 178,571: one more box of 27 stacks each is too many.
    let fields = |boxes: u32| {
        format!(
            r#"run_for: "{boxes}t", goods: {{"flax": 64, "box": Box}}, parts: {{"in": Chest()}},
            arrivals: {{"boxes": Steady(place: "in", kind: Full("flax"), every: "1t")}}"#
        )
    };
    assert_eq!(reported(&fields(178_572)), ["run::too-many-arrivals"]);
    assert_eq!(reported(&fields(1_000)), [""; 0]);
}

#[test]
fn loose_goods_count_by_the_stack() {
    // Each stack beyond the first counts as 10: 500,000 stacks of 64 are all that may lie there.
    let fields = |part: &str, count: u32| {
        format!(
            r#"run_for: "1s", goods: {{"flax": 64}}, parts: {{"in": {part}}},
            arrivals: {{"flood": AllAtOnce(place: "in", kind: "flax", count: {count})}}"#
        )
    };
    let too_many = ["run::too-many-arrivals"];
    assert_eq!(reported(&fields("Mouth", u32::MAX)), too_many);
    assert_eq!(reported(&fields("Mouth", 64 * 500_000 + 1)), too_many);
    assert_eq!(reported(&fields("Mouth", 64 * 500_000)), [""; 0]);
    assert_eq!(reported(&fields("Chest()", u32::MAX)), [""; 0]);
    let by_hand = r#"run_for: "1s", goods: {"flax": 64}, parts: {"pond": Mouth()},
        operator: [(at: "0s", actions: [Deliver(place: "pond", kind: "flax", count: 4294967295)])]"#;
    assert_eq!(reported(by_hand), too_many);
}

#[test]
fn parts_are_not_named_without_end() {
    // 300 wires of 500 inputs each are 150,000 names; of so few parts, 100,000 are allowed.
    let fields = r#"run_for: "1s",
        modules: {
            "lever": (signals: {"lever": Lever()}),
            "wire": (parameters: {"of": Name}, signals: {"wire": Wire(inputs: ["$of[*].lever"])}),
        },
        uses: {
            "levers": Row(module: "lever", count: 500),
            "wires": Row(module: "wire", count: 300, with: {"of": "levers"}),
        }"#;
    let text = format!("(title: \"Limits\", {fields})");
    let limited = LoadOptions {
        part_limit: 1_000,
        ..LoadOptions::default()
    };
    assert_eq!(
        ids_of(&load_text(&text, &limited)),
        ["layout::too-many-names"]
    );
    assert_eq!(reported(fields), [""; 0]);
}
