//! The account: where everything is at the end, and where it came from.

use std::collections::BTreeMap;

use hallwright_core::declare::{Declarations, StorePurpose};
use hallwright_core::engine::View;
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::tick::{Phase, Tick};
use hallwright_core::timeline::{Action, Timeline};

use super::ledger::{Ledger, box_contents};
use super::standing::{Places, Thing};
use super::stores::StoreMeasure;
use crate::findings::{Account, Amounts, KindAccount, OverflowReason, Refusal, Standing};

/// Counts what comes and goes.
pub(crate) struct AccountMeasure<'d> {
    declared: &'d Declarations,
    places: Places<'d>,
    at_start: Counts,
    lost: Counts,
    taken_out: Counts,
    sent: Counts,
    /// What landed, without what boxes hold.
    landed: Counts,
    /// The deliveries that are still to come, the next one last.
    deliveries: Vec<Delivery>,
    /// What landed in this tick, by place and kind.
    landed_now: BTreeMap<(PartId, KindId), u64>,
    refused: BTreeMap<(PartId, KindId), (Tick, u64)>,
}

/// A delivery as it is asked for.
struct Delivery {
    at: Tick,
    place: PartId,
    kind: KindId,
    count: u64,
    /// What all its boxes together hold.
    inside: Vec<(KindId, u64)>,
}

/// Things by kind: those that lie in no box, and those that do.
#[derive(Clone, PartialEq, Eq, Debug)]
struct Counts {
    outside: Vec<u64>,
    inside: Vec<u64>,
}

impl Counts {
    fn none(network: &Network) -> Self {
        let none = vec![0; network.kinds().len()];
        Self {
            outside: none.clone(),
            inside: none,
        }
    }

    fn add(&mut self, kind: KindId, count: u64) {
        self.outside[kind.index()] += count;
    }

    fn add_inside(&mut self, inside: &[(KindId, u64)]) {
        for (kind, count) in inside {
            self.inside[kind.index()] += count;
        }
    }

    fn of(&self, kind: usize) -> u64 {
        self.outside[kind] + self.inside[kind]
    }

    fn amounts(&self, network: &Network) -> Amounts {
        let mut amounts = Amounts {
            goods_in_boxes: self.inside.iter().sum(),
            ..Amounts::default()
        };
        for (kind, count) in network.kinds().iter().zip(&self.outside) {
            if kind.is_box {
                amounts.boxes += count;
            } else {
                amounts.goods += count;
            }
        }
        amounts
    }
}

impl<'d> AccountMeasure<'d> {
    /// Begins before tick 0. `timeline`: everything that the operator does.
    pub(crate) fn new(declared: &'d Declarations, timeline: &Timeline, view: &View<'_>) -> Self {
        let network = view.network();
        let none = Counts::none(network);
        let places = Places::new(declared, network);
        let mut at_start = none.clone();
        for thing in places.things(view) {
            at_start.add(thing.kind, thing.count);
            at_start.add_inside(&contents(&thing));
        }
        let mut deliveries: Vec<Delivery> =
            timeline.entries().iter().filter_map(delivery).collect();
        deliveries.reverse();
        Self {
            declared,
            places,
            at_start,
            lost: none.clone(),
            taken_out: none.clone(),
            sent: none.clone(),
            landed: none,
            deliveries,
            landed_now: BTreeMap::new(),
            refused: BTreeMap::new(),
        }
    }

    pub(crate) fn event(
        &mut self,
        moment: Moment,
        event: &Event,
        ledger: &Ledger,
        view: &View<'_>,
    ) {
        match *event {
            Event::Delivered { place, kind, count } => self.land(place, kind, count.into()),
            // What comes loose while inputs are done is a delivery.
            Event::CameLoose {
                item, count, place, ..
            } if moment.phase == Phase::Inputs => self.land(place, item.kind, count.into()),
            Event::Withdrawn { item, count, .. } => {
                self.taken_out.add(item.kind, count.into());
                self.taken_out.add_inside(&box_contents(view, item));
            }
            Event::Lost { .. } => {
                if let Some(record) = ledger.gone() {
                    self.lost.add(record.item.kind, record.count);
                    self.lost.add_inside(&record.box_contents);
                }
            }
            _ => {}
        }
    }

