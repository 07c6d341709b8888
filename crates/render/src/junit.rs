//! What a check found as JUnit XML, which most CI services read: a suite for each scenario and
//! variant, a test case for each goal and for each thing that is judged though no goal asks it. What
//! a file allows, and what is not finished, is skipped: it neither passed nor failed. Properties have the times of
//! the simulated world. The `time` of a suite is how long its runs took on this machine; a test case has none, for
//! all of a suite are judged by the same runs.

use quick_junit::{NonSuccessKind, Property, Report, TestCase, TestCaseStatus, TestSuite};

use super::text::{compared_lines, leave_answer, leave_lamp, leave_lines};
use hallwright_names::{text, xml};
use hallwright_report::verdicts::Ruling;
use hallwright_trials::check::{CheckReport, Checked, GoalChecked};
use hallwright_trials::leave::{LampReport, LeaveAsked, LeftAt};
use hallwright_trials::order_words;

/// What a check found as JUnit XML.
///
/// # Panics
///
/// Never: plain data can always be written.
#[must_use]
pub fn junit(report: &CheckReport) -> String {
    let mut out = Report::new("hallwright check");
    out.set_time(report.checked.iter().map(|checked| checked.took).sum());
    for checked in &report.checked {
        out.add_test_suite(suite(checked));
    }
    let problems = report.problems.iter();
    let mut cases: Vec<TestCase> = problems
        .map(|problem| {
            let kind = if problem.is_orphan {
                NonSuccessKind::Failure
            } else {
                NonSuccessKind::Error
            };
            failed(&problem.file, kind, &problem.message, "")
        })
        .collect();
    cases.extend(
        report
            .empty
            .iter()
            .map(|path| failed(path, NonSuccessKind::Error, "there is nothing to check", "")),
    );
    if !cases.is_empty() {
        let mut suite = TestSuite::new("files");
        suite.add_test_cases(cases);
        out.add_test_suite(suite);
    }
    out.to_string().expect("plain data can be written")
}

fn failed(name: &str, kind: NonSuccessKind, message: &str, description: &str) -> TestCase {
    let mut status = TestCaseStatus::non_success(kind);
    status.set_message(xml(message));
    if !description.is_empty() {
        status.set_description(xml(description));
    }
    TestCase::new(text(name).as_ref(), status)
}

/// Lines one below the other, in none of which a name begins a further one.
fn below_each_other(lines: &[String]) -> String {
    let lines = lines.iter().map(|line| text(line));
    lines.collect::<Vec<_>>().join("\n")
}

fn suite(checked: &Checked) -> TestSuite {
    let mut suite = TestSuite::new(text(&checked.name()).as_ref());
    suite.set_time(checked.took);
    let ticks_per_second = checked.fold.ticks_per_second.max(1);
    suite.add_property(("title", text(&checked.title).as_ref()));
    suite.add_property(("input_digest", checked.input_digest.as_str()));
    suite.add_property(("runs", checked.runs.to_string().as_str()));
    suite.add_property((
        "simulated_run_ticks",
        checked.fold.run_ticks.to_string().as_str(),
    ));
    suite.add_property((
        "simulated_run_seconds",
        seconds(checked.fold.run_ticks, ticks_per_second).as_str(),
    ));
    for (place, goal) in checked.fold.goals.iter().enumerate() {
        let mut case = goal_case(place, goal, ticks_per_second);
        case.set_classname(text(&checked.name()).as_ref());
        suite.add_test_case(case);
    }
    for broken in &checked.fold.broken {
        let name = format!("run with {}", broken.case.words(ticks_per_second));
        let description = format!("again: {}", broken.command);
        suite.add_test_case(failed(
            &name,
            NonSuccessKind::Error,
            &format!("an invariant broke: {}", broken.message),
            &description,
        ));
    }
    for (what, unmade) in checked.unmade() {
        let message = format!("cut short: {unmade} not made");
        suite.add_test_case(failed(what, NonSuccessKind::Error, &message, ""));
    }
    if let Some(left) = &checked.leave {
        suite.add_test_cases(leave_cases(left));
    }
    if let Some(compared) = &checked.compared {
        let case = if compared.is_ok() {
            TestCase::new("recorded figures", TestCaseStatus::success())
        } else {
            let lines = compared_lines(compared, ticks_per_second);
            failed(
                "recorded figures",
                NonSuccessKind::Failure,
                &lines[0],
                &below_each_other(&lines),
            )
        };
        suite.add_test_case(case);
    }
    suite
}

