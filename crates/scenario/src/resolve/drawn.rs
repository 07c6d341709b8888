//! Parts that are drawn: where they stand by their words, and what they are linked to by their blocks.

use std::collections::BTreeSet;

use hallwright_core::id::PartId;
use hallwright_core::part::{Bench, Lift, Part, Shuttle};
use hallwright_declared::placement::Placed;
use hallwright_declared::space::{Block, Side};
use hallwright_site::blocks::Settings;
use hallwright_site::drawn::{self, DrawnPart};

use super::Resolver;
use super::drawing::{Plain, Spot, Word};
use super::names::ScopeId;
use super::parts::Owner;
use super::positions::FURTHEST_BLOCKS;
use super::sort;
use crate::diagnostic::Diagnostic;
use crate::document::{Expression, PartDocument};
use crate::ids;
use crate::source::Span;

/// A block of a part, and the sign and the word in it.
#[derive(Clone, Copy)]
struct Drawn {
    block: Block,
    sign: Option<Side>,
    span: Span,
}

impl<'d> Resolver<'d> {
    /// How high each floor of a layout is, in its own frame. `None` for one of which that cannot be said.
    pub(super) fn heights(&mut self, scope: ScopeId) -> Vec<Option<i32>> {
        let layout = self.layouts.get(self.scopes[scope.index()].layout);
        let written: Vec<&'d Expression> = layout.drawing.heights.clone();
        let mut heights: Vec<Option<i32>> = Vec::with_capacity(written.len());
        for height in &written {
            let y: Option<i32> = self.number_from(scope, height, -i64::from(FURTHEST_BLOCKS));
            let before = heights.iter().position(|other| y.is_some() && *other == y);
            if let (Some(before), Some(y)) = (before, y) {
                let message = format!("there are two floors at the height {y}");
                let problem = Diagnostic::error(ids::SAME_HEIGHT, height.span, message);
                let problem = problem.context(written[before].span, "the other one");
                let help = "each height is drawn once".to_owned();
                self.problems.report(problem.help(help));
            }
            heights.push(y);
        }
        heights
    }

    /// In which order the parts and signals of a layout are declared: those that are drawn from the top, then
    /// by x, then by z; then all others as they are written.
    pub(super) fn declaration_order(
        &self,
        scope: ScopeId,
        count: usize,
        heights: &[Option<i32>],
    ) -> Vec<usize> {
        let drawing = &self.layouts.get(self.scopes[scope.index()].layout).drawing;
        let rank = |number: &usize| {
            let words = drawing.words.get(*number).into_iter().flatten();
            let blocks = words.map(|word| own_block(word.spot, heights).unwrap_or_default());
            let first = blocks.map(Block::rank).min();
            (first.is_none(), first)
        };
        let mut order: Vec<usize> = (0..count).collect();
        order.sort_by_key(rank);
        order
    }

    /// The blocks of the hall that are drawn and are no parts.
    pub(super) fn place_drawn_blocks(&mut self, scope: ScopeId, heights: &[Option<i32>]) {
        let around = &self.scopes[scope.index()];
        let (origin, axes) = (around.origin, around.axes);
        let drawing = &self.layouts.get(around.layout).drawing;
        let mut spans = std::mem::take(&mut self.block_spans);
        let mut placed = |all: &[Plain]| -> Vec<Block> {
            let own = all.iter().filter_map(|one| {
                let block = origin + axes.way(own_block(one.spot, heights)?);
                spans.entry(block).or_insert((scope, one.span));
                Some(block)
            });
            own.collect()
        };
        self.placement.full.extend(placed(&drawing.full));
        self.placement.wires.extend(placed(&drawing.wires));
        self.placement.caps.extend(placed(&drawing.caps));
        self.block_spans = spans;
    }

