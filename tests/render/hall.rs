//! Whole reports of a small hall, as text and as JSON.

use hallwright_core::network::NetworkBuilder;
use hallwright_core::order::Orders;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Timeline;
use hallwright_declared::declarations::Declarations;
use hallwright_render::{json, text};
use hallwright_report::Heading;
use hallwright_report::findings::Findings;
use hallwright_report::{RunInput, run};
use hallwright_scenario::Scenario;
use hallwright_trials::sweep::{SweepFindings, sweep};
use hallwright_trials::{Machine, StopRange, orders};

use crate::support::{input, scenario};

fn hall() -> Scenario {
    scenario("hall.ron")
}

/// The hall stopped in every tick of a range, in these orders.
fn swept(hall: &Scenario, (from, to): (u64, u64), orders: Vec<Orders>) -> SweepFindings {
    let range = StopRange {
        from: Tick(from),
        to: Tick(to),
        step_ticks: 1,
    };
    let machine = Machine::new(None, |_| {}).expect("threads start");
    let swept = sweep(&[input(hall)], orders, range, &machine);
    swept.found.expect("no run broke")
}

fn heading() -> Heading {
    Heading {
        title: "Millbrook Granary".to_owned(),
        variant: Some("two selectors".to_owned()),
        seed: 7,
        update_order: "declared".to_owned(),
        signal_order: "declared".to_owned(),
        version: "0.1.0".to_owned(),
        input_digest: "0123456789abcdef".to_owned(),
        command: "hallwright run granary.ron --seed 7".to_owned(),
        verified: Some(true),
    }
}

#[test]
fn the_text_fits_a_screen() {
    let hall = hall();
    let found = run(&input(&hall), &mut |_| {});
    let text = text(&heading(), &found, None, None, 80);
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
    insta::assert_snapshot!(text);
}

#[test]
fn a_sweep_is_reported_between_goals_and_details() {
    let hall = hall();
    let found = run(&input(&hall), &mut |_| {});
    let one_order = swept(&hall, (100, 107), vec![Orders::default()]);
    insta::assert_snapshot!(text(&heading(), &found, Some(&one_order), None, 100));
    let all = swept(&hall, (100, 107), orders(1));
    let text = text(&heading(), &found, Some(&all), None, 100);
    let one_line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        one_line.contains(
            "8 stops from 5.0 s (100 t) to 5.35 s (107 t) × 6 pairs of 3 update orders and 3 signal \
             orders × 1 seed = 48 runs"
        ),
        "{text}"
    );
}

#[test]
fn the_json_has_the_same_figures() {
    let hall = hall();
    let mut measured = run(&input(&hall), &mut |_| {}).into_measured();
    // Two hundred points are no pleasure to read.
    for section in &mut measured.sections {
        section.backlog.curve_items.truncate(5);
    }
    let found = Findings::new(measured, &hall.declarations, None);
    let sweep = swept(&hall, (100, 107), vec![Orders::default()]);
    insta::assert_snapshot!(json(&heading(), &found, Some(&sweep), None));
}

#[test]
fn the_same_run_gives_the_same_report() {
    let hall = hall();
    let report = || {
        let found = run(&input(&hall), &mut |_| {});
        let sweep = swept(&hall, (90, 110), vec![Orders::default()]);
        json(&heading(), &found, Some(&sweep), None)
    };
    assert_eq!(report(), report());
}

#[test]
fn an_empty_hall_has_a_short_report() {
    let builder = NetworkBuilder::new(Default::default());
    let network = builder.build().expect("nothing is wrong with nothing");
    let nothing = RunInput {
        network: &network,
        timeline: &Timeline::default(),
        seed: 0,
        orders: Orders::default(),
        run_ticks: 600,
        declarations: &Declarations::default(),
    };
    let found = run(&nothing, &mut |_| {});
    let heading = Heading {
        title: "Nothing".to_owned(),
        update_order: "declared".to_owned(),
        signal_order: "declared".to_owned(),
        version: "0.1.0".to_owned(),
        input_digest: "0".to_owned(),
        ..Heading::default()
    };
    let text = text(&heading, &found, None, None, 80);
    assert_eq!(
        text,
        "Nothing\n\
         ran 30.0 s (600 t), seed 0, update order declared, signal order declared\n\
         version 0.1.0, input 0\n\n\
         Sorted    not known: no store is declared\n\
         Quiet     yes: since 0.0 s (0 t)\n\
         Lost      nothing\n\
         Always    6 of 6 ok, judged though no goal asks\n\n\
         Cost      work 0.0 units/t mean, 0 units/t at most at 0.0 s (0 t); 0.0 units/t\n\
         \x20         at rest; 0 hoppers\n"
    );
}

#[test]
fn a_run_that_ends_too_early_says_what_is_still_under_way() {
    let mut hall = hall();
    hall.declarations.stops.clear();
    let short = RunInput {
        run_ticks: 55,
        ..input(&hall)
    };
    let found = run(&short, &mut |_| {});
    let text = text(&heading(), &found, None, None, 80);
    let words: Vec<&str> = text.split_whitespace().collect();
    // The wool lies where nothing takes it, and tick 54 is the last. The barley that the feeder
    // pushed in tick 40 went on from the line's two hoppers in ticks 47 and 54, into the selector.
    // More is delivered later.
    let reported = "Quiet no: goods go on arriving loose: 3 wool at bare mouth; \
                inside: barley selector (1 item); still moving: line 2, barley selector Lost";
    assert!(words.join(" ").contains(reported), "{text}");
}
