//! What was measured of each case, from criterion's own estimates.

use std::path::Path;
use std::time::SystemTime;

use serde::Deserialize;

use crate::case::Memory;

/// Criterion's estimate of how long one run takes, in nanoseconds: the median of the samples, and the
/// ends of its interval of 95 % confidence.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Estimate {
    /// The median.
    pub(crate) median: f64,
    /// The lower end.
    pub(crate) lower: f64,
    /// The upper end.
    pub(crate) upper: f64,
}

/// What was measured of one case.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Figure {
    /// How long one run takes.
    pub(crate) run: Estimate,
    /// How much one run does.
    pub(crate) amount: u64,
    /// What the amount counts.
    pub(crate) unit: &'static str,
    /// How many ticks of the world one run takes; 0 if that says nothing.
    pub(crate) ticks: u64,
    /// What it takes up in memory.
    pub(crate) memory: Option<Memory>,
}

impl Figure {
    /// Nanoseconds for each move, or whatever else the amount counts; `None` if there is none.
    pub(crate) fn each(&self) -> Option<f64> {
        (self.amount > 0).then(|| self.run.median / self.amount as f64)
    }
}

/// What was measured, in the order of measuring.
#[derive(Default)]
pub(crate) struct Figures(Vec<(String, Figure)>);

impl Figures {
    /// Adds what was measured of one case.
    pub(crate) fn add(&mut self, id: &str, figure: Figure) {
        self.0.push((id.to_owned(), figure));
    }

    /// What was measured of a case; `None` if it was not.
    pub(crate) fn get(&self, id: &str) -> Option<&Figure> {
        self.0
            .iter()
            .find(|(of, _)| of == id)
            .map(|(_, figure)| figure)
    }

    /// All.
    pub(crate) fn iter(&self) -> impl Iterator<Item = (&str, &Figure)> {
        self.0.iter().map(|(id, figure)| (id.as_str(), figure))
    }
}

/// A file of criterion's.
#[derive(Deserialize)]
struct File {
    median: Statistic,
}

#[derive(Deserialize)]
struct Statistic {
    point_estimate: f64,
    confidence_interval: Interval,
}

#[derive(Deserialize)]
struct Interval {
    lower_bound: f64,
    upper_bound: f64,
}

/// Reads what criterion has written about a case since `began`; `None` if it has written nothing.
pub(crate) fn estimate(folder: &Path, id: &str, began: SystemTime) -> Option<Estimate> {
    let path = folder.join(id).join("new").join("estimates.json");
    let written = path.metadata().and_then(|file| file.modified()).ok()?;
    if written < began {
        return None;
    }
    let text = std::fs::read_to_string(path).ok()?;
    let File { median } = serde_json::from_str(&text).ok()?;
    Some(Estimate {
        median: median.point_estimate,
        lower: median.confidence_interval.lower_bound,
        upper: median.confidence_interval.upper_bound,
    })
}
