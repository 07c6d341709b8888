//! A run that is kept halfway and gone on with finds what a whole one finds: random networks with everything
//! declared of them at random, and all that is in between goes through bytes.

use hallwright_core::declare::{
    CostWeights, Declarations, Desk, Flow, Gather, Lamp, Open, Restart, Section, Stop, Store,
    StorePurpose,
};
use hallwright_core::event::Trace;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_core::tick::Tick;
use hallwright_report::{Halfway, RunInput, run_in_parts};
use hallwright_swarm::generate::generate;
use rand::seq::IndexedRandom as _;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

/// So many networks are tried; `HALFWAY_NETWORKS` asks for more.
const NETWORKS: u64 = 40;

/// Parts that hold items, or signals, each drawn with this chance.
fn some(
    network: &Network,
    are_signals: bool,
    percent: u32,
    random: &mut ChaCha8Rng,
) -> Vec<PartId> {
    let parts = network.parts();
    let parts = parts.filter(|(_, part)| matches!(part, Part::Signal(_)) == are_signals);
    let parts = parts.filter(|_| random.random_ratio(percent, 100));
    parts.map(|(id, _)| id).collect()
}

fn hoppers(network: &Network, among: &[PartId]) -> Vec<PartId> {
    let among = among.iter().copied();
    among
        .filter(|part| network.part(*part).hopper().is_some())
        .collect()
}

fn kinds(network: &Network, percent: u32, random: &mut ChaCha8Rng) -> Vec<KindId> {
    let all = (0..network.kinds().len()).map(KindId::from_index);
    all.filter(|_| random.random_ratio(percent, 100)).collect()
}

/// Everything that can be declared, at random.
fn declared(network: &Network, length_ticks: u64, random: &mut ChaCha8Rng) -> Declarations {
    let mut declared = Declarations::default();
    let mut in_no_store = some(network, false, 60, random);
    for number in 0..4 {
        let parts = in_no_store.split_off(in_no_store.len() * (3 - number) / 4);
        declared.stores.push(Store {
            name: format!("store {number}"),
            parts,
            takes: kinds(network, 50, random),
            purpose: [
                StorePurpose::Slice,
                StorePurpose::Slice,
                StorePurpose::Overflow,
                StorePurpose::Serving,
            ][number],
        });
        let at = some(network, false, 20, random);
        declared.flows.push(Flow {
            name: format!("flow {number}"),
            into: at.clone(),
            kinds: kinds(network, 40, random),
        });
        declared.gathers.push(Gather {
            name: format!("gather {number}"),
            at,
        });
        let line = some(network, false, 20, random);
        declared.sections.push(Section {
            name: format!("section {number}"),
            queue: some(network, false, 15, random),
            locked: hoppers(network, &line),
            call: some(network, true, 50, random).first().copied(),
            returns: some(network, false, 20, random),
            line,
            width_blocks: None,
        });
        if let Some(signal) = some(network, true, 50, random).last() {
            declared.lamps.push(Lamp {
                name: format!("lamp {number}"),
                signal: *signal,
                watches: some(network, false, 20, random),
            });
        }
        declared.open.push(Open {
            name: format!("open {number}"),
            parts: some(network, false, 10, random),
            behind: some(network, false, 30, random),
            kinds: Vec::new(),
        });
    }
    declare_once(&mut declared, network, random);
    declared.stops = stops(length_ticks, random);
    declared
}

/// What there is one of.
fn declare_once(declared: &mut Declarations, network: &Network, random: &mut ChaCha8Rng) {
    declared.sieves = hoppers(network, &some(network, false, 40, random));
    let holding = some(network, false, 100, random);
    let boxes = kinds(network, 100, random).into_iter();
    let boxes: Vec<KindId> = boxes.filter(|kind| network.kind(*kind).is_box).collect();
    if let (Some(kind), Some(desk)) = (boxes.choose(random), holding.choose(random)) {
        declared.desks.push(Desk {
            name: "desk".to_owned(),
            kind: *kind,
            desk: *desk,
            token: KindId::from_index(0),
            counter: some(network, false, 10, random),
        });
    }
    if random.random_ratio(1, 2) {
        declared.costs = Some(CostWeights {
            hopper_turn_picoseconds: 3,
            comparator_update_picoseconds: 5,
            loose_stack_picoseconds: 7,
            base_picoseconds: 11,
        });
    }
}

