//! What can be wrong with a network.

use thiserror::Error;

use crate::id::PartId;

/// One thing that is wrong with a network, and where.
#[derive(Clone, PartialEq, Eq, Debug, Error)]
#[error("{}{problem}", .name.as_ref().map(|name| format!("`{name}`: ")).unwrap_or_default())]
pub struct NetworkError {
    /// The part at fault; `None` where it is the goods or the rules.
    pub part: Option<PartId>,
    /// Its name.
    pub name: Option<String>,
    /// What is wrong.
    pub problem: Problem,
}

/// What is wrong.
#[derive(Clone, PartialEq, Eq, Debug, Error)]
#[non_exhaustive]
pub enum Problem {
    /// A part was declared but never defined.
    #[error("declared but never defined")]
    Undefined,
    /// More kinds of goods than a network can handle.
    #[error("there are {0} kinds of goods, but at most 65535 are possible")]
    TooManyKinds(usize),
    /// Two parts or two kinds share a name.
    #[error("there is another `{0}`")]
    DuplicateName(String),
    /// A connection leads to a part that cannot stand there.
    #[error("its {role} is `{other}`, which is {found}, not {expected}")]
    WrongPart {
        /// The field, in words.
        role: &'static str,
        /// The name of the part it leads to.
        other: String,
        /// What that part is.
        found: String,
        /// What may stand there.
        expected: &'static str,
    },
    /// A part hands items to itself or takes them from itself.
    #[error("its {0} is itself")]
    LeadsToItself(&'static str),
    /// A number is outside its range.
    #[error("{field} is {value}, but must be {range}")]
    OutOfRange {
        /// The field, in words.
        field: &'static str,
        /// Its value.
        value: i64,
        /// The range, in words.
        range: &'static str,
    },
    /// A slot that the part does not have.
    #[error("there is no slot {slot}: it has {slots}")]
    NoSuchSlot {
        /// The slot.
        slot: u16,
        /// How many there are.
        slots: u16,
    },
    /// Two fillings of one slot.
    #[error("slot {0} is filled twice")]
    SlotFilledTwice(u16),
    /// More in a slot than the kind's stack limit, or nothing.
    #[error("slot {slot} holds {count} of `{kind}`, but must hold 1 to {limit}")]
    WrongCount {
        /// The slot.
        slot: u16,
        /// The kind.
        kind: String,
        /// How many.
        count: u32,
        /// The kind's stack limit.
        limit: u8,
    },
    /// A filling with contents that is no box.
    #[error("`{0}` is no box, and cannot hold anything")]
    NotABox(String),
    /// A box inside a box.
    #[error("a box cannot hold the box `{0}`")]
    BoxInBox(String),
    /// A part that cannot hold anything at the start was filled.
    #[error("{0} holds nothing at the start")]
    CannotHold(String),
    /// A loop of zero-delay signals, named in order.
    #[error("a loop of signals without delay has no meaning: {}", .0.join(" → "))]
    ZeroDelayLoop(Vec<String>),
    /// Two shuttles start at one place.
    #[error("`{0}` starts at the same dock")]
    SameStart(String),
}
