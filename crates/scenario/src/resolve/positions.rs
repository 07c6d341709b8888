//! Where parts stand and how they are turned, and how wide modules are.

use hallwright_declared::placement::{Built, Gate, Origin, Placed};
use hallwright_declared::space::{Axes, Block, Side};

use super::Resolver;
use super::names::ScopeId;
use crate::diagnostic::Diagnostic;
use crate::document::{
    AxesDocument, Expression, GateDocument, PartDocument, PlacingDocument, PositionDocument,
};
use crate::ids;
use crate::source::Span;

/// No place is further away, in blocks in each direction.
pub(super) const FURTHEST_BLOCKS: i32 = 30_000_000;

/// No path and no box has more blocks.
const MOST_BLOCKS: usize = 100_000;

/// Where an instance of a module stands, and how it is turned.
#[derive(Clone, Copy, Debug)]
pub(super) struct Frame {
    origin: Block,
    axes: Axes,
}

impl<'d> Resolver<'d> {
    /// What a position says, in the layout's own frame. `None` if there is none, or it cannot be understood.
    pub(super) fn way(
        &mut self,
        scope: ScopeId,
        position: Option<&'d PositionDocument>,
    ) -> Option<Block> {
        let blocks = position?.blocks.each_ref();
        let [x, y, z] = blocks.map(|blocks| -> Option<i32> {
            self.number_from(scope, blocks, -i64::from(FURTHEST_BLOCKS))
        });
        Some(Block::new(x?, y?, z?))
    }

    /// A block of the hall, by its position in the frame of a layout.
    pub(super) fn block(
        &mut self,
        scope: ScopeId,
        position: &'d PositionDocument,
    ) -> Option<Block> {
        let own = self.way(scope, Some(position))?;
        let around = &self.scopes[scope.index()];
        let block = around.origin + around.axes.way(own);
        if is_far(&block) {
            self.report_far(block, position.span);
        }
        Some(block)
    }

    pub(super) fn report_far(&mut self, block: Block, span: Span) {
        let message = format!("{block} is more than {FURTHEST_BLOCKS} blocks away");
        self.problems
            .report(Diagnostic::error(ids::BAD_NUMBER, span, message));
    }

    /// Blocks of the hall that are no parts.
    pub(super) fn blocks(
        &mut self,
        scope: ScopeId,
        positions: &'d [PositionDocument],
    ) -> Vec<Block> {
        let mut blocks = Vec::with_capacity(positions.len());
        for position in positions {
            if let Some(block) = self.block(scope, position) {
                let written = (scope, position.span);
                self.block_spans.entry(block).or_insert(written);
                blocks.push(block);
            }
        }
        blocks
    }

    /// A side, `+x` or `x`, in the layout's own frame.
    fn side(&mut self, scope: ScopeId, written: Option<&'d Expression>) -> Option<Side> {
        let written = written?;
        let (text, _) = self.text(scope, written, "a side such as \"+x\"")?;
        let side = Side::named(&text).or_else(|| Side::named(&format!("+{text}")));
        if side.is_none() {
            let message = format!("`{text}` is no side of a block");
            let help =
                "write \"+x\", \"-x\", \"+y\" (up), \"-y\" (down), \"+z\" or \"-z\"".to_owned();
            let problem = Diagnostic::error(ids::BAD_SIDE, written.span, message);
            self.problems.report(problem.help(help));
        }
        side
    }

