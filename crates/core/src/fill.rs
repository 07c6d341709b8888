//! What a comparator reads from an inventory (tick rules, section 1).

use crate::slot::HOPPER_SLOTS;

/// The highest level.
pub const FULL: u8 = 15;

/// The level of an inventory of so many slots, at least 1, that holds so much: 0 for empty, else
/// 1 + floor(14 × weight / (64 × slots)). The weight is in 64ths of a slot
/// ([`StackLimit::weight`](crate::goods::StackLimit::weight) for each item), no more than fits.
#[must_use]
#[inline]
pub fn fill_level(weight: u32, slots: u16) -> u8 {
    if weight == 0 {
        return 0;
    }
    let sixty_fourths = 14 * weight / 64;
    // A hopper is what is read most: a division by a known number is no division.
    let level = match slots {
        HOPPER_SLOTS => sixty_fourths / u32::from(HOPPER_SLOTS),
        slots => sixty_fourths / u32::from(slots),
    };
    1 + level as u8
}
