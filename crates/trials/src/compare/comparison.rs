//! Puts the runs of all designs together.

use hallwright_core::tick::Tick;
use serde::Serialize;

use super::difference::{Difference, difference_between};
use super::measure::Measurement;
use super::range::{Range, Value, range_of};
use crate::{Case, stop_ticks};
use hallwright_report::RunInput;
use hallwright_report::figures::{Figure, Name, Scope};

/// One of the designs. Its fields are written for programs by their names.
#[derive(Clone, PartialEq, Eq, Debug, Default, Serialize)]
pub struct Design {
    /// What it is called here, unlike any other.
    pub name: String,
    /// Its file.
    pub file: String,
    /// Its variant, if it has one.
    pub variant: Option<String>,
    /// The title of its scenario.
    pub title: String,
    /// The digest of everything that was read for it.
    pub input_digest: String,
}

/// A design and what it did.
#[derive(Clone, PartialEq, Debug)]
pub struct DesignRuns {
    /// The design.
    pub design: Design,
    /// For each case what its run measured, or what broke in it.
    pub runs: Vec<Result<Vec<Measurement>, String>>,
}

/// Several designs, compared.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Comparison {
    /// The version of this program.
    pub version: String,
    /// The designs; all are held against the first.
    pub designs: Vec<Design>,
    /// The cases in which each was run.
    pub cases: Vec<Case>,
    /// In how many more they were to be run, had it not been cut short.
    pub unmade_cases: u64,
    /// Ticks a second of the first design's world.
    pub ticks_per_second: u32,
    /// The figures: by name, then for the whole, then for its pieces.
    pub rows: Vec<Row>,
    /// The designs that function alike, in groups of two or more.
    pub alike: Vec<Alike>,
    /// What cannot be compared, in words.
    pub incomparable: Vec<String>,
    /// Runs that broke.
    pub broken: Vec<BrokenCase>,
}

/// A figure in all designs.
#[derive(Clone, PartialEq, Debug)]
pub struct Row {
    /// The figure.
    pub figure: Figure,
    /// For each design, in their order; `None` where it has no such thing.
    pub cells: Vec<Option<Cell>>,
    /// Whether all designs measured the same in every case.
    pub is_equal: bool,
}

/// A figure in one design.
#[derive(Clone, PartialEq, Debug)]
pub struct Cell {
    /// Best, median and worst over all runs.
    pub range: Range,
    /// The first case with the worst.
    pub worst_case: Case,
    /// How it differs from the first design; `None` for the first, and where the first has none.
    pub difference: Option<Difference>,
}

/// Designs that do the same in every run.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Alike {
    /// The designs, by their places.
    pub designs: Vec<usize>,
    /// In what they differ, for whole designs: rows by their places.
    pub differ_in: Vec<usize>,
}

/// A run that broke an invariant.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct BrokenCase {
    /// The design, by its place.
    pub design: usize,
    /// The run.
    pub case: Case,
    /// What broke.
    pub message: String,
    /// The command that repeats the run.
    pub command: String,
}

impl Comparison {
    /// Whether the designs are the same in every figure of every run, what they cost included.
    #[must_use]
    pub fn is_all_equal(&self) -> bool {
        self.broken.is_empty() && self.rows.iter().all(|row| row.is_equal)
    }

    /// Leaves only figures of these names. Which designs function alike is a matter of all figures, and
    /// is left out.
    pub fn keep(&mut self, names: &[Name]) {
        self.rows.retain(|row| names.contains(&row.figure.name));
        self.alike.clear();
    }

    /// The cell of a figure of one design, if it has such a figure.
    #[must_use]
    pub fn cell(&self, figure: &str, design: &str) -> Option<&Cell> {
        let row = self.rows.iter().find(|row| row.figure.words() == figure)?;
        let place = self.designs.iter().position(|each| each.name == design)?;
        row.cells[place].as_ref()
    }
}

