//! How long a hall is left.

use hallwright_declared::declarations::Leave;

#[test]
fn a_hall_is_usually_left_by_the_clock_of_its_world() {
    let usual = Leave::usual(10);
    let times = (usual.apart_ticks, usual.late_ticks, usual.pause_ticks);
    assert_eq!(times, (20, 100, 20));
    assert_eq!(usual.lamp, None);
}
