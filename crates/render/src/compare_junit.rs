//! A comparison as JUnit XML: a suite for each design, a test case for each of its figures, with the
//! figure in its properties. A comparison finds no fault with slower designs: only runs that broke are
//! errors.

use quick_junit::{NonSuccessKind, Property, Report, TestCase, TestCaseStatus, TestSuite};

use hallwright_names::text;
use hallwright_trials::compare::{Cell, Comparison, Row, value_words};

/// A comparison as JUnit XML.
///
/// # Panics
///
/// Never: plain data can always be written.
#[must_use]
pub fn compare_junit(found: &Comparison) -> String {
    let mut out = Report::new("hallwright compare");
    for (place, design) in found.designs.iter().enumerate() {
        let mut suite = TestSuite::new(text(&design.name).as_ref());
        suite.add_property(("file", text(&design.file).as_ref()));
        suite.add_property(("input_digest", design.input_digest.as_str()));
        suite.add_property(("runs", found.cases.len().to_string().as_str()));
        for row in &found.rows {
            if let Some(cell) = &row.cells[place] {
                let mut case = case(row, cell, found.ticks_per_second);
                case.set_classname(text(&design.name).as_ref());
                suite.add_test_case(case);
            }
        }
        for broken in found.broken.iter().filter(|broken| broken.design == place) {
            let mut status = TestCaseStatus::non_success(NonSuccessKind::Error);
            status.set_message(format!("an invariant broke: {}", text(&broken.message)));
            status.set_description(format!("again: {}", text(&broken.command)));
            let name = format!("run with {}", broken.case.words(found.ticks_per_second));
            suite.add_test_case(TestCase::new(name, status));
        }
        out.add_test_suite(suite);
    }
    out.to_string().expect("plain data can be written")
}

fn case(row: &Row, cell: &Cell, ticks_per_second: u32) -> TestCase {
    let mut case = TestCase::new(
        text(&row.figure.words()).as_ref(),
        TestCaseStatus::success(),
    );
    let range = &cell.range;
    for (name, value) in [
        ("best", range.best),
        ("median", range.median),
        ("worst", range.worst),
    ] {
        let words = value_words(value, row.figure.unit, ticks_per_second);
        case.add_property(Property::new(name, words.as_str()));
    }
    if let Some(difference) = &cell.difference {
        case.add_property(Property::new("less_the_first", difference.verdict()));
    }
    case
}
