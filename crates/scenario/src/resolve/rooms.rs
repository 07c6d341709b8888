//! Rooms: boxes of blocks, and the signal parts that stand somewhere in each.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::id::PartId;
use hallwright_declared::placement::{Placed, Room};
use hallwright_declared::space::Block;

use super::Resolver;
use super::layouts::Layout;
use super::names::ScopeId;
use super::positions::is_far;
use super::sort::in_words;
use crate::diagnostic::Diagnostic;
use crate::document::{Expression, RoomDocument};
use crate::ids;
use crate::source::Span;
use crate::text::Name;

/// Which room each part is in: its name, and where that is said.
type Holders = BTreeMap<PartId, (String, Span)>;

impl<'d> Resolver<'d> {
    /// Every room, of the layout and of each module in use.
    pub(super) fn find_rooms(&mut self) {
        let mut holders = Holders::new();
        let numbers = 0..u32::try_from(self.scopes.len()).unwrap_or(u32::MAX);
        for scope in numbers.map(ScopeId) {
            let body = self.layouts.get(self.scopes[scope.index()].layout).body;
            let before = self.problems.enter(scope);
            for entry in &body.rooms.list {
                let Some(room) = &entry.value else { continue };
                if self.holds(scope, room.when.as_ref()) == Some(true) {
                    self.find_room(scope, &entry.name, &room.value, &mut holders);
                }
            }
            self.problems.enter(before);
        }
        self.report_rooms_named_as_others();
    }

    fn find_room(
        &mut self,
        scope: ScopeId,
        written: &'d Name,
        room: &'d RoomDocument,
        holders: &mut Holders,
    ) {
        let name = format!("{}{}", self.scopes[scope.index()].prefix, written.text);
        let corner = self.way(scope, Some(&room.position));
        let size = self.size(scope, Some(&room.size));
        let known = self.problems.count();
        let parts = self.parts_in_room(scope, &name, &room.parts, holders);
        if parts.is_empty() && self.problems.count() == known {
            let message = format!("the room \"{}\" names no signal part", written.text);
            let help = "name what stands in it: `parts: [\"lamp\", \"line[*].halt\"]`";
            let problem = Diagnostic::error(ids::EMPTY_ROOM, room.parts.span, message);
            self.problems.report(problem.help(help.to_owned()));
        }
        let (Some(corner), Some(size)) = (corner, size) else {
            return;
        };
        let own = Room {
            name,
            corner,
            size,
            parts,
        };
        let around = &self.scopes[scope.index()];
        let room_here = own.set_down(around.axes, around.origin);
        let ends = [room_here.corner, room_here.last_block()];
        if let Some(far) = ends.iter().find(|end| is_far(end)) {
            self.report_far(*far, room.position.span);
            return;
        }
        self.room_spans.push((scope, written.span));
        self.placement.rooms.push(room_here);
    }

    /// The parts that a room names, in the order of declaration and each once. Of a module only those are
    /// meant that can be in a room.
    fn parts_in_room(
        &mut self,
        scope: ScopeId,
        room: &str,
        list: &'d Expression,
        holders: &mut Holders,
    ) -> Vec<PartId> {
        let mut parts = BTreeSet::new();
        for (path, written_in, span) in self.names(scope, list) {
            let mut named = Vec::new();
            match self.modules_at(written_in, &path, false) {
                Ok(Some(modules)) => {
                    for module in modules {
                        self.collect_parts(module, &mut named);
                    }
                    named.retain(|part| self.is_signal(*part) && !self.has_place(*part));
                }
                Ok(None) => {
                    named = self.parts_at(&path, written_in, span);
                    named.retain(|part| self.can_be_in_room(*part, &path, span));
                }
                Err(failure) => self.report_failure(failure, written_in, span),
            }
            for part in named {
                match holders.get(&part) {
                    Some((other, _)) if other == room => {}
                    Some((other, at)) => {
                        let name = self.full_name(part);
                        let message =
                            format!("`{name}` is in two rooms: \"{other}\" and \"{room}\"");
                        let problem = Diagnostic::error(ids::PART_IN_TWO_ROOMS, span, message)
                            .context(*at, "here it is in the other")
                            .help("a part is in one room: leave it out of one of them".to_owned());
                        self.problems.report(problem);
                        continue;
                    }
                    None => {
                        holders.insert(part, (room.to_owned(), span));
                    }
                }
                parts.insert(part);
            }
        }
        parts.into_iter().collect()
    }

