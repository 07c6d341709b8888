//! What each part can pass on, by the tick rules.
//!
//! Times are counted in turns here: an action in phase 3 counts as one at the end of the tick before,
//! so that between two actions of a hopper lies its cooldown, whatever the phases. A span of ticks may
//! so hold one action more of a hopper that is offered loose items.

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::{Hopper, Intake, Part};
use hallwright_core::timeline::{Action, Timeline};

use super::pace::{Capacity, Pace};
use super::rises::rises;
use crate::ways::{Way, WayKind, Ways};

/// Who hands items on to whom, and how often each can.
pub(crate) struct Links {
    /// For each part, the hoppers and selectors that can push into it.
    pub(crate) pushers: Vec<Vec<PartId>>,
    /// Whether anything but a hopper or selector puts items into it: a dropper or a delivery.
    pub(crate) has_other_inlet: Vec<bool>,
    /// For each part, the hoppers that pull from it.
    pub(crate) pullers: Vec<Vec<PartId>>,
    /// What each hopper, dropper and selector can pass on. Of a hopper: what it can push, and what it
    /// can pull as well.
    pub(crate) capacities: Vec<Capacity>,
}

impl Links {
    /// The links of a network in a run with this timeline.
    pub(crate) fn new(network: &Network, ways: &Ways, timeline: &Timeline) -> Self {
        // The boxes are no part, and nothing of a pace leads there.
        let count = ways.node_count();
        let mut links = Self {
            pushers: vec![Vec::new(); count],
            has_other_inlet: vec![false; count],
            pullers: vec![Vec::new(); count],
            capacities: vec![Capacity::UNBOUNDED; count],
        };
        for way in ways.iter() {
            links.add(network, way);
        }
        for (_, action) in timeline.entries() {
            if let Action::Deliver { place, .. } | Action::Fill { place, .. } = action {
                links.has_other_inlet[place.index()] = true;
            }
        }
        // One that was stuck or slept can rise when its inputs do not.
        let has_spells = timeline.spells().next().is_some();
        let mut chains = Chains::new(count);
        for (id, part) in network.parts() {
            links.capacities[id.index()] = match part {
                Part::Hopper(hopper) => {
                    let slack = chains.slack(network, &links, id);
                    hopper_capacity(network, &links, id, hopper, slack)
                }
                Part::Dropper(dropper) => dropper_capacity(network, dropper.trigger, has_spells),
                Part::Selector(selector) => {
                    let interval = u64::from(selector.interval_ticks);
                    let mut paces = vec![Pace::every(1)];
                    if interval > 0 {
                        // Besides those that became ready meanwhile, those that waited inside.
                        let inside = u64::from(selector.holds) * interval;
                        paces.push(Pace::every(interval).with_slack(inside));
                    }
                    if selector.holds == 1 {
                        paces.push(Pace::every(selector.latency_ticks.into()));
                    }
                    Capacity::Within(paces)
                }
                Part::Container(_) | Part::Mouth | Part::Stream(_) | Part::Bench(_) => {
                    Capacity::UNBOUNDED
                }
                Part::Dock | Part::Shuttle(_) | Part::Signal(_) => Capacity::UNBOUNDED,
            };
        }
        links
    }

    /// Takes note of one way: who hands on over it.
    fn add(&mut self, network: &Network, way: &Way) {
        let Some(by) = way.by else {
            // Loose items, boxes and shuttles go by themselves.
            return;
        };
        match way.kind {
            WayKind::Pull | WayKind::PickUp => self.pullers[way.from].push(by),
            WayKind::Push | WayKind::Match | WayKind::Rest | WayKind::WhenFull
                if network.part(by).takes_turns() =>
            {
                // A selector may have several ways to one part.
                if self.pushers[way.to].last() != Some(&by) {
                    self.pushers[way.to].push(by);
                }
            }
            WayKind::Push | WayKind::Match | WayKind::Rest | WayKind::WhenFull => {
                self.has_other_inlet[way.to] = true;
            }
            WayKind::Throw | WayKind::SetDown => self.has_other_inlet[way.to] = true,
            WayKind::ThrowPast | WayKind::Flow | WayKind::Lift | WayKind::Travel => {}
            WayKind::Load | WayKind::Unload | WayKind::Pack | WayKind::Unpack => {}
        }
    }
}

fn dropper_capacity(network: &Network, trigger: Option<PartId>, has_spells: bool) -> Capacity {
    let Some(trigger) = trigger else {
        return Capacity::Never;
    };
    // A firing that is pending is not scheduled again.
    let own = Pace::every(network.rules().dropper_delay_ticks.into());
    if has_spells {
        return Capacity::Within(vec![own]);
    }
    match rises(network, trigger) {
        Capacity::Never => Capacity::Never,
        Capacity::Within(mut paces) => {
            paces.push(own);
            Capacity::Within(paces)
        }
    }
}

