//! Catalogues and halls written down in tests.

use std::path::PathBuf;

use hallwright_plan::allocate::places::number_of;
use hallwright_plan::catalogue::{Catalogue, read_catalogue};
use hallwright_plan::hall::{Hall, Sort, hall};
use hallwright_plan::{Plan, plan};
use hallwright_scenario::{Diagnostic, Sources};

/// A file of the project.
pub(crate) fn of_project(path: &str) -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../..")).join(path)
}

/// What was read of a text, and what was reported.
pub(crate) struct Reported {
    pub(crate) sources: Sources,
    pub(crate) problems: Vec<Diagnostic>,
}

impl Reported {
    /// Each problem as its place and what is wrong: `line:column message`.
    pub(crate) fn lines(&self) -> Vec<String> {
        let lines = self.problems.iter().map(|problem| {
            let place = problem.primary().map(|span| self.sources.position(span));
            let place = place.map_or_else(String::new, |place| {
                format!("{}:{} ", place.line, place.column)
            });
            format!("{place}{}", problem.message)
        });
        lines.collect()
    }
}

/// Reads a catalogue that is written in a test.
pub(crate) fn catalogue_of(text: &str) -> (Option<Catalogue>, Reported) {
    let folder = tempfile::tempdir().expect("there is room for files");
    let path = folder.path().join("goods.csv");
    std::fs::write(&path, text).expect("there is room for a file");
    let (mut sources, mut problems) = (Sources::default(), Vec::new());
    let catalogue = read_catalogue(&path, &mut sources, &mut problems);
    (catalogue, Reported { sources, problems })
}

/// Reads a hall that is written in a test.
pub(crate) fn hall_of(text: &str) -> (Option<Hall>, Reported) {
    let folder = tempfile::tempdir().expect("there is room for files");
    let path = folder.path().join("hall.ron");
    std::fs::write(&path, text).expect("there is room for a file");
    let (mut sources, mut problems) = (Sources::default(), Vec::new());
    let hall = hall(Some(&path), &mut sources, &mut problems);
    (hall, Reported { sources, problems })
}

/// A catalogue of these rows.
pub(crate) fn goods(rows: &str) -> Catalogue {
    let text = format!("name, stack_limit, amount, inflow_per_hour, family, wish\n{rows}");
    let (catalogue, reported) = catalogue_of(&text);
    catalogue.unwrap_or_else(|| panic!("{:?}", reported.lines()))
}

/// A hall without mistakes.
pub(crate) fn sound_hall(text: &str) -> Hall {
    let (hall, reported) = hall_of(text);
    hall.unwrap_or_else(|| panic!("{:?}", reported.lines()))
}

/// A plan for these rows in this hall, and the messages that came with it.
pub(crate) fn planned(rows: &str, hall: &str) -> (Option<Plan>, Vec<String>) {
    let mut problems = Vec::new();
    let plan = plan("Hall".into(), goods(rows), sound_hall(hall), &mut problems);
    let messages = problems.into_iter().map(|problem| problem.message);
    (plan, messages.collect())
}

/// A small hall: bulk slices of 1 block with 54 slots, multi-item slices of 4 blocks with 54 slots
/// for 4 kinds, oddments of 3 blocks with 54 slots for 8 kinds.
pub(crate) fn small_hall(more: &str) -> String {
    format!(
        "({more}
            bulk: (width_blocks: 1, slots: 54, kinds: 1),
            multi: (width_blocks: 4, slots: 54, kinds: 4),
            oddments: (width_blocks: 3, slots: 54, kinds: 8),
        )"
    )
}

/// As [`planned`], with every message at its place in the catalogue, in which the names of columns are line 1.
pub(crate) fn planned_with_places(rows: &str, hall: &str) -> (Option<Plan>, Vec<String>) {
    let text = format!("name, stack_limit, amount, inflow_per_hour, family, wish\n{rows}");
    let (catalogue, Reported { sources, .. }) = catalogue_of(&text);
    let mut problems = Vec::new();
    let catalogue = catalogue.expect("nothing is wrong");
    let plan = plan("Hall".into(), catalogue, sound_hall(hall), &mut problems);
    (plan, Reported { sources, problems }.lines())
}

/// The names in the slices of a sort.
pub(crate) fn named(plan: &Plan, sort: Sort) -> Vec<Vec<&str>> {
    let slices = plan.allocation.lines[sort.index()].slices.iter();
    let name = |number: &usize| plan.catalogue.goods[*number].name.as_str();
    slices
        .map(|goods| goods.iter().map(name).collect())
        .collect()
}

/// The sort of slice of a kind, and the numbers of its slices along the line, from 1.
pub(crate) fn placed(plan: &Plan, kind: &str) -> (&'static str, Vec<u64>) {
    let good = plan
        .catalogue
        .goods
        .iter()
        .position(|good| good.name == kind);
    let good = good.unwrap_or_else(|| panic!("there is no {kind}"));
    let sort = plan.allocation.sort_of(good);
    let slices = plan.allocation.lines[sort.index()].slices_of(good);
    let numbers = slices.map(|slice| number_of(&plan.hall, sort, slice));
    (sort.name(), numbers.collect())
}
