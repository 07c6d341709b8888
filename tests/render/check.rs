//! What a check and a search found, made up, in the formats for programs.

use hallwright_core::order::{Order, Orders};
use hallwright_core::tick::Tick;
use hallwright_declared::space::Block;
use hallwright_render::{
    annotations, check_csv, check_json, check_text, junit, tune_csv, tune_json, tune_text,
    tune_variant,
};
use hallwright_report::figures::{Amount, Quantity, Unit};
use hallwright_report::findings::{SiteFinding, SiteProblemFinding};
use hallwright_report::goals::{Bound, Check, Verdict};
use hallwright_report::verdicts::{Question, Ruling};
use hallwright_trials::check::{
    BrokenRun, CheckReport, Checked, Compared, Fold, GoalChecked, Moved, Problem, Worst,
};
use hallwright_trials::leave::LeaveAsked;
use hallwright_trials::tune::{
    Costs, Design, Fate, FoundVariant, GoalFigure, Measure, Miss, RangeTried, Runs, TuneOutcome,
    TuneReport,
};
use hallwright_trials::{Case, OrdersTried, compare};
use serde_json::{Value, json};

fn case(seed: u64, stop_at: Option<u64>) -> Case {
    Case {
        seed,
        orders: Orders {
            update: Order::Reversed,
            signal: Order::Shuffled(4),
        },
        stop_at: stop_at.map(Tick),
    }
}

/// 7 items where 3 are allowed.
fn seven_of_three() -> Check {
    Check {
        measured: Quantity {
            amount: Amount::Count(7),
            unit: Unit::Items,
        },
        bound: Bound::AtMost(3.0),
        stop: None,
    }
}

/// A goal missed in 2 of 6 runs.
fn missed_goal() -> GoalChecked {
    GoalChecked {
        subject: "lost".to_owned(),
        line: Some(41),
        runs: 6,
        missed_runs: 2,
        worst: Worst {
            case: case(5, Some(260)),
            verdict: Verdict {
                question: Question::Lost,
                ruling: Ruling::Missed,
                goal: Some(0),
                why: Vec::new(),
                subject: "lost".to_owned(),
                checks: vec![seven_of_three()],
                went_wrong_at: Some(Tick(119)),
                remark: None,
            },
            words: "lost: 7 items, at most 3".to_owned(),
            excess_words: "4 items too many".to_owned(),
            severity: 4.0 / 3.0,
            causes: vec!["3 wool at yard".to_owned()],
            part: None,
            command: "hallwright run hall.ron --seed 5".to_owned(),
        },
    }
}

/// A goal missed in 2 of 6 runs, a run that broke, a figure that moved, and a file that cannot be used.
fn checked() -> CheckReport {
    CheckReport {
        version: "0.1.0".to_owned(),
        checked: vec![Checked {
            file: "hall.ron".to_owned(),
            title: "Hall".to_owned(),
            variant: Some("wide".to_owned()),
            input_digest: "abc".to_owned(),
            runs: 7,
            unmade_runs: 0,
            took: std::time::Duration::from_millis(1_500),
            fold: Fold {
                orders: OrdersTried {
                    pairs: 6,
                    update_orders: 3,
                    signal_orders: 2,
                },
                stop_ticks: 0,
                goals: vec![missed_goal()],
                broken: vec![BrokenRun {
                    case: case(6, None),
                    message: "1 item is nowhere".to_owned(),
                    command: "hallwright run hall.ron --seed 6".to_owned(),
                }],
                ticks_per_second: 20,
                run_ticks: 500,
                site: None,
                sweep: None,
            },
            leave: None,
            margin: None,
            compared: Some(Compared {
                file: "hall.figures".to_owned(),
                figures: 12,
                moved: vec![Moved {
                    name: "lost".to_owned(),
                    old: Some("3 items".to_owned()),
                    new: None,
                    help: None,
                }],
                parted: Some((Tick(100), Tick(120))),
                ..Compared::default()
            }),
        }],
        problems: vec![Problem {
            file: "mill.ron".to_owned(),
            line: Some(3),
            message: "no part is named `pit`".to_owned(),
            is_orphan: false,
        }],
        ..CheckReport::default()
    }
}

