//! Drawn floors, as builders write them.

use super::Expression;
use crate::text::{Name, document};

document! {
    /// One height of what is drawn: a list of rows across, each of words along the line.
    pub(crate) struct FloorDocument {
        y: Expression,
        rows: Vec<Name>,
    }
}
