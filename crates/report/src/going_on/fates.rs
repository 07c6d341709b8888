//! What became of things: which got home, which stay where they are, and why.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::engine::View;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_declared::declarations::{Declarations, Store, StorePurpose};

use crate::findings::{Amounts, Fate, GoingOn, Standing, StayReason, StayRow};
use crate::measure::{Thing, has_room_in};
use hallwright_analysis::homes::Form;
use hallwright_analysis::reach::{Reach, Reached};

/// Says what became of things.
pub(super) struct Fates<'a, 'v> {
    pub(super) network: &'a Network,
    pub(super) declared: &'a Declarations,
    /// The end of the run.
    pub(super) at_end: &'a View<'v>,
    /// When it had gone on.
    pub(super) after: &'a View<'v>,
}

/// Things that stay alike: in one part, of one kind, boxes by the kinds that they hold.
type Stay = (PartId, KindId, Vec<KindId>, bool);

impl Fates<'_, '_> {
    /// What was found, without how going on ended. `at_end`, `after`: all things then.
    pub(super) fn found(&self, at_end: &[Thing], after: &[Thing]) -> GoingOn {
        let mut found = GoingOn::default();
        let mut finder = Finder::new(self);
        let mut stays: BTreeMap<Stay, Amounts> = BTreeMap::new();
        for thing in after.iter().filter(|thing| thing.standing.is_unsettled()) {
            let is_box = self.network.kind(thing.kind).is_box;
            let inside = thing.inside.iter().map(|(kind, ..)| *kind).collect();
            let key = (thing.part, thing.kind, inside, is_box);
            *stays.entry(key).or_default() += amounts(thing, self.network);
        }
        for (stay, amount) in stays {
            let (fate, reason) = finder.fate(&stay);
            found.rows.push(StayRow {
                kind: self.kind_of(&stay),
                part: self.network.name(stay.0).to_owned(),
                amount,
                fate,
                reason,
            });
        }
        found.rows.extend(self.gone_wrong(at_end, after));
        for row in &found.rows {
            match row.fate {
                Fate::Stuck => found.stuck += row.amount,
                Fate::BackedUp => found.backed_up += row.amount,
                Fate::Homeless => found.homeless += row.amount,
            }
        }
        let unsettled = at_end.iter().filter(|thing| thing.standing.is_unsettled());
        found.on_the_way = unsettled.map(|thing| amounts(thing, self.network)).sum();
        for row in &found.rows {
            let rest = &mut found.on_the_way;
            rest.goods = rest.goods.saturating_sub(row.amount.goods);
            rest.boxes = rest.boxes.saturating_sub(row.amount.boxes);
            rest.goods_in_boxes = rest
                .goods_in_boxes
                .saturating_sub(row.amount.goods_in_boxes);
        }
        // The most first.
        found
            .rows
            .sort_by_key(|row| std::cmp::Reverse(row.amount.goods_and_boxes()));
        found
    }

    /// What the row of a stay is called: boxes by what they hold, if that is one kind.
    fn kind_of(&self, (_, kind, inside, _): &Stay) -> String {
        let kind = match inside.as_slice() {
            [only] => *only,
            _ => *kind,
        };
        self.network.kind(kind).name.clone()
    }

    /// What was lost, came into the wrong store or was passed by after the end.
    fn gone_wrong(&self, at_end: &[Thing], after: &[Thing]) -> Vec<StayRow> {
        let mut rows = Vec::new();
        let lost_at = self.loose_places(at_end);
        for kind in (0..self.network.kinds().len()).map(KindId::from_index) {
            let lost = self.after.lost(kind) - self.at_end.lost(kind);
            let place = lost_at.get(&kind).or_else(|| lost_at.values().next());
            rows.extend(self.row(kind, lost, place.copied(), StayReason::LostAfterwards));
        }
        let misplaced = |standing| standing == Standing::Misplaced;
        for ((part, kind), items) in more(at_end, after, misplaced) {
            rows.extend(self.row(kind, items, Some(part), StayReason::MisplacedAfterwards));
        }
        let in_overflow = |standing| standing == Standing::OverflowPutThere;
        for ((part, kind), items) in more(at_end, after, in_overflow) {
            let mut own = self.declared.stores.iter();
            let own =
                own.find(|store| store.is_home_of(kind) && has_room_in(store, kind, self.after));
            if let Some(store) = own {
                let reason = StayReason::PassedByAfterwards(store.name.clone());
                rows.extend(self.row(kind, items, Some(part), reason));
            }
        }
        rows
    }

    fn row(
        &self,
        kind: KindId,
        items: u64,
        part: Option<PartId>,
        reason: StayReason,
    ) -> Option<StayRow> {
        let part = part.filter(|_| items > 0)?;
        let is_box = self.network.kind(kind).is_box;
        Some(StayRow {
            kind: self.network.kind(kind).name.clone(),
            part: self.network.name(part).to_owned(),
            amount: Amounts {
                goods: if is_box { 0 } else { items },
                boxes: if is_box { items } else { 0 },
                goods_in_boxes: 0,
            },
            fate: Fate::Stuck,
            reason,
        })
    }

