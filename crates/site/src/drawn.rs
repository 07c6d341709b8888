//! What a layout leaves to its blocks: the links of parts that are drawn, and the losses of wires that are placed.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::id::PartId;
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::part::{Part, Signal};

use crate::blocks::Settings;
use crate::derive::{Made, made};
use crate::network::{Added, Ear, Hearing, Member, Role, Writer, ears};
use crate::place::{Laid, lay};
use hallwright_declared::placement::{Origin, Placed, Placement};
use hallwright_declared::space::{Block, Side};

/// A part that is drawn.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct DrawnPart {
    /// The part, declared and not yet defined.
    pub part: PartId,
    /// Its name.
    pub name: String,
    /// How it is set.
    pub settings: Settings,
    /// The docks of a shuttle, one for each stop: no block says where it goes.
    pub docks: Vec<PartId>,
    /// What lifts a bench's box, if a signal does: no block says that either.
    pub lifted_by: Option<PartId>,
}

/// A wire that is placed, and does not say of every input how much of its level is lost.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PlacedWire {
    /// The wire, declared and not yet defined.
    pub part: PartId,
    /// Its inputs, each with its loss if that is said, 0 to 15.
    pub inputs: Vec<(PartId, Option<u8>)>,
}

impl PlacedWire {
    /// The wire, with these losses where none is said, and otherwise 0.
    fn wire(&self, losses: &BTreeMap<PartId, u8>) -> Part {
        let inputs = self.inputs.iter().map(|(input, said)| {
            let found = losses.get(input).copied();
            (*input, said.or(found).unwrap_or(0))
        });
        Part::Signal(Signal::Wire {
            inputs: inputs.collect(),
        })
    }
}

/// Defines drawn parts by what their blocks make together with everything else that stands somewhere. All
/// other parts are defined already. What listeners need besides, a wire each that hears more than one source
/// or one through something, and open blocks where things come to lie, is added behind all parts, and to the
/// placement. Placed wires get the losses with which their listeners hear their inputs: the least, if several
/// hear one differently. `names` are those of all parts. Gives which drawn parts hand on to which others.
///
/// If the parts that are not drawn make no sound network, nothing leads anywhere: the builder will say what is
/// wrong with them.
pub fn define(
    builder: &mut NetworkBuilder,
    drawn: &[DrawnPart],
    wires: &[PlacedWire],
    names: BTreeSet<String>,
    placement: &mut Placement,
) -> BTreeSet<(PartId, PartId)> {
    let mut members: Vec<Member> = drawn.iter().map(unlinked).collect();
    // Where everything stands, and of what sort it is, is known without the links that are asked for.
    let mut alone = builder.clone();
    let mut writer = Writer::new(&mut alone, names.clone());
    for (own, member) in drawn.iter().zip(&members) {
        writer.define(own.part, member);
    }
    for wire in wires {
        alone.define(wire.part, wire.wire(&BTreeMap::new()));
    }
    let network = alone.build().ok();
    let laid = network.as_ref().map(|network| lay(network, placement));
    let mut losses: BTreeMap<PartId, BTreeMap<PartId, u8>> = BTreeMap::new();
    let nothing = BTreeMap::new();
    let mut pieces = Vec::new();
    let mut writer = Writer::new(builder, names);
    if let (Some(network), Some(laid)) = (&network, &laid) {
        let made = made(&laid.world);
        losses = heard(network, laid, &made, wires);
        pieces = laid.pieces(network.part_count());
        link(drawn, &mut members, (laid, &pieces), &made);
        open_tops(drawn, &mut members, laid, &made, &mut writer);
    }
    for (own, member) in drawn.iter().zip(&members) {
        writer.define(own.part, member);
    }
    for (part, added) in writer.added() {
        let placed = match added {
            Added::Wire => Some(Placed::default().of_origin(Origin::Added)),
            Added::OpenBlock(of) => {
                let block = laid
                    .as_ref()
                    .and_then(|laid| open_block(laid, (*pieces.get(of.index())?)?));
                let placed = block.map_or_else(Placed::default, Placed::at);
                Some(placed.of_origin(Origin::Added))
            }
            Added::Dock => None,
        };
        placement.parts.resize(part.index(), None);
        placement.parts.push(placed.map(Box::new));
    }
    for wire in wires {
        let losses = losses.get(&wire.part).unwrap_or(&nothing);
        builder.define(wire.part, wire.wire(losses));
    }
    let each = drawn.iter().zip(&members);
    each.flat_map(|(own, member)| {
        let hands_on = |(role, _): &&(Role, usize)| HANDS_ON.contains(role);
        let links = member.links.iter().filter(hands_on);
        links.map(|(_, to)| (own.part, PartId::from_index(*to)))
    })
    .collect()
}

