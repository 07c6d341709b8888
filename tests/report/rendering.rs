//! Whole reports.