    /// Adds to what is said of where a part stands what its words show. Everything is in the layout's own
    /// frame.
    pub(super) fn read_words(
        &mut self,
        scope: ScopeId,
        (name, part): (&str, &PartDocument),
        (number, heights): (usize, &[Option<i32>]),
        own: &mut Placed,
    ) {
        let layout = self.layouts.get(self.scopes[scope.index()].layout);
        let words = &layout.drawing.words[number];
        let drawn = words.iter().filter_map(|word: &Word| {
            Some(Drawn {
                block: own_block(word.spot, heights)?,
                sign: word.sign,
                span: word.span,
            })
        });
        let mut drawn: Vec<Drawn> = drawn.collect();
        drawn.sort_by_key(|one| one.block.rank());
        let Some(&first) = drawn.first() else {
            return;
        };
        use PartDocument as P;
        match part {
            P::DoubleChest(_) => self.double_chest(name, &drawn, own),
            P::Container(_) if drawn.len() == 2 => self.double_chest(name, &drawn, own),
            P::Stream(_) => self.drawn_stream(name, &drawn, own),
            P::Mouth(_) if drawn.len() > 1 => {
                own.path = drawn.iter().map(|one| one.block).collect();
                self.no_signs(name, part, &drawn);
            }
            P::Hopper(_) | P::Dropper(_) | P::Dispenser(_) | P::Observer(_) => {
                own.position = Some(first.block);
                own.faces = first.sign.or(own.faces);
                let points_nowhere = own.faces.is_none() && !matches!(part, P::Hopper(_));
                let points_up = own.faces == Some(Side::PlusY) && matches!(part, P::Hopper(_));
                if points_nowhere || points_up {
                    self.report_sign(name, part, &first);
                }
            }
            P::Repeater(_) | P::Comparator(_) => {
                own.position = Some(first.block);
                own.faces = first.sign.or(own.faces);
                if !own.faces.is_some_and(Side::is_level) {
                    self.report_sign(name, part, &first);
                }
            }
            P::Inverter(_) | P::Lever(_) | P::Button(_) => {
                own.position = Some(first.block);
                own.on = first.sign.or(own.on);
            }
            P::Container(_) | P::Chest(_) | P::Barrel(_) | P::Bench(_) | P::Mouth(_) => {
                own.position = Some(first.block);
                self.no_signs(name, part, &drawn);
            }
            P::Selector(_)
            | P::Dock(_)
            | P::Shuttle(_)
            | P::Hold(_)
            | P::Latch(_)
            | P::Toggle(_)
            | P::AllOf(_)
            | P::NoneOf(_)
            | P::Clock(_)
            | P::DelayLine(_) => {
                self.no_signs(name, part, &drawn);
                self.drawn_box(name, &drawn, own);
            }
            P::Wire(_) => {} // Reported where the word is.
        }
    }

    /// Reports a sign that a part cannot have, or that it lacks.
    fn report_sign(&mut self, name: &str, part: &PartDocument, drawn: &Drawn) {
        let (signs, where_to) = match part {
            PartDocument::Hopper(_) => ("> < ^ ! -", "a hopper points down or to a side"),
            PartDocument::Observer(_) => ("> < ^ ! + -", "its eye is at one of its six sides"),
            PartDocument::Repeater(_) | PartDocument::Comparator(_) => (
                "> < ^ !",
                "its output is at one of the four sides beside it",
            ),
            _ => ("> < ^ ! + -", "its front is one of its six sides"),
        };
        let sort = sort::in_words(part);
        let message = match drawn.sign {
            None => format!("`{name}` is {sort} and has no sign"),
            Some(side) => format!("`{name}` is {sort} and cannot point to {side}"),
        };
        let problem = Diagnostic::error(ids::BAD_SIGN, drawn.span, message);
        let help = format!("{where_to}: write one of `{signs}` behind its name");
        self.problems.report(problem.help(help));
    }

