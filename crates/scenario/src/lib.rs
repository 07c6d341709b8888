//! Reads scenarios and compiles them to networks.
//!
//! A scenario is a file in RON: a layout, what arrives when, what the operator does, and the goals
//! it must meet. `docs/look-up/layouts.md` and the pages that it lists describe the language. This crate and [`hallwright_text`] are the
//! only ones that know RON and source text. The three stages, each with types of its own:
//!
//! 1. `text` and `document`: the file as it is written, every word with its place.
//! 2. `resolve`: names become ids, parameters become values, modules become parts; every mistake
//!    is reported, not only the first.
//! 3. A [`Network`] with its [`Timeline`] and [`Declarations`], checked by the core.
//!
//! What is wrong comes out as plain [`Diagnostic`]s; [`render()`] draws them.

mod arrival;
mod bundle;
mod document;
mod include;
pub mod placed_table;
mod range;
mod resolve;
mod sort_of_file;
pub mod write;

use std::path::{Path, PathBuf};

use hallwright_core::fnv::Fnv64;
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Timeline};
use hallwright_declared::declarations::Declarations;

pub use arrival::{Arrival, Course};
pub use bundle::bundle;
pub use hallwright_text::{Diagnostic, Root, Sources, did_you_mean};
pub use hallwright_text::{diagnostic, ids, render, source};
pub(crate) use hallwright_text::{read, suggest, text};
pub use range::{ParameterRange, RangeValue};
pub use resolve::parse_time;
pub use sort_of_file::{FileSort, sort_of_file};

use document::ScenarioDocument;
use source::Span;

/// The number of parts that a layout may have unless the options say otherwise.
pub const DEFAULT_PART_LIMIT: usize = 2_000_000;

/// What can be chosen when a scenario is loaded.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct LoadOptions {
    /// The variant; none takes the parameters' own defaults.
    pub variant: Option<String>,
    /// Parameters set from outside, as name and value. They come last, above the variant's.
    pub set: Vec<(String, String)>,
    /// Ranges of parameters from outside, as name and range: `40..200/8`, or values with commas
    /// between them. They replace those that the scenario declares.
    pub ranges: Vec<(String, String)>,
    /// The seed, in place of the scenario's own.
    pub seed: Option<u64>,
    /// How many blocks the builder sets in an hour, at least 1, in place of what the scenario says.
    pub blocks_per_hour: Option<u32>,
    /// How many it is where neither this nor the scenario says it; none leaves it unsaid.
    pub usual_blocks_per_hour: Option<u32>,
    /// The most parts that the layout may have once all modules are expanded.
    pub part_limit: usize,
    /// The folder that nothing which is read may lie outside of; none leaves it to where the scenario
    /// is: see [`Root::of`].
    pub root: Option<PathBuf>,
}

impl Default for LoadOptions {
    fn default() -> Self {
        Self {
            variant: None,
            set: Vec::new(),
            ranges: Vec::new(),
            seed: None,
            blocks_per_hour: None,
            usual_blocks_per_hour: None,
            part_limit: DEFAULT_PART_LIMIT,
            root: None,
        }
    }
}

/// A compiled scenario.
#[derive(Clone, Debug)]
pub struct Scenario {
    /// What it is called.
    pub title: String,
    /// The network.
    pub network: Network,
    /// Deliveries and operator actions, without those of the stops.
    pub timeline: Timeline,
    /// The seed of everything left to chance.
    pub seed: u64,
    /// How long a run takes, in ticks.
    pub run_ticks: u64,
    /// What is declared about the network, and the goals.
    pub declarations: Declarations,
    /// The names of all variants, in the order of the text.
    pub variants: Vec<String>,
    /// The variant that was loaded.
    pub variant: Option<String>,
    /// The line of each goal in the scenario's text, from 1, in the order of the declarations.
    pub goal_lines: Vec<usize>,
    /// FNV-1a over every byte that was read, the variant and the parameters set from outside.
    pub input_digest: u64,
    /// What arrives, as the text says it.
    pub arrivals: Vec<Arrival>,
    /// What the operator does, without the stops.
    pub operator: Vec<(Tick, Action)>,
}

