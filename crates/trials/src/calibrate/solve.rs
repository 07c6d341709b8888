//! Least squares, without a bound on any weight.

use nalgebra::{DMatrix, DVector};

/// A singular value less than this share of the greatest counts as 0: the columns, each scaled to length 1,
/// then depend on each other as far as measured figures can tell.
const RANK_SHARE: f64 = 1e-9;

/// What solves a least-squares problem.
#[derive(Clone, PartialEq, Debug)]
pub struct Solution {
    /// A weight for each column.
    pub weights: Vec<f64>,
    /// The sum of the squared differences.
    pub squares: f64,
}

/// The weights of columns with which their sum comes closest to `wanted`, by the singular values of the
/// columns; `None` if they depend on each other, so that several weights would do.
#[must_use]
pub fn least_squares(columns: &[Vec<f64>], wanted: &[f64]) -> Option<Solution> {
    let wanted = DVector::from_column_slice(wanted);
    if columns.is_empty() {
        return Some(Solution {
            weights: Vec::new(),
            squares: wanted.norm_squared(),
        });
    }
    if columns.len() > wanted.len() {
        return None;
    }
    let matrix = DMatrix::from_columns(
        &columns
            .iter()
            .map(|column| DVector::from_column_slice(column))
            .collect::<Vec<_>>(),
    );
    // Columns of one length: what is counted in hundreds is told apart as well as what is counted in ones.
    let lengths: Vec<f64> = matrix.column_iter().map(|column| column.norm()).collect();
    if lengths.contains(&0.0) {
        return None;
    }
    let mut scaled = matrix.clone();
    for (mut column, length) in scaled.column_iter_mut().zip(&lengths) {
        column /= *length;
    }
    let parts = scaled.svd(true, true);
    let greatest = parts.singular_values.max();
    if parts.singular_values.min() <= greatest * RANK_SHARE {
        return None;
    }
    let solved = parts.solve(&wanted, 0.0).ok()?;
    let weights: Vec<f64> = solved
        .iter()
        .zip(&lengths)
        .map(|(weight, length)| weight / length)
        .collect();
    let difference = &matrix * DVector::from_column_slice(&weights) - &wanted;
    Some(Solution {
        squares: difference.norm_squared(),
        weights,
    })
}