    /// Where a part stands and how it is turned, by its fields and, if it is drawn, by its words: its name, its
    /// number and how high the floors are. `None` if nothing is said of that, nor as what it is built.
    pub(super) fn placed(
        &mut self,
        scope: ScopeId,
        said: Option<&'d PlacingDocument>,
        part: &PartDocument,
        words: Option<(&str, usize, &[Option<i32>])>,
    ) -> Option<Placed> {
        let placing = said.unwrap_or(PlacingDocument::NOTHING);
        self.check_placing_fields(placing, part);
        let built = self.built(scope, placing, part);
        // As of nearly all parts of a large layout.
        if said.is_none() && words.is_none() && built == Built::Usual {
            return None;
        }
        let mut own = Placed {
            built,
            position: self.way(scope, placing.position.as_ref()),
            faces: self.side(scope, placing.faces.as_ref()),
            along: self.side(scope, placing.along.as_ref()),
            on: self.side(scope, placing.on.as_ref()),
            path: self.path(scope, &placing.path),
            sources: self.path(scope, &placing.sources),
            size: self.size(scope, placing.size.as_ref()),
            sides: self.gates(scope, placing),
            origin: self.origin(scope, placing, part, words.is_some()),
            modules: Vec::new(),
            is_port: false,
        };
        if let Some((name, number, heights)) = words {
            self.read_words(scope, (name, part), (number, heights), &mut own);
            own.modules = self.problems.around(scope);
            let layout = self.layouts.get(self.scopes[scope.index()].layout);
            own.is_port = layout.ports.values().any(|port| port.text == name);
        }
        // A chest or a barrel is one wherever it stands, so that is kept even if nothing else is said.
        if own == Placed::default() {
            return None;
        }
        let around = &self.scopes[scope.index()];
        let mut placed = own.set_down(around.axes, around.origin);
        let is_double = matches!(
            part,
            PartDocument::DoubleChest(_) | PartDocument::Container(_)
        );
        // In a module that is turned, whatever might have another half has it somewhere.
        placed.along = placed.along.filter(|_| is_double);
        let blocks = placed.position.iter().chain(&placed.path);
        if let Some(far) = blocks.copied().find(is_far) {
            let written = placing.position.as_ref().or(placing.path.first());
            self.report_far(far, written?.span);
        }
        Some(placed)
    }

    /// Who says what a part is linked to.
    fn origin(
        &mut self,
        scope: ScopeId,
        placing: &'d PlacingDocument,
        part: &PartDocument,
        has_words: bool,
    ) -> Origin {
        let drawn = placing.drawn.as_ref();
        let is_drawn = drawn.and_then(|drawn| self.flag(scope, drawn)) == Some(true);
        match part {
            PartDocument::Wire(_) if is_drawn => Origin::Added,
            _ if has_words => Origin::Drawn,
            _ => Origin::Declared,
        }
    }

    /// As what a part is built.
    fn built(
        &mut self,
        scope: ScopeId,
        placing: &'d PlacingDocument,
        part: &PartDocument,
    ) -> Built {
        let is_apart = placing.apart.as_ref();
        let is_apart = is_apart.and_then(|apart| self.flag(scope, apart)) == Some(true);
        match part {
            PartDocument::Chest(_) if is_apart => Built::ChestApart,
            PartDocument::Chest(_) => Built::Chest,
            PartDocument::Barrel(_) => Built::Barrel,
            PartDocument::Dispenser(_) => Built::Dispenser,
            _ => Built::Usual,
        }
    }

    /// How many blocks a box fills along each axis.
    pub(super) fn size(
        &mut self,
        scope: ScopeId,
        written: Option<&'d PositionDocument>,
    ) -> Option<Block> {
        let size = self.way(scope, written)?;
        if [size.x, size.y, size.z]
            .into_iter()
            .any(|blocks| blocks < 1)
        {
            let message = format!("a box of {size} blocks is none");
            let problem = Diagnostic::error(ids::BAD_NUMBER, written?.span, message);
            self.problems
                .report(problem.help("each of the three is 1 or more".to_owned()));
            return None;
        }
        let blocks = [size.x, size.y, size.z]
            .into_iter()
            .try_fold(1_usize, |all, blocks| {
                all.checked_mul(usize::try_from(blocks).ok()?)
            });
        if blocks.is_none_or(|blocks| blocks > MOST_BLOCKS) {
            let message = format!("a box of {size} has more than {MOST_BLOCKS} blocks");
            let problem = Diagnostic::error(ids::BAD_NUMBER, written?.span, message);
            self.problems.report(problem);
            return None;
        }
        Some(size)
    }

    /// The sides of a box, each block counted from the corner that its position names.
    fn gates(&mut self, scope: ScopeId, placing: &'d PlacingDocument) -> Vec<Gate> {
        let mut gates = Vec::new();
        for entry in &placing.sides.list {
            let Some(written) = &entry.value else {
                continue;
            };
            let (at, side) = match written {
                GateDocument::Side(side) => (Some(Block::default()), side),
                GateDocument::At(gate) => (self.way(scope, Some(&gate.at)), &gate.side),
            };
            let side = self.side(scope, Some(side));
            if let (Some(at), Some(side)) = (at, side) {
                gates.push(Gate {
                    name: entry.name.text.clone(),
                    at,
                    side,
                });
            }
        }
        gates
    }

