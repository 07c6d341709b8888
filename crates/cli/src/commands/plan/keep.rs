//! The hall that is continued: which files of it are read, and which of them may be replaced.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use hallwright_plan::SCENARIO_FILE;
use hallwright_plan::kept::{Kept, length_in_report, read_kept};
use hallwright_plan::parts::{Parts, parts_of};
use hallwright_plan::stamp::{REPORT_FILE, is_unedited, read_digests};
use hallwright_scenario::{Diagnostic, LoadOptions, Sources, load};

use crate::flags::PlanFlags;

/// The table of a planned hall that says what lies where.
const ALLOCATION_FILE: &str = "allocation.csv";

/// The hall that is continued.
pub(super) struct KeptHall {
    /// What lies where in it.
    pub(super) kept: Kept,
    /// The table that says so.
    pub(super) allocation: PathBuf,
    /// Its folder.
    folder: PathBuf,
    /// Whether the folder was named, and not the table alone.
    is_folder: bool,
}

impl KeptHall {
    /// Reads what the flags name. `None` if anything is wrong with it, which is reported; nothing if they
    /// name none.
    pub(super) fn read(
        flags: &PlanFlags,
        sources: &mut Sources,
        problems: &mut Vec<Diagnostic>,
    ) -> Option<Option<Self>> {
        let Some(path) = &flags.keep else {
            return Some(None);
        };
        let is_folder = path.is_dir();
        let allocation = match is_folder {
            true => path.join(ALLOCATION_FILE),
            false => path.clone(),
        };
        let kept = read_kept(&allocation, sources, problems)?;
        let folder = match is_folder {
            true => path.clone(),
            false => path.parent().map_or_else(PathBuf::new, Path::to_path_buf),
        };
        let report = fs::read_to_string(folder.join(REPORT_FILE)).ok();
        Some(Some(Self {
            kept: Kept {
                moving: flags.moving.clone(),
                length_blocks: report.and_then(|report| length_in_report(&report)),
                ..kept
            },
            allocation,
            folder,
            is_folder,
        }))
    }

    /// The parts of the hall as it is; `None` if its folder was not named, or its scenario is of no use.
    pub(super) fn parts(&self) -> Option<Parts> {
        if !self.is_folder {
            return None;
        }
        let path = self.scenario();
        let scenario = load(&path, &LoadOptions::default()).scenario;
        if scenario.is_none() {
            note!(
                "note: `{}` cannot be run, so the report does not show which parts to bring",
                path.display()
            );
        }
        let scenario = scenario?;
        Some(parts_of(&scenario.network, &scenario.declarations))
    }

    /// Its scenario.
    pub(super) fn scenario(&self) -> PathBuf {
        self.folder.join(SCENARIO_FILE)
    }

    /// Whether a hall that is written to a folder takes the place of this one.
    pub(super) fn is_replaced_by(&self, folder: &Path) -> bool {
        let there = |path: &Path| {
            let path = match path.as_os_str().is_empty() {
                true => Path::new("."),
                false => path,
            };
            fs::canonicalize(path).ok()
        };
        let own = there(&self.folder);
        own.is_some() && own == there(folder)
    }
}

/// The digests of the files of a folder, as they were when its report was written.
pub(super) struct Written(BTreeMap<String, String>);

impl Written {
    /// Of a folder; without a report that nobody has edited nothing is known.
    pub(super) fn of(folder: &Path) -> Self {
        let report = fs::read_to_string(folder.join(REPORT_FILE));
        Self(report.map_or_else(|_| BTreeMap::new(), |text| read_digests(&text)))
    }

    /// Nothing is known of any file.
    pub(super) fn unknown() -> Self {
        Self(BTreeMap::new())
    }

    /// Whether anything is known.
    pub(super) fn is_known(&self) -> bool {
        !self.0.is_empty()
    }

    /// Whether a file is as it was written.
    pub(super) fn is_unedited(&self, name: &str, bytes: &[u8]) -> bool {
        std::str::from_utf8(bytes).is_ok_and(|text| is_unedited(&self.0, name, text))
    }
}
