//! `tune` finds what a full enumeration finds: here every run of every design is made, one after
//! the other, with nothing but the library's `load` and `run`.

use hallwright_core::order::{Order, Orders};
use hallwright_report::goals::{Bound, Verdict};
use hallwright_report::{RunInput, run};
use hallwright_scenario::{LoadOptions, load};
use serde_json::Value;

use crate::support::{Halls, hallwright, stderr, stdout};
use crate::tune::mill;

/// A search space.
struct Space {
    text: String,
    /// Each parameter with its values.
    values: Vec<(&'static str, Vec<&'static str>)>,
    seeds: u64,
    has_stop: bool,
}

/// One design, with all its runs made.
struct Enumerated {
    set: Vec<(String, String)>,
    /// Every goal of every run; none if it does not compile.
    runs: Vec<Vec<Verdict>>,
    costs: Costs,
}

/// What is compared: hoppers, highest mean work, width, worst stop.
#[derive(Clone, Copy, PartialEq, Debug)]
struct Costs([f64; 4]);

/// Update order and signal order, as with one shuffle.
const ORDERS: [(Order, Order); 6] = [
    (Order::Declared, Order::Declared),
    (Order::Reversed, Order::Declared),
    (Order::Declared, Order::Reversed),
    (Order::Reversed, Order::Reversed),
    (Order::Shuffled(1), Order::Declared),
    (Order::Declared, Order::Shuffled(1)),
];

/// All designs, the last value changing quickest.
fn designs(values: &[(&str, Vec<&str>)]) -> Vec<Vec<(String, String)>> {
    values.iter().fold(vec![Vec::new()], |all, (name, values)| {
        let longer = all.iter().flat_map(|set| {
            values.iter().map(|value| {
                let mut set = set.clone();
                set.push(((*name).to_owned(), (*value).to_owned()));
                set
            })
        });
        longer.collect()
    })
}

fn enumerated(path: &str, set: Vec<(String, String)>, space: &Space) -> Enumerated {
    let mut runs = Vec::new();
    let mut costs = Costs([0.0, 0.0, f64::INFINITY, 0.0]);
    for further in 0..=space.seeds {
        let options = LoadOptions {
            set: set.clone(),
            // The scenarios here have the seed 0.
            seed: Some(further),
            ..LoadOptions::default()
        };
        let Some(scenario) = load(path.as_ref(), &options).scenario else {
            break;
        };
        for (update, signal) in ORDERS {
            // The cooldown of 8 ticks is the longest period.
            for later in 0..if space.has_stop { 8 } else { 1 } {
                let mut input = RunInput {
                    network: &scenario.network,
                    timeline: &scenario.timeline,
                    seed: scenario.seed,
                    orders: Orders {
                        update: update.clone(),
                        signal: signal.clone(),
                    },
                    run_ticks: scenario.run_ticks,
                    declarations: &scenario.declarations,
                };
                // The only stop, moved by hand.
                let mut moved = scenario.declarations.clone();
                for stop in &mut moved.stops {
                    stop.at = stop.at + later;
                    input.run_ticks = scenario.run_ticks + later;
                }
                input.declarations = &moved;
                let found = run(&input, &mut |_| {});
                let worst = &mut costs.0;
                worst[0] = found.cost.hoppers as f64;
                worst[1] =
                    worst[1].max(found.cost.work_units as f64 / found.cost.work_ticks as f64);
                worst[2] = found.cost.width_blocks.map_or(f64::INFINITY, f64::from);
                for stop in &found.stops {
                    let ticks = stop.all.safe_to_close_ticks;
                    worst[3] = worst[3].max(ticks.map_or(f64::INFINITY, |ticks| ticks as f64));
                }
                runs.push(found.verdicts);
            }
        }
    }
    Enumerated { set, runs, costs }
}

impl Enumerated {
    fn meets_all(&self) -> bool {
        !self.runs.is_empty() && self.runs.iter().flatten().all(Verdict::is_met)
    }

    /// The goals missed in the first run that misses any.
    fn first_missed(&self) -> Option<(usize, Vec<usize>)> {
        let missed = |verdicts: &Vec<Verdict>| -> Vec<usize> {
            let goals = 0..verdicts.len();
            goals.filter(|goal| !verdicts[*goal].is_met()).collect()
        };
        let runs = self.runs.iter().map(missed).enumerate();
        runs.into_iter().find(|(_, missed)| !missed.is_empty())
    }