    /// Reports signs of a part that points nowhere.
    fn no_signs(&mut self, name: &str, part: &PartDocument, drawn: &[Drawn]) {
        for one in drawn.iter().filter(|one| one.sign.is_some()) {
            let message = format!("`{name}` is {}, which points nowhere", sort::in_words(part));
            let problem = Diagnostic::error(ids::BAD_SIGN, one.span, message);
            self.problems
                .report(problem.help("leave the sign out".to_owned()));
        }
    }

    fn bad_shape(&mut self, span: Span, message: String, help: &str) {
        let problem = Diagnostic::error(ids::BAD_SHAPE, span, message);
        self.problems.report(problem.help(help.to_owned()));
    }

    /// Two blocks beside each other. The half with a sign, which points to the other, has slots 0 to 26;
    /// without one it is the first in the order of blocks.
    fn double_chest(&mut self, name: &str, drawn: &[Drawn], own: &mut Placed) {
        let help = "its two halves are beside each other at one height; a sign behind one of them points to \
                    the other";
        let (first, second) = match drawn {
            [one, other] if one.sign.is_none() && other.sign.is_some() => (other, one),
            [one, other] => (one, other),
            [one, ..] => {
                let message = format!("of the double chest `{name}` one half is drawn");
                self.bad_shape(one.span, message, help);
                return;
            }
            [] => return,
        };
        let beside = first.block.side_of(second.block);
        let Some(along) = beside.filter(|side| side.is_level()) else {
            let message = format!("the halves of `{name}` are not beside each other");
            self.bad_shape(second.span, message, help);
            return;
        };
        if first.sign.is_some_and(|sign| sign != along) || second.sign.is_some() {
            let message = format!("the signs of `{name}` do not point from one half to the other");
            self.bad_shape(first.span, message, help);
        }
        own.position = Some(first.block);
        own.along = Some(along);
    }

    /// The blocks of a stream, each of which points to the next.
    fn drawn_stream(&mut self, name: &str, drawn: &[Drawn], own: &mut Placed) {
        let at = |block: Block| drawn.iter().find(|one| one.block == block);
        let next = |one: &Drawn| one.sign.and_then(|sign| at(one.block.beside(sign)));
        let entered: BTreeSet<Block> = drawn
            .iter()
            .filter_map(|one| Some(next(one)?.block))
            .collect();
        let mut starts = drawn.iter().filter(|one| !entered.contains(&one.block));
        let help =
            "behind each of its words a sign points to its next block, so that all are one way";
        let Some(start) = starts.next() else {
            let message = format!("the stream `{name}` has no first block: it runs in a ring");
            self.bad_shape(drawn[0].span, message, help);
            return;
        };
        if let Some(other) = starts.next() {
            let message = format!("the stream `{name}` has two first blocks");
            self.bad_shape(other.span, message, help);
            return;
        }
        let mut path = vec![start.block];
        let mut last = start;
        while let Some(one) = next(last) {
            if path.contains(&one.block) {
                break;
            }
            path.push(one.block);
            last = one;
        }
        if let Some(left) = drawn.iter().find(|one| !path.contains(&one.block)) {
            let message = format!("no way leads through this block of the stream `{name}`");
            self.bad_shape(left.span, message, help);
            return;
        }
        own.path = path;
    }

    /// All blocks from one corner to the one across.
    fn drawn_box(&mut self, name: &str, drawn: &[Drawn], own: &mut Placed) {
        let Some(first) = drawn.first() else { return };
        let least = drawn
            .iter()
            .fold(first.block, |so_far, one| so_far.least(one.block));
        let most = -drawn
            .iter()
            .fold(-first.block, |so_far, one| so_far.least(-one.block));
        let size = most - least + Block::new(1, 1, 1);
        let volume = [size.x, size.y, size.z]
            .into_iter()
            .try_fold(1_usize, |so_far, blocks| {
                so_far.checked_mul(usize::try_from(blocks).ok()?)
            });
        if volume != Some(drawn.len()) {
            let message = format!("the blocks of `{name}` are no box");
            let help =
                "a part of several blocks fills all of them from one corner to the one across";
            self.bad_shape(drawn[drawn.len() - 1].span, message, help);
            return;
        }
        own.position = Some(least);
        own.size = Some(size);
    }