/// Two stops, the first of them with a restart or without.
fn stops(length_ticks: u64, random: &mut ChaCha8Rng) -> Vec<Stop> {
    let after_ticks = random.random_range(1..length_ticks);
    vec![
        Stop {
            at: Tick(length_ticks / 5),
            actions: Vec::new(),
            restart: random.random_ratio(1, 2).then_some(Restart {
                after_ticks,
                actions: Vec::new(),
            }),
        },
        Stop {
            at: Tick(length_ticks / 2),
            actions: Vec::new(),
            restart: None,
        },
    ]
}

/// What a run finds in words, its trace, and what was kept at these ticks.
fn found(
    input: &RunInput<'_>,
    from: Option<Halfway>,
    keep_at: &[Tick],
) -> (String, Trace, Vec<Halfway>) {
    let mut kept = Vec::new();
    let mut trace = Trace::default();
    let mut keep = |halfway| kept.push(halfway);
    let found = run_in_parts(input, from, keep_at, &mut keep, &mut trace, &mut |_| {});
    (format!("{found:#?}"), trace, kept)
}

/// Tries the network of a seed at some ticks; gives at how many.
fn tried(seed: u64) -> usize {
    let blueprint = generate(seed);
    let Ok((network, setup)) = blueprint.build() else {
        return 0;
    };
    let length_ticks = blueprint.length_ticks.max(10);
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let declared = declared(&network, length_ticks, &mut random);
    let input = RunInput {
        network: &network,
        timeline: &setup.timeline,
        seed: setup.seed,
        orders: setup.orders.clone(),
        run_ticks: length_ticks,
        declarations: &declared,
    };
    let stop = length_ticks / 5;
    let mut ticks = vec![
        Tick(0),
        Tick(1),
        Tick(stop),
        Tick(stop + 1),
        Tick(length_ticks / 2),
        Tick(length_ticks - 1),
    ];
    ticks.extend((0..3).map(|_| Tick(random.random_range(0..length_ticks))));
    if let Some(restart) = &declared.stops[0].restart {
        ticks.push(Tick((stop + restart.after_ticks).min(length_ticks - 1)));
    }
    ticks.sort_unstable();
    ticks.dedup();
    let (whole, whole_trace, kept) = found(&input, None, &ticks);
    assert_eq!(kept.len(), ticks.len(), "seed {seed}");
    let mut tried = 0;
    for (tick, halfway) in ticks.iter().zip(kept) {
        let bytes = postcard::to_stdvec(&halfway).expect("plain data is written");
        let read: Halfway = postcard::from_bytes(&bytes).expect("what was written is read");
        assert_eq!(read.tick(), *tick);
        let (split, trace, _) = found(&input, Some(read), &[]);
        assert!(
            split == whole,
            "seed {seed}, kept before tick {}: {}",
            tick.0,
            first_difference(&whole, &split)
        );
        let rest = whole_trace.events.iter();
        let rest = rest.skip_while(|(moment, _)| moment.tick < *tick);
        assert!(
            rest.eq(&trace.events),
            "seed {seed}, kept before {}",
            tick.0
        );
        tried += 1;
    }
    tried
}

fn first_difference(whole: &str, split: &str) -> String {
    let mut lines = whole.lines().zip(split.lines()).enumerate();
    let Some((number, (one, other))) = lines.find(|(_, (one, other))| one != other) else {
        return "one is longer".to_owned();
    };
    let around: Vec<&str> = whole
        .lines()
        .skip(number.saturating_sub(6))
        .take(6)
        .collect();
    format!("{}\nwhole: {one}\nsplit: {other}", around.join("\n"))
}

#[test]
fn random_networks_run_split_and_whole_alike() {
    let networks = std::env::var("HALFWAY_NETWORKS").ok();
    let networks = networks.map_or(NETWORKS, |text| text.parse().expect("a number"));
    let tried: usize = (0..networks).map(tried).sum();
    println!("{tried} splits of {networks} networks");
    assert!(tried as u64 > 3 * networks, "only {tried} splits");
}
