//! Layouts, modules, and how modules are used.

use super::{
    ArrivalDocument, Conditional, DeskDocument, Expression, FloorDocument, FlowDocument,
    GatherDocument, LampDocument, OpenDocument, PartDocument, Placed, RoomDocument,
    SectionDocument, SetDown, StoreDocument,
};
use crate::diagnostic::Diagnostic;
use crate::ids;
use crate::source::Span;
use crate::text::{Decode, Entries, Fields, Name, Node, Reader, document, kinds_of, positions};

/// Goods: how many share a slot.
#[derive(Debug)]
pub(crate) enum GoodsDocument {
    /// A stack limit.
    Limit(Expression),
    /// A box.
    Box,
}

impl Decode for GoodsDocument {
    fn decode(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        match node.choice() {
            Some(("Box", _)) => Some(Self::Box),
            Some((word, _)) => {
                let message = format!("`{word}` is neither a stack limit nor `Box`");
                let problem = Diagnostic::error(ids::UNKNOWN_CHOICE, node.head(), message);
                reader.report(problem.help("write 64, 16 or 1, or `Box`".to_owned()));
                None
            }
            None => Expression::decode(node, reader).map(Self::Limit),
        }
    }
}

/// A parameter: its default value, or what it must be given.
#[derive(Debug)]
pub(crate) enum ParameterDocument {
    /// The value unless another is given.
    Default(Expression),
    /// A value must be given, of this type.
    Needed(ParameterType, Span),
}

/// The types of parameters.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum ParameterType {
    /// A number.
    Number,
    /// `true` or `false`.
    Flag,
    /// A name: of a part, of goods, or any other text.
    Name,
    /// A list.
    List,
}

impl Decode for ParameterDocument {
    fn decode(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        let needed = match node.text {
            "Number" => ParameterType::Number,
            "Flag" => ParameterType::Flag,
            "Name" => ParameterType::Name,
            "List" => ParameterType::List,
            _ => return Expression::decode(node, reader).map(Self::Default),
        };
        Some(Self::Needed(needed, node.span))
    }
}

/// A place in whole blocks, `(x, y, z)`.
#[derive(Debug)]
pub(crate) struct PositionDocument {
    /// Where it is written.
    pub(crate) span: Span,
    /// East, up and south, by custom.
    pub(crate) blocks: [Expression; 3],
}

impl Decode for PositionDocument {
    fn decode(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        let values = positions(node, 3, reader)?;
        let blocks: Vec<Expression> = values
            .into_iter()
            .filter_map(|value| Expression::decode(value, reader))
            .collect();
        Some(Self {
            span: node.span,
            blocks: blocks.try_into().ok()?,
        })
    }
}

/// What the instances of a row are for.
#[derive(Debug)]
pub(crate) enum EachDocument {
    /// A list; each value in turn is `$each`.
    List(Expression),
    /// Parameters for each instance.
    Listed(EachListedDocument),
    /// A CSV file; its columns are parameters.
    FromFile(EachFileDocument),
}

impl Decode for EachDocument {
    fn decode(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        match node.choice() {
            Some(("Listed", payload)) => {
                EachListedDocument::decode(payload, reader).map(Self::Listed)
            }
            Some(("FromFile", payload)) => {
                EachFileDocument::decode(payload, reader).map(Self::FromFile)
            }
            _ => Expression::decode(node, reader).map(Self::List),
        }
    }
}

document! {
    /// A CSV file with a row for each instance.
    pub(crate) struct EachFileDocument {
        path: Name,
        /// Only the rows that have these texts in these columns.
        only: Entries<Name>,
    }

    /// Parameters for each instance of a row.
    pub(crate) struct EachListedDocument {
        entries: Vec<Entries<Expression>>,
    }
}

