//! Holds the short way of a turn (`passing.rs`) against the long one (`hoppers.rs`), wherever debug
//! assertions are on, as in every test: from the same state both must come to the same.

use std::collections::BTreeSet;
use std::mem::replace;

use crate::engine::state::takers::Flags;
use crate::engine::state::turns::{Turn, TurnWheel};
use crate::engine::state::work_meter::WorkMeter;
use crate::engine::state::world::World;
use crate::engine::tables::parts::Parts;
use crate::engine::view::View;
use crate::engine::{Engine, State};
use crate::event::{Event, Moment, Observer};
use crate::id::PartId;
use crate::tick::Tick;

/// In a network of at most so many parts every short turn is compared, in a larger one a few: a
/// comparison copies the whole state, and tests of large halls would take too long.
const PARTS_COMPARED_ALWAYS: usize = 64;

/// In a larger one it is one turn in this times its parts.
const TURNS_BY_PARTS: u64 = 8;

/// All that a turn can change.
#[derive(Clone, Debug)]
struct Changing {
    world: World,
    parts: Parts,
    turns: TurnWheel,
    work: WorkMeter,
    bench_checks: BTreeSet<(Tick, PartId)>,
    shuttle_checks: BTreeSet<(Tick, PartId)>,
    roused_below_mouths: Vec<PartId>,
}

/// What a turn shows an observer: each event with the state at that moment.
#[derive(Default, PartialEq, Debug)]
struct Shown(Vec<(Moment, Event, State)>);

impl Observer for Shown {
    fn event(&mut self, moment: Moment, event: &Event, view: &View<'_>) {
        self.0.push((moment, *event, view.engine.save()));
    }
}

impl Engine<'_> {
    /// Does what [`Self::pass_on`] does, and says the same, after the same turn has been tried the long
    /// way.
    ///
    /// # Panics
    ///
    /// If the two differ in what they leave, show or mark, or if the short way declines a turn and has
    /// changed something.
    pub(super) fn pass_on_compared<O: Observer + ?Sized>(
        &mut self,
        turn: Turn,
        observer: &mut O,
    ) -> bool {
        let seat = turn.seat();
        if !self.taker(seat).flags.any(Flags::PASSES_ON) || !self.is_compared(seat) {
            return self.pass_on(turn, observer);
        }
        let before = self.changing();
        let mut shown_by_long = Shown::default();
        self.give_turn(seat, &mut shown_by_long);
        let long = self.exchange(before.clone());
        let mut shown_by_short = Shown::default();
        let has_passed = self.pass_on(turn, &mut (&mut shown_by_short, observer));
        let (expected, shown) = if has_passed {
            (long, shown_by_long)
        } else {
            (before, Shown::default())
        };
        let what = || {
            let name = self.network.name(self.taker(seat).part);
            format!("the short turn of `{name}` in tick {}", self.world.tick)
        };
        assert_eq!(shown_by_short, shown, "{} shows something else", what());
        assert_eq!(self.turns, expected.turns, "{} marks others", what());
        assert_eq!(self.work, expected.work, "{} costs something else", what());
        assert!(self.is_as(&expected), "{} leaves another state", what());
        has_passed
    }

    fn is_compared(&self, seat: usize) -> bool {
        let parts = self.network.part_count();
        // An odd number, so that no hopper of an even cooldown is always passed over.
        let one_of = (parts as u64 * TURNS_BY_PARTS) | 1;
        parts <= PARTS_COMPARED_ALWAYS || (self.world.tick.0 + seat as u64).is_multiple_of(one_of)
    }

    fn changing(&self) -> Changing {
        Changing {
            world: self.world.clone(),
            parts: self.parts.clone(),
            turns: self.turns.clone(),
            work: self.work,
            bench_checks: self.bench_checks.clone(),
            shuttle_checks: self.shuttle_checks.clone(),
            roused_below_mouths: self.roused_below_mouths.clone(),
        }
    }

    /// Puts something in place of all that a turn can change. Gives what was there.
    fn exchange(&mut self, by: Changing) -> Changing {
        Changing {
            world: replace(&mut self.world, by.world),
            parts: replace(&mut self.parts, by.parts),
            turns: replace(&mut self.turns, by.turns),
            work: replace(&mut self.work, by.work),
            bench_checks: replace(&mut self.bench_checks, by.bench_checks),
            shuttle_checks: replace(&mut self.shuttle_checks, by.shuttle_checks),
            roused_below_mouths: replace(&mut self.roused_below_mouths, by.roused_below_mouths),
        }
    }

    /// Whether all that a turn can change is as this.
    fn is_as(&self, other: &Changing) -> bool {
        let Changing {
            world,
            parts,
            turns,
            work,
            bench_checks,
            shuttle_checks,
            roused_below_mouths,
        } = other;
        self.world == *world
            && self.parts == *parts
            && self.turns == *turns
            && self.work == *work
            && self.bench_checks == *bench_checks
            && self.shuttle_checks == *shuttle_checks
            && self.roused_below_mouths == *roused_below_mouths
    }
}
