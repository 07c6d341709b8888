//! See `hallwright_fuzz::known_runs`.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    hallwright_fuzz_guided::counted(hallwright_fuzz::known_runs::try_one, bytes);
});
