//! See `hallwright_fuzz::saved`.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    hallwright_fuzz_guided::counted(hallwright_fuzz::saved::try_one, bytes);
});
