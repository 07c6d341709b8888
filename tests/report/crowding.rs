//! The scenarios that users copy from can be built: nothing in them is crowded.

use std::path::{Path, PathBuf};

use hallwright_analysis::crowding::crowded;
use hallwright_core::network::NetworkBuilder;
use hallwright_core::part::{Hopper, Intake, Part};
use hallwright_core::rules::Rules;
use hallwright_declared::declarations::{Declarations, Goal};
use hallwright_report::goals::Verdict;
use hallwright_report::verdicts::Ruling;
use hallwright_report::words::crowded_words;
use hallwright_scenario::{LoadOptions, load};

use crate::parts::chest;
use crate::support::run_with;

/// Every file below a folder whose name says that it is a scenario; modules stand in folders of that
/// name.
fn scenarios(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).expect("the folder is there") {
        let path = entry.expect("it can be listed").path();
        let is_for_modules = path.ends_with("modules") || path.ends_with("modules.ron");
        if is_for_modules {
            continue;
        }
        if path.is_dir() {
            scenarios(&path, found);
        } else if path.extension().is_some_and(|extension| extension == "ron") {
            found.push(path);
        }
    }
}

#[test]
fn nothing_is_crowded_in_any_variant_of_any_scenario() {
    let root = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../scenarios"));
    let mut paths = Vec::new();
    scenarios(root, &mut paths);
    let mut networks = 0;
    let mut reported = Vec::new();
    for path in paths {
        let first = load(&path, &LoadOptions::default());
        let mut variants: Vec<Option<String>> = first.variants.into_iter().map(Some).collect();
        variants.push(None);
        for variant in variants {
            let name = variant.clone().unwrap_or_default();
            let options = LoadOptions {
                variant,
                ..LoadOptions::default()
            };
            // A description of a hall to plan is no scenario.
            let Some(scenario) = load(&path, &options).scenario else {
                continue;
            };
            networks += 1;
            let network = &scenario.network;
            reported.extend(crowded(network).iter().map(|place| {
                let words = crowded_words(network, place);
                let parts = place.parts.iter().map(|part| network.name(*part));
                let parts = parts.collect::<Vec<_>>().join(", ");
                format!("{} {name}: {words}: {parts}", path.display())
            }));
        }
    }
    assert!(networks > 40, "only {networks} networks were looked at");
    assert!(reported.is_empty(), "{}", reported.join("\n"));
}

/// A barrel that these hoppers draw from, of which one fits, with a goal that allows more or not.
fn judged(hoppers: &[&str], allows: bool) -> Verdict {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barrel = chest(&mut builder, "barrel", 27);
    for name in hoppers {
        let below = Hopper {
            target: None,
            intake: Intake::Above(barrel),
            lock: None,
        };
        builder.add(name, Part::Hopper(below));
    }
    let network = builder.build().expect("two hoppers may draw from it");
    let declarations = Declarations {
        goals: vec![Goal::Crowded(if allows {
            vec![barrel]
        } else {
            Vec::new()
        })],
        ..Declarations::default()
    };
    let found = run_with(&network, &declarations, 10, Vec::new());
    if hoppers.len() > 1 {
        assert_eq!(found.crowded.len(), 1);
        assert_eq!(
            found.crowded[0].words,
            "crowded: \"barrel\": 2 hoppers draw from it, 1 fits"
        );
        assert_eq!(found.crowded[0].parts, hoppers);
        assert_eq!(found.crowded[0].is_allowed, allows);
    }
    found.verdicts[0].clone()
}

#[test]
fn a_goal_names_the_only_parts_that_may_be_crowded() {
    let two = ["left", "right"];
    let allowed = judged(&two, true);
    assert_eq!(allowed.ruling, Ruling::Allowed);
    assert_eq!(allowed.checks[0].measured.value(), Some(1.0));
    assert_eq!(allowed.remark, None);
    assert!(!judged(&two, false).is_met());
}

#[test]
fn an_allowance_that_allows_nothing_is_named() {
    let idle = judged(&["left"], true);
    assert_eq!(idle.ruling, Ruling::Ok);
    assert_eq!(idle.remark.as_deref(), Some("allowances not used: 1 of 1"));
    assert_eq!(judged(&["left"], false).remark, None);
}
