//! Scenarios: examples of the whole language and random networks, with fields exchanged, repeated and left out.

use hallwright_declared::declarations::Declarations;
use hallwright_scenario::Scenario;
use hallwright_swarm::generate::generate;
use hallwright_written::flat;

use crate::Came;
use crate::choices::Choices;
use crate::edit::edit;
use crate::folder::Folder;
use crate::runs::load_and_run;
use crate::spoil::perhaps_spoiled;

/// Names a file among the examples that are read as they should be.
macro_rules! valid {
    ($name:literal) => {
        include_str!(concat!("../../../tests/layouts/valid/", $name))
    };
}

/// Examples, which together have every word of the language.
const EXAMPLES: [&str; 20] = [
    valid!("everything.ron"),
    valid!("alone.ron"),
    valid!("boxes.ron"),
    valid!("conditions.ron"),
    valid!("filter.ron"),
    valid!("flat.ron"),
    valid!("landing.ron"),
    valid!("lever-locks.ron"),
    valid!("lift.ron"),
    valid!("listed.ron"),
    valid!("loop.ron"),
    valid!("memory.ron"),
    valid!("permit.ron"),
    valid!("positions.ron"),
    valid!("requests.ron"),
    valid!("rooms.ron"),
    valid!("shuttle.ron"),
    valid!("stores.ron"),
    valid!("upsets.ron"),
    include_str!("../../../scenarios/standing/filter.ron"),
];

/// What some of them read.
const FILES: [(&str, &str); 2] = [
    ("arrivals.csv", valid!("arrivals.csv")),
    ("boats.csv", valid!("boats.csv")),
];

/// A random network, written down.
fn random_network(choices: &mut Choices<'_>) -> String {
    let blueprint = generate(choices.word());
    let (network, setup) = blueprint.build().expect("what is generated is sound");
    flat(&Scenario {
        title: "Random".to_owned(),
        network,
        operator: setup.timeline.entries().to_vec(),
        timeline: setup.timeline,
        seed: setup.seed,
        run_ticks: blueprint.length_ticks,
        declarations: Declarations::default(),
        variants: Vec::new(),
        variant: None,
        goal_lines: Vec::new(),
        input_digest: 0,
        arrivals: Vec::new(),
    })
}

/// Tries the scenario that some choices make.
pub fn try_one(choices: &mut Choices<'_>) -> Came {
    thread_local! {
        static FOLDER: Folder = Folder::with(&FILES);
    }
    let mut text = match choices.once_in(3) {
        true => random_network(choices),
        false => choices.text(&EXAMPLES).to_owned(),
    };
    let edits = choices.below(3);
    for _ in 0..edits {
        let other = choices.text(&EXAMPLES);
        text = edit(&text, other, choices);
    }
    let text = perhaps_spoiled(text.into_bytes(), choices);
    FOLDER.with(|folder| {
        let path = folder.write("scenario.ron", &text);
        load_and_run(&path, &[], choices.goes_on())
    })
}
