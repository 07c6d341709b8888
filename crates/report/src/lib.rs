//! hallwright-report
