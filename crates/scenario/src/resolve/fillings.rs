//! What parts and boxes hold.

use hallwright_core::id::KindId;
use hallwright_core::slot::{BOX_SLOTS, Filling};

use super::Resolver;
use super::names::ScopeId;
use super::parts::Owner;
use crate::diagnostic::Diagnostic;
use crate::document::{BoxedDocument, Expression, FillingDocument, ItemDocument, SlotsDocument};
use crate::ids;
use crate::source::Span;

/// An item: its kind and, for a box, what it holds.
#[derive(Clone)]
pub(super) struct ItemValue {
    /// The kind.
    pub(super) kind: KindId,
    /// What a box holds.
    pub(super) contents: Vec<Filling>,
}

/// One entry of what something holds, understood so far.
struct Entry {
    item: ItemValue,
    slot: Option<u16>,
    count: u32,
    slots: Option<u16>,
    span: Span,
    count_span: Span,
    slot_span: Span,
}

impl ItemDocument {
    /// Where it stands.
    fn span(&self) -> Span {
        match self {
            Self::Kind(kind) | Self::Full(kind) => kind.span,
            Self::Boxed(boxed) => boxed.head,
        }
    }
}

impl<'d> Resolver<'d> {
    /// Puts into a part what it holds at the start.
    pub(super) fn fill(&mut self, owner: Owner, slots: u16, holds: &'d [FillingDocument]) {
        for filling in self.fillings(owner.scope, slots, holds, false) {
            self.builder.fill(owner.part, filling);
        }
    }

    /// An item and what it holds.
    pub(super) fn item(&mut self, scope: ScopeId, item: &'d ItemDocument) -> Option<ItemValue> {
        match item {
            ItemDocument::Kind(kind) => Some(ItemValue {
                kind: self.kind(scope, kind)?,
                contents: Vec::new(),
            }),
            ItemDocument::Full(of) => Some(ItemValue {
                contents: self.full_of(scope, of)?,
                kind: self.only_box(of.span)?,
            }),
            ItemDocument::Boxed(boxed) => self.boxed(scope, boxed),
        }
    }

