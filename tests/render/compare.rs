//! Comparisons as pages show them: wide, narrow, with several seeds, with runs that broke.

use hallwright_core::tick::Tick;
use hallwright_render::{compare_csv, compare_json, compare_markdown, compare_text};
use hallwright_report::figures::{Figure, Name, Scope, Unit};
use hallwright_trials::Case;
use hallwright_trials::compare::{Comparison, Design, DesignRuns, Value, compare};
use insta::assert_snapshot;

/// What five runs of a design, each with a seed of its own, measured.
struct Measured {
    name: &'static str,
    /// Ticks; 0 stands for never.
    cleared: [u64; 5],
    lost: [u64; 5],
    hoppers: u64,
}

fn figure(name: Name, unit: Unit) -> Figure {
    Figure {
        name,
        scope: Scope::All,
        unit,
    }
}

fn runs_of(measured: &Measured) -> DesignRuns {
    let runs = measured.cleared.iter().zip(measured.lost);
    let runs = runs.map(|(cleared, lost)| {
        let cleared = match cleared {
            0 => Value::Never,
            ticks => Value::Number(*ticks as f64),
        };
        let quay = Figure {
            scope: Scope::Subsystem("quay".to_owned()),
            ..figure(Name::CLEARED, Unit::Ticks)
        };
        let line = Figure {
            scope: Scope::Subsystem("line".to_owned()),
            ..quay.clone()
        };
        Ok(vec![
            (figure(Name::CLEARED, Unit::Ticks), cleared),
            (quay, Value::Number(20.0)),
            (line, cleared),
            (figure(Name::LOST, Unit::Items), Value::Number(lost as f64)),
            (figure(Name::MISPLACED, Unit::Items), Value::Number(0.0)),
            (
                figure(Name::HOPPERS, Unit::Hoppers),
                Value::Number(measured.hoppers as f64),
            ),
        ])
    });
    DesignRuns {
        design: Design {
            name: measured.name.to_owned(),
            file: "hall.ron".to_owned(),
            title: "Hall".to_owned(),
            ..Design::default()
        },
        runs: runs.collect(),
    }
}

/// Four designs. Cleared, beside the first: `two sections` differs by -10, -12, -14, -12, -12 ticks:
/// mean -12, squares 4 + 0 + 4 + 0 + 0 = 8, standard error sqrt(8/4/5) = 0.6325; with t = 2.776 for 4
/// degrees of freedom that is 1.756 to either side: -13.756 to -10.244 ticks, -0.69 to -0.51 s.
/// Lost, it differs by 1, -1, 2, -2, 0: mean 0, so no difference is shown. `sealed` never clears in one
/// run. `paint` does what the first does, with two hoppers more.
fn compared() -> Comparison {
    let design = |name, cleared, lost, hoppers| {
        runs_of(&Measured {
            name,
            cleared,
            lost,
            hoppers,
        })
    };
    let mut designs = vec![
        design("one section", [40, 42, 44, 42, 42], [3, 3, 3, 3, 3], 10),
        design("two sections", [30, 30, 30, 30, 30], [4, 2, 5, 1, 3], 12),
        design("sealed", [50, 0, 44, 42, 42], [3, 3, 3, 3, 3], 10),
        design("paint", [40, 42, 44, 42, 42], [3, 3, 3, 3, 3], 12),
    ];
    let broken = design("broken", [40, 42, 44, 42, 42], [3, 3, 3, 3, 3], 10);
    designs.push(broken);
    designs[4].runs[2] = Err("one item too many".to_owned());
    let cases = (1..=5).map(|seed| Case {
        stop_at: Some(Tick(100)),
        ..Case::as_declared(seed)
    });
    let command = |_: usize, case: &Case| format!("hallwright run hall.ron --seed {}", case.seed);
    let mut comparison = compare(cases.collect(), designs, &command);
    comparison.ticks_per_second = 20;
    comparison.incomparable = vec!["paint: flows only in this one: colour".to_owned()];
    comparison
}

