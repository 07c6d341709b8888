//! Facts of the trade (common practice, no source).

mod line_cost;
mod lost_boxes;
mod repeating_patterns;
