//! What a comparator reads.

use hallwright_core::fill::fill_level;
use hallwright_core::slot::HOPPER_SLOTS;

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