    /// Where something of each kind was loose at the end, or else on its way.
    fn loose_places(&self, at_end: &[Thing]) -> BTreeMap<KindId, PartId> {
        let mut places = BTreeMap::new();
        let unsettled = at_end.iter().filter(|thing| thing.standing.is_unsettled());
        let loose = unsettled
            .clone()
            .filter(|thing| thing.standing == Standing::Loose);
        for thing in loose.chain(unsettled) {
            places.entry(thing.kind).or_insert(thing.part);
            for (kind, ..) in &thing.inside {
                places.entry(*kind).or_insert(thing.part);
            }
        }
        places
    }
}

/// By part and kind, what has more of a standing after than at the end. What is in boxes is left out:
/// it goes where its box goes.
fn more(
    at_end: &[Thing],
    after: &[Thing],
    is_so: impl Fn(Standing) -> bool,
) -> BTreeMap<(PartId, KindId), u64> {
    let count = |things: &[Thing]| {
        let mut counts: BTreeMap<(PartId, KindId), u64> = BTreeMap::new();
        for thing in things.iter().filter(|thing| is_so(thing.standing)) {
            *counts.entry((thing.part, thing.kind)).or_insert(0) += thing.count;
        }
        counts
    };
    let before = count(at_end);
    let mut more = count(after);
    for (key, items) in &mut more {
        *items = items.saturating_sub(before.get(key).copied().unwrap_or(0));
    }
    more.retain(|_, items| *items > 0);
    more
}

fn amounts(thing: &Thing, network: &Network) -> Amounts {
    let is_box = network.kind(thing.kind).is_box;
    Amounts {
        goods: if is_box { 0 } else { thing.count },
        boxes: if is_box { thing.count } else { 0 },
        goods_in_boxes: thing.inside.iter().map(|(_, items, _)| items).sum(),
    }
}

/// Says why things stay.
struct Finder<'a, 'v> {
    declared: &'a Declarations,
    view: &'a View<'v>,
    reach: Reach<'a>,
    reached: BTreeMap<(PartId, KindId, Form), Reached>,
    /// For each store and kind, whether there is room.
    room: BTreeMap<(usize, KindId), bool>,
}

impl<'a, 'v> Finder<'a, 'v> {
    fn new(fates: &Fates<'a, 'v>) -> Self {
        Self {
            declared: fates.declared,
            view: fates.after,
            reach: Reach::new(fates.network, fates.declared),
            reached: BTreeMap::new(),
            room: BTreeMap::new(),
        }
    }

    fn fate(&mut self, (part, kind, inside, is_box): &Stay) -> (Fate, StayReason) {
        let judged_by: BTreeSet<KindId> = match inside.as_slice() {
            [] => BTreeSet::from([*kind]),
            inside => inside.iter().copied().collect(),
        };
        let form = if inside.is_empty() && !is_box {
            Form::Loose
        } else {
            Form::Boxed
        };
        // The box goes, and what is in it is asked about.
        let first = judged_by.first().copied().unwrap_or(*kind);
        let is_home = |store: &Store| {
            store.purpose == StorePurpose::Slice
                && judged_by.iter().all(|kind| store.accepts(*kind))
        };
        let stores = self.declared.stores.iter().enumerate();
        let homes: Vec<usize> = stores
            .clone()
            .filter(|(_, store)| is_home(store))
            .map(|(place, _)| place)
            .collect();
        let overflows: Vec<usize> = stores
            .filter(|(_, store)| store.purpose == StorePurpose::Overflow)
            .map(|(place, _)| place)
            .collect();
        let declared = self.declared;
        let name = |store: usize| declared.stores[store].name.clone();
        let near = self.near(&homes, *part, first, form);
        let (fate, reason) = if let Some(store) = self.open(&near, *kind) {
            (Fate::Stuck, StayReason::HomeHasRoom(name(store)))
        } else {
            let before = self.near(&overflows, *part, first, form);
            let open = self.open(&before, *kind);
            match (open, near.first(), before.first(), homes.first()) {
                (Some(open), ..) => (Fate::Stuck, StayReason::OverflowHasRoom(name(open))),
                (None, Some(full), ..) => (Fate::BackedUp, StayReason::Full(name(*full))),
                // Its home it would never come to, but for want of a way.
                (None, None, _, Some(home)) => (Fate::Stuck, StayReason::NoWay(name(*home))),
                (None, None, Some(full), None) => (Fate::BackedUp, StayReason::Full(name(*full))),
                (None, None, None, None) => (Fate::Homeless, StayReason::NoHome),
            }
        };
        (fate, reason)
    }

    /// Those of some stores that goods can come to from a part.
    fn near(&mut self, stores: &[usize], part: PartId, kind: KindId, form: Form) -> Vec<usize> {
        let reach = &self.reach;
        let reached = self
            .reached
            .entry((part, kind, form))
            .or_insert_with(|| reach.from(kind, form, &[part], &[]));
        let near = stores.iter().copied();
        near.filter(|store| reached.any_at_all(&self.declared.stores[*store].parts))
            .collect()
    }

    /// The first of some stores that has room.
    fn open(&mut self, stores: &[usize], kind: KindId) -> Option<usize> {
        let mut stores = stores.iter().copied();
        stores.find(|store| self.has_room(*store, kind))
    }

    fn has_room(&mut self, store: usize, kind: KindId) -> bool {
        let known = self.room.entry((store, kind));
        *known.or_insert_with(|| has_room_in(&self.declared.stores[store], kind, self.view))
    }
}
