//! Laws of planned halls, tried on catalogues and halls at random. `PLAN_CASES=500` tries more of them, `PLAN_FIRST=500`
//! begins with others, `PLAN_SEED=17` tries the one of a failure alone. With `PLAN_BOXES=1` each of them has a box wing.

use std::collections::BTreeSet;
use std::ops::ControlFlow;

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::order::{Order, Orders};
use hallwright_core::part::{Part, Rear, Signal};
use hallwright_plan::allocate::places::number_of;
use hallwright_plan::hall::Sort;
use hallwright_plan::kept::{Kept, read_kept};
use hallwright_plan::schedule::{STOPS_TICKS, Sent, schedule};
use hallwright_plan::{Plan, SCENARIO_FILE, continued, ids, plan, scenario_files};

use hallwright_report::{RunInput, run};
use hallwright_scenario::{Diagnostic, LoadOptions, Scenario, Sources, load};
use hallwright_trials::stop_trial::try_stops;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::draws::Drawn;
use crate::support::{goods, sound_hall};

/// So many are tried unless `PLAN_CASES` says otherwise.
const CASES: u64 = 120;

/// A stop, and the stack of every kind, are run if they take at most so many moves of items.
const MOST_MOVES: u64 = 4_000_000;

/// Halls that are continued are built again if they have at most so many kinds.
const MOST_KINDS_KEPT: usize = 60;

/// So many boxes lie in a hatch at most, and so many of a kind in its loader and at the counter.
const MOST_AT_HATCH: u64 = 12;
const MOST_FETCHED: u64 = 3;

/// Seeds of which one failed before.
const FAILED_BEFORE: [u64; 2] = [255, 741];

/// The number that a variable of the environment has.
pub(crate) fn number(name: &str) -> Option<u64> {
    let text = std::env::var(name).ok()?;
    let number = text.parse();
    Some(number.unwrap_or_else(|_| panic!("{name} is {text}, no number")))
}

/// The seeds to try.
fn seeds() -> Vec<u64> {
    match number("PLAN_SEED") {
        Some(seed) => vec![seed],
        None => {
            let first = number("PLAN_FIRST").unwrap_or(0);
            let seeds = first..first + number("PLAN_CASES").unwrap_or(CASES);
            let before = FAILED_BEFORE.into_iter();
            let before = before.filter(|seed| !seeds.contains(seed));
            before.chain(seeds.clone()).collect()
        }
    }
}

/// What is drawn with a seed: about one in six has a box wing, or all of them.
fn drawn(seed: u64) -> Drawn {
    let one_in = match std::env::var("PLAN_BOXES") {
        Ok(_) => 1,
        Err(_) => 6,
    };
    Drawn::draw(seed).perhaps_with_boxes(seed, one_in)
}

/// What is said of a case that fails: how to try it again.
pub(crate) fn case(seed: u64) -> String {
    format!("PLAN_SEED={seed}")
}

/// Plans what was drawn. `None` if it is refused for wishes that contradict the hall.
pub(crate) fn planned(drawn: &Drawn, seed: u64) -> Option<(Plan, Vec<Diagnostic>)> {
    let mut problems = Vec::new();
    let hall = sound_hall(&drawn.hall.text());
    let plan = plan("Hall".into(), goods(&drawn.rows()), hall, &mut problems);
    let Some(plan) = plan else {
        assert_only_wishes_are_refused(&problems, seed);
        return None;
    };
    Some((plan, problems))
}

/// Nothing is refused but a wish.
fn assert_only_wishes_are_refused(problems: &[Diagnostic], seed: u64) {
    let said: Vec<&str> = problems
        .iter()
        .map(|problem| problem.message.as_str())
        .collect();
    let is_wish = |problem: &Diagnostic| problem.id == ids::BAD_WISH;
    assert!(
        !said.is_empty() && problems.iter().all(is_wish),
        "{}: {said:#?}",
        case(seed)
    );
}

/// Writes a plan into a folder, and loads a variant of it.
pub(crate) fn loaded(plan: &Plan, sent: Sent, seed: u64) -> Scenario {
    let folder = tempfile::tempdir().expect("there is room for files");
    for file in scenario_files(plan) {
        std::fs::write(folder.path().join(file.name), file.text).expect("there is room");
    }
    let options = LoadOptions {
        variant: Some(sent.variant().to_owned()),
        ..LoadOptions::default()
    };
    let loaded = load(&folder.path().join(SCENARIO_FILE), &options);
    let said = hallwright_scenario::render(&loaded.diagnostics, &loaded.sources, false);
    assert!(loaded.diagnostics.is_empty(), "{}: {said}", case(seed));
    loaded.scenario.expect("nothing is wrong with it")
}

