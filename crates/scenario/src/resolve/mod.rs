//! From a document to a network: names become ids, parameters become values, modules become parts.
//!
//! The stages, each in a file of its own; every stage goes on as far as it can, so that all
//! mistakes are reported at once:
//!
//! 1. `world`: rules and goods; `parameters`: what the parameters are in this run; `ranges`: what
//!    they may be in a search.
//! 2. `layouts`, `drawing`: which names each layout and module has, and what its floors show.
//! 3. `expand`, `rows`, `table`: how many parts there will be, then one scope for each instance, and all parts
//!    declared.
//! 4. `rooms`: which signal parts stand somewhere in a box; `connect`: what chains of instances connect.
//! 5. `parts`, `signals`, `fillings`: what each part is and holds; `drawn`: what its blocks link it to.
//! 6. `regions`, `arrivals`, `arrival_file`, `operator`, `spells`: what comes from outside.
//! 7. `declarations`, `costs`, `goals`: what is declared about it all.
//! 8. `network`: the core's own checks, reported in terms of the text.
//! 9. `site`: whether it stands where it is said to; `smells`: what compiles, but looks mistaken.

mod arrival_file;
mod arrivals;
mod connect;
mod costs;
mod declarations;
mod drawing;
mod drawn;
mod evaluate;
mod expand;
mod fillings;
mod goals;
mod layouts;
mod mixture;
mod names;
mod network;
mod operator;
mod parameters;
mod parts;
mod placing_fields;
mod positions;
mod problems;
mod ranges;
mod regions;
mod retrieval;
mod rooms;
mod rows;
mod signals;
mod site;
mod smells;
mod sort;
mod spells;
mod table;
mod time;
mod world;

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::rc::Rc;

use hallwright_core::id::PartId;
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::order::Orders;
use hallwright_core::rules::Rules;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Timeline};
use hallwright_declared::declarations::Declarations;

use crate::LoadOptions;
use hallwright_declared::placement::Placement;
use hallwright_declared::space::Block;
use hallwright_site::drawn::{DrawnPart, PlacedWire};

use crate::arrival::Arrival;
use crate::diagnostic::{Diagnostic, Severity};
use crate::document::ScenarioDocument;
use crate::range::ParameterRange;
use crate::source::{Sources, Span};
use connect::Connections;
pub use costs::written_weights;
use expand::PartRecord;
pub(crate) use goals::GoalDocument;
pub use goals::written;
use layouts::Layouts;
use names::{Scope, ScopeId};
use network::Mark;
use problems::Problems;
use regions::Regions;
use retrieval::Desks;
use rows::RowInstance;
use spells::Spell;
use table::Table;
pub(crate) use table::{line_at, place_fields_from};
pub use time::parse as parse_time;
use world::Goods;

pub use world::rules_that_differ;

/// What a document means.
pub(crate) struct Resolved {
    /// The network.
    pub(crate) network: Network,
    /// What comes from outside.
    pub(crate) timeline: Timeline,
    /// The seed.
    pub(crate) seed: u64,
    /// How long a run takes, in ticks.
    pub(crate) run_ticks: u64,
    /// What is declared about the network.
    pub(crate) declarations: Declarations,
    /// What arrives, as the text says it.
    pub(crate) arrivals: Vec<Arrival>,
    /// What the operator does.
    pub(crate) operator: Vec<(Tick, Action)>,
    /// Where each goal stands in the text.
    pub(crate) goal_spans: Vec<Span>,
    /// Where each part is declared, in the order of their ids; `None` for those in no text.
    pub(crate) part_spans: Vec<Option<Span>>,
}

/// Works out what a document means, and in which ranges a search may look, which is known even of a
/// scenario that is not whole without a search. `None` if anything is wrong; all of it is in
/// `problems`.
pub(crate) fn resolve(
    document: &ScenarioDocument,
    options: &LoadOptions,
    sources: &mut Sources,
    problems: &mut Vec<Diagnostic>,
) -> (Option<Resolved>, Option<Vec<ParameterRange>>) {
    let mut resolver = Resolver::new(document, options, std::mem::take(problems));
    resolver.sources = std::mem::take(sources);
    let resolved = resolver.run(options);
    *sources = resolver.sources;
    *problems = std::mem::take(&mut resolver.problems).into_list();
    let is_sound = problems
        .iter()
        .all(|problem| problem.severity < Severity::Error);
    (resolved.filter(|_| is_sound), resolver.ranges)
}

