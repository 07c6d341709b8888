//! The sight line against triangles worked out by hand.

use hallwright_plan::sight::{SeenFrom, Sight};

fn sight(eye: f64, distance: f64, rows: (f64, f64), view_degrees: f64) -> Sight {
    Sight {
        eye_blocks: eye,
        distance_blocks: distance,
        lower_blocks: rows.0,
        upper_blocks: rows.1,
        view_degrees,
    }
}

fn near(one: f64, other: f64) -> bool {
    (one - other).abs() < 1e-9
}

#[test]
fn with_the_eye_between_the_rows_one_must_stand_far_enough_away() {
    // 3 blocks up and 3 down, seen under 60 degrees: each half is 30 degrees, and 3 / tan 30° =
    // 3 √3.
    let away = 3.0 * 3.0_f64.sqrt();
    let looking = |distance| sight(4.0, distance, (1.0, 7.0), 60.0);
    let SeenFrom::Beyond(far) = looking(1.0).seen_from() else {
        panic!("near the wall it cannot be");
    };
    assert!(near(far, away), "{far}");
    assert!(!looking(5.19).is_seen());
    assert!(looking(5.20).is_seen());
    // At eye level and 4 above it: from 4 blocks away that is 45 degrees.
    let level = sight(2.0, 4.0, (2.0, 6.0), 45.0);
    assert!(matches!(level.seen_from(), SeenFrom::Beyond(far) if near(far, 4.0)));
    assert!(level.is_seen());
}

#[test]
fn with_both_rows_above_the_eye_near_the_wall_will_do_as_well() {
    // 1 and 6 above the eye, 45 degrees: (6 - 1) d = d² + 6 gives d = 2 and d = 3. From 2 blocks:
    // atan(6/2) - atan(1/2) = 71.565° - 26.565° = 45°; from 3: 63.435° - 18.435° = 45°.
    let looking = |distance| sight(0.0, distance, (1.0, 6.0), 45.0);
    let SeenFrom::NearOrBeyond(up_to, from) = looking(1.0).seen_from() else {
        panic!("between the two it cannot be");
    };
    assert!(near(up_to, 2.0) && near(from, 3.0), "{up_to} {from}");
    let seen: Vec<bool> = [1.0, 2.0, 2.5, 3.0, 4.0]
        .map(|at| looking(at).is_seen())
        .into();
    assert_eq!(seen, [true, true, false, true, true]);
    // Both below the eye is the same upside down.
    let below = sight(7.0, 2.5, (1.0, 6.0), 45.0);
    assert!(!below.is_seen());
}

#[test]
fn rows_that_never_look_so_far_apart_are_seen_from_everywhere() {
    // 4 and 5 above the eye are at most atan(1 / (2 √20)) = 6.4 degrees apart.
    let looking = sight(0.0, 3.0, (4.0, 5.0), 10.0);
    assert_eq!(looking.seen_from(), SeenFrom::Everywhere);
    assert!(looking.is_seen());
}

#[test]
fn a_right_angle_is_seen_from_the_circle_over_both_rows() {
    // Thales: an angle of 90 degrees stands on the half circle over the rows. 2 below the eye and 8 above
    // it, that is the root of 16, 4 blocks away.
    let looking = |distance| sight(2.0, distance, (0.0, 10.0), 90.0);
    assert!(matches!(looking(1.0).seen_from(), SeenFrom::Beyond(far) if near(far, 4.0)));
    assert!(!looking(3.99).is_seen());
    assert!(looking(4.0).is_seen());
}

#[test]
fn a_view_wider_than_a_right_angle_needs_less_distance() {
    // 3 down and 3 up under 120 degrees: each half is 60 degrees, and 3 / tan 60 degrees is the root of 3.
    let looking = |distance| sight(3.0, distance, (0.0, 6.0), 120.0);
    assert!(matches!(looking(1.0).seen_from(), SeenFrom::Beyond(far) if near(far, 3.0_f64.sqrt())));
    assert!(!looking(1.73).is_seen());
    assert!(looking(1.74).is_seen());
    // Under 179 degrees: 3 / tan 89.5 degrees.
    let nearly_all = sight(3.0, 0.03, (0.0, 6.0), 179.0);
    let far = 3.0 / 89.5_f64.to_radians().tan();
    assert!(matches!(nearly_all.seen_from(), SeenFrom::Beyond(from) if near(from, far)));
    assert!(nearly_all.is_seen());
    // Rows on one side of the eye, or one at its height, are never a right angle apart.
    for rows in [(1.0, 60.0), (-60.0, -1.0), (0.0, 60.0)] {
        for view in [90.0, 120.0, 179.0] {
            let looking = sight(0.0, 1.0, rows, view);
            assert!(looking.is_seen(), "{rows:?} {view}");
        }
    }
}
