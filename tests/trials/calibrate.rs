//! Weights from measured halls, against made data with known weights and published least-squares problems.

use hallwright_trials::calibrate::{Fit, Hall, Unfit, Weighed, WhyZero, fit, least_squares};

fn hall(counts: [f64; 3], measured_ms: f64) -> Hall {
    Hall {
        name: "hall".to_owned(),
        counts,
        measured_ms,
        was_run: false,
    }
}

/// Halls with these counts that take what these weights say.
fn made(counts: &[[f64; 3]], weights: [f64; 4]) -> Vec<Hall> {
    let [turn, update, loose, base] = weights;
    let takes = |of: &[f64; 3]| of[0] * turn + of[1] * update + of[2] * loose + base;
    counts.iter().map(|of| hall(*of, takes(of))).collect()
}

fn weights(fit: &Fit) -> Vec<f64> {
    fit.weights.iter().map(|weight| weight.ms).collect()
}

fn why_zero(fit: &Fit, of: Weighed) -> Option<WhyZero> {
    let mut weights = fit.weights.iter();
    weights.find(|weight| weight.of == of)?.why_zero.clone()
}

fn close(measured: &[f64], expected: &[f64]) {
    assert_eq!(measured.len(), expected.len());
    for (one, other) in measured.iter().zip(expected) {
        assert!(
            (one - other).abs() <= 1e-11 * other.abs().max(1e-3),
            "{measured:?}, not {expected:?}"
        );
    }
}

#[test]
fn known_weights_are_found_again() {
    let known = [0.0009, 0.012, 0.006, 0.35];
    let counts = [
        [211.0, 2.5, 0.0],
        [40.0, 9.0, 12.0],
        [171.5, 0.08, 0.25],
        [3.0, 0.1, 14.5],
        [62.0, 9.5, 4.0],
    ];
    let found = fit(&made(&counts, known)).expect("they differ");
    close(&weights(&found), &known);
    assert_eq!(found.rank, 4);
    assert!(found.root_mean_square_ms() < 1e-12);
    assert!(
        found
            .explained_share()
            .is_some_and(|share| share > 1.0 - 1e-12)
    );
    assert!(!found.is_bound_to_fit());
    // As a scenario has them.
    let rounded = found.cost_weights();
    assert_eq!(rounded.hopper_turn_picoseconds, 900_000);
    assert_eq!(rounded.base_picoseconds, 350_000_000);
}

#[test]
fn residuals_are_those_worked_out_by_hand() {
    // Three halls on a line through the origin but for their noise: y = 1, 2, 6 at x = 1, 2, 3. With a base the
    // slope would be 2.5 and the base -2, which is below 0: so the slope is (1 + 4 + 18) / 14.
    let halls = [1.0, 2.0, 3.0].map(|x| [x, 0.0, 0.0]);
    let halls = halls.into_iter().zip([1.0, 2.0, 6.0]);
    let halls: Vec<Hall> = halls.map(|(counts, ms)| hall(counts, ms)).collect();
    let found = fit(&halls).expect("they differ");
    close(&weights(&found), &[23.0 / 14.0, 0.0, 0.0, 0.0]);
    assert_eq!(why_zero(&found, Weighed::Base), Some(WhyZero::BelowZero));
    assert_eq!(
        why_zero(&found, Weighed::LooseStack),
        Some(WhyZero::NoneOfIt)
    );
    let off: Vec<f64> = found.halls.iter().map(|one| one.off_ms()).collect();
    close(&off, &[9.0 / 14.0, 18.0 / 14.0, -15.0 / 14.0]);
    close(
        &[found.halls[2].off_share().expect("6 ms")],
        &[-15.0 / 84.0],
    );
    // (81 + 324 + 225) / 196 = 630 / 196; the spread is 4 + 1 + 9 = 14.
    close(
        &[found.root_mean_square_ms()],
        &[(630.0_f64 / 196.0 / 3.0).sqrt()],
    );
    close(
        &[found.explained_share().expect("they differ")],
        &[1.0 - 630.0 / 196.0 / 14.0],
    );
}

/// The example of non-negative least squares in the documentation of SciPy, `scipy.optimize.nnls`: x is
/// [1.5, 1.0] and the length of the residual 0.7071067811865475.
#[test]
fn the_example_of_a_library_comes_out_alike() {
    let halls = [
        hall([1.0, 0.0, 0.0], 2.0),
        hall([1.0, 0.0, 0.0], 1.0),
        hall([0.0, 1.0, 0.0], 1.0),
    ];
    let found = fit(&halls).expect("they differ");
    close(&weights(&found), &[1.5, 1.0, 0.0, 0.0]);
    let squares: f64 = found.halls.iter().map(|one| one.off_ms().powi(2)).sum();
    close(&[squares.sqrt()], &[0.707_106_781_186_547_5]);
    // Turns and updates add up to 1 in each: a base is not told apart from the two.
    assert_eq!(why_zero(&found, Weighed::Base), Some(WhyZero::NotApart));
}

