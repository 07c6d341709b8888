//! Plans a storage hall: from a catalogue of goods to slices, a length, a parts list and a scenario.
//!
//! 1. [`catalogue`] and [`hall`] read what is wanted; every mistake is reported with its place.
//! 2. [`allocate`] gives every sort of goods its place, [`fit`] lays the slices out along the hall,
//!    [`sections`] divides their lines so that the hall stops in time, [`sight`] looks at the display.
//! 3. [`write`](mod@write) makes a scenario of it, with tables that its rows read. Loaded again by the
//!    scenario's own crate, it gives the network that [`parts`] counts.
//!
//! Nothing here is left to chance: planned twice, it is byte for byte the same. No file is written
//! either; that is the command's business.

pub mod allocate;
pub mod boxes;
pub mod catalogue;
pub mod fit;
pub mod hall;
pub mod ids;
pub mod parts;
pub mod report;
pub mod schedule;
pub mod sections;
pub mod sight;
pub mod write;
pub mod written;

use hallwright_scenario::Diagnostic;

use allocate::Allocation;
use catalogue::Catalogue;
use fit::{Fit, FittedLine};
use hall::{Hall, Sort};
use sections::Section;

/// A planned hall.
#[derive(Clone, PartialEq, Debug)]
pub struct Plan {
    /// What the scenario is called.
    pub title: String,
    /// The goods.
    pub catalogue: Catalogue,
    /// The hall as it was described.
    pub hall: Hall,
    /// Which goods go into which slice.
    pub allocation: Allocation,
    /// How long the hall is and what is free.
    pub fit: Fit,
    /// The sections of its lines, in the order in which goods pass them.
    pub sections: Vec<Section>,
}

impl Plan {
    /// The line of a sort.
    #[must_use]
    pub fn line(&self, sort: Sort) -> Option<&FittedLine> {
        self.fit.lines.iter().find(|line| line.sort == sort)
    }
}

/// One file of a planned hall.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PlannedFile {
    /// Its name.
    pub name: &'static str,
    /// Its text.
    pub text: String,
}

/// The file with the scenario itself.
pub const SCENARIO_FILE: &str = "scenario.ron";

/// Plans a hall. `None` if the goods do not fit, which is reported; so is whatever is worth a warning.
pub fn plan(
    title: String,
    catalogue: Catalogue,
    hall: Hall,
    problems: &mut Vec<Diagnostic>,
) -> Option<Plan> {
    let allocation = allocate::allocate(&catalogue, &hall, problems)?;
    let fit = fit::fit(&allocation, &hall, problems)?;
    let sections = sections::sections(&fit, &hall, problems);
    Some(Plan {
        title,
        catalogue,
        hall,
        allocation,
        fit,
        sections,
    })
}

/// The scenario of a plan, with the files that it reads.
#[must_use]
pub fn scenario_files(plan: &Plan) -> Vec<PlannedFile> {
    let schedule = schedule::schedule(plan);
    let file = |name, text| PlannedFile { name, text };
    vec![
        file(SCENARIO_FILE, write::scenario(plan, &schedule)),
        file("allocation.csv", write::allocation(plan)),
        file("arrivals.csv", write::arrivals(plan, &schedule)),
        file("modules.ron", write::MODULES.to_owned()),
    ]
}