    fn boxed(&mut self, scope: ScopeId, boxed: &'d BoxedDocument) -> Option<ItemValue> {
        let kind = match &boxed.r#box {
            None => self.only_box(boxed.head),
            Some(name) => self
                .kind(scope, name)
                .filter(|kind| self.is_box(*kind, name.span)),
        };
        let contents = match (&boxed.full_of, boxed.holds.is_empty()) {
            (Some(of), true) => self.full_of(scope, of),
            (None, _) => Some(self.fillings(scope, BOX_SLOTS, &boxed.holds, true)),
            (Some(_), false) => {
                self.report_one_of(boxed.head, "`full_of` and `holds`", 2);
                None
            }
        };
        Some(ItemValue {
            kind: kind?,
            contents: contents?,
        })
    }

    /// Whether goods are boxes. Reports if they are not.
    pub(super) fn is_box(&mut self, kind: KindId, span: Span) -> bool {
        let known = self.goods.kind(kind);
        if !known.is_box {
            let message = format!("`{}` is no box, and cannot hold anything", known.name);
            self.problems
                .report(Diagnostic::error(ids::NOT_A_BOX, span, message));
        }
        known.is_box
    }

    /// The contents of a box full of some goods.
    fn full_of(&mut self, scope: ScopeId, of: &'d Expression) -> Option<Vec<Filling>> {
        let kind = self.kind(scope, of)?;
        self.full_of_kind(kind, of.span)
    }

    /// The contents of a box full of goods of this kind.
    pub(super) fn full_of_kind(&mut self, kind: KindId, span: Span) -> Option<Vec<Filling>> {
        if self.goods.kind(kind).is_box {
            self.report_box_in_box(kind, span);
            return None;
        }
        let count = self.goods.kind(kind).stack_limit.items();
        let slots = 0..BOX_SLOTS;
        Some(
            slots
                .map(|slot| Filling {
                    slot,
                    kind,
                    count,
                    contents: Vec::new(),
                })
                .collect(),
        )
    }

    fn report_box_in_box(&mut self, kind: KindId, span: Span) {
        let message = format!("a box cannot hold the box `{}`", self.goods.kind(kind).name);
        self.problems
            .report(Diagnostic::error(ids::BOX_IN_BOX, span, message));
    }

    /// The one kind of box, where a box is not named.
    fn only_box(&mut self, span: Span) -> Option<KindId> {
        let boxes: Vec<KindId> = self.goods.boxes().collect();
        if let [only] = boxes[..] {
            return Some(only);
        }
        let (message, help) = if boxes.is_empty() {
            ("no goods are boxes", "declare one: `\"box\": Box`")
        } else {
            (
                "there are several kinds of box: say which",
                "write `Boxed(box: \"…\", full_of: \"…\")`",
            )
        };
        let problem = Diagnostic::error(ids::UNKNOWN_GOODS, span, message);
        self.problems.report(problem.help(help.to_owned()));
        None
    }

    /// What fills a part or box with so many slots.
    fn fillings(
        &mut self,
        scope: ScopeId,
        slots: u16,
        holds: &'d [FillingDocument],
        in_box: bool,
    ) -> Vec<Filling> {
        if holds.is_empty() {
            return Vec::new();
        }
        let entries: Vec<Option<Entry>> = holds
            .iter()
            .map(|filling| self.filling_entry(scope, filling, in_box))
            .collect();
        // If one entry could not be understood, which slots are free cannot be known either.
        let is_whole = entries.iter().all(Option::is_some);
        let entries: Vec<Entry> = entries.into_iter().flatten().collect();
        let mut taken = vec![false; slots.into()];
        let mut fillings = Vec::new();
        for entry in entries.iter().filter(|entry| entry.slot.is_some()) {
            self.put_into_named(entry, &mut taken, &mut fillings);
        }
        for entry in entries
            .iter()
            .filter(|entry| entry.slot.is_none() && is_whole)
        {
            self.put_into_free(entry, &mut taken, &mut fillings);
        }
        fillings
    }

    fn filling_entry(
        &mut self,
        scope: ScopeId,
        filling: &'d FillingDocument,
        in_box: bool,
    ) -> Option<Entry> {
        let entry = match filling {
            FillingDocument::Item(item) => Entry {
                span: item.span(),
                count_span: item.span(),
                slot_span: item.span(),
                item: self.item(scope, item)?,
                slot: None,
                count: 1,
                slots: None,
            },
            FillingDocument::Slots(document) => self.slots_entry(scope, document)?,
        };
        if in_box && self.goods.kind(entry.item.kind).is_box {
            self.report_box_in_box(entry.item.kind, entry.span);
            return None;
        }
        Some(entry)
    }

    fn slots_entry(&mut self, scope: ScopeId, document: &'d SlotsDocument) -> Option<Entry> {
        let span = document.kind.span();
        let item = self.item(scope, &document.kind);
        let slot = document
            .slot
            .as_ref()
            .map(|slot| self.number_from(scope, slot, 0));
        let count = document
            .count
            .as_ref()
            .map(|count| self.number_from(scope, count, 1));
        let slots = document
            .slots
            .as_ref()
            .map(|slots| self.number_from(scope, slots, 1));
        let place =
            |expression: &Option<Expression>| expression.as_ref().map_or(span, |one| one.span);
        let entry = Entry {
            item: item?,
            slot: match slot {
                Some(slot) => Some(slot?),
                None => None,
            },
            count: count.unwrap_or(Some(1))?,
            slots: match slots {
                Some(slots) => Some(slots?),
                None => None,
            },
            span,
            count_span: place(&document.count),
            slot_span: place(&document.slot),
        };
        let kind = self.goods.kind(entry.item.kind);
        let limit = u32::from(kind.stack_limit.items());
        if (entry.slot.is_some() || entry.slots.is_some()) && entry.count > limit {
            let message = format!(
                "{} of `{}` do not fit into one slot",
                entry.count, kind.name
            );
            let help =
                format!("its limit is {limit}; without `slot` the rest goes into further slots");
            let problem = Diagnostic::error(ids::COUNT_BEYOND_LIMIT, entry.count_span, message);
            self.problems.report(problem.help(help));
            return None;
        }
        Some(entry)
    }

    /// Fills the slot that is named, and as many behind it as are asked for.
    fn put_into_named(&mut self, entry: &Entry, taken: &mut [bool], fillings: &mut Vec<Filling>) {
        let first = u32::from(entry.slot.unwrap_or(0));
        for slot in first..first + u32::from(entry.slots.unwrap_or(1)) {
            let Some(is_taken) = taken.get_mut(slot as usize) else {
                let message = format!("there is no slot {slot}: there are {}", taken.len());
                let problem = Diagnostic::error(ids::NO_SUCH_SLOT, entry.slot_span, message);
                self.problems
                    .report(problem.help("slots are numbered from 0".to_owned()));
                return;
            };
            if std::mem::replace(is_taken, true) {
                let message = format!("slot {slot} is filled twice");
                self.problems.report(Diagnostic::error(
                    ids::SLOT_FILLED_TWICE,
                    entry.slot_span,
                    message,
                ));
                return;
            }
            fillings.push(filled(entry, slot as usize, entry.count));
        }
    }

    /// Fills the next free slots: the same in each, or as many as the count takes.
    fn put_into_free(&mut self, entry: &Entry, taken: &mut [bool], fillings: &mut Vec<Filling>) {
        let limit = u32::from(self.goods.kind(entry.item.kind).stack_limit.items());
        let mut left = match entry.slots {
            Some(slots) => u64::from(entry.count) * u64::from(slots),
            None => entry.count.into(),
        };
        let each = match entry.slots {
            Some(_) => entry.count,
            None => limit,
        };
        for (slot, is_taken) in taken.iter_mut().enumerate() {
            if left == 0 {
                return;
            }
            if !*is_taken {
                *is_taken = true;
                let count = u32::try_from(left).map_or(each, |left| left.min(each));
                fillings.push(filled(entry, slot, count));
                left -= u64::from(count);
            }
        }
        if left > 0 {
            let name = &self.goods.kind(entry.item.kind).name;
            let message = format!("{left} of `{name}` find no free slot");
            self.problems
                .report(Diagnostic::error(ids::NO_FREE_SLOT, entry.span, message));
        }
    }
}

/// One slot with so many of an item. Both numbers have been checked.
fn filled(entry: &Entry, slot: usize, count: u32) -> Filling {
    Filling {
        slot: u16::try_from(slot).unwrap_or(u16::MAX),
        kind: entry.item.kind,
        count: u8::try_from(count).unwrap_or(u8::MAX),
        contents: entry.item.contents.clone(),
    }
}
