//! A planned hall proves itself: its scenario is run before it is written.

use std::collections::BTreeSet;
use std::path::Path;

use anyhow::{Result, bail};
use hallwright_core::part::Part;
use hallwright_declared::declarations::{Store, StorePurpose};
use hallwright_plan::hall::{STACKS_A_BOX, Sort};
use hallwright_plan::proof::{HaulProof, Proof, RoomProof, StopsProof};
use hallwright_plan::report::PlanReport;
use hallwright_plan::schedule::{STOPS_TICKS, Sent, schedule};
use hallwright_plan::{Plan, SCENARIO_FILE};
use hallwright_report::findings::{Findings, Standing};
use hallwright_report::run;
use hallwright_scenario::{LoadOptions, Scenario, load};
use hallwright_trials::stops_everywhere::{
    StopsEverywhere, affordable_stops, spread, stops_everywhere,
};
use hallwright_trials::{Unmade, order_words, orders, orders_words};

use crate::files;
use crate::flags::SHUFFLES;
use crate::runs::{base_of, interruptible};

/// About so many moves of items are made in all runs together, so that the proof of a big hall takes no
/// longer than a minute or so. How much is tried follows from the hall alone, never from the clock.
const MOST_MOVES: u64 = 1_600_000_000;

/// A haul with more moves than so many is not run.
const MOST_HAUL_MOVES: u64 = 500_000_000;

/// A move of a haul, in which everything is measured, takes about as long as so many of a stop.
const MOVES_A_HAUL_MOVE: u64 = 2;

/// Slots of a hopper.
const HOPPER_SLOTS: u64 = 5;

/// This part of all moves at least is left to the stops.
const LEAST_FOR_STOPS: u64 = MOST_MOVES / 4;

/// Runs the scenario of a plan, which lies in a folder, until it is interrupted, and says what came of it beside
/// what the report promises. `most_stops`: at how many ticks it is stopped at most.
///
/// # Errors
///
/// If the scenario is not what was planned, or an invariant breaks: a bug.
pub(super) fn proof(
    plan: &Plan,
    report: &PlanReport,
    folder: &Path,
    most_stops: Option<u64>,
) -> Result<Proof> {
    let schedule = schedule(plan);
    let mut not_run = Vec::new();
    let mut loaded = Vec::new();
    let mut left_moves = MOST_MOVES;
    for haul in &schedule.hauls {
        let moves = schedule.most_moves(plan, haul.sent);
        if haul.sent != Sent::Load && moves > MOST_HAUL_MOVES {
            let variant = haul.sent.variant();
            not_run.push(format!(
                "{variant}, which takes up to {moves} moves of items; run it with: \
                 hallwright run {SCENARIO_FILE} --variant '{variant}'"
            ));
            continue;
        }
        if haul.sent != Sent::Load {
            left_moves = left_moves.saturating_sub(MOVES_A_HAUL_MOVE * moves);
        }
        loaded.push((haul.sent, variant(folder, haul.sent)?));
    }
    let (stopped, hauls): (Vec<_>, Vec<_>) = loaded
        .into_iter()
        .partition(|(sent, _)| *sent == Sent::Load);
    let Some((_, stopped)) = stopped.first() else {
        bail!("the planned scenario is stopped nowhere; this is a bug in hallwright");
    };
    let Some(first) = stopped.declarations.stops.first().map(|stop| stop.at) else {
        bail!("the planned scenario has no stop; this is a bug in hallwright");
    };
    let room = room(plan, report, stopped)?;
    let base = base_of(stopped);
    let orders = orders(SHUFFLES);
    let count = affordable_stops(
        &base,
        orders.len(),
        STOPS_TICKS,
        left_moves.max(LEAST_FOR_STOPS),
    );
    let count = most_stops.map_or(count, |most| most.min(STOPS_TICKS));
    let ticks = spread(first, STOPS_TICKS, count);
    let runs = hauls.len() + ticks.len() * orders.len();
    let machine = interruptible(None, runs as u64, "runs")?;
    let (found, stops) = machine.both(
        || machine.runs(&hauls, |(_, scenario)| run(&base_of(scenario), &mut |_| {})),
        || stops_everywhere(&base, &orders, &ticks, &machine),
    );
    drop(machine);
    let mut judged = Judged::default();
    for ((sent, _), findings) in hauls.iter().zip(found) {
        judged.made(*sent, findings)?;
    }
    if let Some((case, said)) = stops.broken.first() {
        let case = case.words(stopped.network.rules().ticks_per_second);
        bail!("an invariant broke: {said}; with {case} or a later stop; a bug in hallwright");
    }
    let stops = judged.stops(report, &stops);
    judged.room(&room);
    not_run.extend(judged.not_run);
    Ok(Proof {
        is_kept: judged.broken.is_empty() && judged.unmade_runs == 0,
        unmade_runs: judged.unmade_runs,
        broken_promises: judged.broken,
        hauls: judged.hauls,
        not_run,
        stops,
        room,
    })
}

