use hallwright_core::declare::Region;
use hallwright_core::order::Orders;
use hallwright_core::tick::Tick;
use hallwright_report::RunInput;
use hallwright_scenario::{LoadOptions, load};
use hallwright_trials::leave::{Leaving, leave, patterns};
use hallwright_trials::{Machine, StopRange};
use std::path::Path;

#[test]
#[ignore]
fn granary() {
    let path = Path::new(concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../scenarios/granary.ron"
    ));
    let options = LoadOptions {
        variant: Some("five sections".to_owned()),
        ..LoadOptions::default()
    };
    let scenario = load(path, &options).scenario.expect("it loads");
    let names: [(&str, &[&str]); 3] = [
        (
            "near",
            &["quay", "unloading", "cart", "fork", "run", "lamp"],
        ),
        ("middle", &["line", "canal", "first", "to overflow"]),
        (
            "far",
            &["second", "hatch", "retrieval", "overflow", "unsorted"],
        ),
    ];
    let mut none = Vec::new();
    let mut regions: Vec<Region> = names
        .iter()
        .map(|(name, _)| Region {
            name: (*name).to_owned(),
            parts: vec![],
        })
        .collect();
    for part in scenario.network.part_ids() {
        let name = scenario.network.name(part);
        let head = name.split(['.', '[']).next().unwrap_or(name);
        let head = head.strip_suffix(" permit").unwrap_or(head);
        match names.iter().position(|(_, heads)| heads.contains(&head)) {
            Some(at) => regions[at].parts.push(part),
            None => none.push(name.to_owned()),
        }
    }
    println!("in none: {none:?}");
    let base = RunInput {
        network: &scenario.network,
        timeline: &scenario.timeline,
        seed: scenario.seed,
        orders: Orders::default(),
        run_ticks: scenario.run_ticks,
        declarations: &scenario.declarations,
    };
    let machine = Machine::new(None, |_| {}).expect("threads start");
    let ways = patterns(1, 3, 200);
    let ways = &ways[..8];
    for (from, to, step) in [(2500, 2500, 1), (2550, 3100, 50)] {
        let range = StopRange {
            from: Tick(from),
            to: Tick(to),
            step_ticks: step,
        };
        let found = leave(
            &base,
            &regions,
            Leaving {
                apart_ticks: 40,
                pause_ticks: 40,
            },
            ways,
            range,
            &machine,
        );
        for left in &found.ticks {
            println!(
                "{}: lamps {:?}, {} of {} broken, {} failed",
                left.tick,
                left.lamps_on,
                left.broken.len(),
                left.patterns,
                left.failed.len()
            );
            if let Some((way, broken)) = left.broken.first() {
                println!(
                    "    near first {} late {:?}",
                    way.near_first, way.late_ticks
                );
                for one in broken.iter().take(6) {
                    println!("    {one:?}");
                }
            }
            if let Some((_, said)) = left.failed.first() {
                println!("    {said}");
            }
        }
    }
}
