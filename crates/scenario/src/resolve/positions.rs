//! Where parts stand, and how wide modules are.

use super::Resolver;
use super::names::ScopeId;
use crate::diagnostic::Diagnostic;
use crate::document::PositionDocument;
use crate::ids;

/// No place is further away, in blocks in each direction.
const FURTHEST_BLOCKS: i64 = 30_000_000;

/// A place, or by how much something is shifted, in blocks.
#[derive(Clone, Copy, Default, PartialEq, Eq, Debug)]
pub(super) struct Position([i64; 3]);

impl Position {
    /// So many blocks along the row.
    pub(super) fn east(blocks: u32) -> Self {
        Self([blocks.into(), 0, 0])
    }

    /// This place, shifted.
    pub(super) fn shifted(self, by: Self) -> Self {
        let [x, y, z] = self.0;
        Self([
            x.saturating_add(by.0[0]),
            y.saturating_add(by.0[1]),
            z.saturating_add(by.0[2]),
        ])
    }
}

impl<'d> Resolver<'d> {
    /// What a position says. `None` if there is none, or it cannot be understood.
    fn position(
        &mut self,
        scope: ScopeId,
        position: Option<&'d PositionDocument>,
    ) -> Option<Position> {
        let blocks = position?.blocks.each_ref();
        let [x, y, z] = blocks.map(|blocks| {
            let number: Option<i32> = self.number_from(scope, blocks, -FURTHEST_BLOCKS);
            number.map(i64::from)
        });
        Some(Position([x?, y?, z?]))
    }

    /// Where a part stands.
    pub(super) fn part_position(
        &mut self,
        scope: ScopeId,
        position: Option<&'d PositionDocument>,
    ) -> Option<(i32, i32, i32)> {
        let own = self.position(scope, position)?;
        let Position([x, y, z]) = self.scopes[scope.index()].origin.shifted(own);
        if [x, y, z]
            .iter()
            .any(|blocks| blocks.abs() > FURTHEST_BLOCKS)
        {
            let message = format!("({x}, {y}, {z}) is more than {FURTHEST_BLOCKS} blocks away");
            let span = position?.span;
            self.problems
                .report(Diagnostic::error(ids::BAD_NUMBER, span, message));
        }
        let narrow = |blocks: i64| i32::try_from(blocks).ok();
        Some((narrow(x)?, narrow(y)?, narrow(z)?))
    }

    /// Where a use of a module begins.
    pub(super) fn origin(
        &mut self,
        scope: ScopeId,
        position: Option<&'d PositionDocument>,
    ) -> Position {
        let own = self.position(scope, position).unwrap_or_default();
        self.scopes[scope.index()].origin.shifted(own)
    }

    /// By how much the instances of a row are shifted, if it says so.
    pub(super) fn step(
        &mut self,
        scope: ScopeId,
        step: Option<&'d PositionDocument>,
    ) -> Option<Position> {
        self.position(scope, step)
    }

    /// Puts an instance at its place and adds its width, unless something around it has one. Gives
    /// its width in blocks, 0 if it has none.
    pub(super) fn place(&mut self, within: ScopeId, instance: ScopeId, origin: Position) -> u32 {
        let around = self.scopes[within.index()].is_measured;
        let layout = self.layouts.get(self.scopes[instance.index()].layout);
        let width = layout.width_blocks;
        let before = self.problems.enter(instance);
        let width_blocks: u32 = width
            .and_then(|width| self.number_from(instance, width, 1))
            .unwrap_or(0);
        self.problems.enter(before);
        let scope = &mut self.scopes[instance.index()];
        scope.origin = origin;
        scope.is_measured = around || width_blocks > 0;
        if !around {
            self.width_blocks = self.width_blocks.saturating_add(width_blocks);
        }
        width_blocks
    }
}