/// What a layout and a module have in common. The order of declaration is parts, signals, uses,
/// each in the order of the text.
#[derive(Debug)]
pub(crate) struct BodyDocument {
    /// The first character of what it belongs to.
    pub(crate) head: Span,
    /// Parts.
    pub(crate) parts: Entries<Placed<PartDocument>>,
    /// More parts, by custom those that give signals.
    pub(crate) signals: Entries<Placed<PartDocument>>,
    /// Uses of modules.
    pub(crate) uses: Entries<SetDown<UseDocument>>,
    /// What is drawn, height by height.
    pub(crate) floors: Vec<FloorDocument>,
    /// Full blocks, which carry and fasten.
    pub(crate) full: Vec<PositionDocument>,
    /// Blocks that close the hoppers below them.
    pub(crate) caps: Vec<PositionDocument>,
    /// Blocks of wire that are no parts.
    pub(crate) wires: Vec<PositionDocument>,
    /// Boxes in which signal parts stand somewhere.
    pub(crate) rooms: Entries<Conditional<RoomDocument>>,
    /// What comes from outside.
    pub(crate) arrivals: Entries<Conditional<ArrivalDocument>>,
    /// Where goods should come to rest.
    pub(crate) stores: Entries<Conditional<StoreDocument>>,
    /// What is counted as it goes by.
    pub(crate) flows: Entries<Conditional<FlowDocument>>,
    /// What a stop must clear.
    pub(crate) sections: Entries<Conditional<SectionDocument>>,
    /// Hoppers that must end holding what they started with.
    pub(crate) sieves: Option<Expression>,
    /// Signals worth watching.
    pub(crate) lamps: Entries<Conditional<LampDocument>>,
    /// Where boxes are asked for.
    pub(crate) requests: Entries<Conditional<DeskDocument>>,
    /// Where stacks are put together.
    pub(crate) gathers: Entries<Conditional<GatherDocument>>,
    /// Places open to the operator.
    pub(crate) open: Entries<Conditional<OpenDocument>>,
}

impl BodyDocument {
    /// Takes its fields. What cannot be read is reported, and the rest is kept.
    pub(crate) fn take(fields: &mut Fields<'_>, reader: &mut Reader<'_>) -> Self {
        Self {
            head: fields.head(),
            parts: fields.take_entries("parts", reader),
            signals: fields.take_entries("signals", reader),
            uses: fields.take_entries("uses", reader),
            floors: fields.take("floors", reader).unwrap_or_default(),
            full: fields.take("full", reader).unwrap_or_default(),
            caps: fields.take("caps", reader).unwrap_or_default(),
            wires: fields.take("wires", reader).unwrap_or_default(),
            rooms: fields.take_entries("rooms", reader),
            arrivals: fields.take_entries("arrivals", reader),
            stores: fields.take_entries("stores", reader),
            flows: fields.take_entries("flows", reader),
            sections: fields.take_entries("sections", reader),
            sieves: fields.take("sieves", reader).unwrap_or_default(),
            lamps: fields.take_entries("lamps", reader),
            requests: fields.take_entries("requests", reader),
            gathers: fields.take_entries("gathers", reader),
            open: fields.take_entries("open", reader),
        }
    }

    /// Whether the names of all parts and uses could be read.
    pub(crate) fn is_whole(&self) -> bool {
        self.parts.is_whole && self.signals.is_whole && self.uses.is_whole
    }
}

/// A module.
#[derive(Debug)]
pub(crate) struct ModuleDocument {
    /// What can be set when it is used.
    pub(crate) parameters: Entries<ParameterDocument>,
    /// The names by which others connect.
    pub(crate) ports: Entries<Name>,
    /// How wide an instance is, in blocks.
    pub(crate) width_blocks: Option<Expression>,
    /// The layout.
    pub(crate) body: BodyDocument,
}

impl Decode for ModuleDocument {
    fn decode(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        let mut fields = Fields::read(node, reader)?;
        let module = Self {
            parameters: fields.take_entries("parameters", reader),
            ports: fields.take_entries("ports", reader),
            width_blocks: fields.take("width_blocks", reader).unwrap_or_default(),
            body: BodyDocument::take(&mut fields, reader),
        };
        fields.finish(reader);
        Some(module)
    }
}

kinds_of! {
    /// How a module is used.
    pub(crate) enum UseDocument {
        /// Once.
        One(OneDocument),
        /// Many times, in a row.
        Row(RowDocument),
    }
}

document! {
    /// A module used once.
    pub(crate) struct OneDocument {
        module: Name,
        with: Entries<Expression>,
        /// From an outlet port to what it leads to.
        then: Entries<Expression>,
    }

    /// A module used many times.
    pub(crate) struct RowDocument {
        module: Name,
        /// Exactly one of `count` and `each`.
        count: Option<Expression>,
        /// What each instance is for: an instance for each.
        each: Option<EachDocument>,
        /// By how much each instance is shifted against the one before.
        step: Option<Box<PositionDocument>>,
        with: Entries<Expression>,
        /// From an outlet port to the inlet port of the next instance.
        chain: Option<Entries<Name>>,
        /// From an outlet port of the last instance to what it leads to.
        then: Entries<Expression>,
    }
}
