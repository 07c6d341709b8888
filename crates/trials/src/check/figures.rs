//! The figures of a run that are worth keeping, each with its unit.

use std::collections::BTreeMap;

use hallwright_core::declare::Mark;
use hallwright_report::findings::{Findings, OverflowReason};
use hallwright_report::goals::{mark_of, mark_words};
use hallwright_report::units::mean;

/// Figures by name, each as it is written: a number and its unit.
pub(super) type Figures = BTreeMap<String, String>;

/// The figures of a run. They are whole numbers, or have so many decimals that no change hides.
pub(super) fn figures(found: &Findings) -> Figures {
    let mut figures = Figures::new();
    let mut add = |name: String, value: String| {
        figures.insert(plain(&name), value);
    };
    let whereabouts = &found.whereabouts;
    for (name, items) in [
        ("sorted", whereabouts.sorted_items),
        ("misplaced", found.misplaced_items()),
        ("in overflow", whereabouts.overflow_items),
        ("elsewhere", whereabouts.elsewhere_items),
        ("passed by", found.overflow.items(OverflowReason::PassedBy)),
        ("lost", found.loss.items),
        ("delivered", whereabouts.delivered_items),
    ] {
        add(name.to_owned(), format!("{items} items"));
    }
    let broken = found.sieves.iter().filter(|sieve| !sieve.is_intact());
    add(
        "sieves not intact".to_owned(),
        format!("{} sieves", broken.count()),
    );
    for flow in &found.flows {
        let (name, unit) = (&flow.name, flow.unit());
        add(format!("{name}: counted"), format!("{} {unit}", flow.items));
        let steadiest = flow.steadiest.per_second(found.ticks_per_second);
        add(
            format!("{name}: throughput"),
            format!("{steadiest:.4} {unit}/s"),
        );
    }
    for section in &found.sections {
        let name = &section.name;
        let cover = section.lock_cover;
        add(
            format!("{name}: locked"),
            format!("{} of {} hopper-ticks", cover.part, cover.whole),
        );
        add(
            format!("{name}: most waiting"),
            format!("{} items", section.backlog.peak_items),
        );
    }
    for (place, stop) in found.stops.iter().enumerate() {
        for mark in [Mark::Cleared, Mark::SafeToClose, Mark::Quiet, Mark::Resumed] {
            if let Some(ticks) = mark_of(stop, mark, None) {
                let name = format!("stop {}: {}", place + 1, mark_words(mark));
                add(name, ticks_words(ticks));
            }
        }
    }
    for lamp in &found.lamps {
        let first = lamp.first_rise.map(|rise| rise.at.0);
        add(format!("{}: first rise", lamp.name), ticks_words(first));
        add(
            format!("{}: rises", lamp.name),
            format!("{} rises", lamp.rises),
        );
    }
    retrieval(found, &mut add);
    let work = mean(found.cost.work_units, found.cost.work_ticks);
    add("mean work".to_owned(), format!("{work:.4} units/t"));
    add(
        "hoppers".to_owned(),
        format!("{} hoppers", found.cost.hoppers),
    );
    add("run".to_owned(), format!("{} ticks", found.run_ticks));
    figures
}

/// The figures of getting goods out.
fn retrieval(found: &Findings, add: &mut dyn FnMut(String, String)) {
    for desk in &found.desks {
        for (place, request) in desk.requests.iter().enumerate() {
            let name = format!("{}: request {}", desk.name, place + 1);
            add(
                format!("{name}: served"),
                ticks_words(request.served_ticks()),
            );
        }
    }
    for gather in &found.gathers {
        for (way, stacks) in [("came in", gather.came_in), ("left", gather.left)] {
            add(
                format!("{}: part stacks that {way}", gather.name),
                format!("{} of {} stacks", stacks.part_stacks, stacks.stacks),
            );
        }
    }
    for open in &found.left_behind {
        add(
            format!("{}: left behind", open.name),
            format!("{} items", open.items),
        );
    }
}

fn ticks_words(ticks: Option<u64>) -> String {
    ticks.map_or_else(|| "never".to_owned(), |ticks| format!("{ticks} ticks"))
}

/// A name that stays on its line.
pub(super) fn plain(name: &str) -> String {
    name.replace(char::is_control, " ").trim().to_owned()
}