    /// By what share of its bound a goal is exceeded in its worst run.
    fn excess(&self, goal: usize) -> f64 {
        let checks = self.runs.iter().flat_map(|verdicts| &verdicts[goal].checks);
        let shares = checks.map(|check| {
            let value = check.measured.value();
            value.map_or(f64::INFINITY, |value| match check.bound {
                Bound::AtLeast(least) => (least - value) / least.max(1.0),
                Bound::AtMost(most) => (value - most) / most.max(1.0),
            })
        });
        shares.fold(f64::NEG_INFINITY, f64::max)
    }
}

/// The least by the first key, then the next, and at last the first.
fn least(places: &[usize], key: impl Fn(usize) -> Vec<f64>) -> Option<usize> {
    let mut best: Option<(usize, Vec<f64>)> = None;
    for place in places {
        let key = key(*place);
        if best.as_ref().is_none_or(|(_, least)| key < *least) {
            best = Some((*place, key));
        }
    }
    best.map(|(place, _)| place)
}

fn is_beaten(costs: Costs, by: Costs) -> bool {
    let pairs = || costs.0.iter().zip(by.0);
    pairs().all(|(own, other)| other <= *own) && pairs().any(|(own, other)| other < *own)
}

fn tuned(path: &str, space: &Space, by: &str) -> Value {
    let ranges = space.values.iter();
    let ranges: Vec<String> = ranges
        .map(|(name, values)| format!("{name}={}", values.join(",")))
        .collect();
    let seeds = space.seeds.to_string();
    let mut arguments = vec![
        "tune",
        path,
        "--no-cache",
        "--shuffles",
        "1",
        "--seeds",
        &seeds,
    ];
    arguments.extend(["--by", by, "--output", "json=-"]);
    for range in &ranges {
        arguments.extend(["--range", range]);
    }
    let output = hallwright(&arguments);
    serde_json::from_str(&stdout(&output)).unwrap_or_else(|_| panic!("{}", stderr(&output)))
}

/// Compares a space; returns how many designs meet all goals, and how many do not compile.
fn compare(space: &Space) -> (usize, usize) {
    let halls = Halls::new();
    halls.write("hall.ron", &space.text);
    let path = halls.path("hall.ron");
    let sets = designs(&space.values).into_iter();
    let all: Vec<Enumerated> = sets.map(|set| enumerated(&path, set, space)).collect();
    let found: Vec<usize> = (0..all.len())
        .filter(|place| all[*place].meets_all())
        .collect();
    for (measure, by) in ["hoppers", "work", "width", "stop"].into_iter().enumerate() {
        let report = tuned(&path, space, by);
        let cheapest = least(&found, |place| {
            let Costs(costs) = all[place].costs;
            [costs[measure]].into_iter().chain(costs).collect()
        });
        assert_eq!(report["cheapest"], serde_json::json!(cheapest), "by {by}");
    }
    let report = tuned(&path, space, "hoppers");
    let is_best = |place: &&usize| {
        let own = all[**place].costs;
        !found.iter().any(|other| is_beaten(own, all[*other].costs))
    };
    let undominated: Vec<usize> = found.iter().filter(is_best).copied().collect();
    assert_eq!(report["undominated"], serde_json::json!(undominated));
    for (place, one) in all.iter().enumerate() {
        compare_one(one, &report["designs"][place]);
    }
    if found.is_empty() {
        compare_nearest(&all, &report);
    }
    let refused = all.iter().filter(|one| one.runs.is_empty()).count();
    (found.len(), refused)
}

fn compare_one(one: &Enumerated, row: &Value) {
    let values = one
        .set
        .iter()
        .map(|(name, value)| (name.clone(), value.as_str().into()));
    assert_eq!(row["values"], Value::Object(values.collect()));
    let fate = match (one.runs.is_empty(), one.meets_all()) {
        (true, _) => "does not compile",
        (_, true) => "meets all goals",
        _ => "misses a goal",
    };
    assert_eq!(row["fate"], fate, "{:?}", one.set);
    if one.meets_all() {
        let Costs([hoppers, work, width, stop]) = one.costs;
        assert_eq!(row["hoppers"].as_f64(), Some(hoppers));
        assert_eq!(row["worst_work_units_per_tick"].as_f64(), Some(work));
        assert_eq!(row["width_blocks"].as_f64().unwrap_or(f64::INFINITY), width);
        assert_eq!(row["worst_stop_ticks"].as_f64().unwrap_or(0.0), stop);
    } else if let Some((_, goals)) = one.first_missed() {
        let missed = row["first_miss"]["goals"].as_array().expect("a list");
        assert_eq!(missed.len(), goals.len(), "{:?}", one.set);
    }
}