    fn land(&mut self, place: PartId, kind: KindId, count: u64) {
        self.landed.add(kind, count);
        *self.landed_now.entry((place, kind)).or_insert(0) += count;
    }

    /// The ticks before `until` are over.
    pub(crate) fn ticks_passed(&mut self, until: Tick) {
        let mut asked: BTreeMap<(Tick, PartId, KindId), u64> = BTreeMap::new();
        while let Some(delivery) = self.deliveries.pop_if(|next| next.at < until) {
            let key = (delivery.at, delivery.place, delivery.kind);
            *asked.entry(key).or_insert(0) += delivery.count;
            self.sent.add(delivery.kind, delivery.count);
            self.sent.add_inside(&delivery.inside);
        }
        for ((at, place, kind), count) in asked {
            let landed = self.landed_now.remove(&(place, kind)).unwrap_or(0);
            if count > landed {
                let (_, refused) = self.refused.entry((place, kind)).or_insert((at, 0));
                *refused += count - landed;
            }
        }
        self.landed_now.clear();
    }

    /// The account as it is now, between two ticks.
    pub(crate) fn account(&self, stores: &StoreMeasure, view: &View<'_>) -> Account {
        let network = view.network();
        let none = Counts::none(network);
        let mut rows: BTreeMap<Standing, Counts> = BTreeMap::new();
        let mut add = |standing: Standing, kind: KindId, count: u64, is_inside: bool| {
            if count == 0 {
                return;
            }
            let row = rows.entry(standing).or_insert_with(|| none.clone());
            if is_inside {
                row.inside[kind.index()] += count;
            } else {
                row.outside[kind.index()] += count;
            }
        };
        let mut in_overflow: BTreeMap<KindId, u64> = BTreeMap::new();
        for thing in self.places.things(view) {
            match (thing.standing, thing.box_id) {
                (Standing::OverflowPutThere, None) => {
                    *in_overflow.entry(thing.kind).or_insert(0) += thing.count;
                }
                (Standing::OverflowPutThere, Some(box_id)) => {
                    let why = stores.why_in_overflow(box_id);
                    let standing = overflow_line(why, self.has_home(&thing));
                    add(standing, thing.kind, thing.count, false);
                    for (kind, count, _) in &thing.inside {
                        add(standing, *kind, *count, true);
                    }
                }
                (standing, _) => {
                    add(standing, thing.kind, thing.count, false);
                    for (kind, count, standing) in &thing.inside {
                        add(*standing, *kind, *count, true);
                    }
                }
            }
        }
        // Goods of one kind are alike: what was passed by is told first, then what found its store full.
        for (kind, count) in in_overflow {
            let has_home = self.is_home_of(&[kind]);
            let mut rest = count;
            for reason in [OverflowReason::PassedBy, OverflowReason::StoreFull] {
                let of_it = rest.min(stores.reached_for(kind, reason));
                add(overflow_line(Some(reason), has_home), kind, of_it, false);
                rest -= of_it;
            }
            add(overflow_line(None, has_home), kind, rest, false);
        }
        rows.insert(Standing::Lost, self.lost.clone());
        rows.insert(Standing::TakenOut, self.taken_out.clone());
        let refused = self.refused(view);
        Account {
            kinds: self.kinds(&rows, &refused, network),
            at_start: self.at_start.amounts(network),
            sent: self.sent.amounts(network),
            refused: refused.amounts(network),
            rows: rows
                .iter()
                .map(|(standing, row)| (*standing, row.amounts(network)))
                .filter(|(_, amounts)| !amounts.is_none())
                .collect(),
            refusals: self.refusals(network),
        }
    }

    /// The account of each kind that ever was there.
    fn kinds(
        &self,
        rows: &BTreeMap<Standing, Counts>,
        refused: &Counts,
        network: &Network,
    ) -> Vec<KindAccount> {
        let kinds = network.kinds().iter().enumerate();
        let kinds = kinds.map(|(place, kind)| {
            let own = rows.iter().map(|(at, row)| (*at, row.of(place)));
            KindAccount {
                kind: kind.name.clone(),
                is_box: kind.is_box,
                at_start: self.at_start.of(place),
                sent: self.sent.of(place),
                refused: refused.of(place),
                rows: own.filter(|(_, items)| *items > 0).collect(),
            }
        });
        kinds.filter(|kind| kind.at_start + kind.sent > 0).collect()
    }