/// What divides goods between two lines.
const FORK: &str = "fork";

/// The section that a part belongs to: what stands before ` head.`, ` tail[` or the number of its slice.
fn section_of(name: &str) -> &str {
    // What the blocks join is named after the part that it leads to.
    let name = name.strip_prefix("lock of ").unwrap_or(name);
    let name = match name.strip_prefix("input ") {
        Some(input) => input.split_once(" of ").map_or(name, |(_, part)| part),
        None => name,
    };
    // Before two lines the goods are divided.
    let ends = [" head.", " tail[", "[", "."];
    let end = ends.iter().filter_map(|end| name.find(end)).min();
    &name[..end.unwrap_or(name.len())]
}

/// The signals that a signal is made of.
fn inputs(signal: &Signal) -> Vec<PartId> {
    match signal {
        Signal::Wire { inputs } => inputs.iter().map(|(input, _)| *input).collect(),
        Signal::AllOf { inputs } => inputs.clone(),
        Signal::Repeater { input, .. }
        | Signal::Inverter { input }
        | Signal::Hold { input, .. } => {
            vec![*input]
        }
        Signal::Comparator { rear, side, .. } => {
            let rear = match rear {
                Rear::Signal(signal) => Some(*signal),
                _ => None,
            };
            rear.into_iter().chain(*side).collect()
        }
        Signal::Lever { .. } => Vec::new(),
        other => panic!("a planned hall has no {other:?}"),
    }
}

/// Every hopper of a section is locked by that section: what its lock is made of leads to the section's head and
/// to its own filter, and to nobody else's, however near the wires of others run.
fn assert_locks_are_own(plan: &Plan, network: &Network, seed: u64) {
    let sections: BTreeSet<&str> = plan
        .layout
        .laid
        .iter()
        .map(|laid| laid.section.name.as_str())
        .chain([FORK])
        .collect();
    for (id, part) in network.parts() {
        let Part::Hopper(hopper) = part else { continue };
        let name = network.name(id);
        let own = section_of(name);
        // The wing has locks of its own, which tests/plan/boxes.rs tries.
        if own == "boxes" {
            continue;
        }
        assert!(sections.contains(own), "{}: {name}", case(seed));
        let lock = hopper
            .lock
            .unwrap_or_else(|| panic!("{}: {name} has no lock", case(seed)));
        if own == FORK {
            assert_eq!(
                section_of(network.name(lock)),
                own,
                "{}: {name}",
                case(seed)
            );
            continue;
        }
        let mut open = vec![lock];
        let mut leads_to_head = false;
        let mut leads_to_filter = false;
        let mut seen = BTreeSet::new();
        while let Some(signal) = open.pop() {
            if !seen.insert(signal) {
                continue;
            }
            let from = network.name(signal);
            assert_eq!(
                section_of(from),
                own,
                "{}: {name} is locked by {from}",
                case(seed)
            );
            if from.contains(" head.") {
                leads_to_head = true;
                continue;
            }
            leads_to_filter |= name
                .strip_suffix(".out")
                .is_some_and(|filter| from.strip_prefix(filter).is_some_and(|own| own == ".level"));
            let Part::Signal(signal) = network.part(signal) else {
                panic!("{}: {from} is no signal", case(seed));
            };
            open.extend(inputs(signal));
        }
        // What a filter opens is locked by its filter, and in a section of one block, whose wire points at it, by the
        // head as well; everything else by the head alone.
        let is_filters = name.ends_with("].out");
        assert!(
            leads_to_filter == is_filters && (leads_to_head || is_filters),
            "{}: {name} is not locked by {own}, but by {:?}",
            case(seed),
            seen.iter()
                .map(|signal| network.name(*signal))
                .collect::<Vec<_>>()
        );
    }
}

pub(crate) fn base(scenario: &Scenario, orders: Orders) -> RunInput<'_> {
    RunInput {
        network: &scenario.network,
        timeline: &scenario.timeline,
        seed: scenario.seed,
        orders,
        run_ticks: scenario.run_ticks,
        declarations: &scenario.declarations,
    }
}