/// What a hopper can push; what it can pull is the same. `chain_slack_ticks`: see [`Chains`].
///
/// The cooldown lies between two of its actions, unless something arrives in it while it is empty,
/// which sets the cooldown anew: then as much as the rule of arrival says lies between its last action
/// and the next, at least.
fn hopper_capacity(
    network: &Network,
    links: &Links,
    id: PartId,
    hopper: &Hopper,
    chain_slack_ticks: Option<u64>,
) -> Capacity {
    let rules = network.rules();
    let cooldown = u64::from(rules.cooldown_ticks);
    let arrival = u64::from(rules.arrival_ticks);
    let is_offered = match hopper.intake {
        Intake::Mouth(_) => true,
        Intake::Above(_) | Intake::Cap => false,
    };
    let mut gap = cooldown;
    if links.has_other_inlet[id.index()] {
        gap = gap.min(arrival);
    }
    if !links.pushers[id.index()].is_empty() {
        gap = gap.min(arrival - 1);
    }
    if is_offered && gap == 0 {
        // It may act any number of times in one phase 3.
        return Capacity::UNBOUNDED;
    }
    let mut paces = vec![Pace::every(gap)];
    if let Some(slack) = chain_slack_ticks {
        paces.push(Pace::every(cooldown).with_slack(slack));
    }
    if is_offered {
        paces = paces.iter().map(|pace| pace.with_slack(1)).collect();
    }
    Capacity::Within(paces)
}

/// Lines of hoppers into each of which only the one before pushes.
///
/// Such a hopper gains nothing by the rule of arrival but once: two of its items can leave it 7 ticks
/// apart only if the second came when it had just handed on the first, and the ones after these come
/// no faster than the hopper before it hands them on. So over any time it is ahead of one item in 8
/// ticks by a tick more than the hopper before it, at most.
struct Chains {
    /// By how many ticks each hopper's pushes can be early; the inner `None` if not by this rule.
    known: Vec<Option<Option<u64>>>,
}

impl Chains {
    fn new(count: usize) -> Self {
        Self {
            known: vec![None; count],
        }
    }

    /// By how many ticks the pushes of a hopper can be ahead of one in a cooldown.
    fn slack(&mut self, network: &Network, links: &Links, hopper: PartId) -> Option<u64> {
        let rules = network.rules();
        let gain = u64::from((rules.cooldown_ticks + 1).saturating_sub(rules.arrival_ticks));
        let mut line = Vec::new();
        let mut here = hopper;
        let mut slack = loop {
            if let Some(known) = self.known[here.index()] {
                break known;
            }
            // Met again before it is known: a ring.
            self.known[here.index()] = Some(None);
            match before(network, links, here) {
                Before::Head => {
                    self.known[here.index()] = Some(Some(0));
                    break Some(0);
                }
                Before::Selector(slack) => {
                    let slack = slack.map(|slack| slack + gain);
                    self.known[here.index()] = Some(slack);
                    break slack;
                }
                Before::Several => break None,
                Before::Hopper(pusher) => {
                    line.push(here);
                    here = pusher;
                }
            }
        };
        for hopper in line.into_iter().rev() {
            slack = slack.map(|slack| slack + gain);
            self.known[hopper.index()] = Some(slack);
        }
        self.known[hopper.index()].flatten()
    }
}

/// What pushes into a hopper.
enum Before {
    /// Nothing that could speed it up.
    Head,
    /// One hopper alone, and nothing else brings anything.
    Hopper(PartId),
    /// One selector alone: by how much what it hands on can be early, if its interval is long enough.
    Selector(Option<u64>),
    /// Anything else.
    Several,
}

fn before(network: &Network, links: &Links, id: PartId) -> Before {
    let rules = network.rules();
    let Some(hopper) = network.part(id).hopper() else {
        return Before::Several;
    };
    if rules.cooldown_ticks == 0 || rules.arrival_ticks < 2 {
        return Before::Several;
    }
    let has_other_inlet = links.has_other_inlet[id.index()];
    match links.pushers[id.index()].as_slice() {
        [] if !has_other_inlet || rules.arrival_ticks >= rules.cooldown_ticks => Before::Head,
        [pusher] if !has_other_inlet && hopper.intake == Intake::Cap => {
            match network.part(*pusher) {
                Part::Hopper(_) => Before::Hopper(*pusher),
                Part::Selector(selector) => {
                    let is_slow = selector.interval_ticks >= rules.cooldown_ticks;
                    let inside = u64::from(selector.holds) * u64::from(rules.cooldown_ticks);
                    Before::Selector(is_slow.then_some(inside))
                }
                Part::Container(_) | Part::Dropper(_) | Part::Mouth | Part::Stream(_) => {
                    Before::Several
                }
                Part::Bench(_) | Part::Dock | Part::Shuttle(_) | Part::Signal(_) => Before::Several,
            }
        }
        _ => Before::Several,
    }
}