/// Everything that is known while a document is worked out.
struct Resolver<'d> {
    document: &'d ScenarioDocument,
    problems: Problems,
    rules: Rules,
    goods: Goods<'d>,
    layouts: Layouts<'d>,
    scopes: Vec<Scope<'d>>,
    /// Every text that was read.
    sources: Sources,
    /// Tables of instances, by their path; `None` for one that cannot be used.
    tables: BTreeMap<PathBuf, Option<Rc<Table>>>,
    /// While a row's instance is being set up: which one.
    turn: RowInstance<'d>,
    parts: Vec<PartRecord<'d>>,
    /// Where each part stands, if that is said, and the blocks that are no parts.
    placement: Placement,
    /// Where each block is written that is no part, and in which layout in use.
    block_spans: BTreeMap<Block, (ScopeId, Span)>,
    /// Where each room is written, and in which layout in use.
    room_spans: Vec<(ScopeId, Span)>,
    /// Parts that are drawn, until all others are defined.
    drawn: Vec<DrawnPart>,
    /// Wires that are placed and leave losses to their blocks, until all others are defined.
    placed_wires: Vec<PlacedWire>,
    /// The width of all instances that have one, in blocks.
    width_blocks: u32,
    /// Where each goal stands in the text.
    goal_spans: Vec<Span>,
    connections: Connections<'d>,
    builder: NetworkBuilder,
    /// Stands for every part that could not be found, once there is one.
    dangling: Option<PartId>,
    marks: Vec<Mark>,
    /// How many parts have been named so far.
    names_found: usize,
    /// How many may be.
    most_names: usize,
    /// An empty list of parts: to allocate one for each name would take longer than to look the name up.
    spare_list: Vec<PartId>,
    /// Where boxes are asked for.
    desks: Desks,
    /// What falls asleep together.
    regions: Regions,
    /// Every sleep, and every time for which signals are stuck.
    spells: Vec<Spell>,
    /// Reopenings in orders that are listed, and where that is written.
    listed_orders: Vec<(Orders, Span)>,
    arrivals: Vec<Arrival>,
    /// The names of those of which something comes, by number.
    arrival_names: Vec<String>,
    /// How much of what may arrive in all has been used up.
    arrivals_size: u64,
    seed: u64,
    run_ticks: u64,
    variant: Option<String>,
    /// How many blocks the builder sets in an hour, if that is said from outside.
    blocks_per_hour: Option<u32>,
    /// How many it is where nobody says it.
    usual_blocks_per_hour: Option<u32>,
    /// What parameters may be in a search.
    ranges: Option<Vec<ParameterRange>>,
}

impl<'d> Resolver<'d> {
    fn new(
        document: &'d ScenarioDocument,
        options: &LoadOptions,
        reported: Vec<Diagnostic>,
    ) -> Self {
        let mut problems = Problems::new(reported);
        let layouts = Layouts::new(document, &mut problems);
        Self {
            document,
            problems,
            rules: Rules::default(),
            goods: Goods::default(),
            layouts,
            scopes: Vec::new(),
            sources: Sources::default(),
            tables: BTreeMap::new(),
            turn: RowInstance::default(),
            parts: Vec::new(),
            placement: Placement::default(),
            block_spans: BTreeMap::new(),
            room_spans: Vec::new(),
            drawn: Vec::new(),
            placed_wires: Vec::new(),
            width_blocks: 0,
            goal_spans: Vec::new(),
            connections: Connections::default(),
            builder: NetworkBuilder::new(Rules::default()),
            dangling: None,
            marks: Vec::new(),
            names_found: 0,
            most_names: names::most_names(options.part_limit),
            spare_list: Vec::new(),
            desks: Desks::default(),
            regions: Regions::default(),
            spells: Vec::new(),
            listed_orders: Vec::new(),
            arrivals: Vec::new(),
            arrival_names: Vec::new(),
            arrivals_size: 0,
            seed: 0,
            run_ticks: 0,
            variant: options.variant.clone(),
            blocks_per_hour: options.blocks_per_hour,
            usual_blocks_per_hour: options.usual_blocks_per_hour,
            ranges: None,
        }
    }

    fn run(&mut self, options: &LoadOptions) -> Option<Resolved> {
        self.set_up_parameters(options);
        self.set_up_ranges(options);
        self.set_up_world(options);
        if !self.layouts.can_expand || !self.within_limit(options.part_limit) {
            return None;
        }
        self.declare(ScopeId::TOP);
        self.find_rooms();
        self.connect();
        self.define_parts();
        self.find_desks();
        self.find_regions();
        let mut entries: Vec<(Tick, Action)> = self.arrivals();
        let operator = self.operator_actions();
        entries.extend(operator.iter().cloned());
        let mut declarations = self.declarations();
        declarations.placement = std::mem::take(&mut self.placement);
        self.report_spells_that_meet();
        let network = self.build_network()?;
        self.report_wrong_orders(&network);
        declarations.site = site::looked_at(&network, &declarations.placement);
        if !self.problems.has_errors() {
            self.report_smells(&network, &declarations, &entries);
        }
        Some(Resolved {
            part_spans: network.part_ids().map(|part| self.span_of(part)).collect(),
            network,
            timeline: Timeline::new(entries),
            seed: self.seed,
            run_ticks: self.run_ticks,
            declarations,
            arrivals: std::mem::take(&mut self.arrivals),
            operator,
            goal_spans: std::mem::take(&mut self.goal_spans),
        })
    }
}
