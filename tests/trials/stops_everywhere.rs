//! Stops that share the run up to them come to what whole runs come to.

use hallwright_core::tick::Tick;
use hallwright_report::findings::Standing;
use hallwright_trials::stops_everywhere::{affordable_stops, spread, stops_everywhere};
use hallwright_trials::{Case, Machine, Over, orders};

use crate::support::{base, scenario};

/// Tries the first stop at some ticks from the declared one on, and each of them in a whole run as well.
fn the_same(path: &str, variant: Option<&str>, span_ticks: u64, count: u64) {
    let mut scenario = scenario(path, variant);
    scenario.declarations.stops.truncate(1);
    let base = base(&scenario);
    let first = scenario.declarations.stops[0].at;
    let ticks = spread(first, span_ticks, count);
    let (mut over, orders) = (Over::default(), orders(1));
    let machine = Machine::new(None, |runs| over = runs).expect("threads start");
    let found = stops_everywhere(&base, &orders, &ticks, &machine);
    drop(machine);
    assert_eq!(found.broken, []);
    assert_eq!(found.runs, (ticks.len() * orders.len()) as u64);
    assert_eq!(over.made, found.runs, "each is reported");

    let (mut worst, mut astray) = (Some(0), 0);
    for pair in &orders {
        for tick in &ticks {
            let case = Case {
                orders: pair.clone(),
                stop_at: Some(*tick),
                ..Case::as_declared(scenario.seed)
            };
            let findings = case.of(&base).expect("a stop is declared").findings();
            let ticks = findings.stops[0].all.safe_to_close_ticks;
            worst = match (worst, ticks) {
                (Some(worst), Some(ticks)) => Some(ticks.max(worst)),
                _ => None,
            };
            let fine = [Standing::Home, Standing::OwnFilling, Standing::Serving];
            let rows = findings.account.rows.iter();
            let away = rows.filter(|(standing, _)| !fine.contains(standing));
            let away: u64 = away.map(|(_, amount)| amount.goods_and_boxes()).sum();
            let refused = findings.account.refused.goods_and_boxes();
            astray += u64::from(away + refused > 0 || !findings.sieves_intact());
        }
    }
    let measured = found.worst.expect("something was tried");
    assert_eq!(measured.safe_to_close_ticks, worst, "{path}");
    assert_eq!(found.astray_runs, astray, "{path}");
}

#[test]
fn a_shared_run_finds_what_whole_runs_find() {
    the_same("tests/trials/line.ron", None, 40, 40);
    // Filters, streams, boxes, selectors and returns.
    the_same("scenarios/bulk-slice.ron", None, 60, 4);
    the_same("scenarios/granary/line.ron", Some("three sections"), 90, 3);
    let load = Some("a stop under full load");
    the_same(
        "scenarios/plan/granary-catalogue/scenario.ron",
        load,
        1200,
        3,
    );
}

#[test]
fn how_many_stops_are_tried_follows_from_the_hall() {
    let line = scenario("tests/trials/line.ron", None);
    let base = base(&line);
    let stops = |orders, most| affordable_stops(&base, orders, 1200, most);
    // 20 items through eight hoppers and their chest, and a look at ten parts: fewer than 500 moves.
    assert_eq!(stops(8, 500 * 8 * 1200), 1200);
    assert_eq!(stops(8, 0), 1, "at least one");
    assert!(stops(1, 80_000) >= 8 * stops(8, 80_000));
    assert!((1..1200).contains(&stops(8, 80_000)));
    assert_eq!(spread(Tick(3428), 1200, 1200).len(), 1200);
}
