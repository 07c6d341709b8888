//! What is written: the same every time, and from the files of the project.

use hallwright_plan::catalogue::read_catalogue;
use hallwright_plan::hall::{DEFAULT_HALL, hall};
use hallwright_plan::{Plan, plan, scenario_files};
use hallwright_scenario::Sources;

use crate::support::of_project;

/// The plan of the granary's catalogue in a hall.
fn granary(path: Option<&str>) -> Plan {
    let (mut sources, mut problems) = (Sources::default(), Vec::new());
    let catalogue = of_project("scenarios/plan/granary-catalogue.csv");
    let catalogue = read_catalogue(&catalogue, &mut sources, &mut problems);
    let path = path.map(of_project);
    let hall = hall(path.as_deref(), &mut sources, &mut problems);
    let (catalogue, hall) = (catalogue.expect("it is sound"), hall.expect("it is sound"));
    let plan = plan("Hall".into(), catalogue, hall, &mut problems);
    assert!(problems.is_empty(), "{problems:?}");
    plan.expect("it fits")
}

#[test]
fn the_default_hall_is_the_one_in_the_file() {
    let text = std::fs::read_to_string(of_project("scenarios/plan/hall.ron")).expect("it is there");
    assert_eq!(text, DEFAULT_HALL);
    let (by_default, by_file) = (granary(None), granary(Some("scenarios/plan/hall.ron")));
    assert_eq!(by_default.allocation, by_file.allocation);
    assert_eq!(scenario_files(&by_default), scenario_files(&by_file));
}

#[test]
fn planned_twice_it_is_the_same_byte_for_byte() {
    assert_eq!(
        scenario_files(&granary(None)),
        scenario_files(&granary(None))
    );
}

#[test]
fn the_granary_has_about_240_goods_of_every_sort() {
    let plan = granary(None);
    let kinds: Vec<usize> = plan
        .allocation
        .lines
        .iter()
        .map(|line| line.kinds())
        .collect();
    assert_eq!(kinds.iter().sum::<usize>(), plan.catalogue.goods.len());
    assert!((230..=250).contains(&plan.catalogue.goods.len()));
    assert!(kinds.iter().all(|kinds| *kinds >= 20), "{kinds:?}");
}
