//! What was loaded, reported and run.

use std::path::Path;

use hallwright_core::setup::Setup;
use hallwright_core::timeline::Action;
use hallwright_scenario::diagnostic::Severity;
use hallwright_scenario::{LoadOptions, Loaded, Scenario, ids, load, render};
use hallwright_swarm::lockstep::compare_built;

use crate::Came;

/// So many parts a layout may have here, since the reference engine looks at all of them in every tick.
const MOST_PARTS: usize = 400;

/// So many turns of parts are run at most, and so many ticks.
const MOST_TURNS: u64 = 10_000;
const MOST_TICKS: u64 = 120;

/// So many items are delivered in a run at most.
const MOST_ITEMS: u64 = 5_000;

/// What is reported of a text that is not understood.
const OF_THE_PARSER: [&str; 4] = [
    ids::SYNTAX,
    ids::TEXT_NESTED_TOO_DEEP,
    ids::TEXT_TOO_LONG,
    ids::FILE_NOT_TEXT,
];

/// Loads a scenario. If the input goes on, what is reported is drawn, and what comes of it runs in both engines.
pub(crate) fn load_and_run(path: &Path, of_the_parser: &[&str], goes_on: bool) -> Came {
    let options = LoadOptions {
        part_limit: MOST_PARTS,
        ..LoadOptions::default()
    };
    let loaded = load(path, &options);
    assert_reported(&loaded, goes_on);
    let Some(scenario) = &loaded.scenario else {
        let mut reported = loaded.diagnostics.iter();
        let is_of_the_parser =
            |id: &str| OF_THE_PARSER.contains(&id) || of_the_parser.contains(&id);
        return match reported.any(|one| is_of_the_parser(one.id)) {
            true => Came::Refused,
            false => Came::Read,
        };
    };
    if goes_on {
        run(scenario);
    }
    Came::Through
}

/// Either there is a scenario, or an error says why not; and all that is reported can be drawn, if it is.
fn assert_reported(loaded: &Loaded, is_drawn: bool) {
    let mut reported = loaded.diagnostics.iter();
    let is_broken = reported.any(|one| one.severity == Severity::Error);
    assert!(loaded.scenario.is_some() != is_broken);
    if !is_drawn {
        return;
    }
    let drawn = render(&loaded.diagnostics, &loaded.sources, false);
    assert_eq!(drawn.is_empty(), loaded.diagnostics.is_empty());
}

/// Runs a scenario in both engines for some ticks.
fn run(scenario: &Scenario) {
    let setup = Setup {
        seed: scenario.seed,
        timeline: scenario.timeline.clone(),
        ..Setup::default()
    };
    let entries = setup.timeline.entries().iter();
    let items = entries.map(|(_, action)| match action {
        Action::Deliver { count, .. } => u64::from(*count),
        _ => 1,
    });
    if items.sum::<u64>() > MOST_ITEMS {
        return;
    }
    assert_eq!(setup.problems(&scenario.network), []);
    let ticks = MOST_TURNS / (scenario.network.part_count() as u64 + 1);
    let ticks = ticks.min(MOST_TICKS).min(scenario.run_ticks);
    let compared = compare_built(&scenario.network, &setup, ticks, None, &mut ());
    if let Err(difference) = compared {
        panic!("{difference}");
    }
}
