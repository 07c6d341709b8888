//! Facts of the trade (common practice, no source).

mod line_cost;
mod long_line;
mod lost_boxes;
mod repeating_patterns;
