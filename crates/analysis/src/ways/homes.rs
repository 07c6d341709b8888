//! Which stores a kind can come to.

use hallwright_core::id::{KindId, PartId};

use super::KindWays;

/// A store that items of a kind can come to from some place.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Home {
    /// The store, by its number in the list that was asked about.
    pub store: usize,
    /// The other stores of the list through which every way there leads, in order. Such items come
    /// here only once they leave each of those.
    pub past: Vec<usize>,
}

impl KindWays {
    /// The stores, each given by its parts, that items of a kind can come to from a place, and past
    /// which others. In the order of the list.
    ///
    /// It looks along all ways once for each store that the kind can come to.
    #[must_use]
    pub fn homes(&self, kind: KindId, from: PartId, stores: &[&[PartId]]) -> Vec<Home> {
        let is_met = |reached: &[bool], store: usize| {
            let mut parts = stores[store].iter();
            parts.any(|part| reached[part.index()])
        };
        let reached = self.reached_by(kind, &[from], |_| false);
        let within: Vec<usize> = (0..stores.len())
            .filter(|store| is_met(&reached, *store))
            .collect();
        let mut homes: Vec<Home> = within
            .iter()
            .map(|store| Home {
                store: *store,
                past: Vec::new(),
            })
            .collect();
        for other in &within {
            let is_barred = |node: usize| stores[*other].iter().any(|part| part.index() == node);
            // What begins inside a store has that behind it.
            if is_barred(from.index()) {
                continue;
            }
            let reached = self.reached_by(kind, &[from], is_barred);
            for home in homes.iter_mut().filter(|home| home.store != *other) {
                if !is_met(&reached, home.store) {
                    home.past.push(*other);
                }
            }
        }
        homes
    }
}