pub(crate) fn draw_order(random: &mut ChaCha8Rng) -> Order {
    match random.random_range(0..4) {
        0 => Order::Declared,
        1 => Order::Reversed,
        _ => Order::Shuffled(random.random_range(1..1000)),
    }
}

/// What came of all cases.
#[derive(Default, Debug)]
struct Counted {
    planned: u64,
    refused: u64,
    with_boxes: u64,
    columns: u64,
    slow_stops: u64,
    stacks_run: u64,
    stops_run: u64,
    parts: u64,
}

#[test]
fn random_halls_stand_and_do_what_they_should() {
    let mut counted = Counted::default();
    for seed in seeds() {
        counted.take(&drawn(seed), seed);
    }
    println!("{counted:?}");
    assert!(counted.refused * 10 <= counted.planned, "{counted:?}");
}

#[test]
fn random_halls_of_two_lines_stand_and_do_what_they_should() {
    let mut counted = Counted::default();
    for seed in seeds().into_iter().step_by(3) {
        counted.take(&drawn(seed).with_two_lines(), seed);
    }
    println!("{counted:?}");
    assert!(counted.refused * 10 <= counted.planned, "{counted:?}");
}

#[test]
fn the_first_of_two_lines_may_have_free_slices_alone() {
    let seed = 1001;
    let drawn = Drawn::draw(seed).perhaps_with_boxes(seed, 1);
    Counted::default().take(&drawn.with_two_lines(), seed);
}

impl Counted {
    /// Plans what was drawn, and tries it.
    fn take(&mut self, drawn: &Drawn, seed: u64) {
        let Some((plan, problems)) = planned(drawn, seed) else {
            self.refused += 1;
            return;
        };
        self.planned += 1;
        // Nothing is worth a warning but a stop that takes too long; of that one is said only where it is so.
        let is_slow = plan.stop_ticks() > plan.hall.stop_within_ticks;
        self.with_boxes += u64::from(plan.wing.is_some());
        let columns = plan
            .wing
            .as_ref()
            .map_or(0, |wing| wing.wing.columns().len());
        self.columns += columns as u64;
        self.slow_stops += u64::from(is_slow);
        let said: Vec<&str> = problems.iter().map(|problem| problem.id).collect();
        let expected: &[&str] = if is_slow { &[ids::SLOW_STOP] } else { &[] };
        assert_eq!(said, expected, "{}", case(seed));
        let scenario = loaded(&plan, Sent::Load, seed);
        assert_stands(&plan, &scenario, seed);
        self.parts += scenario.network.part_count() as u64;
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        let orders = Orders {
            update: draw_order(&mut random),
            signal: draw_order(&mut random),
        };
        let schedule = schedule(&plan);
        if schedule.most_moves(&plan, Sent::Load) <= MOST_MOVES {
            let later = random.random_range(0..STOPS_TICKS);
            assert_bears_a_stop(&plan, &scenario, later, &orders, seed);
            self.stops_run += 1;
        }
        if schedule.most_moves(&plan, Sent::Stack) <= MOST_MOVES {
            assert_sorts_a_stack(&plan, orders, seed);
            self.stacks_run += 1;
        }
    }
}

/// Every part stands, and nothing is wrong with where it does.
fn assert_stands(plan: &Plan, scenario: &Scenario, seed: u64) {
    let site = scenario.declarations.site.as_ref();
    let site = site.expect("it stands somewhere");
    assert!(
        site.problems.is_empty(),
        "{}: {:#?}",
        case(seed),
        site.problems
    );
    assert_eq!(site.stand, site.parts, "{}: {:?}", case(seed), site.nowhere);
    assert_locks_are_own(plan, &scenario.network, seed);
}

/// Stopped under full load at two ticks, it is safe to close in the promised time, and everything comes home.
fn assert_bears_a_stop(plan: &Plan, scenario: &Scenario, later: u64, orders: &Orders, seed: u64) {
    let at = scenario.declarations.stops[0].at + later;
    let input = base(scenario, orders.clone());
    let schedule = schedule(plan);
    let loose: u64 = schedule.load.iter().map(|(_, items)| items).sum();
    // A box counts once.
    let boxed: u64 = schedule.boxes.iter().map(|boxes| boxes.load).sum();
    let sent = loose + boxed;
    // Some boxes lie ready in the hatch or in a loader, and one of each kind was asked for.
    let served = plan.wing.as_ref().map_or(0, |wing| {
        MOST_AT_HATCH + MOST_FETCHED * wing.goods.len() as u64
    });
    let served = served.min(boxed);
    let promised = plan.stop_ticks();
    for trial in try_stops(&input, &[at, at + 1], || ControlFlow::Continue(())) {
        let what = format!(
            "{}: {trial:?}, promised {promised}, in {orders:?}",
            case(seed)
        );
        let landed = trial.landed;
        assert_eq!(landed.astray_items, 0, "{what}");
        let home = sent - served..=sent;
        assert!(home.contains(&landed.home_items), "{what}, {home:?}");
        let safe = trial.safe_to_close_ticks;
        assert!(safe.is_some_and(|ticks| ticks <= promised), "{what}");
    }
}

