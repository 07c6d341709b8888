//! What figures are called where they are recorded, compared and asked for, on the demo line (see `line.rs`).

use hallwright_core::part::{Container, Part};
use hallwright_declared::declarations::{Goal, Lamp, Mark, Open};
use hallwright_report::figures::{Figure, Name, Of};
use hallwright_report::findings::Findings;
use hallwright_report::goals::{Bound, bound_on};
use hallwright_report::{blocks_of, build_hours};

use crate::line::{Line, line};
use crate::support::run_with;

/// The demo line with a lamp on its lever, its chest open to the operator, and these goals. It is stopped in tick
/// 100 and on again in tick 160.
fn watched_line(goals: Vec<Goal>) -> Line {
    let mut line = line(100, Some(60));
    line.declarations.lamps = vec![Lamp {
        name: "lamp".to_owned(),
        signal: line.lever,
        watches: Vec::new(),
    }];
    line.declarations.open = vec![Open {
        name: "counter".to_owned(),
        parts: line.declarations.flows[0].into.clone(),
        behind: line.declarations.sections[0].queue.clone(),
        kinds: Vec::new(),
    }];
    line.declarations.goals = goals;
    line
}

fn run(line: &Line) -> Findings {
    run_with(&line.network, &line.declarations, 400, Vec::new())
}

#[test]
fn a_figure_is_recorded_by_the_name_of_what_it_is_measured_of() {
    let found = run(&watched_line(Vec::new()));
    let recorded = |name: Name| -> Vec<(String, Option<u64>)> {
        let rows = name.recorded(&found).into_iter();
        rows.map(|(name, quantity)| (name, quantity.whole()))
            .collect()
    };
    let one = |name: &str, number| vec![(name.to_owned(), Some(number))];
    assert_eq!(recorded(Name::RUN), one("run", 400));
    assert_eq!(recorded(Name::COUNTED), one("into the store: counted", 20));
    assert_eq!(
        recorded(Name::MOST_WAITING),
        one("main line: most waiting", 20)
    );
    assert_eq!(recorded(Name::RISES), one("lamp: rises", 1));
    assert_eq!(recorded(Name::LEFT_BEHIND), one("counter: left behind", 0));
    // The item that the feeder pushed in tick 96 is in the chest in tick 138.
    assert_eq!(recorded(Name::CLEARED), one("stop 1: cleared", 38));
    assert_eq!(recorded(Name::WORST_THROUGHPUT), []);
}

#[test]
fn a_figure_is_compared_by_its_name_and_what_it_is_measured_of() {
    let found = run(&watched_line(Vec::new()));
    let called = |name: Name, in_words: fn(&Figure) -> String| -> Vec<String> {
        let rows = name.compared(&found).into_iter();
        rows.map(|(figure, _)| in_words(&figure)).collect()
    };
    assert_eq!(
        called(Name::THROUGHPUT, Figure::words),
        ["throughput of into the store"]
    );
    assert_eq!(
        called(Name::THROUGHPUT, Figure::in_a_sentence),
        ["throughput of \"into the store\""]
    );
    assert_eq!(
        called(Name::CLEARED, Figure::words),
        ["cleared", "cleared of main line"]
    );
    assert_eq!(called(Name::LOST, Figure::words), ["lost", "lost, boxes"]);
    assert_eq!(called(Name::LOST, Figure::in_a_sentence), ["lost", "lost"]);
    let sorted = Name::SORTED.compared(&found).into_iter();
    let sorted: Vec<Option<u64>> = sorted.map(|(_, came_to)| came_to?.whole()).collect();
    // Boxes are not counted where there are none.
    assert_eq!(sorted, [Some(20), None]);
    let scopes = [Name::CLEARED, Name::THROUGHPUT].map(|name| name.compared(&found));
    let ranks = scopes
        .iter()
        .flatten()
        .map(|(figure, _)| figure.scope.rank());
    assert_eq!(ranks.collect::<Vec<u8>>(), [0, 2, 1]);
    assert_eq!(Name::THROUGHPUT.unit().key(), "items_per_second");
    assert!(Name::COUNTED.more_is_better());
    assert!(!Name::LOST.more_is_better());
    // Of each section, a report says it beside what it says of sections anyway.
    let noted: Vec<&str> = Name::all_noted().map(Name::words).collect();
    assert_eq!(noted, ["idle call"]);
}

#[test]
fn a_goal_about_contents_counts_what_is_there_at_the_end() {
    let chest = line(100, None).declarations.flows[0].into.clone();
    let contents = |at_least, at_most| Goal::Contents {
        parts: chest.clone(),
        kinds: Vec::new(),
        at_least,
        at_most,
    };
    let goals = vec![contents(Some(20), Some(20)), contents(Some(21), None)];
    let found = run(&watched_line(goals));
    let goals: Vec<_> = found.goals().collect();
    assert_eq!(goals.len(), 2);
    assert!(goals[0].is_met());
    assert!(!goals[1].is_met());
    assert_eq!(goals[0].subject, "all in barley chest");
    let checked = goals.iter().flat_map(|goal| &goal.checks);
    let measured: Vec<Option<u64>> = checked.map(|check| check.measured.whole()).collect();
    assert_eq!(measured, [Some(20); 3]);
}

#[test]
fn the_bound_on_a_figure_is_that_of_the_first_goal_about_it() {
    let in_section = Goal::MarkWithin {
        mark: Mark::Cleared,
        section: Some(0),
        ticks: 40,
    };
    let goals = vec![
        Goal::StuckAtMost(3),
        in_section,
        Goal::LostAtMost(2),
        Goal::LostAtMost(1),
    ];
    let line = watched_line(goals);
    let bound = |figure, of| bound_on(&line.declarations, figure, &of);
    assert_eq!(bound(Name::LOST, Of::Whole), Some(Bound::AtMost(2.0)));
    assert_eq!(bound(Name::CLEARED, Of::Whole), None);
    let of_section = bound(Name::CLEARED, Of::section(Some(0)));
    assert_eq!(of_section.map(Bound::number), Some(40.0));
}

#[test]
fn a_hall_takes_as_long_to_build_as_its_blocks() {
    assert_eq!(build_hours(1_200, 600), 2.0);
    assert_eq!(build_hours(1_200, 0), 0.0);
    let container = |slots| blocks_of(&Part::Container(Container { slots }));
    assert_eq!((container(27), container(54)), (1, 2));
    assert_eq!(blocks_of(&Part::Mouth), 0);
}
