//! See `hallwright_fuzz::scenario`.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    hallwright_fuzz_guided::counted(hallwright_fuzz::scenario::try_one, bytes);
});
