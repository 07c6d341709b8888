//! No run breaks a limit: random networks, with flows and sections drawn at random.

use hallwright_analysis::limits::{Bound, Limits, MarkLimits};
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::{Declarations, Flow, Section, Stop};
use hallwright_report::findings::{Findings, Marks};
use hallwright_report::units::Rate;
use hallwright_report::{RunInput, run_with_limits};
use hallwright_swarm::generate::generate;
use proptest::prelude::*;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// How much was seen, so that the test cannot pass hollow.
#[derive(Clone, Copy, Default, Debug)]
pub(crate) struct Seen {
    /// Flows with a limit that counted something.
    pub(crate) flows: u64,
    /// Of these, how many reached their limit.
    pub(crate) flows_at_limit: u64,
    /// Marks with a limit above 0 that were reached.
    pub(crate) marks: u64,
    /// Of these, how many reached it exactly.
    pub(crate) marks_at_limit: u64,
}

/// Draws some of the parts that hold items.
fn some_parts(network: &Network, percent: u32, random: &mut ChaCha8Rng) -> Vec<PartId> {
    let parts = network.parts();
    let holding = parts.filter(|(_, part)| !matches!(part, Part::Signal(_)));
    holding
        .map(|(id, _)| id)
        .filter(|_| random.random_ratio(percent, 100))
        .collect()
}

fn declare(network: &Network, length_ticks: u64, random: &mut ChaCha8Rng) -> Declarations {
    let mut declared = Declarations::default();
    for number in 0..6 {
        let mut into = some_parts(network, [8, 25][number % 2], random);
        if into.is_empty() {
            into.push(PartId::from_index(
                random.random_range(0..network.part_count()),
            ));
            into.retain(|part| !matches!(network.part(*part), Part::Signal(_)));
        }
        let kinds = 0..network.kinds().len();
        let is_picky = random.random_ratio(1, 2);
        declared.flows.push(Flow {
            name: format!("flow {number}"),
            into,
            kinds: kinds
                .map(KindId::from_index)
                .filter(|_| is_picky && random.random_ratio(1, 2))
                .collect(),
        });
    }
    for number in 0..3 {
        let mut line = some_parts(network, [5, 15, 40][number], random);
        // Chests seldom run empty.
        line.retain(|part| {
            !matches!(network.part(*part), Part::Container(_)) || random.random_ratio(1, 10)
        });
        let locked = line.iter().copied();
        let locked = locked.filter(|part| matches!(network.part(*part), Part::Hopper(_)));
        declared.sections.push(Section {
            name: format!("section {number}"),
            queue: Vec::new(),
            locked: locked.filter(|_| random.random_ratio(1, 3)).collect(),
            line,
            call: None,
            returns: Vec::new(),
            width_blocks: None,
        });
    }
    for at in [length_ticks / 5, length_ticks / 2] {
        declared.stops.push(Stop {
            at: Tick(at),
            actions: Vec::new(),
            restart: None,
        });
    }
    declared
}

fn exceeds(measured: Rate, bound: Option<&Bound>) -> bool {
    bound.is_some_and(|bound| measured.exceeds(Rate::from(bound)))
}

/// Runs the network of a seed and says what breaks a limit.
fn broken_limit(seed: u64, seen: &mut Seen) -> Result<(), String> {
    let blueprint = generate(seed);
    let Ok((network, setup)) = blueprint.build() else {
        return Ok(());
    };
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let declared = declare(&network, blueprint.length_ticks, &mut random);
    let input = RunInput {
        network: &network,
        timeline: &setup.timeline,
        seed: setup.seed,
        orders: setup.orders.clone(),
        run_ticks: blueprint.length_ticks,
        declarations: &declared,
    };
    let found = run_with_limits(&input, &mut (), &mut |_| {});
    let limits = found.limits.as_ref().ok_or("limits were asked for")?;
    flows(seed, &found, limits, seen)?;
    for (stop, least) in found.stops.iter().zip(&limits.stops) {
        let label = format!("seed {seed}, stop at {}", stop.at.0);
        marks(&label, &stop.all, &least.all, seen)?;
        for (section, least) in stop.sections.iter().zip(&least.sections) {
            let label = format!("{label}, {}", section.name);
            marks(&label, &section.marks, least, seen)?;
        }
    }
    Ok(())
}

fn flows(seed: u64, found: &Findings, limits: &Limits, seen: &mut Seen) -> Result<(), String> {
    for (flow, limit) in found.flows.iter().zip(&limits.flows) {
        if limit
            .counted
            .as_ref()
            .is_some_and(|most| flow.items > most.items)
            || exceeds(flow.whole, limit.counted.as_ref())
            || exceeds(flow.steadiest, limit.steadiest.as_ref())
        {
            return Err(format!("seed {seed}: {flow:?} above {limit:?}"));
        }
        let bounded = [
            (flow.items, limit.counted.as_ref()),
            (flow.steadiest.items, limit.steadiest.as_ref()),
        ];
        for (items, bound) in bounded {
            if let (Some(bound), true) = (bound, items > 0) {
                seen.flows += 1;
                seen.flows_at_limit += u64::from(bound.items == items);
            }
        }
    }
    Ok(())
}

/// Whether no mark came before it could; reports the first that did.
pub(crate) fn marks(
    label: &str,
    found: &Marks,
    least: &MarkLimits,
    seen: &mut Seen,
) -> Result<(), String> {
    let all = [
        ("cleared", found.cleared_ticks, least.cleared_ticks),
        (
            "safe to close",
            found.safe_to_close_ticks,
            least.safe_to_close_ticks,
        ),
        ("quiet", found.quiet.ticks, least.quiet_ticks),
    ];
    for (mark, found, least) in all {
        let Some(found) = found else { continue };
        let Some(least) = least.filter(|least| *least <= found) else {
            return Err(format!(
                "{label}: {mark} after {found} ticks, at best {least:?}"
            ));
        };
        seen.marks += u64::from(least > 0);
        seen.marks_at_limit += u64::from(least > 0 && least == found);
    }
    Ok(())
}

#[test]
fn no_run_breaks_a_limit() {
    let mut seen = Seen::default();
    let last = std::env::var("LIMIT_SEEDS").ok();
    let last = last.and_then(|seeds| seeds.parse().ok()).unwrap_or(1_500);
    let mut broken: Vec<String> = Vec::new();
    for seed in 0..last {
        if let Err(message) = broken_limit(seed, &mut seen) {
            broken.push(message);
        }
    }
    println!("{seen:?}");
    assert!(
        broken.is_empty(),
        "{} broken: {}",
        broken.len(),
        broken[..broken.len().min(12)].join("\n")
    );
    // All of it must have been met often, or the comparison says little.
    assert!(seen.flows > 2_500, "{seen:?}");
    assert!(seen.flows_at_limit > 250, "{seen:?}");
    assert!(seen.marks > 100, "{seen:?}");
    assert!(seen.marks_at_limit > 30, "{seen:?}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, failure_persistence: None, ..ProptestConfig::default() })]

    /// The seeds are those that proptest draws, others in each run.
    #[test]
    fn no_run_of_any_seed_breaks_a_limit(seed in any::<u64>()) {
        prop_assert_eq!(broken_limit(seed, &mut Seen::default()), Ok(()));
    }
}