/// What loading came to.
#[derive(Clone, Debug)]
pub struct Loaded {
    /// Every text that was read.
    pub sources: Sources,
    /// The scenario, unless something is wrong with it.
    pub scenario: Option<Scenario>,
    /// The names of its variants, in the order of the text, also when something is wrong with it.
    pub variants: Vec<String>,
    /// What parameters may be in a search, in the order of the text; those that are only given from
    /// outside come last. Also when something else is wrong with the scenario: it may be whole only
    /// in a search. `None` if something is wrong with a range or the file cannot be understood.
    pub ranges: Option<Vec<ParameterRange>>,
    /// The values that the chosen variant sets, each as the text has it.
    pub variant_values: Vec<(String, String)>,
    /// What is wrong, in the order of the text.
    pub diagnostics: Vec<Diagnostic>,
    /// Where each part is declared, in the order of their ids; `None` for those in no text.
    part_spans: Vec<Option<Span>>,
}

impl Loaded {
    /// The file and the line, from 1, in which a part of the scenario is declared. `None` if it stands in no text.
    #[must_use]
    pub fn place_of(&self, part: PartId) -> Option<(&str, usize)> {
        let span = (*self.part_spans.get(part.index())?)?;
        let file = self.sources.file(span.file);
        Some((&file.path, self.sources.position(span).line))
    }
}

/// Loads a scenario and compiles it. Whatever is wrong with the files is reported in the diagnostics.
#[must_use]
pub fn load(path: &Path, options: &LoadOptions) -> Loaded {
    let mut loaded = Loaded {
        sources: Sources::default(),
        scenario: None,
        variants: Vec::new(),
        ranges: None,
        variant_values: Vec::new(),
        diagnostics: Vec::new(),
        part_spans: Vec::new(),
    };
    match loaded.sources.open(path, options.root.as_deref()) {
        Ok(text) => compile(&mut loaded, path, text, options),
        Err(problem) => loaded.diagnostics.push(*problem),
    }
    diagnostic::tidy(&mut loaded.diagnostics);
    loaded
}

/// Compiles the text of a scenario.
fn compile(loaded: &mut Loaded, path: &Path, text: String, options: &LoadOptions) {
    let file = loaded.sources.add(path, text);
    let text = &loaded.sources.file(file).text;
    let document: Option<ScenarioDocument> = text::read(file, text, &mut loaded.diagnostics);
    let Some(mut document) = document else { return };
    include::read_included(
        &mut document,
        path,
        &mut loaded.sources,
        &mut loaded.diagnostics,
    );
    let (mut resolved, ranges) = resolve::resolve(
        &document,
        options,
        &mut loaded.sources,
        &mut loaded.diagnostics,
    );
    let variants = document.variants.list.iter();
    loaded.variants = variants.map(|entry| entry.name.text.clone()).collect();
    loaded.ranges = ranges;
    loaded.variant_values = variant_values(&document, options, &loaded.sources);
    if let Some(resolved) = &mut resolved {
        loaded.part_spans = std::mem::take(&mut resolved.part_spans);
    }
    let line = |span: &Span| loaded.sources.position(*span).line;
    loaded.scenario = resolved.map(|resolved| Scenario {
        title: document.title.map_or_else(String::new, |title| title.text),
        network: resolved.network,
        timeline: resolved.timeline,
        seed: resolved.seed,
        run_ticks: resolved.run_ticks,
        declarations: resolved.declarations,
        variants: loaded.variants.clone(),
        variant: options.variant.clone(),
        input_digest: input_digest(&loaded.sources, options),
        arrivals: resolved.arrivals,
        operator: resolved.operator,
        goal_lines: resolved.goal_spans.iter().map(line).collect(),
    });
}

/// The values that the chosen variant sets, each as the text has it.
fn variant_values(
    document: &ScenarioDocument,
    options: &LoadOptions,
    sources: &Sources,
) -> Vec<(String, String)> {
    let chosen = options.variant.as_ref();
    let variant = chosen.and_then(|chosen| document.variants.get(chosen)?.value.as_ref());
    let entries = variant.map_or(&[][..], |variant| &variant.list).iter();
    entries
        .filter_map(|entry| {
            let value = sources.text(entry.value.as_ref()?.span);
            Some((entry.name.text.clone(), value.to_owned()))
        })
        .collect()
}

/// The digest of everything that was read or chosen. Each text ends with a byte that no text
/// contains, so that moving text from one to the next changes the digest.
fn input_digest(sources: &Sources, options: &LoadOptions) -> u64 {
    const END: u8 = 0xff;
    let files = sources.files().iter().map(|file| file.text.as_str());
    let set = options
        .set
        .iter()
        .flat_map(|(name, value)| [name.as_str(), value.as_str()]);
    let mut hash = Fnv64::default();
    for text in files.chain(options.variant.as_deref()).chain(set) {
        hash.bytes(text.bytes());
        hash.bytes([END]);
    }
    hash.value()
}
