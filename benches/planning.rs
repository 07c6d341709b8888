//! How long it takes to plan a large hall: from the catalogue to every file of the hall, without running it.

use std::fmt::Write as _;
use std::path::PathBuf;

use hallwright_plan::catalogue::read_catalogue;
use hallwright_plan::hall::hall;
use hallwright_plan::kept::{Kept, read_kept};
use hallwright_plan::{Plan, PlannedFile, continued, scenario_files};
use hallwright_scenario::Sources;
use tempfile::TempDir;

use crate::case::{Case, Runner};

/// How many kinds the catalogue has.
const KINDS: u64 = 2000;

/// A new hall in the default hall's shape; one in which some kinds wish for a side; and one that is continued with ten
/// kinds more.
pub(crate) fn planning(runner: &mut impl Runner) {
    runner.case("new/plan_2000", || Planning::new(KINDS, false));
    runner.case("sides/plan_2000", || Planning::new(KINDS, true));
    runner.case("keep/plan_2000", || {
        let before = Planning::new(KINDS - 10, false);
        Planning {
            kept: Some(before.as_kept()),
            ..Planning::new(KINDS, false)
        }
    });
}

/// Plans a hall for a catalogue.
struct Planning {
    catalogue: PathBuf,
    kept: Option<Kept>,
    folder: TempDir,
}

impl Planning {
    /// For so many kinds, every eighth of which may wish for a side.
    fn new(kinds: u64, with_sides: bool) -> Self {
        let folder = tempfile::tempdir().expect("a folder for the catalogue can be made");
        let catalogue = folder.path().join("goods.csv");
        std::fs::write(&catalogue, rows(kinds, with_sides)).expect("the catalogue can be written");
        Self {
            catalogue,
            kept: None,
            folder,
        }
    }

    /// What it has planned, to be continued.
    fn as_kept(&self) -> Kept {
        let plan = self.plan();
        let files = scenario_files(&plan);
        let allocation = files.iter().find(|file| file.name == "allocation.csv");
        let path = self.folder.path().join("allocation.csv");
        let text = &allocation.expect("it is planned").text;
        std::fs::write(&path, text).expect("the allocation can be written");
        let (mut sources, mut problems) = (Sources::default(), Vec::new());
        let kept = read_kept(&path, &mut sources, &mut problems);
        Kept {
            length_blocks: Some(plan.layout.length_blocks),
            ..kept.unwrap_or_else(|| panic!("{problems:?}"))
        }
    }

    fn plan(&self) -> Plan {
        let (mut sources, mut problems) = (Sources::default(), Vec::new());
        let catalogue = read_catalogue(&self.catalogue, &mut sources, &mut problems);
        let hall = hall(None, &mut sources, &mut problems);
        let read = catalogue.zip(hall);
        let plan = read.and_then(|(catalogue, hall)| {
            let title = "Millbrook Granary, all of it".to_owned();
            continued(title, catalogue, hall, self.kept.as_ref(), &mut problems)
        });
        plan.unwrap_or_else(|| panic!("{problems:?}"))
    }
}

/// A catalogue: of most kinds there is little, and of each twentieth very much.
fn rows(kinds: u64, with_sides: bool) -> String {
    let mut rows = String::from("name, stack_limit, amount, inflow_per_hour, family, wish\n");
    for number in 0..kinds {
        let stack_limit = [64, 64, 16, 1][number as usize * 7 / 3 % 4];
        let stacks = match number % 20 {
            0 => 1 + number * 37 % 900,
            _ => 1 + number * 13 % 17,
        };
        let (amount, inflow) = (stacks * stack_limit, number * number % 9);
        let family = number * 11 % 150;
        let wish = match number % 8 {
            0 if with_sides => "automatic side 1",
            1 if with_sides => "automatic side 2",
            _ => "",
        };
        let _ = writeln!(
            rows,
            "kind {number}, {stack_limit}, {amount}, {inflow}, family {family}, {wish}"
        );
    }
    rows
}

impl Case for Planning {
    type Input = ();
    type Output = Vec<PlannedFile>;

    fn prepare(&self) {}

    fn run(&self, (): &mut ()) -> Self::Output {
        scenario_files(&self.plan())
    }

    fn amount(&self) -> u64 {
        KINDS
    }

    fn unit(&self) -> &'static str {
        "kinds"
    }
}
