//! Writes planned halls for `tests/outside/python/compare_plans.py`, which works them out anew.
//!
//! Nothing is written unless `OUTSIDE_CASES` names a folder. `.ci/run` does both steps.

use std::fs;
use std::path::PathBuf;

use hallwright_plan::parts::parts_of;
use hallwright_plan::report::report;
use hallwright_plan::write::json::json;
use hallwright_plan::{SCENARIO_FILE, plan, scenario_files};
use hallwright_scenario::{LoadOptions, load};
use serde_json::Value;

use crate::draws::Drawn;
use crate::support::{goods, sound_hall};

const FOLDER_VARIABLE: &str = "OUTSIDE_CASES";
const HALLS: u64 = 80;

/// The catalogue, the hall and the report of a seed; `None` if wishes contradict the hall.
fn plan_as_json(seed: u64) -> Option<Value> {
    let drawn = Drawn::draw(seed);
    let hall = sound_hall(&drawn.hall.text());
    let plan = plan("Hall".into(), goods(&drawn.rows()), hall, &mut Vec::new())?;
    let folder = tempfile::tempdir().expect("there is room for files");
    for file in scenario_files(&plan) {
        fs::write(folder.path().join(file.name), file.text).expect("there is room");
    }
    let loaded = load(&folder.path().join(SCENARIO_FILE), &LoadOptions::default());
    let scenario = loaded.scenario.expect("it compiles");
    let parts = parts_of(&scenario.network, &scenario.declarations);
    // As the command writes it.
    let report = json(&report(&plan, &parts, None));
    let mut case = drawn.as_json();
    case["seed"] = seed.into();
    case["report"] = serde_json::from_str(&report).expect("it is JSON");
    Some(case)
}

#[test]
fn plans_for_python() {
    let Some(folder) = std::env::var_os(FOLDER_VARIABLE).map(PathBuf::from) else {
        println!("{FOLDER_VARIABLE} names no folder: nothing is written");
        return;
    };
    let cases: Vec<Value> = (0..HALLS).filter_map(plan_as_json).collect();
    fs::create_dir_all(&folder).expect("the folder can be made");
    let path = folder.join("plans.json");
    fs::write(&path, Value::from(cases).to_string()).expect("the folder can be written to");
}