/// Loads the scenario in the variant of a haul.
fn variant(folder: &Path, sent: Sent) -> Result<Scenario> {
    let options = LoadOptions {
        variant: Some(sent.variant().to_owned()),
        ..LoadOptions::default()
    };
    let loaded = load(&folder.join(SCENARIO_FILE), &options);
    let Some(scenario) = loaded.scenario else {
        let text = hallwright_scenario::render(&loaded.diagnostics, &loaded.sources, false);
        files::note_drawn(&text, false);
        bail!("the planned scenario does not compile; this is a bug in hallwright");
    };
    Ok(scenario)
}

/// What is found of the runs, and the promises that they broke.
#[derive(Default)]
struct Judged {
    hauls: Vec<HaulProof>,
    broken: Vec<String>,
    /// Hauls that were not run because the proof was cut short.
    not_run: Vec<String>,
    /// How many runs were not made for that reason.
    unmade_runs: u64,
}

impl Judged {
    /// Takes up what came of a haul.
    fn made(&mut self, sent: Sent, found: Result<Findings, Unmade>) -> Result<()> {
        let variant = sent.variant();
        match found {
            Ok(findings) => self.haul(sent, &findings),
            Err(Unmade::CutShort) => {
                self.unmade_runs += 1;
                self.not_run
                    .push(format!("{variant}, for the proof was cut short"));
            }
            Err(Unmade::Broke(said)) => {
                bail!("an invariant broke in {variant}: {said}; a bug in hallwright")
            }
        }
        Ok(())
    }

    fn haul(&mut self, sent: Sent, findings: &Findings) {
        let variant = sent.variant();
        let account = &findings.account;
        let amount = |standing| account.amount(standing).goods_and_boxes();
        let sent_items = account.sent.goods_and_boxes();
        // What somebody asked for, or what is shown, is where it belongs, too.
        let home_items = amount(Standing::Home) + amount(Standing::Serving);
        // More than the goals allow is missed there: only kinds with several slices may leave any.
        let full_sieves_items = findings.going_on.backed_up.goods_and_boxes();
        let waiting_items = amount(Standing::AtLanding) + amount(Standing::Waiting);
        let rate = findings.flows.first().map(|flow| flow.counting);
        let rate = rate.map_or(0.0, |rate| rate.per_second(findings.ticks_per_second));
        let missed = findings.verdicts.iter().filter(|verdict| !verdict.is_met());
        let missed: Vec<&str> = missed.map(|verdict| verdict.subject.as_str()).collect();
        self.hauls.push(HaulProof {
            variant,
            sent_items,
            home_items,
            waiting_items,
            full_sieves_items,
            astray_items: sent_items.saturating_sub(home_items + waiting_items + full_sieves_items),
            items_a_second: (rate * 100.0).round() / 100.0,
            goals: findings.verdicts.len(),
            goals_met: findings.verdicts.len() - missed.len(),
        });
        if let [first, more @ ..] = missed.as_slice() {
            let more = match more.len() {
                0 => String::new(),
                more => format!(", and {more} more"),
            };
            self.broken.push(format!("{variant}: {first}{more}"));
        } else if home_items + full_sieves_items != sent_items {
            let promise = "all that is sent ends in its own slice";
            self.broken.push(format!(
                "{variant}: {promise}: {home_items} of {sent_items} items do"
            ));
        }
    }