/// The ticks at which the first stop of every design is tried, if none are asked for: those of a check
/// of the design with the longest period, counted from the stop of the first that has one. None if no
/// design has a stop.
#[must_use]
pub fn common_stops(designs: &[RunInput<'_>]) -> Vec<Tick> {
    let mut stopped = designs
        .iter()
        .filter_map(|input| Some((input.network, input.declarations.stops.first()?.at)));
    let Some((_, declared)) = stopped.clone().next() else {
        return Vec::new();
    };
    let each = stopped
        .by_ref()
        .map(|(network, _)| stop_ticks(network, declared));
    // Of equally long ones, the first: they are the same.
    each.reduce(|longest, next| {
        if next.last() > longest.last() {
            next
        } else {
            longest
        }
    })
    .unwrap_or_default()
}

/// Compares designs that were run in these cases, each against the first. `command`: what repeats a
/// run of the design at this place.
///
/// # Panics
///
/// If a design has not one run for each case.
#[must_use]
pub fn compare(
    cases: Vec<Case>,
    designs: Vec<DesignRuns>,
    command: &dyn Fn(usize, &Case) -> String,
) -> Comparison {
    let seeds: Vec<u64> = cases.iter().map(|case| case.seed).collect();
    let mut rows = Vec::new();
    for figure in figures_of(&designs) {
        let values: Vec<Vec<Value>> = designs
            .iter()
            .map(|design| values_of(&figure, design, cases.len()))
            .collect();
        let cells: Vec<Option<Cell>> = values
            .iter()
            .enumerate()
            .map(|(place, own)| {
                let range = range_of(own, figure.name.more_is_better())?;
                let worst = own.iter().position(|value| *value == range.worst)?;
                let against = (place > 0).then(|| difference_between(&values[0], own, &seeds));
                Some(Cell {
                    range,
                    worst_case: cases[worst].clone(),
                    difference: against.flatten(),
                })
            })
            .collect();
        // What no run measured is no figure.
        if cells.iter().any(Option::is_some) {
            let is_equal = values.iter().all(|own| *own == values[0]);
            rows.push((
                Row {
                    figure,
                    cells,
                    is_equal,
                },
                values,
            ));
        }
    }
    let broken = broken_of(&cases, &designs, command);
    let alike = alike_of(designs.len(), &rows, &broken);
    Comparison {
        designs: designs.into_iter().map(|each| each.design).collect(),
        cases,
        rows: rows.into_iter().map(|(row, _)| row).collect(),
        alike,
        broken,
        ..Comparison::default()
    }
}

/// A row with the values of all designs in all cases.
type FullRow = (Row, Vec<Vec<Value>>);

/// Every figure that any design has: by name, then by scope, then as they come.
fn figures_of(designs: &[DesignRuns]) -> Vec<Figure> {
    let mut figures: Vec<Figure> = Vec::new();
    for design in designs {
        let Some(run) = design.runs.iter().flatten().next() else {
            continue;
        };
        for (figure, _) in run {
            if !figures.contains(figure) {
                figures.push(figure.clone());
            }
        }
    }
    figures.sort_by_key(|figure| (figure.name, figure.scope.rank()));
    figures
}

/// What a design measured of a figure in each case.
fn values_of(figure: &Figure, design: &DesignRuns, cases: usize) -> Vec<Value> {
    assert_eq!(design.runs.len(), cases, "each case is run once");
    // All runs of a design measure the same figures in the same order.
    let whole = design.runs.iter().flatten().next();
    let place = whole.and_then(|run| run.iter().position(|(known, _)| known == figure));
    let runs = design.runs.iter();
    runs.map(|run| match (run, place) {
        (Ok(run), Some(place)) => run[place].1,
        _ => Value::Nothing,
    })
    .collect()
}

fn broken_of(
    cases: &[Case],
    designs: &[DesignRuns],
    command: &dyn Fn(usize, &Case) -> String,
) -> Vec<BrokenCase> {
    let mut broken = Vec::new();
    for (place, design) in designs.iter().enumerate() {
        for (case, run) in cases.iter().zip(&design.runs) {
            if let Err(message) = run {
                broken.push(BrokenCase {
                    design: place,
                    case: case.clone(),
                    message: message.clone(),
                    command: command(place, case),
                });
            }
        }
    }
    broken
}

/// Puts designs that function alike into groups.
fn alike_of(designs: usize, rows: &[FullRow], broken: &[BrokenCase]) -> Vec<Alike> {
    let is_broken = |design: usize| broken.iter().any(|broken| broken.design == design);
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for design in (0..designs).filter(|design| !is_broken(*design)) {
        let group = groups
            .iter_mut()
            .find(|group| function_alike(rows, group[0], design));
        match group {
            Some(group) => group.push(design),
            None => groups.push(vec![design]),
        }
    }
    let groups = groups.into_iter().filter(|group| group.len() > 1);
    groups
        .map(|designs| {
            let differs = |(row, values): &FullRow| {
                let first = &values[designs[0]];
                let is_whole = row.figure.scope == Scope::All;
                is_whole && designs.iter().any(|design| values[*design] != *first)
            };
            let places = rows.iter().enumerate();
            let differ_in = places
                .filter(|(_, row)| differs(row))
                .map(|(place, _)| place);
            Alike {
                differ_in: differ_in.collect(),
                designs,
            }
        })
        .collect()
}

/// Whether two designs do the same in every case, in all that says what they do. Single sections are
/// left out where only one of the two has them: a line may be divided in many ways.
fn function_alike(rows: &[FullRow], one: usize, other: usize) -> bool {
    let mut functions = rows.iter().filter(|(row, _)| row.figure.name.is_function());
    functions.all(|(row, values)| {
        let has_both = row.cells[one].is_some() && row.cells[other].is_some();
        let is_beside = !has_both && matches!(row.figure.scope, Scope::Section(_));
        is_beside || values[one] == values[other]
    })
}

#[cfg(test)]
mod tests {
    use hallwright_report::figures::Unit;

    use super::*;

    fn case(stop_at: u64) -> Case {
        Case {
            stop_at: Some(Tick(stop_at)),
            ..Case::as_declared(1)
        }
    }

    fn design(name: &str, cleared: [f64; 3], hoppers: f64) -> DesignRuns {
        let run = |cleared: f64| {
            let figure = |name, unit| Figure {
                name,
                scope: Scope::All,
                unit,
            };
            Ok(vec![
                (figure(Name::HOPPERS, Unit::Hoppers), Value::Number(hoppers)),
                (figure(Name::CLEARED, Unit::Ticks), Value::Number(cleared)),
            ])
        };
        DesignRuns {
            design: Design {
                name: name.to_owned(),
                ..Design::default()
            },
            runs: cleared.map(run).to_vec(),
        }
    }

    fn compared(designs: Vec<DesignRuns>) -> Comparison {
        let cases = [10, 11, 12].map(case).to_vec();
        compare(cases, designs, &|_, _| String::new())
    }

    #[test]
    fn each_run_is_held_against_the_run_of_the_same_case() {
        // Paired, the second is 10 ticks later at one stop and 2 sooner at the others, though both
        // have the same best and the same worst.
        let comparison = compared(vec![
            design("short", [20.0, 30.0, 22.0], 5.0),
            design("long", [30.0, 28.0, 20.0], 5.0),
        ]);
        let cell = comparison.cell("cleared", "long").expect("it was measured");
        let values = [cell.range.best, cell.range.median, cell.range.worst];
        assert_eq!(values, [20.0, 28.0, 30.0].map(Value::Number));
        assert_eq!(cell.worst_case, case(10));
        let difference = cell.difference.expect("it is not the first");
        let span = [difference.least, difference.median, difference.most];
        assert_eq!(span, [-2.0, -2.0, 10.0].map(Some));
        assert!(comparison.alike.is_empty());
        // Names order the rows, not the order of measuring.
        assert_eq!(comparison.rows[0].figure.name, Name::CLEARED);
    }

    #[test]
    fn designs_that_function_alike_may_differ_in_cost() {
        let comparison = compared(vec![
            design("plain", [20.0, 30.0, 22.0], 5.0),
            design("late", [20.0, 30.0, 23.0], 5.0),
            design("dear", [20.0, 30.0, 22.0], 7.0),
        ]);
        let [alike] = comparison.alike.as_slice() else {
            panic!("{:?}", comparison.alike);
        };
        assert_eq!(alike.designs, [0, 2]);
        let differ_in = alike
            .differ_in
            .iter()
            .map(|row| comparison.rows[*row].figure.name);
        assert_eq!(differ_in.collect::<Vec<_>>(), [Name::HOPPERS]);
        assert!(!comparison.is_all_equal());
    }

    #[test]
    fn a_broken_run_is_reported_and_compared_with_nothing() {
        let mut second = design("second", [20.0, 30.0, 22.0], 5.0);
        second.runs[1] = Err("an item too many".to_owned());
        let comparison = compared(vec![design("first", [20.0, 30.0, 22.0], 5.0), second]);
        assert_eq!(comparison.broken.len(), 1);
        assert_eq!(comparison.broken[0].case, case(11));
        let cell = comparison.cell("cleared", "second").expect("two runs");
        assert_eq!(
            cell.difference.map(|found| (found.pairs, found.equal)),
            Some((2, 2))
        );
        assert!(comparison.alike.is_empty() && !comparison.is_all_equal());
    }
}
