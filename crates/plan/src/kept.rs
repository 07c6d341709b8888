//! A hall that is there already: which kinds lie where, as the table of an earlier plan says.

use std::collections::BTreeMap;
use std::path::Path;

use hallwright_scenario::Diagnostic;
use hallwright_scenario::placed_table::{PlacedText, read_placed_table};
use hallwright_scenario::source::{Sources, Span};

use crate::hall::{Hall, Sort};
use crate::ids;
use crate::written::Written;

/// So many places a line may have.
const MOST_PLACES: usize = 100_000;

/// What lies where in a hall that is to be continued, and what may move there.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Kept {
    /// For each sort its places, in the order of the line, from number 1 on; what is left out is a place,
    /// too.
    pub lines: [Vec<KeptPlace>; 3],
    /// The kinds that are to move.
    pub moving: Vec<String>,
    /// How long its rows are, in blocks, if that is known.
    pub length_blocks: Option<u64>,
}

/// One place of a line.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct KeptPlace {
    /// Its kinds, in the order of their filters.
    pub kinds: Vec<String>,
    /// The row; `None` if the table has no row for it.
    pub span: Option<Span>,
}

impl Kept {
    /// The sort of slice in which a kind lies, and the numbers of its places, from 1.
    #[must_use]
    pub fn places_of(&self, kind: &str) -> Option<(Sort, Vec<u64>)> {
        Sort::ALL.into_iter().find_map(|sort| {
            let places = self.lines[sort.index()].iter().zip(1..);
            let with = places.filter(|(place, _)| place.kinds.iter().any(|own| own == kind));
            let numbers: Vec<u64> = with.map(|(_, number)| number).collect();
            (!numbers.is_empty()).then_some((sort, numbers))
        })
    }

    /// A hall with rows as long as they were; `None` if that is not known, or the hall says how long they are.
    #[must_use]
    pub fn as_long(&self, hall: &Hall) -> Option<Hall> {
        let span = hall.slices.iter().flatten().next()?.span;
        let value = self.length_blocks?;
        let mut hall = hall.clone();
        if hall.length_blocks.is_some() {
            return None;
        }
        hall.length_blocks = Some(Written { value, span });
        Some(hall)
    }

    /// All kinds, each once, in the order of the lines.
    #[must_use]
    pub fn kinds(&self) -> Vec<&str> {
        let all = self.lines.iter().flatten().flat_map(|place| &place.kinds);
        let mut kinds: Vec<&str> = Vec::new();
        let mut known = std::collections::BTreeSet::new();
        for kind in all {
            if known.insert(kind) {
                kinds.push(kind);
            }
        }
        kinds
    }
}

/// How long the rows of a hall are, as its report for programs says; `None` if it does not.
#[must_use]
pub fn length_in_report(report: &str) -> Option<u64> {
    let report: serde_json::Value = serde_json::from_str(report).ok()?;
    report.get("length_blocks")?.as_u64()
}