    /// Whether it is said of a part by itself where it stands.
    fn has_place(&self, part: PartId) -> bool {
        let has_blocks = |placed: &Placed| {
            placed.position.is_some() || !placed.path.is_empty() || placed.is_added_wire()
        };
        let record = &self.parts[part.index()];
        record.is_drawn || self.placement.of(part).is_some_and(has_blocks)
    }

    /// Whether a part that is named by itself can be in a room. Reports if it cannot.
    fn can_be_in_room(&mut self, part: PartId, path: &str, span: Span) -> bool {
        let record = &self.parts[part.index()];
        let (name_span, what) = (record.name.span, in_words(record.part));
        let (id, message, help) = if !self.is_signal(part) {
            (
                ids::NO_SIGNAL_IN_ROOM,
                format!("`{path}` is {what}, and only signal parts are in a room"),
                "leave it out, and say with `position` where it stands",
            )
        } else if self.has_place(part) {
            (
                ids::PLACED_IN_ROOM,
                format!("`{path}` has a place of its own, and is not anywhere in a room"),
                "leave it out of the room, or take its `position`, `path` or words of floors away",
            )
        } else {
            return true;
        };
        let problem = Diagnostic::error(id, span, message).context(name_span, "declared here");
        self.problems.report(problem.help(help.to_owned()));
        false
    }

    /// Reports of rooms with the name of a part, of a use or of another room: a name would mean two things.
    fn report_rooms_named_as_others(&mut self) {
        if self.placement.rooms.is_empty() {
            return;
        }
        let parts = (0..self.parts.len()).map(PartId::from_index);
        let of_part = |part: PartId| {
            let record = &self.parts[part.index()];
            (self.full_name(part), (None, record.name.span))
        };
        // With rooms goes the layout in use in which they are written.
        let mut names: BTreeMap<String, (Option<ScopeId>, Span)> = parts.map(of_part).collect();
        let rooms: Vec<String> = self
            .placement
            .rooms
            .iter()
            .map(|room| room.name.clone())
            .collect();
        for (name, (scope, span)) in rooms.into_iter().zip(self.room_spans.clone()) {
            let layout = self.layouts.get(self.scopes[scope.index()].layout);
            let own = self.scopes[scope.index()].prefix.len();
            let mut members = Layout::member_names(layout.body);
            let member = members.find(|member| member.text == name[own..]);
            let first = member.map(|member| (None, member.span));
            let Some((holder, first)) = first.or_else(|| names.get(&name).copied()) else {
                names.insert(name, (Some(scope), span));
                continue;
            };
            if holder == Some(scope) {
                continue; // Two of one name in one list are reported already.
            }
            let message = format!("something else is named `{name}` as well");
            let problem = Diagnostic::error(ids::DUPLICATE_NAME, span, message)
                .context(first, "first named here")
                .help("give the room another name".to_owned());
            self.problems.enter(scope);
            self.problems.report(problem);
        }
        self.problems.enter(ScopeId::TOP);
    }

    /// Where the room is written that has this block, and in which layout in use.
    pub(super) fn room_written_at(&self, rooms: &[Room], block: Block) -> Option<(ScopeId, Span)> {
        let holds = |room: &Room| {
            let (from, to) = (room.corner, room.last_block());
            let within = |from: i32, at: i32, to: i32| (from..=to).contains(&at);
            within(from.x, block.x, to.x)
                && within(from.y, block.y, to.y)
                && within(from.z, block.z, to.z)
        };
        let number = rooms.iter().position(holds)?;
        self.room_spans.get(number).copied()
    }
}