    /// Whether a part stands nowhere in a layout that is drawn, which is reported.
    fn is_lost(&self, part: PartId) -> bool {
        self.parts
            .get(part.index())
            .is_some_and(|record| record.is_lost)
    }

    /// Whether no link need be declared of a part: its blocks make them, or would if it were drawn.
    pub(super) fn needs_no_links(&self, part: PartId) -> bool {
        self.is_drawn(part) || self.is_lost(part)
    }

    /// Whether a part is drawn.
    pub(super) fn is_drawn(&self, part: PartId) -> bool {
        self.parts
            .get(part.index())
            .is_some_and(|record| record.is_drawn)
    }

    /// Reports a connection of a drawn part that is declared even so.
    pub(super) fn report_declared_link(&mut self, owner: Owner, span: Span) {
        let Some(record) = self.parts.get(owner.part.index()) else {
            return;
        };
        let message = format!(
            "`{}` is drawn, so its links are not declared",
            record.name.text
        );
        let help = "leave this out: what it is linked to follows from the blocks around it";
        let problem = Diagnostic::error(ids::LINK_DECLARED, span, message);
        self.problems.report(problem.help(help.to_owned()));
    }

    /// Keeps what is known of a drawn part until all others are defined.
    pub(super) fn keep_drawn(&mut self, owner: Owner, part: &Part) {
        let Some(settings) = Settings::of(part) else {
            return; // A wire is no word.
        };
        let docks = match part {
            Part::Shuttle(shuttle) => {
                let Shuttle { stops, .. } = &**shuttle;
                stops.iter().map(|stop| stop.dock).collect()
            }
            _ => Vec::new(),
        };
        let lifted_by = match part {
            Part::Bench(Bench {
                lift: Lift::Signal(signal),
                ..
            }) => Some(*signal),
            _ => None,
        };
        self.drawn.push(DrawnPart {
            part: owner.part,
            name: self.full_name(owner.part),
            settings,
            docks,
            lifted_by,
        });
    }

    /// Defines all drawn parts and wires without losses, and sees to it that chains lead where their blocks do.
    pub(super) fn define_drawn(&mut self) {
        let parts = std::mem::take(&mut self.drawn);
        let wires = std::mem::take(&mut self.placed_wires);
        if parts.is_empty() && wires.is_empty() {
            return;
        }
        let all = (0..self.parts.len()).map(PartId::from_index);
        let rooms = self.placement.rooms.iter().map(|room| room.name.clone());
        let names: BTreeSet<String> = all.map(|part| self.full_name(part)).chain(rooms).collect();
        let led_to = drawn::define(
            &mut self.builder,
            &parts,
            &wires,
            names,
            &mut self.placement,
        );
        for own in &parts {
            let Some((target, span)) = self.connections.planned(own.part) else {
                continue;
            };
            if !led_to.contains(&(own.part, target)) {
                let message = format!(
                    "`{}` is drawn, and its blocks do not lead to `{}`",
                    own.name,
                    self.full_name(target)
                );
                let problem = Diagnostic::error(ids::BAD_CHAIN, span, message);
                let help = "a drawn outlet leads where its blocks do: move one of the two, or write \
                            `chain: {}`";
                self.problems.report(problem.help(help.to_owned()));
            }
        }
    }
}

/// A block in a layout's own frame; `None` if the height of its floor is not known.
fn own_block(spot: Spot, heights: &[Option<i32>]) -> Option<Block> {
    let y = heights.get(spot.floor).copied().flatten()?;
    Some(Block::new(spot.x, y, spot.z))
}
