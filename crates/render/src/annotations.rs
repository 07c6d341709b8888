//! What a check found as annotations: one line a miss, as a workflow command that hosted CI services
//! read and show beside the line of the file; and a notice for what a file allows or what is not
//! finished. What no goal asks stands at the first line. The message names the part concerned, with its file and line.

use super::text::{compared_lines, leave_lines};
use hallwright_names as names;
use hallwright_trials::check::{CheckReport, Checked, GoalChecked};

/// How many misses are reported one by one, and how many notices. Services show ten of each at most; the
/// last one counts the rest.
const SHOWN: usize = 9;

struct Annotation {
    /// The file and line at fault.
    place: Option<(String, usize)>,
    message: String,
    /// What is shown first: the kind of miss, then how bad it is.
    kind: u8,
    severity: f64,
}

/// One line for each miss, the nine worst first, and then how many more there are; and notices behind
/// them.
#[must_use]
pub fn annotations(report: &CheckReport) -> String {
    let mut all = collected(report);
    // Equals stay in the order of checking.
    all.sort_by(|a, b| a.kind.cmp(&b.kind).then(b.severity.total_cmp(&a.severity)));
    let mut text = String::new();
    lines(&mut text, "error", &all);
    lines(&mut text, "notice", &notices(report));
    text
}

fn lines(text: &mut String, command: &str, all: &[Annotation]) {
    for annotation in all.iter().take(SHOWN) {
        text.push_str(&line(command, annotation));
    }
    if all.len() > SHOWN {
        text.push_str(&format!("::{command}::and {} more\n", all.len() - SHOWN));
    }
}

/// What held with an exception of the file or not to its end.
fn notices(report: &CheckReport) -> Vec<Annotation> {
    let mut all = Vec::new();
    for checked in &report.checked {
        all.extend(checked.held_with_a_word().map(|goal| {
            let words = format!("{}: {}", goal.ruling().words(), goal.worst.words);
            Annotation {
                place: Some((checked.file.clone(), goal.line.unwrap_or(1))),
                message: format!("{}{}", variant_words(checked), names::text(&words)),
                kind: 0,
                severity: 0.0,
            }
        }));
    }
    all
}

fn variant_words(checked: &Checked) -> String {
    let variant = checked.variant.as_ref();
    variant.map_or_else(String::new, |variant| format!("{}: ", names::text(variant)))
}

fn collected(report: &CheckReport) -> Vec<Annotation> {
    let mut all = Vec::new();
    let mut add = |kind, severity, place, message| {
        all.push(Annotation {
            place,
            message,
            kind,
            severity,
        });
    };
    for problem in &report.problems {
        let place = (problem.file.clone(), problem.line.unwrap_or(1));
        let kind = if problem.is_orphan { 3 } else { 1 };
        add(kind, 0.0, Some(place), problem.message.clone());
    }
    for path in &report.empty {
        add(4, 0.0, None, format!("there is nothing to check in {path}"));
    }
    for checked in &report.checked {
        let ticks_per_second = checked.fold.ticks_per_second.max(1);
        let variant = variant_words(checked);
        for broken in &checked.fold.broken {
            let message = format!(
                "{variant}an invariant broke: {}; again: {}",
                names::text(&broken.message),
                names::text(&broken.command)
            );
            add(0, 0.0, Some((checked.file.clone(), 1)), message);
        }
        for goal in checked.missed() {
            let place = (checked.file.clone(), goal.line.unwrap_or(1));
            let message = format!("{variant}{}", goal_message(goal, ticks_per_second));
            add(2, goal.worst.severity, Some(place), message);
        }
        for (_, unmade) in checked.unmade() {
            let message = format!("{variant}cut short: {unmade} not made");
            add(4, 0.0, Some((checked.file.clone(), 1)), message);
        }
        for left in checked.leave.iter().filter(|left| !left.is_ok_so_far()) {
            let place = (checked.file.clone(), 1);
            let lines = leave_lines(left);
            let message = format!("{variant}{}", below_each_other(&lines));
            let kind = if left.is_broken() { 0 } else { 2 };
            add(kind, f64::INFINITY, Some(place), message);
        }
        if let Some(compared) = checked
            .compared
            .as_ref()
            .filter(|compared| !compared.is_ok())
        {
            let lines = compared_lines(compared, ticks_per_second);
            let message = format!("{variant}{}", below_each_other(&lines));
            add(3, 0.0, Some((compared.file.clone(), 1)), message);
        }
    }
    all
}

fn goal_message(goal: &GoalChecked, ticks_per_second: u32) -> String {
    let worst = &goal.worst;
    let asked = match goal.is_judged_anyway() {
        true => format!(" ({})", goal.place_words()),
        false => String::new(),
    };
    let mut lines = vec![format!(
        "{}{asked}; {} in {} of {} runs, worst with {}",
        worst.words,
        goal.ruling().words(),
        goal.missed_runs,
        goal.runs,
        worst.case.words(ticks_per_second)
    )];
    if !worst.excess_words.is_empty() {
        lines.push(worst.excess_words.clone());
    }
    let at = worst.part.iter();
    lines.extend(at.map(|at| format!("at {}, {}:{}", at.part, at.file, at.line)));
    lines.extend(worst.causes.iter().cloned());
    lines.push(format!("again: {}", worst.command));
    below_each_other(&lines)
}

fn line(command: &str, annotation: &Annotation) -> String {
    let place = annotation.place.as_ref();
    let place = place.map_or_else(String::new, |(file, line)| {
        format!(" file={},line={line}", names::annotation_property(file))
    });
    format!(
        "::{command}{place}::{}\n",
        names::annotation(&annotation.message)
    )
}

/// Lines one below the other, in none of which a name begins a further one.
fn below_each_other(lines: &[String]) -> String {
    let lines = lines.iter().map(|line| names::text(line));
    lines.collect::<Vec<_>>().join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;
    use hallwright_trials::check::Problem;

    #[test]
    fn what_has_a_meaning_in_the_command_is_escaped() {
        let report = CheckReport {
            problems: vec![Problem {
                file: "a,b:c.ron".to_owned(),
                line: Some(7),
                message: "100 % wrong,\nhere: x".to_owned(),
                is_orphan: false,
            }],
            ..CheckReport::default()
        };
        assert_eq!(
            annotations(&report),
            "::error file=a%2Cb%3Ac.ron,line=7::100 %25 wrong,%0Ahere: x\n"
        );
    }

    #[test]
    fn ten_are_not_shown_one_by_one() {
        let problem = |number| Problem {
            file: format!("{number}.ron"),
            line: None,
            message: "wrong".to_owned(),
            is_orphan: false,
        };
        let with = |many: u32| {
            annotations(&CheckReport {
                problems: (0..many).map(problem).collect(),
                ..CheckReport::default()
            })
        };
        assert_eq!(with(9).lines().count(), 9);
        assert_eq!(with(12).lines().count(), 10);
        assert!(with(12).ends_with("\n::error::and 3 more\n"));
    }
}
