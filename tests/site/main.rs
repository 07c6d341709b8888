//! Which blocks a network is, and which network blocks are: every sentence of `docs/look-up/site-rules.md` as a
//! small world that is drawn, and laws on random halls.

mod boxes;
mod drawing;
mod findings;
mod goods;
mod halls;
mod laws;
mod made;
mod order;
mod plainly;
mod rooms;
mod signals;
mod soups;
mod standing;
