//! Pages: the data that their script reads, unpacked and compared with what is known of the run.

mod buildable;
mod dirty;
mod links;
mod spells;
mod stand;
mod support;
