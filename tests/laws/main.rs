//! Laws that every network obeys, whatever it looks like, and the comparison of the two engines.

mod deliveries;
mod faults;
mod generator;
mod properties;
mod reduction;
mod small;
mod smoke;
mod views;
mod worlds;
