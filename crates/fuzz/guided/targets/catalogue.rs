//! See `hallwright_fuzz::catalogue`.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    hallwright_fuzz_guided::counted(hallwright_fuzz::catalogue::try_one, bytes);
});
