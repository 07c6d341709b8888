//! The stable ids of everything that can be reported of a catalogue, a hall or a plan.
//! `docs/do/hall-settings.md` explains each.

/// A column that is needed, and missing.
pub const MISSING_COLUMN: &str = "catalogue::missing-column";
/// A column that is not known, or there twice.
pub const UNKNOWN_COLUMN: &str = "catalogue::unknown-column";
/// A field that cannot be understood.
pub const BAD_FIELD: &str = "catalogue::bad-field";
/// Goods, or a part of a costs table, that are there twice.
pub const REPEATED_NAME: &str = "catalogue::repeated-name";
/// A catalogue without goods.
pub const NO_GOODS: &str = "catalogue::no-goods";
/// A number of a hall outside its range.
pub const OUT_OF_RANGE: &str = "hall::out-of-range";
/// A sort of slices that the hall does not have.
pub const NO_SUCH_SLICES: &str = "hall::no-such-slices";
/// Goods that fit into no slice.
pub const FITS_NOWHERE: &str = "plan::fits-nowhere";
/// More goods come in than a line carries.
pub const TOO_MUCH: &str = "plan::too-much";
/// A hall that is too short.
pub const TOO_SHORT: &str = "plan::too-short";
/// A warning: less is free than wished.
pub const SHORT_RESERVE: &str = "plan::short-reserve";
/// A warning: the stop will take longer than wished.
pub const SLOW_STOP: &str = "plan::slow-stop";
/// A wish that cannot be met.
pub const BAD_WISH: &str = "plan::bad-wish";
/// A table that is no allocation.
pub const NO_ALLOCATION: &str = "keep::no-allocation";
/// Goods that an allocation has in several places.
pub const IN_TWO_PLACES: &str = "keep::in-two-places";
/// Goods that are to move, or to be explained, and are not known.
pub const UNKNOWN_GOODS: &str = "plan::unknown-goods";
/// Goods that are to move, and have nowhere to go.
pub const CANNOT_MOVE: &str = "keep::cannot-move";