/// Norris, of the Statistical Reference Datasets of NIST (linear regression, 36 observations): the certified
/// intercept is -0.262323073774029, the slope 1.00211681802045, the residual standard deviation
/// 0.884796396144373 with 34 degrees of freedom.
#[test]
fn certified_values_come_out() {
    let rows = [
        (0.1, 0.2),
        (338.8, 337.4),
        (118.1, 118.2),
        (888.0, 884.6),
        (9.2, 10.1),
        (228.1, 226.5),
        (668.5, 666.3),
        (998.5, 996.3),
        (449.1, 448.6),
        (778.9, 777.0),
        (559.2, 558.2),
        (0.3, 0.4),
        (0.1, 0.6),
        (778.1, 775.5),
        (668.8, 666.9),
        (339.3, 338.0),
        (448.9, 447.5),
        (10.8, 11.6),
        (557.7, 556.0),
        (228.3, 228.1),
        (998.0, 995.8),
        (888.8, 887.6),
        (119.6, 120.2),
        (0.3, 0.3),
        (0.6, 0.3),
        (557.6, 556.8),
        (339.3, 339.1),
        (888.0, 887.2),
        (998.5, 999.0),
        (778.9, 779.0),
        (10.2, 11.1),
        (117.6, 118.3),
        (228.9, 229.2),
        (668.4, 669.1),
        (449.2, 448.9),
        (0.2, 0.5),
    ];
    let (wanted, column): (Vec<f64>, Vec<f64>) = rows.into_iter().unzip();
    let solved = least_squares(&[vec![1.0; 36], column.clone()], &wanted).expect("two columns");
    close(
        &solved.weights,
        &[-0.262_323_073_774_029, 1.002_116_818_020_45],
    );
    close(&[(solved.squares / 34.0).sqrt()], &[0.884_796_396_144_373]);
    // Its intercept is below 0, so the weights of a hall do without.
    let halls = column.iter().zip(&wanted);
    let halls: Vec<Hall> = halls.map(|(x, y)| hall([*x, 0.0, 0.0], *y)).collect();
    let found = fit(&halls).expect("they differ");
    assert_eq!(why_zero(&found, Weighed::Base), Some(WhyZero::BelowZero));
}

/// NoInt1 of the same datasets, a line through the origin: the certified slope is 2.07438016528926, and the
/// residual standard deviation 3.56753034006338 with 10 degrees of freedom.
#[test]
fn the_certified_slope_through_the_origin_comes_out() {
    let wanted: Vec<f64> = (130..=140).map(f64::from).collect();
    let column: Vec<f64> = (60..=70).map(f64::from).collect();
    let solved = least_squares(&[column], &wanted).expect("one column");
    close(&solved.weights, &[2.074_380_165_289_26]);
    close(&[(solved.squares / 10.0).sqrt()], &[3.567_530_340_063_38]);
}

#[test]
fn two_halls_tell_two_weights() {
    let halls = [hall([100.0, 5.0, 3.0], 0.5), hall([200.0, 7.0, 1.0], 0.9)];
    let found = fit(&halls).expect("they differ");
    assert_eq!(found.rank, 2);
    assert!(found.is_bound_to_fit());
    let zero = |of| why_zero(&found, of);
    assert_eq!(zero(Weighed::Base), Some(WhyZero::TooFewHalls));
    assert_eq!(zero(Weighed::LooseStack), Some(WhyZero::TooFewHalls));
    // 100 t + 5 u = 0.5 and 200 t + 7 u = 0.9: t = 1/300, u = 1/30.
    close(&weights(&found)[..2], &[1.0 / 300.0, 1.0 / 30.0]);
}

#[test]
fn what_goes_hand_in_hand_is_not_told_apart() {
    let halls: Vec<Hall> = [10.0, 20.0, 35.0, 50.0]
        .into_iter()
        .map(|turns| hall([turns, turns / 5.0, 0.0], turns * 0.01 + 0.2))
        .collect();
    let found = fit(&halls).expect("they differ");
    close(&weights(&found), &[0.01, 0.0, 0.0, 0.2]);
    assert_eq!(
        why_zero(&found, Weighed::ComparatorUpdate),
        Some(WhyZero::NotApart)
    );
}

#[test]
fn halls_that_say_nothing_are_refused() {
    assert_eq!(fit(&[hall([1.0, 0.0, 0.0], 1.0)]), Err(Unfit::TooFew));
    let alike = [hall([1.0, 2.0, 3.0], 1.0), hall([1.0, 2.0, 3.0], 2.0)];
    assert_eq!(fit(&alike), Err(Unfit::AllAlike));
}

#[test]
fn no_choice_of_weights_fits_better() {
    // Whatever a small step changes, the sum of squares is no less.
    let halls = [
        hall([100.0, 5.0, 3.0], 0.61),
        hall([200.0, 1.0, 1.0], 0.74),
        hall([20.0, 9.0, 0.0], 0.55),
        hall([5.0, 2.0, 40.0], 0.43),
        hall([150.0, 4.0, 8.0], 0.70),
    ];
    let found = fit(&halls).expect("they differ");
    let squares = |weights: &[f64]| -> f64 {
        let off = halls.iter().map(|hall| {
            let of = Weighed::ALL.iter().zip(weights);
            let takes: f64 = of.map(|(of, weight)| hall.count(*of) * weight).sum();
            (takes - hall.measured_ms).powi(2)
        });
        off.sum()
    };
    let best = weights(&found);
    for place in 0..4 {
        for step in [-1e-6, 1e-6] {
            let mut other = best.clone();
            other[place] += step;
            if other[place] >= 0.0 {
                assert!(squares(&other) > squares(&best), "{place}, {step}");
            }
        }
    }
}
