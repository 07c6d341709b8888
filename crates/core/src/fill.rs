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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_levels_of_a_hopper_begin_where_the_rules_say() {
        // From the page: 1 from the first item, 2 from 23, 3 from 46, 4 from 69, 15 at 320 of 320.
        let begins = [
            (0, 0),
            (1, 1),
            (22, 1),
            (23, 2),
            (45, 2),
            (46, 3),
            (69, 4),
            (319, 14),
            (320, 15),
        ];
        for (items, level) in begins {
            assert_eq!(fill_level(items, HOPPER_SLOTS), level, "{items}");
        }
        assert_eq!(fill_level(1, 27), 1);
        assert_eq!(fill_level(27 * 64, 27), 15);
    }
}
