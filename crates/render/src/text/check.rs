//! What a check found, for people: a line each where all is well, more where it is not.

use std::collections::BTreeSet;

use super::page::Page;
use super::{leave, margin, sweep};
use hallwright_report::units::{count, time};
use hallwright_report::verdicts::Ruling;
use hallwright_trials::check::{CheckOutcome, CheckReport, Checked, Compared, GoalChecked, Moved};
use hallwright_words::built;

/// The words that say how it went, and the room they take.
const LABEL: usize = 8;
/// How many moved figures are shown.
const MOVED: usize = 10;

/// What a check found as text of this width.
#[must_use]
pub fn check_text(report: &CheckReport, width_columns: u16) -> String {
    let mut page = Page::new(width_columns);
    for checked in &report.checked {
        write(&mut page, checked);
    }
    for problem in &report.problems {
        let place = problem
            .line
            .map_or_else(String::new, |line| format!(":{line}"));
        let label = if problem.is_orphan { "missed" } else { "error" };
        page.labelled(
            label,
            LABEL,
            &format!("{}{place}: {}", problem.file, problem.message),
        );
    }
    for path in &report.empty {
        page.labelled("nothing", LABEL, &format!("to check in {path}"));
    }
    for file in &report.module_files {
        page.labelled("modules", LABEL, &format!("{file}: no scenario, not run"));
    }
    for file in &report.recorded {
        page.labelled("wrote", LABEL, file);
    }
    page.blank();
    page.line(&summary(report));
    // What each was run in is not known of one that was cut short.
    if report.checked.iter().all(|each| each.unmade_runs == 0) {
        let tried = [orders_tried(report), moments_tried(report)];
        tried.iter().flatten().for_each(|tried| page.line(tried));
    }
    page.finish()
}

/// In how many orders each was run; the same for all.
fn orders_tried(report: &CheckReport) -> Option<String> {
    let orders = report.checked.first()?.fold.orders;
    Some(format!("Each was run in {}.", orders.words()))
}

/// At how few stop ticks a stop was tried, where no range of them was asked for: a worse one may go unseen.
fn moments_tried(report: &CheckReport) -> Option<String> {
    let folds = report.checked.iter().map(|each| &each.fold);
    let most = folds
        .filter(|fold| fold.sweep.is_none())
        .map(|fold| fold.stop_ticks)
        .max()
        .filter(|most| *most > 0)?;
    let ticks = count(most, "tick", "ticks");
    Some(format!(
        "Stops were tried at {ticks} each; `--stop-sweep FROM..TO/STEP` tries others."
    ))
}

/// What a check came to, in a line.
#[must_use]
pub fn summary(report: &CheckReport) -> String {
    let checked = report.checked.len() as u64;
    let files: BTreeSet<&str> = report
        .checked
        .iter()
        .map(|each| each.file.as_str())
        .collect();
    let failed = report.checked.iter();
    let failed = failed
        .filter(|each| !each.is_ok() && !each.is_cut_short())
        .count() as u64;
    let all = report.checked.iter().flat_map(|each| &each.fold.goals);
    let anyway = all.clone().filter(|goal| goal.is_judged_anyway()).count();
    let goals = all.count() - anyway;
    let mut words = format!(
        "{} in {}, {}, {}, {anyway} judged anyway",
        count(files.len() as u64, "scenario", "scenarios"),
        count(checked, "variant", "variants"),
        count(goals as u64, "goal", "goals"),
        count(report.runs(), "run", "runs")
    );
    words.push_str(&match report.outcome() {
        CheckOutcome::Ok => ": all ok".to_owned(),
        CheckOutcome::Nothing if checked > 0 && !report.empty.is_empty() => {
            let paths = count(report.empty.len() as u64, "path", "paths");
            format!(": all ok, but nothing to check in {paths}")
        }
        CheckOutcome::Nothing => ": nothing to check".to_owned(),
        CheckOutcome::Broken => ": an invariant broke".to_owned(),
        CheckOutcome::CutShort => ": nothing missed, but cut short".to_owned(),
        CheckOutcome::Unusable | CheckOutcome::Missed => {
            format!(": {failed} of {checked} missed")
        }
    });
    if !report.problems.is_empty() {
        let problems = report.problems.len() as u64;
        let wrong = count(problems, "file is wrong", "files are wrong");
        words.push_str(&format!("; {wrong}"));
    }
    words
}

/// How many goals there are and how many of them were missed, and the same of what is judged anyway:
/// `1 of 3 goals missed` and `11 judged anyway`.
fn judged_words(checked: &Checked) -> (String, String) {
    // Of goals and of what is judged anyway: all, and those missed.
    let mut counts = [(0, 0); 2];
    for goal in &checked.fold.goals {
        let (all, missed) = &mut counts[usize::from(goal.is_judged_anyway())];
        *all += 1;
        *missed += u64::from(!goal.is_ok());
    }
    let [(goals, missed_goals), (anyway, missed_anyway)] = counts;
    let goals = match (goals, missed_goals) {
        (0, _) => "no goals".to_owned(),
        (_, 0) => count(goals, "goal", "goals"),
        (_, missed) => format!("{missed} of {} missed", count(goals, "goal", "goals")),
    };
    let anyway = match missed_anyway {
        0 => format!("{anyway} judged anyway"),
        missed => format!("{missed} of {anyway} judged anyway missed"),
    };
    (goals, anyway)
}

