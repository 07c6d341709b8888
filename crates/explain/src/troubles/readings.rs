//! What a comparator reads, and with how many items more or fewer it would read what is wanted.

use hallwright_analysis::sieves::{Opening, Sieve};
use hallwright_core::fill::fill_level;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::part::{ComparatorMode, Rear};
use hallwright_core::slot::Stack;
use hallwright_report::units::grouped;

use super::signals::{Signals, Want};
use super::{Scene, TroubleCause};

impl Signals<'_, '_> {
    /// Says what a comparator reads, and follows what stands behind it.
    pub(super) fn comparator(
        &mut self,
        part: PartId,
        (rear, side, mode): (Rear, Option<PartId>, ComparatorMode),
        want: Want,
        cause: &mut TroubleCause,
    ) {
        let beside = side.map_or(0, |side| self.view.level(side));
        // What stands behind it has to be this, as long as its side stays.
        let wanted = match (want, mode) {
            (Want::AtLeast(least), ComparatorMode::Compare) => Want::AtLeast(least.max(beside)),
            (Want::AtLeast(least), ComparatorMode::Subtract) => {
                Want::AtLeast(least.saturating_add(beside))
            }
            (Want::AtMost(most), ComparatorMode::Compare) => {
                Want::AtMost(most.max(beside.saturating_sub(1)))
            }
            (Want::AtMost(most), ComparatorMode::Subtract) => {
                Want::AtMost(most.saturating_add(beside))
            }
        };
        let name = self.scene.name(part);
        let against = match (side, mode) {
            (None, _) => String::new(),
            (Some(side), ComparatorMode::Compare) => {
                format!(", with {beside} at its side from {}", self.scene.name(side))
            }
            (Some(side), ComparatorMode::Subtract) => {
                format!(", less {beside} from {}", self.scene.name(side))
            }
        };
        match rear {
            Rear::Inventory(read) => self.reading(name, read, (wanted, &against), cause),
            Rear::Signal(rear) => {
                let behind = self.view.level(rear);
                cause.say(format!(
                    "{name} has {behind} behind it from {}{against}: that would have to be {}",
                    self.scene.name(rear),
                    wanted.words()
                ));
                self.follow(rear, wanted, cause);
            }
        }
    }

    /// What a comparator reads, and with how many items more or fewer it would read what is wanted.
    fn reading(
        &self,
        name: &str,
        read: PartId,
        (wanted, against): (Want, &str),
        cause: &mut TroubleCause,
    ) {
        let scene = self.scene;
        let place = scene.name(read);
        let Some(slots) = self.view.slots(read) else {
            cause.say(format!("{name} reads 0: nothing stands at {place}"));
            return;
        };
        let slots: Vec<Option<Stack>> = slots.collect();
        let kind = scene.sieve(read).map_or(self.kind, |sieve| sieve.own);
        let fill = Fill::of(scene, &slots, kind);
        cause.say(format!(
            "{name} reads {} of {place}, which holds {}{against}; it would have to read {}",
            fill.level(0, 0),
            scene.held_words(self.view, read),
            wanted.words()
        ));
        let kind = scene.kind(kind);
        let change = match wanted {
            Want::AtLeast(_) => {
                let more = (1..=fill.room).find(|more| wanted.is_so(fill.level(*more, 0)));
                match more {
                    Some(more) => format!("it would with {} more {kind}", grouped(more.into())),
                    None => format!(
                        "it never does: with as much {kind} as fits into {place} it reads {}",
                        fill.level(fill.room, 0)
                    ),
                }
            }
            Want::AtMost(_) => {
                let less = (1..=fill.held).find(|less| wanted.is_so(fill.level(0, *less)));
                match less {
                    Some(less) => format!("it would with {} {kind} less", grouped(less.into())),
                    None => format!("it never does, even without any {kind} in {place}"),
                }
            }
        };
        cause.say(change);
        let of_lock = self.locked.and_then(|locked| scene.above(locked));
        if let Some(sieve) = scene.sieve(read).filter(|_| of_lock == Some(read)) {
            self.mend_filter(sieve, wanted, cause);
        }
    }

    /// What could be changed on a filter so that the hopper below it opens for the first item.
    fn mend_filter(&self, sieve: &Sieve, wanted: Want, cause: &mut TroubleCause) {
        let scene = self.scene;
        let (place, own) = (scene.name(sieve.hopper), scene.kind(sieve.own));
        let (rest, with_one) = (sieve.rest_level(), sieve.level_with(1));
        let Want::AtLeast(least) = wanted else {
            return;
        };
        let opening = scene.opening(sieve).map(|(_, opening)| opening);
        if let Some(Opening::Late { items }) = opening {
            // More of its own would leave the free slots to what comes, which opens the filter too.
            cause.advise(match sieve.free_slots {
                0 => format!(
                    "fill {} more {own} into {place} at the start: then the first that comes opens it",
                    items - 1
                ),
                _ => format!(
                    "first put a filler into every slot of {place} that {own} does not take"
                ),
            });
        }
        if !matches!(opening, Some(Opening::Late { .. } | Opening::Never)) || with_one <= rest {
            if opening == Some(Opening::Never) {
                cause.advise(format!(
                    "let the lock go off at a level that {place} reads: see `hallwright levels`"
                ));
            }
            return;
        }
        // So much too high is what is asked of it.
        let over = least.saturating_sub(with_one);
        let wire = self
            .losses
            .iter()
            .find(|(.., loss)| over > 0 && *loss >= over);
        if let Some((wire, from, loss)) = wire {
            cause.advise(format!(
                "let {} take {} from {} instead of {loss}: {place} reads {rest} at rest, and {with_one} with one more {own}",
                scene.name(*wire),
                loss - over,
                scene.name(*from),
            ));
        } else if over > 0 {
            cause.advise(format!(
                "let the lock go off at {with_one}: {place} reads {rest} at rest, and {with_one} with one more {own}"
            ));
        }
    }
}

/// What an inventory weighs, and how that changes with items of one kind.
struct Fill {
    slots: u16,
    weight: u32,
    item_weight: u32,
    /// How many more of the kind fit.
    room: u32,
    /// How many of the kind are there.
    held: u32,
}

impl Fill {
    fn of(scene: &Scene<'_>, slots: &[Option<Stack>], kind: KindId) -> Self {
        let limit_of = |kind: KindId| scene.network.kind(kind).stack_limit;
        let limit = u32::from(limit_of(kind).items());
        let stacks = slots.iter().flatten();
        let own = stacks.clone().filter(|stack| stack.item.kind == kind);
        let held = own.clone().map(|stack| u32::from(stack.count)).sum();
        let free = slots.iter().filter(|slot| slot.is_none()).count();
        let open: u32 = own.map(|stack| limit - u32::from(stack.count)).sum();
        Self {
            slots: u16::try_from(slots.len()).unwrap_or(u16::MAX),
            weight: stacks
                .map(|stack| u32::from(stack.count) * limit_of(stack.item.kind).weight())
                .sum(),
            item_weight: limit_of(kind).weight(),
            room: open + limit * u32::try_from(free).unwrap_or(u32::MAX / limit),
            held,
        }
    }

    /// What it reads with so many items of the kind more or less.
    fn level(&self, more: u32, less: u32) -> u8 {
        let weight = self.weight + more * self.item_weight;
        fill_level(weight.saturating_sub(less * self.item_weight), self.slots)
    }
}