/// A case for what broke when the hall was left, and one for the lamp, if one is looked at.
fn leave_cases(asked: &LeaveAsked) -> Vec<TestCase> {
    let lines = leave_lines(asked);
    let skipped = || {
        let mut status = TestCaseStatus::skipped();
        status.set_message(xml(&lines[0]));
        vec![TestCase::new("left", status)]
    };
    let Some(report) = asked.report() else {
        return skipped();
    };
    if report.is_ok_so_far() && report.unmade_leaves() > 0 {
        return skipped();
    }
    let description = below_each_other(&lines);
    let kind = match report.is_broken() {
        true => NonSuccessKind::Error,
        false => NonSuccessKind::Failure,
    };
    let is_well = report.found.ticks.last().is_none_or(LeftAt::is_well)
        && report.found.in_no_region.is_empty()
        && !report.is_broken();
    let mut cases = vec![match is_well {
        true => TestCase::new("left", TestCaseStatus::success()),
        false => failed("left", kind, &leave_answer(report), &description),
    }];
    if let LampReport::Judged { name, .. } = &report.lamp {
        let name = format!("left, the lamp {name}");
        cases.push(match report.false_lights().is_empty() {
            true => TestCase::new(text(&name).as_ref(), TestCaseStatus::success()),
            false => failed(
                &name,
                NonSuccessKind::Failure,
                &leave_lamp(report),
                &description,
            ),
        });
    }
    cases
}

fn seconds(ticks: u64, ticks_per_second: u32) -> String {
    format!("{:.3}", ticks as f64 / f64::from(ticks_per_second))
}

fn goal_case(place: usize, goal: &GoalChecked, ticks_per_second: u32) -> TestCase {
    let worst = &goal.worst;
    // The number keeps goals of the same subject apart.
    let name = format!("{}. {}", place + 1, goal.subject);
    let ruling = goal.ruling();
    let mut case = if goal.is_ok() {
        let status = match ruling {
            Ruling::Ok => TestCaseStatus::success(),
            // What the file allows did not pass, and what goes on has not yet.
            _ => {
                let mut status = TestCaseStatus::skipped();
                status.set_type(ruling.words());
                status.set_message(xml(&format!("{}: {}", ruling.words(), worst.words)));
                status
            }
        };
        TestCase::new(text(&name).as_ref(), status)
    } else {
        let mut by = vec![goal.place_words()];
        by.extend((!worst.excess_words.is_empty()).then(|| worst.excess_words.clone()));
        let mut lines = vec![
            by.join(": "),
            format!("missed in {} of {} runs", goal.missed_runs, goal.runs),
            format!("worst with {}", worst.case.words(ticks_per_second)),
        ];
        lines.extend(worst.causes.iter().cloned());
        lines.push(format!("again: {}", worst.command));
        let mut case = failed(
            &name,
            NonSuccessKind::Failure,
            &worst.words,
            &below_each_other(&lines),
        );
        case.status.set_type(ruling.words());
        case
    };
    case.set_assertions(usize::try_from(goal.runs).unwrap_or(usize::MAX));
    case.add_properties(properties(goal, ticks_per_second));
    case
}

/// The worst run and its simulated times.
fn properties(goal: &GoalChecked, ticks_per_second: u32) -> Vec<Property> {
    let worst = &goal.worst;
    let mut properties = vec![
        Property::new("question", worst.verdict.question.key()),
        Property::new("verdict", goal.ruling().key()),
        Property::new(
            "judged_anyway",
            goal.is_judged_anyway().to_string().as_str(),
        ),
        Property::new(
            "update_order",
            order_words(&worst.case.orders.update).as_str(),
        ),
        Property::new(
            "signal_order",
            order_words(&worst.case.orders.signal).as_str(),
        ),
        Property::new("seed", worst.case.seed.to_string().as_str()),
    ];
    let mut add_ticks = |name: &str, ticks: u64| {
        properties.push(Property::new(
            format!("{name}_ticks").as_str(),
            ticks.to_string().as_str(),
        ));
        properties.push(Property::new(
            format!("{name}_seconds").as_str(),
            seconds(ticks, ticks_per_second).as_str(),
        ));
    };
    if let Some(tick) = worst.case.stop_at {
        add_ticks("simulated_stop_at", tick.0);
    }
    if let Some(tick) = worst.verdict.went_wrong_at {
        add_ticks("simulated_went_wrong_at", tick.0);
    }
    for check in &worst.verdict.checks {
        if !check.measured.is_time() {
            continue;
        }
        if let Some(ticks) = check.measured.whole() {
            add_ticks("simulated_measured", ticks);
        }
        // Bounds on ticks were whole numbers from the start.
        add_ticks("simulated_bound", check.bound.number() as u64);
    }
    properties
}
