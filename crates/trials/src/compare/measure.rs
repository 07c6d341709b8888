//! The figures of one run.

use hallwright_core::declare::Mark;

use super::figure::{Figure, Name, Scope, Unit};
use super::range::Value;
use hallwright_report::findings::{Findings, OverflowReason, SectionFinding};
use hallwright_report::goals::mark_of;

/// A figure and what a run measured of it.
pub type Measurement = (Figure, Value);

const MARKS: [(Mark, Name); 4] = [
    (Mark::Cleared, Name::Cleared),
    (Mark::SafeToClose, Name::SafeToClose),
    (Mark::Quiet, Name::Quiet),
    (Mark::Resumed, Name::Resumed),
];

/// The figures of a run of a network of so many parts. Runs of one design measure the same figures in
/// the same order.
#[must_use]
pub fn measure(found: &Findings, parts: u64) -> Vec<Measurement> {
    let mut all = Vec::new();
    marks(found, &mut all);
    sorting(found, &mut all);
    for flow in &found.flows {
        let unit = if flow.counts_boxes {
            Unit::BoxesPerSecond
        } else {
            Unit::ItemsPerSecond
        };
        let rate = flow.steadiest.per_second(found.ticks_per_second);
        let scope = Scope::Flow(flow.name.clone());
        all.push(figure(Name::Throughput, scope, unit, Value::Number(rate)));
    }
    let waiting = |section: &SectionFinding| section.backlog.peak_items;
    by_section(
        found,
        Name::MostWaiting,
        Unit::Items,
        &mut all,
        &|sections| count(sections.iter().map(|section| waiting(section)).max()),
    );
    cost(found, parts, &mut all);
    let unit = Unit::HoppersPerBlock;
    // The width of a whole design is declared by itself.
    let mut by_width = Vec::new();
    by_section(
        found,
        Name::HoppersPerBlock,
        unit,
        &mut by_width,
        &per_block,
    );
    all.extend(
        by_width
            .into_iter()
            .filter(|(figure, _)| figure.scope != Scope::All),
    );
    all
}

fn figure(name: Name, scope: Scope, unit: Unit, value: Value) -> Measurement {
    (Figure { name, scope, unit }, value)
}

fn count(count: Option<u64>) -> Value {
    count.map_or(Value::Nothing, |count| Value::Number(count as f64))
}

/// A quotient; nothing where there is nothing to divide by.
fn quotient(part: u64, whole: u64) -> Value {
    if whole == 0 {
        Value::Nothing
    } else {
        Value::Number(part as f64 / whole as f64)
    }
}

/// Hoppers a block, where all of the sections have a width.
fn per_block(sections: &[&SectionFinding]) -> Value {
    let widths: Option<u64> = sections
        .iter()
        .map(|section| section.width_blocks.map(u64::from))
        .sum();
    let hoppers = sections.iter().map(|section| section.hoppers).sum();
    quotient(hoppers, widths.unwrap_or(0))
}

/// What a section belongs to: its name up to the first dot or bracket.
pub(super) fn subsystem(section: &str) -> &str {
    section.split(['.', '[']).next().unwrap_or(section)
}

/// Each scope of sections, with the sections in it by their places: all, each subsystem, each section
/// whose name is not that of its subsystem.
fn scopes(names: &[&str]) -> Vec<(Scope, Vec<usize>)> {
    let mut scopes = vec![(Scope::All, (0..names.len()).collect::<Vec<usize>>())];
    for (place, name) in names.iter().enumerate() {
        let scope = Scope::Subsystem(subsystem(name).to_owned());
        match scopes.iter_mut().find(|(known, _)| *known == scope) {
            Some((_, places)) => places.push(place),
            None => scopes.push((scope, vec![place])),
        }
    }
    let single = names.iter().enumerate();
    scopes.extend(
        single
            .filter(|(_, name)| subsystem(name) != **name)
            .map(|(place, name)| (Scope::Section((*name).to_owned()), vec![place])),
    );
    scopes
}

/// The marks of the stops, the worst of a run's stops. A subsystem has come to a mark when its last
/// section has.
fn marks(found: &Findings, all: &mut Vec<Measurement>) {
    let names: Vec<&str> = found
        .sections
        .iter()
        .map(|each| each.name.as_str())
        .collect();
    for (mark, name) in MARKS {
        let worst = |section: Option<usize>| -> Vec<Value> {
            let stops = found.stops.iter();
            stops
                .filter_map(|stop| mark_of(stop, mark, section))
                .map(Value::ticks)
                .collect()
        };
        for (scope, places) in scopes(&names) {
            let values: Vec<Value> = match scope {
                Scope::All => worst(None),
                _ => places
                    .iter()
                    .flat_map(|place| worst(Some(*place)))
                    .collect(),
            };
            let range = super::range::range_of(&values, false);
            let value = range.map_or(Value::Nothing, |range| range.worst);
            all.push(figure(name, scope, Unit::Ticks, value));
        }
    }
}

