//! Everything in a scenario besides its parts that names a part.

use hallwright_core::id::PartId;
use hallwright_core::order::Order;
use hallwright_core::timeline::Action;
use hallwright_declared::declarations::{Declarations, Goal};
use hallwright_scenario::{Course, Scenario};

/// Every part that something names, and what names it, in words.
pub(super) fn named(scenario: &Scenario) -> Vec<(PartId, String)> {
    let mut named = Named::default();
    named.declarations(&scenario.declarations);
    for goal in &scenario.declarations.goals {
        named.goal(goal);
    }
    for (at, action) in &scenario.operator {
        named.action(&format!("what the operator does in tick {at}"), action);
    }
    for stop in &scenario.declarations.stops {
        let restart = stop.restart.iter().flat_map(|restart| &restart.actions);
        for action in stop.actions.iter().chain(restart) {
            named.action(&format!("the stop in tick {}", stop.at), action);
        }
    }
    for arrival in &scenario.arrivals {
        let by = format!("the arrival `{}`", arrival.name);
        let deliveries: Vec<&Action> = match &arrival.course {
            Course::Steady { delivery, .. } | Course::ByChance { delivery, .. } => vec![delivery],
            Course::Mixed { deliveries, .. } => deliveries.iter().map(|(one, _)| one).collect(),
            Course::Listed(entries) => entries.iter().map(|(_, one)| one).collect(),
        };
        for delivery in deliveries {
            named.action(&by, delivery);
        }
    }
    named.list
}

#[derive(Default)]
struct Named {
    list: Vec<(PartId, String)>,
}

impl Named {
    fn add<'p>(&mut self, by: &str, parts: impl IntoIterator<Item = &'p PartId>) {
        let parts = parts.into_iter();
        self.list.extend(parts.map(|part| (*part, by.to_owned())));
    }

    fn declarations(&mut self, declared: &Declarations) {
        for store in &declared.stores {
            self.add(&format!("the store `{}`", store.name), &store.parts);
        }
        for flow in &declared.flows {
            self.add(&format!("the flow `{}`", flow.name), &flow.into);
        }
        for section in &declared.sections {
            let by = format!("the section `{}`", section.name);
            let lists = [
                &section.line,
                &section.queue,
                &section.locked,
                &section.returns,
            ];
            self.add(&by, lists.into_iter().flatten().chain(&section.call));
        }
        self.add("the list of sieves", &declared.sieves);
        for lamp in &declared.lamps {
            let by = format!("the lamp `{}`", lamp.name);
            self.add(&by, lamp.watches.iter().chain([&lamp.signal]));
        }
        for desk in &declared.desks {
            let by = format!("the request `{}`", desk.name);
            self.add(&by, desk.counter.iter().chain([&desk.desk]));
        }
        for gather in &declared.gathers {
            self.add(&format!("the gather `{}`", gather.name), &gather.at);
        }
        for open in &declared.open {
            let by = format!("the open place `{}`", open.name);
            self.add(&by, open.parts.iter().chain(&open.behind));
        }
        for region in &declared.regions {
            self.add(&format!("the region `{}`", region.name), &region.parts);
        }
    }

    fn goal(&mut self, goal: &Goal) {
        match goal {
            Goal::Crowded(parts) => self.add("the goal `Crowded`", parts),
            Goal::Buildable(parts) => self.add("the goal `Buildable`", parts),
            Goal::Contents { parts, .. } => self.add("the goal `Contents`", parts),
            Goal::MisplacedAtMost(_) | Goal::PassedByAtMost(_) | Goal::SievesBrokenAtMost(_) => {}
            Goal::LostAtMost(_) | Goal::RefusedAtMost(_) | Goal::StuckAtMost(_) => {}
            Goal::BackedUpAtMost(_) | Goal::StopsNotSafeAtMost(_) | Goal::WithoutHome(_) => {}
            Goal::SharedHome(_) | Goal::InNoStoreAtMost(_) | Goal::GoingRoundAtMost(_) => {}
            Goal::ThroughputAtLeast { .. } | Goal::RequestWithin { .. } => {}
            Goal::PartStacksOutAtMost { .. } | Goal::LeftBehindAtMost(_) => {}
            Goal::MarkWithin { .. } | Goal::LockCoverAtLeast { .. } => {}
            Goal::CallIdleAtMost { .. } | Goal::WorkPerTickAtMost(_) => {}
            Goal::HoppersPerBlockAtMost(_) | Goal::LampRise { .. } => {}
        }
    }

    fn action(&mut self, by: &str, action: &Action) {
        match action {
            Action::MoveLever { lever: part, .. } | Action::Press { button: part } => {
                self.add(by, [part]);
            }
            Action::Withdraw { place, .. }
            | Action::Fill { place, .. }
            | Action::TakeBox { place } => self.add(by, [place]),
            Action::Deliver { place, terms, .. } => {
                self.add(by, terms.while_on.iter().chain([place]));
            }
            Action::Sleep { parts, .. } | Action::Stick { signals: parts, .. } => {
                self.add(by, parts);
            }
            Action::Reopen { orders } => {
                for order in [&orders.update, &orders.signal] {
                    match order {
                        Order::Listed(parts) => self.add(by, parts),
                        Order::Declared | Order::Reversed | Order::Shuffled(_) => {}
                    }
                }
            }
        }
    }
}
