//! Writes what the engine did, and what petgraph worked out, for `tests/outside/python/compare.py`,
//! which works both out anew with other libraries.
//!
//! Nothing is written unless `OUTSIDE_CASES` names a folder. `.ci/run` does both steps.

use std::fs;
use std::path::PathBuf;

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use serde_json::{Value, json};

use crate::flow_network::FlowNetwork;
use crate::runs::Runner;
use crate::stages::{Stage, Tandem, draw_arrivals};

const FOLDER_VARIABLE: &str = "OUTSIDE_CASES";
const TANDEMS: u64 = 200;
const ITEMS: usize = 120;
const GRAPHS: u64 = 200;

/// One to five servers of every sort, in a random update order.
fn mixed_tandem(seed: u64) -> Tandem {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let stages = (0..random.random_range(1..=5)).map(|_| match random.random_range(0..3) {
        0 => Stage::PullingHopper,
        1 => Stage::PushingHopper,
        _ => Stage::Selector {
            service_ticks: random.random_range(1..=12),
        },
    });
    let stages = stages.collect();
    let mean_gap_ticks = random.random_range(6..=16);
    let arrivals = draw_arrivals(ITEMS, mean_gap_ticks, &mut random);
    Tandem::draw(stages, arrivals, &mut random)
}

fn stage_as_json(stage: &Stage, turn: usize) -> Value {
    match stage {
        Stage::Selector { service_ticks } => {
            json!({ "sort": "selector", "turn": turn, "service_ticks": service_ticks })
        }
        Stage::PullingHopper => json!({ "sort": "pulling hopper", "turn": turn }),
        Stage::PushingHopper => json!({ "sort": "pushing hopper", "turn": turn }),
    }
}

fn tandem_as_json(seed: u64) -> Value {
    let tandem = mixed_tandem(seed);
    let stages = tandem.stages.iter().zip(&tandem.turns);
    let stages: Vec<Value> = stages
        .map(|(stage, turn)| stage_as_json(stage, *turn))
        .collect();
    json!({
        "seed": seed,
        "stages": stages,
        "arrival_ticks": tandem.arrival_ticks,
        "departure_ticks": tandem.departure_ticks(Runner::Core),
    })
}

fn graph_as_json(seed: u64) -> Value {
    let network = FlowNetwork::draw(seed);
    let (source, store, edges) = network.capacities();
    json!({
        "seed": seed,
        "node_count": network.node_count(),
        "source": source,
        "store": store,
        "edges": edges,
        "minimum_cut": network.minimum_cut(),
    })
}

#[test]
fn cases_for_python() {
    let tandems: Vec<Value> = (0..TANDEMS).map(tandem_as_json).collect();
    let graphs: Vec<Value> = (0..GRAPHS).map(graph_as_json).collect();
    let Some(folder) = std::env::var_os(FOLDER_VARIABLE).map(PathBuf::from) else {
        println!("{FOLDER_VARIABLE} names no folder: nothing is written");
        return;
    };
    fs::create_dir_all(&folder).expect("the folder can be made");
    for (name, cases) in [("tandems.json", tandems), ("graphs.json", graphs)] {
        let path = folder.join(name);
        fs::write(&path, Value::from(cases).to_string()).expect("the folder can be written to");
    }
}