#[test]
fn a_check_for_programs() {
    let report: Value = serde_json::from_str(&check_json(&checked())).expect("it is JSON");
    assert_eq!(
        report,
        json!({
            "schema_version": 2,
            "version": "0.1.0",
            "outcome": "broken",
            "runs": 7,
            "scenarios": [{
                "file": "hall.ron",
                "title": "Hall",
                "variant": "wide",
                "input_digest": "abc",
                "is_ok": false,
                "order_pairs": 6,
                "update_orders": 3,
                "signal_orders": 2,
                "runs": 7, "unmade_runs": 0,
                "run_ticks": 500,
                "ticks_per_second": 20,
                "goals": [{
                    "line": 41,
                    "is_ok": false,
                    "runs": 6,
                    "missed_runs": 2,
                    "worst": {
                        "update_order": "reversed",
                        "signal_order": "shuffled:4",
                        "seed": 5,
                        "stop_at_tick": 260,
                        "question": "lost",
                        "verdict": "missed",
                        "judged_anyway": false,
                        "subject": "lost",
                        "met": false,
                        "went_wrong_at_tick": 119,
                        "remark": null,
                        "why": [],
                        "checks": [{"met": false, "unit": "items", "measured": 7, "at_most": 3}],
                        "words": "lost: 7 items, at most 3",
                        "missed_by": "4 items too many",
                        "causes": ["3 wool at yard"],
                        "command": "hallwright run hall.ron --seed 5",
                    },
                }],
                "broken_runs": [{
                    "update_order": "reversed",
                    "signal_order": "shuffled:4",
                    "seed": 6,
                    "stop_at_tick": null,
                    "message": "1 item is nowhere",
                    "command": "hallwright run hall.ron --seed 6",
                }],
                "recorded": {
                    "file": "hall.figures",
                    "is_ok": false,
                    "is_missing": false,
                    "scenario_changed": false,
                    "figures": 12,
                    "same_until_tick": 100,
                    "parted_before_tick": 120,
                    "moved": [{"name": "lost", "old": "3 items", "new": null}],
                },
            }],
            "problems": [{"file": "mill.ron", "line": 3, "message": "no part is named `pit`"}],
            "nothing_to_check_in": [],
            "module_files": [],
            "recorded_files": [],
        })
    );
}

#[test]
fn a_check_in_xml_counts_what_failed_and_what_could_not_be_run() {
    let xml = junit(&checked());
    // The goal, the broken run and the record; and the file.
    assert!(
        xml.contains("tests=\"4\" skipped=\"0\" failures=\"2\" errors=\"2\""),
        "{xml}"
    );
    assert!(
        xml.contains("name=\"simulated_run_ticks\" value=\"500\""),
        "{xml}"
    );
    // 500 ticks at 20 a second.
    assert!(
        xml.contains("name=\"simulated_run_seconds\" value=\"25"),
        "{xml}"
    );
    assert!(xml.contains("name=\"runs\" value=\"7\""), "{xml}");
    for order in [
        "name=\"update_order\" value=\"reversed\"",
        "name=\"signal_order\" value=\"shuffled:4\"",
        "worst with update order reversed, signal order shuffled:4, seed 5",
    ] {
        assert!(xml.contains(order), "{order}: {xml}");
    }
}

#[test]
fn annotations_stand_at_the_lines_they_are_about() {
    let text = annotations(&checked());
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(lines.len(), 4, "{text}");
    // The worst first: what broke, what cannot be used, the goal, the record.
    assert!(
        lines[0].starts_with("::error file=hall.ron,line=1"),
        "{text}"
    );
    assert!(
        lines[1].starts_with("::error file=mill.ron,line=3"),
        "{text}"
    );
    assert!(
        lines[2].starts_with("::error file=hall.ron,line=41"),
        "{text}"
    );
    let orders = "worst with update order reversed, signal order shuffled:4, seed 5";
    assert!(lines[2].contains(orders), "{text}");
    assert!(
        lines[3].starts_with("::error file=hall.figures,line=1"),
        "{text}"
    );
}

#[test]
fn a_check_that_was_cut_short_says_in_every_format_what_was_not_made() {
    let mut report = checked();
    report.checked[0].unmade_runs = 3;
    report.checked[0].leave = Some(LeaveAsked::CutShort(40));
    let shown = annotations(&report);
    for words in [
        "cut short: 3 runs not made",
        "cut short: 40 leaves not made",
    ] {
        assert!(shown.contains(words), "{shown}");
        assert!(junit(&report).contains(words), "{}", junit(&report));
        assert!(check_csv(&report).contains(words), "{}", check_csv(&report));
    }
    let json: Value = serde_json::from_str(&check_json(&report)).expect("it is JSON");
    let leave = &json["scenarios"][0]["leave"];
    assert_eq!(leave["unmade_leaves"], 40);
    assert_eq!(
        (&leave["was_tried"], &leave["is_ok"]),
        (&json!(false), &json!(false))
    );
    let text = check_text(&report, 80);
    assert!(
        text.contains("cut short before the first of 40 leaves"),
        "{text}"
    );
    assert!(!text.contains("Each was run in"), "{text}");
}

