//! Which stores are the homes of what arrives, and whether a way leads there.

use std::collections::BTreeMap;

use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Timeline;
use hallwright_declared::declarations::{Declarations, Store};

use crate::incoming::incoming;
use crate::reach::{Reach, Reached};

/// Whether goods come by themselves or in boxes.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Form {
    /// By themselves.
    Loose,
    /// In boxes.
    Boxed,
}

/// The homes of a kind in the form in which it arrives.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct KindHomes {
    /// The kind's name.
    pub kind: String,
    /// How it arrives.
    pub form: Form,
    /// The first part in which it arrives: at the start or by a delivery.
    pub arrives_at: String,
    /// The stores that are its home, in the order of declaration.
    pub homes: Vec<HomeFinding>,
}

/// A store that is the home of a kind.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct HomeFinding {
    /// The store.
    pub store: String,
    /// Whether a way leads there.
    pub is_reached: bool,
    /// Whether it is reached only past another home of the kind.
    pub is_past_another: bool,
}

impl KindHomes {
    /// Whether no way leads to any home.
    #[must_use]
    pub fn is_homeless(&self) -> bool {
        !self.homes.iter().any(|home| home.is_reached)
    }

    /// The homes of which none is reached only past another.
    pub fn rivals(&self) -> impl Iterator<Item = &HomeFinding> + Clone {
        self.homes.iter().filter(|home| !home.is_past_another)
    }

    /// Whether it has several homes of which none is reached only past another.
    #[must_use]
    pub fn is_shared(&self) -> bool {
        self.rivals().nth(1).is_some()
    }
}

/// Where each kind arrives, in each form, in the order of arriving.
type Arrivals = BTreeMap<(KindId, Form), Vec<PartId>>;

/// The homes of what arrives in runs of one network, with the same stores and sieves declared: they are worked out
/// anew only if something else arrives.
#[derive(Default)]
pub struct HomesOfRuns {
    last: Option<(Arrivals, Vec<KindHomes>)>,
}

impl HomesOfRuns {
    /// The homes of everything that is there at the start of the next run or is delivered before its end. What sieves
    /// start with does not arrive.
    pub fn of(
        &mut self,
        network: &Network,
        declared: &Declarations,
        timeline: &Timeline,
        end: Tick,
    ) -> Vec<KindHomes> {
        let arrivals = arrivals(network, declared, timeline, end);
        if let Some((of, homes)) = &self.last
            && *of == arrivals
        {
            return homes.clone();
        }
        let homes = homes_of(network, declared, &arrivals);
        self.last = Some((arrivals, homes.clone()));
        homes
    }
}

fn homes_of(network: &Network, declared: &Declarations, arrivals: &Arrivals) -> Vec<KindHomes> {
    if arrivals.is_empty() {
        return Vec::new();
    }
    let reach = Reach::new(network, declared);
    let reached: BTreeMap<(KindId, Form), Reached> = arrivals
        .iter()
        .map(|((kind, form), starts)| ((*kind, *form), reach.from(*kind, *form, starts, &[])))
        .collect();
    let finder = Finder {
        declared,
        reach: &reach,
        reached: &reached,
    };
    let rows = arrivals.iter();
    rows.map(|((kind, form), starts)| KindHomes {
        kind: network.kind(*kind).name.clone(),
        form: *form,
        arrives_at: network.name(starts[0]).to_owned(),
        homes: finder.homes_of(*kind, *form, starts),
    })
    .collect()
}

fn arrivals(
    network: &Network,
    declared: &Declarations,
    timeline: &Timeline,
    end: Tick,
) -> Arrivals {
    let entries = timeline.entries().iter();
    let actions = entries.take_while(|(at, _)| *at < end);
    let actions = actions.map(|(_, action)| action);
    let mut arrivals = Arrivals::new();
    for comes in incoming(network, |part| declared.sieves.contains(&part), actions) {
        let mut add = |kind: KindId, form: Form| {
            let starts = arrivals.entry((kind, form)).or_default();
            if !starts.contains(&comes.part) {
                starts.push(comes.part);
            }
        };
        if comes.contents.is_empty() {
            add(comes.kind, Form::Loose);
        }
        for filling in comes.contents {
            add(filling.kind, Form::Boxed);
        }
    }
    arrivals
}

struct Finder<'a> {
    declared: &'a Declarations,
    reach: &'a Reach<'a>,
    reached: &'a BTreeMap<(KindId, Form), Reached>,
}

impl Finder<'_> {
    fn homes_of(&self, kind: KindId, form: Form, starts: &[PartId]) -> Vec<HomeFinding> {
        let reached = &self.reached[&(kind, form)];
        let own = self.declared.stores.iter();
        let own: Vec<_> = own.filter(|store| store.is_home_of(kind)).collect();
        let is_inside = |part: &PartId| own.iter().any(|store| store.parts.contains(part));
        let outside: Vec<PartId> = starts.iter().copied().filter(|at| !is_inside(at)).collect();
        // For each of them, once it is asked for: which are past it.
        let mut past: Vec<Option<Vec<bool>>> = vec![None; own.len()];
        let mut homes = Vec::new();
        for (place, store) in own.iter().enumerate() {
            let is_reached = reached.any_at_all(&store.parts);
            if !is_reached && self.is_home_of_other_form(kind, form, &store.parts) {
                continue;
            }
            // What is packed or drawn out on the way is at home there only in its other form.
            let changes_form = is_reached && !reached.any(&store.parts, form);
            let mut others = own
                .iter()
                .zip(&mut past)
                .filter(|(other, _)| other.name != store.name && reached.any(&other.parts, form));
            let is_past_another = is_reached
                && (changes_form
                    || others.any(|(other, past)| {
                        let past = past
                            .get_or_insert_with(|| self.past(other, &own, (kind, form), &outside));
                        past[place]
                    }));
            homes.push(HomeFinding {
                store: store.name.clone(),
                is_reached,
                is_past_another,
            });
        }
        homes
    }

    /// Whether the kind arrives in the other form as well and comes to these parts so.
    fn is_home_of_other_form(&self, kind: KindId, form: Form, parts: &[PartId]) -> bool {
        let other = match form {
            Form::Loose => Form::Boxed,
            Form::Boxed => Form::Loose,
        };
        let reached = self.reached.get(&(kind, other));
        reached.is_some_and(|reached| reached.any_at_all(parts))
    }

    /// To which of some stores goods come only past another: not at all if that is barred. Where nothing
    /// arrives outside of all homes, whether a way leads from the one to the other.
    fn past(
        &self,
        other: &Store,
        stores: &[&Store],
        (kind, form): (KindId, Form),
        outside: &[PartId],
    ) -> Vec<bool> {
        let leads_from_it = outside.is_empty();
        let reached = if leads_from_it {
            self.reach.from(kind, form, &other.parts, &[])
        } else {
            self.reach.from(kind, form, outside, &other.parts)
        };
        let stores = stores.iter();
        stores
            .map(|store| reached.any(&store.parts, form) == leads_from_it)
            .collect()
    }
}
