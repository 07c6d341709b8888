//! See `hallwright_fuzz::arrivals`.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    hallwright_fuzz_guided::counted(hallwright_fuzz::arrivals::try_one, bytes);
});
