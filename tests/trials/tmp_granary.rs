use hallwright_core::engine::View;
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_core::network::Network;
use hallwright_core::order::Orders;
use hallwright_core::tick::Tick;
use hallwright_report::{RunInput, run_observed};
use hallwright_scenario::{LoadOptions, load};
use hallwright_trials::leave::{Leaving, leave, pair, patterns};
use hallwright_trials::{Machine, StopRange};
use std::path::Path;

fn env(name: &str, default: &str) -> String {
    std::env::var(name).unwrap_or(default.to_owned())
}

#[test]
#[ignore]
fn granary() {
    let path = Path::new(concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../scenarios/granary.ron"
    ));
    let options = LoadOptions {
        variant: Some(env("VARIANT", "five sections")),
        ..LoadOptions::default()
    };
    let scenario = load(path, &options).scenario.expect("it loads");
    let regions = scenario.declarations.regions.clone();
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
    let number = |name: &str, default: &str| env(name, default).parse::<usize>().expect("a number");
    let ways = &ways[..number("WAYS", "8")];
    let leaving = Leaving {
        apart_ticks: 40,
        pause_ticks: number("PAUSE", "40") as u64,
    };
    let range = StopRange {
        from: Tick(number("FROM", "2550") as u64),
        to: Tick(number("TO", "3100") as u64),
        step_ticks: number("STEP", "50") as u64,
    };
    let found = leave(&base, &regions, leaving, ways, range, &machine);
    for left in &found.ticks {
        println!(
            "{}: lamps {:?}, {} of {} broken, {} failed",
            left.tick,
            left.lamps_on,
            left.broken.len(),
            left.patterns,
            left.failed.len()
        );
        for (way, broken) in &left.broken {
            println!(
                "    way {} near first {} late {:?}",
                ways.iter().position(|w| w == way).unwrap_or(99),
                way.near_first,
                way.late_ticks
            );
            for one in broken.iter().take(number("SHOW", "6")) {
                println!("        {one:?}");
            }
        }
        if let Some((_, said)) = left.failed.first() {
            println!("    {said}");
        }
    }
}

struct Near<'a> {
    what: Vec<String>,
    network: &'a Network,
    from: u64,
    to: u64,
    which: &'static str,
}

impl Observer for Near<'_> {
    fn event(&mut self, moment: Moment, event: &Event, _: &View<'_>) {
        let tick = moment.tick;
        if tick.0 < self.from || tick.0 > self.to {
            return;
        }
        let name = |p: &hallwright_core::id::PartId| self.network.name(*p).to_owned();
        let text = match event {
            Event::SignalChanged { signal, level } => format!("{} = {level}", name(signal)),
            Event::ItemMoved { from, to, .. } => format!("{} -> {}", name(from), name(to)),
            Event::Clicked { dropper } => format!("{} clicked", name(dropper)),
            Event::Thrown { dropper, .. } => format!("{} threw", name(dropper)),
            Event::Locked { part } => format!("{} locked", name(part)),
            Event::Unlocked { part } => format!("{} unlocked", name(part)),
            other => format!("{other:?}"),
        };
        if self.what.iter().any(|w| text.contains(w.as_str())) {
            println!("{} {:>6} {text}", self.which, tick.0);
        }
    }
}

#[test]
#[ignore]
fn trace() {
    let path = Path::new(concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../scenarios/granary.ron"
    ));
    let options = LoadOptions {
        variant: Some(env("VARIANT", "five sections")),
        ..LoadOptions::default()
    };
    let scenario = load(path, &options).scenario.expect("it loads");
    let base = RunInput {
        network: &scenario.network,
        timeline: &scenario.timeline,
        seed: scenario.seed,
        orders: Orders::default(),
        run_ticks: scenario.run_ticks,
        declarations: &scenario.declarations,
    };
    let number = |name: &str, default: &str| env(name, default).parse::<u64>().expect("a number");
    let ways = patterns(1, 3, 200);
    let way = &ways[number("WAY", "0") as usize];
    println!("{way:?}");
    let leaving = Leaving {
        apart_ticks: 40,
        pause_ticks: number("PAUSE", "40"),
    };
    let both = pair(
        &base,
        &scenario.declarations.regions,
        leaving,
        way,
        Tick(number("AT", "3000")),
    );
    let what: Vec<String> = env("WHAT", "lift").split(',').map(str::to_owned).collect();
    for (which, one) in ["left", "twin"].into_iter().zip(&both) {
        if env("WHICH", which) != which {
            continue;
        }
        let input = one.input();
        let mut near = Near {
            what: what.clone(),
            network: input.network,
            from: number("A", "0"),
            to: number("B", "99999999"),
            which,
        };
        let _ = run_observed(&input, &mut near, &mut |_| {});
    }
}