/// Two designs: one meets the goals, one misses one.
fn tuned() -> TuneReport {
    let missed = GoalFigure {
        subject: "lost".to_owned(),
        is_met: false,
        words: "lost: 7 items, at most 3".to_owned(),
        measured: Some(7.0),
        bound: Some(3.0),
        is_at_least: false,
        unit: "items".to_owned(),
        excess_share: Some(4.0 / 3.0),
    };
    let design = |value: usize, fate, cases: &[Case]| Design {
        values: vec![value],
        cases: cases.to_vec(),
        hoppers: Some(12),
        width_blocks: Some(4),
        fate: Ok(fate),
        command: format!("hallwright run hall.ron --set kegs={}", value + 1),
    };
    let [hoppers, work, width, stop] = [12.0, 3.75, 4.0, 175.0].map(compare::Value::Number);
    let costs = Costs([hoppers, work, width, stop, compare::Value::Nothing]);
    let miss = Miss {
        run: 1,
        goals: vec![(0, missed)],
    };
    TuneReport {
        version: "0.1.0".to_owned(),
        file: "hall.ron".to_owned(),
        title: "Hall".to_owned(),
        variant: None,
        ranges: vec![RangeTried {
            name: "kegs".to_owned(),
            values: vec!["1".to_owned(), "2".to_owned()],
        }],
        by: Measure::Hoppers,
        ticks_per_second: 20,
        has_sections: true,
        goal_lines: vec![41],
        runs: Runs {
            orders: OrdersTried {
                pairs: 6,
                update_orders: 3,
                signal_orders: 2,
            },
            seeds: 2,
            stop_ticks: Some(5),
            all: 8,
        },
        is_cut_short: false,
        designs: vec![
            design(0, Fate::Misses(miss), &[case(1, None), case(2, Some(300))]),
            design(1, Fate::Meets(costs), &[case(1, None)]),
        ],
        cheapest: Some(1),
        undominated: vec![1],
        obstacles: Vec::new(),
        nearest: Vec::new(),
        found: None,
    }
}

#[test]
fn a_search_for_programs() {
    let report: Value = serde_json::from_str(&tune_json(&tuned())).expect("it is JSON");
    for (field, expected) in [
        ("outcome", json!("found")),
        ("by", json!("hoppers")),
        ("stop_mark", json!("safe to close")),
        ("order_pairs", json!(6)),
        ("update_orders", json!(3)),
        ("signal_orders", json!(2)),
        ("seeds", json!(2)),
        ("stop_ticks", json!(5)),
        ("runs", json!(8)),
        ("is_cut_short", json!(false)),
        ("untried_designs", json!(0)),
        ("goals_met_by_designs", json!(1)),
        ("cheapest", json!(1)),
        ("undominated", json!([1])),
    ] {
        assert_eq!(report[field], expected, "{field}");
    }
    assert_eq!(
        report["kept_out"],
        json!([{"line": 41, "subject": "lost", "designs": 1, "nearest": null}])
    );
    assert_eq!(
        report["designs"],
        json!([
            {
                "values": {"kegs": "1"},
                "fate": "misses a goal",
                "is_undominated": false,
                "runs": 2,
                "hoppers": 12,
                "width_blocks": 4,
                "worst_work_units_per_tick": null,
                "worst_stop_ticks": null,
                // Its second run is the first with a miss.
                "first_miss": {
                    "update_order": "reversed",
                    "signal_order": "shuffled:4",
                    "seed": 2,
                    "stop_at_tick": 300,
                    "goals": [{
                        "line": 41,
                        "subject": "lost",
                        "met": false,
                        "words": "lost: 7 items, at most 3",
                        "unit": "items",
                        "measured": 7.0,
                        "at_most": 3.0,
                    }],
                },
                "reason": null,
                "command": "hallwright run hall.ron --set kegs=1",
            },
            {
                "values": {"kegs": "2"},
                "fate": "meets all goals",
                "is_undominated": true,
                "runs": 1,
                "hoppers": 12,
                "width_blocks": 4,
                // 1,500 units in 400 ticks.
                "worst_work_units_per_tick": 3.75,
                "worst_stop_ticks": 175,
                "first_miss": null,
                "reason": null,
                "command": "hallwright run hall.ron --set kegs=2",
            },
        ])
    );
}

