//! See `hallwright_fuzz::records`.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    hallwright_fuzz_guided::counted(hallwright_fuzz::records::try_one, bytes);
});
