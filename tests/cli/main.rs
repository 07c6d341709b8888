//! The command as a builder uses it: what it prints, where, and its exit codes.

mod messages;
mod outputs;
mod scenarios;
mod support;
mod written;