/// What kept designs out, and how near they came, over all runs.
fn compare_nearest(all: &[Enumerated], report: &Value) {
    let compiled: Vec<usize> = (0..all.len())
        .filter(|place| !all[*place].runs.is_empty())
        .collect();
    let goals = all[compiled[0]].runs[0].len();
    let misses = |place: usize, goal: usize| {
        all[place]
            .runs
            .iter()
            .any(|verdicts| !verdicts[goal].is_met())
    };
    let mut rows = report["kept_out"].as_array().expect("a list").iter();
    for goal in 0..goals {
        let first = all.iter().filter_map(Enumerated::first_missed);
        let kept_out = first.filter(|(_, goals)| goals.contains(&goal)).count();
        if kept_out == 0 {
            continue;
        }
        let row = rows.next().expect("a row for each goal in the way");
        assert_eq!(row["designs"], kept_out);
        let nearest = least(&compiled, |place| {
            vec![
                f64::from(u8::from(misses(place, goal))),
                all[place].excess(goal),
            ]
        });
        assert_eq!(
            row["nearest"]["design"],
            serde_json::json!(nearest),
            "goal {goal}"
        );
    }
    assert!(rows.next().is_none());
    let nearest = least(&compiled, |place| {
        let missed: Vec<usize> = (0..goals).filter(|goal| misses(place, *goal)).collect();
        let excess = missed.iter().map(|goal| all[place].excess(*goal));
        vec![missed.len() as f64, excess.fold(0.0, f64::max)]
    });
    assert_eq!(report["nearest"][0]["design"], serde_json::json!(nearest));
}

#[test]
fn lanes_and_locks() {
    let space = Space {
        text: mill(),
        values: vec![
            ("lanes", vec!["1", "2", "3", "4", "5"]),
            ("locked", vec!["false", "true"]),
        ],
        seeds: 0,
        has_stop: true,
    };
    assert_eq!(compare(&space), (4, 0), "2 to 5 lanes without locks");
}

#[test]
fn barley_that_comes_by_chance_in_bins_of_a_size() {
    let text = r#"(
        title: "Millbrook Granary, bins in the rain",
        run_for: "60s",
        goods: {"barley": 64},
        parameters: {"bins": 1, "slots": 1, "lane": "short"},
        modules: {
            "bin": (
                width_blocks: 2,
                parameters: {"slots": Number, "from": Name, "is_long": Flag},
                parts: {
                    "first": Hopper(above: "$from", target: If("$is_long", "second", "bin")),
                    "second": Hopper(when: "$is_long", target: "bin"),
                    "bin": Container(slots: "$slots"),
                },
            ),
        },
        parts: {"cart": Chest()},
        uses: {"row": Row(module: "bin", count: "$bins", with: {
            "slots": "$slots", "from": "cart", "is_long": Is("$lane", "long"),
        })},
        arrivals: {"rain": ByChance(place: "cart", kind: "barley", per_tick: 0.2, until: "50s")},
        goals: [
            // It is about the search, not about building.
            Crowded(["cart"]),
            WithoutHome(["barley"]),
            RefusedAtMost(1000),
            Contents(parts: "cart", at_most: 16),
            Contents(parts: "row[*].bin", at_least: 185),
        ],
    )"#;
    let space = Space {
        text: text.to_owned(),
        values: vec![
            ("bins", vec!["1", "2", "3"]),
            ("slots", vec!["0", "1", "2", "3"]),
            ("lane", vec!["long", "short"]),
        ],
        seeds: 2,
        has_stop: false,
    };
    let (found, refused) = compare(&space);
    // A bin must have a slot; 3 x 64 = 192 is enough for what comes or not, as chance has it.
    assert_eq!(refused, 3 * 2);
    assert!(found > 0 && found < 18, "{found}");
}

#[test]
fn a_space_without_a_solution() {
    // Two lanes take 53.9 units/t, and one lane 27.8 s (docs/do/tuning.md).
    let text = mill().replace(
        "MisplacedAtMost(0),",
        "MisplacedAtMost(0), WorkPerTickAtMost(50),",
    );
    let space = Space {
        text,
        values: vec![
            ("lanes", vec!["4", "3", "2", "1"]),
            ("locked", vec!["true", "false"]),
        ],
        seeds: 0,
        has_stop: true,
    };
    assert_eq!(compare(&space), (0, 0));
}
