//! The language: what a scenario file says, literally, with the place of every word.
//!
//! Nothing here knows what a name stands for; that is [`crate::resolve`]'s business. Every type is
//! one construct of the language, and its fields are the fields that builders write.

mod conditional;
mod declare;
mod expression;
mod floor;
mod item;
mod module;
mod module_file;
mod operate;
mod part;
mod placing;
mod range;
mod signal;

pub(crate) use conditional::{Conditional, Placed, SetDown};
pub(crate) use declare::*;
pub(crate) use expression::{Expression, ExpressionKind, Operator, Piece};
pub(crate) use floor::*;
pub(crate) use item::*;
pub(crate) use module::*;
pub(crate) use module_file::*;
pub(crate) use operate::*;
pub(crate) use part::*;
pub(crate) use placing::*;
pub(crate) use range::*;
pub(crate) use signal::*;

use crate::diagnostic::Diagnostic;
use crate::ids;
use crate::resolve::GoalDocument;
use crate::text::{Decode, Entries, Fields, Name, Node, Reader, Spanned};

/// A whole scenario.
#[derive(Debug)]
pub(crate) struct ScenarioDocument {
    /// The first character of the file, for want of a better place.
    pub(crate) head: crate::source::Span,
    /// What it is called.
    pub(crate) title: Option<Name>,
    /// What it is about, for people only.
    pub(crate) _about: Option<Name>,
    /// Whether names of parts are taken as they are, even if they look like paths.
    pub(crate) flat: bool,
    /// The seed of all chance; 0 by default.
    pub(crate) seed: Option<Expression>,
    /// How long a run takes.
    pub(crate) run_for: Option<Expression>,
    /// Numbers of the tick rules that differ from the defaults.
    pub(crate) rules: Entries<Expression>,
    /// Files with modules and goods for this one.
    pub(crate) include: Vec<Name>,
    /// The goods: how many share a slot, or `Box`.
    pub(crate) goods: Entries<GoodsDocument>,
    /// Named values.
    pub(crate) parameters: Entries<ParameterDocument>,
    /// What parameters may be in a search.
    pub(crate) ranges: Entries<Spanned<RangeDocument>>,
    /// Named sets of parameter values.
    pub(crate) variants: Entries<Entries<Expression>>,
    /// Pieces of layout to be used by name.
    pub(crate) modules: Entries<ModuleDocument>,
    /// The layout.
    pub(crate) body: BodyDocument,
    /// What falls asleep together, from near to far.
    pub(crate) regions: Entries<Expression>,
    /// How it does, and how the world is opened again.
    pub(crate) leave: Option<LeaveDocument>,
    /// What the operator does.
    pub(crate) operator: Vec<MomentDocument>,
    /// The operator's stops.
    pub(crate) stops: Vec<StopDocument>,
    /// The width of the whole design.
    pub(crate) width_blocks: Option<Expression>,
    /// How long the world takes for what the hall does, each in microseconds.
    pub(crate) costs: Option<Entries<Expression>>,
    /// How many blocks the builder sets in an hour.
    pub(crate) blocks_per_hour: Option<Expression>,
    /// The bounds that every run must meet.
    pub(crate) goals: Vec<Spanned<GoalDocument>>,
}

impl Decode for ScenarioDocument {
    fn decode(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        let mut fields = Fields::read(node, reader)?;
        // A field that cannot be understood is reported and then taken as absent: the rest of the
        // file is still worth reading.
        let document = Self {
            head: fields.head(),
            title: fields.take("title", reader).unwrap_or_default(),
            _about: fields.take("about", reader).unwrap_or_default(),
            flat: take_flat(&mut fields, reader),
            seed: fields.take("seed", reader).unwrap_or_default(),
            run_for: fields.take("run_for", reader).unwrap_or_default(),
            rules: take_numbers("rules", &mut fields, reader).unwrap_or(Entries::broken()),
            include: fields.take("include", reader).unwrap_or_default(),
            goods: fields.take_entries("goods", reader),
            parameters: fields.take_entries("parameters", reader),
            ranges: fields.take_entries("ranges", reader),
            variants: fields.take_entries("variants", reader),
            modules: fields.take_entries("modules", reader),
            body: BodyDocument::take(&mut fields, reader),
            regions: fields.take_entries("regions", reader),
            leave: fields.take("leave", reader).unwrap_or_default(),
            operator: fields.take("operator", reader).unwrap_or_default(),
            stops: fields.take("stops", reader).unwrap_or_default(),
            width_blocks: fields.take("width_blocks", reader).unwrap_or_default(),
            costs: take_numbers("costs", &mut fields, reader),
            blocks_per_hour: fields.take("blocks_per_hour", reader).unwrap_or_default(),
            goals: fields.take("goals", reader).unwrap_or_default(),
        };
        for (field, is_missing) in [
            ("title", !fields.has("title")),
            ("run_for", !fields.has("run_for")),
        ] {
            if is_missing {
                fields.needs(field);
            }
        }
        fields.finish(reader);
        Some(document)
    }
}

/// Whether the layout is a flat one.
fn take_flat(fields: &mut Fields<'_>, reader: &mut Reader<'_>) -> bool {
    let flat: Option<Expression> = fields.take("flat", reader).unwrap_or_default();
    match flat.map(|flat| (flat.kind, flat.span)) {
        None => false,
        Some((ExpressionKind::Flag(flag), _)) => flag,
        Some((_, span)) => {
            let message = "expected `true` or `false`";
            reader.report(Diagnostic::error(ids::WRONG_TYPE, span, message));
            false
        }
    }
}

/// Named numbers of a field, as a map from their names: which there are is not the language's business.
fn take_numbers(
    field: &'static str,
    fields: &mut Fields<'_>,
    reader: &mut Reader<'_>,
) -> Option<Entries<Expression>> {
    let numbers = fields.take::<Option<NumbersDocument>>(field, reader);
    numbers.flatten().map(|numbers| numbers.0)
}

/// Named numbers in parentheses.
struct NumbersDocument(Entries<Expression>);

impl Decode for NumbersDocument {
    fn decode(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        let fields = Fields::read(node, reader)?;
        Some(Self(fields.into_entries(reader)))
    }
}