#[test]
fn a_search_as_a_table() {
    assert_eq!(
        tune_csv(&tuned()),
        "kegs,fate,is_undominated,runs,hoppers,width_blocks,worst_work_units_per_tick,\
         worst_stop_ticks,missed_goals,reason,build_hours\n\
         1,misses a goal,false,2,12,4,,,\"lost: 7 items, at most 3\",,\n\
         2,meets all goals,true,1,12,4,3.7500,175,,,\n"
    );
}

/// The same with a third design, before whose second run the search was cut short.
fn cut_short() -> TuneReport {
    let mut report = tuned();
    report.ranges[0].values.push("3".to_owned());
    report.designs.push(Design {
        values: vec![2],
        cases: vec![case(1, None), case(2, None)],
        fate: Ok(Fate::Untried(1)),
        ..report.designs[1].clone()
    });
    report.is_cut_short = true;
    report.found = Some(FoundVariant {
        name: "found".to_owned(),
        text: "\"found\": {\"kegs\": 2},".to_owned(),
    });
    report
}

#[test]
fn a_search_that_was_cut_short_says_so_in_every_format() {
    let report = cut_short();
    assert_eq!(report.outcome(), TuneOutcome::CutShort);
    let text = tune_text(&report, 200);
    for words in [
        "1 of 2 designs tried meets the goal in every run; cut short before 1 more was tried to the end",
        "So far     by hoppers: kegs=2; not proven to be the cheapest",
        "So far no other beats these values",
        "The best so far as a variant",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    assert!(!text.contains("Cheapest"), "{text}");
    let json: Value = serde_json::from_str(&tune_json(&report)).expect("it is JSON");
    assert_eq!(json["outcome"], "cut short");
    assert_eq!(
        (&json["is_cut_short"], &json["untried_designs"]),
        (&json!(true), &json!(1))
    );
    assert_eq!(json["designs"][2]["reason"], "cut short after 1 of 2 runs");
    let row = "3,not tried to the end,false,2,12,4,,,,cut short after 1 of 2 runs,\n";
    assert!(tune_csv(&report).ends_with(row), "{}", tune_csv(&report));
    let variant = tune_variant(&report);
    assert!(variant.starts_with("// Cut short: not proven"), "{variant}");
    assert!(
        !tune_variant(&TuneReport {
            found: report.found,
            ..tuned()
        })
        .contains("//")
    );
}

#[test]
fn of_a_search_that_was_cut_short_nothing_found_is_no_miss() {
    let mut report = cut_short();
    (report.cheapest, report.found) = (None, None);
    report.designs.remove(1);
    assert_eq!(report.outcome(), TuneOutcome::CutShort);
    let text = tune_text(&report, 200);
    assert!(
        text.contains("None       so far: of 1 design tried, none meets the goal"),
        "{text}"
    );
    assert!(text.contains("lost kept out 1 design"), "{text}");
    // All were screened, and only the nearest is not known.
    report.designs.remove(1);
    assert_eq!(report.outcome(), TuneOutcome::NoneFound);
    let text = tune_text(&report, 200);
    assert!(
        text.contains("in these ranges: of 1 design, none meets the goal"),
        "{text}"
    );
    assert!(text.contains("Nearest    not worked out"), "{text}");
}

#[test]
fn what_was_built_is_a_line_of_each_scenario_and_its_problems_stand_in_the_json() {
    let silent = checked();
    assert!(!check_text(&silent, 80).contains("Built"));
    assert!(!check_json(&silent).contains("\"site\""));
    let mut placed = checked();
    placed.checked[0].fold.site = Some(SiteFinding {
        drawn_links: Vec::new(),
        parts: 806,
        stand: 692,
        links_proven: 1_211,
        at_their_word: 38,
        problems: vec![SiteProblemFinding {
            rule: "site::overlap",
            part: Some("one".to_owned()),
            at: Some(Block::new(1, 2, 3)),
            other: None,
            other_at: Some(Block::new(1, 2, 3)),
            wanted_at: Vec::new(),
            words: "one meets a wall".to_owned(),
            help: "Move one of the two.".to_owned(),
            is_allowed: true,
        }],
    });
    let text = check_text(&placed, 200);
    let line = "Built: 806 parts, 692 stand, 1,211 links proven, 38 taken at their word, 1 problem, which is allowed";
    assert!(text.contains(line), "{text}");
    let json: Value = serde_json::from_str(&check_json(&placed)).expect("it is JSON");
    let site = &json["scenarios"][0]["site"];
    assert_eq!(site["links_proven"], 1_211);
    let problem = &site["problems"][0];
    assert_eq!(problem["id"], "site::overlap");
    assert_eq!(problem["at"], json!([1, 2, 3]));
    assert_eq!(problem["is_allowed"], true);
}