    fn stops(&mut self, report: &PlanReport, found: &StopsEverywhere) -> StopsProof {
        self.unmade_runs += found.unmade_runs;
        let sections = report.sections.iter();
        let sections = sections.map(|section| section.stop_at_most_ticks);
        let wing = report.wing.iter().map(|wing| wing.stop_at_most_ticks);
        let promised = sections.chain(wing).max();
        let promised_ticks = promised.unwrap_or(0);
        let (from, to) = found.span.map_or((0, 0), |(from, to)| (from.0, to.0));
        let worst = found.worst.as_ref();
        let worst_ticks = worst.and_then(|worst| worst.safe_to_close_ticks);
        let worst_stop_tick = worst.and_then(|worst| worst.case.stop_at);
        let worst_stop_tick = worst_stop_tick.map_or(0, |tick| tick.0);
        let wished_ticks = report.stop_wished_ticks;
        let measured = match worst_ticks {
            Some(ticks) => format!("it took {ticks} t"),
            None => "it was not until the restart".to_owned(),
        };
        for (promise, bound) in [("wished", wished_ticks), ("promised", promised_ticks)] {
            if found.runs > 0 && worst_ticks.is_none_or(|ticks| ticks > bound) {
                self.broken.push(format!(
                    "safe to close within the {bound} t that are {promise}: after a stop at tick \
                     {worst_stop_tick} {measured}"
                ));
            }
        }
        if let Some(astray) = &found.astray {
            self.broken.push(format!(
                "all that was held back by a stop ends in its own slice: in {} of {} runs not; {} items \
                 astray after a stop at tick {}, {}",
                found.astray_runs,
                found.runs,
                astray.landed.astray_items,
                astray.case.stop_at.map_or(0, |tick| tick.0),
                orders_words(&astray.case.orders)
            ));
        }
        StopsProof {
            variant: Sent::Load.variant(),
            stop_ticks: found.stop_ticks,
            from_tick: from,
            to_tick: to,
            orders: found.orders.pairs,
            orders_words: found.orders.words(),
            runs: found.runs,
            landed_runs: found.runs - found.astray_runs,
            wished_ticks,
            promised_ticks,
            worst_ticks,
            worst_stop_tick,
            worst_orders: worst.map_or_else(String::new, |worst| orders_words(&worst.case.orders)),
            worst_flags: worst.map_or_else(String::new, |worst| {
                format!(
                    "--variant '{}' --stop-at {worst_stop_tick}t --order {} --signal-order {}",
                    Sent::Load.variant(),
                    order_words(&worst.case.orders.update),
                    order_words(&worst.case.orders.signal)
                )
            }),
        }
    }

    fn room(&mut self, room: &[RoomProof]) {
        for room in room {
            if room.built_stacks < room.planned_stacks {
                self.broken.push(format!(
                    "room in the {} slices: {} stacks are planned, and their stores hold {}",
                    room.sort, room.planned_stacks, room.built_stacks
                ));
            }
        }
    }
}

/// The room of the stores of all slices in use, beside what the plan says of it.
///
/// # Errors
///
/// If a slice in use has no store of its own, or one of a size of its own: a bug.
fn room(plan: &Plan, report: &PlanReport, scenario: &Scenario) -> Result<Vec<RoomProof>> {
    let network = &scenario.network;
    let mut stores: Vec<&Store> = scenario.declarations.stores.iter().collect();
    stores.retain(|store| store.purpose == StorePurpose::Slice);
    let mut rooms: Vec<RoomProof> = Vec::new();
    for slice in &report.slices {
        rooms.push(RoomProof {
            sort: slice.sort,
            used_slices: 0,
            planned_stacks: 0,
            built_stacks: 0,
        });
    }
    for place in report
        .allocation
        .iter()
        .filter(|place| place.state == "used")
    {
        let kinds: BTreeSet<&str> = place.kinds.iter().map(String::as_str).collect();
        // Of several slices for the same kinds each has a store: the first that is left is its own.
        let own = stores.iter().position(|store| {
            let takes = store
                .takes
                .iter()
                .map(|kind| network.kind(*kind).name.as_str());
            takes.collect::<BTreeSet<&str>>() == kinds
        });
        let name = format!("{}, {}", place.section, place.slice);
        let Some(own) = own else {
            bail!(
                "the planned scenario has no store for slice {name}; this is a bug in hallwright"
            );
        };
        let store = stores.remove(own);
        let sort = place.section.split(' ').next().unwrap_or_default();
        let slice = Sort::ALL.into_iter().find(|known| known.name() == sort);
        let slice = slice.and_then(|sort| plan.hall.slice(sort));
        let room = rooms.iter_mut().find(|room| room.sort == sort);
        let (Some(slice), Some(room)) = (slice, room) else {
            bail!("slice {name} is of no sort of the hall; this is a bug in hallwright");
        };
        let slots = store.parts.iter().map(|part| match network.part(*part) {
            Part::Container(container) => u64::from(container.slots),
            // Boxes wait in the hoppers of their column, too; loose goods only pass.
            Part::Hopper(_) if slice.box_levels.is_some() => HOPPER_SLOTS,
            _ => 0,
        });
        let a_slot = slice.box_levels.map_or(1, |_| STACKS_A_BOX);
        let built_stacks = slots.sum::<u64>() * a_slot;
        if built_stacks != place.room_stacks {
            bail!(
                "the report says that slice {name} has room for {} stacks, and its store has room for \
                 {built_stacks}; this is a bug in hallwright",
                place.room_stacks
            );
        }
        room.used_slices += 1;
        room.planned_stacks += place.room_stacks;
        room.built_stacks += built_stacks;
    }
    Ok(rooms)
}