fn sorting(found: &Findings, all: &mut Vec<Measurement>) {
    let items = |name, items: u64| figure(name, Scope::All, Unit::Items, count(Some(items)));
    all.push(items(Name::Sorted, found.whereabouts.sorted_items));
    all.push(items(Name::Misplaced, found.misplaced_items()));
    let passed_by = found.overflow.items(OverflowReason::PassedBy);
    all.push(items(Name::PassedBy, passed_by));
    all.push(items(Name::Lost, found.loss.items));
    by_section(found, Name::WentRound, Unit::Items, all, &|sections| {
        let returned = sections.iter().filter_map(|section| section.returned);
        count(Some(returned.map(|returned| returned.items).sum()))
    });
    if !found.sections.is_empty() {
        all.push(items(Name::StillGoingRound, found.going_round_items()));
    }
    let broken = found.sieves.iter().filter(|sieve| !sieve.is_intact());
    let broken = count((!found.sieves.is_empty()).then(|| broken.count() as u64));
    all.push(figure(
        Name::SievesNotIntact,
        Scope::All,
        Unit::Sieves,
        broken,
    ));
    let missed = found.verdicts.iter().filter(|verdict| !verdict.is_met());
    let missed = count((!found.verdicts.is_empty()).then(|| missed.count() as u64));
    all.push(figure(Name::GoalsMissed, Scope::All, Unit::Goals, missed));
}

/// A figure for all sections and for each scope of them.
fn by_section(
    found: &Findings,
    name: Name,
    unit: Unit,
    all: &mut Vec<Measurement>,
    value: &dyn Fn(&[&SectionFinding]) -> Value,
) {
    if found.sections.is_empty() {
        return;
    }
    let names: Vec<&str> = found
        .sections
        .iter()
        .map(|each| each.name.as_str())
        .collect();
    for (scope, places) in scopes(&names) {
        let sections: Vec<&SectionFinding> =
            places.iter().map(|place| &found.sections[*place]).collect();
        all.push(figure(name, scope, unit, value(&sections)));
    }
}

fn cost(found: &Findings, parts: u64, all: &mut Vec<Measurement>) {
    let cost = &found.cost;
    let width = cost.width_blocks.map(u64::from);
    let busy_units = cost.work_units - cost.idle_work_units;
    let busy_ticks = cost.work_ticks - cost.idle_ticks;
    let idle = quotient(cost.idle_work_units, cost.idle_ticks);
    let per_block = quotient(cost.hoppers, width.unwrap_or(0));
    let lock_cover = quotient(cost.lock_cover.part, cost.lock_cover.whole);
    for (name, unit, value) in [
        (Name::Hoppers, Unit::Hoppers, count(Some(cost.hoppers))),
        (Name::Parts, Unit::Parts, count(Some(parts))),
        (Name::Width, Unit::Blocks, count(width)),
        (Name::HoppersPerBlock, Unit::HoppersPerBlock, per_block),
        (
            Name::WorkBusy,
            Unit::WorkPerTick,
            quotient(busy_units, busy_ticks),
        ),
        (Name::WorkIdle, Unit::WorkPerTick, idle),
        (Name::LockCover, Unit::Share, lock_cover),
    ] {
        all.push(figure(name, Scope::All, unit, value));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sections_are_put_together_by_the_beginning_of_their_names() {
        let scopes = scopes(&["quay.quay", "line[0].line", "line[1].line", "hatch"]);
        let names: Vec<(&str, Option<&str>, &[usize])> = scopes
            .iter()
            .map(|(scope, places)| (scope.sort(), scope.name(), places.as_slice()))
            .collect();
        assert_eq!(
            names,
            [
                ("all", None, &[0, 1, 2, 3][..]),
                ("subsystem", Some("quay"), &[0]),
                ("subsystem", Some("line"), &[1, 2]),
                ("subsystem", Some("hatch"), &[3]),
                ("section", Some("quay.quay"), &[0]),
                ("section", Some("line[0].line"), &[1]),
                ("section", Some("line[1].line"), &[2]),
            ]
        );
    }
}
