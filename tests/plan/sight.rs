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
fn wide_views_are_as_right_as_narrow_ones() {
    // 1 below the eye and 4 above it are 90 degrees apart where d² = 1 · 4, from 2 blocks: 26.565° and
    // 63.435°.
    let right_angle = |distance| sight(2.0, distance, (1.0, 6.0), 90.0);
    assert!(matches!(right_angle(1.0).seen_from(), SeenFrom::Beyond(far) if near(far, 2.0)));
    assert_eq!(
        [1.9, 2.1].map(|at| right_angle(at).is_seen()),
        [false, true]
    );
    // 3 up and 3 down are 120 degrees apart where each is 60: 3 / tan 60° = √3.
    let wide = |distance| sight(4.0, distance, (1.0, 7.0), 120.0);
    assert!(matches!(wide(1.0).seen_from(), SeenFrom::Beyond(far) if near(far, 3.0_f64.sqrt())));
    assert_eq!([1.73, 1.74].map(|at| wide(at).is_seen()), [false, true]);
    // And 179 degrees where each is 89.5: 3 / tan 89.5°. At the wall itself they are 180 apart.
    let widest = |distance| sight(4.0, distance, (1.0, 7.0), 179.0);
    let away = 3.0 / 89.5_f64.to_radians().tan();
    assert!(matches!(widest(1.0).seen_from(), SeenFrom::Beyond(far) if near(far, away)));
    assert_eq!(
        [0.0, 0.026, 0.027].map(|at| widest(at).is_seen()),
        [false, false, true]
    );
}

#[test]
fn rows_on_one_side_of_the_eye_are_within_every_wide_view() {
    for view in [90.0, 120.0, 179.0] {
        for rows in [(1.0, 100.0), (-100.0, -1.0), (0.0, 5.0)] {
            let looking = sight(0.0, 0.5, rows, view);
            assert_eq!(looking.seen_from(), SeenFrom::Everywhere, "{view} {rows:?}");
        }
    }
}

#[test]
fn what_is_seen_agrees_with_the_angle_itself_at_every_view() {
    for view in (1..180_u32).map(f64::from) {
        for distance in (1..40_u32).map(|step| f64::from(step) * 0.37) {
            for rows in [(-2.0_f64, 3.0_f64), (1.0, 6.0), (-7.0, -0.5), (0.0, 4.0)] {
                let apart = (rows.1.atan2(distance) - rows.0.atan2(distance)).to_degrees();
                if (apart - view).abs() > 1e-6 {
                    let seen = sight(0.0, distance, rows, view).is_seen();
                    assert_eq!(seen, apart < view, "{view} {distance} {rows:?}");
                }
            }
        }
    }
}
