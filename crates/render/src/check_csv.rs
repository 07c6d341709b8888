//! What a check found, as comma-separated values (RFC 4180): a line for each thing that was judged, and for each
//! that could not be.

use csv::Writer;
use serde::Serialize;

use hallwright_names::csv_cell;
use hallwright_trials::check::{CheckReport, Checked, GoalChecked};
use hallwright_trials::{Case, order_words};

/// A line. What does not apply is empty.
#[derive(Serialize, Default)]
struct Row {
    file: String,
    variant: String,
    line: Option<usize>,
    subject: String,
    question: &'static str,
    verdict: &'static str,
    is_ok: bool,
    runs: Option<u64>,
    missed_runs: Option<u64>,
    worst_update_order: String,
    worst_signal_order: String,
    worst_seed: Option<u64>,
    worst_stop_at_tick: Option<u64>,
    words: String,
    command: String,
    input_digest: String,
}

/// A line for each goal and for each thing that is judged anyway, as it came off in its worst run. Runs that
/// broke or were not made, recorded figures, what is left, and files that could not be used have a line of their own.
#[must_use]
pub fn check_csv(report: &CheckReport) -> String {
    let checked = report.checked.iter().flat_map(rows);
    let problems = report.problems.iter();
    let problems = problems.map(|problem| (&problem.file, problem.message.as_str(), problem.line));
    let empty = report.empty.iter();
    let empty = empty.map(|path| (path, "there is nothing to check", None));
    let files = problems.chain(empty).map(|(file, words, line)| Row {
        file: cell(file),
        line,
        subject: "file".to_owned(),
        words: cell(words),
        ..Row::default()
    });
    let mut table = Writer::from_writer(Vec::new());
    for row in checked.chain(files) {
        // Writing to memory cannot fail.
        let _ = table.serialize(row);
    }
    let bytes = table.into_inner().unwrap_or_default();
    String::from_utf8_lossy(&bytes).into_owned()
}

/// The lines of a scenario in one variant.
fn rows(checked: &Checked) -> Vec<Row> {
    let goals = checked.fold.goals.iter();
    let mut rows: Vec<Row> = goals.map(|goal| goal_row(checked, goal)).collect();
    rows.extend(checked.fold.broken.iter().map(|broken| Row {
        command: cell(&broken.command),
        ..of_case(row(checked, "run", &broken.message, false), &broken.case)
    }));
    rows.extend(checked.unmade().map(|(what, unmade)| {
        let words = format!("cut short: {unmade} not made");
        row(checked, what, &words, false)
    }));
    if let Some(compared) = &checked.compared {
        let words = match compared.is_ok() {
            true => String::new(),
            false => format!("not as in {}", compared.file),
        };
        rows.push(row(checked, "recorded figures", &words, compared.is_ok()));
    }
    if let Some(left) = &checked.leave {
        rows.push(row(checked, "left", "", left.is_ok()));
    }
    rows
}

fn row(checked: &Checked, subject: &str, words: &str, is_ok: bool) -> Row {
    Row {
        file: cell(&checked.file),
        variant: cell(checked.variant.as_deref().unwrap_or_default()),
        subject: cell(subject),
        is_ok,
        words: cell(words),
        input_digest: checked.input_digest.clone(),
        ..Row::default()
    }
}

fn goal_row(checked: &Checked, goal: &GoalChecked) -> Row {
    let worst = &goal.worst;
    let row = row(checked, &goal.subject, &worst.words, goal.is_ok());
    Row {
        line: goal.line,
        question: worst.verdict.question.key(),
        verdict: goal.ruling().key(),
        runs: Some(goal.runs),
        missed_runs: Some(goal.missed_runs),
        command: cell(&worst.command),
        ..of_case(row, &worst.case)
    }
}

/// The same with the run that it is about.
fn of_case(row: Row, case: &Case) -> Row {
    Row {
        worst_update_order: order_words(&case.orders.update),
        worst_signal_order: order_words(&case.orders.signal),
        worst_seed: Some(case.seed),
        worst_stop_at_tick: case.stop_at.map(|tick| tick.0),
        ..row
    }
}

/// A name as a cell.
fn cell(name: &str) -> String {
    csv_cell(name).into_owned()
}