/// Reads an allocation. `None` if anything is wrong with it; all mistakes are reported.
pub fn read_kept(
    path: &Path,
    sources: &mut Sources,
    problems: &mut Vec<Diagnostic>,
) -> Option<Kept> {
    let reported = problems.len();
    let table = read_placed_table(path, sources, problems)?;
    let columns = ["section", "slice", "kinds"].map(|name| {
        let found = table.column(name);
        if found.is_none() {
            let message = format!("an allocation has a column `{name}`, and this table has none");
            let span = table.columns.first().map(|column| column.span);
            let problem = match span {
                Some(span) => Diagnostic::error(ids::NO_ALLOCATION, span, message),
                None => Diagnostic::general(ids::NO_ALLOCATION, message),
            };
            let help = "name the folder of a planned hall, or its allocation.csv".to_owned();
            problems.push(problem.help(help));
        }
        found
    });
    let [Some(section), Some(slice), Some(kinds)] = columns else {
        return None;
    };
    let mut kept = Kept::default();
    for row in &table.rows {
        let sort = read_sort(&row.fields[section], problems);
        let number = read_number(&row.fields[slice], problems);
        let (Some(sort), Some(number)) = (sort, number) else {
            continue;
        };
        let line = &mut kept.lines[sort.index()];
        if line.len() < number {
            line.resize(number, KeptPlace::default());
        }
        let place = &mut line[number - 1];
        if let Some(earlier) = place.span {
            let message = format!("slice {number} of `{}` is there twice", sort.name());
            let problem = Diagnostic::error(ids::NO_ALLOCATION, row.fields[slice].span, message);
            problems.push(problem.context(earlier, "first here"));
            continue;
        }
        place.span = Some(row.span);
        let names = row.fields[kinds].text.split(';').map(str::trim);
        for name in names.filter(|name| !name.is_empty()) {
            if place.kinds.iter().any(|known| known == name) {
                let message = format!("`{name}` is in this slice twice");
                let span = row.fields[kinds].span;
                problems.push(Diagnostic::error(ids::IN_TWO_PLACES, span, message));
                continue;
            }
            place.kinds.push(name.to_owned());
        }
    }
    check_places(&kept, problems);
    if problems.len() == reported && kept.lines.iter().all(Vec::is_empty) {
        let message = format!("`{}` has no slices", path.display());
        let problem = Diagnostic::general(ids::NO_ALLOCATION, message);
        problems.push(problem.help("plan without `--keep`, or name another hall".to_owned()));
    }
    (problems.len() == reported).then_some(kept)
}

/// The sort of a section, which its name begins with.
fn read_sort(field: &PlacedText, problems: &mut Vec<Diagnostic>) -> Option<Sort> {
    let first = field.text.split_whitespace().next().unwrap_or_default();
    let sort = Sort::ALL.into_iter().find(|sort| sort.name() == first);
    if sort.is_none() {
        let message = format!("`{}` is no section of a planned hall", field.text);
        let problem = Diagnostic::error(ids::NO_ALLOCATION, field.span, message);
        let help = "sections are called `bulk 1`, `multi 2` or `oddments 1`".to_owned();
        problems.push(problem.help(help));
    }
    sort
}

/// The number of a slice, from 1.
fn read_number(field: &PlacedText, problems: &mut Vec<Diagnostic>) -> Option<usize> {
    let number = field.text.parse().ok();
    let number = number.filter(|number| (1..=MOST_PLACES).contains(number));
    if number.is_none() {
        let message = format!("`{}` is no number of a slice", field.text);
        let problem = Diagnostic::error(ids::NO_ALLOCATION, field.span, message);
        problems.push(problem.help(format!("write a whole number, from 1 to {MOST_PLACES}")));
    }
    number
}

/// Reports kinds that are in slices of two sorts, or in slices that do not stand next to one another.
fn check_places(kept: &Kept, problems: &mut Vec<Diagnostic>) {
    // Where a kind was seen last: the sort and the number from 0.
    let mut seen: BTreeMap<&str, (Sort, usize)> = BTreeMap::new();
    for sort in Sort::ALL {
        let line = &kept.lines[sort.index()];
        for (at, place) in line.iter().enumerate() {
            for kind in &place.kinds {
                let Some((other, before)) = seen.insert(kind, (sort, at)) else {
                    continue;
                };
                // What is left out between them does not part them, and has no kinds.
                let is_between = |place: &KeptPlace| place.kinds.is_empty();
                if other == sort && line[before + 1..at].iter().all(is_between) {
                    continue;
                }
                let message = format!(
                    "`{kind}` lies in slice {} of `{}`, too, which is not beside this one",
                    before + 1,
                    other.name()
                );
                let problem = match place.span {
                    Some(span) => Diagnostic::error(ids::IN_TWO_PLACES, span, message),
                    None => Diagnostic::general(ids::IN_TWO_PLACES, message),
                };
                let help = "leave it in one of them, or in slices next to one another";
                problems.push(problem.help(help.to_owned()));
            }
        }
    }
}