    /// The blocks of a path, in the layout's own frame. From one that is named to the next there may be a straight run.
    fn path(&mut self, scope: ScopeId, written: &'d [PositionDocument]) -> Vec<Block> {
        let mut path: Vec<Block> = Vec::new();
        for position in written {
            let Some(block) = self.way(scope, Some(position)) else {
                continue;
            };
            if let Some(last) = path.last().copied() {
                path.extend(run_between(last, block));
            }
            path.push(block);
            if path.len() > MOST_BLOCKS {
                let message = format!("a path of more than {MOST_BLOCKS} blocks");
                let problem = Diagnostic::error(ids::BAD_NUMBER, position.span, message);
                self.problems.report(problem);
                return Vec::new();
            }
        }
        path
    }

    /// Where a use of a module begins, and how it is turned.
    pub(super) fn frame(
        &mut self,
        scope: ScopeId,
        position: Option<&'d PositionDocument>,
        axes: Option<&'d AxesDocument>,
    ) -> Frame {
        let own = self.way(scope, position).unwrap_or_default();
        let turned = axes.and_then(|axes| self.axes(scope, axes));
        let around = &self.scopes[scope.index()];
        Frame {
            origin: around.origin + around.axes.way(own),
            axes: around.axes.then(turned.unwrap_or_default()),
        }
    }

    fn axes(&mut self, scope: ScopeId, written: &'d AxesDocument) -> Option<Axes> {
        let x = match &written.x {
            Some(x) => self.side(scope, Some(x))?,
            None => Side::PlusX,
        };
        let z = match &written.z {
            Some(z) => self.side(scope, Some(z))?,
            None => Side::PlusZ,
        };
        let axes = Axes::new(x, z);
        if axes.is_none() {
            let message = format!("`x` cannot point to {x} while `z` points to {z}");
            let help = "one of them points to \"+x\" or \"-x\", the other to \"+z\" or \"-z\"; up stays up";
            let problem = Diagnostic::error(ids::BAD_SIDE, written.span, message);
            self.problems.report(problem.help(help.to_owned()));
        }
        axes
    }

    /// A frame shifted by a way in that of whoever sets it down.
    pub(super) fn shifted(&self, scope: ScopeId, frame: Frame, way: Block) -> Frame {
        Frame {
            origin: frame.origin + self.scopes[scope.index()].axes.way(way),
            ..frame
        }
    }

    /// Puts an instance at its place and adds its width, unless something around it has one. Gives
    /// its width in blocks, 0 if it has none.
    pub(super) fn place(&mut self, within: ScopeId, instance: ScopeId, frame: Frame) -> u32 {
        let around = self.scopes[within.index()].is_measured;
        let layout = self.layouts.get(self.scopes[instance.index()].layout);
        let width = layout.width_blocks;
        let before = self.problems.enter(instance);
        let width_blocks: u32 = width
            .and_then(|width| self.number_from(instance, width, 1))
            .unwrap_or(0);
        self.problems.enter(before);
        let scope = &mut self.scopes[instance.index()];
        scope.origin = frame.origin;
        scope.axes = frame.axes;
        scope.is_measured = around || width_blocks > 0;
        if !around {
            self.width_blocks = self.width_blocks.saturating_add(width_blocks);
        }
        width_blocks
    }
}

/// Whether a block is further away than any may be.
pub(super) fn is_far(block: &Block) -> bool {
    let is_far = |blocks: i32| blocks.saturating_abs() > FURTHEST_BLOCKS;
    [block.x, block.y, block.z].into_iter().any(is_far)
}

/// The blocks between two ends of a straight run along one axis; none if it is no such run, or they are
/// beside each other.
fn run_between(from: Block, to: Block) -> impl Iterator<Item = Block> {
    let way = to - from;
    let steps = [way.x, way.y, way.z];
    let is_straight = steps.iter().filter(|step| **step != 0).count() == 1;
    let length = match is_straight {
        true => steps.iter().map(|step| step.unsigned_abs()).sum(),
        false => 0,
    };
    let step = Block::new(way.x.signum(), way.y.signum(), way.z.signum());
    let count = usize::try_from(length)
        .unwrap_or(usize::MAX)
        .min(MOST_BLOCKS);
    std::iter::successors(Some(from + step), move |block| Some(*block + step))
        .take(count.saturating_sub(1))
}