/// The roles in which a hopper, dropper or selector leads to what a chain would give it.
const HANDS_ON: [Role; 4] = [Role::Target, Role::Into, Role::Loose, Role::Rest];

/// Of each of these wires how much its listeners miss of each source that they hear.
fn heard(
    network: &Network,
    laid: &Laid,
    made: &Made,
    wires: &[PlacedWire],
) -> BTreeMap<PartId, BTreeMap<PartId, u8>> {
    let mut losses: BTreeMap<PartId, BTreeMap<PartId, u8>> = BTreeMap::new();
    for wire in wires {
        losses.insert(wire.part, BTreeMap::new());
    }
    for (piece, listener) in laid.parts.iter().enumerate() {
        let Some(listener) = listener else { continue };
        for (ear, signal) in ears(network, *listener) {
            let Some(found) = losses.get_mut(&signal) else {
                continue;
            };
            let heard = made.hears[piece].get(&ear).into_iter();
            for (source, heard) in heard.flat_map(Hearing::iter) {
                if let Some(source) = laid.parts[source] {
                    let least = found.entry(source).or_insert(heard.loss);
                    *least = heard.loss.min(*least);
                }
            }
        }
    }
    losses
}

/// A drawn part that is linked to nothing but what no block says.
fn unlinked(own: &DrawnPart) -> Member {
    let docks = own.docks.iter().enumerate();
    let stop = |(number, dock): (usize, &PartId)| (Role::Stop(number), dock.index());
    let lift = own.lifted_by.map(|signal| {
        let mut hearing = Hearing::default();
        hearing.add(signal.index(), 0, true);
        (Ear::Lift, hearing)
    });
    Member {
        name: own.name.clone(),
        settings: own.settings.clone(),
        contents: Vec::new(),
        links: docks.map(stop).collect(),
        hears: lift.into_iter().collect(),
    }
}

/// Gives each drawn part the links that its blocks make.
fn link(
    drawn: &[DrawnPart],
    members: &mut [Member],
    (laid, pieces): (&Laid, &[Option<usize>]),
    made: &Made,
) {
    let number = |piece: usize| Some(laid.parts[piece]?.index());
    for (own, member) in drawn.iter().zip(members) {
        let Some(piece) = pieces[own.part.index()] else {
            continue;
        };
        let link = |(role, to): &(Role, usize)| {
            // A network cannot say that a hopper drinks: to it the hopper is closed.
            let to = number(*to)?;
            (*role != Role::Drinks).then_some((*role, to))
        };
        member
            .links
            .extend(made.links[piece].iter().filter_map(link));
        for (ear, hearing) in &made.hears[piece] {
            let hearing = hearing.renamed(number);
            if *ear != Ear::Lift && !hearing.is_empty() {
                member.hears.insert(*ear, hearing);
            }
        }
    }
}

/// What falls onto a hopper with an open block above lies there: in a mouth that nobody named.
fn open_tops(
    drawn: &[DrawnPart],
    members: &mut [Member],
    laid: &Laid,
    made: &Made,
    writer: &mut Writer<'_>,
) {
    let open: BTreeSet<PartId> = made
        .open_tops
        .iter()
        .filter_map(|piece| laid.parts[*piece])
        .collect();
    for (own, member) in drawn.iter().zip(members) {
        if open.contains(&own.part) {
            let name = format!("open block above {}", own.name);
            let mouth = writer.add(name, Part::Mouth, Added::OpenBlock(own.part));
            member.links.insert((Role::Mouth, mouth.index()));
        }
    }
}

/// The open block above a hopper, or in front of anything else that points somewhere.
fn open_block(laid: &Laid, piece: usize) -> Option<Block> {
    let piece = laid.world.piece(piece);
    let side = match piece.settings {
        Some(Settings::Hopper) => Side::PlusY,
        _ => piece.faces?,
    };
    let block: Block = piece.blocks.first()?.beside(side);
    laid.world.at(block).is_none().then_some(block)
}
