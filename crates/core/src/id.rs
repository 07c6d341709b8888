//! Typed ids: small numbers that cannot be mistaken for one another.

use std::fmt;
use std::num::NonZeroU32;

use serde::{Deserialize, Serialize};

/// Defines a `u32` id with conversions and a `Display` such as `part12`.
macro_rules! define_id {
    ($(#[$doc:meta])* $name:ident, $prefix:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        pub struct $name(NonZeroU32); // One more than its number, so that `Option` takes no room.

        impl $name {
            /// The id with this number. Numbers are given out in order, from 0.
            #[must_use]
            #[inline]
            pub const fn from_index(index: usize) -> Self {
                assert!(index < u32::MAX as usize, "ids are 32 bits wide");
                match NonZeroU32::new(index as u32 + 1) {
                    Some(number) => Self(number),
                    None => unreachable!(),
                }
            }

            /// The number of this id, to index a table with.
            #[must_use]
            #[inline]
            pub const fn index(self) -> usize {
                self.0.get() as usize - 1
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(formatter, concat!($prefix, "{}"), self.index())
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                fmt::Display::fmt(self, formatter)
            }
        }
    };
}

define_id!(
    /// A part of a network. Ids follow the order of declaration, which the rules use throughout.
    PartId,
    "part"
);
define_id!(
    /// A kind of goods.
    KindId,
    "kind"
);
define_id!(
    /// One particular box. Boxes are numbered in the order in which they come into being: those of
    /// the start by part and slot, then those delivered. A number is never used again.
    BoxId,
    "box"
);
