//! Goods that come in and belong nowhere.

use hallwright_core::id::KindId;
use hallwright_core::slot::Filling;
use hallwright_core::timeline::Action;
use hallwright_declared::declarations::StorePurpose;

use super::{About, Design, Finding, Rule};

/// Finds goods that come in while no store takes them, if stores are declared and none is an overflow.
pub(super) fn find_goods_without_one(design: &Design<'_>, found: &mut Vec<Finding>) {
    let stores = &design.declarations.stores;
    let is_overflow = |purpose| purpose == StorePurpose::Overflow;
    if stores.is_empty() || stores.iter().any(|store| is_overflow(store.purpose)) {
        return;
    }
    let mut comes = vec![false; design.network.kinds().len()];
    let mut note = |filling: &Filling| {
        if filling.contents.is_empty() {
            comes[filling.kind.index()] = true;
        }
        for inner in &filling.contents {
            comes[inner.kind.index()] = true;
        }
    };
    // What hoppers hold from the start may be meant to stay there.
    for (part, filling) in design.network.fillings() {
        if design.network.part(*part).container().is_some() {
            note(filling);
        }
    }
    for action in &design.actions {
        if let Action::Deliver { kind, contents, .. } | Action::Fill { kind, contents, .. } = action
        {
            note(&Filling {
                slot: 0,
                kind: *kind,
                count: 1,
                contents: contents.clone(),
            });
        }
    }
    for store in stores {
        for kind in &store.takes {
            comes[kind.index()] = false;
        }
    }
    let kinds = design.network.kinds().iter().enumerate();
    for ((index, kind), _) in kinds.zip(comes).filter(|(_, comes)| *comes) {
        let words = format!("no store takes `{}`, and there is no overflow", kind.name);
        let help = "add it to what a store takes, or declare a store with `overflow: true`";
        let about = About::Kind(KindId::from_index(index));
        found.push(Finding::new(Rule::GoodsWithoutStore, about, words, help));
    }
}
