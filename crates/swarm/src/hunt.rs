//! Looks through many seeds for one on which two runs differ.

use std::fmt::Write;
use std::ops::Range;

use hallwright_reference::Fault;
use rayon::prelude::*;

use crate::blueprint::Blueprint;
use crate::coverage::{Coverage, Witness};
use crate::generate::generate;
use crate::lockstep::{Divergence, compare, compare_stepping};
use crate::readable::{in_words, named};
use crate::reduce::reduce;

/// How many seeds are run between two looks at whether a difference was found.
const BATCH: u64 = 512;

/// What a hunt brought home.
pub struct Outcome {
    /// What the networks met, up to and including the batch of the finding.
    pub coverage: Coverage,
    /// The difference with the lowest seed, if there was any.
    pub finding: Option<Finding>,
}

/// A network on which two runs differ.
pub struct Finding {
    /// The seed of the network.
    pub seed: u64,
    /// The network.
    pub blueprint: Blueprint,
    /// The difference.
    pub divergence: Divergence,
    fault: Option<Fault>,
}

/// Runs the networks of these seeds on all cores, until the first difference.
#[must_use]
pub fn hunt(seeds: Range<u64>, fault: Option<Fault>) -> Outcome {
    let mut coverage = Coverage::default();
    let mut start = seeds.start;
    while start < seeds.end {
        let end = seeds.end.min(start + BATCH);
        let (batch, finding) = (start..end)
            .into_par_iter()
            .fold(Batch::default, |batch, seed| run_one(batch, seed, fault))
            .reduce(Batch::default, joined);
        coverage = coverage.merged(&batch);
        if finding.is_some() {
            return Outcome { coverage, finding };
        }
        start = end;
    }
    Outcome {
        coverage,
        finding: None,
    }
}

/// How many networks it takes until a broken rule is noticed, of at most so many.
#[must_use]
pub fn networks_until_noticed(fault: Fault, most_networks: u64) -> Option<u64> {
    (0..most_networks)
        .find(|seed| compare_stepping(&generate(*seed), Some(fault)).is_err())
        .map(|seed| seed + 1)
}

type Batch = (Coverage, Option<Finding>);

fn run_one((mut coverage, finding): Batch, seed: u64, fault: Option<Fault>) -> Batch {
    let blueprint = generate(seed);
    let mut witness = Witness::of(&blueprint);
    let result = compare(&blueprint, fault, &mut witness);
    witness.finish(blueprint.length_ticks);
    coverage.add(&witness);
    let found = result.err().map(|divergence| Finding {
        seed,
        blueprint,
        divergence,
        fault,
    });
    (coverage, lower(finding, found))
}

fn joined(first: Batch, second: Batch) -> Batch {
    (first.0.merged(&second.0), lower(first.1, second.1))
}

/// The finding with the lower seed.
fn lower(first: Option<Finding>, second: Option<Finding>) -> Option<Finding> {
    first
        .into_iter()
        .chain(second)
        .min_by_key(|finding| finding.seed)
}

impl Finding {
    /// This finding on the smallest network that still shows a difference.
    #[must_use]
    pub fn reduced(&self) -> Self {
        let fault = self.fault;
        let (blueprint, divergence) =
            reduce(&self.blueprint, self.divergence.clone(), |blueprint| {
                compare(blueprint, fault, &mut ()).err()
            });
        Self {
            seed: self.seed,
            blueprint,
            divergence,
            fault,
        }
    }

    /// The finding as text: how to repeat it, the difference, the network.
    #[must_use]
    pub fn in_words(&self) -> String {
        let mut text = String::new();
        let fault = self
            .fault
            .map(|fault| format!(" --fault {fault:?}"))
            .unwrap_or_default();
        let difference = named(&self.blueprint, &self.divergence.to_string());
        let network = in_words(&self.blueprint);
        let written = write!(
            text,
            "seed {seed}\nrepeat with: cargo run --release -p hallwright-swarm -- --only {seed}{fault}\n\
             {difference}\n{network}",
            seed = self.seed,
        );
        written.map_or_else(|error| format!("{error}"), |()| text)
    }
}
