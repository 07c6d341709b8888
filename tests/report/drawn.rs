//! Everything that can be declared of a network, at random.

use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::part::{Part, Signal};
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Action;
use hallwright_declared::declarations::{
    CostWeights, Declarations, Desk, Flow, Gather, Lamp, Open, Restart, Section, Stop, Store,
    StorePurpose,
};
use hallwright_report::RunInput;
use hallwright_swarm::generate::generate;
use rand::seq::IndexedRandom as _;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

/// A random network, and everything declared of it.
pub(crate) struct Drawn {
    pub(crate) network: Network,
    setup: Setup,
    pub(crate) run_ticks: u64,
    pub(crate) declared: Declarations,
    /// For what else is drawn.
    pub(crate) random: ChaCha8Rng,
}

impl Drawn {
    /// That of a seed; `None` if its network cannot be built.
    pub(crate) fn of(seed: u64) -> Option<Self> {
        let blueprint = generate(seed);
        let (network, setup) = blueprint.build().ok()?;
        let run_ticks = blueprint.length_ticks.max(10);
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        let share = Share(if seed.is_multiple_of(2) { 100 } else { 15 });
        let declared = declared(&network, run_ticks, share, &mut random);
        Some(Self {
            network,
            setup,
            run_ticks,
            declared,
            random,
        })
    }

    /// Its run with these declarations.
    pub(crate) fn input<'a>(&'a self, declarations: &'a Declarations) -> RunInput<'a> {
        RunInput {
            network: &self.network,
            timeline: &self.setup.timeline,
            seed: self.setup.seed,
            orders: self.setup.orders.clone(),
            run_ticks: self.run_ticks,
            declarations,
        }
    }
}

/// So many percent of what is declared of others: where little is, most moves are of interest to nobody, and
/// the recorder takes a short way.
#[derive(Clone, Copy)]
struct Share(u32);

impl Share {
    fn of(self, percent: u32) -> u32 {
        percent * self.0 / 100
    }

    fn is_whole(self) -> bool {
        self.0 == 100
    }

    /// The line of a section. Where little is declared it is a stretch of parts that follow each other, so that
    /// much moves within it.
    fn line(self, number: usize, network: &Network, random: &mut ChaCha8Rng) -> Vec<PartId> {
        if self.is_whole() {
            return some(network, false, 20, random);
        }
        let parts = some(network, false, 90, random);
        let each = parts.len().div_ceil(4).max(1);
        parts.chunks(each).nth(number).unwrap_or(&[]).to_vec()
    }
}

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

/// Everything that can be declared.
fn declared(
    network: &Network,
    length_ticks: u64,
    share: Share,
    random: &mut ChaCha8Rng,
) -> Declarations {
    let mut declared = Declarations::default();
    let mut in_no_store = some(network, false, share.of(60), random);
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
        let at = some(network, false, share.of(20), random);
        declared.flows.push(Flow {
            name: format!("flow {number}"),
            into: at.clone(),
            kinds: kinds(network, 40, random),
        });
        declared.gathers.push(Gather {
            name: format!("gather {number}"),
            at,
        });
        let line = share.line(number, network, random);
        declared.sections.push(Section {
            name: format!("section {number}"),
            queue: some(network, false, share.of(15), random),
            locked: hoppers(network, &line),
            call: some(network, true, 50, random).first().copied(),
            returns: some(network, false, share.of(20), random),
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
    declare_once(&mut declared, network, share, random);
    declared.stops = stops(network, length_ticks, share, random);
    declared
}

/// What there is one of.
fn declare_once(
    declared: &mut Declarations,
    network: &Network,
    share: Share,
    random: &mut ChaCha8Rng,
) {
    declared.sieves = hoppers(network, &some(network, false, share.of(40), random));
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

/// Two stops, the first of them with a restart or without. Where little is declared it comes soon: what moves
/// after it is measured too.
fn stops(network: &Network, length_ticks: u64, share: Share, random: &mut ChaCha8Rng) -> Vec<Stop> {
    let latest_ticks = match share.is_whole() {
        true => length_ticks,
        false => length_ticks / 5,
    };
    let after_ticks = random.random_range(1..latest_ticks);
    vec![
        Stop {
            at: Tick(length_ticks / 5),
            actions: levers_moved(network, random),
            restart: random.random_ratio(1, 2).then_some(Restart {
                after_ticks,
                actions: levers_moved(network, random),
            }),
        },
        Stop {
            at: Tick(length_ticks / 2),
            actions: levers_moved(network, random),
            restart: None,
        },
    ]
}

/// Every lever moved somewhere.
fn levers_moved(network: &Network, random: &mut ChaCha8Rng) -> Vec<Action> {
    let is_lever = |part: &PartId| matches!(network.signal(*part), Some(Signal::Lever { .. }));
    let levers = network.part_ids().filter(is_lever);
    let moved = levers.map(|lever| Action::MoveLever {
        lever,
        on: random.random_ratio(1, 2),
    });
    moved.collect()
}