/// That the recorded figures are the same, behind a comma; empty if they are not, or none are recorded.
fn figures_words(checked: &Checked) -> String {
    match &checked.compared {
        Some(compared) if compared.is_ok() => {
            let same = count(compared.figures, "recorded figure", "recorded figures");
            let note = if compared.input_changed {
                "; the scenario changed since"
            } else {
                ""
            };
            format!(", {same} the same{note}")
        }
        _ => String::new(),
    }
}

/// How it came off, in a word or two.
fn label(checked: &Checked) -> &'static str {
    if !checked.is_whole() {
        "broken"
    } else if checked.is_ok() {
        "ok"
    } else if checked.is_cut_short() {
        "not all"
    } else {
        "missed"
    }
}

/// How many runs were made, and of how many if not all were.
fn runs_words(checked: &Checked) -> String {
    let all = count(checked.runs + checked.unmade_runs, "run", "runs");
    match checked.unmade_runs {
        0 => all,
        _ => format!("{} of {all}", checked.runs),
    }
}

fn write(page: &mut Page, checked: &Checked) {
    let missed: Vec<&GoalChecked> = checked.missed().collect();
    let runs = runs_words(checked);
    let label = label(checked);
    let (goals, anyway) = judged_words(checked);
    let figures = figures_words(checked);
    let words = match checked.runs {
        // Its goals are not known.
        0 => format!("{}: {runs}", checked.name()),
        _ => format!("{}: {goals} in {runs}{figures}; {anyway}", checked.name()),
    };
    page.labelled(label, LABEL, &words);
    for broken in &checked.fold.broken {
        let case = broken.case.words(checked.fold.ticks_per_second.max(1));
        detail(page, &format!("an invariant broke: {}", broken.message));
        detail(page, &format!("with {case}; a bug in hallwright"));
        detail(page, &format!("again: {}", broken.command));
    }
    for line in checked.fold.sweep.iter().flat_map(sweep::lines) {
        detail(page, &line);
    }
    if let Some(site) = &checked.fold.site {
        detail(page, &format!("Built: {}", built(site)));
    }
    for line in checked.leave.iter().flat_map(leave::lines) {
        detail(page, &line);
    }
    for line in checked.margin.iter().flat_map(margin::lines) {
        detail(page, &line);
    }
    for ruling in [Ruling::Allowed, Ruling::NotFinished] {
        let goals = checked.held_with_a_word();
        let subjects: Vec<String> = goals
            .filter(|goal| goal.ruling() == ruling)
            .map(|goal| goal.subject.clone())
            .collect();
        if !subjects.is_empty() {
            detail(
                page,
                &format!("{}: {}", ruling.words(), subjects.join(", ")),
            );
        }
    }
    for goal in missed {
        miss(page, goal, checked.fold.ticks_per_second);
    }
    if let Some(compared) = checked
        .compared
        .as_ref()
        .filter(|compared| !compared.is_ok())
    {
        page.blank();
        let lines = compared_lines(compared, checked.fold.ticks_per_second);
        for (place, line) in lines.iter().enumerate() {
            let label = if place == 0 { "figures" } else { "" };
            page.labelled(label, LABEL, line);
        }
        page.blank();
    }
}

/// A line below the name of a scenario.
fn detail(page: &mut Page, words: &str) {
    page.labelled("", LABEL, words);
}

fn miss(page: &mut Page, goal: &GoalChecked, ticks_per_second: u32) {
    let worst = &goal.worst;
    let line = goal
        .line
        .map_or_else(|| "-".to_owned(), |line| line.to_string());
    page.labelled(&format!("  {line:>3} "), LABEL, &worst.words);
    let mut by = Vec::new();
    if goal.is_judged_anyway() {
        by.push(goal.place_words());
    }
    if goal.ruling() == Ruling::NotKnown {
        by.push(goal.ruling().words().to_owned());
    }
    if !worst.excess_words.is_empty() {
        by.push(worst.excess_words.clone());
    }
    by.push(format!(
        "missed in {} of {} runs",
        goal.missed_runs, goal.runs
    ));
    by.push(format!("worst with {}", worst.case.words(ticks_per_second)));
    detail(page, &by.join("; "));
    for cause in &worst.causes {
        detail(page, cause);
    }
    detail(page, &format!("again: {}", worst.command));
}

/// How a run differs from its record, a line each.
pub(crate) fn compared_lines(compared: &Compared, ticks_per_second: u32) -> Vec<String> {
    if compared.is_missing {
        return vec![format!(
            "{} has no such variant; `hallwright check --record` writes it anew",
            compared.file
        )];
    }
    let cause = if compared.input_changed {
        "the scenario changed: layout, rules, arrivals, seed or goals"
    } else {
        "the scenario is the recorded one: the program changed, or the record was edited"
    };
    let mut lines = vec![format!("not as in {}; {cause}", compared.file)];
    if let Some((from, until)) = compared.parted {
        lines.push(format!(
            "the runs part between {} and {}",
            time(from.0, ticks_per_second),
            time(until.0, ticks_per_second)
        ));
    }
    lines.extend(compared.moved.iter().take(MOVED).map(moved_words));
    if compared.moved.len() > MOVED {
        lines.push(format!("… and {} more moved", compared.moved.len() - MOVED));
    }
    lines
}

fn moved_words(moved: &Moved) -> String {
    let shown = |value: &Option<String>| value.clone().unwrap_or_else(|| "not there".to_owned());
    let help = moved.help.iter().map(|help| format!(". {help}"));
    format!(
        "{}: was {}, is {}{}",
        moved.name,
        shown(&moved.old),
        shown(&moved.new),
        help.collect::<String>()
    )
}
