//! How the lines are divided, so that the hall stops in time.

use hallwright_scenario::Diagnostic;

use crate::fit::{Fit, FittedLine};
use crate::hall::{Hall, Slice, Sort};
use crate::ids;

/// An item needs at most so long for one hopper of a line (tick rules, section 4).
const TICKS_A_HOPPER: u64 = 8;

/// From the stop until the last lock is on, without the time to run out: an inverter to halt the
/// head, a hold, an inverter for the locks, a pulse in the filters.
const SIGNAL_TICKS: u64 = 10;

/// A stretch of a line with a buffer, a head and locks of its own.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Section {
    /// Its name, such as `multi 2`.
    pub name: String,
    /// The sort of its slices.
    pub sort: Sort,
    /// The number of its first place, from 0 along the line.
    pub first: usize,
    /// How many places it has.
    pub places: usize,
    /// How long its hoppers stay unlocked after its permit is off.
    pub run_on_ticks: u64,
    /// How many hoppers its line has.
    pub line_hoppers: u64,
}

impl Section {
    /// The time from a stop until it is safe to close, at most.
    #[must_use]
    pub fn stop_ticks(&self) -> u64 {
        self.run_on_ticks + SIGNAL_TICKS
    }
}

/// Divides the lines into sections: as many as are laid down, or as few as stop in time. A stop that
/// takes longer than wished is warned of.
pub fn sections(fit: &Fit, hall: &Hall, problems: &mut Vec<Diagnostic>) -> Vec<Section> {
    let mut sections = Vec::new();
    for line in &fit.lines {
        let Some(slice) = hall.slice(line.sort) else {
            continue;
        };
        let own = match slice.sections {
            Some(count) => divided(line, slice, count),
            None => (1..=line.places.len().max(1) as u64)
                .map(|count| divided(line, slice, count))
                .find(|sections| slowest(sections) <= hall.stop_within_ticks)
                .unwrap_or_else(|| divided(line, slice, line.places.len() as u64)),
        };
        let ticks = slowest(&own);
        if ticks > hall.stop_within_ticks {
            let message = format!(
                "a stop of the slices `{}` takes up to {ticks} ticks, and {} are wished",
                line.sort.name(),
                hall.stop_within_ticks
            );
            let problem = Diagnostic::warning(ids::SLOW_STOP, slice.span, message);
            let help = "divide them into more `sections`, or allow more time with `stop_within`";
            problems.push(problem.help(help.to_owned()));
        }
        sections.extend(own);
    }
    sections
}

/// The longest stop of some sections.
fn slowest(sections: &[Section]) -> u64 {
    sections.iter().map(Section::stop_ticks).max().unwrap_or(0)
}

/// A line in so many sections, as even as can be, the longer ones first.
fn divided(line: &FittedLine, slice: &Slice, count: u64) -> Vec<Section> {
    let places = line.places.len();
    let count = usize::try_from(count).unwrap_or(usize::MAX).min(places);
    let mut first = 0;
    (0..count)
        .map(|number| {
            let own = places / count + usize::from(number < places % count);
            let line_hoppers = own as u64 * slice.line_hoppers();
            let section = Section {
                name: format!("{} {}", line.sort.name(), number + 1),
                sort: line.sort,
                first,
                places: own,
                run_on_ticks: line_hoppers * TICKS_A_HOPPER + down_ticks(slice),
                line_hoppers,
            };
            first += own;
            section
        })
        .collect()
}

/// How long goods need from the end of the line down into the last chest: each hopper takes 7 ticks
/// and may be up to 8 ticks late.
fn down_ticks(slice: &Slice) -> u64 {
    let filter_hoppers = 3;
    (filter_hoppers + slice.levels() - 1) * 15 + 15
}
