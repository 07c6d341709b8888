//! What a check found as annotations: one line a miss, as a workflow command that hosted CI services
//! read and show beside the line of the file.

use super::text::compared_lines;
use hallwright_names as names;
use hallwright_trials::check::{CheckReport, GoalChecked};

/// How many misses are told one by one. Services show ten at most; the last one counts the rest.
const SHOWN: usize = 9;

struct Annotation {
    /// The file and line at fault.
    place: Option<(String, usize)>,
    message: String,
    /// What is shown first: the kind of miss, then how bad it is.
    kind: u8,
    severity: f64,
}

/// One line for each miss, the nine worst first, and then how many more there are.
#[must_use]
pub fn annotations(report: &CheckReport) -> String {
    let mut all = collected(report);
    // Equals stay in the order of checking.
    all.sort_by(|a, b| a.kind.cmp(&b.kind).then(b.severity.total_cmp(&a.severity)));
    let mut text = String::new();
    for annotation in all.iter().take(SHOWN) {
        text.push_str(&line(annotation));
    }
    if all.len() > SHOWN {
        text.push_str(&format!("::error::and {} more\n", all.len() - SHOWN));
    }
    text
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
        let variant = checked.variant.as_ref();
        let variant =
            variant.map_or_else(String::new, |variant| format!("{}: ", names::text(variant)));
        for broken in &checked.fold.broken {
            let message = format!(
                "{variant}an invariant broke: {}; again: {}",
                names::text(&broken.message),
                names::text(&broken.command)
            );
            add(0, 0.0, Some((checked.file.clone(), 1)), message);
        }
        for goal in checked.missed() {
            let place = (checked.file.clone(), goal.line);
            let message = format!("{variant}{}", goal_message(goal, ticks_per_second));
            add(2, goal.worst.severity, Some(place), message);
        }
        if let Some(compared) = checked
            .compared
            .as_ref()
            .filter(|compared| !compared.holds())
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
    let mut lines = vec![format!(
        "{}; missed in {} of {} runs, worst with {}",
        worst.words,
        goal.missed_runs,
        goal.runs,
        worst.case.words(ticks_per_second)
    )];
    if !worst.excess_words.is_empty() {
        lines.push(worst.excess_words.clone());
    }
    lines.extend(worst.causes.iter().cloned());
    lines.push(format!("again: {}", worst.command));
    below_each_other(&lines)
}

fn line(annotation: &Annotation) -> String {
    let place = annotation.place.as_ref();
    let place = place.map_or_else(String::new, |(file, line)| {
        format!(" file={},line={line}", names::annotation_property(file))
    });
    format!(
        "::error{place}::{}\n",
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
