//! The parts list: what a network is built of, counted, and the raw materials for it.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::{Container, Part, Signal};
use hallwright_declared::declarations::{Declarations, StorePurpose};
use hallwright_declared::placement::Built;
use hallwright_declared::space::Block;
use hallwright_scenario::Diagnostic;
use hallwright_scenario::placed_table::read_placed_table;
use hallwright_scenario::source::Sources;

use crate::ids;

/// How many there are of each part, by its name.
pub type Counts = BTreeMap<String, u64>;

/// The parts of a network.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Parts {
    /// Containers, hoppers, droppers, selectors and the like.
    pub items: Counts,
    /// What gives signals.
    pub signals: Counts,
    /// Goods that must lie in the parts from the start, such as those in item filters.
    pub goods: u64,
    /// Slots of the containers of all slices' stores.
    pub storage_slots: u64,
    /// Slots of other containers: buffers, the chest for the unsorted, and what stands in free slices.
    pub other_slots: u64,
}

impl Parts {
    /// How many hoppers there are.
    #[must_use]
    pub fn hoppers(&self) -> u64 {
        self.items.get("hopper").copied().unwrap_or(0)
    }

    /// All parts, by name.
    pub fn all(&self) -> impl Iterator<Item = (&str, u64)> {
        let counts = self.items.iter().chain(&self.signals);
        counts.map(|(name, count)| (name.as_str(), *count))
    }
}

/// Counts the parts of a network. Nothing is left out, so that the list cannot differ from what runs. What
/// is storage, its declarations say: the stores of slices.
#[must_use]
pub fn parts_of(network: &Network, declarations: &Declarations) -> Parts {
    let stores = declarations.stores.iter();
    let stores = stores.filter(|store| store.purpose == StorePurpose::Slice);
    let stored: BTreeSet<PartId> = stores
        .flat_map(|store| store.parts.iter().copied())
        .collect();
    // Where blocks are known, wire is counted by blocks: a part of it may be many, or what others hear through it.
    let is_placed = !declarations.placement.wires.is_empty();
    let mut wires: BTreeSet<&Block> = BTreeSet::new();
    let mut parts = Parts::default();
    for (id, part) in network.parts() {
        if let Part::Container(container) = part {
            let slots = if stored.contains(&id) {
                &mut parts.storage_slots
            } else {
                &mut parts.other_slots
            };
            *slots += u64::from(container.slots);
        }
        let placed = declarations.placement.of(id);
        if is_placed && is_wire(part) {
            wires.extend(placed.iter().flat_map(|placed| &placed.path));
            continue;
        }
        let counts = match part {
            Part::Signal(_) => &mut parts.signals,
            _ => &mut parts.items,
        };
        let built = placed.map_or(Built::Usual, |placed| placed.built);
        *counts.entry(name_of(part, built)).or_default() += 1;
    }
    if is_placed {
        wires.extend(&declarations.placement.wires);
        let full: BTreeSet<&Block> = declarations.placement.full.iter().collect();
        parts.signals.insert("wire".to_owned(), wires.len() as u64);
        parts
            .items
            .insert("full block".to_owned(), full.len() as u64);
    }
    let fillings = network.fillings().iter();
    parts.goods = fillings.map(|(_, filling)| u64::from(filling.count)).sum();
    parts
}

fn is_wire(part: &Part) -> bool {
    matches!(part, Part::Signal(signal) if matches!(signal, Signal::Wire { .. }))
}

/// What a builder calls a part.
fn name_of(part: &Part, built: Built) -> String {
    match part {
        Part::Container(_) if built == Built::Barrel => "barrel".to_owned(),
        Part::Container(Container { slots: 27 }) => "chest".to_owned(),
        Part::Container(Container { slots: 54 }) => "double chest".to_owned(),
        Part::Container(Container { slots }) => format!("container of {slots} slots"),
        other => other.word().to_owned(),
    }
}

/// What one of each part costs: the material and how much of it, by the name of the part.
pub type Costs = BTreeMap<String, Vec<(String, u64)>>;

/// The columns of a costs table.
const COLUMNS: [&str; 3] = ["part", "material", "count"];

/// Reads a costs table. `None` if anything is wrong with it; all mistakes are reported.
pub fn read_costs(
    path: &Path,
    sources: &mut Sources,
    problems: &mut Vec<Diagnostic>,
) -> Option<Costs> {
    let reported = problems.len();
    let table = read_placed_table(path, sources, problems)?;
    let names: Vec<&str> = table
        .columns
        .iter()
        .map(|column| column.text.as_str())
        .collect();
    if names != COLUMNS {
        let message = "a costs table has the columns `part`, `material` and `count`, in this order";
        let span = table.columns[0].span;
        problems.push(Diagnostic::error(ids::MISSING_COLUMN, span, message));
        return None;
    }
    let mut costs = Costs::new();
    for row in &table.rows {
        let [part, material, count] = &row.fields[..] else {
            continue;
        };
        if part.text.is_empty() || material.text.is_empty() {
            let message = "a part or a material is missing";
            problems.push(Diagnostic::error(ids::BAD_FIELD, row.span, message));
            continue;
        }
        let Some(number) = count
            .text
            .parse()
            .ok()
            .filter(|number| *number <= 1_000_000)
        else {
            let message = format!("`{}` is no count", count.text);
            let problem = Diagnostic::error(ids::BAD_FIELD, count.span, message);
            problems.push(problem.help("write a whole number, at most 1000000".to_owned()));
            continue;
        };
        let materials = costs.entry(part.text.clone()).or_default();
        if materials.iter().any(|(known, _)| *known == material.text) {
            let message = format!("the {} of a {} is listed twice", material.text, part.text);
            problems.push(Diagnostic::error(ids::REPEATED_NAME, row.span, message));
        }
        materials.push((material.text.clone(), number));
    }
    (problems.len() == reported).then_some(costs)
}

/// The raw materials of a hall.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Materials {
    /// How much of each.
    pub counts: Counts,
    /// Parts that the table has no costs of.
    pub without_costs: Vec<String>,
}

/// Works out the raw materials for some parts.
#[must_use]
pub fn materials(parts: &Parts, costs: &Costs) -> Materials {
    let mut materials = Materials::default();
    for (part, count) in parts.all() {
        let Some(each) = costs.get(part) else {
            materials.without_costs.push(part.to_owned());
            continue;
        };
        for (material, number) in each {
            *materials.counts.entry(material.clone()).or_default() += number * count;
        }
    }
    materials
}
