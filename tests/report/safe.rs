//! What is safe to close stays so: random networks that nobody touches after the stop are gone on with from
//! each mark, and nothing moves any more.

use hallwright_core::engine::{Engine, View};
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Timeline;
use hallwright_declared::declarations::{Declarations, Section, Stop};
use hallwright_report::{RunInput, run, setup_for};
use hallwright_swarm::generate::generate;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

/// So many networks are tried; `SAFE_NETWORKS` asks for more.
const NETWORKS: u64 = 600;
/// For so long nothing may move: longer than anything that these networks have under way.
const WATCHED_TICKS: u64 = 4_000;

/// Notes what moves in these parts (in any, for the whole hall) without the operator's doing.
struct Moves<'a> {
    among: Option<&'a [PartId]>,
    first: Option<(Tick, Event)>,
}

impl Moves<'_> {
    fn concerns(&self, part: PartId) -> bool {
        self.among.is_none_or(|among| among.contains(&part))
    }
}

impl Observer for Moves<'_> {
    fn event(&mut self, moment: Moment, event: &Event, _view: &View<'_>) {
        let is_here = match *event {
            Event::ItemMoved { from, to, .. } => self.concerns(from) || self.concerns(to),
            Event::Thrown { dropper, .. } => self.concerns(dropper),
            Event::CameLoose { place, .. } => self.concerns(place),
            Event::Collected { hopper, .. } => self.concerns(hopper),
            Event::Merged { mouth, .. } | Event::Lost { mouth, .. } => self.concerns(mouth),
            Event::BoxSet { bench, .. } | Event::BoxLifted { bench, .. } => self.concerns(bench),
            // An empty shuttle may go round for ever.
            _ => false,
        };
        if is_here && self.first.is_none() {
            self.first = Some((moment.tick, *event));
        }
    }
}

/// Some lines, each of a few parts.
fn sections(network: &Network, random: &mut ChaCha8Rng) -> Vec<Section> {
    let mut sections = Vec::new();
    for percent in [10, 30, 60] {
        let parts = network.parts();
        let parts = parts.filter(|(_, part)| !matches!(part, Part::Signal(_) | Part::Container(_)));
        let line = parts.filter(|_| random.random_ratio(percent, 100));
        sections.push(Section {
            name: format!("{percent} %"),
            line: line.map(|(part, _)| part).collect(),
            queue: Vec::new(),
            locked: Vec::new(),
            call: None,
            returns: Vec::new(),
            width_blocks: None,
        });
    }
    sections
}

/// How many marks of the network of a seed were gone on from: of the whole hall, and of sections.
fn tried(seed: u64) -> (u64, u64) {
    let blueprint = generate(seed);
    let Ok((network, setup)) = blueprint.build() else {
        return (0, 0);
    };
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let stop_at = Tick(blueprint.length_ticks / 2);
    let before = setup.timeline.entries().iter();
    let before = before.filter(|(at, _)| *at < stop_at).cloned();
    let timeline = Timeline::new(before.collect());
    let declarations = Declarations {
        sections: sections(&network, &mut random),
        stops: vec![Stop {
            at: stop_at,
            actions: Vec::new(),
            restart: None,
        }],
        ..Declarations::default()
    };
    let input = RunInput {
        network: &network,
        timeline: &timeline,
        seed: setup.seed,
        orders: setup.orders.clone(),
        run_ticks: blueprint.length_ticks * 2,
        declarations: &declarations,
    };
    let found = run(&input, &mut |_| {});
    let Some(stop) = found.stops.first() else {
        return (0, 0);
    };
    let stays = |after_ticks: u64, among: Option<&[PartId]>| {
        let whole = setup_for(&input);
        let mut engine = Engine::new(&network, &whole);
        let mark = stop_at + after_ticks;
        engine.run_until(mark + 1, &mut ());
        let mut moves = Moves { among, first: None };
        engine.run_until(mark + WATCHED_TICKS, &mut moves);
        assert_eq!(
            moves.first, None,
            "seed {seed}: safe to close {after_ticks} ticks after the stop at {}",
            stop_at.0
        );
    };
    let mut marks = (0, 0);
    if let Some(after_ticks) = stop.all.safe_to_close_ticks {
        stays(after_ticks, None);
        marks.0 += 1;
    }
    for (section, declared) in stop.sections.iter().zip(&declarations.sections) {
        if let Some(after_ticks) = section.marks.safe_to_close_ticks {
            stays(after_ticks, Some(&declared.line));
            marks.1 += 1;
        }
    }
    marks
}

#[test]
fn nothing_moves_after_a_hall_is_safe_to_close() {
    let networks = std::env::var("SAFE_NETWORKS").ok();
    let networks = networks.map_or(NETWORKS, |text| text.parse().expect("a number"));
    let marks = (0..networks).map(tried);
    let (halls, sections) = marks.fold((0, 0), |sum, marks| (sum.0 + marks.0, sum.1 + marks.1));
    println!("{networks} networks: {halls} halls and {sections} sections were safe to close");
    // Whole random networks seldom come to rest: some clock or shuttle goes on for ever.
    assert!(sections * 4 > networks, "only {sections} sections");
}
