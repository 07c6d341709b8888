//! The account: where everything is at the end, and where it came from.

use std::collections::BTreeMap;

use hallwright_core::engine::View;
use hallwright_core::event::{DeliveryNews, Event, Moment, Observer};
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::{Declarations, StorePurpose};
use serde::{Deserialize, Serialize};

use super::ledger::{Ledger, box_contents};
use super::standing::{Places, Thing};
use super::stores::StoreMeasure;
use crate::findings::{Account, Amounts, KindAccount, OverflowReason, Refusal, Standing};

/// Counts what comes and goes.
pub(crate) struct AccountMeasure<'d> {
    declared: &'d Declarations,
    places: Places<'d>,
    tally: Tally,
}

/// What came and went so far.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct Tally {
    at_start: Counts,
    lost: Counts,
    taken_out: Counts,
    /// What was due, without what boxes hold.
    sent: Vec<u64>,
    /// What of it was refused, without what boxes hold.
    refused: Vec<u64>,
    refused_at: BTreeMap<(PartId, KindId), (Tick, u64)>,
}

/// Things by kind: those that lie in no box, and those that do.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
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
    /// Begins before tick 0.
    pub(crate) fn new(declared: &'d Declarations, view: &View<'_>) -> Self {
        let network = view.network();
        let none = Counts::none(network);
        let places = Places::new(declared, network);
        let mut at_start = none.clone();
        for thing in places.things(view) {
            at_start.add(thing.kind, thing.count);
            at_start.add_inside(&contents(&thing));
        }
        Self {
            declared,
            places,
            tally: Tally {
                at_start,
                lost: none.clone(),
                taken_out: none,
                sent: vec![0; network.kinds().len()],
                refused: vec![0; network.kinds().len()],
                refused_at: BTreeMap::new(),
            },
        }
    }

    /// Items refused so far, boxes without what they hold.
    pub(crate) fn refused_items(&self) -> u64 {
        self.tally.refused.iter().sum()
    }

    pub(crate) fn kept(&self) -> Tally {
        self.tally.clone()
    }

    pub(crate) fn put_back(&mut self, tally: Tally) {
        self.tally = tally;
    }

    pub(crate) fn event(&mut self, event: &Event, ledger: &Ledger, view: &View<'_>) {
        match *event {
            Event::Withdrawn { item, count, .. } => {
                self.tally.taken_out.add(item.kind, count.into());
                self.tally.taken_out.add_inside(&box_contents(view, item));
            }
            Event::Lost { .. } => {
                if let Some(record) = ledger.gone() {
                    self.tally.lost.add(record.item.kind, record.count);
                    self.tally.lost.add_inside(&record.box_contents);
                }
            }
            _ => {}
        }
    }

    pub(crate) fn delivery(&mut self, at: Tick, news: &DeliveryNews) {
        self.tally.sent[news.kind.index()] += u64::from(news.sent);
        let refused = u64::from(news.refused);
        if refused > 0 {
            self.tally.refused[news.kind.index()] += refused;
            let here = (news.place, news.kind);
            let (_, items) = self.tally.refused_at.entry(here).or_insert((at, 0));
            *items += refused;
        }
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
        // Goods of one kind are alike: what was passed by is reported first, then what found its store full.
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
        rows.insert(Standing::Lost, self.tally.lost.clone());
        rows.insert(Standing::TakenOut, self.tally.taken_out.clone());
        let sent = from_outside(&self.tally.sent, |kind| view.sent(kind));
        let refused = from_outside(&self.tally.refused, |kind| view.refused(kind));
        Account {
            kinds: self.kinds(&rows, (&sent, &refused), network),
            at_start: self.tally.at_start.amounts(network),
            sent: sent.amounts(network),
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
        (sent, refused): (&Counts, &Counts),
        network: &Network,
    ) -> Vec<KindAccount> {
        let kinds = network.kinds().iter().enumerate();
        let kinds = kinds.map(|(place, kind)| {
            let own = rows.iter().map(|(at, row)| (*at, row.of(place)));
            KindAccount {
                kind: kind.name.clone(),
                is_box: kind.is_box,
                at_start: self.tally.at_start.of(place),
                sent: sent.of(place),
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

    fn refusals(&self, network: &Network) -> Vec<Refusal> {
        let rows = self.tally.refused_at.iter();
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

/// Counts of what lies in no box, with what boxes brought or would have brought: the rest of all.
fn from_outside(outside: &[u64], all: impl Fn(KindId) -> u64) -> Counts {
    let inside = outside.iter().enumerate();
    Counts {
        outside: outside.to_vec(),
        inside: inside
            .map(|(kind, outside)| all(KindId::from_index(kind)) - outside)
            .collect(),
    }
}

/// Keeps the account of a run by itself, to be looked at between any two ticks.
pub struct AccountWatch<'d> {
    ledger: Ledger,
    stores: StoreMeasure,
    account: AccountMeasure<'d>,
}

impl<'d> AccountWatch<'d> {
    /// Begins before tick 0.
    #[must_use]
    pub fn new(declared: &'d Declarations, view: &View<'_>) -> Self {
        let ledger = Ledger::new(view);
        Self {
            stores: StoreMeasure::new(&declared.stores, &ledger, view),
            account: AccountMeasure::new(declared, view),
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
        self.account.event(event, &self.ledger, view);
    }

    fn ticks_passed(&mut self, _from: Tick, _until: Tick, _work: u64, _view: &View<'_>) {
        self.stores.end_tick();
    }

    fn delivery(&mut self, moment: Moment, news: &DeliveryNews, _view: &View<'_>) {
        self.account.delivery(moment.tick, news);
    }
}