/// Of one stack of every kind everything ends where it belongs, with a stop half way.
fn assert_sorts_a_stack(plan: &Plan, orders: Orders, seed: u64) {
    let scenario = loaded(plan, Sent::Stack, seed);
    let found = run(&base(&scenario, orders), &mut |_| {});
    // A stop that is promised to take longer than wished may do so.
    let is_slow = plan.stop_ticks() > plan.hall.stop_within_ticks;
    let missed = found.verdicts.iter().filter(|verdict| !verdict.is_met());
    let missed: Vec<&str> = missed
        .map(|verdict| verdict.subject.as_str())
        .filter(|subject| !(is_slow && subject.contains("safe to close")))
        .collect();
    assert!(missed.is_empty(), "{}: {missed:#?}", case(seed));
}

/// The slices of each kind: the sort, and its numbers along the line.
fn places(plan: &Plan, good: usize) -> (Sort, Vec<u64>) {
    let sort = plan.allocation.sort_of(good);
    let slices = plan.allocation.lines[sort.index()].slices_of(good);
    let numbers = slices.map(|slice| number_of(&plan.hall, sort, slice));
    (sort, numbers.collect())
}

/// Reads back what a plan has written of its slices.
fn kept_of(plan: &Plan) -> Kept {
    let folder = tempfile::tempdir().expect("there is room for files");
    let path = folder.path().join("allocation.csv");
    let mut files = scenario_files(plan).into_iter();
    let file = files
        .find(|file| file.name == "allocation.csv")
        .expect("it is written");
    std::fs::write(&path, file.text).expect("there is room for a file");
    let (mut sources, mut problems) = (Sources::default(), Vec::new());
    let kept = read_kept(&path, &mut sources, &mut problems);
    assert!(problems.is_empty(), "{problems:#?}");
    Kept {
        length_blocks: Some(plan.layout.length_blocks),
        ..kept.expect("it is sound")
    }
}

#[test]
fn more_kinds_move_nothing_in_random_halls() {
    for seed in seeds() {
        let drawn = drawn(seed);
        let Some((before, _)) = planned(&drawn, seed) else {
            continue;
        };
        let more = drawn.with_more(seed);
        let mut problems = Vec::new();
        let hall = sound_hall(&more.hall.text());
        let after = continued(
            "Hall".into(),
            goods(&more.rows()),
            hall,
            Some(&kept_of(&before)),
            &mut problems,
        );
        let Some(after) = after else {
            // A line that becomes longer may carry what stands behind it on to the other side.
            assert_only_wishes_are_refused(&problems, seed);
            continue;
        };
        let changes = after
            .allocation
            .changes
            .as_ref()
            .expect("it continues another");
        assert!(
            changes.moves.is_empty(),
            "{}: {:#?}",
            case(seed),
            changes.moves
        );
        assert!(
            changes.left.is_empty(),
            "{}: {:#?}",
            case(seed),
            changes.left
        );
        assert_eq!(
            changes.came.len(),
            more.goods.len() - drawn.goods.len(),
            "{}",
            case(seed)
        );
        if changes.lengthened.is_empty() {
            // As long as no line becomes longer every block stays where it is.
            assert_eq!(before.layout.laid, after.layout.laid, "{}", case(seed));
        }
        if after.catalogue.goods.len() <= MOST_KINDS_KEPT {
            assert_stands(&after, &loaded(&after, Sent::Load, seed), seed);
        }
        for (number, good) in before.catalogue.goods.iter().enumerate() {
            let mut all = after.catalogue.goods.iter();
            let now = all
                .position(|other| other.name == good.name)
                .expect("it is still there");
            assert_eq!(
                places(&before, number),
                places(&after, now),
                "{}: {}",
                case(seed),
                good.name
            );
        }
    }
}
