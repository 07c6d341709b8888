//! Variants, parameters set from outside, the seed, the digest.

use hallwright_declared::declarations::Goal;
use hallwright_scenario::{LoadOptions, Scenario, load};

use crate::{beside, ids_of, load_text, readable};

fn everything(options: &LoadOptions) -> Scenario {
    readable(load(&beside("valid/everything.ron"), options))
}

fn variant(name: &str) -> LoadOptions {
    LoadOptions {
        variant: Some(name.to_owned()),
        ..LoadOptions::default()
    }
}

fn set(pairs: &[(&str, &str)]) -> LoadOptions {
    let owned = |(name, value): &(&str, &str)| ((*name).to_owned(), (*value).to_owned());
    LoadOptions {
        set: pairs.iter().map(owned).collect(),
        ..LoadOptions::default()
    }
}

#[test]
fn a_variant_changes_parameters_and_adds_goals() {
    // `wide` has three slices of four parts in the row instead of two.
    let wide = everything(&variant("wide"));
    assert_eq!(wide.network.part_count(), 51 + 4);
    assert_eq!(wide.variant.as_deref(), Some("wide"));
    assert_eq!(
        wide.declarations.goals.last(),
        Some(&Goal::MisplacedAtMost(3))
    );
}

#[test]
fn parts_whose_condition_does_not_hold_are_not_there() {
    // `shallow` has no `extra` (four parts) and no `under` in either slice.
    let shallow = everything(&variant("shallow"));
    assert_eq!(shallow.network.part_count(), 51 - 4 - 2);
    assert_eq!(shallow.network.find("row[0].under"), None);
}

#[test]
fn the_command_line_has_the_last_word() {
    let mut options = set(&[("slices", "1"), ("slices", "4"), ("deep", "false")]);
    options.variant = Some("wide".to_owned());
    let scenario = everything(&options);
    // 38 parts beside the instances and one of `sign`; four slices of three parts.
    assert_eq!(scenario.network.part_count(), 38 + 1 + 4 * 3);
}

#[test]
fn lists_are_set_with_commas() {
    let scenario = everything(&set(&[("grains", "flax, barley")]));
    let eye = scenario.network.find("row[1].eye").expect("it is there");
    let filled = scenario
        .network
        .fillings()
        .iter()
        .find(|(part, _)| *part == eye);
    let kind = filled.map(|(_, filling)| scenario.network.kind(filling.kind).name.as_str());
    assert_eq!(kind, Some("barley"));
}

#[test]
fn a_wrong_choice_is_reported() {
    let path = beside("valid/everything.ron");
    let reported = |options: &LoadOptions| ids_of(&load(&path, options));
    assert_eq!(reported(&variant("wid")), ["layout::unknown-variant"]);
    assert_eq!(
        reported(&set(&[("slice", "3")])),
        ["layout::unknown-parameter"]
    );
    assert_eq!(
        reported(&set(&[("slices", "many")])),
        ["layout::wrong-value"]
    );
    assert_eq!(reported(&set(&[("deep", "1")])), ["layout::wrong-value"]);
    let limited = LoadOptions {
        part_limit: 50,
        ..LoadOptions::default()
    };
    assert_eq!(reported(&limited), ["layout::too-many-parts"]);
    let loaded = load(&beside("valid/no-such.ron"), &LoadOptions::default());
    assert_eq!(ids_of(&loaded), ["file::missing"]);
}

#[test]
fn the_limit_itself_is_allowed() {
    let options = LoadOptions {
        part_limit: 51,
        ..LoadOptions::default()
    };
    assert_eq!(everything(&options).network.part_count(), 51);
}

#[test]
fn chance_follows_from_the_seed_and_the_name_alone() {
    let with_seed = |seed| {
        let options = LoadOptions {
            seed: Some(seed),
            ..LoadOptions::default()
        };
        everything(&options)
    };
    assert_eq!(with_seed(3).seed, 3);
    assert_eq!(with_seed(3).timeline, with_seed(3).timeline);
    assert_ne!(with_seed(3).timeline, with_seed(4).timeline);
    assert_eq!(
        with_seed(7).timeline,
        everything(&LoadOptions::default()).timeline
    );
    let rain = |others: &str| {
        let text = format!(
            r#"(
                title: "Rain", run_for: "10s", seed: 5,
                goods: {{"ham": 16}},
                parts: {{"pond": Mouth, "well": Mouth}},
                arrivals: {{
                    {others}
                    "rain": ByChance(place: "pond", kind: "ham", per_tick: 0.3),
                }},
            )"#
        );
        let scenario = readable(load_text(&text, &LoadOptions::default()));
        let pond = scenario.network.find("pond").expect("it is there");
        let entries = scenario.timeline.entries().iter();
        let drops = entries.filter(|(_, action)| {
            matches!(action, hallwright_core::timeline::Action::Deliver { place, .. } if *place == pond)
        });
        drops.map(|(tick, _)| *tick).collect::<Vec<_>>()
    };
    let more = r#""drizzle": ByChance(place: "well", kind: "ham", per_tick: 0.1),"#;
    assert_eq!(rain(""), rain(more));
}

#[test]
fn the_digest_reports_inputs_apart() {
    let digest = |options: &LoadOptions| everything(options).input_digest;
    let plain = digest(&LoadOptions::default());
    assert_eq!(plain, digest(&LoadOptions::default()));
    assert_ne!(plain, digest(&variant("wide")));
    assert_ne!(plain, digest(&set(&[("slices", "2")])));
    assert_ne!(
        digest(&set(&[("slices", "2")])),
        digest(&set(&[("slices", "3")]))
    );
}
