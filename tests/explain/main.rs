//! Tests of explanations: causes are planted in small halls, and must be named.

mod by_order;
mod planted;
mod sums;
mod support;
mod troubles;
mod wrong;
