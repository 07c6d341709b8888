//! hallwright-scenario