    fn is_home_of(&self, kinds: &[KindId]) -> bool {
        let mut stores = self.declared.stores.iter();
        stores.any(|store| {
            store.purpose == StorePurpose::Slice && kinds.iter().all(|kind| store.accepts(*kind))
        })
    }

    fn has_home(&self, thing: &Thing) -> bool {
        self.is_home_of(&thing.judged_by())
    }

    /// What was sent and did not land. What boxes held that landed follows from what landed in all.
    fn refused(&self, view: &View<'_>) -> Counts {
        let mut refused = self.sent.clone();
        for kind in 0..refused.outside.len() {
            let landed = view.delivered(KindId::from_index(kind));
            refused.inside[kind] -= landed - self.landed.outside[kind];
            refused.outside[kind] -= self.landed.outside[kind];
        }
        refused
    }

    fn refusals(&self, network: &Network) -> Vec<Refusal> {
        let rows = self.refused.iter();
        let mut rows: Vec<Refusal> = rows
            .map(|((place, kind), (first_at, items))| Refusal {
                place: network.name(*place).to_owned(),
                kind: network.kind(*kind).name.clone(),
                items: *items,
                first_at: *first_at,
            })
            .collect();
        rows.sort_by_key(|row| row.first_at);
        rows
    }
}

/// The line of overflow for what came there for a reason, or was put there.
fn overflow_line(why: Option<OverflowReason>, has_home: bool) -> Standing {
    match (why, has_home) {
        (Some(OverflowReason::PassedBy), _) => Standing::OverflowPassedBy,
        (Some(OverflowReason::StoreFull), _) => Standing::OverflowStoreFull,
        (Some(OverflowReason::NoStore), _) | (None, false) => Standing::OverflowNoHome,
        (None, true) => Standing::OverflowPutThere,
    }
}

fn contents(thing: &Thing) -> Vec<(KindId, u64)> {
    let inside = thing.inside.iter();
    inside.map(|(kind, count, _)| (*kind, *count)).collect()
}

fn delivery((at, action): &(Tick, Action)) -> Option<Delivery> {
    let Action::Deliver {
        place,
        kind,
        count,
        contents,
    } = action
    else {
        return None;
    };
    let count = u64::from(*count);
    let inside = contents.iter();
    Some(Delivery {
        at: *at,
        place: *place,
        kind: *kind,
        count,
        inside: inside
            .map(|filling| (filling.kind, count * u64::from(filling.count)))
            .collect(),
    })
}

/// Keeps the account of a run by itself, to be looked at between any two ticks.
pub struct AccountWatch<'d> {
    ledger: Ledger,
    stores: StoreMeasure,
    account: AccountMeasure<'d>,
}

impl<'d> AccountWatch<'d> {
    /// Begins before tick 0. `timeline`: everything that the operator does.
    #[must_use]
    pub fn new(declared: &'d Declarations, timeline: &Timeline, view: &View<'_>) -> Self {
        let ledger = Ledger::new(view);
        Self {
            stores: StoreMeasure::new(&declared.stores, &ledger, view),
            account: AccountMeasure::new(declared, timeline, view),
            ledger,
        }
    }

    /// The account as it is between two ticks.
    #[must_use]
    pub fn account(&self, view: &View<'_>) -> Account {
        self.account.account(&self.stores, view)
    }
}

impl Observer for AccountWatch<'_> {
    fn event(&mut self, moment: Moment, event: &Event, view: &View<'_>) {
        let moved = self.ledger.take_up(moment.tick, event, view);
        if let Some(moved) = &moved {
            self.stores.moved(moment.tick, moved, view);
        }
        self.account.event(moment, event, &self.ledger, view);
    }

    fn ticks_passed(&mut self, _from: Tick, until: Tick, _work: u64, _view: &View<'_>) {
        self.account.ticks_passed(until);
        self.stores.end_tick();
    }
}
