//! hallwright-reference
