//! Reads texts and says what is wrong with them.
//!
//! Files are read only inside a [`Root`], and every stretch of text knows its place
//! ([`source::Span`]). RON is read leniently into fields ([`text`]): a mistake is reported, and reading
//! goes on behind it. What is wrong comes out as plain [`Diagnostic`]s; [`render()`] draws them.
//! What a text means is none of this crate's business.

pub mod diagnostic;
pub mod ids;
mod nearest_file;
pub mod read;
pub mod render;
pub mod root;
pub mod source;
pub mod suggest;
pub mod text;

pub use diagnostic::Diagnostic;
pub use render::render;
pub use root::Root;
pub use source::Sources;
pub use suggest::did_you_mean;
