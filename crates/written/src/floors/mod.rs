//! A placed scenario as one flat layout whose placed parts are drawn, height by height, instead of linked.

mod check;
mod drawing;
mod named;
mod undrawable;

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::Signal;
use hallwright_core::slot::Filling;
use hallwright_declared::placement::{Placed, Room};
use hallwright_declared::space::{Axes, Block};
use hallwright_scenario::Scenario;
use hallwright_scenario::write::quoted;
use hallwright_site::blocks::Shape;
use hallwright_site::place::{Site, place};

pub use undrawable::Undrawable;

use crate::flat::{Layout, block, fillings_of, rooms, write};
use crate::parts;
use drawing::Drawing;

/// Writes a scenario without modules and parameters, and with floors: every part that stands somewhere is drawn
/// in its blocks, and keeps only how it is set. What is read from it is the same network up to names of wires
/// and the order of the parts. Parts that stand nowhere are declared as ever.
///
/// # Errors
///
/// If nothing stands, or the blocks do not make the network, or what they make cannot be said by drawing: see
/// [`Undrawable`].
pub fn floors(scenario: &Scenario) -> Result<String, Undrawable> {
    let network = &scenario.network;
    let placement = &scenario.declarations.placement;
    let report = scenario.declarations.site.as_ref();
    let report = report.filter(|report| report.stand > 0);
    let report = report.ok_or(Undrawable::NothingStands)?;
    if let Some(first) = report.problems.first() {
        return Err(Undrawable::NotBuildable {
            problems: report.problems.len(),
            first: first.words.clone(),
            rule: first.rule,
        });
    }
    let site = place(network, placement);
    let standing = Standing::of(network, &site);
    let in_rooms = placement.rooms.iter().flat_map(|room| &room.parts);
    let in_rooms: BTreeSet<PartId> = in_rooms.copied().collect();
    let unworded = drawing::unworded(network, &site, &in_rooms);
    let kept_wires = check::check(scenario, &site, &standing, &unworded, &in_rooms)?;
    let drawing = Drawing::of(&site.world, &unworded)?;
    let hall = Hall {
        scenario,
        site: &site,
        standing: &standing,
        unworded: &unworded,
        drawing: &drawing,
    };
    let lines = hall.part_lines(&kept_wires);
    let shifted = placement.rooms.iter();
    let shifted = shifted.map(|room| room.set_down(Axes::default(), -drawing.origin));
    let shifted: Vec<Room> = shifted.collect();
    let mut blocks = vec![("floors", floor_lines(&drawing))];
    blocks.extend(rooms(network, &shifted));
    Ok(write(
        scenario,
        &Layout {
            comment: comment(drawing.origin),
            parts: lines,
            blocks,
        },
    ))
}

/// Which parts are drawn.
struct Standing {
    /// Of each part the number of its piece, if it stands.
    pieces: BTreeMap<PartId, usize>,
    /// Which parts are wires.
    wires: BTreeSet<PartId>,
}

impl Standing {
    fn of(network: &Network, site: &Site) -> Self {
        let numbered = site.parts.iter().enumerate();
        let is_wire = |part: &PartId| matches!(network.signal(*part), Some(Signal::Wire { .. }));
        Self {
            pieces: numbered
                .filter_map(|(piece, part)| Some(((*part)?, piece)))
                .collect(),
            wires: network.part_ids().filter(is_wire).collect(),
        }
    }

    fn is_wire(&self, part: PartId) -> bool {
        self.wires.contains(&part)
    }

    /// Whether it stands somewhere; of a wire whether its blocks are known.
    fn stands(&self, part: PartId) -> bool {
        self.pieces.contains_key(&part)
    }
}

/// What whoever opens the file must know.
fn comment(origin: Block) -> String {
    let mut text = String::from(
        "// Written out in full, and drawn. The names of parts are kept as they are; wires have none. A run takes\n\
         // the parts in the order of their blocks: from the top, then by x, then by z.\n",
    );
    if origin != Block::default() {
        text.push_str(&format!(
            "// The block (0, 0, 0) of the floors was {origin} in the layout from which this was written.\n"
        ));
    }
    text
}

/// The floors, from the top.
fn floor_lines(drawing: &Drawing) -> String {
    let floors = drawing.floors.iter().map(|(y, rows)| {
        let rows: String = rows
            .iter()
            .map(|row| format!("            {},\n", quoted(row)))
            .collect();
        format!("(y: {y}, rows: [\n{rows}        ])")
    });
    let floors: Vec<String> = floors.collect();
    block('[', &floors, ']')
}

/// A scenario and what is drawn of it.
struct Hall<'a> {
    scenario: &'a Scenario,
    site: &'a Site,
    standing: &'a Standing,
    /// The pieces that no words can show, with why.
    unworded: &'a BTreeMap<usize, String>,
    drawing: &'a Drawing,
}

impl Hall<'_> {
    /// The parts. Wires are only kept for those that stand nowhere.
    fn part_lines(&self, kept_wires: &BTreeSet<PartId>) -> Vec<String> {
        let network = &self.scenario.network;
        let holds = fillings_of(network);
        let is_written = |part: &PartId| !self.standing.is_wire(*part) || kept_wires.contains(part);
        let parts = network.part_ids().filter(is_written);
        parts
            .map(|part| {
                let holds = holds.get(&part).map_or(&[][..], Vec::as_slice);
                format!("{}: {}", quoted(network.name(part)), self.part(part, holds))
            })
            .collect()
    }

    /// A part: one that is drawn as it is set, any other as it is declared.
    fn part(&self, part: PartId, holds: &[Filling]) -> String {
        let network = &self.scenario.network;
        let placed = self.scenario.declarations.placement.of(part);
        let numbered = (part, network.part(part));
        let Some(number) = self.standing.pieces.get(&part) else {
            return parts::part(network, numbered, holds, placed);
        };
        let origin = self.drawing.origin;
        if !self.unworded.contains_key(number) {
            return parts::drawn(network, numbered, holds, placed, origin);
        }
        let piece = self.site.world.piece(*number);
        let placed = match (piece.shape, placed) {
            // Where a mouth is, its hoppers may say.
            (Shape::Mouth, _) => Some(Placed::along_path(piece.blocks.iter().copied())),
            (_, placed) => placed.cloned(),
        };
        let shifted = placed.map(|placed| placed.set_down(Axes::default(), -origin));
        parts::part(network, numbered, holds, shifted.as_ref())
    }
}