#[test]
fn a_page_of_eighty_columns() {
    let text = compare_text(&compared(), false, 80);
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
    assert_snapshot!(text);
}

#[test]
fn a_narrow_page() {
    let text = compare_text(&compared(), true, 40);
    assert!(
        text.lines().all(|line| line.chars().count() <= 40),
        "{text}"
    );
    assert_snapshot!(text);
}

#[test]
fn tables_of_markdown_escape_what_has_a_meaning() {
    let mut comparison = compared();
    comparison.designs[0].name = "one|two".to_owned();
    let text = compare_markdown(&comparison, true);
    assert!(text.contains("| one\\|two |"), "{text}");
    assert!(!text.contains("median"), "{text}");
    // As many cells in every line of a table as in its header.
    let mut cells = 0;
    for line in text.lines() {
        let here = line.replace("\\|", "").matches('|').count();
        assert!(here == 0 || cells == 0 || here == cells, "{line}");
        cells = here;
    }
}

#[test]
fn programs_get_every_figure() {
    let comparison = compared();
    let json: serde_json::Value =
        serde_json::from_str(&compare_json(&comparison)).expect("it is JSON");
    let cleared = &json["figures"][0];
    let two = &cleared["designs"][1]["less_the_first"];
    assert_eq!(two["mean_over_seeds"]["mean"], -12.0);
    assert_eq!(
        (&two["least"], &two["median"], &two["most"]),
        (&(-14.0).into(), &(-12.0).into(), &(-10.0).into())
    );
    let low = two["mean_over_seeds"]["low_of_95_percent"]
        .as_f64()
        .expect("a number");
    assert!((low + 13.756).abs() < 0.001, "{low}");
    let sealed = &cleared["designs"][2];
    assert_eq!(sealed["never_runs"], 1);
    assert!(sealed["worst"].is_null());
    assert_eq!(sealed["less_the_first"]["one_sided_pairs"], 1);
    assert_eq!(
        json["broken_runs"][0]["command"],
        "hallwright run hall.ron --seed 3"
    );
    assert_eq!(json["function_alike"][0]["designs"][1], "paint");
    let csv = compare_csv(&comparison);
    let sealed = csv
        .lines()
        .find(|line| line.starts_with("sealed,hall.ron,,cleared,all,,ticks"));
    let sealed = sealed.expect("a line of it");
    assert!(
        sealed.contains(",false,5,1,42,44,never,declared,declared,2,100,5,3,1,0,0,10,"),
        "{sealed}"
    );
}

#[test]
fn what_is_the_same_quotes_names_and_runs_upwards() {
    // More is better of a throughput, less of a time: both from the least to the most.
    let design = |name: &str| {
        let runs = [
            (2.5, Value::Number(40.0)),
            (2.25, Value::Never),
            (2.375, Value::Number(60.0)),
        ];
        let runs = runs.map(|(pace, quiet)| {
            let pace_of = Figure {
                scope: Scope::Flow("over the quay".to_owned()),
                ..figure(Name::THROUGHPUT, Unit::ItemsPerSecond)
            };
            Ok(vec![
                (figure(Name::QUIET, Unit::Ticks), quiet),
                (pace_of, Value::Number(pace)),
            ])
        });
        DesignRuns {
            design: Design {
                name: name.to_owned(),
                file: "hall.ron".to_owned(),
                title: "Hall".to_owned(),
                ..Design::default()
            },
            runs: runs.into(),
        }
    };
    let cases = (1..=3).map(Case::as_declared);
    let designs = vec![design("one"), design("two")];
    let mut found = compare(cases.collect(), designs, &|_, _| String::new());
    found.ticks_per_second = 20;
    let text = compare_text(&found, false, 100);
    let same = "The same  quiet 2.0 s to never, throughput of \"over the quay\" 2.25 items/s to 2.50 items/s";
    let one_line = text.replace("\n          ", " ");
    assert!(one_line.contains(same), "{text}");
}
