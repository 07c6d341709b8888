//! The build sheet: whoever follows it has the hall that was tried.

mod follow;
mod order;
mod page;
mod reader;
mod sheets;
mod support;
