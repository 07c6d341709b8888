//! Laws that every network obeys, whatever it looks like, and the comparison of the two engines.

mod faults;
mod properties;
mod small;
mod smoke;
